package tin

import (
	"fmt"

	"github.com/paulmach/orb"

	"barrow/tin/internal/mesh"
)

// CheckOutline reports as an [*InputError] why a polygon is no simple outline:
// fewer than three corners, no area, sides that cross or touch, a hole that is
// not inside, a coordinate that is none. Rings may be open or closed and run in
// either direction; a corner repeated at once counts once.
func CheckOutline(p orb.Polygon) error {
	if len(p) == 0 {
		return &InputError{Code: "outline_empty", Message: "the outline has no corners", Hint: "give at least three"}
	}
	var x extent
	for _, ring := range p {
		for _, c := range ring {
			if !isPlace(c) {
				return &InputError{
					Code: "bad_coordinate", Message: fmt.Sprintf("corner %v, %v of the outline is not a place", c[0], c[1]),
					Hint: fmt.Sprintf("give finite numbers within ±%g", float64(maxCoordinate)),
				}
			}
			x.add(c[0], c[1])
		}
	}
	frame := x.frame(Metre)
	local := frame.polygon(p, frame.Local)
	c := outlineCheck{frame: frame, graph: graph{index: make(map[mesh.XY]int32)}}
	for r, ring := range local {
		if err := c.ring(r, ring); err != nil {
			return err
		}
	}
	return c.check(local)
}

// outlineCheck holds the sides of an outline; a segment's line is the index of
// its side in sides.
type outlineCheck struct {
	frame Frame
	graph graph
	sides []side
}

// side is one side of a ring, by the numbers of its corners from 1.
type side struct{ ring, from, to int }

func (s side) String() string {
	if s.ring > 0 {
		return fmt.Sprintf("side %d-%d of hole %d", s.from, s.to, s.ring)
	}
	return fmt.Sprintf("side %d-%d", s.from, s.to)
}

func ringName(r int) string {
	if r == 0 {
		return "the outline"
	}
	return fmt.Sprintf("hole %d of the outline", r)
}

func (c *outlineCheck) ring(r int, ring [][2]float64) error {
	for len(ring) > 1 && ring[len(ring)-1] == ring[0] {
		ring = ring[:len(ring)-1]
	}
	var at []int32 // places of the corners
	var number []int
	for i, p := range ring {
		v, added := c.graph.vertex(p[0], p[1])
		if len(at) > 0 && at[len(at)-1] == v {
			continue // repeated at once
		}
		if !added {
			return c.touch(v, fmt.Sprintf("corner %d of %s lies on another corner", i+1, ringName(r)))
		}
		at, number = append(at, v), append(number, i+1)
	}
	if len(at) < 3 {
		return &InputError{
			Code: "outline_short", Message: fmt.Sprintf("%s has %s at distinct places", ringName(r), count(len(at), "corner")),
			Hint: "give at least three",
		}
	}
	for i := range at {
		j := (i + 1) % len(at)
		c.graph.join(at[i], at[j], int32(len(c.sides)))
		c.sides = append(c.sides, side{r, number[i], number[j]})
	}
	return nil
}

func (c *outlineCheck) touch(v int32, message string) error {
	at := c.frame.Metres(c.graph.at[v].X, c.graph.at[v].Y)
	return &InputError{
		Code: "outline_touches", At: &at,
		Message: fmt.Sprintf("%s, at E %.3f N %.3f", message, at[0], at[1]),
		Hint:    "an outline may not touch or cross itself",
	}
}

// check looks for sides that cross or touch, and for holes outside.
func (c *outlineCheck) check(local localPolygon) error {
	g := &c.graph
	g.order()
	plain := make([]mesh.Segment, len(g.segments))
	for i, s := range g.segments {
		plain[i] = mesh.Segment{A: s.a, B: s.b}
	}
	if pairs := mesh.Crossings(g.at, plain, 1); len(pairs) > 0 {
		s, r := pairs[0][0], pairs[0][1]
		at := mesh.Cross(g.at, plain[s], plain[r], false)
		p := c.frame.Metres(at.X, at.Y)
		first, second := g.segments[s].line, g.segments[r].line
		return &InputError{
			Code: "outline_crosses", At: &p,
			Message: fmt.Sprintf("%s of the outline crosses %s, at E %.3f N %.3f", c.sides[min(first, second)], c.sides[max(first, second)], p[0], p[1]),
			Hint:    "put the corners in order round the outline",
		}
	}
	m, order, err := mesh.New(g.at, false)
	if err != nil {
		return &InputError{Code: "outline_flat", Message: "all corners of the outline lie on one line", Hint: "give an outline with an area"}
	}
	place := make([]int32, len(order))
	for v, p := range order {
		place[p] = int32(v)
	}
	for _, s := range g.segments {
		through, _ := m.Force(place[s.a], place[s.b], mesh.LineEdge)
		if len(through) > 0 {
			return c.touch(order[through[0]], fmt.Sprintf("a corner of the outline lies on its %s", c.sides[s.line]))
		}
	}
	// No ring crosses or touches another now: one corner tells where it lies.
	for i, hole := range local[1:] {
		inside := localPolygon{local[0]}.side(hole[0][0], hole[0][1]) > 0
		for j, other := range local[1:] {
			if i != j && (localPolygon{other}).side(hole[0][0], hole[0][1]) > 0 {
				inside = false
			}
		}
		if !inside {
			return &InputError{
				Code: "outline_hole_outside", Message: fmt.Sprintf("%s lies outside it or inside another hole", ringName(i+1)),
				Hint: "give holes inside the outer ring",
			}
		}
	}
	return nil
}
