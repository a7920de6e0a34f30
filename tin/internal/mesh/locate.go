package mesh

import (
	"math"

	"barrow/tin/internal/robust"
)

// Locate returns a triangle that holds the point (x, y), borders included, or
// -1 if the point lies outside the hull. It walks from the triangle hint, or with a
// negative hint from a triangle near by of its place. A walk crosses about the square
// root of the triangles between at worst.
func (m *Mesh) Locate(x, y float64, hint int32) int32 {
	triangles := int32(m.Triangles())
	if hint < 0 || hint >= triangles {
		hint = m.near(x, y)
	}
	t, from := hint, int32(-1)
	// Which side is tried first changes from step to step: with forced edges a
	// walk that always tries the same one can go in circles.
	turn := uint32(1)
	for range 64 + int(triangles) {
		turn = turn*1664525 + 1013904223
		first := int32(turn>>16) % 3
		crossed := false
		for i := range int32(3) {
			e := 3*t + (first+i)%3
			if e == from {
				continue
			}
			if right(&m.P[m.V[e]], &m.P[m.V[Next(e)]], x, y) {
				from = m.N[e]
				if from < 0 {
					return -1 // right of a side of the convex hull
				}
				t = from / 3
				crossed = true
				break
			}
		}
		if !crossed {
			return t
		}
	}
	return m.scan(x, y)
}

// right reports whether (x, y) lies to the right of the line from a to b. Three
// roundings in each product, and one of their difference, are far less than what
// sends the question to the exact sign.
func right(a, b *XY, x, y float64) bool {
	l, r := float64((a.X-x)*(b.Y-y)), float64((a.Y-y)*(b.X-x))
	if det := l - r; math.Abs(det) > 0x1p-50*(math.Abs(l)+math.Abs(r)) {
		return det < 0
	}
	return robust.Orient(a.X, a.Y, b.X, b.Y, x, y) < 0
}

// starts holds a triangle for each cell of a square grid over the vertices.
type starts struct {
	x, y, per float64 // a corner of the grid, cells per unit of length
	side      int     // cells along it
	triangle  []int32
}

// perCell is about how many vertices lie in a cell, were they spread evenly.
const perCell = 16

// near returns a triangle to start from on the way to a point.
func (m *Mesh) near(x, y float64) int32 {
	m.startsOnce.Do(func() { m.starts = m.newStarts() })
	return m.starts.triangle[m.starts.cell(x, y)]
}

// cell returns the cell that holds a point or lies nearest to it along each axis.
func (s *starts) cell(x, y float64) int { return s.along(y-s.y)*s.side + s.along(x-s.x) }

func (s *starts) along(distance float64) int {
	if cells := distance * s.per; cells > 0 { // false for NaN too
		return int(min(cells, float64(s.side-1)))
	}
	return 0
}

// newStarts puts each triangle in the cell of its least vertex, where the last
// stays. A cell without one has the triangle of the cell before it.
func (m *Mesh) newStarts() starts {
	lo, hi := m.P[0], m.P[0]
	for _, p := range m.P {
		lo.X, hi.X = min(lo.X, p.X), max(hi.X, p.X)
		lo.Y, hi.Y = min(lo.Y, p.Y), max(hi.Y, p.Y)
	}
	side := 1 + int(math.Sqrt(float64(len(m.P)/perCell)))
	s := starts{lo.X, lo.Y, float64(side) / max(hi.X-lo.X, hi.Y-lo.Y), side, make([]int32, side*side)}
	for t := range m.Triangles() {
		p := m.P[m.V[3*t]]
		s.triangle[s.cell(p.X, p.Y)] = int32(t)
	}
	for c := 1; c < len(s.triangle); c++ {
		if s.triangle[c] == 0 {
			s.triangle[c] = s.triangle[c-1]
		}
	}
	return s
}

// scan looks at every triangle.
func (m *Mesh) scan(x, y float64) int32 {
	for t := range int32(m.Triangles()) {
		if m.holds(t, x, y) {
			return t
		}
	}
	return -1
}

func (m *Mesh) holds(t int32, x, y float64) bool {
	for i := range int32(3) {
		a, b := m.V[3*t+i], m.V[3*t+(i+1)%3]
		if robust.Orient(m.P[a].X, m.P[a].Y, m.P[b].X, m.P[b].Y, x, y) < 0 {
			return false
		}
	}
	return true
}
