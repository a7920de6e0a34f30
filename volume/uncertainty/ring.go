package uncertainty

import (
	"math"

	"github.com/paulmach/orb"
)

// contrast is what a spot left out differs from the mesh of its neighbours: the spot
// less the plane of three of them.
type contrast struct {
	vertex [4]int // the spot first
	at     [4]orb.Point
	weight [4]float64 // 1, then those of the plane, below 0; together 0
	off    float64    // the difference of levels, metres
}

// holding returns which three of a spot's neighbours, anticlockwise round it, make the
// Delaunay triangle that holds it once it is gone: as seen from the paraboloid of
// squared distances, the three whose plane is lowest over the spot. It reports false
// where rounding hides the spot from its ring.
func holding(p orb.Point, ring []orb.Point) (t [3]int, ok bool) {
	rel := make([]orb.Point, len(ring))
	for i, q := range ring {
		rel[i] = orb.Point{q[0] - p[0], q[1] - p[1]}
	}
	t, ok = firstHolding(rel)
	for range 8 * len(rel) { // each turn lowers the plane; rounding could lead it in a circle
		if !ok {
			break
		}
		d := -1
		for i := range rel {
			if i != t[0] && i != t[1] && i != t[2] && inCircle(rel[t[0]], rel[t[1]], rel[t[2]], rel[i]) {
				d = i
				break
			}
		}
		if d < 0 {
			return t, true
		}
		t, ok = replaced(rel, t, d)
	}
	return t, ok
}

// firstHolding returns the neighbour 0 and the two beside the ray that leaves the spot
// away from it.
func firstHolding(rel []orb.Point) (t [3]int, ok bool) {
	for i := 1; i+1 < len(rel); i++ {
		if t = [3]int{0, i, i + 1}; holds(rel, t) {
			return t, true
		}
	}
	return t, false
}

// replaced returns the triangle with one corner replaced by d that holds the spot.
func replaced(rel []orb.Point, t [3]int, d int) ([3]int, bool) {
	for k := range t {
		n := t
		n[k] = d
		if holds(rel, n) {
			return n, true
		}
	}
	return t, false
}

// holds reports whether the anticlockwise triangle holds the origin.
func holds(rel []orb.Point, t [3]int) bool {
	a, b, c := rel[t[0]], rel[t[1]], rel[t[2]]
	return cross(a, b) >= 0 && cross(b, c) >= 0 && cross(c, a) >= 0 && cross(a, b)+cross(b, c)+cross(c, a) > 0
}

func cross(a, b orb.Point) float64 { return float64(a[0]*b[1]) - float64(a[1]*b[0]) }

// inCircle reports whether d lies inside the circle of the anticlockwise triangle, but
// for rounding.
func inCircle(a, b, c, d orb.Point) bool {
	a, b, c = orb.Point{a[0] - d[0], a[1] - d[1]}, orb.Point{b[0] - d[0], b[1] - d[1]}, orb.Point{c[0] - d[0], c[1] - d[1]}
	sq := func(p orb.Point) float64 { return float64(p[0]*p[0]) + float64(p[1]*p[1]) }
	u, v, w := float64(sq(a)*cross(b, c)), float64(sq(b)*cross(c, a)), float64(sq(c)*cross(a, b))
	return u+v+w > 1e-12*(math.Abs(u)+math.Abs(v)+math.Abs(w))
}

// newContrast leaves a spot out. at is the place and level of a vertex.
func newContrast(v int, ring []int, at func(int) (orb.Point, float64)) (c contrast, ok bool) {
	p, level := at(v)
	places := make([]orb.Point, len(ring))
	for i, u := range ring {
		places[i], _ = at(u)
	}
	t, ok := holding(p, places)
	if !ok {
		return c, false
	}
	a, b, d := places[t[0]], places[t[1]], places[t[2]]
	rel := func(q orb.Point) orb.Point { return orb.Point{q[0] - p[0], q[1] - p[1]} }
	part := [3]float64{cross(rel(b), rel(d)), cross(rel(d), rel(a)), cross(rel(a), rel(b))}
	area := part[0] + part[1] + part[2]
	c.vertex[0], c.at[0], c.weight[0] = v, p, 1
	for k := range t {
		u := ring[t[k]]
		_, z := at(u)
		w := part[k] / area
		c.vertex[k+1], c.at[k+1], c.weight[k+1] = u, places[t[k]], -w
		c.off += float64(w * (level - z))
	}
	return c, true
}
