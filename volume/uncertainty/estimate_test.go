package uncertainty_test

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/formation"
	"barrow/volume"
	"barrow/volume/uncertainty"
)

func TestCovarianceOf(t *testing.T) {
	c := uncertainty.Covariance{{9, -6}, {-6, 16}}
	assert.Equal(t, 3.0, c.Of([2]float64{1, 0}))
	assert.Equal(t, 4.0, c.Of([2]float64{0, 1}))
	assert.Equal(t, math.Sqrt(9+16+12), c.Of([2]float64{1, -1}))
	// A cut at 10 and a fill at 20 of some money: 900 + 6400 - 2400.
	assert.Equal(t, 70.0, c.Of([2]float64{10, 20}))
	assert.InDelta(t, 0.1, uncertainty.Common([2]float64{2, -3}, 0.1).Of([2]float64{1, 1}), 1e-15)
	assert.InDelta(t, 0.5, uncertainty.Common([2]float64{2, -3}, 0.1).Of([2]float64{1, -1}), 1e-15)
}

// one is a surface of so many spots with a pad on it.
type one struct {
	sources []tin.Source
	opts    tin.Options
	pads    []formation.Pad
}

func estimate(t testing.TB, in uncertainty.Input) uncertainty.Uncertainty {
	u, err := uncertainty.Estimate(t.Context(), in)
	require.NoError(t, err)
	return u
}

func (o one) estimate(t testing.TB, surveys []uncertainty.Survey, of []int) (uncertainty.Uncertainty, volume.Sensitivity) {
	ground, err := tin.Build(t.Context(), o.sources, o.opts)
	require.NoError(t, err)
	_, _, s := works(t, ground, o.pads)
	return estimate(t, uncertainty.Input{Ground: ground, Sensitivity: s, Surveys: surveys, SurveyOf: of}), s
}

// A square metre of cut over a pyramid's base whose middle spot is surveyed twice. The
// weight of the middle is a third of the base, that of each corner a sixth.
func TestLevelsByHand(t *testing.T) {
	square := []tin.Point{{E: 0, N: 0, Level: 5}, {E: 2, N: 0, Level: 5}, {E: 2, N: 2, Level: 5}, {E: 0, N: 2, Level: 5}}
	o := one{
		sources: []tin.Source{
			{Points: append(square[:4:4], tin.Point{E: 1, N: 1, Level: 6})},
			{Points: []tin.Point{{E: 1, N: 1, Level: 6.02}}},
		},
		opts: tin.Options{Duplicates: tin.DuplicatesMean},
		pads: []formation.Pad{{Outline: orb.Polygon{{{0, 0}, {2, 0}, {2, 2}, {0, 2}}}, Finished: 3}},
	}
	const first, second, common = 0.03, 0.05, 0.007
	u, s := o.estimate(t, []uncertainty.Survey{{Spot: first, Common: common}, {Spot: second}}, []int{0, 1})
	require.InDelta(t, 4, s.CutArea, 1e-12)
	corner, middle := 4.0/6, 4.0/3
	want := 4*corner*corner*first*first + middle*middle*(first*first+second*second)/4
	require.Len(t, u.Parts, 2)
	require.Equal(t, uncertainty.Levels, u.Parts[0].Kind)
	require.InEpsilon(t, want, u.Parts[0].Covariance[0][0], 1e-12)
	require.Equal(t, uncertainty.Benchmark, u.Parts[1].Kind)
	require.InEpsilon(t, math.Pow((4*corner+middle/2)*common, 2), u.Parts[1].Covariance[0][0], 1e-12)
	require.Equal(t, [3]int{2, 1, 2}, [3]int{u.SpotKnown, u.CommonKnown, u.Surveys})
	require.Equal(t, uncertainty.FewSpots, u.NotStated)
	require.Empty(t, u.Shots)
	require.Equal(t, [2]float64{s.CutArea, 0}, u.PerLevel)
}

func hills(spots int, seed uint64) []tin.Point {
	rng := rand.New(rand.NewPCG(seed, 1))
	points := []tin.Point{{E: 0, N: 0, Level: 10}, {E: 100, N: 0, Level: 11}, {E: 100, N: 100, Level: 9}, {E: 0, N: 100, Level: 10}}
	for range spots {
		e, n := math.Round(rng.Float64()*1e5)/1e3, math.Round(rng.Float64()*1e5)/1e3
		points = append(points, tin.Point{E: e, N: n, Level: math.Round(1e3*(10+math.Sin(e/9)+math.Cos(n/7)+0.02*rng.NormFloat64())) / 1e3})
	}
	return points
}

func hillPad() []formation.Pad {
	return []formation.Pad{{Outline: orb.Polygon{{{30, 30}, {70, 34}, {66, 60}, {32, 64}}}, Finished: 10, Cut: formation.Batter{Along: 1}, Fill: formation.Batter{Along: 2}}}
}

// One benchmark for all: its part is the area of cut and of fill by its error.
func TestCommonErrorIsAreaByError(t *testing.T) {
	o := one{sources: []tin.Source{{Points: hills(300, 5)}}, pads: hillPad()}
	u, s := o.estimate(t, []uncertainty.Survey{{Common: 0.005}}, []int{0})
	require.Equal(t, uncertainty.Benchmark, u.Parts[0].Kind)
	c := u.Parts[0].Covariance
	require.InEpsilon(t, 0.005*s.CutArea, math.Sqrt(c[0][0]), 1e-10)
	require.InEpsilon(t, 0.005*s.FillArea, math.Sqrt(c[1][1]), 1e-10)
	require.InEpsilon(t, 0.005*(s.CutArea+s.FillArea), c.Of([2]float64{1, -1}), 1e-10)
}

// Spots in any order, and the same ground in feet or elsewhere, are as sure; in the
// same units to the last bit.
func TestSameWhateverTheOrder(t *testing.T) {
	for _, spots := range []int{60, 3000} {
		points := hills(spots, 8)
		o := one{sources: []tin.Source{{Points: points}}, pads: hillPad()}
		surveys := []uncertainty.Survey{{Spot: 0.02}}
		want, _ := o.estimate(t, surveys, []int{0})
		require.Empty(t, want.NotStated)
		require.Len(t, want.Shots, 5)
		rng := rand.New(rand.NewPCG(1, 1))
		shuffled := append([]tin.Point(nil), points...)
		rng.Shuffle(len(shuffled), func(i, j int) { shuffled[i], shuffled[j] = shuffled[j], shuffled[i] })
		o.sources = []tin.Source{{Points: shuffled[:20]}, {Points: shuffled[20:]}}
		got, _ := o.estimate(t, surveys, []int{0, 0})
		require.Equal(t, want, got)
	}
}

func TestNotStated(t *testing.T) {
	o := one{sources: []tin.Source{{Points: hills(12, 2)}}, pads: hillPad()}
	u, _ := o.estimate(t, []uncertainty.Survey{{}}, []int{0})
	require.Equal(t, uncertainty.FewSpots, u.NotStated)
	require.Less(t, u.FitSpots, 15)
	require.Empty(t, u.Parts)
	require.False(t, u.Known(uncertainty.BetweenSpots))

	ground, err := tin.FromPoints(hills(100, 2))
	require.NoError(t, err)
	_, _, s := works(t, ground, hillPad())
	u = estimate(t, uncertainty.Input{Ground: ground, Sensitivity: s, Surveys: []uncertainty.Survey{{}}, SurveyOf: []int{0}, OffGround: true})
	require.Equal(t, uncertainty.OffGround, u.NotStated)
}

// Breakline vertices stay out of the fit: a survey made of lines only has no figure.
func TestBreaklineVerticesStayOut(t *testing.T) {
	points := hills(60, 3)
	o := one{sources: []tin.Source{{Points: points}}, pads: hillPad()}
	all, _ := o.estimate(t, []uncertainty.Survey{{}}, []int{0})
	var line tin.Breakline
	for i, p := range points[4:44] {
		if i%2 == 0 {
			continue
		}
		line.Vertices = append(line.Vertices, p)
	}
	// Lines through some of the spots, short ones so that none cross.
	o.sources[0].Breaklines = nil
	for _, v := range line.Vertices {
		w := v
		w.E, w.N = w.E+0.1, w.N+0.1
		o.sources[0].Breaklines = append(o.sources[0].Breaklines, tin.Breakline{Vertices: []tin.Point{v, w}})
	}
	less, _ := o.estimate(t, []uncertainty.Survey{{}}, []int{0})
	require.LessOrEqual(t, less.FitSpots, all.FitSpots-15)
}

// Each further shot lies on ground of the works and leaves less unknown.
func TestShotsHelp(t *testing.T) {
	o := one{sources: []tin.Source{{Points: hills(50, 4)}}, pads: hillPad()}
	u, _ := o.estimate(t, []uncertainty.Survey{{Spot: 0.02}}, []int{0})
	require.Len(t, u.Shots, 5)
	sum := func(c uncertainty.Covariance) float64 { return c[0][0] + c[1][1] }
	before := sum(u.Covariance)
	seen := map[orb.Point]bool{}
	for _, s := range u.Shots {
		require.Less(t, sum(s.After), before)
		require.False(t, seen[s.At])
		require.True(t, s.At[0] > 20 && s.At[0] < 80 && s.At[1] > 20 && s.At[1] < 75, "%v", s.At)
		before, seen[s.At] = sum(s.After), true
	}
	// With spots really taken there the interval is about as narrow as was said.
	more := hills(50, 4)
	for _, s := range u.Shots {
		more = append(more, tin.Point{E: s.At[0], N: s.At[1], Level: 10 + math.Sin(s.At[0]/9) + math.Cos(s.At[1]/7)})
	}
	o.sources = []tin.Source{{Points: more}}
	with, _ := o.estimate(t, []uncertainty.Survey{{Spot: 0.02}}, []int{0})
	require.Less(t, sum(with.Covariance), sum(u.Covariance))
}

// Errors of levels make cut and fill larger along the zero line: the mean of simulated
// surveys of a slope, against the figure.
func TestLevelsBiasBySimulation(t *testing.T) {
	if testing.Short() {
		t.Skip("400 surveys")
	}
	const deviation, surveys = 0.1, 400
	rng := rand.New(rand.NewPCG(5, 55))
	var places []tin.Point
	for e := 0.0; e <= 60; e += 5 {
		for n := 0.0; n <= 60; n += 5 {
			places = append(places, tin.Point{E: e + math.Round(rng.Float64()*2e3)/1e3, N: n + math.Round(rng.Float64()*2e3)/1e3})
		}
	}
	for i := range places {
		places[i].Level = 0.03 * (places[i].E - 30)
	}
	pads := []formation.Pad{{Outline: orb.Polygon{{{15, 15}, {45, 15}, {45, 45}, {15, 45}}}}}
	measure := func(points []tin.Point) (cut, fill float64, u uncertainty.Uncertainty) {
		ground, err := tin.FromPoints(points)
		require.NoError(t, err)
		cut, fill, s := works(t, ground, pads)
		return cut, fill, estimate(t, uncertainty.Input{Ground: ground, Sensitivity: s, Surveys: []uncertainty.Survey{{Spot: deviation}}, SurveyOf: []int{0}})
	}
	cut0, fill0, u := measure(places)
	var cuts, fills, squares float64
	for range surveys {
		noisy := append([]tin.Point(nil), places...)
		for i := range noisy {
			noisy[i].Level += deviation * rng.NormFloat64()
		}
		cut, fill, _ := measure(noisy)
		cuts, fills = cuts+cut-cut0, fills+fill-fill0
		squares += (cut - cut0) * (cut - cut0)
	}
	se := math.Sqrt(squares) / surveys
	require.InDelta(t, (cuts+fills)/2/surveys, (u.LevelsBias[0]+u.LevelsBias[1])/2, 3*se)
	require.Greater(t, u.LevelsBias[0], 0.5)
	require.InEpsilon(t, squares/surveys, u.Parts[0].Covariance[0][0], 0.25, "the variance of the cut")
}

// endsAfter is a context that ends when it was asked so often.
type endsAfter struct {
	context.Context
	left int
}

func (c *endsAfter) Err() error {
	if c.left == 0 {
		return context.Canceled
	}
	c.left--
	return nil
}

// A context that ends at whichever step ends the estimate.
func TestEstimateEnds(t *testing.T) {
	rng := rand.New(rand.NewPCG(6, 6))
	var points []tin.Point
	for range 300 {
		points = append(points, tin.Point{E: 60 * rng.Float64(), N: 60 * rng.Float64(), Level: rng.Float64()})
	}
	ground, err := tin.FromPoints(points)
	require.NoError(t, err)
	_, _, s := works(t, ground, []formation.Pad{{Outline: orb.Polygon{{{15, 15}, {45, 15}, {45, 45}, {15, 45}}}}})
	in := uncertainty.Input{Ground: ground, Sensitivity: s, Surveys: []uncertainty.Survey{{Spot: 0.01}}, SurveyOf: []int{0}}
	whole := estimate(t, in)
	require.True(t, whole.Known(uncertainty.BetweenSpots))
	for n := range 6 {
		u, err := uncertainty.Estimate(&endsAfter{t.Context(), n}, in)
		require.ErrorIs(t, err, context.Canceled, n)
		require.Zero(t, u)
	}
	u, err := uncertainty.Estimate(&endsAfter{t.Context(), 6}, in)
	require.NoError(t, err)
	require.Equal(t, whole, u)
}
