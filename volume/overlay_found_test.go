package volume_test

import (
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/volume"
)

// What the oracle and the laws of the overlay have found, each in its smallest
// form.

func between(t testing.TB, a, b *tin.Surface, outline orb.Polygon) volume.CutFill {
	t.Helper()
	r, err := volume.Between(t.Context(), a, b, outline)
	require.NoError(t, err)
	return r
}

// rough is ground on a grid of n x n spots, 1 m apart, at random levels, its
// south-west corner at e, n.
func rough(rng *rand.Rand, n int, e, no float64) []tin.Point {
	var points []tin.Point
	for i := range n {
		for k := range n {
			points = append(points, tin.Point{E: e + float64(i), N: no + float64(k), Level: 10 + float64(rng.IntN(100))/64})
		}
	}
	return points
}

func built(t testing.TB, o tin.Options, points []tin.Point) *tin.Surface {
	t.Helper()
	s, err := survey{points, o}.build(t)
	require.NoError(t, err)
	return s
}

// Without an outline only the ground of the first surface counts, not a box
// round it.
func TestUncoveredWithoutOutline(t *testing.T) {
	ground := rough(rand.New(rand.NewPCG(1, 1)), 11, 0, 0)
	void := orb.MultiPolygon{box(2, 2, 4, 5)}
	other := orb.MultiPolygon{box(3, 3, 5, 7)}
	inner := orb.MultiPolygon{box(1, 1, 8, 9)}
	for _, c := range []struct {
		what               string
		a, b               tin.Options
		uncovered, covered float64
	}{
		{"no limits", tin.Options{}, tin.Options{}, 0, 100},
		{"void in the first", tin.Options{Voids: void}, tin.Options{}, 0, 94},
		{"void in the second", tin.Options{}, tin.Options{Voids: void}, 6, 94},
		{"voids that overlap", tin.Options{Voids: void}, tin.Options{Voids: other}, 6, 88},
		{"boundary of the first", tin.Options{Boundary: inner}, tin.Options{}, 0, 56},
		{"boundary of the second", tin.Options{}, tin.Options{Boundary: inner}, 44, 56},
		{"boundary of the first, void in the second", tin.Options{Boundary: inner}, tin.Options{Voids: void}, 6, 50},
		{"all", tin.Options{Boundary: inner, Voids: void}, tin.Options{Boundary: inner, Voids: other}, 6, 44},
	} {
		r := between(t, built(t, c.a, ground), built(t, c.b, ground), nil)
		assert.InDelta(t, c.uncovered, r.UncoveredArea, 1e-12, c.what)
		assert.InDelta(t, c.covered, r.LevelArea, 1e-12, c.what)
	}
}

// A surface against itself has no depth anywhere, in an outline that cuts its
// triangles too.
func TestAgainstItself(t *testing.T) {
	level := 0
	onSites(t, 60, func(t *testing.T, rng *rand.Rand, s site) {
		g := s.limited(rng).surface(t)
		for _, outline := range []orb.Polygon{nil, s.outline} {
			r := between(t, g, g, outline)
			require.Zero(t, r.Cut)
			require.Zero(t, r.Fill)
			require.Zero(t, r.CutLessFill)
			require.Zero(t, r.CutArea)
			require.Zero(t, r.FillArea)
			require.Empty(t, r.ZeroLine)
			require.Zero(t, r.MaxCut)
			require.Zero(t, r.MaxFill)
			if r.LevelArea > 0 {
				level++
			}
		}
	})
	require.Greater(t, level, 100)
}

// Where surfaces lie on one another but for rounding, signs of depths are
// noise. The area still counts once.
func TestAreaOfNoDepthCountsOnce(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 5))
	for job := range 200 {
		// One inclined plane in two triangulations.
		e, n := rng.Float64(), rng.Float64()
		plane := tin.FallingPlane(orb.Point{e, n}, 10, 0.3*rng.Float64(), 360*rng.Float64())
		var surfaces []*tin.Surface
		for range 2 {
			var points []tin.Point
			for range 12 {
				p := orb.Point{10 * rng.Float64(), 10 * rng.Float64()}
				points = append(points, tin.Point{E: p[0], N: p[1], Level: plane.LevelAt(p[0], p[1])})
			}
			for _, p := range box(-1, -1, 11, 11)[0][:4] {
				points = append(points, tin.Point{E: p[0], N: p[1], Level: plane.LevelAt(p[0], p[1])})
			}
			surfaces = append(surfaces, built(t, tin.Options{}, points))
		}
		r := between(t, surfaces[0], surfaces[1], box(1, 1, 9, 9))
		require.InDelta(t, 64, r.CutArea+r.FillArea+r.LevelArea+r.UncoveredArea, 64e-12, "job %d: %+v", job, quantities(r))
		require.Less(t, r.Cut+r.Fill, 1e-11)
	}
}

// A decimal is the same place whether it was read with decimals or with full
// mantissas.
func TestSamePlacesInTwoFrames(t *testing.T) {
	for _, far := range []float64{0, 500000, 6e6} {
		rng := rand.New(rand.NewPCG(7, 7))
		ground := rough(rng, 11, milli(far+0.1), milli(far+0.7))
		for i := range ground {
			ground[i].E, ground[i].N = milli(ground[i].E), milli(ground[i].N)
		}
		dug := append([]tin.Point{{E: far + 30 + rng.Float64(), N: far + 30 + rng.Float64(), Level: 12}}, ground...)
		a, b := built(t, tin.Options{}, ground), built(t, tin.Options{}, dug)
		require.NotEqual(t, a.Frame(), b.Frame())
		for _, r := range []volume.CutFill{between(t, a, b, nil), between(t, b, a, box(far+1, far+1, far+9, far+9))} {
			assert.Zero(t, r.Cut, "offset %v", far)
			assert.Zero(t, r.Fill, "offset %v", far)
			assert.Zero(t, r.CutArea+r.FillArea, "offset %v", far)
			assert.Positive(t, r.LevelArea)
		}
	}
}

// Sides a hair apart over their whole length: where one crosses the other is a
// matter of rounding, but it stays on what is left of it.
func TestSidesAHairApart(t *testing.T) {
	const hair = 0x1p-34 // the step of doubles there
	d := duo{kind: "next doubles"}
	d.a.points = spots(500000, 500002, 10, 500003, 500001, 10.5, 500003, 500003, 10.5, 500000, 500003, 11.5, 500002, 500002, 12)
	d.b.points = spots(500000-hair, 500002+hair, 10, 500003+hair, 500001-hair, 11.5, 500003, 500003+hair, 12, 500000+hair, 500003-hair, 10, 500002-hair, 500002, 10.5)
	a, b := built(t, d.a.options, d.a.points), built(t, d.b.options, d.b.points)
	d.hold(between(t, a, b, nil), d.exactly(t, a, b), func(what string, got, want, relative float64) {
		t.Errorf("%s %v, want %v: %.1e relative", what, got, want, relative)
	})
}

// The same of the plane road: spots that lie on a falling plane but for rounding.
func TestAgainstPlaneAreaOfNoDepthCountsOnce(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 5))
	for job := range 50 {
		plane := tin.FallingPlane(orb.Point{rng.Float64(), rng.Float64()}, 10, 0.3*rng.Float64(), 360*rng.Float64())
		var points []tin.Point
		for range 12 {
			points = append(points, tin.Point{E: 10 * rng.Float64(), N: 10 * rng.Float64()})
		}
		points = append(points, spots(-1, -1, 0, 11, -1, 0, 11, 11, 0, -1, 11, 0)...)
		for i, p := range points {
			points[i].Level = plane.LevelAt(p.E, p.N)
		}
		r := against(t, ground(t, points), plane, box(1, 1, 9, 9))
		require.InDelta(t, 64, r.CutArea+r.FillArea+r.LevelArea+r.UncoveredArea, 64e-12, "job %d: %+v", job, quantities(r))
	}
}
