package formation

import (
	"context"
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"barrow/tin"
)

// levelledSide is a side of an outline, or a part of it between spots, with the
// formation levels at its ends.
type levelledSide struct {
	side
	la, lb float64
}

// levelledSides returns the sides of the outline, split at spots on them.
func (s *ownSource) levelledSides() (out []levelledSide) {
	level := func(p tin.Point) float64 { return s.points[s.places[orb.Point{p.E, p.N}]].Level }
	for _, line := range s.ringLines(s.onSide) {
		for i := 1; i < len(line.Vertices); i++ {
			a, b := line.Vertices[i-1], line.Vertices[i]
			l := levelledSide{side: side{a: orb.Point{a.E, a.N}, b: orb.Point{b.E, b.N}}, la: level(a), lb: level(b)}
			if comparePoints(l.b, l.a) < 0 {
				l.a, l.b, l.la, l.lb = l.b, l.a, l.lb, l.la
			}
			out = append(out, l)
		}
	}
	return out
}

// nearestLevel returns the level of the point of some sides that is nearest to
// p; the lowest if there are several to a micrometre.
func nearestLevel(sides []levelledSide, p orb.Point) float64 {
	nearest, lowest := math.Inf(1), math.Inf(1)
	for _, s := range sides {
		d, _ := s.distance(p)
		nearest = min(nearest, d)
	}
	for _, s := range sides {
		d, t := s.distance(p)
		if d > nearest+snap {
			continue
		}
		level := s.la + float64((s.lb-s.la)*t)
		if t == 1 {
			level = s.lb
		}
		lowest = min(lowest, level)
	}
	return lowest
}

// marginTriangles triangulates the margin of a pad with its own levels between
// its outline and the formation outline, by the rules of the ground.
func (s *ownSource) marginTriangles(rings [][]RimCorner) (*ownTriangles, error) {
	onSide := make([][]sidePoint, len(s.onSide))
	for i, on := range s.onSide {
		onSide[i] = slices.Clone(on)
	}
	spots := make(map[orb.Point]bool)
	var source tin.Source
	spot := func(p orb.Point, level float64) {
		if !spots[p] {
			spots[p] = true
			source.Points = append(source.Points, tin.Point{E: p[0], N: p[1], Level: level})
		}
	}
	for _, l := range s.levelledSides() {
		spot(l.a, l.la)
		spot(l.b, l.lb)
	}
	var outer [][]orb.Point
	for r, ring := range rings {
		line := tin.Breakline{Name: fmt.Sprintf("formation outline %d", r)}
		var corners []orb.Point
		for _, c := range ring {
			place := orb.Point{c.E, c.N}
			corners = append(corners, place)
			switch i, along, near := s.rim.near(place); {
			case near && along == 0:
				place = s.rim.sides[i].a
			case near && along == 1:
				place = s.rim.sides[i].b
			case near && !spots[place]:
				onSide[i] = append(onSide[i], sidePoint{along, place})
			}
			spot(place, c.Level)
			line.Vertices = append(line.Vertices, lineVertex(place))
		}
		line.Vertices = append(line.Vertices, line.Vertices[0])
		source.Breaklines = append(source.Breaklines, line)
		outer = append(outer, corners)
	}
	source.Breaklines = append(source.Breaklines, s.ringLines(onSide)...)
	surface, err := tin.Build(context.Background(), []tin.Source{source}, tin.Options{})
	if err != nil {
		return nil, padError(err, s.pad.label(), "margin")
	}
	wide := newRim(outer)
	return newOwnTriangles(surface, func(p orb.Point) bool { return wide.holds(p) && !s.rim.holds(p) }), nil
}
