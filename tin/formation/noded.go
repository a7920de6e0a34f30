package formation

import (
	"errors"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"barrow/tin"
	"barrow/tin/formation/internal/boxtree"
)

// tangled is the code of [tin.Surface.Partition] for sides that cross again and again.
const tangled = "outlines_tangled"

// partition cuts the plan as [tin.Surface.Partition] does. Where sides that are one
// but for rounding cross again and again, they are first led through each other's
// corners; near is how far apart rounding may put them, metres.
func partition(ground *tin.Surface, polygons []orb.Polygon, lines []orb.LineString, near float64) ([]tin.Cell, error) {
	cells, err := ground.Partition(polygons, lines)
	if in, ok := errors.AsType[*tin.InputError](err); ok && in.Code == tangled {
		if cells, again := ground.Partition(noded(polygons, near), lines); again == nil {
			return cells, nil
		}
	}
	return cells, err
}

// noded returns the polygons with each side led through the corners of others that
// are near it, and corners near to each other made one.
func noded(polygons []orb.Polygon, near float64) []orb.Polygon {
	one, places := oneOfNear(polygons, near)
	boxes := make([]orb.Bound, len(places))
	for i, p := range places {
		boxes[i] = orb.Bound{Min: p, Max: p}
	}
	tree := boxtree.New(boxes)
	out := make([]orb.Polygon, len(polygons))
	for k, polygon := range polygons {
		for _, ring := range outlineRings(polygon) {
			var through orb.Ring
			for i, v := range ring {
				a, b := one[v], one[ring[(i+1)%len(ring)]]
				if a == b {
					continue
				}
				through = append(append(through, a), between(a, b, tree, places, near)...)
			}
			out[k] = append(out[k], through)
		}
	}
	return out
}

// oneOfNear returns which corner each corner counts as, and all that are left: of
// those near to each other, the least by easting, then northing.
func oneOfNear(polygons []orb.Polygon, near float64) (one map[orb.Point]orb.Point, places []orb.Point) {
	var corners []orb.Point
	for _, p := range polygons {
		for _, ring := range p {
			corners = append(corners, ring...)
		}
	}
	slices.SortFunc(corners, comparePoints)
	one = make(map[orb.Point]orb.Point)
	for _, v := range corners {
		if _, known := one[v]; known {
			continue
		}
		one[v] = v
		for i := len(places) - 1; i >= 0 && v[0]-places[i][0] <= near; i-- {
			if distance(places[i], v) <= near {
				one[v] = places[i]
			}
		}
		if one[v] == v {
			places = append(places, v)
		}
	}
	return one, places
}

// between returns the places near a side, in order from a to b.
func between(a, b orb.Point, tree *boxtree.Tree, places []orb.Point, near float64) (out []orb.Point) {
	d := unit(a, b)
	length := distance(a, b)
	var on []sidePoint
	tree.Meeting(orb.MultiPoint{a, b}.Bound().Pad(near), func(i int) {
		p := places[i]
		e, n := p[0]-a[0], p[1]-a[1]
		far := float64(e*d[0]) + float64(n*d[1])
		off := float64(e*d[1]) - float64(n*d[0])
		if p != a && p != b && math.Abs(off) <= near && far > 0 && far < length {
			on = append(on, sidePoint{far, p})
		}
	})
	sortAlong(on, true)
	for _, p := range on {
		out = append(out, p.place)
	}
	return out
}
