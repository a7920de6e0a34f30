package setout_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/setout"
)

// oblong is the area from 0, 0 to e, n as two triangles.
func oblong(e, n float64) [][3]orb.Point {
	return [][3]orb.Point{{{0, 0}, {e, 0}, {e, n}}, {{0, 0}, {e, n}, {0, n}}}
}

// flat asks for one level everywhere.
func flat(level float64) func(e, n float64) (float64, bool) {
	return func(e, n float64) (float64, bool) { return level, true }
}

// lattice is shots at whole multiples of step over an oblong, all at one level.
func lattice(e, n, step, level float64) (shots []setout.Shot) {
	for i := 0.0; i <= e; i += step {
		for j := 0.0; j <= n; j += step {
			shots = append(shots, setout.Shot{E: i, N: j, Level: level})
		}
	}
	return shots
}

func conform(t *testing.T, shots []setout.Shot, level float64, opts setout.ConformOptions) *setout.Conformance {
	t.Helper()
	c, err := setout.Conform(shots, flat(level), opts)
	require.NoError(t, err)
	return c
}

// Published tolerances (TOL-1: Kentucky Tabulation of Construction Tolerances, sections
// 204.03.10 and 207.03.02; Lawrenceburg, Indiana, municipal code 155.080), in feet: a shot
// at the limit is within it, one a thousandth farther is out.
func TestConformPublishedTolerances(t *testing.T) {
	for _, tt := range []struct {
		what string
		feet float64
	}{
		{"204.03.10 subgrade in roadway and drainage excavation, 0.1 ft", 0.1},
		{"204.03.10 rock subgrade, 0.2 ft", 0.2},
		{"207.03.02 subgrade prepared for base, and 155.080 earth subgrade, 1/2 in", 0.5 / 12},
	} {
		limits := &setout.Tolerance{Up: tt.feet, Down: tt.feet}
		for off, want := range map[float64]setout.Standing{
			0: setout.Within, tt.feet: setout.Within, -tt.feet: setout.Within,
			tt.feet + 0.001: setout.Out, -tt.feet - 0.001: setout.Out,
		} {
			c := conform(t, []setout.Shot{{Level: 358 + off}}, 358, setout.ConformOptions{Tolerance: limits})
			assert.Equal(t, want, c.Deviations[0].Standing, "%s: %g", tt.what, off)
		}
	}
}

// Limits up and down are apart, and within two standard deviations of one nothing is
// decided.
func TestConformDoubt(t *testing.T) {
	limits := &setout.Tolerance{Up: 0.010, Down: 0.030}
	for _, tt := range []struct {
		level, sd float64
		off       float64
		want      setout.Standing
	}{
		{62.935, 0, 0.010, setout.Within},
		{62.936, 0, 0.011, setout.Out},
		{62.895, 0, -0.030, setout.Within},
		{62.894, 0, -0.031, setout.Out},
		{62.925, 0.005, 0, setout.Within},
		{62.926, 0.005, 0.001, setout.Undecided},
		{62.935, 0.005, 0.010, setout.Undecided},
		{62.944, 0.005, 0.019, setout.Undecided},
		{62.945, 0.005, 0.020, setout.Out},
		{62.905, 0.005, -0.020, setout.Within},
		{62.904, 0.005, -0.021, setout.Undecided},
		{62.886, 0.005, -0.039, setout.Undecided},
		{62.885, 0.005, -0.040, setout.Out},
	} {
		c := conform(t, []setout.Shot{{Level: tt.level}}, 62.925, setout.ConformOptions{Tolerance: limits, StandardDeviation: tt.sd})
		assert.Equal(t, tt.off, c.Deviations[0].Off, "%g", tt.level)
		assert.Equal(t, tt.want, c.Deviations[0].Standing, "%g with %g", tt.level, tt.sd)
	}
}

// Pegs shot back at the level asked for have no deviation, wherever the datum is.
func TestConformPegsShotBack(t *testing.T) {
	plane := tin.FallingPlane(orb.Point{10, 10}, 62.925, 1.0/80, 117)
	asked := func(e, n float64) (float64, bool) { return plane.LevelAt(e, n), true }
	var shots []setout.Shot
	for _, s := range lattice(20, 20, 5, 0) {
		s.Level, _ = asked(s.E, s.N)
		shots = append(shots, s)
	}
	c, err := setout.Conform(shots, asked, setout.ConformOptions{Tolerance: &setout.Tolerance{}, Cover: setout.Cover{Area: oblong(20, 20), PerShot: 50, Reach: 7}})
	require.NoError(t, err)
	for _, d := range c.Deviations {
		assert.Zero(t, d.Off)
	}
	assert.Equal(t, []any{setout.VerdictWithin, 25, 0.0, 0.0}, []any{c.Verdict, c.Within, c.Mean, c.StandardDeviation})
}

// A random error of 10 mm leaves within +10 -30 mm what the normal distribution says:
// Phi(1) - Phi(-3) = 0.8413 - 0.0013. With the seed fixed, 20,000 shots are within four
// standard deviations of the binomial distribution.
func TestConformShareOfRandomErrors(t *testing.T) {
	const n, sd = 20_000, 0.010
	r := rand.New(rand.NewPCG(4, 1))
	shots := make([]setout.Shot, n)
	for i := range shots {
		shots[i] = setout.Shot{E: float64(i), Level: 62.925 + sd*r.NormFloat64()}
	}
	phi := func(x float64) float64 { return math.Erfc(-x/math.Sqrt2) / 2 }
	near := func(count int, p float64, what string) {
		assert.InDelta(t, n*p, count, 4*math.Sqrt(n*p*(1-p)), what)
	}
	limits := &setout.Tolerance{Up: 0.010, Down: 0.030}
	c := conform(t, shots, 62.925, setout.ConformOptions{Tolerance: limits})
	near(c.Within, phi(1)-phi(-3), "within")
	assert.Equal(t, n, c.Within+c.Out)
	assert.InDelta(t, 0, c.Mean, 4*sd/math.Sqrt(n))
	assert.InDelta(t, sd, c.StandardDeviation, 4*sd/math.Sqrt(2*n))

	// With 2 mm of a shot's own, what lies within 4 mm of a limit is undecided.
	c = conform(t, shots, 62.925, setout.ConformOptions{Tolerance: limits, StandardDeviation: 0.002})
	near(c.Undecided, phi(1.4)-phi(0.6)+phi(-2.6)-phi(-3.4), "undecided")
	near(c.Within, phi(0.6)-phi(-2.6), "within, decided")
	assert.Equal(t, n, c.Within+c.Out+c.Undecided)
}

// What the shots say together, and that too few say nothing.
func TestConformVerdict(t *testing.T) {
	opts := setout.ConformOptions{Tolerance: &setout.Tolerance{Up: 0.01, Down: 0.01}, Cover: setout.Cover{Area: oblong(20, 10), PerShot: 50, Reach: 7}}
	shots := lattice(20, 10, 5, 7)
	assert.Equal(t, setout.VerdictWithin, conform(t, shots, 7, opts).Verdict)
	shots[7].Level += 0.005
	opts.StandardDeviation = 0.003
	c := conform(t, shots, 7, opts)
	assert.Equal(t, setout.VerdictUndecided, c.Verdict)
	assert.Equal(t, 7, c.Worst)
	shots[3].Level -= 0.1
	c = conform(t, shots, 7, opts)
	assert.Equal(t, setout.VerdictOut, c.Verdict)
	assert.Equal(t, []int{13, 1, 1, 3}, []int{c.Within, c.Undecided, c.Out, c.Worst})
	assert.Equal(t, setout.VerdictTooFew, conform(t, shots[:4], 7, opts).Verdict)
	opts.Tolerance = nil
	c = conform(t, shots, 7, opts)
	assert.Equal(t, setout.VerdictNoTolerance, c.Verdict)
	assert.Equal(t, setout.Unjudged, c.Deviations[0].Standing)
}

// Shots crowded in one corner are enough in number and still do not cover the area; the
// places named do, once they are shot.
func TestConformSaysWhereShotsAreMissing(t *testing.T) {
	cover := setout.Cover{Area: oblong(40, 20), PerShot: 50, Reach: 7}
	opts := setout.ConformOptions{Tolerance: &setout.Tolerance{}, Cover: cover}
	shots := lattice(6, 6, 1, 7)
	c := conform(t, shots, 7, opts)
	assert.Equal(t, []any{800.0, 16, 49}, []any{c.Coverage.Area, c.Coverage.Needed, c.Coverage.Have})
	assert.InDelta(t, math.Hypot(34, 14), c.Coverage.Gap, 1e-12)
	assert.Equal(t, orb.Point{40, 20}, c.Coverage.Places[0].At)
	assert.Equal(t, len(c.Coverage.Places), c.Coverage.Missing)
	for i, p := range c.Coverage.Places {
		assert.True(t, i == 0 || p.Distance <= c.Coverage.Places[i-1].Distance)
		shots = append(shots, setout.Shot{E: p.At[0], N: p.At[1], Level: 7})
	}
	c = conform(t, shots, 7, opts)
	assert.Equal(t, setout.VerdictWithin, c.Verdict)
	assert.LessOrEqual(t, c.Coverage.Gap, cover.Reach)
	assert.Empty(t, c.Coverage.Places)

	none := conform(t, nil, 7, opts)
	assert.True(t, math.IsInf(none.Coverage.Gap, 1))
	assert.GreaterOrEqual(t, none.Coverage.Missing, 16)
	assert.InDelta(t, 0, math.Hypot(none.Coverage.Places[0].At[0]-20, none.Coverage.Places[0].At[1]-10), none.Coverage.Step)
	assert.Equal(t, -1, none.Worst)
	assert.True(t, math.IsNaN(none.StandardDeviation))
}

// The greatest distance from a shot is that found by looking at every place, to a step;
// shots in a line or at one place make no difference.
func TestConformGapAgainstBrute(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 9))
	for range 30 {
		e, n := 5+50*r.Float64(), 5+50*r.Float64()
		var shots []setout.Shot
		for range 1 + r.IntN(8) {
			s := setout.Shot{E: e * r.Float64(), N: n * r.Float64()}
			if r.IntN(3) == 0 {
				s.N = n / 2
			}
			shots = append(shots, s, s)
		}
		brute := 0.0
		for i := range 401 {
			for j := range 401 {
				least := math.Inf(1)
				for _, s := range shots {
					least = min(least, math.Hypot(e*float64(i)/400-s.E, n*float64(j)/400-s.N))
				}
				brute = max(brute, least)
			}
		}
		c := conform(t, shots, 0, setout.ConformOptions{Cover: setout.Cover{Area: oblong(e, n), Reach: 7}})
		assert.InDelta(t, brute, c.Coverage.Gap, c.Coverage.Step)
		other := conform(t, reversed(shots), 0, setout.ConformOptions{Cover: setout.Cover{Area: oblong(e, n), Reach: 7}})
		assert.Equal(t, c.Coverage, other.Coverage)
	}
}

func reversed(shots []setout.Shot) (out []setout.Shot) {
	for i := range shots {
		out = append(out, shots[len(shots)-1-i])
	}
	return out
}

// In any order the shots have the same bits of mean, deviation, verdict and worst.
func TestConformInAnyOrder(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 5))
	var shots []setout.Shot
	for _, s := range lattice(20, 20, 4, 7) {
		s.Level += 0.02 * (r.Float64() - 0.5)
		shots = append(shots, s)
	}
	opts := setout.ConformOptions{Tolerance: &setout.Tolerance{Up: 0.004, Down: 0.008}, StandardDeviation: 0.001, Cover: setout.Cover{Area: oblong(20, 20), PerShot: 50, Reach: 7}}
	c := conform(t, shots, 7, opts)
	back := reversed(shots)
	d := conform(t, back, 7, opts)
	assert.Equal(t, shots[c.Deviations[c.Worst].Shot], back[d.Deviations[d.Worst].Shot])
	assert.Equal(t, []any{c.Mean, c.StandardDeviation, c.Within, c.Out, c.Undecided, c.Verdict, c.Coverage},
		[]any{d.Mean, d.StandardDeviation, d.Within, d.Out, d.Undecided, d.Verdict, d.Coverage})
}

func TestConformBeside(t *testing.T) {
	asked := func(e, n float64) (float64, bool) { return 7, e < 10 }
	c, err := setout.Conform([]setout.Shot{{E: 5, Level: 7.5}, {E: 15, Level: 7}, {E: 6, Level: 7}}, asked, setout.ConformOptions{})
	require.NoError(t, err)
	assert.Equal(t, []int{1}, c.Beside)
	assert.Equal(t, []setout.Deviation{{Shot: 0, Asked: 7, Off: 0.5, Standing: setout.Unjudged}, {Shot: 2, Asked: 7, Standing: setout.Unjudged}}, c.Deviations)
}

func TestConformRefuses(t *testing.T) {
	for code, tt := range map[string]struct {
		shot setout.Shot
		opts setout.ConformOptions
	}{
		"bad_shot":      {shot: setout.Shot{Level: math.NaN()}},
		"bad_tolerance": {opts: setout.ConformOptions{Tolerance: &setout.Tolerance{Up: 1, Down: -1}}},
	} {
		_, err := setout.Conform([]setout.Shot{tt.shot}, flat(0), tt.opts)
		var e *tin.InputError
		require.ErrorAs(t, err, &e)
		assert.Equal(t, code, e.Code)
	}
	_, err := setout.Conform(nil, flat(0), setout.ConformOptions{StandardDeviation: math.Inf(1)})
	assert.Error(t, err)
}

// BenchmarkConform holds 10,000 shots against a level over a hectare.
func BenchmarkConform(b *testing.B) {
	shots := lattice(99, 99, 1, 7)
	opts := setout.ConformOptions{Tolerance: &setout.Tolerance{Up: 0.01, Down: 0.01}, Cover: setout.Cover{Area: oblong(100, 100), PerShot: 50, Reach: 7}}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := setout.Conform(shots, flat(7), opts); err != nil {
			b.Fatal(err)
		}
	}
}
