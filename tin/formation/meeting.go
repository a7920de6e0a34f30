package formation

import (
	"slices"

	"github.com/paulmach/orb"
)

// leastTouch is how long a stretch must be for pads to touch, metres.
const leastTouch = 1e-3

// meets reports whether a stretch of a segment lies inside an outline or on its
// rim, within snap.
func (r *rim) meets(a, b orb.Point) bool {
	length := distance(a, b)
	cuts := []float64{0, 1}
	s := side{a: a, b: b}
	r.tree.Meeting(orb.MultiPoint{a, b}.Bound().Pad(snap), func(i int) {
		o := r.sides[i]
		for _, p := range []orb.Point{o.a, o.b} {
			if d, t := s.distance(p); d <= 2*snap {
				cuts = append(cuts, t)
			}
		}
		c, d := cross(o.a, o.b, a), cross(o.a, o.b, b)
		if (c > 0) != (d > 0) {
			cuts = append(cuts, min(max(c/(c-d), 0), 1))
		}
	})
	slices.Sort(cuts)
	for i := 1; i < len(cuts); i++ {
		if (cuts[i]-cuts[i-1])*length < leastTouch {
			continue
		}
		middle := along(a, orb.Point{b[0] - a[0], b[1] - a[1]}, (cuts[i]+cuts[i-1])/2)
		if _, _, on := r.near(middle); on || r.holds(middle) {
			return true
		}
	}
	return false
}

// shared returns the stretch that two segments have in common within snap.
func shared(s, t side) (a, b orb.Point, ok bool) {
	d := orb.Point{s.b[0] - s.a[0], s.b[1] - s.a[1]}
	square := float64(d[0]*d[0]) + float64(d[1]*d[1])
	if square == 0 {
		return a, b, false
	}
	var at [2]float64
	for i, p := range []orb.Point{t.a, t.b} {
		at[i] = (float64((p[0]-s.a[0])*d[0]) + float64((p[1]-s.a[1])*d[1])) / square
		at[i] = min(max(at[i], 0), 1)
	}
	a, b = along(s.a, d, min(at[0], at[1])), along(s.a, d, max(at[0], at[1]))
	for _, p := range []orb.Point{a, b} {
		if away, _ := t.distance(p); away > snap {
			return a, b, false
		}
	}
	return a, b, distance(a, b) >= leastTouch
}
