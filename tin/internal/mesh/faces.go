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
			found[i] = -1
			of := &triangles[i]
			for t := begin[of[0]]; t < begin[of[0]+1]; t++ {
				if m.V[3*t+1] == of[1] && m.V[3*t+2] == of[2] {
					found[i] = t
					break
				}
			}
		}
	})
	return found
}
