package formation

import (
	"fmt"
	"math"
	"strings"

	"github.com/paulmach/orb"

	"barrow/tin"
)

// Thickening is a part of a pad that is dug below its formation: a strip footing or an
// edge beam along lines, or a pit. Its underside goes along with the formation, or is
// level where Underside is given.
type Thickening struct {
	Name  string
	Lines []orb.LineString // centre lines, metres; one whose last point is its first is closed
	Width float64          // of what runs along Lines, metres on the grid
	Areas orb.MultiPolygon // of a pit, metres; instead of Lines

	Depth     float64   // metres from From down to the underside of what stands in it
	From      DepthFrom // what Depth counts from
	Slab      string    // name of the layer that FromSlab means; empty: the only one with "slab" in its name
	Underside *float64  // level of the underside of what stands in it, metres; instead of Depth and From

	Layers BuildUp // of its own, under what stands in it, from the top down
	Along  float64 // n of sides 1V:nH, from the underside of Layers up to formation; 0: upright
}

// DepthFrom is what the depth of a thickening counts from.
type DepthFrom string

// What a depth may count from. Drawings give overall depths from the top of the slab.
const (
	FromFinished  DepthFrom = "finished"
	FromSlab      DepthFrom = "slab underside"
	FromFormation DepthFrom = "formation"
)

// label names the thickening in messages.
func (t *Thickening) label(i int) string {
	if t.Name == "" {
		return fmt.Sprintf("thickening %d", i+1)
	}
	return fmt.Sprintf("thickening %q", t.Name)
}

// DigTo returns the level to dig a thickening to, metres: of a falling pad at Fall.At,
// unless Underside is given. Of a pad with its own levels it is NaN without Underside.
// Decimals stay decimals, as in [BuildUp.Ladder].
func (p Pad) DigTo(t Thickening) float64 {
	var s levelSum
	switch {
	case t.Underside != nil:
		s.add(*t.Underside)
	case p.Levels != nil:
		return math.NaN()
	default:
		s.add(p.Finished)
		for _, l := range p.Layers[:p.layersAbove(t)] {
			s.add(-l.Thickness)
		}
		s.add(-t.Depth)
	}
	for _, l := range t.Layers {
		s.add(-l.Thickness)
	}
	return s.value()
}

// Below returns how far below formation a thickening is dug, metres; NaN where
// Underside is given.
func (p Pad) Below(t Thickening) float64 {
	if t.Underside != nil {
		return math.NaN()
	}
	s := p.reach(t)
	for _, l := range t.Layers {
		s.add(l.Thickness)
	}
	return s.value()
}

// reach is how far below formation what stands in a thickening goes.
func (p Pad) reach(t Thickening) (s levelSum) {
	s.add(t.Depth)
	for _, l := range p.Layers[p.layersAbove(t):] {
		s.add(-l.Thickness)
	}
	return s
}

// layersAbove returns how many layers of the pad lie above what the thickening's depth
// counts from.
func (p Pad) layersAbove(t Thickening) int {
	switch t.From {
	case FromFinished:
		return 0
	case FromSlab:
		if i := p.slab(t.Slab); i >= 0 {
			return i + 1
		}
	}
	return len(p.Layers)
}

// slab returns the index of the layer of a name, or without one of the only layer with
// "slab" in its name; -1 if there is none, or not one only.
func (p Pad) slab(name string) int {
	found := -1
	for i, l := range p.Layers {
		if name == "" && !strings.Contains(strings.ToLower(l.Name), "slab") || name != "" && l.Name != name {
			continue
		}
		if found >= 0 {
			return -1
		}
		found = i
	}
	return found
}

// checkThickening returns an error with a key relative to the thickening.
func (p Pad) checkThickening(t *Thickening, i int, opts Options) error {
	of := t.label(i) + " of " + p.label()
	if err := t.checkShape(of, opts); err != nil {
		return err
	}
	if err := p.checkDepth(t, of, opts); err != nil {
		return err
	}
	for k, l := range t.Layers {
		if !(l.Thickness > 0) || !isFinite(l.Thickness) {
			return inputError(CodeBadThickness, fmt.Sprintf("layers[%d].thickness", k), "give a thickness above 0, or leave the layer out",
				"layer %d of %s is %s thick", k+1, of, opts.length("%g", l.Thickness))
		}
	}
	if err := (Batter{Along: t.Along}).check("batter", of); err != nil {
		return err
	}
	if t.Along > 0 && p.Levels != nil {
		return inputError(CodeThickeningBatter, "batter", "give it upright sides, and draw it as wide as it is dug", "%s, whose formation has levels of its own, has a batter", of)
	}
	if t.Underside != nil {
		return nil // whether it lies below formation Thicken tells
	}
	if s := p.reach(*t); !(s.value() > 0) {
		return inputError(CodeThickeningShallow, "depth", "give the whole depth from what `from` names, down to the underside",
			"%s, %s deep from %q, does not reach below formation", of, opts.length("%g", t.Depth), t.From)
	}
	return nil
}

func (t *Thickening) checkShape(of string, opts Options) error {
	if (len(t.Lines) > 0) == (len(t.Areas) > 0) {
		return inputError(CodeThickeningShape, "", "give lines with a width, or areas", "%s has both lines and areas, or neither", of)
	}
	if len(t.Lines) > 0 && !(t.Width > 0 && t.Width <= greatestMargin) {
		return inputError(CodeThickeningWidth, "width", "give it from side to side, above 0", "%s is %s wide", of, opts.length("%g", t.Width))
	}
	for i, line := range t.Lines {
		length := 0.0
		for k, v := range line {
			if !isFinitePoint(v) {
				return inputError(CodeBadPoint, fmt.Sprintf("lines[%d]", i), "give easting and northing as finite numbers", "point %d of a line of %s is no place", k+1, of)
			}
			if k > 0 {
				length += distance(line[k-1], v)
			}
		}
		if !(length >= snap) {
			return inputError(CodeThickeningShape, fmt.Sprintf("lines[%d]", i), "give a line of two places or more", "a line of %s has no length", of)
		}
	}
	for _, a := range t.Areas {
		if err := tin.CheckOutline(a); err != nil {
			return padError(err, of, "areas")
		}
	}
	return nil
}

func (p Pad) checkDepth(t *Thickening, of string, opts Options) error {
	if t.Underside != nil {
		switch {
		case t.Depth != 0 || t.From != "":
			return inputError(CodeThickeningFrom, "underside", "give its level, or a depth and what it counts from", "%s has both an underside and a depth", of)
		case !isFinite(*t.Underside):
			return inputError(CodeBadLevel, "underside", "give it as a finite number", "the underside of %s is at %g", of, *t.Underside)
		}
		return nil
	}
	if !(t.Depth > 0) || !isFinite(t.Depth) {
		return inputError(CodeThickeningDepth, "depth", "give a depth above 0", "%s is %s deep", of, opts.length("%g", t.Depth))
	}
	switch t.From {
	case FromFinished, FromFormation:
	case FromSlab:
		if p.slab(t.Slab) < 0 {
			return inputError(CodeThickeningSlab, "slab", "name the layer that is the slab, as in slab = \"concrete\"",
				"which layer of %s is the slab that the depth of %s counts from is not clear", p.label(), of)
		}
	default:
		return inputError(CodeThickeningFrom, "from", `say from = "finished", "slab underside" or "formation": drawings give overall depths from the top of the slab`,
			"the depth of %s does not say what it counts from", of)
	}
	return nil
}
