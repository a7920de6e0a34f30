package section

import (
	"context"
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// Alignment is a line in plan along which sections are cut: straight legs between
// bends, with chainages. It never changes.
type Alignment struct {
	line     orb.LineString // metres, no two neighbours at one place
	chainage []float64      // of each vertex
	tangent  []float64      // of half the deflection at each vertex, positive to the right
	legs     []node         // the tree of the legs
	closed   bool
}

// sharpest is the greatest deflection at a bend, in degrees: beyond it a bisector
// runs along the line rather than across it.
const sharpest = 150

// shortest is the least length of a leg, metres: with a shorter one two bends would
// be one section.
const shortest = 10 * together

// NewAlignment returns the alignment along a line in metres whose first vertex has
// the chainage start. Vertices repeated at once count once. A line that comes back
// to its first vertex is a ring: its first and last section lie on the bisector
// there. Errors: fewer than two places, a coordinate that is none, a leg under 0.01 mm, a
// bend of over 150 degrees.
func NewAlignment(line orb.LineString, start float64) (*Alignment, error) {
	a := &Alignment{}
	for i, p := range line {
		if !isLength(p[0], p[1]) {
			return nil, fail("bad_coordinate", "give finite numbers", "vertex %d of the alignment, %v, %v, is not a place", i+1, p[0], p[1])
		}
		if n := len(a.line); n > 0 && p == a.line[n-1] {
			continue
		} else if n > 0 && distance(p, a.line[n-1]) < shortest {
			return nil, fail("leg_short", "leave one of the two out", "vertices %d and %d of the alignment are under %v m apart", i, i+1, shortest)
		}
		a.line = append(a.line, p)
	}
	if len(a.line) < 2 {
		return nil, fail("alignment_short", "give at least two places", "the alignment has no length")
	}
	if !isLength(start) {
		return nil, fail("bad_coordinate", "give a finite number", "the alignment begins at chainage %v", start)
	}
	a.chainage = make([]float64, len(a.line))
	a.chainage[0] = start
	for i := 1; i < len(a.line); i++ {
		a.chainage[i] = a.chainage[i-1] + distance(a.line[i-1], a.line[i])
	}
	a.closed = len(a.line) > 3 && a.line[0] == a.line[len(a.line)-1]
	a.legs = a.growLegs()
	return a, a.bend()
}

// growLegs returns the tree of the legs, in boxes that rounding does not reach past.
func (a *Alignment) growLegs() []node {
	boxes := make([]orb.Bound, len(a.line)-1)
	for leg := range boxes {
		boxes[leg] = orb.MultiPoint(a.line[leg : leg+2]).Bound().Pad(together)
	}
	tree, _ := grow(context.Background(), boxes) // which never ends
	return tree
}

// bend finds the tangent of half the deflection at each vertex.
func (a *Alignment) bend() error {
	n := len(a.line)
	a.tangent = make([]float64, n)
	limit := math.Tan(sharpest / 2 * math.Pi / 180)
	for i := range a.line {
		if (i == 0 || i == n-1) && !a.closed {
			continue
		}
		before, after := i-1, i
		if i == 0 || i == n-1 {
			before, after = n-2, 0
		}
		in, out := a.direction(before), a.direction(after)
		// tan(t/2) = sin t / (1 + cos t).
		cosine := dot(in, out)
		a.tangent[i] = cross(out, in) / (1 + cosine)
		if cosine <= -1 || !(math.Abs(a.tangent[i]) <= limit) {
			p := a.line[i]
			return fail("alignment_turns_back", "draw the bend with more vertices, or as two alignments",
				"the alignment turns by over %d degrees at E %.3f N %.3f", sharpest, p[0], p[1])
		}
	}
	return nil
}

// Start returns the chainage of the first vertex.
func (a *Alignment) Start() float64 { return a.chainage[0] }

// End returns the chainage of the last vertex.
func (a *Alignment) End() float64 { return a.chainage[len(a.chainage)-1] }

// Length returns the length of the line.
func (a *Alignment) Length() float64 { return a.End() - a.Start() }

// Line returns the vertices.
func (a *Alignment) Line() orb.LineString { return slices.Clone(a.line) }

// Bends returns the chainages of the vertices between the first and the last.
func (a *Alignment) Bends() []float64 { return slices.Clone(a.chainage[1 : len(a.chainage)-1]) }

// Reversed returns the alignment run the other way, from the same first chainage.
func (a *Alignment) Reversed() *Alignment {
	line := a.Line()
	slices.Reverse(line)
	r, _ := NewAlignment(line, a.Start()) // what is an alignment one way is one the other way
	return r
}

// At returns the place of a chainage; beyond the ends, the end.
func (a *Alignment) At(chainage float64) orb.Point {
	leg := a.leg(chainage)
	along := min(max(chainage-a.chainage[leg], 0), a.chainage[leg+1]-a.chainage[leg])
	if along == a.chainage[leg+1]-a.chainage[leg] {
		return a.line[leg+1]
	}
	d := a.direction(leg)
	return orb.Point{a.line[leg][0] + float64(along*d[0]), a.line[leg][1] + float64(along*d[1])}
}

// Locate returns the chainage and the offset of the place on the alignment that is
// nearest to p, and of two as near that of the lesser chainage. beyond is how far p
// lies past the first or the last section, measured along the leg; 0 between them.
func (a *Alignment) Locate(p orb.Point) (chainage, offset, beyond float64) {
	best, leg := math.Inf(1), 0
	nearby(a.legs, 0, p, func() float64 { return best }, func(i int) {
		if _, _, away := a.foot(i, p); away < best || away == best && i < leg {
			best, leg = away, i
		}
	})
	d, v := a.direction(leg), sub(p, a.line[leg])
	along, on, away := a.foot(leg, p)
	chainage, offset = a.chainage[leg]+on, math.Copysign(away, cross(v, d))
	length := a.chainage[leg+1] - a.chainage[leg]
	if on == length {
		chainage = a.chainage[leg+1]
	}
	if !a.closed && (leg == 0 && along < 0 || leg == len(a.line)-2 && along > length) {
		beyond, offset = math.Abs(along-on), cross(v, d)
	}
	return chainage, offset, beyond
}

// foot returns how far along a leg a place lies, how far along the leg its nearest place
// on it, and how far the two are apart.
func (a *Alignment) foot(leg int, p orb.Point) (along, on, away float64) {
	d, v := a.direction(leg), sub(p, a.line[leg])
	along = dot(v, d)
	on = min(max(along, 0), a.chainage[leg+1]-a.chainage[leg])
	return along, on, math.Hypot(v[0]-float64(on*d[0]), v[1]-float64(on*d[1]))
}

// leg returns the number of the leg that holds a chainage; at a bend, the one that
// leaves it.
func (a *Alignment) leg(chainage float64) int {
	i, found := slices.BinarySearch(a.chainage, chainage)
	if !found {
		i--
	}
	return min(max(i, 0), len(a.line)-2)
}

// direction returns the unit vector along a leg.
func (a *Alignment) direction(leg int) orb.Point {
	v := sub(a.line[leg+1], a.line[leg])
	length := math.Hypot(v[0], v[1])
	return orb.Point{v[0] / length, v[1] / length}
}

func sub(p, q orb.Point) orb.Point { return orb.Point{p[0] - q[0], p[1] - q[1]} }

func dot(u, v orb.Point) float64 { return float64(u[0]*v[0]) + float64(u[1]*v[1]) }

// cross is positive where v lies to the left of u.
func cross(u, v orb.Point) float64 { return float64(u[0]*v[1]) - float64(u[1]*v[0]) }

func distance(p, q orb.Point) float64 { return math.Hypot(p[0]-q[0], p[1]-q[1]) }
