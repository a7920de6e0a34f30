package tin

import (
	"iter"
	"math"
	"slices"

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
// index: cells in the order given, the pieces of each by their triangle. Levels
// are interpolated along edges, so they never leave the range of the
// triangle's own; a cut through an edge is the same point for both triangles
// beside it, and for both cells beside a cut.
//
// What lies outside the hull has no piece: see [Surface.InHull].
func (s *Surface) Pieces(cells []Cell) iter.Seq2[int, Piece] {
	return func(yield func(int, Piece) bool) {
		c := cutter{s: s, mark: make([]int32, s.mesh.Triangles())}
		for i := range cells {
			if !c.cell(int32(i+1), &cells[i], func(p Piece) bool { return yield(i, p) }) {
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

// cutter cuts a surface by one cell after another.
type cutter struct {
	s     *Surface
	mark  []int32 // the last cell that reached each triangle
	hint  int32
	found []int32
	stack []int32
	poly  [2][9]PieceCorner
}

// halfPlane is what lies on or to the left of a side of a cell. Its line runs
// between the side's ends in the order of (x, y), so that the cells on both
// sides of it compute the same.
type halfPlane struct {
	ax, ay, ux, uy float64
	sign           float64
}

func (h *halfPlane) distance(x, y float64) float64 {
	return h.sign * cross(h.ux, h.uy, x-h.ax, y-h.ay)
}

func (c *Cell) halfPlanes() [3]halfPlane {
	var hs [3]halfPlane
	for i, a := range c.local {
		b, sign := c.local[(i+1)%3], 1.0
		if b[0] < a[0] || (b[0] == a[0] && b[1] < a[1]) {
			a, b, sign = b, a, -1
		}
		hs[i] = halfPlane{a[0], a[1], b[0] - a[0], b[1] - a[1], sign}
	}
	return hs
}

func (c *cutter) cell(id int32, cell *Cell, yield func(Piece) bool) bool {
	sides := cell.halfPlanes()
	covered := c.flood(id, cell, &sides)
	if area := c.area(&sides); covered && !closeTo(area, cell.localArea2()) {
		// Too thin for its centroid to lie in it: look at every triangle.
		c.found = c.found[:0]
		for t := range int32(c.s.mesh.Triangles()) {
			c.found = append(c.found, t)
		}
	}
	slices.Sort(c.found)
	for _, t := range c.found {
		if p := c.clip(t, &sides); len(p) >= 3 {
			if !yield(Piece{int(t), !c.s.isPeeled(t), p}) {
				return false
			}
		}
	}
	return true
}

func closeTo(a, b float64) bool { return math.Abs(a-b) <= 1e-9*b }

// area returns twice the plan area of the pieces found.
func (c *cutter) area(sides *[3]halfPlane) float64 {
	sum := 0.0
	for _, t := range c.found {
		p := c.clip(t, sides)
		for i := 2; i < len(p); i++ {
			sum += cross(p[i-1].X-p[0].X, p[i-1].Y-p[0].Y, p[i].X-p[0].X, p[i].Y-p[0].Y)
		}
	}
	return sum
}

// flood finds the triangles that may share an area with the cell: from some
// that do, across edges that no side of the cell keeps out. It reports whether
// the cell lies within the hull.
func (c *cutter) flood(id int32, cell *Cell, sides *[3]halfPlane) (covered bool) {
	c.found, c.stack = c.found[:0], c.stack[:0]
	reach := func(t int32) {
		if c.mark[t] != id {
			c.mark[t] = id
			c.found = append(c.found, t)
			c.stack = append(c.stack, t)
		}
	}
	covered = true
	p := cell.local
	for _, q := range [...][2]float64{
		p[0], p[1], p[2],
		{(p[0][0] + p[1][0] + p[2][0]) / 3, (p[0][1] + p[1][1] + p[2][1]) / 3},
	} {
		if t := c.s.mesh.Locate(q[0], q[1], c.hint); t >= 0 {
			c.hint = t
			reach(t)
		} else {
			covered = false
		}
	}
	if !covered {
		for _, e := range c.s.hull {
			if !c.keptOut(e, sides) {
				reach(e / 3)
			}
		}
	}
	for len(c.stack) > 0 {
		t := c.stack[len(c.stack)-1]
		c.stack = c.stack[:len(c.stack)-1]
		for e := 3 * t; e < 3*t+3; e++ {
			if f := c.s.mesh.N[e]; f >= 0 && c.mark[f/3] != id && !c.keptOut(e, sides) {
				reach(f / 3)
			}
		}
	}
	return covered
}

// keptOut reports whether an edge lies on or outside one side of the cell.
func (c *cutter) keptOut(e int32, sides *[3]halfPlane) bool {
	m := c.s.mesh
	a, b := m.V[e], m.V[mesh.Next(e)]
	for i := range sides {
		if sides[i].distance(m.X[a], m.Y[a]) <= 0 && sides[i].distance(m.X[b], m.Y[b]) <= 0 {
			return true
		}
	}
	return false
}

// clip returns the part of a triangle on the inner side of all sides
// (Sutherland and Hodgman 1974, from memory).
func (c *cutter) clip(t int32, sides *[3]halfPlane) []PieceCorner {
	m := c.s.mesh
	p, q := c.poly[0][:0], c.poly[1][:0]
	for _, v := range m.V[3*t : 3*t+3] {
		p = append(p, PieceCorner{m.X[v], m.Y[v], c.s.level[v]})
	}
	for i := range sides {
		p, q = sides[i].keep(p, q[:0]), p
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
	if q.X < p.X || (q.X == p.X && q.Y < p.Y) {
		p, q, dp, dq = q, p, dq, dp
	}
	t := dp / (dp - dq)
	return PieceCorner{
		p.X + float64(t*(q.X-p.X)),
		p.Y + float64(t*(q.Y-p.Y)),
		p.Level + float64(t*(q.Level-p.Level)),
	}
}
