package tin

import (
	"cmp"
	"fmt"
	"slices"

	"barrow/tin/internal/mesh"
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

// crossingRounds bounds the rounds of splitCrossings.
const crossingRounds = 10

// splitCrossings cuts all segments at their proper crossings. Each crossing is
// rounded once from the exact crossing of the two segments; as rounding bends
// the halves, they are looked at again until no crossing is left. meet is told
// of each crossing before its vertex is added.
func (g *graph) splitCrossings(whole bool, meet func(s, r segment, c mesh.Crossing) error) error {
	for round := 0; ; round++ {
		g.order()
		plain := make([]mesh.Segment, len(g.segments))
		for i, s := range g.segments {
			plain[i] = mesh.Segment{A: s.a, B: s.b}
		}
		pairs := mesh.Crossings(g.at, plain)
		if len(pairs) == 0 {
			return nil
		}
		if round == crossingRounds {
			s, r := g.segments[pairs[0][0]], g.segments[pairs[0][1]]
			return &tangledError{s, r}
		}
		type cut struct {
			along float64
			v     int32
		}
		cuts := make(map[int][]cut)
		for _, p := range pairs {
			s, r := g.segments[p[0]], g.segments[p[1]]
			c := mesh.Cross(g.at, plain[p[0]], plain[p[1]], whole)
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
