package formation

import (
	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
)

// SideRule is what holds along a side of a pad's outline.
type SideRule struct {
	Margin    float64 // metres on the grid
	Cut, Fill Batter
}

// SideRules returns what holds along the sides of all rings, each from a corner to the
// next, in the order of [Geometry].Corners. Its errors are those of [Pad.Check].
func (p Pad) SideRules() ([][]SideRule, error) {
	terms, err := p.sideTerms(outlineRings(p.Outline))
	if err != nil {
		return nil, err
	}
	out := make([][]SideRule, len(terms))
	for r, ring := range terms {
		for _, t := range ring {
			out[r] = append(out[r], SideRule{t.margin, t.cut, t.fill})
		}
	}
	return out, nil
}

// reaching is how near a place must be to a formation outline to be reached by it,
// metres: pads that are drawn side by side may miss each other by as much.
const reaching = 0.01

// Reaches reports whether a place, metres, is inside the formation outline or as near to
// it as pads that are meant to touch.
func (o *Outline) Reaches(at orb.Point) bool {
	in := false
	for _, ring := range o.Rings {
		for i, a := range ring {
			b := ring[(i+1)%len(ring)]
			p, q := orb.Point{a.E, a.N}, orb.Point{b.E, b.N}
			if planar.DistanceFromSegment(p, q, at) <= reaching {
				return true
			}
			if (p[1] > at[1]) != (q[1] > at[1]) && at[0] < p[0]+float64((q[0]-p[0])*((at[1]-p[1])/(q[1]-p[1]))) {
				in = !in
			}
		}
	}
	return in
}
