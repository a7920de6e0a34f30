package tin

import (
	"iter"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"barrow/tin/internal/mesh"
)

// Surface is a level for every place of its domain: linear on each triangle of
// the constrained Delaunay triangulation of its spot heights and breaklines.
//
// The domain is the convex hull, less the triangles that [Options].MaxEdge
// takes away and those beyond the faces of a source that has some, cut in plan by the
// boundary and the voids. Outside it there is no ground.
//
// A Surface never changes and is safe for concurrent readers. What goes in and
// out of its methods is in metres.
type Surface struct {
	frame  Frame
	mesh   *mesh.Mesh
	level  []float64     // of each vertex, metres
	peeled []bool        // triangles that MaxEdge took away, or that lie beyond the faces; nil if none
	hull   []int32       // half-edges of the border
	boxes  func() *boxes // of the mesh, made when first asked for
	limits limits
	area   float64 // of the domain within the limits, square metres, if there are any
	counts counts
	notes  []Problem

	source  []int32                // of each vertex, into the sources of Build; nil where there is one
	given   map[int32][]Given      // of vertices with several inputs at their place
	crossed map[int32][]LevelShare // of crossings
}

// counts says what became of the points given to Build.
type counts struct{ points, merged int }

// Vertex is a vertex of a surface: easting, northing and level in metres.
type Vertex struct{ E, N, Level float64 }

// Triangle is a triangle of a surface, anticlockwise.
type Triangle struct {
	Vertex [3]int // numbers of the vertices, the least first
	Corner [3]Vertex
}

// Edge is an edge of a surface.
type Edge struct {
	Vertex    [2]int // numbers of the vertices
	Breakline bool
	Face      bool    // side of a triangle given as such, see [Source].Faces
	Length    float64 // in plan, metres
}

// Notes returns what was assumed, merged or left out when the surface was
// built.
func (s *Surface) Notes() []Problem {
	notes := slices.Clone(s.notes)
	for i, n := range notes {
		if n.At != nil {
			at := *n.At
			notes[i].At = &at
		}
	}
	return notes
}

// Frame returns the local system that pieces are measured in.
func (s *Surface) Frame() Frame { return s.frame }

// Vertices returns the vertices in the order of their numbers, which depends on
// coordinates only.
func (s *Surface) Vertices() iter.Seq2[int, Vertex] {
	return func(yield func(int, Vertex) bool) {
		for v := range s.level {
			if !yield(v, s.vertex(int32(v))) {
				return
			}
		}
	}
}

func (s *Surface) vertex(v int32) Vertex {
	p := s.frame.Metres(s.mesh.P[v].X, s.mesh.P[v].Y)
	return Vertex{p[0], p[1], s.level[v]}
}

// Triangles returns the triangles of the domain, whole: boundary and voids cut
// some of them. The numbers are those of [Piece].Triangle.
func (s *Surface) Triangles() iter.Seq2[int, Triangle] {
	return func(yield func(int, Triangle) bool) {
		for t := range s.mesh.Triangles() {
			if s.isPeeled(int32(t)) {
				continue
			}
			if !yield(t, s.Triangle(t)) {
				return
			}
		}
	}
}

// Triangle returns the triangle of a number, as in [Piece].Triangle.
func (s *Surface) Triangle(t int) Triangle {
	var tri Triangle
	for i, v := range s.mesh.V[3*t : 3*t+3] {
		tri.Vertex[i] = int(v)
		tri.Corner[i] = s.vertex(v)
	}
	return tri
}

func (s *Surface) isPeeled(t int32) bool { return s.peeled != nil && s.peeled[t] }

// Edges returns the edges of the triangles of the domain, each once.
func (s *Surface) Edges() iter.Seq2[int, Edge] {
	return func(yield func(int, Edge) bool) {
		i := 0
		for e := range s.edges() {
			a, b := s.mesh.V[e], s.mesh.V[mesh.Next(e)]
			edge := Edge{
				Vertex:    [2]int{int(a), int(b)},
				Breakline: s.mesh.Kind(e)&mesh.LineEdge != 0,
				Face:      s.mesh.Kind(e)&mesh.FaceEdge != 0,
				Length:    s.frame.Length() * math.Sqrt(s.lengthSquared(e)),
			}
			if !yield(i, edge) {
				return
			}
			i++
		}
	}
}

// edges returns one half-edge of each edge of the domain.
func (s *Surface) edges() iter.Seq[int32] {
	return func(yield func(int32) bool) {
		for e := range int32(len(s.mesh.V)) {
			if s.isPeeled(e / 3) {
				continue
			}
			f := s.mesh.N[e]
			if f >= 0 && f < e && !s.isPeeled(f/3) {
				continue
			}
			if !yield(e) {
				return
			}
		}
	}
}

// lengthSquared returns the squared plan length of half-edge e in local units.
func (s *Surface) lengthSquared(e int32) float64 {
	a, b := s.mesh.V[e], s.mesh.V[mesh.Next(e)]
	dx, dy := s.mesh.P[b].X-s.mesh.P[a].X, s.mesh.P[b].Y-s.mesh.P[a].Y
	return float64(dx*dx) + float64(dy*dy)
}

// LevelAt returns the level of the surface at easting e and northing n, metres.
// It reports false outside the domain. The rim belongs to the domain.
func (s *Surface) LevelAt(e, n float64) (level float64, ok bool) {
	if !isPlace(orb.Point{e, n}) {
		return 0, false
	}
	x, y := s.frame.Local(orb.Point{e, n})
	level, _, ok = s.levelAt(x, y, -1)
	return level, ok
}

// levelAt is LevelAt in local coordinates, starting at triangle hint. It
// returns the triangle found, or the hint.
func (s *Surface) levelAt(x, y float64, hint int32) (level float64, t int32, ok bool) {
	t = s.mesh.Locate(x, y, hint)
	if t < 0 {
		return 0, hint, false
	}
	if s.isPeeled(t) {
		// On the rim the neighbour may be ground.
		u, found := s.unpeeledNeighbour(t, x, y)
		if !found {
			return 0, t, false
		}
		t = u
	}
	if !s.limits.holds(x, y) {
		return 0, t, false
	}
	return s.interpolate(t, x, y), t, true
}

// unpeeledNeighbour returns a triangle of the domain that shares with triangle
// t the side or the corner at which a point lies.
func (s *Surface) unpeeledNeighbour(t int32, x, y float64) (int32, bool) {
	for e := 3 * t; e < 3*t+3; e++ {
		if p := s.mesh.P[s.mesh.V[e]]; p.X == x && p.Y == y {
			for f := range s.mesh.Around(e) {
				if !s.isPeeled(f / 3) {
					return f / 3, true
				}
			}
		}
		if f := s.mesh.N[e]; f >= 0 && !s.isPeeled(f/3) && s.mesh.OnLine(e, x, y) {
			return f / 3, true
		}
	}
	return 0, false
}

// interpolate returns the level of triangle t's plane at a local point in it.
func (s *Surface) interpolate(t int32, x, y float64) float64 {
	var p trianglePlane
	c := cornersOf(s.mesh, s.level, t)
	p.set(&c[0], &c[1], &c[2])
	return p.at(x, y)
}

// cross returns the cross product of two vectors, its products rounded on
// every machine alike.
func cross(ax, ay, bx, by float64) float64 { return float64(ax*by) - float64(ay*bx) }

func isFinite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }

// Bound returns the smallest box, in metres, that holds the surface's vertices.
func (s *Surface) Bound() orb.Bound {
	b := s.localBound()
	return orb.Bound{Min: s.frame.Metres(b.Min[0], b.Min[1]), Max: s.frame.Metres(b.Max[0], b.Max[1])}
}

// localBound is Bound in local coordinates.
func (s *Surface) localBound() orb.Bound {
	first := s.mesh.P[0]
	b := orb.Bound{Min: orb.Point{first.X, first.Y}, Max: orb.Point{first.X, first.Y}}
	for _, p := range s.mesh.P {
		b = b.Extend(orb.Point{p.X, p.Y})
	}
	return b
}

// Size returns the number of vertices.
func (s *Surface) Size() int { return len(s.level) }

// Vertex returns the vertex of a number.
func (s *Surface) Vertex(v int) Vertex { return s.vertex(int32(v)) }
