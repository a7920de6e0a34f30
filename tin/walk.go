package tin

import (
	"iter"

	"github.com/paulmach/orb"
)

// What is below is for those who walk over a surface triangle by triangle, in its
// local units (see [Surface.Frame]).

// Corners returns the corners of a triangle in local units, anticlockwise, in the
// order of [Triangle].
func (s *Surface) Corners(t int) [3]PieceCorner { return cornersOf(s.mesh, s.level, int32(t)) }

// Across returns the triangle on the other side of side i of triangle t, which runs
// from corner i to the next, and the number of that side there. It reports false at
// the hull's rim and where MaxEdge took the other triangle away.
func (s *Surface) Across(t, i int) (u, side int, ok bool) {
	e := s.mesh.N[3*t+i]
	if e < 0 || s.isPeeled(e/3) {
		return 0, 0, false
	}
	return int(e / 3), int(e % 3), true
}

// At returns a triangle that holds a local point. It reports false outside the hull,
// and where MaxEdge took the triangle away; boundary and voids are not looked at.
func (s *Surface) At(x, y float64) (t int, ok bool) {
	found := s.mesh.Locate(x, y, -1)
	if found < 0 {
		return 0, false
	}
	if s.isPeeled(found) {
		found, ok = s.unpeeledNeighbour(found, x, y)
		return int(found), ok
	}
	return int(found), true
}

// LocalLimits returns boundary and voids in local units, rings without their closing
// point; no boundary means that the ground ends where its triangles do.
func (s *Surface) LocalLimits() (boundary, voids orb.MultiPolygon) {
	return localMultiPolygon(s.limits.boundary), localMultiPolygon(s.limits.voids)
}

func localMultiPolygon(polygons []localPolygon) (out orb.MultiPolygon) {
	for _, p := range polygons {
		poly := make(orb.Polygon, len(p))
		for i, ring := range p {
			for _, c := range ring {
				poly[i] = append(poly[i], c)
			}
		}
		out = append(out, poly)
	}
	return out
}

// Rim returns the sides of triangles where the ground ends but for boundary and
// voids, by triangle and side.
func (s *Surface) Rim() iter.Seq2[int, int] {
	return func(yield func(t, side int) bool) {
		if s.peeled == nil {
			for _, e := range s.hull {
				if !yield(int(e/3), int(e%3)) {
					return
				}
			}
			return
		}
		for e, f := range s.mesh.N {
			if !s.isPeeled(int32(e/3)) && (f < 0 || s.isPeeled(f/3)) && !yield(e/3, e%3) {
				return
			}
		}
	}
}
