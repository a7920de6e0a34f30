package tin

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"sort"

	"barrow/tin/internal/mesh"
	"barrow/tin/internal/robust"
)

// segment is one straight piece of a line between two vertices of a graph; line
// says which line it is part of.
type segment struct {
	a, b int32
	line int32
}

// graph is a set of places in the plane and of segments between them.
type graph struct {
	at       []mesh.XY
	index    map[mesh.XY]int32
	segments []segment
}

// vertex returns the number of a place, which it adds if it is new.
func (g *graph) vertex(x, y float64) (v int32, added bool) {
	p := mesh.XY{X: settle(x), Y: settle(y)}
	if v, ok := g.index[p]; ok {
		return v, false
	}
	v = int32(len(g.at))
	g.index[p] = v
	g.at = append(g.at, p)
	return v, true
}

func (g *graph) join(a, b, line int32) {
	if a != b {
		g.segments = append(g.segments, segment{a, b, line})
	}
}

// crossingRounds bounds the rounds of splitCrossings, crossingsMost the
// crossings of one round: more are no drawing, and would fill the memory.
const (
	crossingRounds = 10
	crossingsMost  = 100_000
)

// splitCrossings cuts all segments at their proper crossings. Each crossing is
// rounded once from the exact crossing of the two segments; as rounding bends
// the halves, they are looked at again until no crossing is left. A segment that
// is cut is first cut at the vertices exactly on it, which its bent parts would
// miss. meet is told of each crossing before its vertex is added, touch of each
// vertex on a segment that is cut.
func (g *graph) splitCrossings(whole bool, meet func(s, r segment, c mesh.Crossing) error, touch func(s segment, v int32) error) error {
	for round := 0; ; round++ {
		g.order()
		plain := make([]mesh.Segment, len(g.segments))
		for i, s := range g.segments {
			plain[i] = mesh.Segment{A: s.a, B: s.b}
		}
		pairs := mesh.Crossings(g.at, plain, crossingsMost)
		switch len(pairs) {
		case 0:
			return nil
		case crossingsMost:
			return &InputError{
				Code: "too_many_crossings", Message: fmt.Sprintf("lines cross at %d places or more", crossingsMost),
				Hint: "check that the vertices are in order along their lines",
			}
		}
		if round == crossingRounds {
			s, r := g.segments[pairs[0][0]], g.segments[pairs[0][1]]
			return &tangledError{s, r}
		}
		cuts := make(map[int][]cut)
		on := newPlacesOn(g)
		for _, p := range pairs {
			for _, i := range p {
				if cuts[i] != nil {
					continue
				}
				for _, v := range on.segment(g.segments[i]) {
					if err := touch(g.segments[i], v); err != nil {
						return err
					}
					cuts[i] = append(cuts[i], cut{g.along(g.segments[i], v), v})
				}
			}
			s, r := g.segments[p[0]], g.segments[p[1]]
			c := mesh.Cross(g.at, plain[p[0]], plain[p[1]], whole)
			if !whole {
				c.XY = g.snap(c.XY, s, r)
			}
			if err := meet(s, r, c); err != nil {
				return err
			}
			v, _ := g.vertex(c.X, c.Y)
			cuts[p[0]] = append(cuts[p[0]], cut{c.S, v})
			cuts[p[1]] = append(cuts[p[1]], cut{c.R, v})
		}
		before := g.segments
		g.segments = make([]segment, 0, len(before)+2*len(pairs))
		for i, s := range before {
			at := cuts[i]
			slices.SortFunc(at, func(p, q cut) int { return cmp.Compare(p.along, q.along) })
			from := s.a
			for _, c := range at {
				g.join(from, c.v, s.line)
				from = c.v
			}
			g.join(from, s.b, s.line)
		}
	}
}

// snap returns the end of one of two segments that cross where it is within
// rounding of the crossing. Else each round would put a vertex one rounding
// further along a line that nearly passes through the end.
func (g *graph) snap(c mesh.XY, s, r segment) mesh.XY {
	for _, v := range [...]int32{s.a, s.b, r.a, r.b} {
		p := g.at[v]
		near := 0x1p-49 * max(math.Abs(p.X), math.Abs(p.Y), math.Abs(c.X), math.Abs(c.Y))
		if math.Abs(p.X-c.X) <= near && math.Abs(p.Y-c.Y) <= near {
			return p
		}
	}
	return c
}

// cut is a vertex at which a segment is cut, from 0 at its start to 1.
type cut struct {
	along float64
	v     int32
}

// along returns how far along a segment a vertex on it lies.
func (g *graph) along(s segment, v int32) float64 {
	from, to, at := g.at[s.a], g.at[s.b], g.at[v]
	if math.Abs(to.X-from.X) > math.Abs(to.Y-from.Y) {
		return (at.X - from.X) / (to.X - from.X)
	}
	return (at.Y - from.Y) / (to.Y - from.Y)
}

// placesOn finds the vertices exactly on a segment, by their order along each
// axis.
type placesOn struct {
	g        *graph
	byX, byY []int32
}

func newPlacesOn(g *graph) placesOn {
	order := func(key func(mesh.XY) float64) []int32 {
		out := make([]int32, len(g.at))
		for v := range out {
			out[v] = int32(v)
		}
		slices.SortFunc(out, func(v, w int32) int { return cmp.Compare(key(g.at[v]), key(g.at[w])) })
		return out
	}
	return placesOn{g, order(easting), order(northing)}
}

func easting(p mesh.XY) float64  { return p.X }
func northing(p mesh.XY) float64 { return p.Y }

func (p placesOn) segment(s segment) []int32 {
	from, to := p.g.at[s.a], p.g.at[s.b]
	between := func(order []int32, key func(mesh.XY) float64) []int32 {
		lo, hi := min(key(from), key(to)), max(key(from), key(to))
		i := sort.Search(len(order), func(i int) bool { return key(p.g.at[order[i]]) >= lo })
		n := sort.Search(len(order)-i, func(n int) bool { return key(p.g.at[order[i+n]]) > hi })
		return order[i : i+n]
	}
	few := between(p.byX, easting)
	if other := between(p.byY, northing); len(other) < len(few) {
		few = other
	}
	var on []int32
	for _, v := range few {
		at := p.g.at[v]
		if v != s.a && v != s.b &&
			min(from.X, to.X) <= at.X && at.X <= max(from.X, to.X) &&
			min(from.Y, to.Y) <= at.Y && at.Y <= max(from.Y, to.Y) &&
			robust.Orient(from.X, from.Y, to.X, to.Y, at.X, at.Y) == 0 {
			on = append(on, v)
		}
	}
	return on
}

// order turns every segment to run from the lesser to the greater place in the
// order of (x, y) and sorts them, so that what follows depends on places only.
func (g *graph) order() {
	place := func(v, w int32) int {
		return cmp.Or(cmp.Compare(g.at[v].X, g.at[w].X), cmp.Compare(g.at[v].Y, g.at[w].Y))
	}
	for i, s := range g.segments {
		if place(s.a, s.b) > 0 {
			g.segments[i].a, g.segments[i].b = s.b, s.a
		}
	}
	slices.SortFunc(g.segments, func(s, r segment) int {
		return cmp.Or(place(s.a, r.a), place(s.b, r.b), cmp.Compare(s.line, r.line))
	})
}

// tangledError says that two lines still crossed after crossingRounds.
type tangledError struct{ s, r segment }

func (e *tangledError) Error() string {
	return fmt.Sprintf("tin: lines %d and %d cross again and again after %d rounds of splitting",
		e.s.line, e.r.line, crossingRounds)
}
