package volume_test

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/volume"
)

// worksOn are upright works down (or up) to a plane within an outline.
func worksOn(t testing.TB, ground *tin.Surface, plane tin.Plane, outline orb.Polygon) volume.Works {
	t.Helper()
	cells, err := ground.Partition([]orb.Polygon{outline}, nil)
	require.NoError(t, err)
	w := volume.Works{Ground: ground}
	for _, c := range cells {
		w.Facets = append(w.Facets, tin.Facet{Cell: c, Plane: plane})
	}
	return w
}

// levelGround is level ground of 60 m by 60 m about the origin.
func levelGround(t testing.TB, level float64) *tin.Surface { return ramp(t, level, 0, -30, 30) }

// ramp is ground that rises by a gradient to the east, with a level at easting 0.
func ramp(t testing.TB, level, gradient, lo, hi float64) *tin.Surface {
	t.Helper()
	var points []tin.Point
	for _, e := range []float64{lo, hi} {
		for _, n := range []float64{lo, hi} {
			points = append(points, tin.Point{E: e, N: n, Level: level + gradient*e})
		}
	}
	s, err := tin.FromPoints(points)
	require.NoError(t, err)
	return s
}

func square(e, n, side float64) orb.Polygon {
	return orb.Polygon{{{e, n}, {e + side, n}, {e + side, n + side}, {e, n + side}, {e, n}}}
}

func split(t testing.TB, w volume.Works, s volume.Split) volume.SplitResult {
	t.Helper()
	r, err := volume.SplitWorks(t.Context(), w, s)
	require.NoError(t, err)
	return r
}

// A dig of 10 m by 10 m, 3 m deep, by slices and by total depth: worked by hand.
func TestSlicesAndTotalDepth(t *testing.T) {
	w := worksOn(t, levelGround(t, 50), tin.LevelPlane(47), square(0, 0, 10))
	bands := func(by volume.DepthBy) volume.Split {
		return volume.Split{Parts: []volume.Part{{To: 1, By: by}, {From: 1, To: 2, By: by}, {From: 2, To: 2.5, By: by}}}
	}
	r := split(t, w, bands(volume.Slices))
	for i, want := range []float64{100, 100, 50} {
		assert.InDelta(t, want, r.Parts[i].Cut, 1e-10)
		assert.InDelta(t, 100, r.Parts[i].Area, 1e-10)
	}
	assert.InDelta(t, 50, r.Rest.Cut, 1e-10)
	assert.InDelta(t, 300, r.Cut, 1e-10)

	r = split(t, w, bands(volume.TotalDepth))
	assert.InDelta(t, 300, r.Rest.Cut, 1e-10, "all of it stands where the cut is 3 m deep")
	assert.Zero(t, r.Parts[0].Cut+r.Parts[1].Cut+r.Parts[2].Cut)

	// 0.5 m of topsoil has gone: 0.5 m of the first metre has, too.
	for i := range w.Facets {
		w.Facets[i].Topsoil = 0.5
	}
	s := bands(volume.Slices)
	s.Depths = volume.FromOriginal
	r = split(t, w, s)
	for i, want := range []float64{50, 100, 50} {
		assert.InDelta(t, want, r.Parts[i].Cut, 1e-10)
	}
	assert.InDelta(t, 250, r.Cut, 1e-10)
	s = bands(volume.TotalDepth)
	s.Parts[2].To = 2.9
	assert.InDelta(t, 250, split(t, w, s).Parts[2].Cut, 1e-10, "2.5 m deep from stripped ground")
	s.Depths = volume.FromOriginal
	assert.Zero(t, split(t, w, s).Parts[2].Cut, "3 m deep from the ground as it was")
}

// Ground that rises 1 in 5 over a level formation, 10 m long and wide: a wedge. Of its
// depth, 0 to 2 m, the first metre has 5*1/2*10 + 5*1*10 = 75 m3, the second 25 m3; by
// total depth the shallow half has 25 m3, the deep one 75 m3.
func TestWedgeByDepth(t *testing.T) {
	w := worksOn(t, ramp(t, 50, 0.2, -30, 30), tin.LevelPlane(50), square(0, 0, 10))
	for by, want := range map[volume.DepthBy][2]float64{volume.Slices: {75, 25}, volume.TotalDepth: {25, 75}} {
		r := split(t, w, volume.Split{Parts: []volume.Part{{To: 1, By: by}, {From: 1, By: by}}})
		assert.InDelta(t, want[0], r.Parts[0].Cut, 1e-10)
		assert.InDelta(t, want[1], r.Parts[1].Cut, 1e-10)
		assert.Zero(t, r.Rest)
	}
}

// A dig 4 m deep with rock that rises across it from 46 to 51 m, over and under a water
// level, one half of it in a polygon of its own: worked by hand.
func TestStrata(t *testing.T) {
	w := worksOn(t, levelGround(t, 50), tin.LevelPlane(46), square(0, 0, 10))
	rock := volume.Horizon{Surface: ramp(t, 46, 0.5, -20, 20)} // at formation where E = 0, at ground where E = 8
	water := volume.Horizon{Level: 48}

	r := split(t, w, volume.Split{Parts: []volume.Part{{Below: []volume.Horizon{rock}}}})
	assert.InDelta(t, 8*4/2*10+2*4*10, r.Parts[0].Cut, 1e-9, "all is rock where rock lies above the ground")
	assert.InDelta(t, 8*4/2*10, r.Rest.Cut, 1e-9)
	assert.InDelta(t, 80, r.Rest.Area, 1e-9)

	// Dry rock, wet rock, dry clay, wet clay; rock is at water level where E = 4.
	r = split(t, w, volume.Split{Parts: []volume.Part{
		{Below: []volume.Horizon{rock}, Above: []volume.Horizon{water}}, {Below: []volume.Horizon{rock}},
		{Above: []volume.Horizon{water}}, {},
	}})
	for i, want := range []float64{4*2/2*10 + 2*2*10, 4*2/2*10 + 6*2*10, 4*2/2*10 + 4*2*10, 4 * 2 / 2 * 10} {
		assert.InDelta(t, want, r.Parts[i].Cut, 1e-9, "part %d", i)
	}
	assert.Zero(t, r.Rest)

	// A polygon that overrides: all of E > 5.
	r = split(t, w, volume.Split{Parts: []volume.Part{{Within: orb.MultiPolygon{square(5, -5, 20)}}, {Below: []volume.Horizon{rock}}}})
	assert.InDelta(t, 200, r.Parts[0].Cut, 1e-9)
	assert.InDelta(t, 5*2.5/2*10, r.Parts[1].Cut, 1e-9)
	assert.InDelta(t, 200-5*2.5/2*10, r.Rest.Cut, 1e-9)
}

// Where the rock was not surveyed, cut is neither rock nor anything else; a part that
// comes before, and one whose other limits leave it out, still have theirs.
func TestHorizonWithoutData(t *testing.T) {
	w := worksOn(t, levelGround(t, 50), tin.LevelPlane(46), square(0, 0, 10))
	small := ramp(t, 48, 0, -6, 6)
	rock := volume.Part{Below: []volume.Horizon{{Surface: small}}}
	r := split(t, w, volume.Split{Parts: []volume.Part{rock}})
	assert.InDelta(t, 72, r.Parts[0].Cut, 1e-9)
	assert.InDelta(t, 72, r.Rest.Cut, 1e-9)
	assert.InDelta(t, 64*4, r.Undetermined.Cut, 1e-9)
	assert.InDelta(t, 64, r.Undetermined.Area, 1e-9)

	r = split(t, w, volume.Split{Parts: []volume.Part{{To: 1}, rock}})
	assert.InDelta(t, 100, r.Parts[0].Cut, 1e-9)
	assert.InDelta(t, 64*3, r.Undetermined.Cut, 1e-9)

	rock.Above = []volume.Horizon{{Level: 47}}
	r = split(t, w, volume.Split{Parts: []volume.Part{rock}})
	assert.InDelta(t, 64*3, r.Undetermined.Cut, 1e-9)
	assert.InDelta(t, 36*3+64, r.Rest.Cut, 1e-9)

	limited, err := tin.Build(t.Context(), []tin.Source{{Points: []tin.Point{{E: -60, N: -60, Level: 48}, {E: 60, N: -60, Level: 48}, {E: 60, N: 60, Level: 48}, {E: -60, N: 60, Level: 48}}}},
		tin.Options{Boundary: orb.MultiPolygon{square(-5, -5, 10)}, Voids: orb.MultiPolygon{square(1, 1, 2)}})
	require.NoError(t, err)
	r = split(t, w, volume.Split{Parts: []volume.Part{{Below: []volume.Horizon{{Surface: limited}}}}})
	assert.InDelta(t, 21*2, r.Parts[0].Cut, 1e-9, "within the boundary, outside the void")
	assert.InDelta(t, 79*4, r.Undetermined.Cut, 1e-9)

	voided, err := tin.Build(t.Context(), []tin.Source{{Points: []tin.Point{{E: -60, N: -60, Level: 48}, {E: 60, N: -60, Level: 48}, {E: 60, N: 60, Level: 48}, {E: -60, N: 60, Level: 48}}}},
		tin.Options{Voids: orb.MultiPolygon{square(1, 1, 2)}})
	require.NoError(t, err)
	r = split(t, w, volume.Split{Parts: []volume.Part{{Below: []volume.Horizon{{Surface: voided}}}}})
	assert.InDelta(t, 4*4, r.Undetermined.Cut, 1e-9)
}

// Cells of 4 m: a wedge that is cut east of E = 0 and fill west of it. In a cell that goes
// on from depth 0 over a length of 4 m the centre of gravity is 8/3 m from there.
func TestCells(t *testing.T) {
	w := worksOn(t, ramp(t, 50, 0.5, -30, 30), tin.LevelPlane(50), square(-4, 0, 8))
	r := split(t, w, volume.Split{CellSize: 4, Parts: []volume.Part{{To: 1}}})
	require.Len(t, r.Cells, 4)
	for i, at := range []orb.Point{{-4, 0}, {0, 0}, {-4, 4}, {0, 4}} {
		c := r.Cells[i]
		assert.Equal(t, at, c.At)
		if at[0] < 0 {
			assert.InDelta(t, 16, c.Fill, 1e-10)
			assert.InDelta(t, -8.0/3, c.FillAt[0], 1e-10)
			assert.InDelta(t, at[1]+2, c.FillAt[1], 1e-10)
			assert.Nil(t, c.Cut)
			continue
		}
		assert.Zero(t, c.Fill)
		assert.InDelta(t, 8.0/3, c.CutAt[0], 1e-10)
		assert.InDelta(t, at[1]+2, c.CutAt[1], 1e-10)
		require.Len(t, c.Cut, 3)
		assert.InDelta(t, 12, c.Cut[0], 1e-10)
		assert.InDelta(t, 4, c.Cut[1], 1e-10)
		assert.Zero(t, c.Cut[2])
	}
	_, err := volume.SplitWorks(t.Context(), w, volume.Split{CellSize: 4, MaxCells: 3})
	requireCode(t, err, volume.CodeTooManyCells)
	_, err = volume.SplitWorks(t.Context(), w, volume.Split{CellSize: 1e-300})
	requireCode(t, err, volume.CodeTooManyCells)
}

func requireCode(t testing.TB, err error, code string) {
	t.Helper()
	var e *tin.InputError
	require.ErrorAs(t, err, &e)
	require.Equal(t, code, e.Code)
}

func TestSplitErrors(t *testing.T) {
	w := worksOn(t, levelGround(t, 50), tin.LevelPlane(46), square(0, 0, 10))
	nan := math.NaN()
	for code, list := range map[string][]volume.Split{
		volume.CodeSplitDepths: {
			{Parts: []volume.Part{{From: -1}}}, {Parts: []volume.Part{{From: nan}}}, {Parts: []volume.Part{{From: 2, To: 1}}},
			{Parts: []volume.Part{{To: math.Inf(1)}}}, {Parts: []volume.Part{{To: nan}}},
		},
		volume.CodeSplitHorizon: {{Parts: []volume.Part{{Below: []volume.Horizon{{Level: nan}}}}}},
		volume.CodeAreasOverlap: {{Parts: []volume.Part{{Within: orb.MultiPolygon{square(0, 0, 5), square(4, 4, 5)}}}}},
		volume.CodeSplitCells:   {{CellSize: -1}, {CellSize: nan}, {CellSize: 1, MaxCells: -1}},
		"outline_crosses":       {{Parts: []volume.Part{{Within: orb.MultiPolygon{{{{0, 0}, {1, 1}, {1, 0}, {0, 1}, {0, 0}}}}}}}},
	} {
		for _, s := range list {
			_, err := volume.SplitWorks(t.Context(), w, s)
			requireCode(t, err, code)
		}
	}
	_, err := volume.SplitWorks(t.Context(), w, volume.Split{Parts: []volume.Part{{}, {Within: orb.MultiPolygon{square(0, 0, 5), {{{0, 0}, {1, 0}}}}}}})
	var e *tin.InputError
	require.ErrorAs(t, err, &e)
	require.Equal(t, "part[1].within", e.Key)

	ended, cancel := context.WithCancel(t.Context())
	cancel()
	_, err = volume.SplitWorks(ended, w, volume.Split{})
	require.ErrorIs(t, err, context.Canceled)

	w.Facets[0].Plane.Level = nan
	_, err = volume.SplitWorks(t.Context(), w, volume.Split{})
	requireCode(t, err, "bad_plane")
}

// looks counts how often a context is asked whether it has ended.
type looks struct {
	context.Context
	n int
}

func (l *looks) Err() error { l.n++; return l.Context.Err() }

// Split into hundreds of parts a piece takes long: an end is seen between few of them.
func TestSplitLooksForAnEnd(t *testing.T) {
	var outlines []orb.Polygon
	for i := range 40 {
		outlines = append(outlines, square(float64(i%20)-10, float64(i/20), 1))
	}
	ground := levelGround(t, 10)
	cells, err := ground.Partition(outlines, nil)
	require.NoError(t, err)
	w := volume.Works{Ground: ground}
	for _, c := range cells {
		w.Facets = append(w.Facets, tin.Facet{Cell: c, Plane: tin.Plane{Level: 9}})
	}
	ctx := &looks{Context: t.Context()}
	_, err = volume.SplitWorks(ctx, w, volume.Split{})
	require.NoError(t, err)
	assert.Greater(t, ctx.n, 2)
}

// Faces of batters: a wedge of cut, and the same as fill.
func TestSplitFaces(t *testing.T) {
	s := levelGround(t, 50)
	face := func(sign float64) tin.FacePiece {
		var p tin.FacePiece
		for _, c := range [][3]float64{{1, 1, 0}, {5, 1, 2}, {1, 4, 0}} {
			x, y := s.Frame().Local([2]float64{c[0], c[1]})
			p.Corner = append(p.Corner, tin.FaceCorner{X: x, Y: y, Ground: 50, Face: 50 - sign*c[2]})
		}
		return p
	}
	r := split(t, volume.Works{Ground: s, Faces: []tin.FacePiece{face(1), face(-1)}}, volume.Split{Parts: []volume.Part{{From: 1}}, CellSize: 10})
	assert.InDelta(t, 4, r.Cut, 1e-12)
	assert.InDelta(t, 4, r.Fill, 1e-12)
	assert.InDelta(t, 0.5, r.Parts[0].Cut, 1e-12, "the tip, half as long, wide and deep")
	assert.InDelta(t, 3, r.Cells[0].CutAt[0], 1e-12, "(1 + 5 + 1 + 5) / 4")
	assert.InDelta(t, 1.75, r.Cells[0].CutAt[1], 1e-12, "(1 + 1 + 4 + 1) / 4")
}

// A pyramid of 3 m on a base of 10 m by 10 m, level formation at its foot: 100 m3. What is
// deeper than 1 m is a pyramid 2/3 as large; where the cut is 1 m deep or more, there is
// that and 1 m under its base. The top is a pyramid again.
func TestPyramid(t *testing.T) {
	s, err := tin.FromPoints([]tin.Point{{E: 0, N: 0, Level: 50}, {E: 10, N: 0, Level: 50}, {E: 10, N: 10, Level: 50}, {E: 0, N: 10, Level: 50}, {E: 5, N: 5, Level: 53}})
	require.NoError(t, err)
	w := worksOn(t, s, tin.LevelPlane(50), square(0, 0, 10))
	small := 100 * 8.0 / 27
	for what, c := range map[string]struct {
		part volume.Part
		want float64
	}{
		"slice":          {volume.Part{From: 1}, small},
		"total depth":    {volume.Part{From: 1, By: volume.TotalDepth}, small + 1*100*4.0/9},
		"above a level":  {volume.Part{Above: []volume.Horizon{{Level: 51}}}, small},
		"below a level":  {volume.Part{Below: []volume.Horizon{{Level: 51}}}, 100 - small},
		"a quarter":      {volume.Part{Within: orb.MultiPolygon{square(5, 5, 30)}}, 25},
		"two areas":      {volume.Part{Within: orb.MultiPolygon{square(5, 5, 30), square(-25, -25, 30)}}, 50},
		"a hole in area": {volume.Part{Within: orb.MultiPolygon{{square(-5, -5, 30)[0], square(5, 5, 1)[0]}}}, 100 - (3 - 2.0/3*0.6)},
	} {
		assert.InDelta(t, c.want, split(t, w, volume.Split{Parts: []volume.Part{c.part}}).Parts[0].Cut, 1e-10, what)
	}
}

// asked is a context that ends when it is asked for the n-th time.
type asked struct {
	context.Context
	times, end int
}

func (a *asked) Err() error {
	if a.times++; a.times >= a.end {
		return context.Canceled
	}
	return nil
}

// One piece of the works over a rock of many triangles looks at the context too, and ends
// soon after it.
func TestSplitEndsWithinAPiece(t *testing.T) {
	works := worksOn(t, levelGround(t, 50), tin.LevelPlane(47), square(0, 0, 20))
	r := rand.New(rand.NewPCG(8, 8))
	var spots []tin.Point
	for range 4000 {
		spots = append(spots, tin.Point{E: 20 * r.Float64(), N: 20 * r.Float64(), Level: 48 + r.Float64()})
	}
	rock, err := tin.FromPoints(spots)
	require.NoError(t, err)
	split := volume.Split{Parts: []volume.Part{{Below: []volume.Horizon{{Surface: rock}}}}}
	going := &asked{t.Context(), 0, 1 << 30}
	_, err = volume.SplitWorks(going, works, split)
	require.NoError(t, err)
	require.Greater(t, going.times, 6)
	ended := &asked{t.Context(), 0, 2}
	_, err = volume.SplitWorks(ended, works, split)
	require.ErrorIs(t, err, context.Canceled)
	require.Equal(t, 3, ended.times) // the second says so, the third is asked for its error
}
