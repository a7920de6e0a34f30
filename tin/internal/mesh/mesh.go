package mesh

import (
	"iter"
	"sync"

	"barrow/tin/internal/robust"
)

// Mesh is a triangulation of the convex hull of its vertices. Its fields are
// for reading; only the methods of this package change them.
type Mesh struct {
	P     []XY    // vertices
	Whole bool    // all coordinates are whole numbers, differences below 2^26
	V     []int32 // three vertices a triangle, anticlockwise, the least first
	N     []int32 // the half-edge across each half-edge, -1 on the hull
	fixed []Kind  // of half-edges, why the edge is forced; nil while none is
	at    []int32 // a half-edge that leaves each vertex

	startsOnce sync.Once
	starts     starts // where a search for a place begins
}

// Triangles returns the number of triangles.
func (m *Mesh) Triangles() int { return len(m.V) / 3 }

// Next returns the half-edge after e round its triangle.
func Next(e int32) int32 {
	if e%3 == 2 {
		return e - 2
	}
	return e + 1
}

// Prev returns the half-edge before e round its triangle.
func Prev(e int32) int32 {
	if e%3 == 0 {
		return e + 2
	}
	return e - 1
}

// Kind says why an edge is forced, in bits; 0: it is not.
type Kind uint8

// The reasons to force an edge.
const (
	LineEdge Kind = 1 << iota // it lies on a line that edges must follow
	FaceEdge                  // it is a side of a triangle given
)

// Fixed reports whether half-edge e lies on a forced edge.
func (m *Mesh) Fixed(e int32) bool { return m.Kind(e) != 0 }

// Kind returns why the edge of half-edge e is forced.
func (m *Mesh) Kind(e int32) Kind {
	if m.fixed == nil {
		return 0
	}
	return m.fixed[e]
}

// Border returns the half-edges of the hull, in order of their numbers.
func (m *Mesh) Border() []int32 {
	var border []int32
	for e, f := range m.N {
		if f < 0 {
			border = append(border, int32(e))
		}
	}
	return border
}

// Orient returns the sign of the turn a, b, c: positive if anticlockwise.
func (m *Mesh) Orient(a, b, c int32) int { return orient(m.Whole, &m.P[a], &m.P[b], &m.P[c]) }

// inCircle reports whether d lies inside the circle through the anticlockwise
// triangle a, b, c. It is never undecided: ties go by coordinates.
func (m *Mesh) inCircle(a, b, c, d int32) bool {
	return inCircle(m.P, m.Whole, a, b, c, d)
}

// Cocircular reports whether the four vertices lie exactly on one circle, a,
// b, c being in anticlockwise order.
func (m *Mesh) Cocircular(a, b, c, d int32) bool {
	return inCircleSign(m.Whole, &m.P[a], &m.P[b], &m.P[c], &m.P[d]) == 0
}

// XY is a place in the plane.
type XY struct{ X, Y float64 }

// Before is the order of (x, y).
func (p XY) Before(q XY) bool { return p.X < q.X || (p.X == q.X && p.Y < q.Y) }

func orient(whole bool, a, b, c *XY) int {
	if whole {
		return robust.OrientWhole(a.X, a.Y, b.X, b.Y, c.X, c.Y)
	}
	return robust.Orient(a.X, a.Y, b.X, b.Y, c.X, c.Y)
}

func inCircleSign(whole bool, a, b, c, d *XY) int {
	if whole {
		return robust.InCircleWhole(a.X, a.Y, b.X, b.Y, c.X, c.Y, d.X, d.Y)
	}
	return robust.InCircle(a.X, a.Y, b.X, b.Y, c.X, c.Y, d.X, d.Y)
}

// inCircle is [Mesh.inCircle] over vertices at. It does not call inCircleSign: this
// is asked some five times a vertex, and a call less shows.
func inCircle(at []XY, whole bool, p, q, r, s int32) bool {
	a, b, c, d := &at[p], &at[q], &at[r], &at[s]
	var sign int
	if whole {
		sign = robust.InCircleWhole(a.X, a.Y, b.X, b.Y, c.X, c.Y, d.X, d.Y)
	} else {
		sign = robust.InCircle(a.X, a.Y, b.X, b.Y, c.X, c.Y, d.X, d.Y)
	}
	if sign == 0 {
		sign = tie(whole, a, b, c, d)
	}
	return sign > 0
}

// tie decides the in-circle test of four points on one circle by the point
// that is greatest in the order of (x, y), whose lifted height has the
// infinitely greatest part: its cofactor in the determinant gives the sign. It
// is never 0, since no three points of a circle are in line.
//
// Source: symbolic perturbation, Edelsbrunner and Muecke 1990; for Delaunay
// triangulations Devillers and Teillaud 2003 (from memory).
func tie(whole bool, a, b, c, d *XY) int {
	greatest, sign := d, -orient(whole, a, b, c)
	if greatest.Before(*a) {
		greatest, sign = a, orient(whole, b, c, d)
	}
	if greatest.Before(*b) {
		greatest, sign = b, -orient(whole, a, c, d)
	}
	if greatest.Before(*c) {
		sign = orient(whole, a, b, d)
	}
	return sign
}

// leave returns a half-edge that leaves vertex v.
func (m *Mesh) leave(v int32) int32 {
	if m.at == nil {
		m.at = make([]int32, len(m.P))
		for e, w := range m.V {
			m.at[w] = int32(e)
		}
	}
	return m.at[v]
}

// Around returns the half-edges that leave the vertex which half-edge e leaves,
// one for each triangle there.
func (m *Mesh) Around(e int32) iter.Seq[int32] {
	return func(yield func(int32) bool) {
		for f := e; f >= 0; {
			if !yield(f) {
				return
			}
			if f = m.N[Prev(f)]; f == e {
				return
			}
		}
		for f := m.N[e]; f >= 0; f = m.N[f] {
			if f = Next(f); !yield(f) {
				return
			}
		}
	}
}

// find returns the half-edge from a to b or, where only the other side of that
// edge exists (on the hull), from b to a; -1 if there is no such edge.
func (m *Mesh) find(a, b int32) int32 {
	for e := range m.Around(m.leave(a)) {
		if m.V[Next(e)] == b {
			return e
		}
		if p := Prev(e); m.V[p] == b && m.N[p] < 0 {
			return p
		}
	}
	return -1
}

// flip turns the diagonal of the two triangles at half-edge e, which must have
// another side:
//
//	   c                  c
//	 /   \              / | \
//	a --e-- b    ->    a  |  b
//	 \   /              \ | /
//	   d                  d
//
// Afterwards half-edge 3*(e/3)+1 runs from d to c.
func (m *Mesh) flip(e int32) {
	f := m.N[e]
	t, u := e/3*3, f/3*3
	a, b, c, d := m.V[e], m.V[f], m.V[Prev(e)], m.V[Prev(f)]
	bc, ca, ad, db := m.N[Next(e)], m.N[Prev(e)], m.N[Next(f)], m.N[Prev(f)]
	var kbc, kca, kad, kdb Kind
	if m.fixed != nil {
		kbc, kca, kad, kdb = m.fixed[Next(e)], m.fixed[Prev(e)], m.fixed[Next(f)], m.fixed[Prev(f)]
	}
	m.V[t], m.V[t+1], m.V[t+2] = a, d, c
	m.V[u], m.V[u+1], m.V[u+2] = b, c, d
	m.link(t, ad)
	m.link(t+1, u+1)
	m.link(t+2, ca)
	m.link(u, bc)
	m.link(u+2, db)
	if m.fixed != nil {
		m.fixed[t], m.fixed[t+1], m.fixed[t+2] = kad, 0, kca
		m.fixed[u], m.fixed[u+1], m.fixed[u+2] = kbc, 0, kdb
	}
	if m.at != nil {
		m.at[a], m.at[d], m.at[c], m.at[b] = t, t+1, t+2, u
	}
}

func (m *Mesh) link(e, f int32) {
	m.N[e] = f
	if f >= 0 {
		m.N[f] = e
	}
}

// legalise flips unforced edges that are not Delaunay, starting from the edges
// given and going on to the sides of each pair flipped. Every flip lowers the
// lifted surface, so it ends (docs/methods.md).
func (m *Mesh) legalise(edges []int32) {
	for len(edges) > 0 {
		e := edges[len(edges)-1]
		edges = edges[:len(edges)-1]
		f := m.N[e]
		if f < 0 || m.Fixed(e) {
			continue
		}
		if !m.inCircle(m.V[e], m.V[Next(e)], m.V[Prev(e)], m.V[Prev(f)]) {
			continue
		}
		m.flip(e)
		t, u := e/3*3, f/3*3
		edges = append(edges, t, t+2, u, u+2)
	}
}

// OnLine reports whether a point lies exactly on the line of half-edge e.
func (m *Mesh) OnLine(e int32, x, y float64) bool {
	a, b := m.V[e], m.V[Next(e)]
	return robust.Orient(m.P[a].X, m.P[a].Y, m.P[b].X, m.P[b].Y, x, y) == 0
}

// Placed returns the same triangles with the vertices at other coordinates, for
// looking up places only: nothing is promised of them where rounding turned a
// triangle over.
func (m *Mesh) Placed(p []XY) *Mesh { return &Mesh{P: p, V: m.V, N: m.N} }
