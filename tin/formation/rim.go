package formation

import (
	"math"

	"github.com/paulmach/orb"

	"barrow/tin/formation/internal/boxtree"
)

// snap is how near a spot must be to a corner or a side of its pad to count as
// on it, metres: far above the rounding of map coordinates, far below what is
// built.
const snap = 1e-6

// side is a side of a ring, with its ends in the order of coordinates, so that
// nothing depends on the outline's direction.
type side struct {
	a, b   orb.Point
	ring   int
	ia, ib int // indices of a and b in the ring's given order
}

// rim is all sides of an outline.
type rim struct {
	sides []side
	tree  *boxtree.Tree
}

func newRim(rings [][]orb.Point) *rim {
	var r rim
	var boxes []orb.Bound
	for k, ring := range rings {
		for i, v := range ring {
			j := (i + 1) % len(ring)
			s := side{a: v, b: ring[j], ring: k, ia: i, ib: j}
			if comparePoints(s.b, s.a) < 0 {
				s.a, s.b, s.ia, s.ib = s.b, s.a, s.ib, s.ia
			}
			r.sides = append(r.sides, s)
			boxes = append(boxes, orb.MultiPoint{s.a, s.b}.Bound())
		}
	}
	r.tree = boxtree.New(boxes)
	return &r
}

// holds reports whether p lies inside: whether the number of sides east of it
// is odd. On the rim itself it may say either.
func (r *rim) holds(p orb.Point) bool {
	in := false
	r.tree.Meeting(orb.Bound{Min: p, Max: orb.Point{math.Inf(1), p[1]}}, func(i int) {
		a, b := r.sides[i].a, r.sides[i].b
		if (a[1] > p[1]) == (b[1] > p[1]) {
			return
		}
		left := float64((b[0]-a[0])*(p[1]-a[1])) - float64((b[1]-a[1])*(p[0]-a[0]))
		if (left > 0) == (b[1] > a[1]) {
			in = !in
		}
	})
	return in
}

// near returns the side p lies on within snap, if any, and how far along from
// a to b: exactly 0 or 1 at a corner.
func (r *rim) near(p orb.Point) (i int, along float64, ok bool) {
	best := math.Inf(1)
	r.tree.Meeting(orb.Bound{Min: p, Max: p}.Pad(snap), func(k int) {
		d, t := r.sides[k].distance(p)
		// Two sides meet at a corner at the same distance: the lower index is taken.
		if d <= snap && (d < best || d == best && k < i) {
			best, i, along, ok = d, k, t, true
		}
	})
	return i, along, ok
}

// distance returns how far p lies from the side, and the place along it; 0 from
// an end within snap.
func (s side) distance(p orb.Point) (d, along float64) {
	if distance(s.a, p) <= snap {
		return 0, 0
	}
	if distance(s.b, p) <= snap {
		return 0, 1
	}
	de, dn := s.b[0]-s.a[0], s.b[1]-s.a[1]
	pe, pn := p[0]-s.a[0], p[1]-s.a[1]
	along = (float64(pe*de) + float64(pn*dn)) / (float64(de*de) + float64(dn*dn))
	along = min(max(along, 0), 1)
	return math.Hypot(pe-float64(along*de), pn-float64(along*dn)), along
}
