package takeoff_test

import (
	"math"
	"os"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/volume/takeoff"
)

func planned(t testing.TB, job *takeoff.Job, opts takeoff.PlanOptions) *takeoff.Result {
	t.Helper()
	r, err := takeoff.Run(t.Context(), job, takeoff.Options{Plan: &opts})
	require.NoError(t, err)
	require.NotNil(t, r.Plan)
	return r
}

// The jobs that come along: bands make up the works, by side, and lie in order; all works
// lie in the frame; contours are multiples of their interval. The rest of the result is
// that without a plan.
func TestPlanOfJobsThatComeAlong(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct{ folder, name string }{
		{"../../cmd/barrow/demo", "job.toml"}, {"../../testdata/autzen-pad", "job.toml"},
		{"../../testdata/autzen-pad", "reference-pad.toml"}, {"../../testdata/mesh-boolean", "ell.toml"},
	} {
		job, err := takeoff.Load(t.Context(), os.DirFS(tt.folder), tt.name, takeoff.Limits{})
		require.NoError(t, err)
		r := planned(t, job, takeoff.PlanOptions{Triangles: true})
		checkBands(t, r)
		p := r.Plan
		for _, b := range p.Bands {
			assert.Less(t, len(b.Rings), 40, "the rims of faces that meet are gone")
		}
		for _, polygon := range append(slices.Clone(r.WorksOutline), p.Outlines...) {
			b := polygon.Bound()
			assert.True(t, p.Frame.Contains(b.Min) && p.Frame.Contains(b.Max), tt.name)
		}
		require.NotEmpty(t, p.Contours)
		for _, c := range p.Contours {
			k := math.Round(c.Level / p.ContourInterval)
			assert.InDelta(t, k*p.ContourInterval, c.Level, 1e-9)
			assert.Equal(t, math.Mod(k, 5) == 0, c.Index)
		}
		assert.Len(t, p.SpotLevels, len(p.Spots))
		assert.True(t, len(p.Triangles) > 0 || p.EdgesLeftOut > 0, tt.name)
		unit := job.Units.Metres()
		assert.InEpsilon(t, p.Sheet.Wide/1000*p.Ratio, (p.Frame.Max[0]-p.Frame.Min[0])*unit, 1e-12)
		assert.InEpsilon(t, p.Sheet.High/1000*p.Ratio, (p.Frame.Max[1]-p.Frame.Min[1])*unit, 1e-12)

		plain := run(t, job)
		assert.Nil(t, plain.Plan)
		r.Plan = nil
		assert.Equal(t, plain, r)
	}
}

// checkBands holds depth bands against what the prisms measured.
func checkBands(t *testing.T, r *takeoff.Result) {
	t.Helper()
	var cut, fill, both, level float64
	for i := range r.Pads {
		both += r.Pads[i].CutArea + r.Pads[i].FillArea + r.Pads[i].BatterArea
		level += r.Pads[i].LevelArea
	}
	last := math.Inf(1)
	for _, b := range r.Plan.Bands {
		assert.Less(t, b.From, b.To)
		assert.LessOrEqual(t, b.To, last)
		last = b.From
		if b.From >= 0 {
			cut += b.Area
		} else {
			fill += b.Area
		}
		assert.InDelta(t, b.Area, areaHeld(b.Rings)*r.Scale*r.Scale, 1e-6*(1+b.Area))
	}
	assert.InEpsilon(t, both, cut+fill, 1e-9)
	assert.InDelta(t, level, r.Plan.Level.Area, 1e-6)
	assert.InEpsilon(t, r.Total.WorksArea, cut+fill+r.Plan.Level.Area+r.Total.UncoveredArea, 1e-9)
	if r.Total.Cut > 0 {
		assert.GreaterOrEqual(t, r.Plan.Bands[0].To, r.Pads[0].WorksCutDepth)
	}
}

func areaHeld(rings []orb.Ring) (sum float64) {
	for _, r := range rings {
		sum += planar.Area(r)
	}
	return math.Abs(sum)
}

// A square pit of 20 m in ground that rises 1 in 20: cut from 1 to 2 m, in two bands of
// half the pit each, and no fill; worked by hand. In feet the same figures.
func TestPlanBands(t *testing.T) {
	for _, unit := range []tin.Unit{tin.Metre, tin.Foot} {
		job := inclined(unit, takeoff.Pad{Name: "pit", Outline: orb.Polygon{{{100, 90}, {120, 90}, {120, 110}, {100, 110}}}, Finished: 14})
		p := planned(t, job, takeoff.PlanOptions{}).Plan
		assert.Equal(t, 0.5, p.CutStep)
		assert.Zero(t, p.FillStep)
		require.Len(t, p.Bands, 2)
		for i, from := range []float64{1.5, 1} {
			assert.Equal(t, from, p.Bands[i].From)
			assert.Equal(t, from+0.5, p.Bands[i].To)
			assert.InDelta(t, 200, p.Bands[i].Area, 1e-9)
		}
		assert.Zero(t, p.Level.Area)
		assert.Empty(t, p.Triangles)
		assert.Empty(t, p.Boundary)
	}
}

// Ground at formation has no depth, and a pad beside the ground no band.
func TestPlanOfLevelAndUncovered(t *testing.T) {
	job := grounded(tin.Metre, spot(0, 0, 5), spot(50, 0, 5), spot(50, 50, 5), spot(0, 50, 5))
	job.Pads = []takeoff.Pad{{Name: "a", Outline: orb.Polygon{{{40, 10}, {60, 10}, {60, 20}, {40, 20}}}, Finished: 5}}
	r := planned(t, job, takeoff.PlanOptions{})
	assert.Empty(t, r.Plan.Bands)
	assert.InDelta(t, 100, r.Plan.Level.Area, 1e-9)
	assert.InDelta(t, 100, r.Total.UncoveredArea, 1e-9)
	assert.Empty(t, r.Plan.Contours)
	assert.NotEmpty(t, r.Plan.Rim)
}

// The ratio is round and the works have room, on the sheet that shows them larger.
func TestPlanRatio(t *testing.T) {
	for _, tt := range []struct {
		wide, high, ratio float64
		lies              bool
	}{{10, 6, 100, true}, {8, 9, 100, false}, {90, 50, 500, true}, {40, 100, 1000, false}, {40, 88, 500, false}, {4000, 4000, 25000, false}} {
		job := grounded(tin.Metre, spot(0, 0, 5), spot(6000, 0, 5), spot(6000, 6000, 8), spot(0, 6000, 5))
		job.Pads = []takeoff.Pad{{Name: "a", Finished: 5,
			Outline: orb.Polygon{{{100, 100}, {100 + tt.wide, 100}, {100 + tt.wide, 100 + tt.high}, {100, 100 + tt.high}}}}}
		p := planned(t, job, takeoff.PlanOptions{}).Plan
		wide, _ := takeoff.PlanSheets()
		assert.Equal(t, tt.ratio, p.Ratio, "%v", tt)
		assert.Equal(t, tt.lies, p.Sheet == wide, "%v", tt)
		assert.InDelta(t, 100+tt.wide/2, p.Frame.Center()[0], 1e-9)
	}
}

// Dense ground is thinned, and says so; lines end at the frame.
func TestPlanIsBounded(t *testing.T) {
	job := grounded(tin.Metre)
	for i := range 200 {
		for k := range 200 {
			e, n := float64(i)/2, float64(k)/2
			job.Surveys[0].Points = append(job.Surveys[0].Points, spot(e, n, 10+float64((i*7919+k*104729)%13)/100))
		}
	}
	job.Surveys[0].Breaklines = []tin.Breakline{{Vertices: []tin.Point{spot(0, 0, 10), spot(99.5, 99.5, 10+float64((199*7919+199*104729)%13)/100)}}}
	job.Ground.CrossingTolerance = 1
	job.Pads = []takeoff.Pad{{Name: "a", Outline: orb.Polygon{{{20, 20}, {80, 20}, {80, 80}, {20, 80}}}, Finished: 10}}
	r := planned(t, job, takeoff.PlanOptions{Triangles: true})
	p := r.Plan
	assert.Less(t, len(p.Spots), 3500)
	assert.Greater(t, p.SpotsLeftOut, 10000)
	assert.Empty(t, p.Triangles)
	assert.Greater(t, p.EdgesLeftOut, 20000)
	require.Len(t, p.Breaklines, 1)
	length := 0.0
	for _, c := range p.Contours {
		length += planar.Length(c.Line)
		assert.True(t, p.Frame.Pad(1e-9).Contains(c.Line.Bound().Min) && p.Frame.Pad(1e-9).Contains(c.Line.Bound().Max))
	}
	assert.Less(t, length*1000/p.Ratio, p.Sheet.Wide*p.Sheet.High/2, "mean distance")
	checkBands(t, r)
}

// The plan depends on coordinates only.
func TestPlanInAnyOrder(t *testing.T) {
	job, err := takeoff.Load(t.Context(), os.DirFS("../../cmd/barrow/demo"), "job.toml", takeoff.Limits{})
	require.NoError(t, err)
	job.Surveys[0].LineCodes = nil // the order of points makes lines of these
	first := planned(t, job, takeoff.PlanOptions{}).Plan
	slices.Reverse(job.Surveys[0].Points)
	assert.Equal(t, first, planned(t, job, takeoff.PlanOptions{}).Plan)
}

func BenchmarkPlan(b *testing.B) {
	job, err := takeoff.Load(b.Context(), os.DirFS("../../testdata/autzen-pad"), "reference-pad.toml", takeoff.Limits{})
	require.NoError(b, err)
	for b.Loop() {
		planned(b, job, takeoff.PlanOptions{})
	}
}
