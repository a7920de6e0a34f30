package tin

import (
	"math"

	"barrow/tin/internal/mesh"
)

// clearance is how far from a line, in local units, no place is that rounding
// takes across it: twice maxCoordinate rounded three times is a sixteenth of it.
const clearance = 0x1p-18

// sides is where the corners of a triangle lie from the lines of a polygon.
type sides struct {
	distance [mostLines][3]float64 // of the corners from each line, as of halfPlane
	out      [3]uint16             // the lines each corner lies on or outside of, as bits
}

func (s *sides) set(p *convex, a, b, c *mesh.XY) {
	var outA, outB, outC uint16
	for k := range p.lines() {
		h, d := p.line(k), &s.distance[k]
		da, db, dc := h.distance(a.X, a.Y), h.distance(b.X, b.Y), h.distance(c.X, c.Y)
		d[0], d[1], d[2] = da, db, dc
		outA |= bit(!(da > 0)) << k
		outB |= bit(!(db > 0)) << k
		outC |= bit(!(dc > 0)) << k
	}
	s.out[0], s.out[1], s.out[2] = outA, outB, outC
}

// cuts returns the lines that do not have all of the triangle inside, as bits.
func (s *sides) cuts() uint16 { return s.out[0] | s.out[1] | s.out[2] }

// outside returns the lines of p that a point lies on or outside of, as bits.
func (p *convex) outside(at *mesh.XY) uint16 {
	out := uint16(0)
	for k := range p.lines() {
		out |= bit(!(p.line(k).distance(at.X, at.Y) > 0)) << k
	}
	return out
}

// reaches reports whether p may have some of its area to the right of the line
// from a to b.
func (p *convex) reaches(a, b *mesh.XY) bool {
	ux, uy := b.X-a.X, b.Y-a.Y
	clear := clearance * (math.Abs(ux) + math.Abs(uy))
	left := uint16(1)
	for i := range p.corner {
		c := &p.corner[i]
		left &= bit(cross(ux, uy, c.X-a.X, c.Y-a.Y) > clear)
	}
	return left == 0
}

func bit(b bool) uint16 {
	if b {
		return 1
	}
	return 0
}

// lines returns the number of sides and further lines.
func (p *convex) lines() int { return len(p.side) + len(p.rest) }

// line returns the half-plane of side k or, beyond the sides, of the rest.
func (p *convex) line(k int) *halfPlane {
	if n := len(p.side); k >= n {
		return &p.rest[k-n]
	}
	return &p.side[k]
}
