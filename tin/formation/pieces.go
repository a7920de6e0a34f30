package formation

import (
	"math"

	"github.com/paulmach/orb"
)

// piece is a convex part of a margin: the rectangle outside a side, or what fills
// an outward corner between two.
type piece struct {
	ring orb.Ring
	pad  int
	from segment // the side it lies along; at a corner, the corner twice
}

// margins gathers the pieces of the margins along an outline, and the segments
// that the widened outline may run along.
type margins struct {
	least    float64 // metres; what is narrower is rounding
	pieces   []piece
	segments []*segment
	lines    int
}

// marginsOf returns the margins along the rings of an outline.
func marginsOf(rings []trace, least float64) *margins {
	m := &margins{least: least}
	none := func(orb.Point) bool { return false }
	for _, full := range rings {
		t := full.withoutShort(least, none)
		if len(t) < 3 {
			continue
		}
		first := m.lines
		for i, s := range t {
			a, b := t.side(i)
			m.side(a, b, s.seg.terms)
		}
		for i := range t {
			k := (i + len(t) - 1) % len(t)
			m.corner(t, k, i, first)
		}
	}
	return m
}

// add keeps a segment; line is that of another it lies on the line of, or -1.
func (m *margins) add(a, b orb.Point, line int, t terms) {
	if line < 0 {
		line = m.lines
		m.lines++
	}
	if distance(a, b) >= m.least {
		m.segments = append(m.segments, &segment{a: a, b: b, line: line, terms: t})
	}
}

// side adds the rectangle outside a side, or the side itself where it has no
// margin. It takes three numbers for lines, the first for the line along.
func (m *margins) side(a, b orb.Point, t terms) {
	u := unit(a, b)
	n := outward(u)
	out := func(p orb.Point) orb.Point { return along(p, n, t.margin) }
	line := m.lines
	m.lines += 3
	m.add(out(a), out(b), line, t)
	if t.margin == 0 {
		return
	}
	m.add(out(b), b, line+1, t)
	m.add(a, out(a), line+2, t)
	m.keep(piece{ring: orb.Ring{a, out(a), out(b), b}, pad: t.pad, from: segment{a: a, b: b}})
}

// keep adds a piece, unless it is no wider than rounding.
func (m *margins) keep(p piece) {
	var t trace
	for i, v := range p.ring {
		if i == 0 || v != p.ring[i-1] && v != p.ring[0] {
			t = append(t, ringCorner{at: v})
		}
	}
	if len(t) >= 3 && t.width() >= m.least {
		p.ring = t.points()
		m.pieces = append(m.pieces, p)
	}
}

// corner adds the piece at an outward corner of a ring between its sides k and
// i: between the sides' normals, within both margin lines, and within twice the
// greater margin of the corner along the bisector. first is the line of side 0.
func (m *margins) corner(t trace, k, i, first int) {
	before, v := t.side(k)
	_, after := t.side(i)
	s1, s2 := t[k].seg.terms, t[i].seg.terms
	if m1, m2 := s1.margin, s2.margin; cross(before, v, after) <= 0 || m1 == 0 && m2 == 0 {
		return
	}
	c := newMitre(unit(before, v), unit(v, after), s1.margin, s2.margin)
	if c.cos > 0 && 2*c.g*max(c.m1, c.m2) < m.least {
		return // straight on, but for rounding
	}
	ring, mitre := c.points(v)
	m.keep(piece{ring: ring, pad: t[i].seg.pad, from: segment{a: v, b: v}})
	last := len(ring) - 1
	line1, line2 := first+3*k, first+3*i
	if c.m1 == 0 { // a side without a margin ends at its corner
		line1 = -1
	}
	if c.m2 == 0 {
		line2 = -1
	}
	switch {
	case c.short1: // side 1's margin ends beyond side 2's line
		m.add(ring[1], ring[last], line2, s2)
	case c.short2:
		m.add(ring[1], ring[last], line1, s1)
	default:
		m.add(ring[1], ring[2], line1, s1)
		m.add(ring[last-1], ring[last], line2, s2)
		if !mitre {
			cut := s1
			cut.cut, cut.fill = s1.cut.flatter(s2.cut), s1.fill.flatter(s2.fill)
			m.add(ring[2], ring[3], -1, cut)
		}
	}
}

// mitre is the shape of the piece at an outward corner, seen from the corner.
type mitre struct {
	u1, u2, n1, n2 orb.Point // directions of the sides and their outward normals
	m1, m2         float64   // margins
	cos, sin       float64   // of the turn
	h, g           float64   // cosine and sine of half the turn
	short1, short2 bool      // a margin's end lies beyond the other margin's line
}

func newMitre(u1, u2 orb.Point, m1, m2 float64) mitre {
	c := mitre{u1: u1, u2: u2, n1: outward(u1), n2: outward(u2), m1: m1, m2: m2}
	c.cos = float64(u1[0]*u2[0]) + float64(u1[1]*u2[1])
	c.sin = float64(u1[0]*u2[1]) - float64(u1[1]*u2[0])
	c.h = math.Hypot(u1[0]+u2[0], u1[1]+u2[1]) / 2
	c.g = math.Hypot(u1[0]-u2[0], u1[1]-u2[1]) / 2
	c.short1 = c.cos > 0 && float64(m1*c.cos) > m2
	c.short2 = c.cos > 0 && float64(m2*c.cos) > m1
	return c
}

// points returns the piece anticlockwise from the corner v on: with one point
// where the margin lines meet, or two where that is cut off square.
func (c mitre) points(v orb.Point) (ring orb.Ring, mitre bool) {
	switch {
	case c.short1:
		return orb.Ring{v, along(v, c.n1, c.m2/c.cos), along(v, c.n2, c.m2)}, true
	case c.short2:
		return orb.Ring{v, along(v, c.n1, c.m1), along(v, c.n2, c.m1/c.cos)}, true
	}
	a, b := along(v, c.n1, c.m1), along(v, c.n2, c.m2)
	reach := 2 * max(c.m1, c.m2)
	cut := (reach - float64(c.m1*c.h)) / c.g // how far along side 1's margin line the square cut is
	if meet := c.meet(); meet <= cut {
		return orb.Ring{v, a, along(a, c.u1, meet), b}, true
	}
	other := (reach - float64(c.m2*c.h)) / c.g
	return orb.Ring{v, a, along(a, c.u1, cut), along(b, c.u2, -other), b}, false
}

// meet returns how far along side 1's margin line side 2's is met.
func (c mitre) meet() float64 {
	if c.cos > 0.5 { // the same without the difference of two that are nearly one
		return max(0, (c.m2-c.m1)/c.sin+float64(c.m1*(c.g/c.h)))
	}
	return (c.m2 - float64(c.m1*c.cos)) / max(c.sin, 0)
}

// unit returns the direction from a to b.
func unit(a, b orb.Point) orb.Point {
	d := distance(a, b)
	return orb.Point{(b[0] - a[0]) / d, (b[1] - a[1]) / d}
}

// outward returns the normal on the right of a direction.
func outward(u orb.Point) orb.Point { return orb.Point{u[1], 0 - u[0]} }

// along returns the point at a distance from p in a direction.
func along(p, u orb.Point, d float64) orb.Point {
	return orb.Point{p[0] + float64(d*u[0]), p[1] + float64(d*u[1])}
}
