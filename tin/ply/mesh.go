package ply

import (
	"fmt"
	"math"

	"barrow/tin"
)

// Mesh is a surface made of triangles, in metres.
type Mesh struct {
	Name     string
	Vertices []tin.Vertex
	Faces    [][3]int32 // numbers of vertices, from 0
}

// FromSurface returns the whole triangles of a surface's domain, anticlockwise
// seen from above. Boundary and voids do not cut them.
func FromSurface(name string, s *tin.Surface) Mesh {
	m := Mesh{Name: name, Vertices: make([]tin.Vertex, 0, s.Size())}
	for _, v := range s.Vertices() {
		m.Vertices = append(m.Vertices, v)
	}
	for _, t := range s.Triangles() {
		m.Faces = append(m.Faces, [3]int32{int32(t.Vertex[0]), int32(t.Vertex[1]), int32(t.Vertex[2])})
	}
	return m
}

// NearOrigin returns a place near the meshes to take off, in a unit: the greatest
// whole hundreds of easting and northing, and whole tens of level, that none of
// their vertices is below. It is zero for meshes without vertices.
func NearOrigin(unit tin.Unit, meshes ...Mesh) tin.Vertex {
	low := tin.Vertex{E: math.Inf(1), N: math.Inf(1), Level: math.Inf(1)}
	for _, m := range meshes {
		for _, v := range m.Vertices {
			low = tin.Vertex{E: min(low.E, v.E), N: min(low.N, v.N), Level: min(low.Level, v.Level)}
		}
	}
	if math.IsInf(low.E, 1) {
		return tin.Vertex{}
	}
	down := func(metres, step float64) float64 { return math.Floor(metres/unit.Metres()/step) * step }
	return tin.Vertex{E: down(low.E, 100), N: down(low.N, 100), Level: down(low.Level, 10)}
}

func finite(v tin.Vertex) bool {
	return max(math.Abs(v.E), math.Abs(v.N), math.Abs(v.Level)) <= math.MaxFloat64 // false for NaN
}

// check refuses what would make a file that no reader takes.
func (m Mesh) check(opts Options) error {
	for i, v := range m.Vertices {
		if at := opts.local(v); !finite(at) {
			return fmt.Errorf("mesh %q: vertex %d is at %v, which is %v from the origin in %v", m.Name, i, v, at, opts.Unit)
		}
	}
	for i, f := range m.Faces {
		for _, v := range f {
			if v < 0 || int(v) >= len(m.Vertices) {
				return fmt.Errorf("mesh %q: face %d is %v, and there are %d vertices", m.Name, i, f, len(m.Vertices))
			}
		}
		if f[0] == f[1] || f[1] == f[2] || f[2] == f[0] {
			return fmt.Errorf("mesh %q: face %d is %v, which is no triangle", m.Name, i, f)
		}
	}
	return nil
}
