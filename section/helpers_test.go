package section_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"barrow/section"
	"barrow/tin"
)

func align(t testing.TB, line ...orb.Point) *section.Alignment {
	t.Helper()
	a, err := section.NewAlignment(line, 0)
	require.NoError(t, err)
	return a
}

// sectionsOf cuts sections with middles at the marks of a plan.
func sectionsOf(t testing.TB, ground *tin.Surface, f section.Profiler, a *section.Alignment, p section.Plan) *section.Run {
	t.Helper()
	marks, err := a.Marks(p)
	require.NoError(t, err)
	s, err := section.Cut(t.Context(), ground, f, a, marks, section.Options{Middles: true})
	require.NoError(t, err)
	return s
}

func prismoidal(t testing.TB, s *section.Run) section.Volumes {
	t.Helper()
	v, err := section.Prismoidal(s.Spans())
	require.NoError(t, err)
	return v
}

func surface(t testing.TB, points []tin.Point, lines ...tin.Breakline) *tin.Surface {
	t.Helper()
	s, err := tin.Build(t.Context(), []tin.Source{{Points: points, Breaklines: lines}}, tin.Options{})
	require.NoError(t, err)
	return s
}

// planeGround is ground on one plane over a square of some half side about a place.
func planeGround(t testing.TB, at orb.Point, half float64, p tin.Plane) *tin.Surface {
	t.Helper()
	var points []tin.Point
	for _, d := range [][2]float64{{-1, -1}, {1, -1}, {1, 1}, {-1, 1}} {
		e, n := at[0]+half*d[0], at[1]+half*d[1]
		points = append(points, tin.Point{E: e, N: n, Level: p.LevelAt(e, n)})
	}
	return surface(t, points)
}

// pad is the formation on a plane within an outline.
func pad(t testing.TB, ground *tin.Surface, outline orb.Polygon, p tin.Plane, topsoil float64) *section.Faces {
	t.Helper()
	cells, err := ground.Partition([]orb.Polygon{outline}, nil)
	require.NoError(t, err)
	var faces []section.Face
	for _, c := range cells {
		faces = append(faces, section.FacetFace(tin.Facet{Cell: c, Plane: p, Topsoil: topsoil}))
	}
	return facesOf(t, faces...)
}

func facesOf(t testing.TB, faces ...section.Face) *section.Faces {
	t.Helper()
	f, err := section.NewFaces(t.Context(), faces)
	require.NoError(t, err)
	return f
}

func box(w, s, e, n float64) orb.Polygon {
	return orb.Polygon{{{w, s}, {e, s}, {e, n}, {w, n}, {w, s}}}
}

// star is an outline of n corners at random distances round a place: it may have
// inward corners.
func star(r *rand.Rand, at orb.Point, n int, least, most float64) orb.Ring {
	ring := make(orb.Ring, 0, n+1)
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * (float64(i) + 0.8*r.Float64()) / float64(n))
		d := least + (most-least)*r.Float64()
		ring = append(ring, orb.Point{at[0] + d*cos, at[1] + d*sin})
	}
	return append(ring, ring[0])
}

// under is the volume of a linear depth over a ring: area times the depth at its
// centroid, by the fan of its corners.
func under(ring orb.Ring, depth func(orb.Point) float64) float64 {
	var v tin.Sum
	o := ring[0]
	for i := 1; i+1 < len(ring); i++ {
		p, q := ring[i], ring[i+1]
		area := ((p[0]-o[0])*(q[1]-o[1]) - (p[1]-o[1])*(q[0]-o[0])) / 2
		v.Add(area * (depth(o) + depth(p) + depth(q)) / 3)
	}
	return v.Value()
}
