package mesh

import "sync"

// number puts the triangles that are no ghosts in the order of their vertices, the
// least first, so that the arrays depend on the triangulation only. It finds links
// as handles and leaves half-edges. What was the array of corners becomes that of
// links, since memory not touched before costs as much as the work.
func (m *Mesh) number() {
	code, source := m.places()
	v, n := inOrder(m.V, code, source), m.V[:3*len(source)]
	inParts(len(source), func(_, lo, hi int) {
		for k := lo; k < hi; k++ {
			t := source[k]
			corner := code[t] & 3
			for to := 3 * k; to < 3*k+3; to++ {
				n[to] = -1
				if f := m.N[3*t+corner]; f >= 0 {
					if c := code[f>>2]; c >= 0 {
						n[to] = c>>2*3 + turned[f&3][c&3]
					}
				}
				corner = after[corner]
			}
		}
	})
	m.V, m.N = v, n
	if m.fixed != nil {
		m.fixed = inOrder(m.fixed, code, source)
	}
}

// inOrder returns what is said of each corner, or side, of the triangles in their
// places.
func inOrder[T any](of []T, code, source []int32) []T {
	to := make([]T, 3*len(source))
	inParts(len(source), func(_, lo, hi int) {
		for k := lo; k < hi; k++ {
			t := source[k]
			from := (*[3]T)(of[3*t:])
			corner := code[t] & 3
			to[3*k], to[3*k+1], to[3*k+2] = from[corner], from[after[corner]], from[after[after[corner]]]
		}
	})
	return to
}

// places returns for each triangle its place<<2 | the corner of its least vertex,
// -1 for a ghost; and for each place the triangle that belongs there. A counting
// sort by the least vertex, and by the second among the few triangles that share it.
func (m *Mesh) places() (code, source []int32) {
	code = make([]int32, len(m.V)/3)
	begin := make([]int32, len(m.P)+1)
	triangles := int32(0)
	for t := range code {
		v := (*[3]int32)(m.V[3*t:])
		least := leastCorner(v)
		code[t] = least
		if least >= 0 {
			begin[v[least]+1]++
			triangles++
		}
	}
	for v := range m.P {
		begin[v+1] += begin[v]
	}
	source = make([]int32, triangles)
	for k := range source {
		source[k] = -1
	}
	for t, least := range code {
		if least < 0 {
			continue
		}
		v := (*[3]int32)(m.V[3*t:])
		second := v[after[least]]
		// begin[v] counts up to where v's next triangle goes; those sorted so
		// far are before it, back to a free place or a lesser vertex.
		k := begin[v[least]]
		begin[v[least]]++
		for k > 0 {
			u := source[k-1]
			if u < 0 {
				break
			}
			w := (*[3]int32)(m.V[3*u:])
			if w[code[u]] != v[least] || w[after[code[u]]] < second {
				break
			}
			source[k] = u
			k--
		}
		source[k] = int32(t)
	}
	for k, t := range source {
		code[t] |= int32(k) << 2
	}
	return code, source
}

// leastCorner returns the corner of the least vertex, -1 for a ghost.
func leastCorner(v *[3]int32) int32 {
	if v[0]|v[1]|v[2] < 0 {
		return -1
	}
	least := int32(0)
	if v[1] < v[0] {
		least = 1
	}
	if v[2] < v[least] {
		least = 2
	}
	return least
}

var (
	after = [3]int32{1, 2, 0}
	// turned[i][c] is side i counted from corner c.
	turned = [3][3]int32{{0, 2, 1}, {1, 0, 2}, {2, 1, 0}}
)

// inParts calls f for the two halves of 0 to n side by side.
func inParts(n int, f func(part, lo, hi int)) {
	if n < parallelFrom {
		f(0, 0, n)
		return
	}
	var wg sync.WaitGroup
	wg.Go(func() { f(0, 0, n/2) })
	f(1, n/2, n)
	wg.Wait()
}

// Settle puts the triangles back in order after forcing.
func (m *Mesh) Settle() {
	for e, f := range m.N {
		if f >= 0 {
			m.N[e] = f/3<<2 | f%3
		}
	}
	m.number()
	m.at = nil
}
