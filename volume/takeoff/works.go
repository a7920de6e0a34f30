package takeoff

import (
	"fmt"

	"barrow/tin"
	"barrow/tin/formation"
	"barrow/volume"
)

// measured is the volumes of one pad where it rules.
type measured struct {
	outline, margin, batter volume.CutFill
}

// formed is outline and margin together: what is inside the formation outline.
func (m *measured) formed() volume.CutFill { return together(m.outline, m.margin) }

// all is the pad as dug.
func (m *measured) all() volume.CutFill { return together(m.outline, m.margin, m.batter) }

// together adds up parts that share no plan.
func together(parts ...volume.CutFill) (c volume.CutFill) {
	for _, p := range parts {
		c.Cut += p.Cut
		c.Fill += p.Fill
		c.CutLessFill += p.CutLessFill
		c.CutArea += p.CutArea
		c.FillArea += p.FillArea
		c.LevelArea += p.LevelArea
		c.MakeupFill += p.MakeupFill
		c.MakeupArea += p.MakeupArea
		c.UncoveredArea += p.UncoveredArea
		c.ZeroLine = append(c.ZeroLine, p.ZeroLine...)
		c.MaxCut = deeper(c.MaxCut, p.MaxCut)
		c.MaxFill = deeper(c.MaxFill, p.MaxFill)
	}
	return c
}

func deeper(a, b volume.Depth) volume.Depth {
	if b.Depth > a.Depth {
		return b
	}
	return a
}

func (r *run) formationOptions() formation.Options {
	return formation.Options{Topsoil: r.soil, Unit: r.job.Units, Scale: r.scale}
}

// findWorks follows the batters out to daylight.
func (r *run) findWorks() error {
	r.tell("finding daylight", 0, 1)
	if err := r.checkBerms(); err != nil {
		return err
	}
	dig, err := r.layout.Dig(r.ctx, r.ground, r.formationOptions())
	if err != nil {
		return err
	}
	r.dig = dig
	r.notes = append(r.notes, dig.Notes...)
	r.warnings = append(r.warnings, dig.Warnings...)
	r.tell("finding daylight", 1, 1)
	return nil
}

// mostBerms is how many berms a batter may have between the formation and the
// farthest level of the ground: far more than any dig has.
const mostBerms = 50

// checkBerms refuses berms without number, each of which would be a face of its own.
func (r *run) checkBerms() error {
	for i := range r.layout.Pads {
		g, pad := &r.layout.Pads[i].Geometry, &r.job.Pads[i]
		height := max(r.stats.LevelMax-g.Low.Formation, g.High.Formation-r.stats.LevelMin)
		least := func(b *Batter) error {
			if b == nil || b.Every == 0 || height <= mostBerms*b.Every*r.unit {
				return nil
			}
			return &tin.InputError{Code: codeTooManyBerms, Key: fmt.Sprintf("pad[%d].berm.every", i),
				Message: fmt.Sprintf("pad %q: the ground is up to %s from the formation, with a berm after each %s that is over %d of them",
					pad.Name, r.length(height), formatNumber(b.Every), mostBerms),
				Hint: "check the levels of both, or let the berms be farther apart"}
		}
		batters := []*Batter{&pad.Cut, &pad.Fill}
		for _, e := range pad.Edges {
			batters = append(batters, e.Cut, e.Fill)
		}
		for _, b := range batters {
			if err := least(b); err != nil {
				return err
			}
		}
	}
	return nil
}

// measure takes the volumes of every pad.
func (r *run) measure() error {
	for i := range r.layout.Pads {
		r.tell("measuring", i, len(r.layout.Pads))
		p := &r.layout.Pads[i]
		var m measured
		for _, part := range []struct {
			facets []tin.Facet
			into   *volume.CutFill
		}{{p.Facets, &m.outline}, {p.Margin, &m.margin}} {
			c, err := volume.AgainstFacets(r.ctx, r.ground, part.facets)
			if err != nil {
				return err
			}
			*part.into = c
		}
		m.batter = volume.Faces(r.ground.Frame(), r.dig.Pads[i].Faces)
		r.measured = append(r.measured, m)
	}
	r.tell("measuring", len(r.layout.Pads), len(r.layout.Pads))
	return nil
}

// allWorks are the works of all pads.
func (r *run) allWorks() volume.Works {
	w := volume.Works{Ground: r.ground}
	for i := range r.layout.Pads {
		p := &r.layout.Pads[i]
		w.Facets = append(append(w.Facets, p.Facets...), p.Margin...)
		w.Faces = append(w.Faces, r.dig.Pads[i].Faces...)
	}
	return w
}
