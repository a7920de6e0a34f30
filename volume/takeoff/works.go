package takeoff

import (
	"math"

	"github.com/paulmach/orb"

	"barrow/tin"
	"barrow/tin/formation"
)

// works is the plan of all works together, in triangles that do not overlap;
// metres on the grid.
type works struct {
	facets []tin.Facet
	boxes  []orb.Bound
	box    orb.Bound
}

func newWorks(l *formation.Layout) *works {
	w := &works{}
	for _, p := range l.Pads {
		w.facets = append(w.facets, p.Facets...)
	}
	for i, f := range w.facets {
		box := orb.Bound{Min: f.Cell.Corner[0], Max: f.Cell.Corner[0]}
		box = box.Extend(f.Cell.Corner[1]).Extend(f.Cell.Corner[2])
		w.boxes = append(w.boxes, box)
		if i == 0 {
			w.box = box
		} else {
			w.box = w.box.Union(box)
		}
	}
	return w
}

// at returns the facets that hold a place, rims included.
func (w *works) at(p orb.Point) []tin.Facet {
	if !w.box.Contains(p) {
		return nil
	}
	var in []tin.Facet
	for i, f := range w.facets {
		if w.boxes[i].Contains(p) && holds(f.Cell.Corner, p) {
			in = append(in, f)
		}
	}
	return in
}

func holds(t [3]orb.Point, p orb.Point) bool {
	for i := range 3 {
		if side(t[i], t[(i+1)%3], p) < 0 {
			return false
		}
	}
	return true
}

// side is twice the area of triangle a, b, p, above 0 where p is to the left of
// a, b. It rounds, and only decides what is looked at, and areas.
func side(a, b, p orb.Point) float64 {
	return float64((b[0]-a[0])*(p[1]-a[1])) - float64((b[1]-a[1])*(p[0]-a[0]))
}

// overlap returns the area of a triangle of the ground inside works that lie on
// ground, and a place in it.
func (w *works) overlap(t tin.Triangle) (area float64, at orb.Point) {
	var corners [3]orb.Point
	for i, c := range t.Corner {
		corners[i] = orb.Point{c.E, c.N}
	}
	box := orb.Bound{Min: corners[0], Max: corners[0]}.Extend(corners[1]).Extend(corners[2])
	if !box.Intersects(w.box) {
		return 0, at
	}
	for i, f := range w.facets {
		if !f.Cell.Ground || !box.Intersects(w.boxes[i]) {
			continue
		}
		a, p := commonArea(corners, f.Cell.Corner)
		if a > 0 && area == 0 {
			at = p
		}
		area += a
	}
	return area, at
}

// commonArea returns the area common to two triangles, both anticlockwise, and
// a place in it: the first is clipped by the sides of the second (Sutherland and
// Hodgman 1974), from the first's own corner, so that large coordinates cost no
// digits.
func commonArea(s, t [3]orb.Point) (area float64, at orb.Point) {
	origin := s[0]
	piece := make([]orb.Point, 0, 9)
	for _, p := range s {
		piece = append(piece, orb.Point{p[0] - origin[0], p[1] - origin[1]})
	}
	next := make([]orb.Point, 0, 9)
	for i := range 3 {
		a, b := t[i], t[(i+1)%3]
		a, b = orb.Point{a[0] - origin[0], a[1] - origin[1]}, orb.Point{b[0] - origin[0], b[1] - origin[1]}
		next = next[:0]
		for j, p := range piece {
			q := piece[(j+1)%len(piece)]
			dp, dq := side(a, b, p), side(a, b, q)
			if dp >= 0 {
				next = append(next, p)
			}
			if (dp > 0) != (dq > 0) && dp != dq {
				k := dp / (dp - dq)
				if k > 0 && k < 1 {
					next = append(next, orb.Point{p[0] + k*(q[0]-p[0]), p[1] + k*(q[1]-p[1])})
				}
			}
		}
		piece, next = next, piece
		if len(piece) < 3 {
			return 0, at
		}
	}
	for i := 1; i+1 < len(piece); i++ {
		area += side(piece[0], piece[i], piece[i+1]) / 2
	}
	for _, p := range piece {
		at[0] += p[0] / float64(len(piece))
		at[1] += p[1] / float64(len(piece))
	}
	return math.Max(area, 0), orb.Point{at[0] + origin[0], at[1] + origin[1]}
}
