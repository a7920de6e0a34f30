package tin

import (
	"math"
	"math/bits"

	"barrow/tin/internal/mesh"
)

// clipper cuts triangles of a surface by convex polygons.
//
// Every corner of what is left is one of three: a corner of the triangle, a
// corner of the polygon, or the crossing of an edge of one with a side of the
// other. It is computed from those, however it came about in the cutting, so
// that all pieces round it share it to the bit, its level too.
type clipper struct {
	plane    trianglePlane // of the triangle
	planed   bool          // plane is set
	own      sides
	corner   []clipCorner // those of the triangle, then those met in cutting
	distance []float64    // of each corner of the piece from a line
	ring     [2][]int32   // the piece by its corners, and room for the next
	out      []clipCorner
}

// clipCorner is a corner of a piece.
type clipCorner struct {
	PieceCorner
	kind clipKind
	side int8 // of the polygon: the line that crosses here, or the side that starts here
	line int  // what the piece follows from here: an edge of the triangle, 0 to 2, or 3 + a line of the polygon
}

type clipKind int8

const (
	triangleCorner clipKind = iota
	polygonCorner
	crossing
)

// set takes the triangle to cut.
func (c *clipper) set(triangle [3]PieceCorner) {
	c.room()
	for i := range triangle {
		c.corner[i].PieceCorner = triangle[i]
	}
}

// setOf takes triangle t of a mesh whose vertices have these levels.
func (c *clipper) setOf(m *mesh.Mesh, level []float64, t int32) {
	c.room()
	for i, v := range m.V[3*t : 3*t+3] {
		p, at := &m.P[v], &c.corner[i]
		at.X, at.Y, at.Level = p.X, p.Y, level[v]
	}
}

// room makes room for the corners of a triangle.
func (c *clipper) room() {
	if c.corner == nil {
		c.corner = make([]clipCorner, 3, 16)
	}
	c.corner, c.planed = c.corner[:3], false
}

// cut returns the part of the triangle last set in p; inside says that all of
// it is.
func (c *clipper) cut(p *convex, inside bool) []clipCorner {
	c.own.out = [3]uint16{}
	if !inside {
		var at [3]mesh.XY
		for i := range at {
			at[i] = mesh.XY{X: c.corner[i].X, Y: c.corner[i].Y}
		}
		c.own.set(p, &at[0], &at[1], &at[2])
	}
	c.out = c.out[:0]
	for _, i := range c.cutBy(p, &c.own) {
		c.out = append(c.out, c.corner[i])
	}
	return c.out
}

// cutBy is cut where it is known where the triangle lies from the lines of p. It
// returns the piece as indices of c.corner.
func (c *clipper) cutBy(p *convex, s *sides) []int32 {
	c.corner = c.corner[:3]
	for i := range c.corner {
		c.corner[i].line = i
	}
	ring := append(c.ring[0][:0], 0, 1, 2)
	c.ring[0] = ring
	// Sutherland and Hodgman 1974 (from memory). A line that has all of the triangle
	// inside cuts nothing off.
	for cuts := s.cuts(); cuts != 0 && len(ring) > 0; cuts &= cuts - 1 {
		ring = c.keep(p, s, bits.TrailingZeros16(cuts), ring)
	}
	return ring
}

// add makes room for a corner.
func (c *clipper) add() *clipCorner {
	n := len(c.corner)
	if n < cap(c.corner) {
		c.corner = c.corner[:n+1]
	} else {
		c.corner = append(c.corner, clipCorner{})
	}
	return &c.corner[n]
}

// keep returns what of a piece lies on the inner side of line k.
func (c *clipper) keep(p *convex, s *sides, k int, ring []int32) []int32 {
	d, below := c.distances(p, s, k, ring)
	if !below {
		return ring
	}
	out := c.ring[1][:0]
	last, dLast := ring[len(ring)-1], d[len(ring)-1]
	leaves := dLast == 0 && d[0] < 0 // at the last corner
	for i, next := range ring {
		switch d := d[i]; {
		case dLast < 0 && d > 0: // comes in, and follows the same line
			out = append(out, c.meet(p, s, k, last, next, dLast, d, c.corner[last].line))
		case dLast > 0 && d < 0: // goes out, and follows the side
			out = append(out, c.meet(p, s, k, last, next, dLast, d, 3+k))
		case dLast == 0 && d < 0 && i > 0: // goes out at a corner
			c.corner[out[len(out)-1]].line = 3 + k
		}
		if d[i] >= 0 {
			out = append(out, next)
		}
		last, dLast = next, d[i]
	}
	if leaves {
		c.corner[out[len(out)-1]].line = 3 + k
	}
	c.ring[0], c.ring[1] = out, ring
	return out
}

// distances returns how far the corners of a piece are from line k, and whether
// one of them is below it.
func (c *clipper) distances(p *convex, s *sides, k int, ring []int32) (d []float64, below bool) {
	if len(c.corner) == 3 && len(ring) == 3 { // nothing is cut off yet
		d = s.distance[k][:]
		return d, d[0] < 0 || d[1] < 0 || d[2] < 0
	}
	h := p.line(k)
	d = c.distance[:0]
	negative := uint16(0)
	for _, i := range ring {
		at := h.distance(c.corner[i].X, c.corner[i].Y)
		d, negative = append(d, at), negative|bit(at < 0)
	}
	c.distance = d
	return d, negative != 0
}

// meet adds the corner where the line from corner a to corner b meets line k, and
// says which line the piece follows from there. It returns its index.
func (c *clipper) meet(p *convex, s *sides, k int, a, b int32, da, db float64, line int) int32 {
	n := int32(len(c.corner))
	at := c.add()
	from, to := &c.corner[a], &c.corner[b]
	at.kind, at.side, at.line = crossing, int8(k), line
	if e := from.line; e < 3 {
		p, q := c.ends(e)
		at.onEdge(&c.corner[p].PieceCorner, &c.corner[q].PieceCorner, s.distance[k][p], s.distance[k][q])
		if from.kind == triangleCorner && to.kind == triangleCorner || onStretch(from, to, &at.PieceCorner) {
			return n
		}
	} else if corner := p.cornerOf(k, e-3); corner >= 0 && onStretch(from, to, &p.corner[corner]) {
		at.kind, at.side = polygonCorner, int8(corner)
		at.X, at.Y = p.corner[corner].X, p.corner[corner].Y
		at.Level = c.levelAt(at.X, at.Y)
		return n
	}
	// Lines that lie on one another but for rounding, or that meet for a moment,
	// until the next cut. Keep to what is left of the edge.
	at.between(&from.PieceCorner, &to.PieceCorner, da, db)
	return n
}

// after is the corner after one of a triangle: 0, 1, 2, 0.
func after(corner int) int { return 1 << uint(corner) & 3 }

// cornerOf returns the corner at which two sides meet, or -1.
func (p *convex) cornerOf(k, j int) int {
	n := len(p.side)
	switch {
	case k >= n || j >= n:
		return -1
	case k == j+1 || k == 0 && j == n-1:
		return k
	case j == k+1 || j == 0 && k == n-1:
		return j
	}
	return -1
}

// onStretch reports whether a place lies between a and b, but for rounding.
func onStretch(a, b *clipCorner, at *PieceCorner) bool {
	if float64((at.X-a.X)*(b.X-at.X)) >= 0 && float64((at.Y-a.Y)*(b.Y-at.Y)) >= 0 {
		return true
	}
	slack := 0x1p-50 * max(math.Abs(a.X), math.Abs(b.X), math.Abs(a.Y), math.Abs(b.Y))
	return min(a.X, b.X)-slack <= at.X && at.X <= max(a.X, b.X)+slack &&
		min(a.Y, b.Y)-slack <= at.Y && at.Y <= max(a.Y, b.Y)+slack
}

// between makes c the place on the edge from p to q where a value that is dp
// and dq at its ends, of different sign, is zero. It is always computed from
// the lesser end by (x, y).
func (c *PieceCorner) between(p, q *PieceCorner, dp, dq float64) {
	if q.before(*p) {
		p, q, dp, dq = q, p, dq, dp
	}
	c.onEdge(p, q, dp, dq)
}

// onEdge is between from the lesser end p.
func (c *PieceCorner) onEdge(p, q *PieceCorner, dp, dq float64) {
	t := dp / (dp - dq)
	c.X = p.X + float64(t*(q.X-p.X))
	c.Y = p.Y + float64(t*(q.Y-p.Y))
	c.Level = p.Level + float64(t*(q.Level-p.Level))
}

// ends returns the corners of edge e of the triangle, the lesser by (x, y) first;
// without a branch, which would be taken at random.
func (c *clipper) ends(e int) (p, q int) {
	p, q = e, after(e)
	a, b := &c.corner[p], &c.corner[q]
	turned := bit(b.X < a.X) | bit(b.X == a.X)&bit(b.Y < a.Y)
	other := (p ^ q) & -int(turned)
	return p ^ other, q ^ other
}

func (c *clipper) levelAt(x, y float64) float64 {
	if !c.planed {
		c.plane.set(&c.corner[0].PieceCorner, &c.corner[1].PieceCorner, &c.corner[2].PieceCorner)
		c.planed = true
	}
	return c.plane.at(x, y)
}
