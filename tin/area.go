package tin

import (
	"math"

	"github.com/paulmach/orb"

	"barrow/tin/internal/robust"
)

// Area is a part of the plan in which a later survey takes the place of earlier
// ones: what lies inside any of its polygons. Every question about it is decided
// exactly.
type Area struct {
	frame    Frame
	polygons []localPolygon // without repeated corners, the inside to the left of every side
	bounds   []orb.Bound    // of the polygons, local
	rows     []areaRows     // of the polygons
}

// NewArea makes an area of polygons whose coordinates are in the unit of the
// survey. sources are all that the ground will be made of: they decide how
// finely a crossing of a breakline with the rim is rounded, so that it fits
// among the places of the surface. A polygon that is no simple outline is an
// error of [CheckOutline].
func NewArea(polygons orb.MultiPolygon, sources []Source) (*Area, error) {
	var x extent
	for _, s := range sources {
		x.addPlaces(s.Points)
		for _, l := range s.Breaklines {
			x.addPlaces(l.Vertices)
		}
	}
	a := &Area{frame: x.frame(Metre)}
	for i, p := range polygons {
		if err := CheckOutline(p); err != nil {
			return nil, inPolygon(err, i, len(polygons))
		}
		local := a.frame.polygon(p, func(c orb.Point) (x, y float64) { return a.local(c[0], c[1]) })
		for r := range local {
			local[r] = turned(distinct(local[r]), r == 0)
		}
		if len(local[0]) < 3 {
			continue // nothing is left of it among the places of the survey
		}
		a.polygons = append(a.polygons, local)
		a.bounds = append(a.bounds, local.bound())
		a.rows = append(a.rows, newAreaRows(local))
	}
	return a, nil
}

func (x *extent) addPlaces(points []Point) {
	for _, p := range points {
		if isPlace(orb.Point{p.E, p.N}) {
			x.add(p.E, p.N)
		}
	}
}

func (a *Area) local(e, n float64) (x, y float64) {
	return a.frame.in(e, a.frame.e0), a.frame.in(n, a.frame.n0)
}

// Side returns 1 for a place inside the area, 0 on its rim, -1 outside. A side
// that two polygons share, one on each hand, is inside. Coordinates are in the
// unit of the survey; what is no coordinate is outside.
func (a *Area) Side(e, n float64) int {
	if !isPlace(orb.Point{e, n}) {
		return -1
	}
	return a.side(a.local(e, n))
}

func (a *Area) side(x, y float64) int {
	var on []localPolygon
	for i, p := range a.polygons {
		if !a.bounds[i].Contains(orb.Point{x, y}) {
			continue
		}
		switch a.rows[i].side(x, y) {
		case 1:
			return 1
		case 0:
			on = append(on, p)
		}
	}
	switch {
	case len(on) == 0:
		return -1
	case surrounded(on, [2]float64{x, y}):
		return 1
	}
	return 0
}

// wedge is the part of a polygon next to a place on its rim: the directions
// from the one towards from, anticlockwise, to the one towards to.
type wedge struct{ at, from, to [2]float64 }

// surrounded reports whether polygons with a place on their rims hold all that
// is next to it: if they do not, some wedge ends where no other goes on.
func surrounded(polygons []localPolygon, at [2]float64) bool {
	var wedges []wedge
	for _, p := range polygons {
		for _, ring := range p {
			for i, b := range ring {
				a, c := ring[(i+len(ring)-1)%len(ring)], ring[(i+1)%len(ring)]
				switch {
				case b == at:
					wedges = append(wedges, wedge{at, c, a})
				case c != at && onSide(b, c, at):
					wedges = append(wedges, wedge{at, c, b})
				}
			}
		}
	}
	for _, w := range wedges {
		goesOn := false
		for _, v := range wedges {
			goesOn = goesOn || v.starts(w.to)
		}
		if !goesOn {
			return false
		}
	}
	return true
}

// starts reports whether the wedge holds the direction towards q and those just
// anticlockwise of it.
func (w wedge) starts(q [2]float64) bool {
	if sameWay(w.at, w.from, q) {
		return true
	}
	switch turn(w.at, w.from, w.to) {
	case 1:
		return turn(w.at, w.from, q) > 0 && turn(w.at, q, w.to) > 0
	case 0: // the wedge is a half-plane
		return turn(w.at, w.from, q) > 0
	}
	return !sameWay(w.at, w.to, q) && !(turn(w.at, w.to, q) > 0 && turn(w.at, q, w.from) > 0)
}

func turn(a, b, c [2]float64) int { return robust.Orient(a[0], a[1], b[0], b[1], c[0], c[1]) }

// sameWay reports whether p and q lie in one direction from a place.
func sameWay(at, p, q [2]float64) bool {
	return turn(at, p, q) == 0 && (p[0] > at[0]) == (q[0] > at[0]) && (p[0] < at[0]) == (q[0] < at[0]) &&
		(p[1] > at[1]) == (q[1] > at[1]) && (p[1] < at[1]) == (q[1] < at[1])
}

// onSide reports whether a place lies on the side from a to b.
func onSide(a, b, at [2]float64) bool {
	return min(a[0], b[0]) <= at[0] && at[0] <= max(a[0], b[0]) &&
		min(a[1], b[1]) <= at[1] && at[1] <= max(a[1], b[1]) && turn(a, b, at) == 0
}

// distinct returns a ring without corners repeated at once.
func distinct(ring [][2]float64) [][2]float64 {
	out := ring[:0]
	for i, c := range ring {
		if i == 0 || c != out[len(out)-1] {
			out = append(out, c)
		}
	}
	for len(out) > 1 && out[0] == out[len(out)-1] {
		out = out[:len(out)-1]
	}
	return out
}

// turned returns a simple ring anticlockwise, or clockwise for a hole.
func turned(ring [][2]float64, anticlockwise bool) [][2]float64 {
	k := 0 // the least corner by (x, y): the ring turns there as it does as a whole
	for i, c := range ring {
		if least := ring[k]; c[0] < least[0] || c[0] == least[0] && c[1] < least[1] {
			k = i
		}
	}
	n := len(ring)
	if (turn(ring[(k+n-1)%n], ring[k], ring[(k+1)%n]) > 0) == anticlockwise {
		return ring
	}
	out := make([][2]float64, n)
	for i, c := range ring {
		out[n-1-i] = c
	}
	return out
}

func (p localPolygon) bound() orb.Bound {
	b := orb.Bound{Min: orb.Point{math.Inf(1), math.Inf(1)}, Max: orb.Point{math.Inf(-1), math.Inf(-1)}}
	for _, c := range p[0] {
		b = b.Extend(orb.Point(c))
	}
	return b
}
