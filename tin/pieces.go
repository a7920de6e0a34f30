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

// Area returns the plan area of the piece in square local units.
func (p Piece) Area() float64 { return area2(p.Corner) / 2 }

// PieceCorner is a corner of a piece.
type PieceCorner struct{ X, Y, Level float64 }

// Pieces returns the pieces of the surface in each cell, with the cell's
// index: cells in the order given, the pieces of each in an order that depends
// on coordinates only. Levels never leave the range of the triangle's own, and
// pieces that share a corner share it to the bit: a cut through an edge is the
// same point for both triangles beside it, and for both cells beside the cut.
//
// What lies outside the hull has no piece.
func (s *Surface) Pieces(cells []Cell) iter.Seq2[int, Piece] {
	return func(yield func(int, Piece) bool) {
		c := cutter{s: s, frame: s.frame, reacher: reacher{m: s.mesh}}
		for i := range cells {
			if !c.pieces(i, &cells[i], yield) {
				return
			}
		}
	}
}

// InHull reports whether the cell lies within the convex hull of the surface.
func (s *Surface) InHull(c *Cell) bool {
	hint := int32(-1)
	for _, p := range c.in(s.frame) {
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
	s     *Surface
	frame Frame // of the mesh
	area  convex
	clip  clipper
	out   []PieceCorner
	whole [3]PieceCorner // scratch: a triangle
}

func newCutter(s *Surface, m *mesh.Mesh, f Frame) cutter {
	return cutter{s: s, frame: f, reacher: newReacher(m, s.hull)}
}

// cell yields the pieces of one cell. It returns twice the area of the cell that
// lies outside the hull.
func (c *cutter) cell(cell *Cell, yield func(Piece) bool) (missing float64) {
	c.area.setCell(cell, c.frame)
	return c.reach(&c.area, func(t int32, inside bool) (float64, bool) {
		p := c.piece(t, inside)
		if len(p) < 3 {
			return 0, true
		}
		return area2(p), yield(Piece{int(t), !c.s.isPeeled(t), p})
	})
}

// pieces yields the pieces of one cell, whose index is i. It returns false if
// yield did.
func (c *cutter) pieces(i int, cell *Cell, yield func(int, Piece) bool) (more bool) {
	c.area.setCell(cell, c.frame)
	more = true
	c.s.boxes().visit(&c.area, func(from, to int, inside bool) bool {
		for t := from; t < to && more; t++ {
			c.setWhole(t)
			p := c.whole[:]
			if !inside {
				p = c.part()
			}
			if len(p) > 2 {
				more = yield(i, Piece{t, !c.s.isPeeled(int32(t)), p})
			}
		}
		return more
	})
	return more
}

// setWhole makes whole the corners of a triangle, in place: that of most triangles
// goes to yield as it is.
func (c *cutter) setWhole(t int) {
	v := c.m.V[3*t : 3*t+3 : 3*t+3]
	for i := range c.whole {
		at := &c.m.P[v[i]]
		c.whole[i] = PieceCorner{at.X, at.Y, c.s.level[v[i]]}
	}
}

// part returns the part of whole in the area, none or fewer than three corners if
// there is no such part.
func (c *cutter) part() []PieceCorner {
	switch in, out := c.area.sidesOfTriangle(&c.whole); {
	case out:
		return nil
	case in:
		return c.whole[:]
	}
	return c.clipped(c.whole, false)
}

// setCell makes p a cell, in a frame that need not be the cell's own.
func (p *convex) setCell(c *Cell, f Frame) {
	var corners [3]PieceCorner
	for i, q := range c.in(f) {
		corners[i] = PieceCorner{X: q[0], Y: q[1]}
	}
	p.set(corners[:])
}

// in returns the corners of the cell in the local units of a frame.
func (c *Cell) in(f Frame) [3][2]float64 {
	local := c.local
	if c.frame != f {
		for i, q := range local {
			local[i][0], local[i][1] = f.from(c.frame, q[0], q[1])
		}
	}
	return local
}

// within makes p the part of a triangle in the area, and returns for each of its
// sides the edge of the triangle that it lies on, or -1.
func (c *cutter) within(t int32, p *convex, edge []int) []int {
	triangle := c.triangle(t)
	c.clip.set(triangle)
	// The lines as clipCorner numbers them.
	var line [6]halfPlane
	for i := range 3 {
		line[i] = newHalfPlane(triangle[i], triangle[(i+1)%3])
		line[3+i] = c.area.side[i]
	}
	var used [6]bool
	p.corner, p.side, p.rest, edge = p.corner[:0], p.side[:0], p.rest[:0], edge[:0]
	for _, corner := range c.clip.cut(&c.area, false) {
		p.corner = append(p.corner, corner.PieceCorner)
		p.side = append(p.side, line[corner.line])
		used[corner.line] = true
		if corner.line < 3 {
			edge = append(edge, corner.line)
		} else {
			edge = append(edge, -1)
		}
	}
	for i, u := range used {
		if !u {
			p.rest = append(p.rest, line[i])
		}
	}
	return edge
}

// piece returns the part of a triangle in the area; inside says that all of it
// is.
func (c *cutter) piece(t int32, inside bool) []PieceCorner { return c.clipped(c.triangle(t), inside) }

func (c *cutter) clipped(triangle [3]PieceCorner, inside bool) []PieceCorner {
	c.clip.set(triangle)
	c.out = c.out[:0]
	for _, corner := range c.clip.cut(&c.area, inside) {
		c.out = append(c.out, corner.PieceCorner)
	}
	return c.out
}

// triangle returns the corners of a triangle.
func (c *cutter) triangle(t int32) [3]PieceCorner { return cornersOf(c.m, c.s.level, t) }

// cornersOf returns the corners of triangle t of a mesh whose vertices have these
// levels.
func cornersOf(m *mesh.Mesh, level []float64, t int32) [3]PieceCorner {
	a, b, c := m.V[3*t], m.V[3*t+1], m.V[3*t+2]
	return [3]PieceCorner{
		{m.P[a].X, m.P[a].Y, level[a]},
		{m.P[b].X, m.P[b].Y, level[b]},
		{m.P[c].X, m.P[c].Y, level[c]},
	}
}
