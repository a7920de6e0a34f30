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
	"barrow/volume/takeoff"
)

func balance(t *testing.T, job *takeoff.Job, opts takeoff.BalanceOptions) *takeoff.BalanceResult {
	t.Helper()
	b, err := takeoff.Balance(t.Context(), job, opts)
	require.NoError(t, err)
	return b
}

// shiftedJob is a job with pads at other finished levels: the ones named, or all.
func shiftedJob(job *takeoff.Job, by float64, names ...string) *takeoff.Job {
	out := *job
	out.Pads = slices.Clone(job.Pads)
	for i := range out.Pads {
		if len(names) == 0 || slices.Contains(names, out.Pads[i].Name) {
			out.Pads[i].Finished += by
		}
	}
	return &out
}

// left is what a takeoff leaves over of its cut, compacted.
func left(t *testing.T, job *takeoff.Job, factor float64) float64 {
	r := run(t, job)
	return factor*r.Total.Cut - r.Total.Fill
}

// bisect finds a balance by halves on takeoffs.
func bisect(t *testing.T, job *takeoff.Job, factor float64, names ...string) float64 {
	low, high := -3.0, 3.0
	require.Positive(t, left(t, shiftedJob(job, low, names...), factor))
	require.Negative(t, left(t, shiftedJob(job, high, names...), factor))
	for high-low > 1e-7 {
		middle := (low + high) / 2
		if left(t, shiftedJob(job, middle, names...), factor) > 0 {
			low = middle
		} else {
			high = middle
		}
	}
	return (low + high) / 2
}

// rolling is ground with hills and hollows, and a job of three pads on it with batters,
// margins, topsoil and a fall.
func rolling(seed uint64) *takeoff.Job {
	r := rand.New(rand.NewPCG(seed, 1))
	var points []tin.Point
	for range 160 {
		e, n := 120*r.Float64(), 120*r.Float64()
		points = append(points, tin.Point{E: e, N: n, Level: 50 + 1.5*math.Sin(e/17)*math.Cos(n/23) + e/60})
	}
	return &takeoff.Job{
		Name:    "rolling",
		Surveys: []takeoff.Survey{{Name: "ground.csv", Points: points}},
		Ground:  takeoff.Ground{Topsoil: takeoff.Topsoil{Depth: 0.2}},
		Pads: []takeoff.Pad{
			{Name: "a", Outline: square(35, 35, 20), Finished: 51.2, Layers: []takeoff.Layer{{Name: "slab", Thickness: 0.2}},
				Margin: 0.5, Cut: takeoff.Batter{Along: 1.5}, Fill: takeoff.Batter{Along: 2}},
			{Name: "b", Outline: square(60, 40, 15), Finished: 50.8, Cut: takeoff.Batter{Along: 1}, Fill: takeoff.Batter{Along: 1.5},
				Fall: &takeoff.Fall{Slope: 0.02, Bearing: 40, At: square(60, 40, 15)[0][0]}},
			{Name: "c", Outline: square(50, 75, 10), Finished: 51},
		},
	}
}

// The balance is that of bisection on whole takeoffs, and to the last bit what a takeoff
// at its level measures.
func TestBalanceEqualsBisection(t *testing.T) {
	t.Parallel()
	factors := []float64{0.9, 1.15}
	if testing.Short() {
		factors = factors[:1]
	}
	for seed, factor := range factors {
		job := rolling(uint64(seed))
		b := balance(t, job, takeoff.BalanceOptions{CompactedPerBank: factor})
		require.NotNil(t, b.Balance)
		assert.InDelta(t, bisect(t, job, factor), b.Balance.Shift, 5e-6)
		at := *job
		at.Pads = slices.Clone(job.Pads)
		for i := range at.Pads {
			at.Pads[i].Finished = *b.Balance.Levels[i].FinishedLevel
		}
		r := run(t, &at)
		assert.Equal(t, r.Total.Cut, b.Balance.Cut)
		assert.Equal(t, r.Total.Fill, b.Balance.Fill)
		assert.Less(t, *b.Balance.Surplus+*b.Balance.Short, 2e-3)
		require.Len(t, b.OneByOne, 3)
		alone := b.OneByOne[1]
		assert.InDelta(t, bisect(t, job, factor, "b"), alone.Balance.Shift, 5e-6)
		one := balance(t, job, takeoff.BalanceOptions{Pads: []string{"b"}, CompactedPerBank: factor})
		assert.Equal(t, alone.Balance, one.Balance)
		assert.Empty(t, one.OneByOne)
	}
}

// Without a factor one volume of cut makes one of fill, which is said, and nothing is
// called surplus or short.
func TestBalanceWithoutFactor(t *testing.T) {
	job := slopeJob()
	job.Pads[0].Finished = 11.9
	b := balance(t, job, takeoff.BalanceOptions{})
	assert.InDelta(t, 0.1, b.Balance.Shift, 1e-6)
	assert.Nil(t, b.CompactedPerBank)
	assert.Nil(t, b.Balance.Surplus)
	assert.Nil(t, b.Balance.Short)
	assert.Contains(t, codes(b.Notes), takeoff.NoteNoFactor)
}

// Cut never grows and fill never falls with the level, and by how much they change is
// the area of the works, batters included.
func TestBalanceCurve(t *testing.T) {
	t.Parallel()
	for seed := range uint64(2) {
		b := balance(t, rolling(seed), takeoff.BalanceOptions{CompactedPerBank: 0.9, Step: 0.05})
		require.GreaterOrEqual(t, len(b.Curve), 25)
		assert.Empty(t, b.Jumps)
		for i := 1; i < len(b.Curve); i++ {
			p, q := b.Curve[i-1], b.Curve[i]
			way := q.Shift - p.Shift
			require.Positive(t, way)
			small := 1e-6 * (p.Cut + p.Fill)
			assert.LessOrEqual(t, q.Cut, p.Cut+small)
			assert.GreaterOrEqual(t, q.Fill, p.Fill-small)
			assert.LessOrEqual(t, q.CutArea, p.CutArea*(1+1e-6))
			assert.GreaterOrEqual(t, q.FillArea, p.FillArea*(1-1e-6))
			assert.GreaterOrEqual(t, p.Cut-q.Cut, way*q.CutArea-small)
			assert.LessOrEqual(t, p.Cut-q.Cut, way*p.CutArea+small)
			assert.GreaterOrEqual(t, q.Fill-p.Fill, way*p.FillArea-small)
			assert.LessOrEqual(t, q.Fill-p.Fill, way*q.FillArea+small)
		}
	}
}

// The slope of the curve, by central differences on whole takeoffs.
func TestBalanceSlope(t *testing.T) {
	t.Parallel()
	const h = 1e-4
	for seed := range uint64(2) {
		job := rolling(seed)
		b := balance(t, job, takeoff.BalanceOptions{CompactedPerBank: 0.9})
		up, down := run(t, shiftedJob(job, h)), run(t, shiftedJob(job, -h))
		assert.InEpsilon(t, b.AsGiven.CutArea, (down.Total.Cut-up.Total.Cut)/(2*h), 1e-5)
		assert.InEpsilon(t, b.AsGiven.FillArea, (up.Total.Fill-down.Total.Fill)/(2*h), 1e-5)
		batters := 0.0
		for _, p := range run(t, job).Pads {
			batters += p.BatterArea
		}
		assert.Positive(t, batters)
		assert.InDelta(t, run(t, job).Total.WorksArea, b.AsGiven.CutArea+b.AsGiven.FillArea, 1e-6)
		assert.InDelta(t, b.PerStep.Step*b.Balance.CutArea, b.PerStep.CutFalls, 1e-9)
	}
}

// On a slope of 1 in 10 a pad 20 by 20 with upright faces has cut (10 - 10 d)^2 / 20 x 20
// and fill (10 + 10 d)^2 / 20 x 20 with its level d above the middle. With a factor k
// they balance where (1 + d) / (1 - d) is the root of k.
func TestBalanceClosedForm(t *testing.T) {
	for _, unit := range []tin.Unit{tin.Metre, tin.Foot} {
		for _, k := range []float64{1, 0.9, 0.81, 1.1} {
			job := slopeJob()
			job.Units = unit
			job.Pads[0].Finished = 12.3
			b := balance(t, job, takeoff.BalanceOptions{CompactedPerBank: k})
			root := math.Sqrt(k)
			assert.InDelta(t, (root-1)/(root+1)-0.3, b.Balance.Shift, 4e-6)
			assert.InDelta(t, 12.3+b.Balance.Shift, *b.Balance.Levels[0].FinishedLevel, 1e-12)
			assert.Empty(t, b.Warnings)
			perVolume := 1.0
			if unit == tin.Foot {
				perVolume = 27
			}
			assert.InDelta(t, 49/perVolume, b.AsGiven.Cut, 1e-9)
			assert.InDelta(t, 140*b.PerStep.Step/perVolume*(1-b.Balance.Shift-0.3)/0.7, b.PerStep.CutFalls, 1e-4)
		}
	}
	// With the job's level at its balance nothing moves.
	b := balance(t, slopeJob(), takeoff.BalanceOptions{})
	assert.InDelta(t, 0, b.Balance.Shift, 1e-6)
}

// A pad with levels of its own moves as a whole.
func TestBalanceOwnLevels(t *testing.T) {
	job := slopeJob()
	job.Pads[0].Finished = 0
	job.Pads[0].Levels = &takeoff.Levels{Outline: [][]float64{{12.3, 12.3, 12.3, 12.3}},
		Spots: []tin.Point{{E: 20, N: 20, Level: 12.3}}, Lines: []tin.Breakline{{Vertices: []tin.Point{{E: 14, N: 14, Level: 12.3}, {E: 15, N: 15, Level: math.NaN()}, {E: 16, N: 16, Level: 12.3}}}}}
	job.Pads[0].Levels.Lines[0].Vertices[1].Level = 12.3
	b := balance(t, job, takeoff.BalanceOptions{CompactedPerBank: 1})
	assert.InDelta(t, -0.3, b.Balance.Shift, 1e-6)
	assert.Nil(t, b.Balance.Levels[0].FinishedLevel)
	assert.Equal(t, 12.3, *b.Moved[0].Lowest)
	low := 12.1
	b = balance(t, job, takeoff.BalanceOptions{CompactedPerBank: 1, NotBelow: &low})
	assert.Nil(t, b.Balance)
	assert.InDelta(t, -0.2, b.Nearest.Shift, 1e-12)
}

// Limits end the search, and what is missing there is said.
func TestBalanceLimits(t *testing.T) {
	job := slopeJob()
	job.Pads[0].Finished = 12.3
	low, high := 12.05, 12.25
	job.Pads[0].NotBelow = &low
	b := balance(t, job, takeoff.BalanceOptions{CompactedPerBank: 0.9, NotAbove: &high})
	assert.Nil(t, b.Balance)
	require.NotNil(t, b.Nearest)
	assert.Equal(t, -0.25, b.Nearest.Shift)
	assert.InDelta(t, 10*math.Pow(1.05, 2)*10-0.9*100*math.Pow(0.95, 2), *b.Nearest.Short, 1e-9)
	assert.Equal(t, []string{takeoff.WarnNoBalance}, codes(b.Warnings))
	assert.Contains(t, b.Warnings[0].Message, "pad a not below 12.05 (its own limit)")
	assert.Contains(t, b.Warnings[0].Message, "short 29.03 m3")
	assert.True(t, b.AsGiven.Outside)
	for _, p := range b.Table {
		assert.False(t, p.Outside)
	}
	// wide enough: the balance is between them
	low = 11.5
	b = balance(t, job, takeoff.BalanceOptions{CompactedPerBank: 0.9, NotAbove: &high})
	require.NotNil(t, b.Balance)
	assert.Empty(t, b.Warnings)
}

func TestBalanceErrors(t *testing.T) {
	nan, low, high := math.NaN(), 13.0, 12.0
	for _, c := range []struct {
		name, code, key string
		change          func(*takeoff.Job, *takeoff.BalanceOptions)
	}{
		{"no such pad", "unknown_pad", "pads", func(_ *takeoff.Job, o *takeoff.BalanceOptions) { o.Pads = []string{"z"} }},
		{"limits cross", "limits_impossible", "not_below", func(_ *takeoff.Job, o *takeoff.BalanceOptions) { o.NotBelow, o.NotAbove = &low, &high }},
		{"limit of the pad and one given", "limits_impossible", "not_below", func(j *takeoff.Job, o *takeoff.BalanceOptions) {
			j.Pads[0].NotBelow, o.NotAbove = &low, &high
		}},
		{"limits of a pad cross", "limits_impossible", "pad[0].not_below", func(j *takeoff.Job, _ *takeoff.BalanceOptions) {
			j.Pads[0].NotBelow, j.Pads[0].NotAbove = &low, &high
		}},
		{"limits of two pads", "limits_impossible", "not_below", func(j *takeoff.Job, _ *takeoff.BalanceOptions) {
			j.Pads = append(j.Pads, takeoff.Pad{Name: "b", Outline: square(1, 1, 5), Finished: 11, NotAbove: &high})
			j.Pads[0].NotBelow = &low
			j.Pads[1].NotAbove = ptr(11.5)
		}},
		{"limit no number", "bad_level", "not_below", func(_ *takeoff.Job, o *takeoff.BalanceOptions) { o.NotBelow = &nan }},
		{"bound no number", "bad_level", "pad[0]", func(j *takeoff.Job, _ *takeoff.BalanceOptions) { j.Pads[0].NotAbove = &nan }},
		{"step below 0", "bad_value", "step", func(_ *takeoff.Job, o *takeoff.BalanceOptions) { o.Step = -0.01 }},
		{"step no number", "bad_value", "step", func(_ *takeoff.Job, o *takeoff.BalanceOptions) { o.Step = nan }},
		{"step too great", "bad_value", "step", func(_ *takeoff.Job, o *takeoff.BalanceOptions) { o.Step = 1e300 }},
		{"factor in per cent", "factor_range", "compacted_per_bank", func(_ *takeoff.Job, o *takeoff.BalanceOptions) { o.CompactedPerBank = 90 }},
		{"factor no number", "factor_range", "compacted_per_bank", func(_ *takeoff.Job, o *takeoff.BalanceOptions) { o.CompactedPerBank = nan }},
		{"cost no number", "bad_value", "cost", func(_ *takeoff.Job, o *takeoff.BalanceOptions) {
			o.Cost = func(*takeoff.Result) (float64, error) { return nan, nil }
		}},
		{"pad off the ground", "outline_off_ground", "pads", func(j *takeoff.Job, o *takeoff.BalanceOptions) {
			j.Pads = append(j.Pads, takeoff.Pad{Name: "far", Outline: square(500, 500, 5), Finished: 11})
			o.Pads = []string{"far"}
		}},
		{"job without pads", "no_pad", "pad", func(j *takeoff.Job, _ *takeoff.BalanceOptions) { j.Pads = nil }},
	} {
		t.Run(c.name, func(t *testing.T) {
			job, opts := slopeJob(), takeoff.BalanceOptions{}
			c.change(job, &opts)
			_, err := takeoff.Balance(t.Context(), job, opts)
			var e *tin.InputError
			require.ErrorAs(t, err, &e)
			assert.Equal(t, c.code, e.Code)
			assert.Equal(t, c.key, e.Key)
			assert.NotEmpty(t, e.Hint)
		})
	}
	_, err := takeoff.Balance(t.Context(), slopeJob(), takeoff.BalanceOptions{Cost: func(*takeoff.Result) (float64, error) { return 0, fmt.Errorf("no rates") }})
	assert.ErrorContains(t, err, "no rates")
}

func ptr[T any](x T) *T { return &x }

// A cancelled context ends it between two levels.
func TestBalanceCancelled(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	levels := 0
	_, err := takeoff.Balance(ctx, slopeJob(), takeoff.BalanceOptions{Options: takeoff.Options{Progress: func(stage string, _, _ int) {
		if stage == "measuring levels" {
			if levels++; levels == 3 {
				cancel()
			}
		}
	}}})
	require.ErrorIs(t, err, context.Canceled)
	assert.Equal(t, 3, levels)
}

// ridge is ground with a low hump beside a pad and a high ridge behind it, and a batter
// of 1V:4H that clears the place between the two, 12.25 high and 8 m off, with its
// formation above 10.25: below, the ridge joins the works at once.
func ridge() *takeoff.Job {
	var points []tin.Point
	for _, p := range [][2]float64{{0, 8}, {28, 8}, {32, 11}, {40, 11}, {41, 12}, {46, 12}, {48, 12.25}, {50, 20}, {60, 20}, {62, 10}, {100, 10}} {
		for _, n := range []float64{0, 20, 40} {
			points = append(points, tin.Point{E: p[0], N: n, Level: p[1]})
		}
	}
	return &takeoff.Job{
		Surveys: []takeoff.Survey{{Name: "ground.csv", Points: points}},
		Pads:    []takeoff.Pad{{Name: "a", Outline: square(20, 10, 20), Finished: 10.4, Cut: takeoff.Batter{Along: 4}}},
	}
}

// Where a ridge behind the daylight line joins the works the volumes jump: that is
// found, with both sides, as takeoffs there have them. Where the jump goes over the
// balance no level balances.
func TestBalanceJump(t *testing.T) {
	t.Parallel()
	job := ridge()
	b := balance(t, job, takeoff.BalanceOptions{CompactedPerBank: 1, Step: 0.05})
	require.Len(t, b.Jumps, 1)
	j := b.Jumps[0]
	assert.InDelta(t, -0.15, j.Below.Shift, 1e-5)
	assert.InDelta(t, -0.15, j.Above.Shift, 1e-5)
	assert.Greater(t, j.Cut, 500.0)
	assert.InDelta(t, run(t, shiftedJob(job, -0.15-1e-5)).Total.Cut, j.Below.Cut, 0.02)
	assert.InDelta(t, run(t, shiftedJob(job, -0.15+1e-5)).Total.Cut, j.Above.Cut, 0.02)
	assert.Contains(t, codes(b.Notes), takeoff.NoteWorksJoin)

	factor := (j.Above.Fill/j.Above.Cut + j.Below.Fill/j.Below.Cut) / 2
	across := balance(t, job, takeoff.BalanceOptions{CompactedPerBank: factor})
	require.NotNil(t, across.Balance)
	require.Len(t, across.Jumps, 1)
	assert.Contains(t, codes(across.Warnings), takeoff.WarnJump)
	assert.InDelta(t, -0.15, across.Balance.Shift, 1e-5)
	assert.Greater(t, *across.Balance.Surplus+*across.Balance.Short, 1.0)
}

// Without spoil and import the least cost is where another step up saves as much cut as
// it costs fill; no takeoff at another level costs less.
func TestBalanceLeastCost(t *testing.T) {
	t.Parallel()
	job := rolling(1)
	job.Pads, job.Ground.Topsoil = job.Pads[:1], takeoff.Topsoil{}
	low, high := 50.0, 52.0
	rates := takeoff.EarthRates{Cut: 850, Fill: 600}
	b := balance(t, job, takeoff.BalanceOptions{CompactedPerBank: 0.9, Rates: &rates, NotBelow: &low, NotAbove: &high})
	require.NotNil(t, b.LeastCost)
	assert.InEpsilon(t, 850*b.LeastCost.CutArea, 600*b.LeastCost.FillArea, 1e-3)
	assert.Empty(t, b.LeastCost.AtEnd)
	for k := range 41 {
		r := run(t, shiftedJob(job, -1.2+float64(k)/20))
		assert.LessOrEqual(t, float64(*b.LeastCost.Cost), 850*r.Total.Cut+600*r.Total.Fill+1)
	}
}

// With dear spoil and import the least cost is at the balance, where the cost has a
// bend; with free fill the lowest cost is as high as the limits allow.
func TestBalanceLeastCostAtBend(t *testing.T) {
	job := slopeJob()
	job.Pads[0].Finished = 12.3
	b := balance(t, job, takeoff.BalanceOptions{CompactedPerBank: 0.9, Rates: &takeoff.EarthRates{Cut: 10, Fill: 10, Spoil: 90000, Import: 90000}})
	assert.InDelta(t, b.Balance.Shift, b.LeastCost.Shift, 1e-4)
	high := 12.4
	b = balance(t, job, takeoff.BalanceOptions{CompactedPerBank: 0.9, NotAbove: &high, Rates: &takeoff.EarthRates{Cut: 1000}})
	assert.InDelta(t, 0.1, b.LeastCost.Shift, 1e-12)
	assert.Equal(t, takeoff.EndLimit, b.LeastCost.AtEnd)
	b = balance(t, job, takeoff.BalanceOptions{CompactedPerBank: 0.9, Rates: &takeoff.EarthRates{Fill: 1000}})
	assert.Equal(t, 0.0, math.Round(b.LeastCost.Fill*100)/100)
	// one price for all levels: the job stays where it is
	b = balance(t, job, takeoff.BalanceOptions{CompactedPerBank: 0.9, Cost: func(*takeoff.Result) (float64, error) { return 500, nil }})
	assert.Zero(t, b.LeastCost.Shift)
}

// What is left over or missing costs more, per bank and compacted volume.
func TestEarthRates(t *testing.T) {
	rates := takeoff.EarthRates{Cut: 100, Fill: 200, Spoil: 1000, Import: 5000}
	job := slopeJob()
	for _, factor := range []float64{0, 0.8, 1, 1.25} {
		k := factor
		if k == 0 {
			k = 1
		}
		b := balance(t, job, takeoff.BalanceOptions{CompactedPerBank: factor, Rates: &rates})
		for _, p := range b.Curve {
			want := 100*p.Cut + 200*p.Fill
			if left := k*p.Cut - p.Fill; left > 0 {
				want += 1000 * left / k
			} else {
				want -= 5000 * left
			}
			assert.InDelta(t, want, float64(*p.Cost), 0.51)
		}
		// the same by a function of the whole result
		whole := balance(t, job, takeoff.BalanceOptions{CompactedPerBank: factor, Cost: func(r *takeoff.Result) (float64, error) {
			left := k*r.Total.Cut - r.Total.Fill
			return 100*r.Total.Cut + 200*r.Total.Fill + 1000*max(0, left)/k + 5000*max(0, -left), nil
		}})
		assert.InDelta(t, b.LeastCost.Shift, whole.LeastCost.Shift, 1e-4)
		assert.InDelta(t, float64(*b.LeastCost.Cost), float64(*whole.LeastCost.Cost), 1)
	}
}

// Levels that were given as such do not move with their pad.
func TestBalanceLevelsThatStay(t *testing.T) {
	job := slopeJob()
	job.Pads[0].Thickenings = []takeoff.Thickening{{Name: "pit", Areas: orb.MultiPolygon{square(12, 12, 2)}, Underside: ptr(9.0)}}
	job.Pads[0].Backfill = &takeoff.Backfill{UpTo: takeoff.BackfillLevel, Level: 12.5}
	b := balance(t, job, takeoff.BalanceOptions{CompactedPerBank: 0.8})
	said := 0
	for _, n := range b.Notes {
		if n.Code == takeoff.NoteStays {
			said++
		}
	}
	assert.Equal(t, 2, said)
	var beside []string
	for _, o := range b.NotMeasured {
		beside = append(beside, o.Code)
	}
	assert.Contains(t, beside, "thickenings_apart")
}

// Pads in another order, and points in another order, give the same to the last bit.
func TestBalanceRepeats(t *testing.T) {
	t.Parallel()
	a := balance(t, rolling(3), takeoff.BalanceOptions{CompactedPerBank: 0.9})
	job := rolling(3)
	slices.Reverse(job.Surveys[0].Points)
	assert.Equal(t, a.Curve, balance(t, job, takeoff.BalanceOptions{CompactedPerBank: 0.9}).Curve)
}

func BenchmarkBalance(b *testing.B) {
	job := rolling(1)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := takeoff.Balance(b.Context(), job, takeoff.BalanceOptions{CompactedPerBank: 0.9}); err != nil {
			b.Fatal(err)
		}
	}
}
