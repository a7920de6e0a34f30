package formation

import (
	"github.com/paulmach/orb"
)

// length returns the plan length of the lines together, metres.
func (t *Thickening) length() float64 {
	var lengths []float64
	for _, line := range t.Lines {
		for i := 1; i < len(line); i++ {
			lengths = append(lengths, distance(line[i-1], line[i]))
		}
	}
	return sumSorted(lengths)
}

// footprint returns polygons whose union is the plan of the thickening: its areas, or
// along each line a rectangle for each stretch and what fills the outer side of each
// bend, as for a margin. Ends are square.
func (t *Thickening) footprint() []orb.Polygon {
	out := append([]orb.Polygon{}, t.Areas...)
	for _, line := range t.Lines {
		out = append(out, alongLine(line, t.Width/2)...)
	}
	return out
}

// alongLine returns the polygons along a line, so far to either side.
func alongLine(line orb.LineString, half float64) (out []orb.Polygon) {
	var places []orb.Point
	for _, v := range line {
		if len(places) == 0 || distance(places[len(places)-1], v) >= snap {
			places = append(places, v)
		}
	}
	closed := len(places) > 2 && distance(places[0], places[len(places)-1]) < snap
	if closed {
		places = places[:len(places)-1]
	}
	n := len(places)
	for i, v := range places {
		if i > 0 && i < n-1 || closed {
			out = append(out, bend(places[(i+n-1)%n], v, places[(i+1)%n], half)...)
		}
		if i == n-1 && !closed {
			break
		}
		w := places[(i+1)%n]
		out = append(out, strip(v, w, half))
	}
	return out
}

// strip returns the rectangle along a stretch.
func strip(a, b orb.Point, half float64) orb.Polygon {
	n := outward(unit(a, b))
	return orb.Polygon{{along(a, n, half), along(b, n, half), along(b, n, -half), along(a, n, -half)}}
}

// bend returns what fills the outer side of a bend at v, if anything does: up to where
// the sides meet, cut off square at twice the half width.
func bend(before, v, after orb.Point, half float64) []orb.Polygon {
	turn := cross(before, v, after)
	if turn < 0 { // seen from the other end, it turns the other way
		before, after = after, before
	}
	c := newMitre(unit(before, v), unit(v, after), half, half)
	if turn == 0 || c.g*half < snap {
		return nil
	}
	ring, _ := c.points(v)
	return []orb.Polygon{{ring}}
}
