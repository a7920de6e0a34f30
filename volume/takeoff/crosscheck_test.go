package takeoff_test

import (
	"context"
	"encoding/json"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/volume/takeoff"
)

func crosscheck(t *testing.T, job *takeoff.Job, opts takeoff.CrosscheckOptions) *takeoff.CrosscheckResult {
	t.Helper()
	r, err := takeoff.Crosscheck(t.Context(), job, opts)
	require.NoError(t, err)
	return r
}

// figures returns those of a method.
func figures(m *takeoff.CrosscheckMethod) [3]*takeoff.CrosscheckFigure {
	return [3]*takeoff.CrosscheckFigure{&m.Cut, &m.Fill, &m.CutLessFill}
}

// The jobs that come along: all methods agree, on both bases, and the prisms are those
// of the takeoff to the bit.
func TestCrosscheckJobsThatComeAlong(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct{ folder, name string }{
		{"../../cmd/barrow/demo", "job.toml"}, {"../../testdata/autzen-pad", "job.toml"},
		{"../../testdata/autzen-pad", "reference-pad.toml"}, {"../../testdata/mesh-boolean", "ell.toml"},
	} {
		job, err := takeoff.Load(t.Context(), os.DirFS(tt.folder), tt.name, takeoff.Limits{})
		require.NoError(t, err)
		r, whole := crosscheck(t, job, takeoff.CrosscheckOptions{}), run(t, job)
		require.Equal(t, whole.Warnings, r.Warnings, tt.name)
		require.Equal(t, takeoff.BasisAsDug, r.Bases[0].Basis)
		assert.InEpsilon(t, whole.Total.Cut, r.Bases[0].Prism.Cut, 1e-14)
		assert.InEpsilon(t, whole.Total.Fill, r.Bases[0].Prism.Fill, 1e-14)
		assert.InEpsilon(t, whole.Total.WorksArea, r.Bases[0].Area, 1e-9)
		if len(r.Bases) > 1 {
			assert.InEpsilon(t, whole.Total.OutlineCut, r.Bases[1].Prism.Cut, 1e-14)
			assert.InEpsilon(t, whole.Total.OutlineFill, r.Bases[1].Prism.Fill, 1e-14)
		}
		for _, b := range r.Bases {
			require.Len(t, b.Methods, 3)
			for _, m := range b.Methods {
				for _, f := range figures(&m) {
					assert.False(t, f.Beyond, "%s %s %s", tt.name, b.Basis, m.Method)
					assert.Less(t, math.Abs(f.Difference), 0.05*(b.Prism.Cut+b.Prism.Fill))
				}
			}
			assert.GreaterOrEqual(t, b.Methods[2].Cells, int(10_000*b.Area/r.Bases[0].Area))
			assert.Zero(t, b.Methods[2].Uncovered)
		}
		assert.GreaterOrEqual(t, r.Alignment.Sections, 20)
	}
}

// inclined is ground over 0..200 both ways that rises by 1 in 20 to the east.
func inclined(unit tin.Unit, pads ...takeoff.Pad) *takeoff.Job {
	level := func(e float64) float64 { return 10 + e/20 }
	job := grounded(unit, spot(0, 0, level(0)), spot(200, 0, level(200)), spot(200, 200, level(200)), spot(0, 200, level(0)))
	job.Pads = pads
	return job
}

// On a plane an upright pit of 60 x 40 has sections that change in line: both sums over
// them are exact, 60 x 40 x the depth in its middle. The grid is, but for its rim.
func TestCrosscheckPlane(t *testing.T) {
	for _, unit := range []tin.Unit{tin.Metre, tin.Foot} {
		per := map[tin.Unit]float64{tin.Metre: 1, tin.Foot: 27}[unit]
		r := crosscheck(t, inclined(unit, takeoff.Pad{Name: "pit", Outline: ring(40, 50, 100, 90), Finished: 9}), takeoff.CrosscheckOptions{})
		require.Empty(t, r.Warnings)
		require.Len(t, r.Bases, 1, "net void and as dug are the same")
		b := r.Bases[0]
		want := 60 * 40 * (10 + 70.0/20 - 9) / per
		assert.InEpsilon(t, want, b.Prism.Cut, 1e-12)
		assert.InEpsilon(t, want, b.Methods[0].Cut.Volume, 1e-9)
		assert.InEpsilon(t, want, b.Methods[1].Cut.Volume, 1e-9)
		assert.InEpsilon(t, want, b.Methods[2].Cut.Volume, 1e-3)
		assert.InDelta(t, 0, b.Methods[0].Cut.Expected, 1e-6)
		assert.Zero(t, b.Methods[2].Fill.Volume)
		assert.Nil(t, b.Methods[0].Fill.Percent)
		assert.InDelta(t, 60, r.Alignment.Length, 1e-9)
		assert.InDelta(t, 90, r.Alignment.Bearing, 1e-9)
		assert.InDelta(t, 2*0.618, r.Alignment.Interval, 1e-9, "the greatest round one with 20 sections or more, times the golden section")
	}
}

// A pit 4 deep with sides 1V:1H in level ground, 20 x 20 below: V = A d + P d^2 / 2 +
// pi d^3 / 3, of which the last is its round corners.
func TestCrosscheckPit(t *testing.T) {
	job := grounded(tin.Metre, spot(0, 0, 10), spot(100, 0, 10), spot(100, 100, 10), spot(0, 100, 10))
	job.Pads = []takeoff.Pad{{Name: "pit", Outline: ring(40, 40, 60, 60), Finished: 6, Cut: takeoff.Batter{Along: 1}}}
	r := crosscheck(t, job, takeoff.CrosscheckOptions{})
	require.Empty(t, r.Warnings)
	want := 400*4 + 80*16/2 + math.Pi*64/3
	b := r.Bases[0]
	assert.InEpsilon(t, want, b.Prism.Cut, 1e-5)
	ends, rule, squares := &b.Methods[0].Cut, &b.Methods[1].Cut, &b.Methods[2].Cut
	assert.InEpsilon(t, want, ends.Volume, 2e-3)
	assert.Greater(t, math.Abs(ends.Difference), 4*math.Abs(rule.Difference))
	assert.InEpsilon(t, want, rule.Volume, 5e-4)
	assert.InEpsilon(t, want, squares.Volume, 1e-3)
	assert.InEpsilon(t, 1600, r.Bases[1].Prism.Cut, 1e-12, "net void")
}

// A spike of 0.6 m3 that no corner of the grid and no section meets: both methods are
// off by it, with no sign of it in halved spacings, and say where.
func TestCrosscheckFindsWhatItMissed(t *testing.T) {
	const e, n = 137.35, 52.45
	var points []tin.Point
	for i := range 21 {
		for k := range 21 {
			points = append(points, spot(10*float64(i), 10*float64(k), 10))
		}
	}
	for i := range 8 {
		sin, cos := math.Sincos(float64(i) * math.Pi / 4)
		points = append(points, spot(e+0.12*cos, n+0.12*sin, 10))
	}
	job := grounded(tin.Metre, append(points, spot(e, n, 50))...)
	job.Pads = []takeoff.Pad{{Name: "pad", Outline: ring(20, 20, 180, 100), Finished: 9}}
	r := crosscheck(t, job, takeoff.CrosscheckOptions{Interval: 10, Spacing: 1.5})
	spike := 0.12 * 0.12 * 2 * math.Sqrt2 * 40 / 3 // a pyramid on an octagon
	for _, m := range r.Bases[0].Methods {
		f := m.Cut
		require.True(t, f.Beyond, m.Method)
		assert.InDelta(t, -spike, f.Difference, 0.15, m.Method)
		assert.InDelta(t, -spike, f.Where.Difference, 0.15, m.Method)
		if m.Method == takeoff.MethodGrid {
			assert.InDelta(t, e, f.Where.At[0], 12)
			assert.InDelta(t, n, f.Where.At[1], 12)
			continue
		}
		assert.LessOrEqual(t, f.Where.Chainage[0]+20, e)
		assert.GreaterOrEqual(t, f.Where.Chainage[1]+20, e)
	}
	// Cut and cut less fill, by three methods, on one basis.
	require.Equal(t, slices.Repeat([]string{"methods_disagree"}, 6), codes(r.Warnings))
	assert.Contains(t, r.Warnings[0].Message, "between chainages 110.000 and 120.000")
	assert.Contains(t, r.Warnings[4].Message, "in the grid's rows")
}

// rough is a job on rolling, noisy ground with an L-shaped pad turned at random.
func rough(r *rand.Rand) *takeoff.Job {
	var points []tin.Point
	for range 2500 {
		x, y := 120*r.Float64(), 120*r.Float64()
		points = append(points, spot(312540+x, 5812300+y, 60+2*math.Sin(x/20)*math.Cos(y/17)+0.2*r.Float64()))
	}
	sin, cos := math.Sincos(r.Float64() * math.Pi)
	var outline orb.Ring
	for _, c := range []orb.Point{{-20, -15}, {20, -15}, {20, 5}, {2, 5}, {2, 15}, {-20, 15}} {
		outline = append(outline, orb.Point{312600 + c[0]*cos - c[1]*sin, 5812360 + c[0]*sin + c[1]*cos})
	}
	job := grounded(tin.Metre, points...)
	job.Ground.Topsoil.Depth = 0.2 * float64(r.IntN(2))
	job.Pads = []takeoff.Pad{{Name: "pad", Outline: orb.Polygon{outline}, Finished: 59 + 2*r.Float64(), Margin: 0.5 * r.Float64(),
		Cut: takeoff.Batter{Along: float64(r.IntN(3))}, Fill: takeoff.Batter{Along: 2 * float64(r.IntN(2))}}}
	return job
}

// What is expected holds nearly always, and is not far more than what comes. (Of 40 such
// jobs: docs/methods.md, 5.1.)
func TestCrosscheckExpects(t *testing.T) {
	t.Parallel()
	r := rand.New(rand.NewPCG(5, 7))
	jobs := 4
	if testing.Short() {
		jobs = 2
	}
	beyond, all := map[string]int{}, map[string]int{}
	ratio := map[string]float64{}
	for range jobs {
		for _, b := range crosscheck(t, rough(r), takeoff.CrosscheckOptions{}).Bases {
			for _, m := range b.Methods {
				for _, f := range figures(&m) {
					all[m.Method]++
					if f.Beyond {
						beyond[m.Method]++
					}
					ratio[m.Method] += math.Min(1, math.Abs(f.Difference)/math.Max(f.Expected, 1e-9))
				}
			}
		}
	}
	for method, n := range all {
		t.Logf("%s: %d of %d beyond, the difference is %.2f of what is expected on average", method, beyond[method], n, ratio[method]/float64(n))
		assert.LessOrEqual(t, float64(beyond[method]), max(1, 0.02*float64(n)), method)
		assert.Greater(t, ratio[method]/float64(n), 0.1, method)
	}
}

// The order of points, and the number of threads, do not reach the answer.
func TestCrosscheckSameBits(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 3))
	job := rough(r)
	want, err := json.Marshal(crosscheck(t, job, takeoff.CrosscheckOptions{Spacing: 0.5}))
	require.NoError(t, err)
	points := job.Surveys[0].Points
	r.Shuffle(len(points), func(i, k int) { points[i], points[k] = points[k], points[i] })
	outline := job.Pads[0].Outline[0]
	job.Pads[0].Outline[0] = append(slices.Clone(outline[2:]), outline[:2]...)
	got, err := json.Marshal(crosscheck(t, job, takeoff.CrosscheckOptions{Spacing: 0.5}))
	require.NoError(t, err)
	assert.Equal(t, string(want), string(got))
}

// A void in the survey under the pad, and a pad that reaches beyond the ground: all
// methods measure where there is ground, and no more.
func TestCrosscheckWithoutGround(t *testing.T) {
	job := inclined(tin.Metre, takeoff.Pad{Name: "pit", Outline: ring(150, 50, 210, 90), Finished: 9, Margin: 1, Cut: takeoff.Batter{Along: 1}})
	job.Ground.Voids = orb.MultiPolygon{{{{160, 60}, {170, 61}, {168, 72}}}}
	r := crosscheck(t, job, takeoff.CrosscheckOptions{Spacing: 0.5})
	assert.Equal(t, []string{"open_batter", "works_uncovered"}, codes(r.Warnings))
	for _, b := range r.Bases {
		for _, m := range b.Methods {
			assert.InEpsilon(t, b.Prism.Cut, m.Cut.Volume, 5e-3, "%s %s", b.Basis, m.Method)
			assert.Zero(t, m.Uncovered)
		}
		assert.True(t, b.AtLeast)
	}
	assert.Empty(t, r.Notes)
}

// Backfill is beside cut and fill, in none of the methods, and a note says so.
func TestCrosscheckBesideBackfill(t *testing.T) {
	job := inclined(tin.Metre, takeoff.Pad{Name: "pit", Outline: ring(40, 50, 100, 90), Finished: 9, Margin: 1, Backfill: &takeoff.Backfill{UpTo: takeoff.BackfillStripped}})
	r := crosscheck(t, job, takeoff.CrosscheckOptions{Spacing: 1})
	assert.Empty(t, r.Warnings)
	assert.Equal(t, []string{"beside_sections"}, codes(r.Notes))
}

// Pads that overlap, that touch with a step, with a hole, with berms; on a scaled grid.
func TestCrosscheckSeveralPads(t *testing.T) {
	job := rough(rand.New(rand.NewPCG(2, 9)))
	job.Scale = 0.9996
	batter := takeoff.Batter{Along: 1, Every: 0.5, Berm: 0.4}
	job.Pads = []takeoff.Pad{
		{Name: "a", Outline: append(ring(312575, 5812345, 312600, 5812375), ring(312580, 5812350, 312585, 5812360)...), Finished: 59.4, Cut: batter, Fill: batter},
		{Name: "b", Outline: ring(312600, 5812350, 312620, 5812372), Finished: 60.1, Margin: 0.5},
		{Name: "c", Outline: ring(312595, 5812340, 312610, 5812360), Finished: 59.8, Fall: &takeoff.Fall{Slope: 0.02, Bearing: 40, At: orb.Point{312595, 5812340}}, Fill: takeoff.Batter{Along: 2}},
	}
	whole, r := run(t, job), crosscheck(t, job, takeoff.CrosscheckOptions{Spacing: 0.5})
	require.Equal(t, whole.Warnings, r.Warnings)
	assert.InEpsilon(t, whole.Total.Cut, r.Bases[0].Prism.Cut, 1e-14)
	assert.InEpsilon(t, whole.Total.WorksArea, r.Bases[0].Area, 1e-9)
	assert.InEpsilon(t, 0.5, r.Grid.Spacing, 1e-12, "on the ground")
}

// Two surveys the other way round: cut and fill change places, by every method.
func TestCrosscheckSurveysSwapped(t *testing.T) {
	t.Parallel()
	a, b := grounded(tin.Metre), grounded(tin.Metre)
	r := rand.New(rand.NewPCG(9, 9))
	for range 600 {
		x, y := 60*r.Float64(), 40*r.Float64()
		a.Surveys[0].Points = append(a.Surveys[0].Points, spot(x, y, 10+math.Sin(x/9)))
		x, y = 60*r.Float64(), 40*r.Float64()
		b.Surveys[0].Points = append(b.Surveys[0].Points, spot(x, y, 10+math.Cos(y/9)))
	}
	for _, within := range []takeoff.Area{{}, area(ring(10, 10, 50, 30))} {
		there, err := takeoff.CrosscheckSurveys(t.Context(), &takeoff.Comparison{A: a, B: b, Within: within}, takeoff.CrosscheckOptions{})
		require.NoError(t, err)
		back, err := takeoff.CrosscheckSurveys(t.Context(), &takeoff.Comparison{A: b, B: a, Within: within}, takeoff.CrosscheckOptions{})
		require.NoError(t, err)
		require.Empty(t, there.Warnings)
		assert.Equal(t, takeoff.BasisSurveys, there.Bases[0].Basis)
		assert.Equal(t, there.Bases[0].Prism.Cut, back.Bases[0].Prism.Fill)
		for i, m := range there.Bases[0].Methods {
			n := back.Bases[0].Methods[i]
			assert.InEpsilon(t, m.Cut.Volume, n.Fill.Volume, 1e-4, m.Method)
			assert.InEpsilon(t, m.Fill.Volume, n.Cut.Volume, 1e-4, m.Method)
			assert.InDelta(t, m.CutLessFill.Volume, -n.CutLessFill.Volume, 0.05, m.Method)
		}
	}
}

// Two surveys of random spots a metre apart in level, without a boundary: sections lie at
// the corners of the hull, and both sums over them are exact, its area times 1.
func TestCrosscheckSurveysWithoutABoundary(t *testing.T) {
	a, b := grounded(tin.Metre), grounded(tin.Metre)
	r := rand.New(rand.NewPCG(4, 4))
	for range 300 {
		x, y := 60*r.Float64(), 40*r.Float64()
		a.Surveys[0].Points = append(a.Surveys[0].Points, spot(x, y, 10))
		b.Surveys[0].Points = append(b.Surveys[0].Points, spot(x, y, 9))
	}
	c, err := takeoff.CrosscheckSurveys(t.Context(), &takeoff.Comparison{A: a, B: b}, takeoff.CrosscheckOptions{Interval: 20, Spacing: 1})
	require.NoError(t, err)
	require.Empty(t, c.Warnings)
	works := c.Bases[0]
	assert.InEpsilon(t, works.Area, works.Prism.Cut, 1e-12)
	assert.InEpsilon(t, works.Area, works.Methods[0].Cut.Volume, 1e-9)
	assert.InEpsilon(t, works.Area, works.Methods[1].Cut.Volume, 1e-9)
	assert.Equal(t, []string{"survey_error", "shape_of_works"}, []string{c.NotMeasured[0].Code, c.NotMeasured[1].Code})
	assert.Len(t, c.NotMeasured, 2, "check shots do not go with two surveys")
}

// Two planes: cut 5000, fill 200 (see TestCompareTwoPlanes), by every method.
func TestCrosscheckTwoPlanes(t *testing.T) {
	c := &takeoff.Comparison{A: plane(tin.Foot, flat(10)), B: plane(tin.Foot, func(e float64) float64 { return 11 - 0.1*e }), Within: area(ring(0, 0, 60, 40))}
	r, err := takeoff.CrosscheckSurveys(t.Context(), c, takeoff.CrosscheckOptions{})
	require.NoError(t, err)
	require.Empty(t, r.Warnings)
	for _, m := range r.Bases[0].Methods {
		assert.InDelta(t, 5000.0/27, m.Cut.Volume, max(m.Cut.Expected, 0.02), m.Method)
		assert.InDelta(t, 200.0/27, m.Fill.Volume, max(m.Fill.Expected, 0.02), m.Method)
		assert.InDelta(t, 4800.0/27, m.CutLessFill.Volume, 0.02, m.Method)
	}
}

func TestCrosscheckRefuses(t *testing.T) {
	job := func() *takeoff.Job {
		return inclined(tin.Metre, takeoff.Pad{Name: "pit", Outline: ring(40, 50, 100, 90), Finished: 9})
	}
	for _, tt := range []struct {
		opts      takeoff.CrosscheckOptions
		code, key string
	}{
		{takeoff.CrosscheckOptions{Spacing: -1}, "bad_value", "spacing"},
		{takeoff.CrosscheckOptions{Spacing: math.NaN()}, "bad_value", "spacing"},
		{takeoff.CrosscheckOptions{Interval: math.Inf(1)}, "bad_value", "interval"},
		{takeoff.CrosscheckOptions{Spacing: 0.001}, "too_many_cells", "spacing"},
		{takeoff.CrosscheckOptions{Spacing: 1e-9}, "bad_grid_spacing", "spacing"},
		{takeoff.CrosscheckOptions{Interval: 1e-6}, "too_many_sections", "interval"},
		{takeoff.CrosscheckOptions{Shots: &takeoff.Shots{}}, "shots_off_ground", "check_shots"},
		{takeoff.CrosscheckOptions{Claim: &takeoff.Claim{}}, "missing_key", "claim.cut"},
	} {
		_, err := takeoff.Crosscheck(t.Context(), job(), tt.opts)
		var e *tin.InputError
		require.ErrorAs(t, err, &e, "%+v", tt.opts)
		assert.Equal(t, tt.code, e.Code)
		assert.Equal(t, tt.key, e.Key)
		assert.NotEmpty(t, e.Hint)
	}
	_, err := takeoff.CrosscheckSurveys(t.Context(), &takeoff.Comparison{A: job(), B: job()}, takeoff.CrosscheckOptions{Shots: &takeoff.Shots{}})
	require.Error(t, err)
	ctx, stop := context.WithCancel(t.Context())
	stop()
	_, err = takeoff.Crosscheck(ctx, job(), takeoff.CrosscheckOptions{})
	require.ErrorIs(t, err, context.Canceled)
}

// Where nobody gave a spacing, one is found that a grid can have: for works that are
// far apart, as for those that are long and thin, or tiny.
func TestCrosscheckChoosesSpacing(t *testing.T) {
	for name, tt := range map[string]struct {
		pads    []takeoff.Pad
		spacing float64
	}{
		"far apart": {[]takeoff.Pad{{Name: "a", Outline: ring(5, 5, 6, 6), Finished: 9}, {Name: "b", Outline: ring(194, 194, 195, 195), Finished: 9}}, 0.2},
		"tiny":      {[]takeoff.Pad{{Name: "post", Outline: ring(50, 50, 50.02, 50.02), Finished: 9}}, 0.002},
	} {
		r := crosscheck(t, inclined(tin.Metre, tt.pads...), takeoff.CrosscheckOptions{})
		assert.Equal(t, tt.spacing, r.Grid.Spacing, name)
		assert.Empty(t, r.Warnings, name)
	}
}
