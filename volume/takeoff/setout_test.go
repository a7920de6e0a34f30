package takeoff_test

import (
	"math"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/setout"
	"barrow/volume/takeoff"
)

func setOut(t *testing.T, job *takeoff.Job, opts takeoff.SetOutOptions) *takeoff.SetOutResult {
	t.Helper()
	r, err := takeoff.SetOut(t.Context(), job, opts)
	require.NoError(t, err)
	return r
}

func pegNamed(t *testing.T, r *takeoff.SetOutResult, number string) *takeoff.PegResult {
	t.Helper()
	for i := range r.Pegs {
		if r.Pegs[i].Number == number {
			return &r.Pegs[i]
		}
	}
	require.Fail(t, "no peg "+number)
	return nil
}

// slopeJob's ground rises 1 in 10 to the east, from 10; pad a is 10 to 30 east, at 12.
// With batters of 1V:1H the crest on the east side, where the ground is 13, stands where
// 13 + x / 10 = 12 + x, that is 10/9 out; the toe in the west where 11 - x / 10 = 12 - x.
func TestSetOutPegs(t *testing.T) {
	job := slopeJob()
	job.Pads[0].Layers = []takeoff.Layer{{Name: "slab", Thickness: 0.2}, {Name: "sand", Thickness: 0.05}}
	job.Pads[0].Finished = 12.25
	job.Pads[0].Cut, job.Pads[0].Fill = takeoff.Batter{Along: 1}, takeoff.Batter{Along: 1}
	r := setOut(t, job, takeoff.SetOutOptions{Interval: 5, Grid: 10, Back: []float64{3}})

	corner := pegNamed(t, r, "a 2")
	assert.Equal(t, takeoff.Place{30, 10}, corner.At)
	assert.Equal(t, 12.0, corner.Formation)
	assert.InDelta(t, 13, *corner.Ground, 1e-12)
	assert.InDelta(t, 1, *corner.Depth, 1e-12)
	assert.Equal(t, &takeoff.BatterResult{Along: 1, Degrees: 45}, corner.Batter)

	crest := pegNamed(t, r, "a 2+5.0 C")
	assert.InDelta(t, 30+10.0/9, crest.At[0], 1e-9)
	assert.InDelta(t, 15, crest.At[1], 1e-9)
	assert.InDelta(t, 10.0/9, crest.ToEdge, 1e-9)
	assert.InDelta(t, *crest.Ground, *crest.Level, 1e-9, "nothing is stripped")
	assert.InDelta(t, 10.0/9, *crest.Depth, 1e-9, "to the formation, not to the batter")
	toe := pegNamed(t, r, "a 4+5.0 T")
	assert.InDelta(t, 10-10.0/9, toe.At[0], 1e-9)
	assert.InDelta(t, -10.0/9, *toe.Depth, 1e-9)

	grid := pegNamed(t, r, "a G10.0/10.0")
	assert.InDelta(t, 0, *grid.Depth, 1e-9)
	assert.Nil(t, grid.Batter)
	assert.Equal(t, 10.0, grid.ToEdge)
	back := pegNamed(t, r, "a 1+5.0 B3.0")
	assert.Equal(t, takeoff.Place{15, 7}, back.At)
	assert.Equal(t, back.Ground, back.Level)
	assert.Empty(t, r.Warnings)

	// A string 1 back is dug away in the east, and filled over in the west.
	r = setOut(t, job, takeoff.SetOutOptions{Interval: 5, Back: []float64{1}})
	require.Equal(t, []string{takeoff.WarnPegInWorks}, codes(r.Warnings))
	// The crest is 10/9 out, and the toe too: the next tenth is clear of both.
	assert.Contains(t, r.Warnings[0].Message, "end up to 1.2 m from the outline")
	assert.Contains(t, r.Warnings[0].Message, "would be lost: a 2+0.0 B1.0, a 2+5.0 B1.0, ")
}

// Common practice, no source: a slab of 200 mm on 50 mm of sand puts the formation 250 mm
// below the finished level.
func TestSetOutLevels(t *testing.T) {
	job := slopeJob()
	p := &job.Pads[0]
	p.Finished, p.Layers = 12.25, []takeoff.Layer{{Name: "slab", Thickness: 0.2}, {Name: "sand", Thickness: 0.05}}
	job.Surveys[0].Benchmark = &takeoff.Mark{Name: "BM1", Plan: 11.575, Measured: 11.575}
	level := 1.5
	r := setOut(t, job, takeoff.SetOutOptions{Backsight: &level, OverDig: 0.3, Trim: 0.03})
	assert.Equal(t, &takeoff.InstrumentResult{Name: "BM1", Benchmark: 11575000, Backsight: 1500000, Collimation: 13075000}, r.Instrument)
	require.Len(t, r.Pads[0].Sets, 1)
	got := r.Pads[0].Sets[0].Levels
	for i, want := range []struct {
		what           string
		level, reading float64
	}{
		{takeoff.LevelFinished, 12.25, 0.825}, {takeoff.LevelLayer, 12.05, 1.025}, {takeoff.LevelTrim, 12.03, 1.045},
		{takeoff.LevelFormation, 12, 1.075}, {takeoff.LevelOverDig, 11.7, 1.375},
	} {
		assert.Equal(t, want.what, got[i].What)
		assert.Equal(t, want.level, got[i].Level, want.what)
		assert.Equal(t, want.reading, got[i].Sight.Reading.Float(), want.what)
	}
	formation := got[3]
	assert.Equal(t, setout.Decimal(-425000), formation.Sight.Receiver, "DOWN the staff, since the formation is above the benchmark")
	assert.Equal(t, []takeoff.Above{{Mark: "BM1", Level: 11.575, Above: 0.425}}, formation.AboveMarks)
	peg := pegNamed(t, r, "a 1")
	require.Len(t, peg.Levels, 5)
	assert.Equal(t, 1.075, peg.Levels[3].Reading.Float())

	level = 0.5 // the line of sight is at 12.075, below the finished level
	r = setOut(t, job, takeoff.SetOutOptions{Backsight: &level, Staff: 0.3, OverDig: 0.3})
	require.Equal(t, []string{takeoff.WarnUnreadable}, codes(r.Warnings))
	assert.Contains(t, r.Warnings[0].Message, "2 of the levels")
}

// Slope job: the ground is 1 deep at the east side of the pad, the sides in cut are less, and
// in the west is fill, where there is no first pass.
func TestSetOutTrimAboveTheGround(t *testing.T) {
	job := slopeJob() // pegs in cut at 25 and 30 east, the cut there 0.5 and 1
	r := setOut(t, job, takeoff.SetOutOptions{Interval: 5, Trim: 0.4})
	assert.Empty(t, r.Warnings)
	assert.NotContains(t, codes(r.Notes), takeoff.NoteTrimAbove)

	r = setOut(t, job, takeoff.SetOutOptions{Interval: 5, Trim: 0.6})
	assert.Empty(t, r.Warnings)
	require.Contains(t, codes(r.Notes), takeoff.NoteTrimAbove)
	note := r.Notes[slices.Index(codes(r.Notes), takeoff.NoteTrimAbove)].Message
	assert.Contains(t, note, "at 2 of 7 pegs in cut the first pass, 0.6 above formation, is above the stripped ground: at a 1+15.0 it is 0.5 deep")

	r = setOut(t, job, takeoff.SetOutOptions{Interval: 5, Trim: 1.2})
	require.Equal(t, []string{takeoff.WarnTrimAbove}, codes(r.Warnings))
	assert.Contains(t, r.Warnings[0].Message, "at 7 of 7 pegs in cut")
}

// A pad that falls 1:50 to the east-south-east by its own sides: along the first side,
// which goes east, with cos 22.5, and across to the right, which is south, with sin 22.5.
// What the peg says is the plane at its place.
func TestSetOutFalling(t *testing.T) {
	job := slopeJob()
	job.Pads[0].Fall = &takeoff.Fall{Slope: 0.02, Bearing: 112.5, At: orb.Point{10, 10}}
	r := setOut(t, job, takeoff.SetOutOptions{Interval: 5})
	fall := r.Pads[0].Fall
	require.Len(t, fall, 4)
	sin, cos := math.Sincos(math.Pi / 8)
	assert.InDelta(t, 0.02*cos, fall[0].Along, 1e-15)
	assert.InDelta(t, 0.02*sin, fall[0].Across, 1e-15)
	assert.InDelta(t, -0.02*sin, fall[1].Along, 1e-15, "the second side goes north, uphill")
	assert.InDelta(t, 0.02*cos, fall[1].Across, 1e-15)
	require.Len(t, r.Pads[0].Sets, 4)
	assert.InDelta(t, 12-5*0.02*cos, pegNamed(t, r, "a 1+5.0").Formation, 1e-12)
	assert.InDelta(t, 12-20*0.02*cos, r.Pads[0].Sets[1].Levels[0].Level, 1e-12)
}

// Topsoil is part of the depth at a peg, which stands in the ground as it is; the crest's
// level is that of the stripped ground.
func TestSetOutTopsoil(t *testing.T) {
	job := slopeJob()
	job.Pads[0].Cut = takeoff.Batter{Along: 1}
	job.Ground.Topsoil = takeoff.Topsoil{Depth: 0.2}
	r := setOut(t, job, takeoff.SetOutOptions{Interval: 5})
	peg := pegNamed(t, r, "a 2+5.0")
	assert.InDelta(t, 1, *peg.Depth, 1e-12)
	assert.Equal(t, 0.2, peg.Topsoil)
	crest := pegNamed(t, r, "a 2+5.0 C")
	assert.InDelta(t, *crest.Ground-0.2, *crest.Level, 1e-9)
}

// Pegs of a job in feet are those of the same job in metres.
func TestSetOutFeet(t *testing.T) {
	job := slopeJob()
	job.Units = tin.Foot
	job.Pads[0].Cut, job.Pads[0].Fill = takeoff.Batter{Along: 1}, takeoff.Batter{Along: 1}
	feet := setOut(t, job, takeoff.SetOutOptions{Interval: 5, Back: []float64{3}})
	job.Units = tin.Metre
	metres := setOut(t, job, takeoff.SetOutOptions{Interval: 5, Back: []float64{3}})
	require.Len(t, feet.Pegs, len(metres.Pegs))
	for i, p := range feet.Pegs {
		q := metres.Pegs[i]
		assert.Equal(t, q.Number, p.Number)
		assert.InDelta(t, q.At[0], p.At[0], 1e-9)
		assert.InDelta(t, *q.Level, *p.Level, 1e-9)
		assert.InDelta(t, *q.Depth, *p.Depth, 1e-9)
	}
}

func TestSetOutThickenings(t *testing.T) {
	job := slopeJob()
	underside := 11.4
	job.Pads[0].Thickenings = []takeoff.Thickening{{Name: "footing", Areas: orb.MultiPolygon{square(12, 12, 2)}, Underside: &underside,
		Layers: []takeoff.Layer{{Name: "blinding", Thickness: 0.05}}}}
	r := setOut(t, job, takeoff.SetOutOptions{})
	require.Len(t, r.Pads[0].Dug, 2)
	assert.Equal(t, "footing: top of blinding", r.Pads[0].Dug[0].Name)
	assert.InDelta(t, 11.4, r.Pads[0].Dug[0].Level, 1e-12)
	assert.InDelta(t, 11.35, r.Pads[0].Dug[1].Level, 1e-12)
}

func TestSetOutPegTops(t *testing.T) {
	tops := &takeoff.PegTops{Name: "tops.csv", Points: []tin.Point{
		{Name: "a 1", E: 10, N: 10, Level: 12.6, Line: 2},
		{Name: "a 2", E: 30.15, N: 10, Level: 11.8, Line: 3},
		{Name: "b 9", E: 30, N: 10, Level: 12, Line: 4},
		{Name: "a 3", E: 30, N: 30, Level: math.NaN(), Line: 5},
	}}
	r := setOut(t, slopeJob(), takeoff.SetOutOptions{PegTops: tops, Trim: 0.05})
	require.Len(t, r.PegTops, 2)
	assert.Equal(t, []takeoff.PegDown{{What: takeoff.LevelTrim, Name: "first pass, above formation", Down: 0.55}, {What: takeoff.LevelFormation, Name: "FORMATION", Down: 0.6}}, r.PegTops[0].Down)
	assert.InDelta(t, -0.2, r.PegTops[1].Down[1].Down, 1e-12, "up")
	assert.InDelta(t, 0.15, r.PegTops[1].Off, 1e-12)
	assert.ElementsMatch(t, []string{takeoff.WarnTopUnknown, takeoff.WarnPegMoved}, codes(r.Warnings))
	assert.Contains(t, codes(r.Notes), takeoff.NoteTopNoLevel)
}

// The apostrophe that pegs.csv has before a number like a formula is taken off again.
func TestPegTopsOfAFormula(t *testing.T) {
	job := slopeJob()
	job.Pads[0].Name = "=a"
	tops := &takeoff.PegTops{Name: "tops.csv", Points: []tin.Point{{Name: "'=a 1", E: 10, N: 10, Level: 12.6}}}
	r := setOut(t, job, takeoff.SetOutOptions{PegTops: tops})
	require.Len(t, r.PegTops, 1)
	assert.Equal(t, "=a 1", r.PegTops[0].Number)
}

// A small change of the job leaves the numbers of all other pegs: another pad moved, a
// level changed, a survey taken anew.
func TestSetOutNumbersStay(t *testing.T) {
	opts := takeoff.SetOutOptions{Interval: 3, Grid: 4, Back: []float64{4}}
	numbers := func(change func(*takeoff.Job)) map[string]takeoff.Place {
		job := slopeJob()
		job.Pads[0].Cut = takeoff.Batter{Along: 1}
		job.Pads = append(job.Pads, takeoff.Pad{Name: "b", Outline: square(32, 32, 5), Finished: 13})
		change(job)
		places := map[string]takeoff.Place{}
		for _, p := range setOut(t, job, opts).Pegs {
			if p.Pad == "a" && p.Kind != setout.AtCrest && p.Kind != setout.AtToe {
				places[p.Number] = p.At
			}
		}
		return places
	}
	was := numbers(func(*takeoff.Job) {})
	require.Greater(t, len(was), 60)
	assert.Equal(t, was, numbers(func(j *takeoff.Job) { j.Pads[1].Outline = square(33, 31, 6) }))
	assert.Equal(t, was, numbers(func(j *takeoff.Job) { j.Pads[0].Finished += 0.1 }))
	assert.Equal(t, was, numbers(func(j *takeoff.Job) { j.Pads = []takeoff.Pad{j.Pads[1], j.Pads[0]} }), "the order of pads")
	is := numbers(func(j *takeoff.Job) { j.Pads[0].Outline[0][2] = orb.Point{31, 31} })
	for number, at := range was {
		if number[:3] == "a 1" || number[:3] == "a G" {
			assert.Equal(t, at, is[number], number)
		}
	}
}

// Setting out a job and shooting the pegs back is the formation at every one of them.
func TestSetOutRoundTrip(t *testing.T) {
	job := slopeJob()
	job.Pads[0].Fall = &takeoff.Fall{Slope: 0.0125, Bearing: 200, At: orb.Point{10, 10}}
	job.Pads[0].Cut, job.Pads[0].Fill = takeoff.Batter{Along: 1.5}, takeoff.Batter{Along: 2}
	r := setOut(t, job, takeoff.SetOutOptions{Interval: 3, Grid: 4})
	surfaces, err := takeoff.Formation(t.Context(), job, takeoff.Options{})
	require.NoError(t, err)
	require.Len(t, surfaces, 1)
	shot := 0
	for _, p := range r.Pegs {
		if level, ok := surfaces[0].LevelAt(p.At[0], p.At[1]); ok {
			shot++
			assert.InDelta(t, *p.Level, level, 1e-6, p.Number)
		}
	}
	assert.Greater(t, shot, 60)
}

func TestSetOutErrors(t *testing.T) {
	nan, level := math.NaN(), 1.5
	for _, tt := range []struct {
		code, key string
		opts      takeoff.SetOutOptions
	}{
		{"bad_spacing", "interval", takeoff.SetOutOptions{Interval: -1}},
		{"bad_spacing", "grid", takeoff.SetOutOptions{Grid: nan}},
		{"bad_spacing", "back", takeoff.SetOutOptions{Back: []float64{0}}},
		{"bad_value", "backsight", takeoff.SetOutOptions{Backsight: &level}},
		{"bad_value", "backsight", takeoff.SetOutOptions{Backsight: &nan}},
		{"bad_value", "benchmark_level", takeoff.SetOutOptions{Backsight: &level, Benchmark: &nan}},
		{"bad_value", "benchmark_level", takeoff.SetOutOptions{Benchmark: &level}},
		{"bad_value", "over_dig", takeoff.SetOutOptions{OverDig: -0.1}},
		{"bad_value", "trim", takeoff.SetOutOptions{Trim: 50}},
		{"bad_value", "staff", takeoff.SetOutOptions{Staff: nan}},
		{"bad_value", "staff", takeoff.SetOutOptions{Staff: 4}},
		{"too_many_pegs", "", takeoff.SetOutOptions{Grid: 0.1, Interval: 0.1, Back: make([]float64, 200)}},
	} {
		for i := range tt.opts.Back {
			if len(tt.opts.Back) > 1 {
				tt.opts.Back[i] = 1
			}
		}
		_, err := takeoff.SetOut(t.Context(), slopeJob(), tt.opts)
		e := inputError(t, err)
		assert.Equal(t, tt.code, e.Code)
		assert.Equal(t, tt.key, e.Key)
	}
	job := slopeJob()
	job.Pads = append(job.Pads, takeoff.Pad{Name: "a 1", Outline: square(32, 32, 4), Corners: []string{"B3.0", "x", "y", "z"}, Finished: 12})
	job.Pads[0].Corners = []string{"1", "1 B3.0", "c", "d"}
	_, err := takeoff.SetOut(t.Context(), job, takeoff.SetOutOptions{})
	assert.Equal(t, "peg_number_twice", inputError(t, err).Code)
}

// Pegs by the thousand: the grid, the sides, and their crests and toes.
func BenchmarkSetOut(b *testing.B) {
	job := slopeJob()
	job.Pads[0].Cut, job.Pads[0].Fill = takeoff.Batter{Along: 1}, takeoff.Batter{Along: 2}
	for b.Loop() {
		r, err := takeoff.SetOut(b.Context(), job, takeoff.SetOutOptions{Interval: 0.5, Grid: 0.25, Back: []float64{3}})
		if err != nil {
			b.Fatal(err)
		}
		b.ReportMetric(float64(len(r.Pegs)), "pegs")
	}
}

// The order of the survey's points changes no bit of a set-out.
func TestSetOutOrder(t *testing.T) {
	set := func(turned bool) *takeoff.SetOutResult {
		job := slopeJob()
		job.Pads[0].Cut, job.Pads[0].Fill = takeoff.Batter{Along: 1.3}, takeoff.Batter{Along: 1.7}
		job.Surveys[0].Points = append(slope(), tin.Point{E: 17.3, N: 33.1, Level: 11.9}, tin.Point{E: 32.7, N: 12.9, Level: 13.6})
		if turned {
			slices.Reverse(job.Surveys[0].Points)
		}
		return setOut(t, job, takeoff.SetOutOptions{Interval: 3, Grid: 4, Back: []float64{5}})
	}
	assert.Equal(t, set(false).Pegs, set(true).Pegs)
}
