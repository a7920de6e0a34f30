package formation

import (
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// segment is a straight stretch that an outline may run along, with the inside
// on its left.
type segment struct {
	a, b orb.Point
	line int // a pad's segments with one number lie on one line and have the same terms
	terms
}

// ringCorner is a corner of a ring, and the segment that the side from it runs along.
type ringCorner struct {
	at  orb.Point
	seg *segment
}

// trace is a ring, the inside on its left: an outer ring anticlockwise, a hole
// clockwise. It starts at its least corner by easting, then northing.
type trace []ringCorner

func (t trace) points() []orb.Point {
	out := make([]orb.Point, len(t))
	for i, s := range t {
		out[i] = s.at
	}
	return out
}

// side returns the ends of the side that starts at corner i.
func (t trace) side(i int) (a, b orb.Point) { return t[i].at, t[(i+1)%len(t)].at }

// area2 returns twice the signed area within, positive if anticlockwise.
func (t trace) area2() float64 {
	sum := 0.0
	for i := 2; i < len(t); i++ {
		sum += cross(t[0].at, t[i-1].at, t[i].at)
	}
	return sum
}

// width returns about how wide what a ring encloses is.
func (t trace) width() float64 {
	length := 0.0
	for i := range t {
		length += distance(t.side(i))
	}
	if length == 0 {
		return 0
	}
	return math.Abs(t.area2()) / length
}

// turned returns the ring from its least corner on.
func (t trace) turned() trace {
	first := 0
	for i, s := range t {
		if comparePoints(s.at, t[first].at) < 0 {
			first = i
		}
	}
	return append(slices.Clone(t[first:]), t[:first]...)
}

// withoutShort leaves out corners nearer than least to the one before; those
// that are fixed stay rather than others.
func (t trace) withoutShort(least float64, fixed func(orb.Point) bool) trace {
	var out trace
	for _, s := range t {
		k := len(out) - 1
		if k < 0 || distance(out[k].at, s.at) >= least {
			out = append(out, s)
			continue
		}
		if !fixed(out[k].at) && fixed(s.at) {
			out[k].at = s.at
		}
		out[k].seg = s.seg
	}
	for len(out) > 1 && distance(out[len(out)-1].at, out[0].at) < least {
		if last := out[len(out)-1].at; !fixed(out[0].at) && fixed(last) {
			out[0].at = last
		}
		out = out[:len(out)-1]
	}
	return out
}

// withoutStraight leaves out corners between two sides on one line.
func (t trace) withoutStraight() trace {
	var out trace
	for i, s := range t {
		before := t[(i+len(t)-1)%len(t)].seg
		if before.pad != s.seg.pad || before.line != s.seg.line {
			out = append(out, s)
		}
	}
	return out
}

// sortTraces puts outer rings first, each kind by its least corner.
func sortTraces(rings []trace) {
	slices.SortFunc(rings, func(a, b trace) int {
		if outer := a.area2() > 0; outer != (b.area2() > 0) {
			if outer {
				return -1
			}
			return 1
		}
		return comparePoints(a[0].at, b[0].at)
	})
}

// outlineTraces returns the rings of a pad, whatever their start and direction
// were, without repeated corners.
func outlineTraces(rings [][]orb.Point, sides [][]terms, pad int) []trace {
	line := 0
	out := make([]trace, len(rings))
	for r, ring := range rings {
		var t trace
		for i, p := range ring {
			if next := ring[(i+1)%len(ring)]; next != p {
				t = append(t, ringCorner{at: p, seg: &segment{a: p, b: next, terms: sides[r][i]}})
			}
		}
		if (t.area2() > 0) != (r == 0) {
			t = t.reversed()
		}
		out[r] = t.turned()
	}
	sortTraces(out)
	for _, t := range out {
		for _, s := range t {
			s.seg.line, s.seg.pad = line, pad
			line++
		}
	}
	return out
}

// reversed returns an outline's ring the other way round.
func (t trace) reversed() trace {
	out := make(trace, len(t))
	for i, s := range t {
		turned := *s.seg
		turned.a, turned.b = turned.b, turned.a
		out[len(t)-1-i] = ringCorner{at: turned.a, seg: &turned}
	}
	return out
}

// cross returns twice the signed area of a triangle, positive if anticlockwise.
func cross(a, b, c orb.Point) float64 {
	return float64((b[0]-a[0])*(c[1]-a[1])) - float64((b[1]-a[1])*(c[0]-a[0]))
}
