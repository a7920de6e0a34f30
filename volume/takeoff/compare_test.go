package takeoff_test

import (
	"context"
	"encoding/json"
	"fmt"
	"log"
	"math"
	"math/rand/v2"
	"testing"
	"testing/fstest"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/volume/takeoff"
)

// grounded is a job of nothing but spots.
func grounded(unit tin.Unit, points ...tin.Point) *takeoff.Job {
	return &takeoff.Job{Units: unit, Surveys: []takeoff.Survey{{Points: points}}}
}

func spot(e, n, z float64) tin.Point { return tin.Point{E: e, N: n, Level: z} }

// plane is a surface over 0..60 by 0..40 whose level at easting e is given.
func plane(unit tin.Unit, level func(e float64) float64) *takeoff.Job {
	return grounded(unit, spot(0, 0, level(0)), spot(60, 0, level(60)), spot(60, 40, level(60)), spot(0, 40, level(0)))
}

func flat(z float64) func(float64) float64 { return func(float64) float64 { return z } }

func ring(e0, n0, e1, n1 float64) orb.Polygon {
	return orb.Polygon{{{e0, n0}, {e1, n0}, {e1, n1}, {e0, n1}}}
}

func area(polygons ...orb.Polygon) takeoff.Area { return takeoff.Area{Polygons: polygons} }

// Depth is 0.1 e - 1, from -1 to 5: cut 0.05 x 50^2 x 40, fill 0.05 x 10^2 x 40,
// and over a range of 6 the standard deviation 6 / sqrt 12.
func TestCompareTwoPlanes(t *testing.T) {
	for _, tt := range []struct {
		unit   tin.Unit
		scale  float64
		volume float64 // cubic units in one of the result's
	}{{tin.Metre, 1, 1}, {tin.Foot, 1, 27}, {tin.SurveyFoot, 1, 27}, {tin.Metre, 0.9996, 1}} {
		a, b := plane(tt.unit, flat(10)), plane(tt.unit, func(e float64) float64 { return 11 - 0.1*e })
		a.Scale, b.Scale = tt.scale, tt.scale
		got, err := takeoff.Compare(t.Context(), &takeoff.Comparison{A: a, B: b, Within: area(ring(-10, 0, 60, 40)), Stable: area(ring(9, 0, 11, 40))}, takeoff.Options{})
		require.NoError(t, err)
		near := func(want, got float64) {
			t.Helper()
			assert.InDelta(t, want, got, 1e-11*max(1, math.Abs(want)), tt.unit)
		}
		areas := tt.scale * tt.scale
		near(5000/tt.volume/areas, got.Total.Cut)
		near(200/tt.volume/areas, got.Total.Fill)
		near(4800/tt.volume/areas, got.Total.CutLessFill)
		near(2400/areas, got.Total.CommonArea)
		near(2800/areas, *got.Total.BoundaryArea)
		near(400/areas, *got.Total.UncoveredArea)
		assert.Zero(t, got.Total.OnlyAArea+got.Total.OnlyBArea)
		near(2, got.Difference.Mean)
		near(6/math.Sqrt(12), got.Difference.StandardDeviation)
		near(-1, got.Difference.Least)
		near(5, got.Total.MaxCutDepth)
		assert.InDelta(t, 60, got.Total.MaxCutAt[0], 1e-9)
		near(0, got.Stable.Mean)
		near(0.2/math.Sqrt(12), got.Stable.StandardDeviation)
		near(80/areas, got.Stable.Area)
		assert.Equal(t, []string{"boundary_uncovered"}, codes(got.Warnings))
	}
}

// The stable ground differs by 0.3: over 2400 m2 that is 720 m3 of the 720 moved.
func TestCompareStableGround(t *testing.T) {
	c := &takeoff.Comparison{A: plane(0, flat(10)), B: plane(0, flat(10.3)), Stable: area(ring(50, 30, 70, 40), ring(50, 0, 60, 10))}
	got, err := takeoff.Compare(t.Context(), c, takeoff.Options{})
	require.NoError(t, err)
	s := got.Stable
	assert.InDelta(t, -0.3, s.Mean, 1e-12)
	assert.InDelta(t, 0, s.StandardDeviation, 1e-7)
	assert.InDelta(t, 200, s.Area, 1e-9)
	assert.InDelta(t, 100, s.UncoveredArea, 1e-9)
	assert.InDelta(t, 2400, s.WorksArea, 1e-9)
	assert.InDelta(t, -720, s.Volume, 1e-9)
	assert.InDelta(t, 1, *s.Share, 1e-12)
	assert.Equal(t, []string{"stable_shift"}, codes(got.Warnings))
}

// Just below 2 % is no warning, just above is one.
func TestCompareStableShare(t *testing.T) {
	// Cut of 40 m x 40 m x 1 m, with a face between eastings 40 and 41; stable
	// ground east of 50 off by d: d x 2400 over about 1620 + 40 d ...
	for _, tt := range []struct {
		off  float64
		warn bool
	}{{0.013, false}, {0.015, true}} {
		levels := func(z, off float64) *takeoff.Job {
			var points []tin.Point
			for _, n := range []float64{0, 40} {
				points = append(points, spot(0, n, z), spot(40, n, z), spot(41, n, 10), spot(49, n, 10), spot(50, n, 10+off), spot(60, n, 10+off))
			}
			return grounded(tin.Metre, points...)
		}
		got, err := takeoff.Compare(t.Context(), &takeoff.Comparison{A: levels(10, 0), B: levels(9, -tt.off), Stable: area(ring(50, 0, 60, 40))}, takeoff.Options{})
		require.NoError(t, err)
		require.InDelta(t, tt.off*2400/(1620+tt.off*40*10.5), *got.Stable.Share, 1e-9)
		assert.Equal(t, tt.warn, len(got.Warnings) == 1, *got.Stable.Share)
	}
}

func TestCompareWarnings(t *testing.T) {
	for name, tt := range map[string]struct {
		a, b *takeoff.Job
		want []string
	}{
		"alike":            {plane(0, flat(10)), plane(0, flat(10)), nil},
		"a layer":          {plane(0, flat(10)), plane(0, flat(10.9)), nil},
		"two datums":       {plane(0, flat(10)), plane(0, flat(62.5)), []string{"datums_differ"}},
		"two datums, low":  {plane(0, flat(10)), plane(0, flat(8.9)), []string{"datums_differ"}},
		"far everywhere":   {plane(0, flat(100)), plane(0, func(e float64) float64 { return 80 - e }), []string{"datums_differ"}},
		"a deep dig":       {plane(0, flat(10)), plane(0, func(e float64) float64 { return 10 - e/4 }), nil},
		"little in common": {plane(0, flat(10)), grounded(0, spot(50, 0, 10), spot(110, 0, 10), spot(110, 40, 10), spot(50, 40, 10)), []string{"little_in_common"}},
		"a part of a site": {plane(0, flat(10)), grounded(0, spot(5, 5, 10), spot(10, 5, 10), spot(10, 10, 10)), nil},
	} {
		got, err := takeoff.Compare(t.Context(), &takeoff.Comparison{A: tt.a, B: tt.b}, takeoff.Options{})
		require.NoError(t, err, name)
		assert.Equal(t, tt.want, codes(got.Warnings), name)
		back, err := takeoff.Compare(t.Context(), &takeoff.Comparison{A: tt.b, B: tt.a}, takeoff.Options{})
		require.NoError(t, err, name)
		assert.Equal(t, tt.want, codes(back.Warnings), name)
	}
}

// A and B the other way round give cut for fill to the last bit, and a shift of
// both by whole metres nothing else.
func TestCompareSwappedAndShifted(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	for range 20 {
		survey := func() (points []tin.Point) {
			for range 40 {
				points = append(points, spot(float64(rng.IntN(60000))/1000, float64(rng.IntN(40000))/1000, float64(900+rng.IntN(200))/100))
			}
			return points
		}
		first, second := survey(), survey()
		run := func(a, b []tin.Point, e, n float64) *takeoff.Compared {
			to := func(points []tin.Point) (out []tin.Point) {
				for _, p := range points {
					out = append(out, spot(math.Round((p.E+e)*1000)/1000, math.Round((p.N+n)*1000)/1000, p.Level))
				}
				return out
			}
			got, err := takeoff.Compare(t.Context(), &takeoff.Comparison{A: grounded(tin.Metre, to(a)...), B: grounded(tin.Metre, to(b)...),
				Within: area(ring(10+e, 10+n, 50+e, 30+n))}, takeoff.Options{})
			require.NoError(t, err)
			return got
		}
		want, back, moved := run(first, second, 0, 0), run(second, first, 0, 0), run(first, second, 312000, 5812000)
		assert.Equal(t, [6]float64{want.Total.Cut, want.Total.Fill, want.Total.CutArea, want.Total.MaxCutDepth, want.Difference.Mean, want.Difference.StandardDeviation},
			[6]float64{back.Total.Fill, back.Total.Cut, back.Total.FillArea, back.Total.MaxFillDepth, 0 - back.Difference.Mean, back.Difference.StandardDeviation})
		assert.Equal(t, want.Total.OnlyAArea, back.Total.OnlyBArea)
		moved.Total.MaxCutAt, moved.Total.MaxFillAt = want.Total.MaxCutAt, want.Total.MaxFillAt
		assert.Equal(t, want.Total, moved.Total)
		assert.Equal(t, want.Difference, moved.Difference)
	}
}

// What only one covers: two squares that share a quarter.
func TestCompareAreas(t *testing.T) {
	square := func(e, n float64) *takeoff.Job {
		return grounded(tin.Metre, spot(e, n, 10), spot(e+20, n, 10), spot(e+20, n+20, 10), spot(e, n+20, 10))
	}
	for _, tt := range []struct {
		within                           takeoff.Area
		common, onlyA, onlyB, uncovered2 float64
	}{
		{area(), 100, 300, 300, 0},
		{area(ring(0, 0, 30, 30)), 100, 300, 300, 800},
		{area(ring(5, 5, 15, 20)), 50, 100, 0, 100},
		{area(ring(5, 5, 15, 20), ring(20, 20, 30, 30)), 50, 100, 100, 200},
	} {
		got, err := takeoff.Compare(t.Context(), &takeoff.Comparison{A: square(0, 0), B: square(10, 10), Within: tt.within}, takeoff.Options{})
		require.NoError(t, err)
		assert.InDelta(t, tt.common, got.Total.CommonArea, 1e-9)
		assert.InDelta(t, tt.onlyA, got.Total.OnlyAArea, 1e-9)
		assert.InDelta(t, tt.onlyB, got.Total.OnlyBArea, 1e-9)
		if len(tt.within.Polygons) > 0 {
			assert.InDelta(t, tt.uncovered2, *got.Total.UncoveredArea, 1e-9)
		} else {
			assert.Nil(t, got.Total.UncoveredArea)
		}
	}
}

func TestCompareErrors(t *testing.T) {
	good := plane(tin.Metre, flat(10))
	scaled := plane(tin.Metre, flat(10))
	scaled.Scale = 0.9996
	nan := math.NaN()
	for _, tt := range []struct {
		c         takeoff.Comparison
		code, key string
	}{
		{takeoff.Comparison{}, "no_survey", "a"},
		{takeoff.Comparison{A: good}, "no_survey", "b"},
		{takeoff.Comparison{A: good, B: &takeoff.Job{}}, "no_survey", "b.survey"},
		{takeoff.Comparison{A: good, B: plane(tin.Foot, flat(10))}, "units_differ", "b.units"},
		{takeoff.Comparison{A: good, B: scaled}, "scales_differ", "b.scale"},
		{takeoff.Comparison{A: good, B: grounded(tin.Metre, spot(0, 0, 1), spot(1, 1, 1))}, "too_few_points", "b"},
		{takeoff.Comparison{A: grounded(tin.Metre, spot(nan, 0, 1), spot(1, 1, 1), spot(2, 1, 1)), B: good}, "bad_coordinate", "a"},
		{takeoff.Comparison{A: good, B: grounded(tin.Metre, spot(0, 0, nan), spot(1, 1, nan), spot(2, 1, nan))}, "too_few_points", "b"},
		{takeoff.Comparison{A: good, B: grounded(tin.Metre, spot(500, 0, 1), spot(501, 1, 1), spot(502, 1, 1))}, "no_common_ground", "b"},
		{takeoff.Comparison{A: good, B: good, Within: area(ring(500, 0, 510, 10))}, "area_off_ground", "within"},
		{takeoff.Comparison{A: good, B: good, Stable: area(ring(500, 0, 510, 10))}, "area_off_ground", "stable"},
		{takeoff.Comparison{A: good, B: good, Stable: area(ring(0, 0, 10, 10), ring(5, 5, 20, 20))}, "areas_overlap", "stable"},
		{takeoff.Comparison{A: good, B: good, Within: area(ring(0, 0, nan, 10))}, "bad_coordinate", "within"},
		{takeoff.Comparison{A: good, B: good, Within: area(orb.Polygon{{{0, 0}, {10, 10}, {10, 0}, {0, 10}}})}, "outline_crosses", "within"},
		{takeoff.Comparison{A: good, B: good, Within: area(orb.Polygon{})}, "outline_empty", "within"},
	} {
		_, err := takeoff.Compare(t.Context(), &tt.c, takeoff.Options{})
		var e *tin.InputError
		require.ErrorAs(t, err, &e, tt.code)
		assert.Equal(t, []string{tt.code, tt.key}, []string{e.Code, e.Key}, e.Message)
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	_, err := takeoff.Compare(ctx, &takeoff.Comparison{A: good, B: good}, takeoff.Options{})
	assert.ErrorIs(t, err, context.Canceled)
}

// A side whose easting and northing were exchanged is told so.
func TestCompareSwappedColumns(t *testing.T) {
	at := func(e, n float64) *takeoff.Job {
		return grounded(tin.Metre, spot(e, n, 10), spot(e+20, n, 10), spot(e+20, n+20, 10))
	}
	_, err := takeoff.Compare(t.Context(), &takeoff.Comparison{A: at(312000, 5812000), B: at(5812000, 312000)}, takeoff.Options{})
	var e *tin.InputError
	require.ErrorAs(t, err, &e)
	assert.Equal(t, "swapped_columns", e.Code)
}

// comparisonFiles are a job with pads that no takeoff would measure yet, and point
// files.
func comparisonFiles() fstest.MapFS {
	text := func(s string) *fstest.MapFile { return &fstest.MapFile{Data: []byte(s)} }
	return fstest.MapFS{
		"jan.csv":        text("easting,northing,level\n0,0,10\n40,0,10\n40,40,10\n0,40,10\n"),
		"feb/job.toml":   text("units = \"m\"\n[[survey]]\npoints = \"points.csv\"\nbenchmark = { plan = 9, measured = 4 }\n[ground]\nmax_edge = 60\ntopsoil = 0.2\n[[pad]]\n"),
		"feb/points.csv": text("easting,northing,level\n0,0,4\n40,0,4\n40,40,4\n0,40,4\n"),
		"lawn.csv":       text("easting,northing\n0,0\n5,0\n5,5\n"),
	}
}

func TestLoadComparison(t *testing.T) {
	files := comparisonFiles()
	c, err := takeoff.LoadComparison(t.Context(), takeoff.ComparisonFiles{
		A: takeoff.DataFile{FS: files, Name: "jan.csv"}, B: takeoff.DataFile{FS: files, Name: "feb/job.toml"},
		Stable: takeoff.DataFile{FS: files, Name: "lawn.csv"}, MaxEdge: "70 m",
	}, takeoff.Limits{})
	require.NoError(t, err)
	assert.Equal(t, []any{tin.Metre, 70.0, 60.0}, []any{c.A.Units, c.A.Ground.MaxEdge, c.B.Ground.MaxEdge})
	got, err := takeoff.Compare(t.Context(), c, takeoff.Options{})
	require.NoError(t, err)
	assert.InDelta(t, 1600, got.Total.Cut, 1e-9)
	assert.Equal(t, []string{"jan.csv", "feb/job.toml", "feb/points.csv", "lawn.csv"},
		[]string{got.Inputs[0].Path, got.Inputs[1].Path, got.Inputs[2].Path, got.Inputs[3].Path})
	text, err := json.Marshal(got)
	require.NoError(t, err)
	assert.NotContains(t, string(text), "null")
	assert.NotContains(t, string(text), "boundary_area")
}

func TestLoadComparisonLimits(t *testing.T) {
	files := comparisonFiles()
	for _, tt := range []struct {
		limits    takeoff.Limits
		code, key string
	}{
		{takeoff.Limits{Points: 6}, "too_many_points", "b"},
		{takeoff.Limits{Bytes: 80}, "too_many_bytes", "b"},
		{takeoff.Limits{Vertices: 2}, "too_many_vertices", "stable"},
	} {
		_, err := takeoff.LoadComparison(t.Context(), takeoff.ComparisonFiles{Units: "m",
			A: takeoff.DataFile{FS: files, Name: "jan.csv"}, B: takeoff.DataFile{FS: files, Name: "feb/points.csv"},
			Stable: takeoff.DataFile{FS: files, Name: "lawn.csv"},
		}, tt.limits)
		var e *tin.InputError
		require.ErrorAs(t, err, &e, tt.code)
		assert.Equal(t, []string{tt.code, tt.key}, []string{e.Code, e.Key})
	}
}

func TestLoadComparisonErrors(t *testing.T) {
	files := comparisonFiles()
	jan, feb := takeoff.DataFile{FS: files, Name: "jan.csv"}, takeoff.DataFile{FS: files, Name: "feb/job.toml"}
	stated := feb
	stated.Columns = "easting, northing, level"
	for _, tt := range []struct {
		files           takeoff.ComparisonFiles
		code, file, key string
	}{
		{takeoff.ComparisonFiles{A: jan, B: jan}, "missing_key", "", "units"},
		{takeoff.ComparisonFiles{A: jan, B: jan, Units: "yards"}, "bad_value", "", "units"},
		{takeoff.ComparisonFiles{A: jan, B: feb, Units: "ft"}, "units_differ", "feb/job.toml", "b.units"},
		{takeoff.ComparisonFiles{A: jan, B: stated}, "bad_value", "feb/job.toml", "b.columns"},
		{takeoff.ComparisonFiles{A: jan, B: takeoff.DataFile{FS: files, Name: "../x.toml"}}, "path_outside", "../x.toml", "b"},
		{takeoff.ComparisonFiles{A: takeoff.DataFile{FS: files, Name: "jen.csv"}, B: feb}, "file_missing", "jen.csv", "a"},
		{takeoff.ComparisonFiles{A: jan, B: feb, MaxEdge: "far"}, "bad_value", "", "max_edge"},
		{takeoff.ComparisonFiles{A: feb, B: feb, Duplicates: "mean"}, "bad_value", "", "duplicates"},
		{takeoff.ComparisonFiles{A: jan, B: feb, Within: takeoff.DataFile{FS: files, Name: "lown.csv"}}, "file_missing", "lown.csv", "within"},
	} {
		_, err := takeoff.LoadComparison(t.Context(), tt.files, takeoff.Limits{})
		var e *tin.InputError
		require.ErrorAs(t, err, &e, tt.code)
		assert.Equal(t, []string{tt.code, tt.file, tt.key}, []string{e.Code, e.File, e.Key}, e.Message)
	}
}

func ExampleCompare() {
	before := []tin.Point{{E: 0, N: 0, Level: 10}, {E: 40, N: 0, Level: 10}, {E: 40, N: 40, Level: 10}, {E: 0, N: 40, Level: 10}}
	after := []tin.Point{{E: 0, N: 0, Level: 9}, {E: 40, N: 0, Level: 9}, {E: 40, N: 40, Level: 9.5}, {E: 0, N: 40, Level: 9.5}}
	result, err := takeoff.Compare(context.Background(), &takeoff.Comparison{
		A: &takeoff.Job{Units: tin.Metre, Surveys: []takeoff.Survey{{Points: before}}},
		B: &takeoff.Job{Units: tin.Metre, Surveys: []takeoff.Survey{{Points: after}}},
	}, takeoff.Options{})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("cut %.1f, fill %.1f, mean difference %.3f\n", result.Total.Cut, result.Total.Fill, result.Difference.Mean)
	// Output: cut 1200.0, fill 0.0, mean difference 0.750
}
