package takeoff_test

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/volume/takeoff"
)

// levelGround is level ground of 60 by 60.
func levelGround(level float64) []takeoff.Survey {
	return []takeoff.Survey{{Name: "ground.csv", Points: []tin.Point{
		{E: 0, N: 0, Level: level}, {E: 60, N: 0, Level: level}, {E: 60, N: 60, Level: level}, {E: 0, N: 60, Level: level}, {E: 31, N: 29, Level: level},
	}}}
}

// pit is a pad of 10 by 10 with its formation at 10, in ground level at 12.
func pit() *takeoff.Job {
	return &takeoff.Job{Surveys: levelGround(12), Pads: []takeoff.Pad{{Name: "pit", Outline: square(25, 25, 10), Finished: 10}}}
}

// dug is the volume of a square pit with sides a, depth d and batters 1V:nH on
// level ground: its outline, its faces and four quarters of a cone.
func dug(a, n, d float64) float64 {
	return a*a*d + 4*a*n*d*d/2 + math.Pi*n*n*d*d*d/3
}

// notLess holds a volume against the exact one: facets take nothing off, and add at
// most what the result says.
func notLess(t *testing.T, want, got, bound float64, what string) {
	t.Helper()
	assert.GreaterOrEqual(t, got, want*(1-1e-12), what)
	assert.LessOrEqual(t, got, want*(1+1e-12)+bound, what)
}

func TestRunBatters(t *testing.T) {
	job := pit()
	job.Pads[0].Cut.Along = 1
	r := run(t, job)
	p := r.Pads[0]
	assert.Empty(t, r.Warnings)
	assert.InEpsilon(t, 200.0, p.OutlineCut, 1e-12)
	notLess(t, dug(10, 1, 2)-200, p.BatterCut, r.Total.FacetBound, "batters")
	notLess(t, dug(10, 1, 2), p.Cut, r.Total.FacetBound, "as dug")
	assert.Equal(t, p.OutlineCut+p.BatterCut, p.Cut)
	assert.Positive(t, r.Total.FacetBound)
	assert.Less(t, r.Total.FacetBound, 1e-6*p.BatterCut)
	assert.InEpsilon(t, 4*10*2+math.Pi*4, p.BatterArea, 1e-4)
	assert.Equal(t, 100.0, p.FormationArea)
	assert.InDelta(t, 12, p.BatterTop.Level, 1e-9)
	assert.InDelta(t, 2, p.WorksCutDepth, 1e-9)
	assert.Nil(t, p.BatterFoot)
	assert.Equal(t, &takeoff.BatterResult{Along: 1, Degrees: 45}, p.CutBatter)
	assert.Nil(t, p.FillBatter)
	assert.Equal(t, p.BatterCut, r.Total.BatterCut)
	assert.InEpsilon(t, 100+p.BatterArea, r.Total.WorksArea, 1e-12)
}

func TestRunMarginAndBatters(t *testing.T) {
	job := pit()
	job.Pads[0].Margin, job.Pads[0].Cut.Along = 1, 0.5
	r := run(t, job)
	p := r.Pads[0]
	assert.InEpsilon(t, 200.0, p.OutlineCut, 1e-12)
	assert.InEpsilon(t, 88.0, p.MarginCut, 1e-12) // (12^2 - 10^2) x 2
	notLess(t, dug(12, 0.5, 2)-288, p.BatterCut, r.Total.FacetBound, "batters")
	assert.InEpsilon(t, 144.0, p.FormationArea, 1e-12)
	assert.InEpsilon(t, 144.0, p.TrimArea, 1e-12)
	assert.Equal(t, 1.0, p.Margin)
	assert.Equal(t, p.MarginCut, r.Total.MarginCut)
}

func TestRunEmbankment(t *testing.T) {
	job := pit()
	job.Pads[0].Finished, job.Pads[0].Fill.Along, job.Pads[0].Cut.Along = 13.5, 2, 1
	r := run(t, job)
	p := r.Pads[0]
	notLess(t, dug(10, 2, 1.5), p.Fill, r.Total.FacetBound, "fill")
	assert.Zero(t, p.Cut)
	assert.InDelta(t, 12, p.BatterFoot.Level, 1e-9)
	assert.Nil(t, p.BatterTop)
	assert.InDelta(t, 1.5, p.WorksFillDepth, 1e-9)
}

// A berm 1 m wide after 1 m of rise: seen from the outline the face is 1 m out at
// 1 m, 2 m out at 1 m still, and 3 m out at 2 m. As a body of revolution round each
// corner, and as a section along each side.
func TestRunBerms(t *testing.T) {
	job := pit()
	job.Pads[0].Cut = takeoff.Batter{Along: 1, Every: 1, Berm: 1}
	r := run(t, job)
	p := r.Pads[0]
	// depth by distance: 2 - t to 1 m, 1 to 2 m, 3 - t to 3 m
	section := 1.5 + 1 + 0.5
	moment := (1 - 1.0/3) + 1.5 + (3*(9-4)/2.0 - (27-8)/3.0) // of depth x distance
	notLess(t, 200+40*section+2*math.Pi*moment, p.Cut, r.Total.FacetBound, "as dug")
	assert.Equal(t, &takeoff.BatterResult{Along: 1, Every: 1, Berm: 1, Degrees: 45}, p.CutBatter)
}

// One side is upright: it has no face, and the cones beside it go on to its normal.
func TestRunUprightSide(t *testing.T) {
	job := pit()
	job.Pads[0].Corners = []string{"A", "B", "C", "D"}
	job.Pads[0].Cut.Along = 1
	job.Pads[0].Edges = []takeoff.Edge{{From: "B", To: "C", Upright: true}}
	r := run(t, job)
	notLess(t, dug(10, 1, 2)-10*2, r.Pads[0].Cut, r.Total.FacetBound, "a face less")
	assert.Equal(t, []takeoff.EdgeResult{{From: "B", To: "C", Upright: true}}, r.Pads[0].Edges)

	job.Pads[0].Edges = []takeoff.Edge{{From: "B", To: "D", Upright: true}}
	r = run(t, job)
	notLess(t, 200+2*10*2+3*math.Pi*8/12, r.Pads[0].Cut, r.Total.FacetBound, "two faces, with a cone between them and at each end")
}

// A margin of its own for one side moves that side only.
func TestRunMarginOfASide(t *testing.T) {
	job := pit()
	half := 0.5
	job.Pads[0].Edges = []takeoff.Edge{{From: "1", To: "2", Margin: &half}}
	p := run(t, job).Pads[0]
	assert.InEpsilon(t, 105.0, p.FormationArea, 1e-12)
	assert.InEpsilon(t, 10.0, p.MarginCut, 1e-12)
}

// Batters that differ by side give more than the steeper all round, less than the
// flatter; those of cut and of fill do not meddle with each other.
func TestRunMixedBatters(t *testing.T) {
	cut := func(along float64, edges ...takeoff.Edge) float64 {
		job := pit()
		job.Pads[0].Cut.Along, job.Pads[0].Edges = along, edges
		return run(t, job).Pads[0].BatterCut
	}
	mixed := cut(1, takeoff.Edge{From: "1", To: "2", Cut: &takeoff.Batter{Along: 2}})
	assert.Greater(t, mixed, cut(1)+19) // the side alone: 10 x 2 x 2^2 / 2 less 10 x 1 x 2^2 / 2
	assert.Less(t, mixed, cut(2))

	slope := func(cut, fill float64) takeoff.PadResult {
		job := slopeJob()
		job.Pads[0].Cut.Along, job.Pads[0].Fill.Along = cut, fill
		return run(t, job).Pads[0]
	}
	both := slope(1, 2)
	assert.InEpsilon(t, slope(1, 0).BatterCut, both.BatterCut, 1e-6)
	assert.InEpsilon(t, slope(0, 2).BatterFill, both.BatterFill, 1e-6)
	assert.Zero(t, slope(1, 0).BatterFill)
	assert.Greater(t, both.BatterFill, both.BatterCut)
}

// On a grid with a scale, coordinates are the grid's; margins and batters are
// lengths on the ground.
func TestRunWorksOnAScaledGrid(t *testing.T) {
	job := pit()
	job.Scale = 0.96
	job.Pads[0].Margin, job.Pads[0].Cut.Along = 0.5, 1.5
	r := run(t, job)
	notLess(t, dug(10/0.96+1, 1.5, 2), r.Pads[0].Cut, r.Total.FacetBound, "as dug")
	assert.Equal(t, 0.5, r.Pads[0].Margin)
}

// In feet the same numbers give cubic feet, shown in cubic yards.
func TestRunWorksInFeet(t *testing.T) {
	job := pit()
	job.Units = tin.Foot
	job.Pads[0].Margin, job.Pads[0].Cut = 0.5, takeoff.Batter{Along: 1.5}
	job.Ground.Topsoil.Depth = 0.5
	r := run(t, job)
	p := r.Pads[0]
	notLess(t, dug(11, 1.5, 1.5)/27, p.Cut, r.Total.FacetBound, "as dug")
	assert.InDelta(t, 11.5, p.BatterTop.Level, 1e-9)
	assert.InDelta(t, 1.5, p.WorksCutDepth, 1e-9)
	assert.Equal(t, &takeoff.StripRule{Depth: 0.5}, r.StripRule)
}

// West of E 30, the middle of the pit, there is more topsoil.
func TestRunTopsoilByArea(t *testing.T) {
	west := func(depth float64) takeoff.TopsoilArea {
		return takeoff.TopsoilArea{Name: "west", Depth: depth, Area: orb.MultiPolygon{{{{0, 0}, {30, 0}, {30, 60}, {0, 60}}}}}
	}
	for _, tt := range []struct {
		name       string
		topsoil    takeoff.Topsoil
		west, east float64 // depth dug
	}{
		{"everywhere", takeoff.Topsoil{Depth: 0.2}, 1.8, 1.8},
		{"one area deeper", takeoff.Topsoil{Depth: 0.2, Areas: []takeoff.TopsoilArea{west(0.5)}}, 1.5, 1.8},
		{"the last counts", takeoff.Topsoil{Depth: 0.2, Areas: []takeoff.TopsoilArea{west(0.7), west(0.5)}}, 1.5, 1.8},
		{"an area without any", takeoff.Topsoil{Depth: 0.2, Areas: []takeoff.TopsoilArea{west(0)}}, 2, 1.8},
		{"in one area only", takeoff.Topsoil{Areas: []takeoff.TopsoilArea{west(0.5)}}, 1.5, 2},
		{"within", takeoff.Topsoil{Depth: 0.5, Within: west(0).Area}, 1.5, 2},
	} {
		t.Run(tt.name, func(t *testing.T) {
			job := pit()
			job.Ground.Topsoil = tt.topsoil
			job.Pads[0].Cut.Along = 1
			r := run(t, job)
			assert.InEpsilon(t, 50*(tt.west+tt.east), r.Pads[0].OutlineCut, 1e-12)
			notLess(t, (dug(10, 1, tt.west)+dug(10, 1, tt.east))/2, r.Pads[0].Cut, r.Total.FacetBound, "two halves of pits")
			require.NotNil(t, r.StripRule)
			assert.Len(t, r.StripRule.Areas, len(tt.topsoil.Areas))
			assert.NotContains(t, omitted(r), "topsoil")
		})
	}
}

func omitted(r *takeoff.Result) (list []string) {
	for _, o := range r.NotMeasured {
		list = append(list, o.Code)
	}
	return list
}

// A survey taken after the strip, at the levels that it left, gives the same cut as
// the strip that was assumed.
func TestRunStrippedSurvey(t *testing.T) {
	assumed := pit()
	assumed.Ground.Topsoil.Depth = 0.25
	assumed.Pads[0].Cut.Along = 1
	taken := pit()
	taken.Surveys = levelGround(11.75)
	taken.Surveys[0].Stripped = true
	taken.Ground.Topsoil.Depth = 0.25
	taken.Pads[0].Cut.Along = 1
	a, b := run(t, assumed), run(t, taken)
	assert.InEpsilon(t, a.Pads[0].Cut, b.Pads[0].Cut, 1e-12)
	assert.InEpsilon(t, a.Pads[0].BatterCut, b.Pads[0].BatterCut, 1e-12)
	assert.Nil(t, b.StripRule)
	assert.Contains(t, omitted(b), "topsoil")
	assert.Equal(t, []string{takeoff.NoteSurveyStrip}, codes(b.Notes))
}

// Where the strip goes below the formation, it is filled up again.
func TestRunMakeup(t *testing.T) {
	job := pit()
	job.Pads[0].Finished, job.Pads[0].Fill.Along = 11.9, 2
	job.Ground.Topsoil.Depth = 0.2
	r := run(t, job)
	p := r.Pads[0]
	notLess(t, dug(10, 2, 0.1), p.Fill, r.Total.FacetBound, "fill")
	assert.InEpsilon(t, p.Fill, p.MakeupFill, 1e-9)
	assert.InEpsilon(t, 100+p.BatterArea, p.MakeupArea, 1e-9)
	assert.Equal(t, p.MakeupFill, r.Total.MakeupFill)
	assert.Equal(t, p.MakeupArea, r.Total.MakeupArea)

	// Over the ground before the strip it is fill as ever, but for the foot of the
	// batter: from 0.6 m out, where it goes below 12, to 1 m, where it ends.
	job.Pads[0].Finished = 12.3
	r = run(t, job)
	moment := (1.0/4 - 1.0/6) - (0.36/4 - 0.216/6) // of 0.5 - t/2, times the distance t
	assert.InEpsilon(t, 40*0.04+2*math.Pi*moment, r.Pads[0].MakeupFill, 1e-5)
}

// The ground ends 1 m beyond a pit 2 m deep: its face and cones are cut off there.
func TestRunOpenBatters(t *testing.T) {
	job := pit()
	job.Pads[0].Outline, job.Pads[0].Cut.Along = square(49, 25, 10), 1
	r := run(t, job)
	require.Equal(t, []string{"open_batter"}, codes(r.Warnings))
	assert.InDelta(t, 10+2*math.Sqrt(3), r.Pads[0].OpenLength, 1e-3)
	assert.Equal(t, r.Pads[0].OpenLength, r.Total.OpenLength)
	assert.Less(t, r.Pads[0].Cut, dug(10, 1, 2)-5) // of the face alone 10 x 1 x 1 / 2 is missing
	assert.InEpsilon(t, 200.0, r.Pads[0].OutlineCut, 1e-12)
	assert.Zero(t, r.Pads[0].UncoveredArea)
}

// Berms without number are refused, with the key that is to be mended.
func TestRunRefusesBermsWithoutNumber(t *testing.T) {
	for _, lines := range [][]string{
		{"finished = -1000000", `batter = { cut = "1V:1H" }`, `berm = { every = 0.1, width = 1 }`},
		{"finished = 1000000", `batter = { fill = "1V:1H" }`, `berm = { every = 5, width = 1 }`},
	} {
		job, err := load(t, site(pad(append([]string{`outline = "square.csv"`}, lines...)...)))
		require.NoError(t, err)
		_, err = takeoff.Run(t.Context(), job, takeoff.Options{})
		e := inputError(t, err)
		assert.Equal(t, "too_many_berms", e.Code)
		assert.Equal(t, "pad[0].berm.every", e.Key)
		assert.Equal(t, 9, e.Line)
	}
}
