package volume_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/volume"
)

func depthBands(t testing.TB, w volume.Works, limits ...float64) volume.DepthBands {
	t.Helper()
	b, err := volume.SplitDepths(t.Context(), w, limits)
	require.NoError(t, err)
	return b
}

// areaHeld is the area that rings hold, those on the right of a ring taken off.
func areaHeld(rings []orb.Ring) (sum float64) {
	for _, r := range rings {
		sum += float64(r.Orientation()) * math.Abs(planar.Area(r))
	}
	return sum
}

// A level dig in ground that rises 1 in 10: depth is 0 at easting 10 and 1 at 20. The bands
// are strips, worked by hand.
func TestDepthBandsOnSlope(t *testing.T) {
	w := worksOn(t, ramp(t, 0, 0.1, -30, 30), tin.LevelPlane(1), square(0, 0, 20))
	b := depthBands(t, w, -0.5, 0, 0.25)
	require.Len(t, b.Bands, 4)
	for i, want := range []float64{5, 5, 2.5, 7.5} {
		assert.InDelta(t, 20*want, b.Bands[i].Area, 1e-10)
		assert.InDelta(t, 20*want, areaHeld(b.Bands[i].Rings), 1e-10)
		require.Len(t, b.Bands[i].Rings, 1, "what triangles share is gone")
	}
	assert.Equal(t, math.Inf(-1), b.Bands[0].From)
	assert.Equal(t, 0.25, b.Bands[3].From)
	assert.Zero(t, b.Level.Area)
}

// Ground at formation is in no band.
func TestDepthBandsOfLevelGround(t *testing.T) {
	w := worksOn(t, levelGround(t, 1), tin.LevelPlane(1), square(0, 0, 20))
	b := depthBands(t, w, 0)
	assert.InDelta(t, 400, b.Level.Area, 1e-10)
	assert.Zero(t, b.Bands[0].Area+b.Bands[1].Area)
	require.Len(t, b.Level.Rings, 1)
}

// A pyramid over a dig's formation: a band is a ring with a hole.
func TestDepthBandsRoundAHole(t *testing.T) {
	ground, err := tin.FromPoints([]tin.Point{{E: -20, N: -20}, {E: 20, N: -20}, {E: 20, N: 20}, {E: -20, N: 20}, {Level: 20}})
	require.NoError(t, err)
	b := depthBands(t, worksOn(t, ground, tin.LevelPlane(0), square(-20, -20, 40)), 5, 10)
	for i, want := range []float64{1600 - 900, 900 - 400, 400} {
		assert.InDelta(t, want, b.Bands[i].Area, 1e-9)
		assert.InDelta(t, want, areaHeld(b.Bands[i].Rings), 1e-9)
	}
	assert.Len(t, b.Bands[0].Rings, 2)
	assert.Len(t, b.Bands[2].Rings, 1)
}

// On random ground: areas make up those of the prisms, and rings hold their areas, in
// whatever order facets come.
func TestDepthBandsLoseNothing(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 9))
	for range 30 {
		var points []tin.Point
		for range 60 {
			points = append(points, tin.Point{E: math.Round(rng.Float64()*400) / 10, N: math.Round(rng.Float64()*400) / 10, Level: math.Round(rng.Float64()*30) / 10})
		}
		ground, err := tinOf(t, points)
		require.NoError(t, err)
		w := worksOn(t, ground, tin.LevelPlane(math.Round(rng.Float64()*30)/10), square(5, 5, 25))
		c, err := volume.AgainstFacets(t.Context(), ground, w.Facets)
		require.NoError(t, err)
		b := depthBands(t, w, -1, -0.5, 0, 0.3, 1)
		var fill, cut float64
		for i := range b.Bands {
			if i < 3 {
				fill += b.Bands[i].Area
			} else {
				cut += b.Bands[i].Area
			}
			assert.InDelta(t, b.Bands[i].Area, areaHeld(b.Bands[i].Rings), 1e-8)
		}
		assert.InDelta(t, c.CutArea, cut, 1e-9)
		assert.InDelta(t, c.FillArea, fill, 1e-9)
		assert.InDelta(t, c.LevelArea, b.Level.Area, 1e-9)
		rng.Shuffle(len(w.Facets), func(i, j int) { w.Facets[i], w.Facets[j] = w.Facets[j], w.Facets[i] })
		assert.Equal(t, b, depthBands(t, w, -1, -0.5, 0, 0.3, 1))
	}
}

// tinOf builds ground of points of which some may lie at one place.
func tinOf(t testing.TB, points []tin.Point) (*tin.Surface, error) {
	t.Helper()
	return tin.Build(t.Context(), []tin.Source{{Points: points}}, tin.Options{Duplicates: tin.DuplicatesMean})
}

func TestDepthLimits(t *testing.T) {
	w := worksOn(t, levelGround(t, 1), tin.LevelPlane(1), square(0, 0, 20))
	for _, limits := range [][]float64{{1, 1}, {2, 1}, {math.NaN()}, {math.Inf(1)}} {
		_, err := volume.SplitDepths(t.Context(), w, limits)
		var e *tin.InputError
		require.ErrorAs(t, err, &e)
		assert.Equal(t, "depth_limits", e.Code)
	}
}
