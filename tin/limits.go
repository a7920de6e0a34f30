package tin

import (
	"barrow/tin/internal/robust"

	"github.com/paulmach/orb"
)

// limits is where the surveyed ground ends in plan, in local coordinates:
// inside any polygon of the boundary (everywhere if there is none) and outside
// every void.
type limits struct {
	boundary, voids []localPolygon
}

// localPolygon is a polygon in local coordinates: rings without their closing
// vertex.
type localPolygon [][][2]float64

func (f Frame) polygon(p orb.Polygon, in func(orb.Point) (x, y float64)) localPolygon {
	out := make(localPolygon, len(p))
	for i, ring := range p {
		for j, c := range ring {
			if j > 0 && j == len(ring)-1 && c == ring[0] {
				break
			}
			x, y := in(c)
			out[i] = append(out[i], [2]float64{x, y})
		}
	}
	return out
}

func (l limits) any() bool { return len(l.boundary)+len(l.voids) > 0 }

// holds reports whether a local point lies within the limits, their lines
// included.
func (l limits) holds(x, y float64) bool {
	inside := len(l.boundary) == 0
	for _, p := range l.boundary {
		if p.side(x, y) >= 0 {
			inside = true
			break
		}
	}
	if !inside {
		return false
	}
	for _, p := range l.voids {
		if p.side(x, y) > 0 {
			return false
		}
	}
	return true
}

// side returns 1 for a point inside the polygon, 0 on its line, -1 outside,
// decided exactly.
func (p localPolygon) side(x, y float64) int {
	inside := false
	for _, ring := range p {
		for i, a := range ring {
			switch east(a, ring[(i+1)%len(ring)], x, y) {
			case 0:
				return 0
			case 1:
				inside = !inside
			}
		}
	}
	if inside {
		return 1
	}
	return -1
}

// east returns 0 for a point on the side from a to b, 1 where a line from the
// point to the east crosses the side, else -1. An end counts where the side goes
// up from it, or comes down to it.
func east(a, b [2]float64, x, y float64) int {
	if (a[1] > y) == (b[1] > y) {
		if a[1] == y && b[1] == y && (min(a[0], b[0]) <= x && x <= max(a[0], b[0])) {
			return 0
		}
		if (a == [2]float64{x, y}) || (b == [2]float64{x, y}) {
			return 0
		}
		return -1
	}
	if a[1] > b[1] {
		a, b = b, a
	}
	return robust.Orient(a[0], a[1], b[0], b[1], x, y)
}

// in returns the limits in another frame.
func (l limits) in(f, g Frame) limits {
	if f == g {
		return l
	}
	move := func(from []localPolygon) []localPolygon {
		out := make([]localPolygon, len(from))
		for i, poly := range from {
			out[i] = make(localPolygon, len(poly))
			for j, ring := range poly {
				for _, c := range ring {
					x, y := f.from(g, c[0], c[1])
					out[i][j] = append(out[i][j], [2]float64{x, y})
				}
			}
		}
		return out
	}
	return limits{move(l.boundary), move(l.voids)}
}
