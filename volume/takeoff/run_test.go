package takeoff_test

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"testing/fstest"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/volume/takeoff"
)

// slope is ground that rises 1 in 10 to the east, from 10 at E 0 to 14 at E 40.
func slope() []tin.Point {
	return []tin.Point{
		{E: 0, N: 0, Level: 10, Name: "P1"}, {E: 40, N: 0, Level: 14, Name: "P2"},
		{E: 40, N: 40, Level: 14, Name: "P3"}, {E: 0, N: 40, Level: 10, Name: "P4"},
		{E: 20, N: 21, Level: 12, Name: "P5"},
	}
}

func square(e, n, side float64) orb.Polygon {
	return orb.Polygon{{{e, n}, {e + side, n}, {e + side, n + side}, {e, n + side}}}
}

func slopeJob() *takeoff.Job {
	return &takeoff.Job{
		Name:    "slope",
		Surveys: []takeoff.Survey{{Name: "ground.csv", Points: slope()}},
		Pads:    []takeoff.Pad{{Name: "a", Outline: square(10, 10, 20), Finished: 12}},
	}
}

func run(t *testing.T, job *takeoff.Job) *takeoff.Result {
	t.Helper()
	r, err := takeoff.Run(t.Context(), job, takeoff.Options{})
	require.NoError(t, err)
	return r
}

func codes(remarks []takeoff.Remark) (list []string) {
	for _, r := range remarks {
		list = append(list, r.Code)
	}
	return list
}

// The ground cuts the pad's level in its middle: a wedge 10 m long, 20 m wide
// and 1 m high on each side holds 100 m3.
func TestRunSlope(t *testing.T) {
	r := run(t, slopeJob())
	p := r.Pads[0]
	assert.InDelta(t, 100, p.Cut, 1e-9)
	assert.InDelta(t, 100, p.Fill, 1e-9)
	assert.InDelta(t, 0, p.CutLessFill, 1e-9)
	assert.Equal(t, p.Cut, p.OutlineCut)
	assert.Equal(t, p.Fill, p.OutlineFill)
	assert.InDelta(t, 200, p.CutArea, 1e-9)
	assert.InDelta(t, 200, p.FillArea, 1e-9)
	assert.InDelta(t, 1, p.MaxCutDepth, 1e-12)
	assert.InDelta(t, 1, p.MaxFillDepth, 1e-12)
	assert.InDelta(t, 30, p.MaxCutAt[0], 1e-12)
	assert.InDelta(t, 10, p.MaxFillAt[0], 1e-12)
	assert.Equal(t, 400.0, p.OutlineArea)
	assert.InDelta(t, 400, p.TrimArea, 1e-9)
	assert.Equal(t, 80.0, p.Perimeter)
	assert.Zero(t, p.UncoveredArea)
	assert.Empty(t, r.Warnings)
	assert.Equal(t, takeoff.GroundResult{Points: 5, Triangles: 4, Area: 1600, LevelMin: 10, LevelMax: 14,
		EdgeMedian: r.Ground.EdgeMedian}, r.Ground)
	assert.Equal(t, takeoff.Units{Length: "m", Area: "m2", Volume: "m3"}, r.Units)
	assert.Equal(t, r.Total.Cut, p.Cut)
	assert.InDelta(t, 400, r.Total.WorksArea, 1e-9)
	require.NotEmpty(t, p.ZeroLines)
	for _, line := range p.ZeroLines {
		for _, q := range line {
			assert.InDelta(t, 20, q[0], 1e-9)
		}
	}
}

// In feet: a dig 10 ft deep over 27 ft by 10 ft is 100 cubic yards. The grid
// coordinates of some 600 km leave eleven digits of a side.
func TestRunInFeet(t *testing.T) {
	for _, unit := range []tin.Unit{tin.Foot, tin.SurveyFoot} {
		job := &takeoff.Job{
			Units: unit,
			Surveys: []takeoff.Survey{{Points: []tin.Point{
				{E: 2e6, N: 5e5, Level: 110}, {E: 2e6 + 100, N: 5e5, Level: 110},
				{E: 2e6 + 100, N: 5e5 + 100, Level: 110}, {E: 2e6, N: 5e5 + 100, Level: 110},
			}, Benchmark: &takeoff.Mark{Name: "BM", Plan: 10, Measured: 10}}},
			Pads: []takeoff.Pad{{
				Name: "a", Outline: orb.Polygon{{{2e6 + 10, 5e5 + 10}, {2e6 + 37, 5e5 + 10}, {2e6 + 37, 5e5 + 20}, {2e6 + 10, 5e5 + 20}}},
				Finished: 100.5, Layers: []takeoff.Layer{{Name: "slab", Thickness: 0.5}},
			}},
		}
		r := run(t, job)
		p := r.Pads[0]
		assert.Equal(t, "yd3", r.Units.Volume)
		assert.Equal(t, unit.String(), r.Units.Length)
		assert.InEpsilon(t, 100, p.Cut, 1e-11)
		assert.InEpsilon(t, 270, p.OutlineArea, 1e-11)
		assert.InEpsilon(t, 10, p.MaxCutDepth, 1e-11)
		assert.InEpsilon(t, 27, p.Sides[0].Length, 1e-11)
		assert.InEpsilon(t, 10000, r.Ground.Area, 1e-11)
		assert.Equal(t, 100.0, *p.FormationLevel)
		assert.Equal(t, 90.0, p.AboveMarks[0].Above)
		assert.InEpsilon(t, 2e6+10, p.Corners[0].At[0], 1e-15)
		assert.Equal(t, 100.0, p.Corners[2].Formation)
		assert.Equal(t, 100.5, p.High.Finished)
	}
}

// On a grid drawn out by 1.01, a 10 m square on the ground is 10.1 m wide. Its
// figures are those of the ground: 100 m2, and 1:100 falls 0.10 m along it.
func TestRunWithScale(t *testing.T) {
	job := slopeJob()
	job.Scale = 1.01
	job.Surveys[0].Points = nil
	for _, p := range [][2]float64{{0, 0}, {101, 0}, {101, 101}, {0, 101}} {
		job.Surveys[0].Points = append(job.Surveys[0].Points, tin.Point{E: p[0], N: p[1], Level: 10})
	}
	job.Pads[0].Outline = square(20, 20, 10.1)
	job.Pads[0].Finished = 9
	job.Pads[0].Fall = &takeoff.Fall{Slope: 0.01, Bearing: 90, At: orb.Point{20, 20}}
	r := run(t, job)
	p := r.Pads[0]
	assert.InEpsilon(t, 100, p.OutlineArea, 1e-12)
	assert.InEpsilon(t, 105, p.Cut, 1e-12) // 1.00 to 1.10 m deep
	assert.InEpsilon(t, 1.1, p.MaxCutDepth, 1e-12)
	assert.InEpsilon(t, 10, p.Sides[0].Length, 1e-12)
	assert.InEpsilon(t, 1e4, r.Ground.Area, 1e-12)
	assert.InEpsilon(t, 8.9, p.Low.Formation, 1e-12)
	assert.Equal(t, 0.01, p.Fall.Slope)
	assert.Contains(t, codes(r.Notes), takeoff.NoteScale)
}

func TestRunFallingPadAndBenchmark(t *testing.T) {
	job := slopeJob()
	// All levels 2.5 m down: the benchmark puts them back.
	for i := range job.Surveys[0].Points {
		job.Surveys[0].Points[i].Level -= 2.5
	}
	job.Surveys[0].Benchmark = &takeoff.Mark{Name: "BM1", Plan: 11.5, Measured: 9}
	job.Surveys[0].Checks = []takeoff.Mark{{"BM2", 12, 9.5}, {"BM3", 12, 9.52}}
	job.Pads[0].Layers = []takeoff.Layer{{Name: "slab", Thickness: 0.175}, {Name: "sand", Thickness: 0.05}}
	job.Pads[0].Finished = 12.225
	job.Pads[0].Corners = []string{"A", "B", "C", "D"}
	job.Pads[0].Fall = &takeoff.Fall{Slope: 0.1, Bearing: 270, At: orb.Point{20, 5}}
	r := run(t, job)
	p := r.Pads[0]
	// The pad follows the ground, and nothing is dug.
	assert.InDelta(t, 0, p.Cut, 1e-9)
	assert.InDelta(t, 0, p.Fill, 1e-9)
	assert.Equal(t, 12.0, *p.FormationLevel)
	assert.Equal(t, []takeoff.Above{{"BM1", 11.5, 0.5}}, p.AboveMarks)
	assert.InDelta(t, 13, p.High.Formation, 1e-12)
	assert.InDelta(t, 11, p.Low.Formation, 1e-12)
	assert.Contains(t, []string{"B", "C"}, p.High.Name)
	require.Len(t, p.Corners, 4)
	assert.InDelta(t, 0.5, p.Corners[0].Formation-10.5, 1e-12)
	require.Len(t, p.Layers, 2)
	assert.Equal(t, 12.05, *p.Layers[0].Underside)
	assert.Equal(t, 12.0, *p.Layers[1].Underside)

	s := r.Surveys[0]
	assert.Equal(t, 2.5, s.Shift)
	assert.Equal(t, 0.0, s.Checks[0].Off)
	assert.Equal(t, 0.02, s.Checks[1].Off)
	assert.Equal(t, []string{"check_mark_off"}, codes(r.Warnings))
	assert.Contains(t, r.Warnings[0].Message, "BM3")
	job.Surveys[0].CheckTolerance = 0.03
	assert.Empty(t, run(t, job).Warnings)
}

func TestRunPadWithLevels(t *testing.T) {
	job := slopeJob()
	job.Pads[0].Finished = 0
	job.Pads[0].Layers = []takeoff.Layer{{Name: "slab", Thickness: 0.5}}
	job.Pads[0].Levels = &takeoff.Levels{Outline: [][]float64{{10.5, 12.5, 12.5, 10.5}}} // formation 10 to 12
	r := run(t, job)
	p := r.Pads[0]
	assert.InEpsilon(t, 400, p.Cut, 1e-12) // 1 m all over
	assert.Nil(t, p.FormationLevel)
	assert.Nil(t, p.FinishedLevel)
	assert.True(t, p.OwnLevels)
	assert.Equal(t, 12.0, p.High.Formation)
}

func TestRunCodes(t *testing.T) {
	points := slope()
	add := func(e, n, z float64, name, code string) {
		points = append(points, tin.Point{E: e, N: n, Level: z, Name: name, Code: code, Line: int32(len(points) + 2)})
	}
	add(12, 12, 99, "T1", "TREE")
	add(13, 12, 98, "T2", "tree")
	add(5, 5, 10.5, "K1", "TB")
	add(5, 15, 10.5, "K2", "TB")
	add(5, 25, 10.5, "K3", "TB")
	add(20, 5, 12, "S1", "BB") // alone: a spot
	add(6, 35, 10.6, "K4", "tb")
	add(7, 35, 10.7, "K5", "TB")
	add(30, 30, math.NaN(), "X", "")
	job := slopeJob()
	job.Surveys[0].Points = points
	job.Surveys[0].IgnoreCodes = []string{"TREE", "BM"}
	job.Surveys[0].LineCodes = []string{"TB", "BB"}
	r := run(t, job)
	assert.InDelta(t, 100, r.Pads[0].Cut, 1e-9)
	s := r.Surveys[0]
	assert.Equal(t, 14, s.Points)
	assert.Equal(t, 2, s.LeftOut)
	assert.Equal(t, 1, s.NoLevel)
	assert.Equal(t, 11, s.Used)
	assert.Equal(t, 2, s.Breaklines)
	assert.Equal(t, []takeoff.CodeCount{{"", 6, "spot"}, {"BB", 1, "line"}, {"TB", 4, "line"}, {"TREE", 1, "left out"},
		{"tb", 1, "line"}, {"tree", 1, "left out"}}, s.Codes)
	assert.Equal(t, 11, r.Ground.Points)
	assert.Equal(t, 3, r.Ground.LeftOut)
	assert.ElementsMatch(t, []string{takeoff.NoteNoLevel, takeoff.NoteCodeUnmet, takeoff.NoteCodeLines}, codes(r.Notes))
	i := slices.IndexFunc(r.Notes, func(n takeoff.Remark) bool { return n.Code == takeoff.NoteCodeLines })
	assert.Contains(t, r.Notes[i].Message, "2 breaklines formed from 5 points")
	assert.Contains(t, r.Notes[i].Message, "10.00 m, is from point K1 in line 9 to point K2 in line 10")
	assert.Equal(t, slope()[0].Level, job.Surveys[0].Points[0].Level, "the job is as it was")
}

func TestRunWarnings(t *testing.T) {
	t.Run("uncovered", func(t *testing.T) {
		job := slopeJob()
		job.Pads[0].Outline = square(30, 10, 20) // half beyond the ground
		r := run(t, job)
		assert.Equal(t, []string{takeoff.WarnUncovered}, codes(r.Warnings))
		assert.InDelta(t, 200, r.Pads[0].UncoveredArea, 1e-9)
		assert.InDelta(t, 200, r.Total.UncoveredArea, 1e-9)
		assert.InDelta(t, 300, r.Pads[0].Cut, 1e-9) // 1 to 2 m over 10 m by 20 m
		assert.Contains(t, r.Warnings[0].Message, "200.0 m2 of its 400.0 m2")
		assert.NotNil(t, r.Warnings[0].At)
	})
	t.Run("void", func(t *testing.T) {
		job := slopeJob()
		job.Ground.Voids = orb.MultiPolygon{square(12, 12, 2)}
		r := run(t, job)
		assert.Equal(t, []string{takeoff.WarnUncovered}, codes(r.Warnings))
		assert.InDelta(t, 4, r.Total.UncoveredArea, 1e-9)
	})
	t.Run("off the ground", func(t *testing.T) {
		job := slopeJob()
		job.Pads[0].Outline = square(100, 100, 20)
		_, err := takeoff.Run(t.Context(), job, takeoff.Options{})
		e := inputError(t, err)
		assert.Equal(t, "outline_off_ground", e.Code)
		assert.Contains(t, e.Message, "E 100 to 120, N 100 to 120")
	})
	t.Run("swapped", func(t *testing.T) {
		job := slopeJob()
		for i := range job.Surveys[0].Points {
			p := &job.Surveys[0].Points[i]
			p.E, p.N = p.N+5000, p.E+100
		}
		job.Pads[0].Outline = square(110, 5010, 20)
		_, err := takeoff.Run(t.Context(), job, takeoff.Options{})
		e := inputError(t, err)
		assert.Equal(t, "swapped_columns", e.Code)
		assert.Equal(t, "ground.csv", e.File)
		assert.NotContains(t, e.Message, "ground.csv")
	})
	t.Run("two datums", func(t *testing.T) {
		job := slopeJob()
		job.Pads[0].Finished = 62
		r := run(t, job)
		assert.Equal(t, []string{takeoff.WarnFarLevels}, codes(r.Warnings))
		assert.Contains(t, r.Warnings[0].Message, "49.0 m below")
		job.Pads = append(job.Pads, takeoff.Pad{Name: "b", Outline: square(1, 1, 2), Finished: 12})
		assert.Empty(t, run(t, job).Warnings)
	})
	t.Run("thin ground", func(t *testing.T) {
		job := slopeJob()
		r := rand.New(rand.NewPCG(1, 2))
		for range 300 { // a dense patch in the corner
			e := 5 * r.Float64()
			job.Surveys[0].Points = append(job.Surveys[0].Points, tin.Point{E: e, N: 5 * r.Float64(), Level: 10 + e/10})
		}
		res := run(t, job)
		assert.Equal(t, []string{takeoff.WarnThinGround}, codes(res.Warnings))
		assert.InDelta(t, 400, res.Total.ThinArea, 1e-9)
		job.Ground.MaxEdge = 100
		res = run(t, job)
		assert.Empty(t, res.Warnings)
		assert.InDelta(t, 400, res.Total.ThinArea, 1e-9)
	})
}

func TestRunGap(t *testing.T) {
	r := run(t, slopeJob())
	// By hand: on the side N 10 the place (29.475, 10) is as far from P2 at
	// (40, 0) as from P5 at (20, 21), 14.518 m; every other place is nearer.
	assert.InDelta(t, 14.518, r.Total.MaxGap, 0.0005)
}

// Results are the same bits whatever the order of the points, and whatever the
// start and direction of an outline.
func TestRunRepeatsToTheBit(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	job := slopeJob()
	for range 200 {
		job.Surveys[0].Points = append(job.Surveys[0].Points, tin.Point{E: 40 * r.Float64(), N: 40 * r.Float64(), Level: 10 + 4*r.Float64()})
	}
	job.Pads = append(job.Pads, takeoff.Pad{Name: "b", Outline: square(25, 25, 10.1), Finished: 12.3,
		Fall: &takeoff.Fall{Slope: 0.02, Bearing: 33, At: orb.Point{25, 25}}})
	want := run(t, job)
	for range 10 {
		r.Shuffle(len(job.Surveys[0].Points), func(i, j int) {
			p := job.Surveys[0].Points
			p[i], p[j] = p[j], p[i]
		})
		for i := range job.Pads {
			ring := job.Pads[i].Outline[0]
			k := r.IntN(len(ring))
			ring = append(slices.Clone(ring[k:]), ring[:k]...)
			if r.IntN(2) == 0 {
				slices.Reverse(ring)
			}
			job.Pads[i].Outline = orb.Polygon{ring}
		}
		got := run(t, job)
		for i := range want.Pads {
			w, g := want.Pads[i], got.Pads[i]
			w.Corners, w.Sides, w.Diagonals, w.High, w.Low = nil, nil, nil, takeoff.Corner{}, takeoff.Corner{}
			g.Corners, g.Sides, g.Diagonals, g.High, g.Low = nil, nil, nil, takeoff.Corner{}, takeoff.Corner{}
			assert.Equal(t, w, g)
		}
		assert.Equal(t, want.Total, got.Total)
		assert.Equal(t, want.Ground, got.Ground)
	}
}

func TestRunOverlappingPads(t *testing.T) {
	job := slopeJob()
	job.Pads[0].Finished = 11
	job.Pads = append(job.Pads, takeoff.Pad{Name: "b", Outline: square(20, 10, 10), Finished: 10})
	r := run(t, job)
	// b takes 100 m2 out of a.
	assert.InDelta(t, 300, r.Pads[0].TrimArea, 1e-9)
	assert.InDelta(t, 400, r.Pads[0].OutlineArea, 1e-9)
	assert.InDelta(t, 400, r.Total.WorksArea, 1e-9)
	assert.InDelta(t, 400*1-100*1.5, r.Pads[0].Cut, 1e-9)
	assert.InDelta(t, 100*2.5, r.Pads[1].Cut, 1e-9)
	assert.InDelta(t, r.Pads[0].Cut+r.Pads[1].Cut, r.Total.Cut, 1e-9)
	assert.Equal(t, []string{"pads_overlap", "pads_step"}, codes(r.Notes))
}

func TestRunRefusesEmptyJobs(t *testing.T) {
	for _, tt := range []struct {
		name string
		edit func(*takeoff.Job)
		code string
	}{
		{"no survey", func(j *takeoff.Job) { j.Surveys = nil }, "no_survey"},
		{"no pad", func(j *takeoff.Job) { j.Pads = nil }, "no_pad"},
		{"scale", func(j *takeoff.Job) { j.Scale = math.NaN() }, "bad_value"},
		{"unit", func(j *takeoff.Job) { j.Units = tin.Unit(-1) }, "bad_value"},
		{"max edge", func(j *takeoff.Job) { j.Ground.MaxEdge = -1 }, "bad_value"},
		{"benchmark", func(j *takeoff.Job) { j.Surveys[0].Benchmark = &takeoff.Mark{Plan: math.NaN()} }, "bad_value"},
		{"two points", func(j *takeoff.Job) { j.Surveys[0].Points = slope()[:2] }, ""},
		{"points in a line", func(j *takeoff.Job) {
			for i := range j.Surveys[0].Points {
				j.Surveys[0].Points[i].N = 0
			}
		}, ""},
		{"two pads of one name", func(j *takeoff.Job) { j.Pads = append(j.Pads, j.Pads[0]) }, "duplicate_pad_name"},
		{"layer", func(j *takeoff.Job) { j.Pads[0].Layers = []takeoff.Layer{{Name: "x", Thickness: -1}} }, "bad_thickness"},
		{"level", func(j *takeoff.Job) { j.Pads[0].Finished = math.Inf(1) }, "bad_level"},
		{"outline", func(j *takeoff.Job) { j.Pads[0].Outline = nil }, ""},
	} {
		t.Run(tt.name, func(t *testing.T) {
			job := slopeJob()
			tt.edit(job)
			_, err := takeoff.Run(t.Context(), job, takeoff.Options{})
			e := inputError(t, err)
			assert.NotEmpty(t, e.Code)
			if tt.code != "" {
				assert.Equal(t, tt.code, e.Code)
			}
		})
	}
}

// What is found out while measuring points into the job file too.
func TestRunErrorsPointIntoTheJobFile(t *testing.T) {
	job, err := load(t, site(pad(`outline = "square.csv"`, "levels = [1, 2, 3, 4]", "spots = [[100, 100, 3]]")))
	require.NoError(t, err)
	_, err = takeoff.Run(t.Context(), job, takeoff.Options{})
	e := inputError(t, err)
	assert.Equal(t, "job.toml", e.File)
	assert.Equal(t, 8, e.Line)
}

func TestRunTellsItsProgress(t *testing.T) {
	var stages []string
	_, err := takeoff.Run(t.Context(), slopeJob(), takeoff.Options{Progress: func(stage string, done, total int) {
		assert.LessOrEqual(t, done, total)
		if !slices.Contains(stages, stage) {
			stages = append(stages, stage)
		}
	}})
	require.NoError(t, err)
	assert.Equal(t, []string{"building the ground", "laying out pads", "finding daylight", "measuring", "checking", "how sure"}, stages)
}

func TestRunEndsWithItsContext(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	_, err := takeoff.Run(ctx, slopeJob(), takeoff.Options{})
	assert.ErrorIs(t, err, context.Canceled)
}

// A mark that is off is told of in the job's unit.
func TestRunCheckMarkInFeet(t *testing.T) {
	job := slopeJob()
	job.Units = tin.Foot
	job.Surveys[0].Checks = []takeoff.Mark{{"BM2", 12, 12.03}, {"", 12, 11.9}}
	r := run(t, job)
	require.Equal(t, []string{"check_mark_off"}, codes(r.Warnings)) // 10 mm is 0.033 ft
	assert.Contains(t, r.Warnings[0].Message, "check mark 2 comes out 0.1 ft LOW: at 11.900, and at 12.000 in the plans (tolerance 0.0328)")
}

// So is all that formation says, and areas are on the ground.
func TestRunSpeaksFeet(t *testing.T) {
	job := slopeJob()
	job.Units, job.Scale = tin.Foot, 0.9
	job.Pads = append(job.Pads, takeoff.Pad{Name: "b", Outline: square(20, 10, 9), Finished: 11})
	r := run(t, job)
	require.Equal(t, []string{"pads_overlap", "pads_step", "scale"}, codes(r.Notes))
	assert.Contains(t, r.Notes[0].Message, "overlap by 100.00 ft2;")

	job.Pads[1] = takeoff.Pad{Name: "b", Outline: square(20, 10, 9), Levels: &takeoff.Levels{
		Outline: [][]float64{{11, 11, 11, 11}}, Spots: []tin.Point{{E: 35, N: 12.5, Level: 11}}}}
	_, err := takeoff.Run(t.Context(), job, takeoff.Options{})
	assert.Contains(t, inputError(t, err).Message, "at (35.000, 12.500) is outside")
}

// A spot without a level is told of once.
func TestRunNotesPointsWithoutALevelOnce(t *testing.T) {
	files := site(pad(`outline = "square.csv"`, "finished = 11"))
	files["spots.csv"] = &fstest.MapFile{Data: []byte(spots + "X,5,5,,\n")}
	job, err := load(t, files)
	require.NoError(t, err)
	r := run(t, job)
	assert.Equal(t, []string{takeoff.NoteNoLevel}, codes(r.Notes))
	assert.Equal(t, "spots.csv: 1 spot without a level left out, the first point X in line 11", r.Notes[0].Message)
}
