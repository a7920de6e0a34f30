package takeoff_test

import (
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

// corners are the corners of a square at one level.
func corners(e, n, side, level float64) []tin.Point {
	return []tin.Point{{E: e, N: n, Level: level}, {E: e + side, N: n, Level: level},
		{E: e + side, N: n + side, Level: level}, {E: e, N: n + side, Level: level}}
}

// lowered is level ground at 10, 40 m square with spots all over, under a pad at
// 8, and a later survey of the square from 10 to 30 by its points.
func lowered(later ...tin.Point) *takeoff.Job {
	before := corners(0, 0, 40, 10)
	before = append(before, corners(10, 10, 20, 10)...)
	before = append(before, corners(13, 14, 11, 10)...)
	return &takeoff.Job{
		Surveys: []takeoff.Survey{{Name: "before.csv", Points: before},
			{Name: "after.csv", Points: later, ReplacesWithin: orb.MultiPolygon{square(10, 10, 20)}}},
		Pads: []takeoff.Pad{{Name: "a", Outline: square(0, 0, 40), Finished: 8}},
	}
}

// Where the later survey ends at an inner square, 1 m lower, what is gone is a
// frustum between it and the spots on the rim, which stay.
func TestReplaceByALowerPlane(t *testing.T) {
	for _, inner := range []float64{19, 18, 10} {
		at := 20 - inner/2
		r := run(t, lowered(corners(at, at, inner, 9)...))
		gone := (400 + inner*inner + 20*inner) / 3
		assert.InEpsilon(t, 3200-gone, r.Total.Cut, 1e-12)
		before, after := r.Surveys[0], r.Surveys[1]
		assert.Equal(t, []int{12, 8, 4}, []int{before.Points, before.Used, before.Replaced})
		assert.Equal(t, []int{4, 4, 0}, []int{after.Points, after.Used, after.Replaced})
		assert.Equal(t, 4, r.Ground.LeftOut)
		require.NotNil(t, after.Replaces)
		assert.InDelta(t, 400, after.Replaces.Area, 1e-9)
		assert.Equal(t, 4, after.Replaces.Points)
		assert.Contains(t, codes(r.Notes), takeoff.NoteReplaces)
		// The survey does not reach the rim: it is compared along its own border.
		require.NotNil(t, after.Replaces.Step)
		assert.InDelta(t, 4*inner, after.Replaces.Step.Length, 1e-9)
		assert.InDelta(t, -1, after.Replaces.Step.Mean, 1e-12)
		assert.Equal(t, []string{takeoff.WarnSurveyStep}, codes(r.Warnings))
	}
}

// Where the later survey's points lie on the rim, the ground falls from the
// earlier spots outside to them.
func TestReplaceUpToTheRim(t *testing.T) {
	job := lowered(corners(10, 10, 20, 9)...)
	job.Surveys[0].Points = slices.Delete(job.Surveys[0].Points, 4, 8) // none on the rim
	r := run(t, job)
	assert.InEpsilon(t, 3200-(1600+400+800)/3.0, r.Total.Cut, 1e-12)
	assert.InDelta(t, 80, r.Surveys[1].Replaces.Step.Length, 1e-9, "the rim and the border are one, and count once")

	// Spots of both at one place follow the rule for duplicates.
	job = lowered(corners(10, 10, 20, 9)...)
	_, err := takeoff.Run(t.Context(), job, takeoff.Options{})
	assert.Equal(t, "duplicate_spots", inputError(t, err).Code)
	job.Ground.Duplicates = tin.DuplicatesLast
	assert.InEpsilon(t, 3200-(1600+400+800)/3.0, run(t, job).Total.Cut, 1e-12)
}

// A survey of the same ground leaves no step, unless its datum slipped.
func TestReplaceFindsASlipOfTheDatum(t *testing.T) {
	over := func(off float64) *takeoff.Job {
		job := lowered()
		// Rising 1 in 10 to the east, in both.
		for i := range job.Surveys[0].Points {
			job.Surveys[0].Points[i].Level += job.Surveys[0].Points[i].E / 10
		}
		for _, p := range append(corners(8, 8, 24, 10), corners(11, 11, 18, 10)...) {
			p.Level += p.E/10 + off
			job.Surveys[1].Points = append(job.Surveys[1].Points, p)
		}
		return job
	}
	for _, tt := range []struct {
		name           string
		off, tolerance float64
		mark           *takeoff.Mark
		mean           float64
		warned         bool
	}{
		{"none", 0, 0, nil, 0, false},
		{"within the tolerance", 0.05, 0, nil, 0.05, false},
		{"over it", 0.051, 0, nil, 0.051, true},
		{"below", -0.3, 0, nil, -0.3, true},
		{"over one that was given", 0.02, 0.01, nil, 0.02, true},
		{"within one that was given", 0.3, 0.5, nil, 0.3, false},
		{"put right by the survey's own benchmark", -50, 0, &takeoff.Mark{Plan: 60, Measured: 10}, 0, false},
	} {
		t.Run(tt.name, func(t *testing.T) {
			job := over(tt.off)
			job.Surveys[1].StepTolerance, job.Surveys[1].Benchmark = tt.tolerance, tt.mark
			r := run(t, job)
			step := r.Surveys[1].Replaces.Step
			require.NotNil(t, step)
			assert.InDelta(t, 80, step.Length, 1e-9, "its points reach over the rim, so it is compared along that")
			assert.InDelta(t, tt.mean, step.Mean, 1e-12)
			assert.InDelta(t, tt.mean, step.Greatest, 1e-12)
			assert.True(t, step.At[0] >= 10 && step.At[0] <= 30 && step.At[1] >= 10 && step.At[1] <= 30, "%v lies on the rim", step.At)
			assert.Equal(t, tt.warned, slices.Contains(codes(r.Warnings), takeoff.WarnSurveyStep))
			assert.Equal(t, 4, r.Surveys[0].Replaced)
		})
	}
}

// The step is linear along the rim: from 0 in the west to 0.4 in the east.
func TestReplaceStepVaries(t *testing.T) {
	var later []tin.Point
	for _, p := range corners(10, 10, 20, 10) {
		p.Level += (p.E - 10) / 50
		later = append(later, p)
	}
	job := lowered(later...)
	job.Surveys[0].Points = slices.Delete(job.Surveys[0].Points, 4, 8)
	step := run(t, job).Surveys[1].Replaces.Step
	assert.InDelta(t, 0.2, step.Mean, 1e-12)
	assert.InDelta(t, 0.4, step.Greatest, 1e-12)
	assert.InDelta(t, 30, step.At[0], 1e-9)
}

// In feet all is the same in feet.
func TestReplaceInFeet(t *testing.T) {
	job := lowered(corners(11, 11, 18, 9)...)
	job.Units = tin.SurveyFoot
	r := run(t, job)
	assert.InEpsilon(t, (3200-(400+324+360)/3.0)/27, r.Total.Cut, 1e-11)
	p := r.Surveys[1].Replaces
	assert.InEpsilon(t, 400, p.Area, 1e-11)
	assert.InEpsilon(t, 72, p.Step.Length, 1e-11)
	assert.InEpsilon(t, -1, p.Step.Greatest, 1e-11)
	assert.InEpsilon(t, 0.05/tin.SurveyFoot.Metres(), p.Step.Tolerance, 1e-12)
}

// The order in the file is the order of time: the first is replaced by the
// second, and both by the third where their areas overlap.
func TestReplaceLatestRules(t *testing.T) {
	third := takeoff.Survey{Name: "third.csv", Points: append(corners(21, 11, 18, 7), corners(23, 13, 14, 7)...),
		ReplacesWithin: orb.MultiPolygon{square(20, 10, 20)}}
	job := lowered(append(corners(11, 11, 18, 9), corners(16, 15, 8, 9)...)...)
	job.Surveys = append(job.Surveys, third)
	r := run(t, job)
	assert.Equal(t, 4, r.Surveys[0].Replaced, "four spots inside the second's area; the third's holds no more")
	assert.Equal(t, 4, r.Surveys[1].Replaced, "those east of 20")
	assert.Zero(t, r.Surveys[2].Replaced)
	assert.Equal(t, 4, r.Surveys[2].Replaces.Points)
	assert.Equal(t, []takeoff.SurveyArea{{Survey: 1, Area: job.Surveys[1].ReplacesWithin}, {Survey: 2, Area: third.ReplacesWithin}}, job.ReplacedAreas())

	job.Surveys[1], job.Surveys[2] = job.Surveys[2], job.Surveys[1]
	other := run(t, job)
	assert.NotEqual(t, r.Total.Cut, other.Total.Cut)
	assert.Equal(t, 8, other.Surveys[1].Replaced+other.Surveys[0].Replaced)
}

// Breaklines of all kinds are cut off, and every point is counted once.
func TestReplaceCutsBreaklines(t *testing.T) {
	job := lowered(corners(11, 11, 18, 9)...)
	before := &job.Surveys[0]
	before.LineCodes = []string{"TB"}
	for _, e := range []float64{2, 15, 25, 38} {
		before.Points = append(before.Points, tin.Point{E: e, N: 20, Level: 10, Code: "TB"})
	}
	crest := append(corners(10, 10, 20, 10), tin.Point{E: 10, N: 10, Level: 10}) // along the rim, where it stays
	before.Breaklines = []tin.Breakline{{Vertices: []tin.Point{{E: 22, N: 1, Level: 10}, {E: 22, N: 25, Level: 10}}}, {Vertices: crest}}
	toe := append(corners(11, 11, 18, 9), tin.Point{E: 11, N: 11, Level: 9})
	job.Surveys[1].Breaklines = []tin.Breakline{{Vertices: toe}}
	r := run(t, job)
	s := r.Surveys[0]
	assert.Equal(t, []int{16, 10, 6, 1, 2}, []int{s.Points, s.Used, s.Replaced, s.ReplacedVertices, s.ReplacedStretches})
	assert.Equal(t, []int{6, 1, 2}, []int{r.Surveys[1].Replaces.Points, r.Surveys[1].Replaces.Vertices, r.Surveys[1].Replaces.Stretches})
	assert.InEpsilon(t, 3200-(400+324+360)/3.0, r.Total.Cut, 1e-12, "the cut ends lie on the plane outside")

	// A later line along the rim meets the cut ends with other levels.
	rim := append(corners(10, 10, 20, 9), tin.Point{E: 10, N: 10, Level: 9})
	job.Surveys[0].Breaklines = job.Surveys[0].Breaklines[:1]
	job.Surveys[0].Points = slices.Delete(job.Surveys[0].Points, 4, 8)
	job.Surveys[1].Breaklines = []tin.Breakline{{Vertices: rim}}
	_, err := takeoff.Run(t.Context(), job, takeoff.Options{})
	e := inputError(t, err)
	assert.Equal(t, "breakline_level", e.Code)
	assert.Contains(t, e.Hint, "replaces_within")
}

// The bits do not depend on the order of points, nor on how the area is drawn.
func TestReplaceBits(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 5))
	scatter := func(n int, e, side, level float64) (points []tin.Point) {
		for range n {
			points = append(points, tin.Point{E: e + math.Round(side*rng.Float64()*1e3)/1e3, N: e + math.Round(side*rng.Float64()*1e3)/1e3,
				Level: level + math.Round(rng.Float64()*1e3)/1e3})
		}
		return points
	}
	before, after := append(scatter(200, 0, 40, 10), corners(0, 0, 40, 10)...), scatter(80, 9, 22, 9)
	area := orb.Ring{{10.1, 10.3}, {30.7, 11.9}, {27.3, 29.1}, {12.2, 28.8}}
	line := []tin.Point{{E: 1.5, N: 3.5, Level: 10.2}, {E: 20.25, N: 17.125, Level: 10.4}, {E: 37.5, N: 38.5, Level: 10.9}}
	var first *takeoff.Result
	for k := range 8 {
		job := &takeoff.Job{
			Surveys: []takeoff.Survey{
				{Points: before, Breaklines: []tin.Breakline{{Vertices: line}}},
				{Points: after, ReplacesWithin: orb.MultiPolygon{{area}}}},
			Pads: []takeoff.Pad{{Name: "a", Outline: square(5, 5, 30), Finished: 9.5}},
		}
		job.Ground.CrossingTolerance = 5
		r := run(t, job)
		if first == nil {
			first = r
			assert.Equal(t, 1, r.Surveys[0].ReplacedVertices)
			assert.Equal(t, 1, r.Surveys[0].ReplacedStretches)
		}
		assert.Equal(t, first.Total, r.Total)
		assert.Equal(t, first.Surveys[1].Replaces, r.Surveys[1].Replaces)
		rng.Shuffle(len(before), func(i, j int) { before[i], before[j] = before[j], before[i] })
		rng.Shuffle(len(after), func(i, j int) { after[i], after[j] = after[j], after[i] })
		if k%2 == 0 {
			slices.Reverse(area)
			slices.Reverse(line)
		}
		area = append(area[1:], area[0])
	}
}

func TestReplaceBadAreas(t *testing.T) {
	inner := corners(11, 11, 18, 9)
	for _, tt := range []struct {
		name string
		job  func() *takeoff.Job
		code string
	}{
		{"on the first survey", func() *takeoff.Job {
			job := lowered(inner...)
			job.Surveys = job.Surveys[1:]
			return job
		}, "replaces_no_earlier"},
		{"holds no point of its own survey", func() *takeoff.Job { return lowered(corners(1, 1, 5, 10)...) }, "replaces_without_points"},
		{"crosses itself", func() *takeoff.Job {
			job := lowered(inner...)
			job.Surveys[1].ReplacesWithin = orb.MultiPolygon{{{{10, 10}, {30, 30}, {30, 10}, {10, 30}}}}
			return job
		}, "outline_crosses"},
		{"a polygon of nothing", func() *takeoff.Job {
			job := lowered(inner...)
			job.Surveys[1].ReplacesWithin = orb.MultiPolygon{{}}
			return job
		}, "outline_empty"},
		{"a corner that is no number", func() *takeoff.Job {
			job := lowered(inner...)
			job.Surveys[1].ReplacesWithin[0][0][2][0] = math.NaN()
			return job
		}, "bad_coordinate"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			_, err := takeoff.Run(t.Context(), tt.job(), takeoff.Options{})
			e := inputError(t, err)
			assert.Equal(t, tt.code, e.Code)
			assert.Contains(t, e.Key, ".replaces_within")
		})
	}
}

// What is no error says so all the same.
func TestReplaceNotes(t *testing.T) {
	// An area outside the earlier ground: the survey is merged.
	job := lowered(corners(50, 0, 20, 10)...)
	job.Surveys[1].ReplacesWithin = orb.MultiPolygon{square(50, 0, 20)}
	r := run(t, job)
	assert.Contains(t, codes(r.Notes), takeoff.NoteReplacesNone)
	assert.Contains(t, codes(r.Notes), takeoff.NoteNotCompared)
	assert.Nil(t, r.Surveys[1].Replaces.Step)

	// One point makes no surface to compare.
	job = lowered(tin.Point{E: 20, N: 20, Level: 9})
	r = run(t, job)
	assert.Contains(t, codes(r.Notes), takeoff.NoteNotCompared)
	assert.InEpsilon(t, 3200-400/3.0, r.Total.Cut, 1e-12) // a pyramid

	// What is wrong with the earlier survey inside the area is replaced.
	job = lowered(corners(11, 11, 18, 9)...)
	job.Surveys[0].Points = append(job.Surveys[0].Points, tin.Point{E: 20, N: 20, Level: 1}, tin.Point{E: 20, N: 20, Level: 2})
	r = run(t, job)
	assert.Contains(t, codes(r.Notes), takeoff.NoteNotCompared)
	assert.Equal(t, 6, r.Surveys[0].Replaced)
}

// Merged surveys are shifted each by its own benchmark; of which state the
// ground between their spots is cannot be known.
func TestMergedSurveys(t *testing.T) {
	job := lowered(corners(15, 15, 10, -41)...)
	job.Surveys[1].ReplacesWithin = nil
	job.Surveys[0].Benchmark = &takeoff.Mark{Plan: 5, Measured: 2}
	job.Surveys[1].Benchmark = &takeoff.Mark{Plan: 55, Measured: 1}
	job.Pads[0].Finished = 11
	r := run(t, job)
	assert.Equal(t, []float64{3, 54}, []float64{r.Surveys[0].Shift, r.Surveys[1].Shift})
	assert.InEpsilon(t, 3200, r.Total.Cut, 1e-12)
	assert.NotContains(t, codes(r.Notes), takeoff.NoteStatesMixed)

	job.Surveys[1].Stripped = true
	assert.Contains(t, codes(run(t, job).Notes), takeoff.NoteStatesMixed)
	job.Surveys[1].ReplacesWithin = orb.MultiPolygon{square(14, 14, 12)}
	assert.NotContains(t, codes(run(t, job).Notes), takeoff.NoteStatesMixed)
	assert.Equal(t, []takeoff.SurveyArea{{1, true, job.Surveys[1].ReplacesWithin}}, job.ReplacedAreas())
}

func fileOf(text string) *fstest.MapFile { return &fstest.MapFile{Data: []byte(text)} }

func TestLoadReplaces(t *testing.T) {
	files := site(`units = "m"
[[survey]]
points = "spots.csv"
[[survey]]
points = "strip.csv"
state = "stripped"
replaces_within = { points = ["S1", "S2", "C3", "S4"] }
step_tolerance = "0.4 m"
[[pad]]
name = "a"
outline = "square.csv"
finished = 11
`)
	files["strip.csv"] = fileOf("number,easting,northing,level\nS1,5,5,10.2\nS2,30,5,12.7\nS4,5,30,10.2\nS5,15,15,11.2\n")
	job, err := load(t, files)
	require.NoError(t, err)
	assert.Equal(t, orb.MultiPolygon{{{{5, 5}, {30, 5}, {30, 30}, {5, 30}}}}, job.Surveys[1].ReplacesWithin)
	assert.Equal(t, 0.4, job.Surveys[1].StepTolerance)
	r := run(t, job)
	assert.Equal(t, 2, r.Surveys[0].Replaced, "C1 and P5; C2, C3 and C4 are on the rim")
	assert.InDelta(t, -0.3, r.Surveys[1].Replaces.Step.Greatest, 1e-12)
	assert.Empty(t, r.Warnings)

	for _, tt := range []struct{ line, code, at string }{
		{`replaces_within = []`, "outline_short", "survey[1].replaces_within"},
		{`replaces_within = "none.geojson"`, "file_missing", "survey[1].replaces_within"},
		{`replaces_within = [[0, 0], [9, 9], [9, 0], [0, 9]]`, "outline_crosses", "survey[1].replaces_within"},
		{`replaces_within = { pints = ["S1"] }`, "unknown_key", "survey[1].replaces_within.pints"},
		{`replaces_within = [[100, 100], [110, 100], [110, 110]]`, "replaces_without_points", "survey[1].replaces_within"},
		{`step_tolerance = 0.1`, "bad_value", "survey[1].step_tolerance"},
	} {
		files := site(head + "[[survey]]\npoints = \"strip.csv\"\n" + tt.line + "\n[[pad]]\nname = \"a\"\noutline = \"square.csv\"\nfinished = 11\n")
		files["strip.csv"] = fileOf("number,easting,northing,level\nS1,5,5,10.2\nS2,30,5,12.7\nS4,5,30,10.2\n")
		job, err := load(t, files)
		if err == nil {
			_, err = takeoff.Run(t.Context(), job, takeoff.Options{})
		}
		e := inputError(t, err)
		assert.Equal(t, []any{tt.code, tt.at}, []any{e.Code, e.Key}, tt.line)
		assert.Equal(t, 6, e.Line, tt.line)
	}
}
