package formation

import (
	"math"

	"github.com/paulmach/orb"
)

// drawn is a pad as drawn: its rings, and what lies on them or within.
type drawn struct {
	pad   Pad
	plane func(p orb.Point) float64 // formation level; nil for a pad with its own levels
	rings []trace
	rim   *rim
	bound orb.Bound
}

func newDrawn(p Pad, laid *LaidPad, sides [][]terms, i int) *drawn {
	rings := outlineRings(p.Outline)
	d := &drawn{pad: p, rings: outlineTraces(rings, sides, i), rim: newRim(rings), bound: p.Outline.Bound()}
	if p.Levels == nil {
		d.plane = func(p orb.Point) float64 { return laid.Plane.LevelAt(p[0], p[1]) }
	}
	return d
}

// groups returns the pads that are one for margin and batters: each group's
// members ascending, groups by their first.
func groups(pads []*drawn) [][]int {
	head := make([]int, len(pads))
	for i := range pads {
		head[i] = i
		for j := range i {
			if head[j] == head[i] || !pads[i].isOneWith(pads[j]) {
				continue
			}
			low, high := min(head[i], head[j]), max(head[i], head[j])
			for k := range i + 1 {
				if head[k] == high {
					head[k] = low
				}
			}
		}
	}
	members := make([][]int, len(pads))
	for i, h := range head {
		members[h] = append(members[h], i)
	}
	var out [][]int
	for _, m := range members {
		if m != nil {
			out = append(out, m)
		}
	}
	return out
}

// isOneWith reports whether two pads touch along a stretch or overlap, and have
// the same plane, margin and batters, no side that an [Edge] rules where they
// meet.
func (d *drawn) isOneWith(o *drawn) bool {
	p, q := d.pad, o.pad
	if d.plane == nil || o.plane == nil || counted(p.Margin) != counted(q.Margin) || p.Cut != q.Cut || p.Fill != q.Fill ||
		!d.bound.Pad(snap).Intersects(o.bound) || !samePlane(d, o) {
		return false
	}
	one := false
	for _, pair := range [][2]*drawn{{d, o}, {o, d}} {
		for _, t := range pair[0].rings {
			for i := range t {
				if !pair[1].rim.meets(t.side(i)) {
					continue
				}
				if t[i].seg.ruled {
					return false
				}
				one = true
			}
		}
	}
	return one
}

// samePlane reports whether the planes of two pads are the same to a micrometre
// all over both.
func samePlane(d, o *drawn) bool {
	b := d.bound.Union(o.bound)
	for _, p := range []orb.Point{b.Min, b.Max, {b.Min[0], b.Max[1]}} {
		if math.Abs(d.plane(p)-o.plane(p)) > 1e-6 {
			return false
		}
	}
	return true
}
