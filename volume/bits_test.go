package volume_test

import (
	"math/rand/v2"
	"runtime"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"barrow/tin"
)

// Results, places and zero lines included, repeat to the last bit whatever the
// order in which the job is written down.
func TestSameBits(t *testing.T) {
	shuffled := func(rng *rand.Rand, points []tin.Point) []tin.Point {
		out := slices.Clone(points)
		rng.Shuffle(len(out), func(i, j int) { out[i], out[j] = out[j], out[i] })
		return out
	}
	onSites(t, 30, func(t *testing.T, rng *rand.Rand, s site) {
		s = s.limited(rng)
		if rng.IntN(2) == 0 { // a coarse grid, where ties are dense
			for i, p := range s.points {
				s.points[i] = tin.Point{E: float64(int(p.E/10) * 10), N: float64(int(p.N/10) * 10), Level: p.Level}
			}
			s.options.Duplicates = tin.DuplicatesMean
		}
		want := s.measure(t)
		for range 3 {
			s.points = shuffled(rng, s.points)
			require.Equal(t, want, s.measure(t), "points shuffled")
		}

		open := s.outline[0][:len(s.outline[0])-1]
		for start := range open {
			turned := append(slices.Clone(open[start:]), open[:start]...)
			back := slices.Clone(turned)
			slices.Reverse(back)
			for _, ring := range []orb.Ring{turned, back, append(turned, turned[0]), append(back, back[0])} {
				s.outline = orb.Polygon{ring}
				require.Equal(t, want, s.measure(t), "outline from another corner, the other way, open or closed")
			}
		}
	})
}

// Breaklines in any order and direction, one given twice, points in any source.
func TestSameBitsBreaklines(t *testing.T) {
	onSites(t, 20, func(t *testing.T, rng *rand.Rand, s site) {
		// Lines between spots of a fan about one of them: they never cross.
		hub := s.points[0]
		for _, p := range s.points[1:8] {
			s.lines = append(s.lines, tin.Breakline{Vertices: []tin.Point{hub, p}})
		}
		s.options.CrossingTolerance = 100
		want := s.measure(t)
		rng.Shuffle(len(s.lines), func(i, j int) { s.lines[i], s.lines[j] = s.lines[j], s.lines[i] })
		for i := range s.lines {
			if rng.IntN(2) == 0 {
				s.lines[i].Vertices = slices.Clone(s.lines[i].Vertices)
				slices.Reverse(s.lines[i].Vertices)
			}
		}
		require.Equal(t, want, s.measure(t))
		s.lines = append(s.lines, s.lines[rng.IntN(len(s.lines))])
		require.Equal(t, want, s.measure(t), "one twice")
		half := len(s.points) / 2
		g, err := tin.Build(t.Context(), []tin.Source{
			{Name: "b", Points: s.points[half:], Breaklines: s.lines[3:]}, {Name: "a", Points: s.points[:half], Breaklines: s.lines[:3]},
		}, s.options)
		require.NoError(t, err)
		require.Equal(t, want, against(t, g, s.plane, s.outline), "two sources")
	})
}

// The number of threads does not show. The ground is large enough to be built
// by parts.
func TestSameBitsThreads(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	var s site
	for range 20000 {
		s.points = append(s.points, tin.Point{E: milli(1000 * rng.Float64()), N: milli(1000 * rng.Float64()), Level: milli(10 * rng.Float64())})
	}
	s.options.Duplicates = tin.DuplicatesMean
	s.plane = tin.FallingPlane(orb.Point{500, 500}, 5, 0.001, 33)
	s.outline = box(-1, -1, 1001, 1001)
	before := runtime.GOMAXPROCS(1)
	defer runtime.GOMAXPROCS(before)
	want := s.measure(t)
	require.NotEmpty(t, want.ZeroLine)
	for _, threads := range []int{2, 4} {
		runtime.GOMAXPROCS(threads)
		got := s.measure(t)
		require.Equal(t, quantities(want), quantities(got))
		require.True(t, want.ZeroLine.Equal(got.ZeroLine))
		require.Equal(t, want.MaxCut.At, got.MaxCut.At)
	}
}
