package tin_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"sync"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/tintest"
)

func TestLevelAtFindsNothingOutside(t *testing.T) {
	s := build(t, square())
	odd := []float64{math.NaN(), math.Inf(1), math.Inf(-1), 1e300, -1e300, math.MaxFloat64, -math.MaxFloat64, 1e18, 100.0001, -0.0001, -1e-300}
	for _, e := range append(odd, 50) {
		for _, n := range append(odd, 50) {
			if e == 50 && n == 50 || e == -1e-300 && n == 50 || e == 50 && n == -1e-300 || e == -1e-300 && n == -1e-300 {
				continue
			}
			z, ok := s.LevelAt(e, n)
			assert.False(t, ok, "%v, %v: level %v", e, n, z)
		}
	}
	for _, p := range [][2]float64{{0, 0}, {100, 100}, {0, 50}, {50, 0}, {100, 37.1234}, {minus, 50}} {
		assert.Equal(t, 10.0, levelAt(t, s, p[0], p[1]), "the rim belongs to the domain")
	}
}

// Between spots the level never leaves the range of the levels given, however
// thin the triangles.
func TestLevelStaysWithinTheSpots(t *testing.T) {
	rng := rand.New(rand.NewPCG(31, 1))
	for _, set := range tintest.Sets() {
		if set.InLine {
			continue
		}
		t.Run(set.Name, func(t *testing.T) {
			s, err := tin.FromPoints(set.Points)
			require.NoError(t, err)
			st := s.Stats()
			slack := 1e-12 * math.Abs(st.LevelMax)
			check := func(e, n float64) {
				if z, ok := s.LevelAt(e, n); ok {
					require.GreaterOrEqual(t, z, st.LevelMin-slack, "%v, %v", e, n)
					require.LessOrEqual(t, z, st.LevelMax+slack, "%v, %v", e, n)
				}
			}
			b := s.Bound()
			for range 300 {
				check(b.Min[0]+(b.Max[0]-b.Min[0])*rng.Float64(), b.Min[1]+(b.Max[1]-b.Min[1])*rng.Float64())
			}
			for _, tri := range s.Triangles() {
				c := tri.Corner
				check((c[0].E+c[1].E+c[2].E)/3, (c[0].N+c[1].N+c[2].N)/3)
				for i := range c {
					d := c[(i+1)%3]
					check((c[i].E+d.E)/2, (c[i].N+d.N)/2)
				}
			}
		})
	}
}

// A triangle may be so thin that its area rounds to
// nothing, or to something of the wrong sign.
func TestLevelInFlatTriangles(t *testing.T) {
	rng := rand.New(rand.NewPCG(31, 2))
	for range 300 {
		// Three spots as near to one line as doubles allow, and one beside it.
		dx, dy := rng.Float64(), rng.Float64()
		var points []tin.Point
		for i := range 3 {
			k := float64(i) + rng.Float64()
			points = append(points, tin.Point{E: 1 + k*dx, N: 1 + k*dy, Level: 10 + float64(i%2)})
		}
		points = append(points, tin.Point{E: 1 + 2*dy, N: 1 - 2*dx, Level: 10.5})
		s, err := tin.FromPoints(points)
		require.NoError(t, err)
		for _, tri := range s.Triangles() {
			for i, c := range tri.Corner {
				require.Equal(t, c.Level, levelAt(t, s, c.E, c.N))
				d := tri.Corner[(i+1)%3]
				for _, w := range []float64{0.5, 0.25, 0.125} {
					e, n := c.E+w*(d.E-c.E), c.N+w*(d.N-c.N)
					if z, ok := s.LevelAt(e, n); ok {
						require.GreaterOrEqual(t, z, 10-1e-9, "spots %v, at %v, %v", points, e, n)
						require.LessOrEqual(t, z, 11+1e-9, "spots %v, at %v, %v", points, e, n)
					}
				}
			}
		}
		st := s.Stats()
		require.False(t, math.IsNaN(s.SlopeArea()))
		require.GreaterOrEqual(t, s.SlopeArea(), st.Area*(1-1e-12))
	}
}

// Along an edge the level is linear, and both triangles beside it agree.
func TestLevelIsLinearAlongEdges(t *testing.T) {
	rng := rand.New(rand.NewPCG(31, 3))
	var points []tin.Point
	for range 300 {
		points = append(points, tin.Point{E: rng.Float64() * 100, N: rng.Float64() * 100, Level: 10 + 5*rng.Float64()})
	}
	s := build(t, points)
	var at []tin.Vertex
	for _, v := range s.Vertices() {
		at = append(at, v)
	}
	border := make(map[[2]int]int)
	for _, tri := range s.Triangles() {
		for i, a := range tri.Vertex {
			b := tri.Vertex[(i+1)%3]
			border[[2]int{min(a, b), max(a, b)}]++
		}
	}
	inner := 0
	for _, e := range s.Edges() {
		a, b := at[e.Vertex[0]], at[e.Vertex[1]]
		z, ok := s.LevelAt((a.E+b.E)/2, (a.N+b.N)/2)
		if border[[2]int{min(e.Vertex[0], e.Vertex[1]), max(e.Vertex[0], e.Vertex[1])}] == 2 {
			inner++
			require.True(t, ok)
		}
		if ok {
			require.InDelta(t, (a.Level+b.Level)/2, z, 1e-9)
		}
		require.InDelta(t, math.Hypot(a.E-b.E, a.N-b.N), e.Length, 1e-12)
	}
	assert.Greater(t, inner, 800)
}

// A surface may be read from many goroutines: run with the race detector.
func TestConcurrentReaders(t *testing.T) {
	s := build(t, gulf())
	var wg sync.WaitGroup
	for g := range 8 {
		wg.Go(func() {
			rng := rand.New(rand.NewPCG(32, uint64(g)))
			for range 200 {
				p := gulf()[rng.IntN(len(gulf()))]
				if z, ok := s.LevelAt(p.E, p.N); !ok || z != p.Level {
					t.Errorf("level %v %v at %v, %v, want %v", z, ok, p.E, p.N, p.Level)
				}
			}
			s.Stats()
			s.Ties()
			if _, err := s.Partition([]orb.Polygon{box(1, 1, 5, 5)}, nil); err != nil {
				t.Error(err)
			}
			if _, err := s.Profile(orb.LineString{{-1, -1}, {10, 10}}); err != nil {
				t.Error(err)
			}
		})
	}
	wg.Wait()
}

func TestStats(t *testing.T) {
	// A 3-4-5 ramp: 30 m along for 40 m up, 20 m wide.
	s := build(t, spots(0, 0, 0, 30, 0, 40, 30, 20, 40, 0, 20, 0))
	st := s.Stats()
	assert.Equal(t, 4, st.Points)
	assert.Equal(t, 4, st.Vertices)
	assert.Equal(t, 2, st.Triangles)
	assert.InEpsilon(t, 600, st.Area, 1e-15)
	assert.InEpsilon(t, 1000, s.SlopeArea(), 1e-14)
	assert.Equal(t, 0.0, st.LevelMin)
	assert.Equal(t, 40.0, st.LevelMax)
	assert.Equal(t, 20.0, st.LevelMean)
	assert.InEpsilon(t, 30, st.EdgeMedian, 1e-15) // 20 20 30 30 36
	assert.InEpsilon(t, math.Sqrt(1300), st.EdgeMax, 1e-15)
}

// The median and the greatest edge are those of a sorted list, with and without
// a rim that MaxEdge took away, among equal lengths and lengths of many sizes.
func TestStatsOfEdges(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	for round := range 100 {
		var points []tin.Point
		for range 5 + r.IntN(200) {
			p := tin.Point{E: 100 * r.Float64(), N: 100 * r.Float64()}
			switch round % 4 {
			case 1:
				p.E, p.N = math.Round(p.E/10), math.Round(p.N/10)
			case 2:
				p.E, p.N = math.Exp(p.E/10), math.Exp(p.N/10)
			}
			points = append(points, p)
		}
		s, err := tin.Build(t.Context(), []tin.Source{{Points: points}}, tin.Options{MaxEdge: float64(round%3) * 40})
		if err != nil {
			continue // all taken away
		}
		var lengths []float64
		for _, e := range s.Edges() {
			lengths = append(lengths, e.Length)
		}
		slices.Sort(lengths)
		require.InEpsilon(t, lengths[(len(lengths)-1)/2], s.Stats().EdgeMedian, 1e-15)
		require.InEpsilon(t, lengths[len(lengths)-1], s.Stats().EdgeMax, 1e-15)
	}
}
