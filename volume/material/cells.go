package material

import (
	"fmt"

	"barrow/tin"
)

const codeBadCells = "bad_cells" // cells with another number of materials than the site

// Cell is a part of the site with what is dug and filled in it.
type Cell struct {
	Dug    []Bank     // of each material of the site, in its order; nil: nothing
	DugAt  [2]float64 // middle of what is dug, in plan
	Fill   Compacted
	FillAt [2]float64
}

func (s *Site) checkCells() error {
	for i, c := range s.Cells {
		if len(c.Dug) != 0 && len(c.Dug) != len(s.Materials) {
			return &tin.InputError{Code: codeBadCells, Message: fmt.Sprintf("cell %d has volumes of %d materials, the site has %d", i, len(c.Dug), len(s.Materials)),
				Hint: "give one for each material"}
		}
		if err := notBelow(0, "cells", float64(c.Fill)); err != nil {
			return err
		}
		for _, v := range c.Dug {
			if err := notBelow(0, "cells", float64(v)); err != nil {
				return err
			}
		}
	}
	return nil
}

// haul plans the hauls on site: what is dug of the materials fit for fill to where
// fill is wanted.
func (r *reckoning) haul() error {
	if len(r.site.Cells) == 0 || r.FillFromSite == nil {
		return nil
	}
	sources, sinks := r.places()
	plan, err := Haul(sources, sinks)
	if err == nil && plan.Volume > 0 {
		r.Haul = &plan
	}
	return err
}

// places lists where fill comes from, and where it goes.
func (r *reckoning) places() (sources []Source, sinks []Sink) {
	for _, c := range r.site.Cells {
		for k, dug := range c.Dug {
			m := &r.site.Materials[k]
			if makes := m.Factors.Compacted(Bank(float64(dug) * m.Reuse)); makes > 0 {
				sources = append(sources, Source{c.DugAt, makes, k})
			}
		}
		if c.Fill > 0 {
			sinks = append(sinks, Sink{c.FillAt, c.Fill})
		}
	}
	return sources, sinks
}
