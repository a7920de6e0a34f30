package tin

import "math"

// clipper cuts triangles of a surface by convex polygons.
//
// Every corner of what is left is one of three: a corner of the triangle, a
// corner of the polygon, or the crossing of an edge of one with a side of the
// other. It is computed from those, however it came about in the cutting, so
// that all pieces round it share it to the bit, its level too.
type clipper struct {
	triangle [3]PieceCorner
	plane    trianglePlane // of the triangle
	planed   bool          // plane is set
	poly     [2][]clipCorner
}

// clipCorner is a corner of a piece.
type clipCorner struct {
	PieceCorner
	kind clipKind
	side int // of the polygon: the line that crosses here, or the side that starts here
	line int // what the piece follows from here: an edge of the triangle, 0 to 2, or 3 + a line of the polygon
}

type clipKind int8

const (
	triangleCorner clipKind = iota
	polygonCorner
	crossing
)

// cut returns the part of the triangle last set in p; inside says that all of
// it is.
func (c *clipper) cut(p *convex, inside bool) []clipCorner {
	out := c.poly[0][:0]
	for i, corner := range c.triangle {
		out = append(out, clipCorner{PieceCorner: corner, kind: triangleCorner, line: i})
	}
	c.poly[0] = out
	if inside {
		return out
	}
	// Sutherland and Hodgman 1974 (from memory).
	for k := 0; k < len(p.side)+len(p.rest) && len(out) > 0; k++ {
		out = c.keep(p, k, out, c.poly[1][:0])
		c.poly[0], c.poly[1] = out, c.poly[0]
	}
	return out
}

// set takes the triangle to cut.
func (c *clipper) set(triangle [3]PieceCorner) {
	c.triangle, c.planed = triangle, false
}

// line returns the half-plane of side k or, beyond the sides, of the rest.
func (p *convex) line(k int) *halfPlane {
	if n := len(p.side); k >= n {
		return &p.rest[k-n]
	}
	return &p.side[k]
}

// keep appends to out what of a piece lies on the inner side of line k.
func (c *clipper) keep(p *convex, k int, piece, out []clipCorner) []clipCorner {
	h := p.line(k)
	last := &piece[len(piece)-1]
	dLast := h.distance(last.X, last.Y)
	leaves := dLast == 0 && h.distance(piece[0].X, piece[0].Y) < 0 // at the last corner
	for i := range piece {
		corner := &piece[i]
		d := h.distance(corner.X, corner.Y)
		switch {
		case dLast < 0 && d > 0: // comes in, and follows the same line
			in := c.meet(p, k, last, corner, dLast, d)
			in.line = last.line
			out = append(out, in)
		case dLast > 0 && d < 0: // goes out, and follows the side
			at := c.meet(p, k, last, corner, dLast, d)
			at.line = 3 + k
			out = append(out, at)
		case dLast == 0 && d < 0 && i > 0: // goes out at a corner
			out[len(out)-1].line = 3 + k
		}
		if d >= 0 {
			out = append(out, *corner)
		}
		last, dLast = corner, d
	}
	if leaves {
		out[len(out)-1].line = 3 + k
	}
	return out
}

// meet returns where the line from corner a to corner b meets line k.
func (c *clipper) meet(p *convex, k int, a, b *clipCorner, da, db float64) clipCorner {
	if a.line < 3 {
		from, to := c.triangle[a.line], c.triangle[(a.line+1)%3]
		h := p.line(k)
		at := between(from, to, h.distance(from.X, from.Y), h.distance(to.X, to.Y))
		if onStretch(a, b, at) {
			return clipCorner{PieceCorner: at, kind: crossing, side: k}
		}
	} else if n, j := len(p.side), a.line-3; k < n && j < n {
		// Two sides of the polygon meet at its corner.
		corner := -1
		switch {
		case (j+1)%n == k:
			corner = k
		case (k+1)%n == j:
			corner = j
		}
		if corner >= 0 && onStretch(a, b, p.corner[corner]) {
			return c.polygonCorner(p, corner)
		}
	}
	// Lines that lie on one another but for rounding, or that meet for a moment,
	// until the next cut. Keep to what is left of the edge.
	return clipCorner{PieceCorner: between(a.PieceCorner, b.PieceCorner, da, db), kind: crossing, side: k}
}

// onStretch reports whether a place lies between a and b, but for rounding.
func onStretch(a, b *clipCorner, at PieceCorner) bool {
	slack := 0x1p-50 * max(math.Abs(a.X), math.Abs(b.X), math.Abs(a.Y), math.Abs(b.Y))
	return min(a.X, b.X)-slack <= at.X && at.X <= max(a.X, b.X)+slack &&
		min(a.Y, b.Y)-slack <= at.Y && at.Y <= max(a.Y, b.Y)+slack
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

func (c *clipper) polygonCorner(p *convex, k int) clipCorner {
	x, y := p.corner[k].X, p.corner[k].Y
	return clipCorner{PieceCorner: PieceCorner{x, y, c.levelAt(x, y)}, kind: polygonCorner, side: k}
}

func (c *clipper) levelAt(x, y float64) float64 {
	if !c.planed {
		c.plane.set(c.triangle)
		c.planed = true
	}
	return c.plane.at(x, y)
}
