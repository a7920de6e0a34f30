package mesh

import (
	"math"

	"barrow/tin/internal/robust"
)

// Locate returns a triangle that holds the point (x, y), borders included, or
// -1 if the point lies outside the hull. It walks from the triangle hint; a
// negative hint starts at the nearest of a sample of triangles, so that a walk
// crosses about the square root of the triangles at worst.
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

// near returns the triangle, of a sample of about the cube root of all, whose
// first vertex is nearest to the point.
func (m *Mesh) near(x, y float64) int32 {
	triangles := m.Triangles()
	step := 1
	for step*step*step < triangles {
		step++
	}
	step = max(1, triangles/step)
	best, least := int32(0), -1.0
	for t := 0; t < triangles; t += step {
		v := m.V[3*t]
		dx, dy := m.P[v].X-x, m.P[v].Y-y
		if d := float64(dx*dx) + float64(dy*dy); least < 0 || d < least {
			best, least = int32(t), d
		}
	}
	return best
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
