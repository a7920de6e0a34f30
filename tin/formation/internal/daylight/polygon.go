package daylight

import (
	"math"

	"github.com/paulmach/orb"
)

// corner is a place in local units with the level of the stripped ground, metres.
type corner struct{ x, y, z float64 }

// Label says what a side of a piece is.
type Label int32

// Labels of sides. A label of 0 or more is the number of a cut line.
const (
	Edge0    Label = -1 - iota // the ground triangle's side 0, 1 or 2
	Edge1                      //
	Edge2                      //
	Daylight                   // where the face meets the ground
	Crease                     // where another face takes over
)

// side is a side of a polygon, from its corner to the next side's.
type side struct {
	corner
	label Label
}

// polygon is convex, anticlockwise.
type polygon []side

// some is room for a value at each corner of most polygons.
type some [16]float64

// values appends to room a value at each corner.
func (p polygon) values(room []float64, value func(corner) float64) []float64 {
	for i := range p {
		room = append(room, value(p[i].corner))
	}
	return room
}

// beyondSlack reports whether some value is above slack, and some below -slack.
func beyondSlack(value []float64, slack float64) (above, below bool) {
	for _, v := range value {
		above, below = above || v > slack, below || v < -slack
	}
	return above, below
}

// negated appends to room each value with the other sign.
func negated(room, value []float64) []float64 {
	for _, v := range value {
		room = append(room, -v)
	}
	return room
}

// within returns the part of p within lines; its new sides are creases.
func (p polygon) within(lines []line) polygon {
	var room some
	for i := range lines {
		l := &lines[i]
		p = p.keep(p.values(room[:0], func(c corner) float64 { return l.distance(c.x, c.y) }), Crease)
	}
	return p
}

// keep returns the part of p where value is 0 or more; its new side has the label.
// value has one number for each corner, linear over p.
func (p polygon) keep(value []float64, label Label) polygon {
	below, above := false, false
	for _, v := range value {
		below, above = below || v < 0, above || v > 0
	}
	switch {
	case !below:
		return p
	case !above:
		return nil
	}
	out := make(polygon, 0, len(p)+1)
	for i, a := range p {
		j := (i + 1) % len(p)
		b, va, vb := p[j], value[i], value[j]
		if va >= 0 {
			keeps := a
			if va == 0 && vb < 0 {
				keeps.label = label
			}
			out = append(out, keeps)
		}
		switch {
		case va < 0 && vb > 0:
			out = append(out, side{between(a.corner, b.corner, va, vb), a.label})
		case va > 0 && vb < 0:
			out = append(out, side{between(a.corner, b.corner, va, vb), label})
		}
	}
	return out
}

// between returns where a value of different signs at two corners is 0, always
// computed from the lesser corner by (x, y).
func between(a, b corner, va, vb float64) corner {
	if b.x < a.x || (b.x == a.x && b.y < a.y) {
		a, b, va, vb = b, a, vb, va
	}
	t := va / (va - vb)
	return corner{a.x + float64(t*(b.x-a.x)), a.y + float64(t*(b.y-a.y)), a.z + float64(t*(b.z-a.z))}
}

// area2 returns twice the area in square local units.
func (p polygon) area2() float64 {
	sum := 0.0
	for i := 2; i < len(p); i++ {
		a, b, c := &p[0], &p[i-1], &p[i]
		sum += float64((b.x-a.x)*(c.y-a.y)) - float64((b.y-a.y)*(c.x-a.x))
	}
	return sum
}

// nowhere returns the bound of nothing.
func nowhere() orb.Bound {
	return orb.Bound{Min: orb.Point{math.Inf(1), math.Inf(1)}, Max: orb.Point{math.Inf(-1), math.Inf(-1)}}
}

func (p polygon) bound() orb.Bound {
	b := nowhere()
	for _, c := range p {
		b = b.Extend(orb.Point{c.x, c.y})
	}
	return b
}

// centre returns the mean of the corners.
func (p polygon) centre() (c corner) {
	a := p[0]
	for _, b := range p {
		c.x, c.y, c.z = c.x+(b.x-a.x), c.y+(b.y-a.y), c.z+(b.z-a.z)
	}
	k := float64(len(p))
	return corner{a.x + c.x/k, a.y + c.y/k, a.z + c.z/k}
}

// line is a straight line in plan; what lies to the side of its normal is within.
type line struct{ x, y, nx, ny float64 }

// distance returns how far within a place lies, in local units; below 0 it is
// beyond.
func (l *line) distance(x, y float64) float64 {
	return float64(l.nx*(x-l.x)) + float64(l.ny*(y-l.y))
}

// through returns the line from (ax, ay) to (bx, by) with its left within, always
// computed from the lesser end, so that both sides of it find the same.
func through(ax, ay, bx, by float64) line {
	sign := 1.0
	if bx < ax || (bx == ax && by < ay) {
		ax, ay, bx, by, sign = bx, by, ax, ay, -1
	}
	dx, dy := bx-ax, by-ay
	d := hypot(dx, dy)
	return line{ax, ay, -sign * dy / d, sign * dx / d}
}

// span is a stretch of a segment, from 0 at its one end to 1 at the other.
type span struct{ lo, hi float64 }

// clip takes off where a value that is v0 at 0 and v1 at 1 is below -slack.
func (s *span) clip(v0, v1, slack float64) {
	v0, v1 = v0+slack, v1+slack
	switch {
	case v0 >= 0 && v1 >= 0:
	case v0 < 0 && v1 < 0:
		s.hi = s.lo - 1
	case v0 < 0:
		s.lo = max(s.lo, v0/(v0-v1))
	default:
		s.hi = min(s.hi, v0/(v0-v1))
	}
}

// at returns the value at t of one that is v0 at 0 and v1 at 1.
func at(v0, v1, t float64) float64 { return v0 + float64(t*(v1-v0)) }
