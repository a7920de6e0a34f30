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
	triangle [3]PieceCorner
	plane    trianglePlane // of the triangle
	planed   bool          // plane is set
	poly     [2][]clipCorner
	distance []float64 // of the corners of a piece from a line
	own      sides
}

// clipCorner is a corner of a piece.
type clipCorner struct {
	PieceCorner
	kind clipKind
	side int8 // of the polygon: the line that crosses here, or the side that starts here; or the triangle's corner
	line int  // what the piece follows from here: an edge of the triangle, 0 to 2, or 3 + a line of the polygon
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
	if inside {
		return c.whole()
	}
	t := &c.triangle
	c.own.set(p, &mesh.XY{X: t[0].X, Y: t[0].Y}, &mesh.XY{X: t[1].X, Y: t[1].Y}, &mesh.XY{X: t[2].X, Y: t[2].Y})
	return c.cutBy(p, &c.own)
}

// whole returns the triangle last set.
func (c *clipper) whole() []clipCorner {
	out := c.poly[0][:0]
	for i, corner := range &c.triangle {
		out = append(out, clipCorner{PieceCorner: corner, kind: triangleCorner, side: int8(i), line: i})
	}
	c.poly[0] = out
	return out
}

// cutBy is cut where the triangle's sides of the lines of p are known.
func (c *clipper) cutBy(p *convex, s *sides) []clipCorner {
	out := c.whole()
	// Sutherland and Hodgman 1974 (from memory). A line that the whole triangle is
	// clear of cuts nothing off.
	for near := s.near; near != 0 && len(out) > 0; near &= near - 1 {
		k := bits.TrailingZeros16(near)
		out = c.keep(p, s, k, out)
	}
	return out
}

// set takes the triangle to cut.
func (c *clipper) set(triangle [3]PieceCorner) {
	c.triangle, c.planed = triangle, false
}

// keep returns what of a piece lies on the inner side of line k.
func (c *clipper) keep(p *convex, s *sides, k int, piece []clipCorner) []clipCorner {
	h := p.line(k)
	d := c.distance[:0]
	var below, on uint32
	for i := range piece {
		corner := &piece[i]
		var at float64
		if corner.kind == triangleCorner {
			at = s.distance[k][corner.side]
		} else {
			at = h.distance(corner.X, corner.Y)
		}
		d = append(d, at)
		below |= uint32(bit(at < 0)) << i
		on |= uint32(bit(at == 0)) << i
	}
	c.distance = d
	if below == 0 {
		return piece
	}
	out := c.poly[1][:0]
	n := len(piece)
	before := (below<<1 | below>>(n-1)) & (1<<n - 1)
	in, exit := before&^below, below&^before
	if on != 0 || in == 0 || in&(in-1) != 0 {
		out = c.keepAny(p, s, k, d, piece, out)
	} else {
		i, o := bits.TrailingZeros32(in), bits.TrailingZeros32(exit)
		last, before := (i+n-1)%n, (o+n-1)%n
		enter := c.meet(p, s, k, &piece[last], &piece[i], d[last], d[i])
		enter.line = piece[last].line
		leave := c.meet(p, s, k, &piece[before], &piece[o], d[before], d[o])
		leave.line = 3 + k
		switch {
		case i < o:
			out = append(out, enter)
			out = append(out, piece[i:o]...)
			out = append(out, leave)
		default:
			out = append(out, piece[:o]...)
			out = append(out, leave, enter)
			out = append(out, piece[i:]...)
		}
	}
	c.poly[0], c.poly[1] = out, c.poly[0]
	return out
}

// keepAny is keep where corners lie on the line, or it crosses a piece that
// rounding has folded more than twice.
func (c *clipper) keepAny(p *convex, s *sides, k int, d []float64, piece, out []clipCorner) []clipCorner {
	last := &piece[len(piece)-1]
	dLast := d[len(piece)-1]
	leaves := dLast == 0 && d[0] < 0 // at the last corner
	for i := range piece {
		corner := &piece[i]
		d := d[i]
		switch {
		case dLast < 0 && d > 0: // comes in, and follows the same line
			in := c.meet(p, s, k, last, corner, dLast, d)
			in.line = last.line
			out = append(out, in)
		case dLast > 0 && d < 0: // goes out, and follows the side
			at := c.meet(p, s, k, last, corner, dLast, d)
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
func (c *clipper) meet(p *convex, s *sides, k int, a, b *clipCorner, da, db float64) clipCorner {
	if e := a.line; e < 3 {
		f := after[e]
		at := between(&c.triangle[e], &c.triangle[f], s.distance[k][e], s.distance[k][f])
		if onStretch(a, b, &at) {
			return clipCorner{PieceCorner: at, kind: crossing, side: int8(k)}
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
		if corner >= 0 && onStretch(a, b, &p.corner[corner]) {
			return c.polygonCorner(p, corner)
		}
	}
	// Lines that lie on one another but for rounding, or that meet for a moment,
	// until the next cut. Keep to what is left of the edge.
	return clipCorner{PieceCorner: between(&a.PieceCorner, &b.PieceCorner, da, db), kind: crossing, side: int8(k)}
}

// after is the corner after each of a triangle.
var after = [3]int{1, 2, 0}

// onStretch reports whether a place lies between a and b, but for rounding.
func onStretch(a, b *clipCorner, at *PieceCorner) bool {
	slack := 0x1p-50 * max(math.Abs(a.X), math.Abs(b.X), math.Abs(a.Y), math.Abs(b.Y))
	return min(a.X, b.X)-slack <= at.X && at.X <= max(a.X, b.X)+slack &&
		min(a.Y, b.Y)-slack <= at.Y && at.Y <= max(a.Y, b.Y)+slack
}

// between returns the place on the edge from p to q where a value that is dp
// and dq at its ends, of different sign, is zero. It is always computed from
// the lesser end by (x, y).
func between(p, q *PieceCorner, dp, dq float64) PieceCorner {
	if q.before(*p) {
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
	return clipCorner{PieceCorner: PieceCorner{x, y, c.levelAt(x, y)}, kind: polygonCorner, side: int8(k)}
}

func (c *clipper) levelAt(x, y float64) float64 {
	if !c.planed {
		c.plane.set(c.triangle)
		c.planed = true
	}
	return c.plane.at(x, y)
}
