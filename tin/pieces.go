package tin

import (
	"iter"

	"barrow/tin/internal/mesh"
)

// Piece is the part of one triangle of a surface that lies in one cell: a
// convex polygon, anticlockwise, in the surface's local units (see
// [Surface.Frame]), with the surface's level at each corner in metres.
type Piece struct {
	Triangle int
	Ground   bool          // false in a triangle that MaxEdge took away
	Corner   []PieceCorner // valid until the next piece
}

// PieceCorner is a corner of a piece.
type PieceCorner struct{ X, Y, Level float64 }

// Pieces returns the pieces of the surface in each cell, with the cell's
// index: cells in the order given, the pieces of each in an order that depends
// on coordinates only. Levels are interpolated along edges, so they never leave
// the range of the triangle's own; a cut through an edge is the same point for
// both triangles beside it, and for both cells beside a cut.
//
// What lies outside the hull has no piece: see [Surface.InHull].
func (s *Surface) Pieces(cells []Cell) iter.Seq2[int, Piece] {
	return func(yield func(int, Piece) bool) {
		c := newCutter(s, s.mesh)
		for i := range cells {
			more := true
			c.cell(&cells[i], func(p Piece) bool {
				more = yield(i, p)
				return more
			})
			if !more {
				return
			}
		}
	}
}

// InHull reports whether the cell lies within the convex hull of the surface.
func (s *Surface) InHull(c *Cell) bool {
	hint := int32(-1)
	for _, p := range c.local {
		if hint = s.mesh.Locate(p[0], p[1], hint); hint < 0 {
			return false
		}
	}
	return true
}

// cutter cuts a surface by one cell after another. Its mesh is the surface's
// own, or the same in another frame.
type cutter struct {
	reacher
	s    *Surface
	area convex
	poly [2][]PieceCorner
}

func newCutter(s *Surface, m *mesh.Mesh) cutter {
	return cutter{s: s, reacher: newReacher(m, s.hull)}
}

// cell yields the pieces of one cell. It reports whether part of the cell lies
// outside the hull.
func (c *cutter) cell(cell *Cell, yield func(Piece) bool) (beyond bool) {
	c.area.setCell(cell)
	return c.reach(&c.area, func(t int32, inside bool) (float64, bool) {
		p := c.corners(t)
		if !inside {
			p = c.clip(p, &c.area)
		}
		if len(p) < 3 {
			return 0, true
		}
		return area2(p), yield(Piece{int(t), !c.s.isPeeled(t), p})
	})
}

func (p *convex) setCell(c *Cell) {
	var corners [3]PieceCorner
	for i, q := range c.local {
		corners[i] = PieceCorner{X: q[0], Y: q[1]}
	}
	p.set(corners[:])
}

// corners returns the corners of a triangle.
func (c *cutter) corners(t int32) []PieceCorner {
	p := c.poly[0][:0]
	for _, v := range c.m.V[3*t : 3*t+3] {
		p = append(p, PieceCorner{c.m.P[v].X, c.m.P[v].Y, c.s.level[v]})
	}
	c.poly[0] = p
	return p
}

// clip returns the part of p on the inner side of all sides of area
// (Sutherland and Hodgman 1974, from memory).
func (c *cutter) clip(p []PieceCorner, area *convex) []PieceCorner {
	for i := range area.side {
		out := area.side[i].keep(p, c.poly[1][:0])
		c.poly[0], c.poly[1] = out, c.poly[0]
		p = out
	}
	return p
}

// keep appends to out what of polygon p lies on the inner side of h.
func (h *halfPlane) keep(p, out []PieceCorner) []PieceCorner {
	if len(p) == 0 {
		return out
	}
	last := p[len(p)-1]
	dLast := h.distance(last.X, last.Y)
	for _, corner := range p {
		d := h.distance(corner.X, corner.Y)
		if (dLast < 0 && d > 0) || (dLast > 0 && d < 0) {
			out = append(out, between(last, corner, dLast, d))
		}
		if d >= 0 {
			out = append(out, corner)
		}
		last, dLast = corner, d
	}
	return out
}

// between returns the place on the edge from p to q where a value that is dp
// and dq at its ends, of different sign, is zero. It is always computed from
// the lesser end by (x, y).
func between(p, q PieceCorner, dp, dq float64) PieceCorner {
	if q.before(p) {
		p, q, dp, dq = q, p, dq, dp
	}
	t := dp / (dp - dq)
	return PieceCorner{
		p.X + float64(t*(q.X-p.X)),
		p.Y + float64(t*(q.Y-p.Y)),
		p.Level + float64(t*(q.Level-p.Level)),
	}
}
