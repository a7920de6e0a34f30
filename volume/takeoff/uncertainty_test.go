package takeoff_test

import (
	"math"
	"math/rand/v2"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/volume/takeoff"
	"barrow/volume/uncertainty"
)

// roughSite is a pad with batters on rough ground with topsoil, and what is known of
// the errors of all of it.
func roughSite(spots int) *takeoff.Job {
	rng := rand.New(rand.NewPCG(6, 2))
	points := []tin.Point{{E: 0, N: 0, Level: 12}, {E: 80, N: 0, Level: 12}, {E: 81, N: 82, Level: 12}, {E: 0, N: 80, Level: 12}}
	for range spots {
		e, n := math.Round(rng.Float64()*8e4)/1e3, math.Round(rng.Float64()*8e4)/1e3
		points = append(points, tin.Point{E: e, N: n, Level: 12 + 0.03*(e-40) + 0.4*math.Sin(e/6) + 0.3*math.Cos(n/5)})
	}
	return &takeoff.Job{
		Name: "rough", Units: tin.Metre,
		Surveys: []takeoff.Survey{{Name: "ground.csv", Points: points, SpotDeviation: 0.02, BenchmarkDeviation: 0.005}},
		Ground:  takeoff.Ground{Topsoil: takeoff.Topsoil{Depth: 0.2, Deviation: 0.03}},
		Pads: []takeoff.Pad{{
			Name: "a", Outline: square(25, 25, 25), Finished: 12.1, Layers: []takeoff.Layer{{Name: "slab", Thickness: 0.2, Deviation: 0.01}, {Name: "sand", Thickness: 0.1}},
			Cut: takeoff.Batter{Along: 1}, Fill: takeoff.Batter{Along: 2},
		}},
	}
}

func TestUncertaintyOfAJob(t *testing.T) {
	r := run(t, roughSite(90))
	u := r.Uncertainty
	require.NotNil(t, u)
	require.Empty(t, u.NotStated)
	require.Equal(t, [2]int{1, 1}, [2]int{u.Surveys, u.SurveysWithSD})
	var kinds []uncertainty.Kind
	sum := 0.0
	for _, p := range u.Parts {
		kinds = append(kinds, p.Kind)
		sum += p.Cut * p.Cut
	}
	require.Equal(t, []uncertainty.Kind{uncertainty.Levels, uncertainty.Benchmark, uncertainty.BetweenSpots, uncertainty.Bias, uncertainty.OtherInput, uncertainty.OtherInput}, kinds)
	assert.Equal(t, "topsoil", u.Parts[4].Name)
	assert.Equal(t, "slab", u.Parts[5].Name)
	assert.InEpsilon(t, 1.96*math.Sqrt(sum), *u.Cut, 1e-9, "parts add up in quadrature")
	assert.InEpsilon(t, math.Sqrt(u.Covariance[0][0]), math.Sqrt(sum), 1e-9)
	assert.InEpsilon(t, 1.96*u.Covariance.Of([2]float64{1, -1}), *u.CutLessFill, 1e-9)

	// What is common to all works is their area by the error.
	area := r.Pads[0]
	cutArea := u.Parts[1].Cut / 0.005
	assert.Greater(t, cutArea, area.CutArea, "with batters")
	assert.InEpsilon(t, 0.03*cutArea, u.Parts[4].Cut, 1e-9)
	assert.InEpsilon(t, 0.01*cutArea, u.Parts[5].Cut, 1e-9)
	assert.Equal(t, []takeoff.MissingInput{takeoff.MissingBuildUp}, []takeoff.MissingInput{u.Missing[0].Input})
	assert.InEpsilon(t, 0.01*cutArea, u.Missing[0].Cut, 1e-9)
	assert.Negative(t, u.Missing[0].Fill)
	assert.Len(t, u.Shots, 5)
}

// Further topsoil changes cut and fill by what is said.
func TestEffectOfTopsoil(t *testing.T) {
	job := roughSite(90)
	job.Ground.Topsoil.Deviation = 0
	before := run(t, job)
	var said takeoff.MissingDeviation
	for _, m := range before.Uncertainty.Missing {
		if m.Input == takeoff.MissingTopsoil {
			said = m
		}
	}
	require.Equal(t, 0.01, said.Per)
	job.Ground.Topsoil.Depth += 0.001
	after := run(t, job)
	assert.InDelta(t, said.Cut/10, after.Total.Cut-before.Total.Cut, 0.02*math.Abs(said.Cut/10))
	assert.InDelta(t, said.Fill/10, after.Total.Fill-before.Total.Fill, 0.02*math.Abs(said.Fill/10))
}

// A job in feet on a grid that is drawn out is as sure as the same in metres.
func TestUncertaintyByScaleAndUnit(t *testing.T) {
	want := run(t, roughSite(90)).Uncertainty
	const scale = 1.0004
	job, k := roughSite(90), 1/tin.Foot.Metres()
	job.Units, job.Scale = tin.Foot, scale
	s := &job.Surveys[0]
	for i := range s.Points {
		p := &s.Points[i]
		p.E, p.N, p.Level = p.E*k*scale, p.N*k*scale, p.Level*k
	}
	s.SpotDeviation, s.BenchmarkDeviation = s.SpotDeviation*k, s.BenchmarkDeviation*k
	job.Ground.Topsoil.Depth, job.Ground.Topsoil.Deviation = 0.2*k, 0.03*k
	p := &job.Pads[0]
	p.Outline, p.Finished = square(25*k*scale, 25*k*scale, 25*k*scale), p.Finished*k
	for i := range p.Layers {
		p.Layers[i].Thickness, p.Layers[i].Deviation = p.Layers[i].Thickness*k, p.Layers[i].Deviation*k
	}
	got := run(t, job).Uncertainty
	yard := math.Pow(3*tin.Foot.Metres(), 3)
	assert.InEpsilon(t, *want.Cut, *got.Cut*yard, 0.01)
	assert.InEpsilon(t, *want.Fill, *got.Fill*yard, 0.01)
	assert.InEpsilon(t, want.Parts[0].Cut, got.Parts[0].Cut*yard, 1e-6)
	assert.InEpsilon(t, want.FitOff, got.FitOff*tin.Foot.Metres(), 1e-6)
	assert.Equal(t, 0.05, got.Missing[0].Per)
	assert.InEpsilon(t, want.Missing[0].Cut*0.05*tin.Foot.Metres()/0.01, got.Missing[0].Cut*yard, 1e-6)
}

func TestUncertaintyNotStated(t *testing.T) {
	u := run(t, roughSite(8)).Uncertainty
	require.Equal(t, uncertainty.FewSpots, u.NotStated)
	assert.Nil(t, u.Cut)
	assert.Less(t, u.FitSpots, 15)

	job := roughSite(90)
	job.Pads[0].Outline = square(60, 60, 25) // beyond the survey
	u = run(t, job).Uncertainty
	require.Equal(t, uncertainty.OffGround, u.NotStated)
	assert.Nil(t, u.CutLessFill)
	assert.Empty(t, u.Shots)
}

func TestBadDeviations(t *testing.T) {
	for key, spoil := range map[string]func(*takeoff.Job){
		"survey[0].sd":           func(j *takeoff.Job) { j.Surveys[0].SpotDeviation = -1 },
		"survey[0].benchmark.sd": func(j *takeoff.Job) { j.Surveys[0].BenchmarkDeviation = math.NaN() },
		"ground.topsoil.sd":      func(j *takeoff.Job) { j.Ground.Topsoil.Deviation = math.Inf(1) },
		"pad[0].layers[1].sd":    func(j *takeoff.Job) { j.Pads[0].Layers[1].Deviation = -0.1 },
	} {
		job := roughSite(20)
		spoil(job)
		_, err := takeoff.Run(t.Context(), job, takeoff.Options{})
		e := inputError(t, err)
		assert.Equal(t, "bad_value", e.Code)
		assert.Equal(t, key, e.Key)
	}
}

func TestDeviationsAreRead(t *testing.T) {
	files := fstest.MapFS{
		"job.toml": {Data: []byte(`name = "x"
units = "m"
[[survey]]
points = "g.csv"
sd = "20 mm"
benchmark = { name = "B", plan = 1, measured = 1, sd = 0.005 }
[ground]
topsoil = { depth = 0.2, sd = 0.03 }
[[pad]]
name = "p"
outline = [[0, 0], [1, 0], [1, 1]]
finished = 1
layers = [ { name = "slab", thickness = 0.2, sd = "1 cm" } ]
`)},
		"g.csv": {Data: []byte("number,easting,northing,level,code\n1,0,0,1,\n2,9,0,1,\n3,0,9,1,\n")},
	}
	job, err := takeoff.Load(t.Context(), files, "job.toml", takeoff.Limits{})
	require.NoError(t, err)
	assert.Equal(t, 0.02, job.Surveys[0].SpotDeviation)
	assert.Equal(t, 0.005, job.Surveys[0].BenchmarkDeviation)
	assert.Equal(t, 0.03, job.Ground.Topsoil.Deviation)
	assert.Equal(t, 0.01, job.Pads[0].Layers[0].Deviation)
}
