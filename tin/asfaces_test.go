package tin_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/tintest"
)

// again builds a surface of its own faces.
func again(t testing.TB, s *tin.Surface, unit tin.Unit) *tin.Surface {
	t.Helper()
	source, err := s.AsFaces(t.Context())
	require.NoError(t, err)
	out, err := tin.Build(t.Context(), []tin.Source{source}, tin.Options{Unit: unit})
	require.NoError(t, err)
	require.NoError(t, tintest.Check(out))
	return out
}

func TestAsFacesIsTheSameToTheBit(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 9))
	for _, unit := range []tin.Unit{tin.Metre, tin.Foot, tin.SurveyFoot} {
		for _, decimals := range []float64{1, 1000, 1e9} {
			var points []tin.Point
			for range 400 {
				round := func(v float64) float64 { return math.Round(v*decimals) / decimals }
				points = append(points, tin.Point{E: 312000 + round(200*rng.Float64()), N: 5.8e6 + round(200*rng.Float64()), Level: round(30 * rng.Float64())})
			}
			lines := []tin.Breakline{line("a", 312010, 5.8e6+20, 4, 312150, 5.8e6+170, 9)}
			s, err := tin.Build(t.Context(), []tin.Source{{Points: points, Breaklines: lines}}, tin.Options{Unit: unit, Duplicates: tin.DuplicatesFirst, CrossingTolerance: 100})
			require.NoError(t, err)
			want, _ := topology(s)
			got := again(t, s, unit)
			triangles, _ := topology(got)
			assert.Equal(t, want, triangles)
			for v := range s.Size() {
				require.Equal(t, s.Vertex(v), got.Vertex(v))
			}
			assert.Equal(t, s.Frame(), got.Frame())
		}
	}
}

// limited is random ground with a boundary and voids: of any shape, along triangles'
// edges, through their corners, and through places on edges as rounding leaves them.
func limited(t testing.TB, rng *rand.Rand, kind int) *tin.Surface {
	t.Helper()
	at := orb.Point{312000, 5.8e6}
	var points []tin.Point
	for range 150 {
		points = append(points, tin.Point{E: at[0] + float64(rng.IntN(100_000))/1000, N: at[1] + float64(rng.IntN(100_000))/1000, Level: 10 * rng.Float64()})
	}
	plain, err := tin.Build(t.Context(), []tin.Source{{Points: points}}, tin.Options{Duplicates: tin.DuplicatesMean})
	require.NoError(t, err)
	var opts tin.Options
	opts.Duplicates = tin.DuplicatesMean
	place := func(radius, turn float64) orb.Point {
		return orb.Point{at[0] + 50 + radius*math.Cos(turn), at[1] + 50 + radius*math.Sin(turn)}
	}
	var outer orb.Ring
	for k := range 7 {
		p := place(20+50*rng.Float64(), float64(k)*2*math.Pi/7)
		switch kind {
		case 1: // at spots
			p = nearestVertex(plain, p)
		case 2: // on edges, as rounding leaves them
			p = onEdge(plain, p)
		}
		outer = append(outer, p)
	}
	opts.Boundary = orb.MultiPolygon{{append(outer, outer[0])}}
	if rng.IntN(2) == 0 {
		opts.Voids = orb.MultiPolygon{box(at[0]+45, at[1]+45, at[0]+52, at[1]+56)}
	}
	if rng.IntN(3) == 0 {
		opts.Boundary = nil
	}
	if rng.IntN(3) == 0 {
		opts.MaxEdge = 25
	}
	s, err := tin.Build(t.Context(), []tin.Source{{Points: points}}, opts)
	if e := (*tin.InputError)(nil); err != nil {
		require.ErrorAs(t, err, &e)
		require.Contains(t, e.Code, "outline_", "a ring that crosses itself")
		return nil
	}
	return s
}

func nearestVertex(s *tin.Surface, p orb.Point) (out orb.Point) {
	best := math.Inf(1)
	for _, v := range s.Vertices() {
		if d := math.Hypot(v.E-p[0], v.N-p[1]); d < best {
			best, out = d, orb.Point{v.E, v.N}
		}
	}
	return out
}

// onEdge moves a place onto the side of its triangle, or of one near by, that it is
// nearest to.
func onEdge(s *tin.Surface, p orb.Point) (out orb.Point) {
	best := math.Inf(1)
	for _, e := range s.Edges() {
		a, b := s.Vertex(e.Vertex[0]), s.Vertex(e.Vertex[1])
		k := ((p[0]-a.E)*(b.E-a.E) + (p[1]-a.N)*(b.N-a.N)) / (e.Length * e.Length)
		k = max(0, min(1, k))
		q := orb.Point{a.E + k*(b.E-a.E), a.N + k*(b.N-a.N)}
		if d := math.Hypot(q[0]-p[0], q[1]-p[1]); d < best {
			best, out = d, q
		}
	}
	return out
}

func TestAsFacesEndsWhereTheGroundDoes(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 2))
	tried := 0
	for trial := range 150 {
		s := limited(t, rng, trial%3)
		if s == nil {
			continue
		}
		tried++
		got := again(t, s, tin.Metre)
		assert.InEpsilon(t, s.Stats().Area, got.Stats().Area, 1e-8, trial)
		for range 200 {
			e, n := 312000+100*rng.Float64(), 5.8e6+100*rng.Float64()
			want, in := s.LevelAt(e, n)
			level, ok := got.LevelAt(e, n)
			require.Equal(t, in, ok, "%d: %v, %v", trial, e, n)
			require.InDelta(t, want, level, 1e-6)
		}
	}
	assert.Greater(t, tried, 80)
}

// The parts of a surface lie side by side, and hold what they were asked to.
func TestFacesWithin(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 8))
	for trial := range 60 {
		s := limited(t, rng, trial%3)
		if s == nil {
			continue
		}
		at := func(e, n float64) orb.Point { return orb.Point{312000 + e, 5.8e6 + n} }
		a, b := at(10, 10), at(100*rng.Float64(), 100*rng.Float64())
		polygons := []orb.Polygon{
			box(a[0], a[1], a[0]+60, a[1]+50), box(b[0], b[1], b[0]+30, b[1]+40),
		}
		parts, err := s.FacesWithin(t.Context(), polygons, func(in []int) int { return []int{-1, 0, 2}[len(in)] })
		require.NoError(t, err)
		sum, surfaces := 0.0, make([]*tin.Surface, 3)
		for i, p := range parts {
			if len(p.Faces) == 0 {
				continue
			}
			surfaces[i], err = tin.Build(t.Context(), []tin.Source{p}, tin.Options{})
			require.NoError(t, err)
			require.NoError(t, tintest.Check(surfaces[i]))
			sum += surfaces[i].Stats().Area
		}
		require.Nil(t, surfaces[1])
		_, err = tin.Build(t.Context(), parts, tin.Options{})
		require.NoError(t, err, "all parts together are faces that fit")
		for range 300 {
			e, n := 312000+100*rng.Float64(), 5.8e6+100*rng.Float64()
			want, ground := s.LevelAt(e, n)
			in := 0
			for _, p := range polygons {
				if p.Bound().Contains(orb.Point{e, n}) {
					in++
				}
			}
			for i, part := range surfaces {
				if part == nil {
					continue
				}
				level, ok := part.LevelAt(e, n)
				require.Equal(t, ground && i == []int{-1, 0, 2}[in], ok, fmt.Sprint(trial, i, in, e, n))
				if ok {
					require.InDelta(t, want, level, 1e-6)
				}
			}
		}
	}
}
