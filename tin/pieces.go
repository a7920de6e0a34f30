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
// never leave the range of the triangle's own. A cut through an edge is the same
// point, to the bit, for both triangles beside it and for both cells beside the
// cut; a corner of a cell is the same in all cells that have it.
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
	poly  [2][9]clipCorner
	out   [9]PieceCorner
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
	if area := c.area(cell, &sides); covered && !closeTo(area, cell.localArea2()) {
		// Too thin for its centroid to lie in it: look at every triangle.
		c.found = c.found[:0]
		for t := range int32(c.s.mesh.Triangles()) {
			c.found = append(c.found, t)
		}
	}
	slices.Sort(c.found)
	for _, t := range c.found {
		if p := c.clip(t, cell, &sides); len(p) >= 3 {
			if !yield(Piece{int(t), !c.s.isPeeled(t), p}) {
				return false
			}
		}
	}
	return true
}

func closeTo(a, b float64) bool { return math.Abs(a-b) <= 1e-9*b }

// area returns twice the plan area of the pieces found.
func (c *cutter) area(cell *Cell, sides *[3]halfPlane) float64 {
	sum := 0.0
	for _, t := range c.found {
		p := c.clip(t, cell, sides)
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

// clip returns the part of a triangle on the inner side of all sides of a cell
// (Sutherland and Hodgman 1974, from memory).
func (c *cutter) clip(t int32, cell *Cell, sides *[3]halfPlane) []PieceCorner {
	m := c.s.mesh
	k := clipping{s: c.s, t: t, cell: cell, sides: sides}
	p, q := c.poly[0][:0], c.poly[1][:0]
	for i, v := range m.V[3*t : 3*t+3] {
		k.corner[i] = PieceCorner{m.X[v], m.Y[v], c.s.level[v]}
		p = append(p, clipCorner{k.corner[i], i})
	}
	for i := range sides {
		h := &sides[i]
		cut := false
		for _, v := range k.corner {
			cut = cut || h.distance(v.X, v.Y) < 0
		}
		if cut {
			p, q = k.keep(i, p, q[:0]), p
		}
	}
	out := c.out[:0]
	for _, corner := range p {
		out = append(out, corner.PieceCorner)
	}
	return out
}

// clipping is the cutting of one triangle by one cell.
type clipping struct {
	s      *Surface
	t      int32
	corner [3]PieceCorner // of the triangle
	cell   *Cell
	sides  *[3]halfPlane
}

// clipCorner is a corner of the polygon that is left, with the line that the
// edge to the next corner lies on: 0 to 2 a side of the triangle, 3 to 5 of the
// cell.
type clipCorner struct {
	PieceCorner
	on int
}

// keep appends to out what of polygon p lies on the inner side of a side.
func (k *clipping) keep(side int, p, out []clipCorner) []clipCorner {
	if len(p) == 0 {
		return out
	}
	h := &k.sides[side]
	last := &p[len(p)-1]
	dLast := h.distance(last.X, last.Y)
	for i := range p {
		corner := &p[i]
		d := h.distance(corner.X, corner.Y)
		switch {
		case dLast < 0 && d > 0: // coming in
			out = append(out, clipCorner{k.meet(last, corner, side, dLast, d), last.on})
		case dLast > 0 && d < 0: // going out, to come in along the side
			out = append(out, clipCorner{k.meet(last, corner, side, dLast, d), 3 + side})
		case dLast == 0 && d < 0 && len(out) > 0:
			out[len(out)-1].on = 3 + side
		}
		if d >= 0 {
			out = append(out, *corner)
		}
		last, dLast = corner, d
	}
	if first := &p[0]; dLast == 0 && h.distance(first.X, first.Y) < 0 && len(out) > 0 {
		out[len(out)-1].on = 3 + side
	}
	return out
}

// meet returns where the edge between two corners crosses a side of the cell.
// The same place comes out, to the bit, in all pieces that have it: on a side of
// the triangle it is computed from that side's ends, not from what earlier cuts
// left of it, and where two sides of the cell meet it is the cell's corner.
func (k *clipping) meet(p, q *clipCorner, side int, dp, dq float64) PieceCorner {
	if p.on < 3 {
		a, b := k.corner[p.on], k.corner[(p.on+1)%3]
		da, db := k.sides[side].distance(a.X, a.Y), k.sides[side].distance(b.X, b.Y)
		if (da < 0 && db > 0) || (da > 0 && db < 0) {
			return between(a, b, da, db)
		}
		return between(p.PieceCorner, q.PieceCorner, dp, dq)
	}
	other := p.on - 3
	at := k.cell.local[side]
	if other == (side+1)%3 {
		at = k.cell.local[other]
	}
	a, b, c := k.corner[0].Level, k.corner[1].Level, k.corner[2].Level
	level := k.s.interpolate(k.t, at[0], at[1])
	return PieceCorner{at[0], at[1], min(max(level, min(a, b, c)), max(a, b, c))}
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
