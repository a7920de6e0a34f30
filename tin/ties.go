package tin

import (
	"math"

	"barrow/tin/internal/mesh"
)

// Tie is a set of four or more vertices on one circle that is empty: every
// triangulation of it is Delaunay, and the choice is made by coordinates. Where
// the vertices do not lie in one plane, the choice moves the volume under the
// surface.
type Tie struct {
	Corners []Vertex // anticlockwise
	Spread  float64  // the greatest less the least volume any choice gives, cubic metres
}

// tieDetail is the most corners for which all choices are compared; a circle of
// more has a bound for its spread, its area times the range of its levels off a
// plane.
const tieDetail = 400

// Ties returns the ties of the domain whose choice moves the volume, in an
// order that depends on coordinates only. A choice across a breakline is none.
func (s *Surface) Ties() []Tie {
	m := s.mesh
	tied := func(e int32) bool {
		f := m.N[e]
		return f >= 0 && !m.Fixed(e) && !s.isPeeled(e/3) && !s.isPeeled(f/3) &&
			m.Cocircular(m.V[e], m.V[mesh.Next(e)], m.V[mesh.Prev(e)], m.V[mesh.Prev(f)])
	}
	seen := make([]bool, m.Triangles())
	var ties []Tie
	for e := range int32(len(m.V)) {
		if seen[e/3] || !tied(e) {
			continue
		}
		ring := s.tiedRing(e/3, tied, seen)
		if spread := s.spread(ring); spread > 0 {
			t := Tie{Spread: spread}
			for _, v := range ring {
				t.Corners = append(t.Corners, s.vertex(v))
			}
			ties = append(ties, t)
		}
	}
	return ties
}

// tiedRing returns the vertices round the triangles joined to t over tied
// edges. They are in convex position, so the joined triangles are a tree.
func (s *Surface) tiedRing(t int32, tied func(int32) bool, seen []bool) []int32 {
	m := s.mesh
	var ring []int32
	// The rest of the ring beyond half-edge e, from its start to before its end.
	// The stack holds what is still to be walked, the next on top.
	stack := []int32{3*t + 2, 3*t + 1, 3 * t}
	seen[t] = true
	for len(stack) > 0 {
		e := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		if f := m.N[e]; f >= 0 && !seen[f/3] && tied(e) {
			seen[f/3] = true
			stack = append(stack, mesh.Prev(f), mesh.Next(f))
			continue
		}
		ring = append(ring, m.V[e])
	}
	return ring
}

// spread returns the greatest less the least volume under the triangulations of
// a convex ring, by the best triangulation of every run of it. It is 0 for
// vertices in one plane.
func (s *Surface) spread(ring []int32) float64 {
	m, k := s.mesh, len(ring)
	base := s.level[ring[0]]
	prism := func(i, j, l int) float64 { // six times the volume above base
		a, b, c := ring[i], ring[j], ring[l]
		area := cross(m.P[b].X-m.P[a].X, m.P[b].Y-m.P[a].Y, m.P[c].X-m.P[a].X, m.P[c].Y-m.P[a].Y)
		return float64(area * ((s.level[a] - base) + (s.level[b] - base) + (s.level[c] - base)))
	}
	scale := 0.0 // of the terms, to tell a spread from rounding
	lo, hi := s.level[ring[0]], s.level[ring[0]]
	area := 0.0
	for i := 2; i < k; i++ {
		scale += math.Abs(prism(0, i-1, i))
		a, b, c := ring[0], ring[i-1], ring[i]
		area += cross(m.P[b].X-m.P[a].X, m.P[b].Y-m.P[a].Y, m.P[c].X-m.P[a].X, m.P[c].Y-m.P[a].Y)
	}
	for _, v := range ring {
		lo, hi = min(lo, s.level[v]), max(hi, s.level[v])
	}
	scale += float64(area * (hi - lo))
	if k > tieDetail {
		off := s.offPlane(ring)
		if off <= 1e-12*(hi-lo) {
			return 0
		}
		return area / 2 * off * s.frame.Area()
	}
	least, most := make([]float64, k*k), make([]float64, k*k)
	for width := 2; width < k; width++ {
		for i := 0; i+width < k; i++ {
			j := i + width
			least[i*k+j], most[i*k+j] = math.Inf(1), math.Inf(-1)
			for l := i + 1; l < j; l++ {
				p := prism(i, l, j)
				least[i*k+j] = min(least[i*k+j], p+least[i*k+l]+least[l*k+j])
				most[i*k+j] = max(most[i*k+j], p+most[i*k+l]+most[l*k+j])
			}
		}
	}
	d := most[k-1] - least[k-1]
	if d <= 1e-13*scale*float64(k) {
		return 0
	}
	return d / 6 * s.frame.Area()
}

// offPlane returns the range of a ring's levels above the plane through three
// of its vertices that lie far apart.
func (s *Surface) offPlane(ring []int32) float64 {
	m, k := s.mesh, len(ring)
	a, b, c := ring[0], ring[k/3], ring[2*k/3]
	ux, uy, uz := m.P[b].X-m.P[a].X, m.P[b].Y-m.P[a].Y, s.level[b]-s.level[a]
	vx, vy, vz := m.P[c].X-m.P[a].X, m.P[c].Y-m.P[a].Y, s.level[c]-s.level[a]
	area := cross(ux, uy, vx, vy)
	lo, hi := 0.0, 0.0
	for _, v := range ring {
		x, y := m.P[v].X-m.P[a].X, m.P[v].Y-m.P[a].Y
		off := s.level[v] - s.level[a] - float64(cross(x, y, vx, vy)/area*uz) - float64(cross(ux, uy, x, y)/area*vz)
		lo, hi = min(lo, off), max(hi, off)
	}
	return hi - lo
}
