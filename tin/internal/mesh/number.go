package mesh

import "sync"

// number copies the triangles that are no ghosts into m, each in its place in
// the order of its vertices, the least first, so that the arrays depend on the
// triangulation only: a counting sort by the least vertex, and by the second
// among the few triangles that share it.
func (b *builder) number(m *Mesh) {
	tris := b.tris
	// Where a triangle goes: place<<2 | the corner with the least vertex.
	code := make([]int32, len(tris))
	begin := make([]int32, len(m.P)+1)
	triangles := int32(0)
	for t := range tris {
		least := leastCorner(&tris[t].v)
		code[t] = least
		if least >= 0 {
			begin[tris[t].v[least]+1]++
			triangles++
		}
	}
	for v := range m.P {
		begin[v+1] += begin[v]
	}
	slot := make([]int32, triangles)
	for k := range slot {
		slot[k] = -1
	}
	for t := range tris {
		least := code[t]
		if least < 0 {
			continue
		}
		v := &tris[t].v
		second := v[after[least]]
		// begin[v] counts up to where v's next triangle goes; those sorted so
		// far are before it, back to a free slot or a lesser vertex.
		k := begin[v[least]]
		begin[v[least]]++
		for k > 0 {
			u := slot[k-1]
			if u < 0 {
				break
			}
			w := &tris[u].v
			if w[code[u]] != v[least] || w[after[code[u]]] < second {
				break
			}
			slot[k] = u
			k--
		}
		slot[k] = int32(t)
	}
	for k, t := range slot {
		code[t] |= int32(k) << 2
	}
	m.V, m.N = make([]int32, 3*triangles), make([]int32, 3*triangles)
	fixed := m.fixed
	if fixed != nil {
		m.fixed = make([]bool, 3*triangles)
	}
	inParts(int(triangles), func(_, lo, hi int) {
		for k := lo; k < hi; k++ {
			t := &tris[slot[k]]
			corner := code[slot[k]] & 3
			for to := 3 * k; to < 3*k+3; to++ {
				m.V[to] = t.v[corner]
				if fixed != nil {
					m.fixed[to] = fixed[3*slot[k]+corner]
				}
				n := t.n[corner]
				if c := code[n>>2]; c >= 0 {
					m.N[to] = c>>2*3 + turned[n&3][c&3]
				} else {
					m.N[to] = -1
				}
				corner = after[corner]
			}
		}
	})
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
	b := builder{tris: make([]ghosted, len(m.V)/3, len(m.V)/3+1)}
	for t := range b.tris {
		for i := range 3 {
			e := 3*t + i
			b.tris[t].v[i] = m.V[e]
			if f := m.N[e]; f >= 0 {
				b.tris[t].n[i] = f/3<<2 | f%3
			} else {
				b.tris[t].n[i] = handle(len(b.tris)) << 2
			}
		}
	}
	b.tris = append(b.tris, ghosted{v: [3]int32{none, none, none}}) // beyond the hull
	b.number(m)
	m.at = nil
}
