package volume_test

import (
	"cmp"
	"context"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/volume"
)

// Ground over 0 to 40 m square at level 10, against 9 m: the depth is 1 m
// wherever there is ground, so that volumes are areas.
func TestUncovered(t *testing.T) {
	var points []tin.Point
	for e := 0.0; e <= 40; e += 4 {
		for n := 0.0; n <= 40; n += 4 {
			points = append(points, tin.Point{E: e, N: n, Level: 10})
		}
	}
	for _, c := range []struct {
		name      string
		options   tin.Options
		outline   orb.Polygon
		covered   float64
		uncovered float64
	}{
		{"within", tin.Options{}, box(4, 4, 36, 30), 32 * 26, 0},
		{"on the hull", tin.Options{}, box(0, 0, 40, 40), 1600, 0},
		{"over a side of the hull", tin.Options{}, box(30, 10, 50, 20), 100, 100},
		{"over a corner of the hull", tin.Options{}, box(35, 35, 55, 55), 25, 375},
		{"round the hull", tin.Options{}, box(-5, -5, 45, 45), 1600, 900},
		{"outside", tin.Options{}, box(50, 50, 60, 70), 0, 200},
		{"far outside", tin.Options{}, box(1e6, 1e6, 1e6+10, 1e6+10), 0, 100},
		{"touching the hull", tin.Options{}, box(40, 0, 50, 40), 0, 400},
		{"the hull in its hole", tin.Options{}, append(box(-5, -5, 45, 45), box(0, 0, 40, 40)[0]), 0, 900},
		{"two parts on the ground", tin.Options{}, orb.Polygon{{{-10, 10}, {-10, 0}, {10, 0}, {10, 10}, {5, 10}, {5, 5}, {-5, 5}, {-5, 10}}}, 75, 75},
		{"over the boundary", tin.Options{Boundary: orb.MultiPolygon{box(10, 10, 20, 20)}}, box(15, 12, 25, 18), 30, 30},
		{"outside the boundary", tin.Options{Boundary: orb.MultiPolygon{box(10, 10, 20, 20)}}, box(21, 12, 25, 18), 0, 24},
		{"two boundaries", tin.Options{Boundary: orb.MultiPolygon{box(10, 10, 20, 20), box(24, 10, 30, 20)}}, box(15, 12, 28, 18), 54, 24},
		{"a boundary past the hull", tin.Options{Boundary: orb.MultiPolygon{box(10, 10, 60, 20)}}, box(30, 12, 70, 18), 60, 180},
		{"over a void", tin.Options{Voids: orb.MultiPolygon{box(10, 10, 20, 20)}}, box(5, 5, 25, 25), 300, 100},
		{"in a void", tin.Options{Voids: orb.MultiPolygon{box(10, 10, 20, 20)}}, box(12, 12, 18, 18), 0, 36},
		{"a void with ground in it", tin.Options{Voids: orb.MultiPolygon{append(box(10, 10, 20, 20), box(13, 13, 17, 17)[0])}}, box(5, 5, 25, 25), 316, 84},
		{"a void across the boundary", tin.Options{Boundary: orb.MultiPolygon{box(10, 10, 20, 20)}, Voids: orb.MultiPolygon{box(15, 15, 25, 25)}}, box(0, 0, 40, 40), 75, 1525},
	} {
		t.Run(c.name, func(t *testing.T) {
			g, err := tin.Build(t.Context(), []tin.Source{{Points: points}}, c.options)
			require.NoError(t, err)
			got := against(t, g, tin.LevelPlane(9), c.outline)
			require.InDelta(t, c.covered, got.Cut, 1e-9)
			require.InDelta(t, c.covered, got.CutArea, 1e-9)
			require.InDelta(t, c.covered, got.CutLessFill, 1e-9)
			require.InDelta(t, c.uncovered, got.UncoveredArea, 1e-9)
			if c.covered == 0 { // nothing, not nearly nothing
				require.Equal(t, volume.CutFill{UncoveredArea: got.UncoveredArea}, got)
			}
			if c.uncovered == 0 {
				require.Zero(t, got.UncoveredArea)
			}
		})
	}
}

// Two clusters of spots 50 m apart: with a greatest edge the triangles between
// them are no ground.
func TestUncoveredPeeled(t *testing.T) {
	var points []tin.Point
	for _, at := range []float64{0, 60} {
		for e := 0.0; e <= 10; e += 5 {
			for n := 0.0; n <= 10; n += 5 {
				points = append(points, tin.Point{E: at + e, N: n, Level: 10})
			}
		}
	}
	outline := box(5, 2, 65, 8)
	whole := against(t, ground(t, points), tin.LevelPlane(9), outline)
	require.InDelta(t, 360, whole.Cut, 1e-9)
	require.Zero(t, whole.UncoveredArea)
	g, err := tin.Build(t.Context(), []tin.Source{{Points: points}}, tin.Options{MaxEdge: 8})
	require.NoError(t, err)
	got := against(t, g, tin.LevelPlane(9), outline)
	require.InDelta(t, 60, got.Cut, 1e-9)
	require.InDelta(t, 300, got.UncoveredArea, 1e-9)
	got = against(t, g, tin.LevelPlane(9), box(-10, -10, 80, 20))
	require.InDelta(t, 200, got.Cut, 1e-9)
	require.InDelta(t, 90*30-200, got.UncoveredArea, 1e-9)
	require.Empty(t, got.ZeroLine)
}

// The greatest depths are at spots, or where the outline cuts the ground.
func TestGreatestDepths(t *testing.T) {
	bumpy := ground(t, spots(0, 0, 10, 20, 0, 10, 20, 20, 10, 0, 20, 10, 5, 5, 13, 15, 15, 8))
	got := against(t, bumpy, tin.LevelPlane(10), box(0, 0, 20, 20))
	require.Equal(t, volume.Depth{Depth: 3, At: orb.Point{5, 5}}, got.MaxCut)
	require.Equal(t, volume.Depth{Depth: 2, At: orb.Point{15, 15}}, got.MaxFill)

	// Of equal depths the first by easting, then northing, whatever the order of
	// triangles and corners.
	var points []tin.Point
	for e := 0.0; e <= 20; e += 2 {
		for n := 0.0; n <= 20; n += 2 {
			points = append(points, tin.Point{E: e, N: n, Level: 10})
		}
	}
	flat := ground(t, points)
	rng := rand.New(rand.NewPCG(5, 6))
	for range 50 {
		ring := star(rng, orb.Point{10, 10}, 2, 9)
		first := slices.MinFunc(ring, func(p, q orb.Point) int { return cmp.Or(cmp.Compare(p[0], q[0]), cmp.Compare(p[1], q[1])) })
		for _, plane := range []float64{9.5, 10.5} {
			got = against(t, flat, tin.LevelPlane(plane), orb.Polygon{ring})
			if plane > 10 {
				got.MaxCut, got.MaxFill = got.MaxFill, got.MaxCut
			}
			require.Equal(t, volume.Depth{}, got.MaxFill)
			require.Equal(t, 0.5, got.MaxCut.Depth)
			require.InDeltaSlice(t, first[:], got.MaxCut.At[:], 1e-12)
		}
	}

	// Where a falling pad meets the outline.
	falling := tin.Plane{At: orb.Point{8, 8}, Level: 10, Gradient: [2]float64{-0.125, -0.0625}}
	got = against(t, flat, falling, box(4, 4, 16, 12))
	for _, d := range []struct{ got, want volume.Depth }{
		{got.MaxCut, volume.Depth{Depth: 1.25, At: orb.Point{16, 12}}},
		{got.MaxFill, volume.Depth{Depth: 0.75, At: orb.Point{4, 4}}},
	} {
		require.InDelta(t, d.want.Depth, d.got.Depth, 1e-14)
		require.InDeltaSlice(t, d.want.At[:], d.got.At[:], 1e-12)
	}

	// Never from ground that is not there.
	g, err := tin.Build(t.Context(), []tin.Source{{Points: spots(0, 0, 10, 20, 0, 10, 20, 20, 10, 0, 20, 10, 5, 5, 13, 15, 15, 8)}},
		tin.Options{Voids: orb.MultiPolygon{box(4, 4, 6, 6)}})
	require.NoError(t, err)
	got = against(t, g, tin.LevelPlane(10), box(0, 0, 20, 20))
	require.Less(t, got.MaxCut.Depth, 3.0)
	require.InDelta(t, 1, max(offRing(box(4, 4, 6, 6)[0], got.MaxCut.At), 0)+1, 1e-9, "on the rim of the void")
	for range 3 {
		require.Equal(t, got, against(t, g, tin.LevelPlane(10), box(0, 0, 20, 20)))
	}
}

func TestNotAnOutline(t *testing.T) {
	flat := ground(t, spots(0, 0, 10, 20, 0, 10, 20, 20, 10, 0, 20, 10))
	for name, outline := range map[string]orb.Polygon{
		"nothing":      nil,
		"empty ring":   {{}},
		"two corners":  {{{0, 0}, {1, 1}}},
		"flat":         {{{0, 0}, {1, 1}, {2, 2}}},
		"bow tie":      {{{0, 0}, {10, 10}, {10, 0}, {0, 10}}},
		"hole outside": {box(0, 0, 5, 5)[0], box(6, 6, 7, 7)[0]},
	} {
		t.Run(name, func(t *testing.T) {
			got, err := volume.AgainstPlane(t.Context(), flat, tin.LevelPlane(9), outline)
			var input *tin.InputError
			require.ErrorAs(t, err, &input)
			require.NotEmpty(t, input.Code)
			require.NotEmpty(t, input.Hint)
			require.Equal(t, volume.CutFill{}, got)
		})
	}
}

// A cancelled measurement returns the reason and no figures, on any ground.
func TestCancelled(t *testing.T) {
	cancelled, cancel := context.WithCancel(t.Context())
	cancel()
	rng := rand.New(rand.NewPCG(1, 2))
	for _, n := range []int{4, 20000} {
		points := spots(0, 0, 10, 100, 0, 10, 100, 100, 10, 0, 100, 10)
		for len(points) < n {
			points = append(points, tin.Point{E: 100 * rng.Float64(), N: 100 * rng.Float64(), Level: 10})
		}
		got, err := volume.AgainstPlane(cancelled, ground(t, points), tin.LevelPlane(9), box(0, 0, 100, 100))
		require.ErrorIs(t, err, context.Canceled, "%d points", n)
		require.Equal(t, volume.CutFill{}, got)
	}
}
