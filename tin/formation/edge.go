package formation

import (
	"fmt"
	"slices"
	"strconv"

	"github.com/paulmach/orb"

	"barrow/tin"
)

// Edge says what differs from the rest of the pad at one or more sides of its
// outer ring. From and To are corners, by the names in [Pad].Corners or by their
// numbers "1", "2", ... in the outline's order. Corners next to each other, in
// either order, mean the side between them; others mean all sides from the one
// to the other in the outline's order.
type Edge struct {
	From, To  string
	Margin    *float64 // metres on the grid; nil: the pad's
	Cut, Fill *Batter  // nil: the pad's
	Upright   bool     // an upright face in cut and fill
}

// terms are what holds along a side of an outline.
type terms struct {
	pad       int
	margin    float64 // metres; 0, or at least leastMargin
	cut, fill Batter
	ruled     bool // by an Edge
}

// leastMargin is the least margin that counts, metres.
const leastMargin = 1e-6

// sideTerms returns the terms of the sides of all rings, each from a corner to
// the next, and checks them; terms.pad is left 0.
func (p Pad) sideTerms(rings [][]orb.Point) ([][]terms, error) {
	of := p.label()
	if err := checkMargin(p.Margin, "margin", of); err != nil {
		return nil, err
	}
	if err := p.Cut.check("cut", of); err != nil {
		return nil, err
	}
	if err := p.Fill.check("fill", of); err != nil {
		return nil, err
	}
	out := make([][]terms, len(rings))
	for r, ring := range rings {
		out[r] = make([]terms, len(ring))
		for i := range ring {
			out[r][i] = terms{margin: counted(p.Margin), cut: p.Cut, fill: p.Fill}
		}
	}
	names, err := p.cornerNames(rings)
	if err != nil {
		return nil, err
	}
	for k, e := range p.Edges {
		if err := p.applyEdge(out[0], names[0], e, fmt.Sprintf("edges[%d]", k)); err != nil {
			return nil, err
		}
	}
	return out, nil
}

func counted(margin float64) float64 {
	if margin < leastMargin {
		return 0
	}
	return margin
}

// applyEdge changes the terms of the sides that an edge rules.
func (p Pad) applyEdge(sides []terms, names []string, e Edge, key string) error {
	if err := e.check(key, p.label()); err != nil {
		return err
	}
	from, err := p.edgeCorner(names, e.From, key+".from")
	if err != nil {
		return err
	}
	to, err := p.edgeCorner(names, e.To, key+".to")
	if err != nil {
		return err
	}
	if from == to {
		return inputError(CodeEdgeCorner, key+".to", "give the corner where the edge ends",
			"an edge of %s starts and ends at corner %q", p.label(), e.To)
	}
	n := len(sides)
	if (to+1)%n == from {
		from, to = to, from
	}
	for i := from; i != to; i = (i + 1) % n {
		t := &sides[i]
		if t.ruled {
			return inputError(CodeEdgeTwice, key+".from", "give each side one edge",
				"the side from %q to %q of %s is ruled twice", names[i], names[(i+1)%n], p.label())
		}
		t.ruled = true
		if e.Margin != nil {
			t.margin = counted(*e.Margin)
		}
		if e.Cut != nil {
			t.cut = *e.Cut
		}
		if e.Fill != nil {
			t.fill = *e.Fill
		}
		if e.Upright {
			t.cut, t.fill = Batter{}, Batter{}
		}
	}
	return nil
}

// edgeNotes tells of edges that go from a corner to the one before it by their numbers:
// that means the one side between them, where all the way round may have been meant.
// The pad is known to be good.
func (p Pad) edgeNotes(rings [][]orb.Point) (notes []tin.Problem) {
	names, err := p.cornerNames(rings)
	n := len(rings[0])
	if err != nil || n <= 3 {
		return nil
	}
	for k, e := range p.Edges {
		from, err := p.edgeCorner(names[0], e.From, "")
		to, err2 := p.edgeCorner(names[0], e.To, "")
		named := slices.Contains(p.Corners, e.From) || slices.Contains(p.Corners, e.To)
		if named || err != nil || err2 != nil || (to+1)%n != from {
			continue
		}
		v := rings[0][to]
		notes = append(notes, tin.Problem{Code: CodeEdgeOneSide, At: &orb.Point{v[0], v[1]}, Message: fmt.Sprintf(
			"edges[%d] of %s, from %q to %q, is the one side between these corners; for the sides the other way round end it a corner earlier and give the last side an edge of its own",
			k, p.label(), e.From, e.To)})
	}
	return notes
}

func (e Edge) check(key, of string) error {
	of = "an edge of " + of
	if e.Margin != nil {
		if err := checkMargin(*e.Margin, key+".margin", of); err != nil {
			return err
		}
	}
	for _, b := range []struct {
		batter *Batter
		key    string
	}{{e.Cut, ".cut"}, {e.Fill, ".fill"}} {
		if b.batter == nil {
			continue
		}
		if e.Upright {
			return inputError(CodeEdgeUpright, key+b.key, "leave out one of the two", "%s is upright and has a batter", of)
		}
		if err := b.batter.check(key+b.key, of); err != nil {
			return err
		}
	}
	return nil
}

// edgeCorner returns the index of a corner by its name, or its number.
func (p Pad) edgeCorner(names []string, name, key string) (int, error) {
	for i, n := range names {
		if n == name {
			return i, nil
		}
	}
	if k, err := strconv.Atoi(name); err == nil && k >= 1 && k <= len(names) && strconv.Itoa(k) == name {
		return k - 1, nil
	}
	return 0, inputError(CodeEdgeCorner, key, fmt.Sprintf("give a corner's name, or its number from 1 to %d", len(names)),
		"%s has no corner %q", p.label(), name)
}
