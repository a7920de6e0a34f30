package formation

import (
	"context"
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"barrow/tin"
	"barrow/tin/formation/internal/boxtree"
)

// levelledSide is a side of an outline, or a part of it between spots, with the
// formation levels at its ends.
type levelledSide struct {
	side
	la, lb float64
}

// levelledRim is all sides of an outline with their levels.
type levelledRim struct {
	sides []levelledSide
	tree  *boxtree.Tree
}

// levelledRim returns the sides of the outline, split at spots on them.
func (s *ownSource) levelledRim() *levelledRim {
	level := func(p tin.Point) float64 { return s.points[s.places[orb.Point{p.E, p.N}]].Level }
	var r levelledRim
	var boxes []orb.Bound
	for _, line := range s.ringLines(s.onSide) {
		for i := 1; i < len(line.Vertices); i++ {
			a, b := line.Vertices[i-1], line.Vertices[i]
			l := levelledSide{side: side{a: orb.Point{a.E, a.N}, b: orb.Point{b.E, b.N}}, la: level(a), lb: level(b)}
			if comparePoints(l.b, l.a) < 0 {
				l.a, l.b, l.la, l.lb = l.b, l.a, l.lb, l.la
			}
			r.sides = append(r.sides, l)
			boxes = append(boxes, orb.MultiPoint{l.a, l.b}.Bound())
		}
	}
	r.tree = boxtree.New(boxes)
	return &r
}

// levelNear returns the level of the point of the outline that is nearest to p;
// the lowest if there are several to a micrometre.
func (r *levelledRim) levelNear(p orb.Point) float64 {
	nearest := math.Inf(1)
	for searched := 0.0; nearest > searched; {
		searched = 4*searched + 1
		r.tree.Meeting(orb.Bound{Min: p, Max: p}.Pad(searched), func(i int) {
			d, _ := r.sides[i].distance(p)
			nearest = min(nearest, d)
		})
	}
	lowest := math.Inf(1)
	r.tree.Meeting(orb.Bound{Min: p, Max: p}.Pad(nearest+snap), func(i int) {
		s := &r.sides[i]
		d, t := s.distance(p)
		if d > nearest+snap {
			return
		}
		level := s.la + float64((s.lb-s.la)*t)
		if t == 1 {
			level = s.lb
		}
		lowest = min(lowest, level)
	})
	return lowest
}

// marginTriangles triangulates the margin of a pad with its own levels between
// its outline and the formation outline, by the rules of the ground.
func (s *ownSource) marginTriangles(rings [][]RimCorner) (*ownTriangles, error) {
	m := ownMargin{from: s, known: make(map[orb.Point]bool), onSide: make([][]sidePoint, len(s.onSide))}
	for i, on := range s.onSide {
		m.onSide[i] = slices.Clone(on)
	}
	for _, l := range s.levelledRim().sides {
		m.spot(l.a, l.la)
		m.spot(l.b, l.lb)
	}
	var outer, places [][]orb.Point
	for _, ring := range rings {
		var corners, at []orb.Point
		for _, c := range ring {
			corners, at = append(corners, orb.Point{c.E, c.N}), append(at, m.corner(c))
		}
		outer, places = append(outer, corners), append(places, at)
	}
	source := tin.Source{Points: m.spots, Breaklines: append(m.lines(places), s.ringLines(m.onSide)...)}
	surface, err := tin.Build(context.Background(), []tin.Source{source}, tin.Options{})
	if err != nil {
		return nil, padError(err, s.pad.label(), "margin")
	}
	wide := newRim(outer)
	return newOwnTriangles(surface, func(p orb.Point) bool { return wide.holds(p) && !s.rim.holds(p) }), nil
}

// ownMargin gathers what the surface of a margin is built from.
type ownMargin struct {
	from   *ownSource
	spots  []tin.Point
	known  map[orb.Point]bool
	onSide [][]sidePoint // per side of the outline, corners of the formation outline too
}

func (m *ownMargin) spot(p orb.Point, level float64) {
	if !m.known[p] {
		m.known[p] = true
		m.spots = append(m.spots, tin.Point{E: p[0], N: p[1], Level: level})
	}
}

// corner takes a corner of the formation outline and returns its place: that of
// the outline's corner it is at, or its own.
func (m *ownMargin) corner(c RimCorner) orb.Point {
	place := orb.Point{c.E, c.N}
	rim := m.from.rim
	switch i, along, near := rim.near(place); {
	case near && along == 0:
		place = rim.sides[i].a
	case near && along == 1:
		place = rim.sides[i].b
	case near && !m.known[place]:
		m.onSide[i] = append(m.onSide[i], sidePoint{along, place})
	}
	m.spot(place, c.Level)
	return place
}

// lines returns the rings of the formation outline as closed lines through every
// spot on them.
func (m *ownMargin) lines(rings [][]orb.Point) []tin.Breakline {
	boxes := make([]orb.Bound, len(m.spots))
	for i, p := range m.spots {
		boxes[i] = orb.Bound{Min: orb.Point{p.E, p.N}, Max: orb.Point{p.E, p.N}}
	}
	tree := boxtree.New(boxes)
	lines := make([]tin.Breakline, len(rings))
	for r, ring := range rings {
		line := &lines[r]
		line.Name = fmt.Sprintf("formation outline, ring %d", r+1)
		for i, a := range ring {
			s := side{a: a, b: ring[(i+1)%len(ring)]}
			if s.a == s.b { // two corners at one of the outline
				continue
			}
			line.Vertices = append(line.Vertices, lineVertex(a))
			var on []sidePoint
			tree.Meeting(orb.MultiPoint{s.a, s.b}.Bound().Pad(snap), func(k int) {
				if d, along := s.distance(boxes[k].Min); d <= snap && along > 0 && along < 1 {
					on = append(on, sidePoint{along, boxes[k].Min})
				}
			})
			sortAlong(on, true)
			for _, p := range on {
				line.Vertices = append(line.Vertices, lineVertex(p.place))
			}
		}
		if len(line.Vertices) > 0 {
			line.Vertices = append(line.Vertices, line.Vertices[0])
		}
	}
	return lines
}
