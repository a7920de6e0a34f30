package mesh

// Force makes the straight line from vertex a to vertex b a chain of edges forced
// for the reason given and restores the Delaunay property round it. Vertices exactly on the
// line cut it; they are returned in order from a, ends left out. Where the line
// properly crosses an edge forced before, Force stops there and returns that
// edge's ends in crossed; the pieces before it stay forced.
//
// The result does not depend on the order in which lines are forced. After the
// last call, [Mesh.Settle] puts triangles back in order.
func (m *Mesh) Force(a, b int32, why Kind) (through []int32, crossed *[2]int32) {
	m.forcible()
	for a != b {
		reached, blocked := m.forceUpTo(a, b, why)
		if blocked != nil {
			return through, blocked
		}
		if reached != b {
			through = append(through, reached)
		}
		a = reached
	}
	return through, nil
}

// forceUpTo forces the line from a towards b as far as the first vertex on it.
func (m *Mesh) forceUpTo(a, b int32, why Kind) (reached int32, crossed *[2]int32) {
	reached, e := m.depart(a, b)
	switch {
	case reached >= 0:
		m.fix(m.find(a, reached), why)
		return reached, nil
	case e < 0:
		return -1, &[2]int32{a, b}
	}
	// Walk along the line; pierced holds the edges it crosses, the vertex on
	// its right first.
	var pierced [][2]int32
	for {
		if m.fixed[e] != 0 {
			return -1, &[2]int32{m.V[e], m.V[Next(e)]}
		}
		pierced = append(pierced, [2]int32{m.V[e], m.V[Next(e)]})
		f := m.N[e]
		apex := m.V[Prev(f)]
		side := m.Orient(a, b, apex)
		if apex == b || side == 0 {
			reached = apex
			break
		}
		if side < 0 {
			e = Prev(f)
		} else {
			e = Next(f)
		}
	}
	created := m.unpierce(a, reached, pierced)
	m.fix(m.find(a, reached), why)
	for _, c := range created {
		if e := m.find(c[0], c[1]); e >= 0 {
			m.legalise([]int32{e})
		}
	}
	return reached, nil
}

// depart finds how the line from a to b leaves a: along an edge, to the vertex
// reached at its end, or (reached -1) through the half-edge e opposite a.
func (m *Mesh) depart(a, b int32) (reached, e int32) {
	along := func(p int32) bool {
		return p == b || (m.goesUp(a, p) == m.goesUp(a, b) && m.Orient(a, b, p) == 0)
	}
	for leave := range m.Around(m.leave(a)) {
		e = Next(leave)
		p, q := m.V[e], m.V[Next(e)]
		switch {
		case along(p):
			return p, -1
		case along(q):
			return q, -1
		case m.Orient(a, b, p) < 0 && m.Orient(a, b, q) > 0:
			return -1, e
		}
	}
	return -1, -1 // not reached: the hull is convex, so the line leaves through a triangle
}

// unpierce flips the edges that the line from a to b pierces until none is
// left, and returns the ends of the edges that came instead (Sloan 1993, from
// memory): an edge whose two triangles do not make a convex quadrilateral waits
// for its turn.
func (m *Mesh) unpierce(a, b int32, pierced [][2]int32) (created [][2]int32) {
	for len(pierced) > 0 {
		edge := pierced[0]
		pierced = pierced[1:]
		e := m.find(edge[0], edge[1])
		c, d := m.V[Prev(e)], m.V[Prev(m.N[e])]
		if m.Orient(c, d, edge[0])*m.Orient(c, d, edge[1]) >= 0 {
			pierced = append(pierced, edge)
			continue
		}
		m.flip(e)
		if m.Orient(a, b, c)*m.Orient(a, b, d) < 0 {
			pierced = append(pierced, [2]int32{c, d})
		} else {
			created = append(created, [2]int32{c, d})
		}
	}
	return created
}

// forcible makes room for what is forced.
func (m *Mesh) forcible() {
	if m.fixed == nil {
		m.fixed = make([]Kind, len(m.V))
	}
}

func (m *Mesh) fix(e int32, why Kind) {
	m.fixed[e] |= why
	if f := m.N[e]; f >= 0 {
		m.fixed[f] |= why
	}
}
