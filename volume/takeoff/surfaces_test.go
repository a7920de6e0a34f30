package takeoff_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/volume/takeoff"
)

func surfaces(t testing.TB, job *takeoff.Job, opts takeoff.SurfacesOptions) *takeoff.SurfacesResult {
	t.Helper()
	r, err := takeoff.Surfaces(t.Context(), job, opts)
	require.NoError(t, err)
	return r
}

// surfacesOf returns the surfaces of a kind.
func surfacesOf(r *takeoff.SurfacesResult, kind string) (out []*takeoff.BuiltSurface) {
	for i := range r.Surfaces {
		if r.Surfaces[i].Kind == kind {
			out = append(out, &r.Surfaces[i])
		}
	}
	return out
}

// The demo and the real site, there and back: the ground handed out, read again as a
// survey, measures the same to the last bit where it has no boundary, and the works handed
// out hold the takeoff's volumes against it.
func TestSurfacesHoldTheVolumes(t *testing.T) {
	for _, of := range [][2]string{
		{"../../cmd/barrow/demo", "job.toml"}, {"../../testdata/autzen-pad", "job.toml"}, {"../../testdata/autzen-pad", "reference-pad.toml"},
	} {
		t.Run(of[0]+"/"+of[1], func(t *testing.T) {
			job := loaded(t, of[0], of[1])
			r := surfaces(t, job, takeoff.SurfacesOptions{})
			b := r.Between
			t.Logf("%+v", b)
			for _, s := range r.Surfaces {
				t.Logf("%s: %d vertices, %d triangles, %.3f, %.3f to %.3f, %.3f", s.Name, s.Vertices, s.Triangles, s.Area, s.LevelMin, s.LevelMax, s.Topsoil)
			}
			for _, g := range r.Groups {
				t.Logf("%+v", g)
			}
			for _, n := range append(r.Notes, r.Warnings...) {
				t.Log(n.Code, n.Message)
			}
			scale := 1e-9 * (b.TakeoffCut + b.TakeoffFill)
			assert.InDelta(t, b.TakeoffCut, b.Cut, scale)
			assert.InDelta(t, b.TakeoffFill, b.Fill, scale)

			want, err := takeoff.Run(t.Context(), job, takeoff.Options{})
			require.NoError(t, err)
			assert.Equal(t, want.Total.Cut, b.TakeoffCut)
			ground := surfacesOf(r, takeoff.SurfaceGround)
			require.Len(t, ground, 1)
			s, err := tin.Build(t.Context(), []tin.Source{ground[0].Source()}, tin.Options{Unit: job.Units})
			require.NoError(t, err)
			assert.Equal(t, ground[0].Triangles, s.Stats().Triangles)
			for _, l := range r.Lines {
				require.GreaterOrEqual(t, len(l.Points), 2)
				for _, p := range l.Points {
					require.False(t, math.IsNaN(p.Level+p.E+p.N))
				}
			}
		})
	}
}

// rollingJob is pads of every make on rolling ground at a map coordinate.
func rollingJob(rng *rand.Rand, unit tin.Unit) *takeoff.Job {
	at := orb.Point{412000, 5683000}
	k := 1 / unit.Metres()
	round := func(v float64) float64 { return math.Round(v*1000) / 1000 }
	var points []tin.Point
	for range 900 {
		e, n := 100*rng.Float64(), 100*rng.Float64()
		points = append(points, tin.Point{E: round((at[0] + e) * k), N: round((at[1] + n) * k),
			Level: round((60 + 0.05*e + 1.5*math.Sin(e/9) + 1.2*math.Cos(n/7)) * k)})
	}
	rect := func(e, n, w, h float64) orb.Polygon {
		p := func(e, n float64) orb.Point { return orb.Point{round((at[0] + e) * k), round((at[1] + n) * k)} }
		return orb.Polygon{{p(e, n), p(e+w, n), p(e+w, n+h), p(e, n+h)}}
	}
	job := &takeoff.Job{Name: "rolling", Units: unit, Surveys: []takeoff.Survey{{Points: points}}}
	job.Ground.Duplicates = tin.DuplicatesMean
	for i := range 1 + rng.IntN(3) {
		pad := takeoff.Pad{
			Name: fmt.Sprint("pad ", i+1), Finished: round((61 + 2*rng.Float64()) * k),
			Outline: rect(20+30*rng.Float64(), 20+30*rng.Float64(), 8+20*rng.Float64(), 8+20*rng.Float64()),
			Margin:  []float64{0, 0.5 * k}[rng.IntN(2)],
		}
		if rng.IntN(4) > 0 {
			pad.Cut, pad.Fill = takeoff.Batter{Along: 0.5 + float64(rng.IntN(3))/2}, takeoff.Batter{Along: 1 + float64(rng.IntN(3))/2}
		}
		if rng.IntN(3) == 0 {
			pad.Fall = &takeoff.Fall{Slope: 0.02, Bearing: float64(rng.IntN(360)), At: pad.Outline[0][0]}
		}
		job.Pads = append(job.Pads, pad)
	}
	if rng.IntN(3) == 0 {
		job.Scale = 0.9996
	}
	switch rng.IntN(3) {
	case 0:
		job.Ground.Topsoil.Depth, job.Ground.Topsoil.Beyond = round(0.2*k), []float64{0, k}[rng.IntN(2)]
	case 1:
		job.Ground.Topsoil.Depth = round(0.2 * k)
		job.Ground.Topsoil.Areas = []takeoff.TopsoilArea{{Area: orb.MultiPolygon{rect(0, 0, 45, 100)}, Depth: round(0.35 * k)}}
	}
	if rng.IntN(3) == 0 {
		job.Ground.Boundary = orb.MultiPolygon{rect(10, 10, 75, 60)}
	}
	return job
}

// Whatever the pads, the surfaces can be read again and hold the takeoff's volumes.
func TestSurfacesOfAnyJob(t *testing.T) {
	trials := 9
	if testing.Short() {
		trials = 3
	}
	for trial := range trials {
		rng := rand.New(rand.NewPCG(uint64(trial), 12))
		unit := []tin.Unit{tin.Metre, tin.Foot, tin.SurveyFoot}[trial%3]
		r := surfaces(t, rollingJob(rng, unit), takeoff.SurfacesOptions{})
		b := r.Between
		scale := 1e-9 * (b.TakeoffCut + b.TakeoffFill)
		require.InDelta(t, b.TakeoffCut, b.Cut, scale, trial)
		require.InDelta(t, b.TakeoffFill, b.Fill, scale, trial)
		names := make(map[string]bool)
		for _, s := range r.Surfaces {
			require.False(t, names[s.Name], s.Name)
			names[s.Name] = true
		}
		require.NotContains(t, codes(r.Warnings), takeoff.WarnSurfacesDiffer)
	}
}

// Contours that no level could tell apart are refused, on flat ground too, where any number
// of them would be one.
func TestSurfacesRefuseContours(t *testing.T) {
	t.Parallel()
	flat := ring(0, 0, 40, 40)[0]
	survey := takeoff.Survey{}
	for _, p := range flat {
		survey.Points = append(survey.Points, tin.Point{E: p[0], N: p[1], Level: 12})
	}
	job := &takeoff.Job{Units: tin.Metre, Surveys: []takeoff.Survey{survey}, Pads: []takeoff.Pad{{Name: "pad", Finished: 12, Outline: ring(10, 10, 30, 20)}}}
	for _, apart := range []float64{-1, 1e-300, 1e-12, 9e-7, math.NaN(), math.Inf(1)} {
		_, err := takeoff.Surfaces(t.Context(), job, takeoff.SurfacesOptions{Contours: apart})
		var e *tin.InputError
		require.ErrorAs(t, err, &e, apart)
		assert.Equal(t, "bad_value", e.Code)
		assert.Equal(t, "contours", e.Key)
	}
	for _, apart := range []float64{0, 1e-6, 1} {
		r := surfaces(t, job, takeoff.SurfacesOptions{Contours: apart})
		assert.NotEmpty(t, r.Surfaces)
	}
}
