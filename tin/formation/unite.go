package formation

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"barrow/tin"
	"barrow/tin/formation/internal/boxtree"
)

// Below 8 times the rounding, corners are one and cracks are closed.
const fine = 8

// rounding is about how far apart roundings may put what is one place, metres.
func rounding(polygons []orb.Polygon) float64 {
	far := 0.0
	for _, p := range polygons {
		for _, ring := range p {
			for _, v := range ring {
				far = max(far, math.Abs(v[0]), math.Abs(v[1]))
			}
		}
	}
	return max(1e-9, 4*(math.Nextafter(far, math.Inf(1))-far))
}

// unite returns the rings round the union of polygons whose sides are among the
// segments. least is the width below which cracks between them are rounding.
func unite(ground *tin.Surface, polygons []orb.Polygon, segments []*segment, least float64) ([]trace, error) {
	cells, err := partition(ground, append(slices.Clone(polygons), box(polygons)), nil, fine*least)
	if err != nil {
		return nil, fmt.Errorf("formation: outlines cannot be joined: %w", err)
	}
	given := make(map[orb.Point]orb.Point) // by where the cells have it
	for _, p := range polygons {
		for _, ring := range p {
			for _, v := range ring {
				given[ground.Frame().Metres(ground.Frame().Local(v))] = v
			}
		}
	}
	var edges edgeSet
	for i, solid := range withoutCracks(cells, fine*least) {
		if solid {
			edges.add(cells[i])
		}
	}
	find := newSegmentFinder(segments, fine*least)
	fixed := func(p orb.Point) bool { return given[p] == p }
	var rings []trace
	for _, ring := range edges.rings() {
		t := make(trace, len(ring))
		for i, p := range ring {
			t[i].at = p
			if v, ok := given[p]; ok {
				t[i].at = v
			}
		}
		for i := range t {
			t[i].seg = find.along(t.side(i))
		}
		if t = t.withoutShort(fine*least, fixed).withoutStraight(); len(t) >= 3 && t.width() >= least {
			rings = append(rings, t.turned())
		}
	}
	sortTraces(rings)
	return rings, nil
}

// box returns a rectangle round polygons, some way off.
func box(polygons []orb.Polygon) orb.Polygon {
	b := polygons[0].Bound()
	for _, p := range polygons[1:] {
		b = b.Union(p.Bound())
	}
	b = b.Pad(1 + math.Ceil(max(b.Max[0]-b.Min[0], b.Max[1]-b.Min[1])/4))
	return orb.Polygon{{b.Min, {b.Max[0], b.Min[1]}, b.Max, {b.Min[0], b.Max[1]}}}
}

func triangle(c tin.Cell) (t [3]tin.Vertex) {
	for i, p := range c.Corner {
		t[i] = tin.Vertex{E: p[0], N: p[1]}
	}
	return t
}

// edgeSet gathers the edges of cells; those that two cells share cancel.
type edgeSet struct {
	edges [][2]orb.Point
	times map[[2]orb.Point]int
}

func (s *edgeSet) add(c tin.Cell) {
	if s.times == nil {
		s.times = make(map[[2]orb.Point]int)
	}
	for i := range 3 {
		e := [2]orb.Point{c.Corner[i], c.Corner[(i+1)%3]}
		back := [2]orb.Point{e[1], e[0]}
		switch {
		case e[0] == e[1]:
		case s.times[back] > 0:
			s.times[back]--
		default:
			s.times[e]++
			s.edges = append(s.edges, e)
		}
	}
}

// rings chains the edges that are left into rings, none of which comes to a
// corner twice.
func (s *edgeSet) rings() (out [][]orb.Point) {
	var left [][2]orb.Point
	for _, e := range s.edges {
		if s.times[e] > 0 {
			s.times[e]--
			left = append(left, e)
		}
	}
	slices.SortFunc(left, func(e, f [2]orb.Point) int {
		return cmp.Or(comparePoints(e[0], f[0]), comparePoints(e[1], f[1]))
	})
	next := make(map[orb.Point][]orb.Point)
	for _, e := range left {
		next[e[0]] = append(next[e[0]], e[1])
	}
	for _, e := range left {
		out = append(out, walk(next, e[0])...)
	}
	return out
}

// walk goes from a point along unused edges until there is none, and cuts off a
// ring whenever it comes back to where it was.
func walk(next map[orb.Point][]orb.Point, from orb.Point) (rings [][]orb.Point) {
	path := []orb.Point{from}
	place := map[orb.Point]int{from: 0}
	for {
		last := path[len(path)-1]
		to := next[last]
		if len(to) == 0 {
			return rings
		}
		next[last] = to[1:]
		k, met := place[to[0]]
		if !met {
			place[to[0]] = len(path)
			path = append(path, to[0])
			continue
		}
		rings = append(rings, slices.Clone(path[k:]))
		for _, p := range path[k+1:] {
			delete(place, p)
		}
		path = path[:k+1]
	}
}

// segmentFinder finds the segment that a side runs along.
type segmentFinder struct {
	segments []*segment
	tree     *boxtree.Tree
	reach    float64
}

func newSegmentFinder(segments []*segment, reach float64) *segmentFinder {
	boxes := make([]orb.Bound, len(segments))
	for i, s := range segments {
		boxes[i] = orb.MultiPoint{s.a, s.b}.Bound()
	}
	return &segmentFinder{segments, boxtree.New(boxes), reach}
}

// along returns the first segment within reach of a side and in its direction;
// if rounding left none, the nearest.
func (f *segmentFinder) along(a, b orb.Point) *segment {
	near := func(reach float64) (found *segment) {
		best, first := math.Inf(1), 0
		f.tree.Meeting(orb.MultiPoint{a, b}.Bound().Pad(reach), func(i int) {
			s := f.segments[i]
			da, _ := side{a: s.a, b: s.b}.distance(a)
			db, _ := side{a: s.a, b: s.b}.distance(b)
			d := max(da, db)
			if float64((b[0]-a[0])*(s.b[0]-s.a[0]))+float64((b[1]-a[1])*(s.b[1]-s.a[1])) < 0 {
				d += f.reach // against its direction
			}
			if d <= f.reach {
				d = 0
			}
			if d < best || d == best && i < first {
				found, best, first = s, d, i
			}
		})
		return found
	}
	for reach := f.reach; ; reach *= 100 {
		if s := near(reach); s != nil {
			return s
		}
	}
}
