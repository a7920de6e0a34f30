package mesh

import (
	"cmp"
	"fmt"
)

// Check proves the triangulation and returns the first fault found: sizes,
// links, every triangle anticlockwise, every vertex used, the border one convex
// loop, the number of triangles that Euler's formula asks for, and every
// unforced edge Delaunay with ties decided by coordinates. Positive triangles
// linked side to side within a border that is one convex loop, once round,
// cover the hull once.
func (m *Mesh) Check() error {
	if len(m.V) != len(m.N) || len(m.V)%3 != 0 || len(m.V) == 0 {
		return fmt.Errorf("mesh: %d and %d half-edges", len(m.V), len(m.N))
	}
	used := make([]bool, len(m.P))
	border, start := 0, int32(-1)
	for e, v := range m.V {
		if v < 0 || int(v) >= len(m.P) {
			return fmt.Errorf("mesh: half-edge %d leaves vertex %d of %d", e, v, len(m.P))
		}
		used[v] = true
		switch f := m.N[e]; {
		case f == -1:
			border++
			start = int32(e)
		case f < 0 || int(f) >= len(m.N):
			return fmt.Errorf("mesh: half-edge %d is linked to %d", e, f)
		}
	}
	for v, u := range used {
		if !u {
			return fmt.Errorf("mesh: vertex %d (%v, %v) is in no triangle", v, m.P[v].X, m.P[v].Y)
		}
	}
	if t, want := m.Triangles(), 2*len(m.P)-2-border; t != want {
		return fmt.Errorf("mesh: %d triangles with %d vertices and %d border edges, want %d", t, len(m.P), border, want)
	}
	if start < 0 {
		return fmt.Errorf("mesh: no border")
	}
	var faults [2]error
	inParts(m.Triangles(), func(part, lo, hi int) { faults[part] = m.checkTriangles(int32(lo), int32(hi)) })
	return cmp.Or(faults[0], faults[1], m.checkBorder(start, border))
}

// checkTriangles proves triangles lo to hi: anticlockwise, links there and back,
// unforced edges Delaunay.
func (m *Mesh) checkTriangles(lo, hi int32) error {
	for t := lo; t < hi; t++ {
		v := m.V[3*t : 3*t+3 : 3*t+3]
		a, b, c := &m.P[v[0]], &m.P[v[1]], &m.P[v[2]]
		if orient(m.Whole, a, b, c) <= 0 {
			return fmt.Errorf("mesh: triangle %d (%d %d %d) does not turn anticlockwise", t, v[0], v[1], v[2])
		}
		if v[0] >= v[1] || v[0] >= v[2] {
			return fmt.Errorf("mesh: triangle %d does not begin with its least vertex", t)
		}
		for i := range int32(3) {
			e := 3*t + i
			f := m.N[e]
			if f < 0 {
				continue
			}
			if m.N[f] != e {
				return fmt.Errorf("mesh: half-edge %d is linked to %d, which is not linked back", e, f)
			}
			if f < e {
				continue // proved from the other side
			}
			if m.V[f] != v[after[i]] || m.V[Next(f)] != v[i] {
				return fmt.Errorf("mesh: half-edges %d and %d have different ends", e, f)
			}
			if m.Kind(e) != m.Kind(f) {
				return fmt.Errorf("mesh: half-edge %d is not forced as its other side is", e)
			}
			if !m.Fixed(e) && m.inCircle(v[0], v[1], v[2], m.V[Prev(f)]) {
				return fmt.Errorf("mesh: edge %d-%d is not Delaunay", v[i], v[after[i]])
			}
		}
	}
	return nil
}

// checkBorder walks the border anticlockwise: one loop over all its edges that
// never turns right and goes round once, so that its direction points down
// through the x axis' half-turn exactly once each way.
func (m *Mesh) checkBorder(start int32, edges int) error {
	turns := 0
	e := start
	for i := 0; ; i++ {
		if i == edges {
			return fmt.Errorf("mesh: the border is more than one loop")
		}
		next := m.borderAfter(e)
		a, b, c := m.V[e], m.V[next], m.V[Next(next)]
		if m.Orient(a, b, c) < 0 {
			return fmt.Errorf("mesh: the border turns right at vertex %d", b)
		}
		if before, after := m.goesUp(a, b), m.goesUp(b, c); before != after {
			turns++
		}
		if e = next; e == start {
			if i+1 != edges {
				return fmt.Errorf("mesh: the border has %d edges, its loop %d", edges, i+1)
			}
			break
		}
	}
	if turns != 2 {
		return fmt.Errorf("mesh: the border winds %d half-turns, want 2", turns)
	}
	return nil
}

func (m *Mesh) goesUp(a, b int32) bool { return m.P[a].Before(m.P[b]) }

// borderAfter returns the hull half-edge that follows hull half-edge e.
func (m *Mesh) borderAfter(e int32) int32 {
	e = Next(e)
	for m.N[e] >= 0 {
		e = Next(m.N[e])
	}
	return e
}
