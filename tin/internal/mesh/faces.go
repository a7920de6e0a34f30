package mesh

// ForceFace makes the sides of a triangle of the mesh forced edges: it stays.
func (m *Mesh) ForceFace(t int32) {
	m.forcible()
	for e := 3 * t; e < 3*t+3; e++ {
		m.fix(e, FaceEdge)
	}
}

// Match returns the triangle of the mesh that each of some others is, -1 for none.
// They are given as vertices, anticlockwise from the least, and the mesh's own must
// be in order: after [New] or [Mesh.Settle].
func (m *Mesh) Match(triangles [][3]int32) []int32 {
	begin := make([]int32, len(m.P)+1) // the first triangle that begins with each vertex
	for t := range m.Triangles() {
		begin[m.V[3*t]+1]++
	}
	for v := range m.P {
		begin[v+1] += begin[v]
	}
	found := make([]int32, len(triangles))
	inParts(len(triangles), func(_, lo, hi int) {
		for i := lo; i < hi; i++ {
			of := &triangles[i]
			found[i] = m.match(of, begin[of[0]], begin[of[0]+1])
		}
	})
	return found
}

// match looks among the triangles from first to before end, which begin with the same
// vertex and are in the order of their second. There may be as many as there are
// vertices.
func (m *Mesh) match(of *[3]int32, first, end int32) int32 {
	last := end
	for first < end {
		if half := (first + end) / 2; m.V[3*half+1] < of[1] {
			first = half + 1
		} else {
			end = half
		}
	}
	if first < last && m.V[3*first+1] == of[1] && m.V[3*first+2] == of[2] {
		return first
	}
	return -1
}
