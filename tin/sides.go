package tin

import (
	"math"

	"barrow/tin/internal/mesh"
)

// mostLines bounds the lines of a convex polygon. The most there are is a triangle
// cut by a cell. A cut adds a corner or, to a piece folded by rounding, half as many
// as there are: from 3 to 4, 6 and 9 sides at most, and 5 of the 6 lines may have
// none.
const mostLines = 16

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

// clearance, times the length of a line, is more than rounding can be off in the
// distance from it (see halfPlane) of any place: that is some 6e-7 at twice
// maxCoordinate.
const clearance = 0x1p-18

// reaches reports whether p may have some of its area to the right of the line
// from a to b.
func (p *convex) reaches(a, b *mesh.XY) bool {
	ux, uy := b.X-a.X, b.Y-a.Y
	margin := clearance * (math.Abs(ux) + math.Abs(uy))
	left := uint16(1)
	for i := range p.corner {
		c := &p.corner[i]
		left &= bit(cross(ux, uy, c.X-a.X, c.Y-a.Y) > margin)
	}
	return left == 0
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

// bit is 1 if b, without a branch.
func bit(b bool) uint16 {
	if b {
		return 1
	}
	return 0
}
