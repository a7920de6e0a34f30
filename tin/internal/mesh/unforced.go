package mesh

import "slices"

// Unforced returns the Delaunay triangulation of the vertices alone: the mesh
// itself if no edge is forced, else a copy.
func (m *Mesh) Unforced() *Mesh {
	if m.fixed == nil {
		return m
	}
	d := &Mesh{P: m.P, Whole: m.Whole, V: slices.Clone(m.V), N: slices.Clone(m.N)}
	var edges []int32
	for e, kind := range m.fixed {
		if kind != 0 {
			edges = append(edges, int32(e))
		}
	}
	d.legalise(edges)
	return d
}
