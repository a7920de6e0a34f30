package takeoff_test

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/formation"
	"barrow/tin/setout"
	"barrow/volume/takeoff"
)

// finishedJob is a slab of 20 x 20 at 62.925 under 63.15, one metre down into level ground,
// with a margin and batters, in a unit and on a datum.
func finishedJob(unit tin.Unit, pad takeoff.Pad) *takeoff.Job {
	job := grounded(unit, spot(0, 0, 64), spot(100, 0, 64), spot(100, 100, 64), spot(0, 100, 64))
	pad.Name, pad.Outline, pad.Margin, pad.Cut = "store", ring(40, 40, 60, 60), 1, takeoff.Batter{Along: 1}
	if pad.Levels == nil {
		pad.Finished = 63.15
	}
	pad.Layers = []takeoff.Layer{{Name: "slab", Thickness: 0.175}, {Name: "sand", Thickness: 0.05, To: takeoff.LayersToMargin}}
	if pad.Tolerance == nil {
		pad.Tolerance = &setout.Tolerance{Up: 0.010, Down: 0.030}
	}
	job.Pads = []takeoff.Pad{pad}
	return job
}

// shotsAt are shots on a lattice over e0, n0 to e1, n1 at levels.
func shotsAt(e0, n0, e1, n1, step float64, level func(e, n float64) float64) *takeoff.Shots {
	s := &takeoff.Shots{Name: "shots.csv"}
	for e := e0; e <= e1; e += step {
		for n := n0; n <= n1; n += step {
			s.Points = append(s.Points, tin.Point{E: e, N: n, Level: level(e, n), Name: fmt.Sprintf("s%d", len(s.Points)+1), Line: int32(len(s.Points) + 2)})
		}
	}
	return s
}

func always(level float64) func(e, n float64) float64 {
	return func(e, n float64) float64 { return level }
}

func conformed(t *testing.T, job *takeoff.Job, opts takeoff.ConformOptions) *takeoff.ConformResult {
	t.Helper()
	r, err := takeoff.Conform(t.Context(), job, opts)
	require.NoError(t, err)
	return r
}

// Pegs shot back conform with zero deviation, on a level pad, a falling one and one with
// levels of its own, in metres and both feet, to formation, finished level and the top
// of each layer.
func TestConformPegsShotBack(t *testing.T) {
	fall := func(at orb.Point, top, slope, bearing float64) func(e, n float64) float64 {
		p := tin.FallingPlane(at, top, slope, bearing)
		return func(e, n float64) float64 { return p.LevelAt(e, n) }
	}
	pads := map[string]struct {
		pad takeoff.Pad
		top func(e, n float64) float64
	}{
		"level":   {takeoff.Pad{}, always(63.15)},
		"falling": {takeoff.Pad{Fall: &takeoff.Fall{Slope: 0.0125, Bearing: 117, At: orb.Point{40, 40}}}, fall(orb.Point{40, 40}, 63.15, 0.0125, 117)},
		"own":     {takeoff.Pad{Levels: &takeoff.Levels{Outline: [][]float64{{63, 63.2, 63.2, 63}}}}, fall(orb.Point{40, 40}, 63, 0.01, 270)},
	}
	for name, p := range pads {
		for _, unit := range []tin.Unit{tin.Metre, tin.Foot, tin.SurveyFoot} {
			for of, below := range map[string]float64{"": 0.225, takeoff.OfFormation: 0.225, takeoff.OfFinished: 0, "slab": 0, "sand": 0.175} {
				step := 5.0
				r := conformed(t, finishedJob(unit, p.pad), takeoff.ConformOptions{Of: of, Shots: shotsAt(40, 40, 60, 60, step,
					func(e, n float64) float64 { return p.top(e, n) - below })})
				what := fmt.Sprint(name, unit, of)
				require.Len(t, r.Pads[0].Shots, 25, what)
				for _, s := range r.Pads[0].Shots {
					assert.InDelta(t, 0, s.Off, 1e-9, what)
				}
				assert.Equal(t, setout.VerdictWithin, r.Verdict, what)
				assert.Empty(t, r.Warnings, what)
				assert.Equal(t, []int{25, 0, 0}, []int{r.Pads[0].Within, r.Pads[0].Undecided, r.Pads[0].Out})
				assert.Equal(t, 1.0, *r.Pads[0].Share)
				v := r.Pads[0].Still
				assert.InDelta(t, 0, v.Trim+v.MakeUp, 1e-9*400)
				if name == "level" {
					assert.Zero(t, r.Pads[0].Shots[7].Off, what)
				}
			}
		}
	}
}

// What lies between shots and formation, by hand: high by 20 mm all over the outline is
// 8 m3 to trim; low by 25 mm is 10 m3, which is a seventh of the slab and, of the sand that
// goes over the margin too, over 22 x 22, 10 / 24.2.
func TestConformVolumes(t *testing.T) {
	level := func(off float64) *takeoff.ConformPad {
		r := conformed(t, finishedJob(tin.Metre, takeoff.Pad{}), takeoff.ConformOptions{Shots: shotsAt(40, 40, 60, 60, 5, always(62.925+off))})
		return &r.Pads[0]
	}
	high := level(0.020)
	assert.InDelta(t, 8, high.Still.Trim, 1e-9)
	assert.Zero(t, high.Still.MakeUp)
	assert.InDelta(t, 84, high.Still.Uncovered, 1e-9) // the margin
	assert.Equal(t, setout.VerdictOut, high.Verdict)
	low := level(-0.025)
	assert.InDelta(t, 10, low.Still.MakeUp, 1e-9)
	assert.InDelta(t, 400, low.Still.LowArea, 1e-9)
	assert.Equal(t, setout.VerdictWithin, low.Verdict)
	require.Len(t, low.Still.Extra, 2)
	sand, slab := low.Still.Extra[0], low.Still.Extra[1]
	assert.Equal(t, []string{"sand", "slab"}, []string{sand.Name, slab.Name})
	assert.InDelta(t, 24.2, sand.Volume, 1e-9)
	assert.InDelta(t, 100*10/24.2, sand.Percent, 1e-6)
	assert.InDelta(t, 100.0/7, slab.Percent, 1e-6)
	assert.InDelta(t, 0.025, slab.Mean, 1e-12)

	// On the top of the sand only the slab comes on it, and in yards all is the same share.
	r := conformed(t, finishedJob(tin.Foot, takeoff.Pad{}), takeoff.ConformOptions{Layer: "sand", Shots: shotsAt(40, 40, 60, 60, 5, always(62.965))})
	require.Len(t, r.Pads[0].Still.Extra, 1)
	assert.InDelta(t, 4.0/27, r.Pads[0].Still.MakeUp, 1e-9)
	assert.InDelta(t, 100*0.010/0.175, r.Pads[0].Still.Extra[0].Percent, 1e-6)
}

// A random error of 10 mm gives the share within tolerance that the normal distribution
// says, Phi(1) - Phi(-3), within four standard deviations of the binomial distribution.
func TestConformShareWithin(t *testing.T) {
	r := rand.New(rand.NewPCG(20, 1))
	job := finishedJob(tin.Metre, takeoff.Pad{})
	res := conformed(t, job, takeoff.ConformOptions{Shots: shotsAt(40, 40, 60, 60, 0.4, func(e, n float64) float64 { return 62.925 + 0.010*r.NormFloat64() })})
	p, n := res.Pads[0], float64(len(res.Pads[0].Shots))
	phi := func(x float64) float64 { return math.Erfc(-x/math.Sqrt2) / 2 }
	want := phi(1) - phi(-3)
	assert.GreaterOrEqual(t, n, 2500.0)
	assert.InDelta(t, want, *p.Share, 4*math.Sqrt(want*(1-want)/n))
	assert.InDelta(t, 0.010, *p.Deviation, 4*0.010/math.Sqrt(2*n))
	assert.Equal(t, []string{"shot_accuracy_unknown"}, codes(res.Notes))
	assert.Equal(t, []string{"out_of_tolerance"}, codes(res.Warnings))
}

// Each state has its code: doubt, a tolerance finer than the shots, too few, none.
func TestConformWarnings(t *testing.T) {
	job := finishedJob(tin.Metre, takeoff.Pad{})
	near := shotsAt(40, 40, 60, 60, 5, always(62.930))
	r := conformed(t, job, takeoff.ConformOptions{Shots: near, StandardDeviation: 0.003})
	assert.Equal(t, []string{"shots_undecided"}, codes(r.Warnings))
	assert.Equal(t, setout.VerdictUndecided, r.Verdict)
	assert.Equal(t, 0.0, *r.Pads[0].Share)
	assert.Empty(t, r.Notes)

	r = conformed(t, job, takeoff.ConformOptions{Shots: near, StandardDeviation: 0.0051})
	assert.Equal(t, []string{"tolerance_below_doubt", "shots_undecided"}, codes(r.Warnings))
	assert.Contains(t, r.Warnings[0].Message, "the tolerance +0.01 -0.03 m is smaller than two standard deviations of a shot, 0.0102 m")

	few := &takeoff.Shots{Points: near.Points[:3]}
	r = conformed(t, job, takeoff.ConformOptions{Shots: few})
	assert.Equal(t, []string{"too_few_shots"}, codes(r.Warnings))
	assert.Equal(t, setout.VerdictTooFew, r.Verdict)
	assert.Equal(t, []int{10, 3}, []int{r.Pads[0].Cover.Needed, r.Pads[0].Cover.Have}) // 22 x 22 by 50 m2
	assert.GreaterOrEqual(t, r.Pads[0].Cover.Missing, 7)
	assert.Equal(t, takeoff.Place{61, 61}, r.Pads[0].Cover.Places[0].At)
	assert.Nil(t, r.Pads[0].Still, "three shots in a line")
	assert.Contains(t, codes(r.Notes), "no_shot_surface")

	// Low by 25 mm is the worst, and within; high by 12 is out, and is what is told.
	low := shotsAt(40, 40, 60, 60, 5, always(62.925))
	low.Points[3].Level, low.Points[9].Level = 62.900, 62.937
	r = conformed(t, job, takeoff.ConformOptions{Shots: low})
	assert.Equal(t, 3, *r.Pads[0].Worst)
	assert.Contains(t, r.Warnings[0].Message, "1 of 25 shots is out of tolerance, the worst by 2.0 mm past its limit")
	assert.Equal(t, takeoff.Place{45, 60}, *r.Warnings[0].At)

	job.Pads[0].Tolerance = nil
	r = conformed(t, job, takeoff.ConformOptions{Shots: near})
	assert.Equal(t, setout.VerdictNoTolerance, r.Verdict)
	assert.Nil(t, r.Pads[0].Share)
	assert.Equal(t, []string{"no_tolerance", "shot_accuracy_unknown"}, codes(r.Notes))
	r = conformed(t, job, takeoff.ConformOptions{Shots: near, Tolerance: &setout.Tolerance{Up: 0.004, Down: 0.004}})
	assert.Equal(t, setout.VerdictOut, r.Verdict)
}

// Shots that are on no work that is looked at are named with the reason, and none is
// lost; a peg at a corner that comes back 8 mm off still counts.
func TestConformBeside(t *testing.T) {
	job := finishedJob(tin.Metre, takeoff.Pad{Thickenings: []takeoff.Thickening{{Name: "beam", Lines: []orb.LineString{{{40, 50}, {60, 50}}}, Width: 0.6, Depth: 0.4, From: formation.FromFormation}}})
	job.Pads = append(job.Pads, takeoff.Pad{Name: "yard", Outline: ring(70, 40, 80, 60), Finished: 63})
	s := shotsAt(42, 42, 58, 58, 4, always(62.925))
	n := len(s.Points)
	for _, p := range []struct {
		e, n, level float64
		why         string
	}{
		{40, 40, 62.925, ""}, {61.008, 61, 62.925, ""}, {60.5, 45, 62.925, ""},
		{61.5, 50, 63.4, takeoff.BesideBatter}, {90, 90, 64, takeoff.BesideOutside}, {45, 50.2, 62.5, takeoff.BesideThickening},
		{75, 50, 63, takeoff.BesidePad}, {50, 45, math.NaN(), takeoff.BesideNoLevel},
	} {
		s.Points = append(s.Points, tin.Point{E: p.e, N: p.n, Level: p.level, Name: p.why})
	}
	r := conformed(t, job, takeoff.ConformOptions{Shots: s, Pads: []string{"store"}})
	assert.Len(t, r.Pads[0].Shots, n+3-5, "five of the lattice are in the beam")
	assert.Equal(t, len(s.Points), len(r.Pads[0].Shots)+len(r.Beside))
	for _, b := range r.Beside {
		if b.Line == 0 {
			assert.Equal(t, b.Name, b.Why)
		} else {
			assert.Equal(t, takeoff.BesideThickening, b.Why)
		}
	}
	// The slab ends at the outline: on its top a shot on the margin is beside it.
	r = conformed(t, job, takeoff.ConformOptions{Shots: s, Of: takeoff.OfFinished, Pads: []string{"store"}})
	assert.True(t, slices.ContainsFunc(r.Beside, func(b takeoff.BesideShot) bool { return b.Why == takeoff.BesideMargin }))
	// And the yard, which has no layers, is finished at its formation.
	r = conformed(t, job, takeoff.ConformOptions{Shots: s, Of: takeoff.OfFinished})
	assert.Len(t, r.Pads, 2)
	assert.Equal(t, 63.0, r.Pads[1].Shots[0].Asked)
}

// A benchmark shifts every shot, and what a shot is high or low in is known.
func TestConformBenchmarkAndGround(t *testing.T) {
	job := finishedJob(tin.Metre, takeoff.Pad{})
	s := shotsAt(40, 40, 60, 60, 5, always(10.425))
	s.Benchmark = &takeoff.Mark{Plan: 62.5, Measured: 10}
	r := conformed(t, job, takeoff.ConformOptions{Shots: s})
	assert.Equal(t, 52.5, *r.Shift)
	assert.Equal(t, []any{62.925, 62.925, 0.0, takeoff.InCut}, []any{r.Pads[0].Shots[0].Measured, r.Pads[0].Shots[0].Asked, r.Pads[0].Shots[0].Off, r.Pads[0].Shots[0].Ground})
	job.Ground.Topsoil.Depth = 1.2
	assert.Equal(t, takeoff.InFill, conformed(t, job, takeoff.ConformOptions{Shots: s}).Pads[0].Shots[0].Ground)
}

// On a grid with a scale the rule of enough shots is about the ground.
func TestConformScale(t *testing.T) {
	job := finishedJob(tin.Metre, takeoff.Pad{})
	s := shotsAt(40, 40, 60, 60, 5, always(62.925))
	whole := conformed(t, job, takeoff.ConformOptions{Shots: s}).Pads[0]
	job.Scale = 0.95
	scaled := conformed(t, job, takeoff.ConformOptions{Shots: s}).Pads[0]
	assert.InDelta(t, (20/0.95+2)*(20/0.95+2), scaled.Cover.Area, 1e-6)
	assert.Greater(t, scaled.Cover.Needed, whole.Cover.Needed)
	assert.InDelta(t, 5/0.95/math.Sqrt2, *scaled.Cover.Gap, scaled.Cover.Step) // in the middle of four
}

// In any order of shots the figures are the same bits.
func TestConformInAnyOrder(t *testing.T) {
	r := rand.New(rand.NewPCG(6, 6))
	job := finishedJob(tin.Metre, takeoff.Pad{})
	s := shotsAt(40, 40, 60, 60, 3, func(e, n float64) float64 { return 62.925 + 0.01*r.NormFloat64() })
	first := conformed(t, job, takeoff.ConformOptions{Shots: s})
	mixed := &takeoff.Shots{Name: s.Name, Points: slices.Clone(s.Points)}
	r.Shuffle(len(mixed.Points), func(i, j int) { mixed.Points[i], mixed.Points[j] = mixed.Points[j], mixed.Points[i] })
	again := conformed(t, job, takeoff.ConformOptions{Shots: mixed})
	for _, c := range []*takeoff.ConformResult{first, again} {
		slices.SortFunc(c.Pads[0].Shots, func(a, b takeoff.ConformShot) int { return a.Line - b.Line })
		c.Pads[0].Worst = nil
	}
	assert.Equal(t, first, again)
}

func TestConformErrors(t *testing.T) {
	job := finishedJob(tin.Metre, takeoff.Pad{})
	s := shotsAt(40, 40, 60, 60, 5, always(62.925))
	away := shotsAt(400, 40, 420, 60, 5, always(62.925))
	for code, opts := range map[string]takeoff.ConformOptions{
		"unknown_layer":   {Shots: s, Layer: "gravel"},
		"unknown_pad":     {Shots: s, Pads: []string{"yard"}},
		"shots_off_works": {Shots: away},
		"bad_value":       {},
	} {
		_, err := takeoff.Conform(t.Context(), job, opts)
		var e *tin.InputError
		require.ErrorAs(t, err, &e, code)
		assert.Equal(t, code, e.Code)
	}
	for _, opts := range []takeoff.ConformOptions{
		{Shots: s, Layer: "slab", Of: "finished"}, {Shots: s, StandardDeviation: -1}, {Shots: s, Tolerance: &setout.Tolerance{Up: math.NaN()}},
	} {
		_, err := takeoff.Conform(t.Context(), job, opts)
		assert.Error(t, err)
	}
	// "+10 -30" without a unit, in a job in metres: all work would be within.
	_, err := takeoff.Conform(t.Context(), job, takeoff.ConformOptions{Shots: s, Tolerance: &setout.Tolerance{Up: 10, Down: 30}})
	var e *tin.InputError
	require.ErrorAs(t, err, &e)
	assert.Equal(t, []string{"bad_value", "tolerance"}, []string{e.Code, e.Key})
	for _, limits := range []setout.Tolerance{{Down: -1}, {Down: 30}, {Up: math.Inf(1)}} {
		job.Pads[0].Tolerance = &limits
		_, err = takeoff.Conform(t.Context(), job, takeoff.ConformOptions{Shots: s})
		require.ErrorAs(t, err, &e)
		assert.Equal(t, []string{"bad_value", "pad[0].tolerance"}, []string{e.Code, e.Key})
	}
}

func TestParseTolerance(t *testing.T) {
	for text, want := range map[string]setout.Tolerance{
		"+0.010 -0.030": {Up: 0.010, Down: 0.030}, "-30mm+10 mm": {Up: 0.010, Down: 0.030}, " + 0.5 in  -0": {Up: 0.0127},
		"+1cm -0.1 ft": {Up: 0.01, Down: 0.03048},
	} {
		got, err := takeoff.ParseTolerance(text, tin.Metre)
		require.NoError(t, err, text)
		assert.Equal(t, want, got, text)
	}
	for _, text := range []string{"", "0.01", "+0.01", "-0.01", "+0.01 +0.02", "+0.01 -x", "±10 mm", "+ -", "+1 -2 -3", "10 -20", "+1e3 -1"} {
		_, err := takeoff.ParseTolerance(text, tin.Metre)
		var e *tin.InputError
		require.ErrorAs(t, err, &e, text)
		assert.Equal(t, "bad_value", e.Code)
	}
}

// A peg of the later of two overlapping pads, shot back, is that pad's: the later rules
// where both are, and so on its outline.
func TestConformOnTheLineOfTwoPads(t *testing.T) {
	job := grounded(tin.Metre, spot(0, 0, 64), spot(100, 0, 64), spot(100, 100, 64), spot(0, 100, 64))
	tolerance := &setout.Tolerance{Up: 0.01, Down: 0.03}
	job.Pads = []takeoff.Pad{
		{Name: "yard", Outline: ring(40, 40, 60, 60), Finished: 63.5, Tolerance: tolerance},
		{Name: "pit", Outline: ring(45, 45, 55, 55), Finished: 63, Tolerance: tolerance},
	}
	r := conformed(t, job, takeoff.ConformOptions{Shots: shotsAt(45, 45, 55, 55, 5, always(63))})
	require.Len(t, r.Pads, 2)
	assert.Empty(t, r.Pads[0].Shots)
	assert.Len(t, r.Pads[1].Shots, 9)
	assert.Zero(t, r.Pads[1].Out)
}

// Whoever breaks off while shots are compared gets no result, however late.
func TestConformEndsWithTheContextWhileComparing(t *testing.T) {
	for _, at := range []int{0, 1} {
		ctx, cancel := context.WithCancel(t.Context())
		opts := takeoff.ConformOptions{Shots: shotsAt(40, 40, 60, 60, 5, always(62.925))}
		opts.Progress = func(stage string, done, of int) {
			if stage == "comparing" && done == at {
				cancel()
			}
		}
		_, err := takeoff.Conform(ctx, finishedJob(tin.Metre, takeoff.Pad{}), opts)
		assert.ErrorIs(t, err, context.Canceled)
	}
}

// A tolerance in millimetres without its unit is not ten metres, and everything within it.
func TestToleranceWithoutItsUnit(t *testing.T) {
	for text, want := range map[string]string{
		"+10 -30": "unlikely_length", "+0 -30": "unlikely_length", "-0.26 +0.01": "unlikely_length",
		"+10 -30 mm": "bad_value", "+10 mm -30": "bad_value", "+0.01 -30 mm": "bad_value",
	} {
		_, err := takeoff.ParseTolerance(text, tin.Metre)
		var e *tin.InputError
		require.ErrorAs(t, err, &e, text)
		assert.Equal(t, want, e.Code, text)
	}
	for _, text := range []string{"+0.25 -0.25", "+0 -30 mm", "+10 m -10 m"} {
		_, err := takeoff.ParseTolerance(text, tin.Metre)
		assert.NoError(t, err, text)
	}
	_, err := takeoff.ParseTolerance("+1 -1", tin.Foot)
	assert.ErrorContains(t, err, `"1 in"`)
}

// A tolerance is read or refused; what is read is read again from how it is written.
func FuzzParseTolerance(f *testing.F) {
	for _, text := range []string{"+0.010 -0.030", "-30mm+10 mm", "+ 0.5 in  -0", "±1", "+-", "", "+1-1+1", "\xff+1"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		got, err := takeoff.ParseTolerance(text, tin.Metre)
		if err != nil {
			var e *tin.InputError
			require.ErrorAs(t, err, &e)
			return
		}
		require.True(t, got.Up >= 0 && got.Down >= 0)
		again, err := takeoff.ParseTolerance(fmt.Sprintf("+%.20f m -%.20f m", got.Up, got.Down), tin.Metre)
		if got.Up < 1e15 && got.Down < 1e15 {
			require.NoError(t, err)
			require.InEpsilon(t, 1+got.Up, 1+again.Up, 1e-12)
			require.InEpsilon(t, 1+got.Down, 1+again.Down, 1e-12)
		}
	})
}

// BenchmarkConform holds 10,000 shots against a pad of a hectare.
func BenchmarkConform(b *testing.B) {
	job := grounded(tin.Metre, spot(0, 0, 64), spot(300, 0, 64), spot(300, 300, 64), spot(0, 300, 64))
	job.Pads = []takeoff.Pad{{Name: "yard", Outline: ring(100, 100, 200, 200), Finished: 63, Tolerance: &setout.Tolerance{Up: 0.01, Down: 0.03}}}
	s := shotsAt(100, 100, 199, 199, 1, always(63.001))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := takeoff.Conform(b.Context(), job, takeoff.ConformOptions{Shots: s}); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkConformOwnLevels holds 10,000 shots against a pad of 20,000 facets.
func BenchmarkConformOwnLevels(b *testing.B) {
	job := grounded(tin.Metre, spot(0, 0, 64), spot(300, 0, 64), spot(300, 300, 64), spot(0, 300, 64))
	levels := &takeoff.Levels{Outline: [][]float64{{63, 63, 63, 63}}}
	for e := 102.5; e < 200; e++ {
		for n := 102.5; n < 200; n++ {
			levels.Spots = append(levels.Spots, spot(e, n, 63+0.1*math.Sin(e)*math.Cos(n)))
		}
	}
	job.Pads = []takeoff.Pad{{Name: "yard", Outline: ring(100, 100, 200, 200), Levels: levels, Tolerance: &setout.Tolerance{Up: 0.01, Down: 0.03}}}
	s := shotsAt(100, 100, 199, 199, 1, always(63.001))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := takeoff.Conform(b.Context(), job, takeoff.ConformOptions{Shots: s}); err != nil {
			b.Fatal(err)
		}
	}
}
