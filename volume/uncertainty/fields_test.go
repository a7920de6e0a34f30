package uncertainty_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"

	"barrow/tin"
	"barrow/tin/formation"
	"barrow/volume"
	"barrow/volume/uncertainty"
)

// field draws grounds from a model, on a square grid.
type field struct {
	side   int
	step   float64 // metres
	factor *mat.TriDense
}

// newField prepares to draw grounds of a covariance of two places: by its Cholesky
// factor.
func newField(t testing.TB, side int, step float64, covariance func(p, q orb.Point) float64) *field {
	f := &field{side: side, step: step}
	n := side * side
	c := mat.NewSymDense(n, nil)
	for i := range n {
		for j := range i + 1 {
			v := covariance(f.at(i), f.at(j))
			if i == j {
				v += 1e-9
			}
			c.SetSym(i, j, v)
		}
	}
	var chol mat.Cholesky
	require.True(t, chol.Factorize(c))
	f.factor = mat.NewTriDense(n, mat.Lower, nil)
	chol.LTo(f.factor)
	return f
}

func (f *field) at(i int) orb.Point {
	return orb.Point{float64(i%f.side) * f.step, float64(i/f.side) * f.step}
}

// draw returns levels at the places of the grid.
func (f *field) draw(rng *rand.Rand) []float64 {
	n := f.side * f.side
	x := mat.NewVecDense(n, nil)
	for i := range n {
		x.SetVec(i, rng.NormFloat64())
	}
	x.MulVec(f.factor, x)
	return x.RawVector().Data
}

func distance(p, q orb.Point) float64 { return math.Hypot(p[0]-q[0], p[1]-q[1]) }

func exponential(sill, reach float64) func(p, q orb.Point) float64 {
	return func(p, q orb.Point) float64 { return sill * math.Exp(-distance(p, q)/reach) }
}

// smooth is the Gaussian covariance.
func smooth(sill, reach float64) func(p, q orb.Point) float64 {
	return func(p, q orb.Point) float64 { d := distance(p, q) / reach; return sill * math.Exp(-d*d) }
}

// powerLaw has the mean square of differences c h^(2 H), and is 0 off the site.
func powerLaw(c, h float64) func(p, q orb.Point) float64 {
	origin := orb.Point{-10, -10}
	return func(p, q orb.Point) float64 {
		g := func(a, b orb.Point) float64 { return math.Pow(distance(a, b), 2*h) }
		return c / 2 * (g(p, origin) + g(q, origin) - g(p, q))
	}
}

// trial is a simulated survey of a ground, and a pad with batters on it.
type trial struct {
	truth, survey []tin.Point
	lines         []tin.Breakline
	deviation     float64 // of the levels of the survey
}

// newTrial surveys the corners of a ground and so many of its places, drawn without
// regard to levels. trend is added to the levels.
func (f *field) newTrial(rng *rand.Rand, levels []float64, trend func(p orb.Point) float64, spots int, deviation float64) trial {
	t := trial{deviation: deviation}
	for i, z := range levels {
		p := f.at(i)
		t.truth = append(t.truth, tin.Point{E: p[0], N: p[1], Level: z + trend(p)})
	}
	last := f.side*f.side - 1
	chosen := append([]int{0, f.side - 1, last - f.side + 1, last}, rng.Perm(last+1)...)
	seen := map[int]bool{}
	for _, i := range chosen {
		if len(seen) == spots+4 {
			break
		}
		if seen[i] {
			continue
		}
		seen[i] = true
		p := t.truth[i]
		p.Level += deviation * rng.NormFloat64()
		t.survey = append(t.survey, p)
	}
	return t
}

// works measures pads over a ground, and how they answer to its levels.
func works(t testing.TB, ground *tin.Surface, pads []formation.Pad) (cut, fill float64, s volume.Sensitivity) {
	layout, err := formation.Lay(t.Context(), ground, pads, formation.Options{})
	require.NoError(t, err)
	dig, err := layout.Dig(t.Context(), ground, formation.Options{})
	require.NoError(t, err)
	sensor := volume.NewSensor(ground)
	for i, p := range layout.Pads {
		for _, facets := range [][]tin.Facet{p.Facets, p.Margin} {
			c, err := volume.AgainstFacets(t.Context(), ground, facets)
			require.NoError(t, err)
			require.NoError(t, sensor.Facets(t.Context(), facets))
			cut, fill = cut+c.Cut, fill+c.Fill
		}
		c := volume.Faces(ground.Frame(), dig.Pads[i].Faces)
		sensor.Faces(dig.Pads[i].Faces)
		cut, fill = cut+c.Cut, fill+c.Fill
	}
	return cut, fill, sensor.Result()
}

// outcome is a figure of trials: how often the stated interval held the truth, and the
// root mean square of error over stated standard deviation.
type outcome struct {
	trials, held int
	square       float64
	mean, stated float64
}

func (o *outcome) add(off, deviation float64) {
	o.trials++
	if math.Abs(off) <= uncertainty.CoverageFactor*deviation {
		o.held++
	}
	o.square += off * off / (deviation * deviation)
	o.mean += off
	o.stated += deviation
}

func (o *outcome) coverage() float64 { return float64(o.held) / float64(o.trials) }
func (o *outcome) rms() float64      { return math.Sqrt(o.square / float64(o.trials)) }

// run measures a trial's truth and its survey and adds to the figures of cut, fill, and
// cut less fill.
func (tr trial) run(t testing.TB, pads []formation.Pad, figures *[3]outcome) uncertainty.Uncertainty {
	truth, err := tin.FromPoints(tr.truth)
	require.NoError(t, err)
	ground, err := tin.Build(t.Context(), []tin.Source{{Points: tr.survey, Breaklines: tr.lines}}, tin.Options{})
	require.NoError(t, err)
	cut0, fill0, _ := works(t, truth, pads)
	cut, fill, s := works(t, ground, pads)
	u, err := uncertainty.Estimate(t.Context(), uncertainty.Input{
		Ground: ground, Sensitivity: s, Surveys: []uncertainty.Survey{{Spot: tr.deviation}}, SurveyOf: []int{0},
	})
	require.NoError(t, err)
	require.Empty(t, u.NotStated)
	for i, g := range gradients() {
		figures[i].add(g[0]*(cut-cut0)+g[1]*(fill-fill0), u.Covariance.Of(g))
	}
	return u
}

func gradients() [3][2]float64 { return [3][2]float64{{1, 0}, {0, 1}, {1, -1}} }
