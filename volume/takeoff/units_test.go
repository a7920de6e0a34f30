package takeoff_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/volume/takeoff"
)

// hillside are spots of a slope with bumps on it, with two decimals in a foot unit.
func hillside() (spots []tin.Point) {
	rng := rand.New(rand.NewPCG(7, 11))
	for range 400 {
		e, n := float64(rng.IntN(40000))/100, float64(rng.IntN(40000))/100
		z := math.Round(100*(200+0.05*e+0.02*n+3*rng.Float64())) / 100
		spots = append(spots, tin.Point{E: 5000 + e, N: 8000 + n, Level: z})
	}
	return spots
}

// spotsText writes spots in a unit, of those that are one US survey foot.
func spotsText(spots []tin.Point, unit tin.Unit, decimals int) []byte {
	k := tin.SurveyFoot.Metres() / unit.Metres()
	var b strings.Builder
	b.WriteString("easting,northing,level\n")
	for _, p := range spots {
		fmt.Fprintf(&b, "%.*f,%.*f,%.*f\n", decimals, p.E*k, decimals, p.N*k, decimals, p.Level*k)
	}
	return []byte(b.String())
}

func padCorners(unit tin.Unit, decimals int) []byte {
	return spotsText([]tin.Point{{E: 5120, N: 8130, Level: 210}, {E: 5250, N: 8140, Level: 210}, {E: 5240, N: 8260, Level: 210}, {E: 5130, N: 8250, Level: 210}}, unit, decimals)
}

// siteFiles are the survey and the outline in each unit. The surveyed foot has two
// decimals; the same in others has as many as a float64 holds.
func siteFiles() fstest.MapFS {
	files := fstest.MapFS{}
	for _, unit := range []tin.Unit{tin.Metre, tin.Foot, tin.SurveyFoot} {
		decimals := 11
		if unit == tin.SurveyFoot {
			decimals = 2
		}
		files["ground-"+unit.String()+".csv"] = &fstest.MapFile{Data: spotsText(hillside(), unit, decimals)}
		files["pad-"+unit.String()+".csv"] = &fstest.MapFile{Data: padCorners(unit, decimals)}
	}
	return files
}

func siteJob(units, points, outline string) string {
	return fmt.Sprintf(`units = %q
[[survey]]
points = %s
benchmark = { plan = "500 ftUS", measured = "200 ftUS" }
[ground]
topsoil = "6 in"
[[pad]]
name = "pad"
outline = %s
finished = "512 ftUS"
layers = [ { name = "slab", thickness = "8 in" } ]
margin = "3 ftUS"
batter = { cut = "1V:1H", fill = "1V:2H" }
`, units, points, outline)
}

func runSite(t *testing.T, files fstest.MapFS, job string) *takeoff.Result {
	t.Helper()
	files["job.toml"] = &fstest.MapFile{Data: []byte(job)}
	loaded, err := takeoff.Load(t.Context(), files, "job.toml", takeoff.Limits{})
	require.NoError(t, err)
	res, err := takeoff.Run(t.Context(), loaded, takeoff.Options{})
	require.NoError(t, err)
	return res
}

// A job in one unit, and jobs that mix the same files in others, are the same works.
func TestMixedUnitsAreOneJob(t *testing.T) {
	files := siteFiles()
	metres := runSite(t, files, siteJob("m", `"ground-m.csv"`, `"pad-m.csv"`))
	require.Greater(t, metres.Total.Cut, 50.0)
	require.Greater(t, metres.Total.Fill, 50.0)
	for _, tt := range []struct {
		units, points, outline string
		converted              int
	}{
		{"ftUS", `"ground-ftUS.csv"`, `"pad-ftUS.csv"`, 0},
		{"ft", `"ground-ft.csv"`, `{ file = "pad-ft.csv", units = "ft" }`, 0},
		{"m", `{ file = "ground-ftUS.csv", units = "ftUS" }`, `"pad-m.csv"`, 1},
		{"ftUS", `"ground-ftUS.csv"`, `{ file = "pad-m.csv", units = "m" }`, 1},
		{"ft", `{ file = "ground-ftUS.csv", units = "ftUS" }`, `{ file = "pad-m.csv", units = "m" }`, 2},
	} {
		t.Run(tt.units+" "+tt.points, func(t *testing.T) {
			got := runSite(t, files, siteJob(tt.units, tt.points, tt.outline))
			unit, _ := tin.ParseUnit(tt.units)
			yard := 1.0
			if unit != tin.Metre {
				yard = 27
				assert.Equal(t, takeoff.Units{Length: tt.units, Area: tt.units + "2", Volume: "yd3"}, got.Units)
			}
			u := unit.Metres()
			for _, q := range [][2]float64{
				{metres.Total.Cut, got.Total.Cut * yard * u * u * u}, {metres.Total.Fill, got.Total.Fill * yard * u * u * u},
				{metres.Total.Topsoil, got.Total.Topsoil * yard * u * u * u}, {metres.Total.WorksArea, got.Total.WorksArea * u * u},
			} {
				assert.InEpsilon(t, q[0], q[1], 1e-9)
			}
			converted := 0
			for _, n := range got.Notes {
				if n.Code == takeoff.NoteUnitsConverted {
					converted++
				}
			}
			assert.Equal(t, tt.converted, converted)
			for _, in := range got.Inputs {
				switch {
				case in.Path == "job.toml" || strings.Contains(in.Path, "-"+tt.units+"."):
					assert.Empty(t, in.Units, in.Path)
				default:
					assert.Contains(t, in.Path, "-"+in.Units+".")
				}
			}
		})
	}
}

// A file that is said to be in the job's unit keeps its bits.
func TestUnitsOfTheJobKeepBits(t *testing.T) {
	files := siteFiles()
	bare := runSite(t, files, siteJob("ftUS", `"ground-ftUS.csv"`, `"pad-ftUS.csv"`))
	stated := runSite(t, files, siteJob("ftUS", `{ file = "ground-ftUS.csv", units = "ftUS" }`, `{ file = "pad-ftUS.csv", units = "ftUS" }`))
	assert.Equal(t, bare.Total, stated.Total)
	assert.Equal(t, bare.Notes, stated.Notes)
}

// Every kind of shape that a job takes from a file may be in a unit of its own: 1,000 ft
// are 304.8 m.
func TestUnitsOfEveryFile(t *testing.T) {
	files := fstest.MapFS{
		"ground.csv": {Data: []byte("number,easting,northing,level\n1,0,0,10\n2,400,0,10\n3,400,400,11\n4,0,400,11\n")},
		"box.csv":    {Data: []byte("easting,northing,level\n1000,1000,5\n1100,1000,5\n1100,1100,5\n1000,1100,5\n")},
		"lines.geojson": {Data: []byte(`{"type":"FeatureCollection","features":[
			{"type":"Feature","properties":{"name":"bank"},"geometry":{"type":"LineString","coordinates":[[1000,1000,100],[1000,1100,100]]}},
			{"type":"Feature","properties":{"name":"other"},"geometry":{"type":"LineString","coordinates":[[0,0,0],[1000,1000,1000]]}}]}`)},
		"box.geojson": {Data: []byte(`{"type":"Polygon","coordinates":[[[1000,1000,5],[1100,1000,5],[1100,1100,5],[1000,1000,5]]]}`)},
		"spot.csv":    {Data: []byte("easting,northing,level\n1050,1050,6\n")},
	}
	job := `units = "m"
rates = "rates.csv"
respread = [ { area = { file = "box.csv", units = "ft" }, depth = 0.1 } ]
[[survey]]
points = "ground.csv"
breaklines = [ { file = "lines.geojson", units = "ft", name = "bank" } ]
[[survey]]
points = { file = "box.csv", columns = "easting, northing, level", units = "ft" }
replaces_within = { file = "box.geojson", units = "ft" }
[ground]
boundary = { file = "box.csv", units = "ft" }
voids = [ { file = "box.geojson", units = "ft" } ]
[[clearance]]
name = "a"
stay = "outside"
distance = 1
shape = { line = "box.csv", units = "ft" }
[[clearance]]
name = "b"
stay = "outside"
distance = 1
shape = { file = "box.geojson", units = "ft" }
[[alignment]]
name = "axis"
line = { file = "lines.geojson", name = "bank", units = "ft" }
[[alignment]]
name = "axis of points"
line = { file = "box.csv", units = "ft" }
[[pad]]
name = "pad"
outline = { file = "box.csv", units = "ft" }
levels = "outline"
spots = { file = "spot.csv", units = "ft" }
thickenings = [ { name = "t", line = { file = "lines.geojson", name = "bank", units = "ft" }, width = 0.5, depth = 0.5, from = "finished" } ]
[[material]]
name = "rock"
below = { points = { file = "box.csv", units = "ft" }, benchmark = { plan = 1, measured = "1 ft" } }
[[material]]
name = "soil"
above = { points = { file = "box.csv", units = "ft" }, benchmark = { plan = 1, measured = "1 ft" } }
`
	files["job.toml"] = &fstest.MapFile{Data: []byte(strings.Replace(job, "rates = \"rates.csv\"\n", "", 1))}
	j, err := takeoff.Load(t.Context(), files, "job.toml", takeoff.Limits{})
	require.NoError(t, err)
	const near, far = 304.8, 335.28
	assert.Equal(t, []tin.Point{{E: near, N: near, Level: 30.48, Line: 2}, {E: near, N: far, Level: 30.48, Line: 2}}, j.Surveys[0].Breaklines[0].Vertices)
	assert.Len(t, j.Surveys[0].Breaklines, 1)
	box := j.Surveys[1].Points
	assert.Equal(t, tin.Point{E: far, N: far, Level: 1.524, Line: 4}, box[2])
	for name, min := range map[string][2]float64{
		"replaces_within": j.Surveys[1].ReplacesWithin[0][0][0], "boundary": j.Ground.Boundary[0][0][0], "voids": j.Ground.Voids[0][0][0],
		"respread": j.Respread[0].Area[0][0][0], "line": j.Clearances[0].Lines[0][0], "shape": j.Clearances[1].Area[0][0][0],
		"alignment": j.Alignments[0].Line[0], "alignment of points": j.Alignments[1].Line[0], "outline": j.Pads[0].Outline[0][0],
		"thickening": j.Pads[0].Thickenings[0].Lines[0][0],
	} {
		assert.Equal(t, [2]float64{near, near}, min, name)
	}
	assert.Equal(t, [][]float64{{1.524, 1.524, 1.524, 1.524}}, j.Pads[0].Levels.Outline)
	assert.Equal(t, tin.Point{E: 320.04, N: 320.04, Level: 1.8288, Line: 2}, j.Pads[0].Levels.Spots[0])
	assert.Equal(t, tin.Point{E: far, N: far, Level: 1.524, Line: 4}, j.Materials[0].Below[0].Survey.Points[2])
	assert.Equal(t, 0.3048, j.Materials[0].Below[0].Survey.Benchmark.Measured)
}

func TestUnitErrors(t *testing.T) {
	base := fstest.MapFS{
		"feet.csv":     {Data: []byte("number,easting (ft),northing (ft),level (ft)\n1,0,0,10\n2,400,0,10\n3,400,400,11\n")},
		"bare.csv":     {Data: []byte("number,easting,northing,level\n1,0,0,10\n2,400,0,10\n3,400,400,11\n")},
		"bank.geojson": {Data: []byte(`{"type":"LineString","coordinates":[[1000,1000,100],[1000,1100,100]]}`)},
	}
	survey := func(lines ...string) string {
		return "units = \"m\"\n[[survey]]\n" + strings.Join(lines, "\n") + "\n[[pad]]\nname = \"pad\"\noutline = [[0, 0], [10, 0], [10, 10]]\nfinished = 3\n"
	}
	const feet = `points = { file = "bare.csv", units = "ftUS" }`
	for _, tt := range []struct{ name, job, code, key, message string }{
		{"bad unit", survey(`points = { file = "bare.csv", units = "yd" }`), "bad_value", "survey[0].points.units", `"ftUS"`},
		{"a number", survey(`points = { file = "bare.csv", units = 3 }`), "wrong_type", "survey[0].points.units", `"m"`},
		{"of a text", survey(`points = "bare.csv"`, `units = "ft"`), "unknown_key", "survey[0].units", "known here"},
		{"header says otherwise", survey(`points = { file = "feet.csv", units = "ftUS" }`), "units_contradict", "survey[0].points.units", "feet.csv says itself that it is in ft, and not in ftUS"},
		{"bare measured level", survey(feet, `benchmark = { plan = 10, measured = 32.81 }`), "unit_needed", "survey[0].benchmark.measured", `"32.81 m" or "32.81 ftUS"`},
		{"bare measured level as a text", survey(feet, `benchmark = { plan = 10, measured = "32.81" }`), "unit_needed", "survey[0].benchmark.measured", "could be in either"},
		{"bare measured level of a check", survey(feet, `check = [ { plan = 10, measured = "3 m" }, { plan = 10, measured = 32.81 } ]`), "unit_needed", "survey[0].check[1].measured", "in ftUS and the rest in m"},
		{"typed levels", survey(feet, `breaklines = [ { file = "bank.geojson" }, [[0, 0, 1], [5, 5, 2]] ]`), "unit_needed", "survey[0].breaklines[1]", "put the line into a file"},
		{"columns twice", survey(`points = { file = "bare.csv", columns = "number, easting, northing, level" }`, `columns = "number, easting, northing, level"`), "bad_value", "survey[0].columns", "twice"},
		{"no file", survey(`points = { units = "ft" }`), "missing_key", "survey[0].points.file", "points = "},
		{"name of a survey's file", survey(`points = { file = "bare.csv", name = "x" }`), "unknown_key", "survey[0].points.name", "file, columns, units"},
		{"no such line", survey(`points = "bare.csv"`, `breaklines = { file = "bank.geojson", name = "brook" }`), "bad_value", "survey[0].breaklines.file", `no line in the file is named "brook"`},
	} {
		t.Run(tt.name, func(t *testing.T) {
			files := fstest.MapFS{"job.toml": {Data: []byte(tt.job)}}
			for name, f := range base {
				files[name] = f
			}
			_, err := takeoff.Load(t.Context(), files, "job.toml", takeoff.Limits{})
			var bad *tin.InputError
			require.ErrorAs(t, err, &bad)
			assert.Equal(t, tt.code, bad.Code, "%v", err)
			assert.Equal(t, tt.key, bad.Key)
			assert.Equal(t, "job.toml", bad.File)
			assert.NotZero(t, bad.Line)
			assert.Contains(t, err.Error(), tt.message)
		})
	}
	t.Run("typed places without levels go with any unit", func(t *testing.T) {
		files := fstest.MapFS{"job.toml": {Data: []byte(survey(feet, `breaklines = [ [[0, 0], [5, 5]] ]`, `benchmark = { plan = 10, measured = "32.81 ftUS" }`))}, "bare.csv": base["bare.csv"]}
		j, err := takeoff.Load(t.Context(), files, "job.toml", takeoff.Limits{})
		require.NoError(t, err)
		assert.Equal(t, 5.0, j.Surveys[0].Breaklines[0].Vertices[1].E)
	})
}

// A comparison of a survey in feet with one in metres is that of both in metres.
func TestCompareInTwoUnits(t *testing.T) {
	files := fstest.MapFS{
		"a.csv":    {Data: []byte("easting,northing,level\n0,0,10\n30.48,0,10\n30.48,30.48,10\n0,30.48,10\n")},
		"b.csv":    {Data: []byte("easting,northing,level\n0,0,10.3048\n30.48,0,10.3048\n30.48,30.48,10.3048\n0,30.48,10.3048\n")},
		"b-ft.csv": {Data: []byte("easting,northing,level\n0,0,33.80839895013123\n100,0,33.80839895013123\n100,100,33.80839895013123\n0,100,33.80839895013123\n")},
	}
	compare := func(b, units string) *takeoff.Compared {
		c, err := takeoff.LoadComparison(t.Context(), takeoff.ComparisonFiles{
			A: takeoff.DataFile{FS: files, Name: "a.csv"}, B: takeoff.DataFile{FS: files, Name: b, Units: units}, Units: "m"}, takeoff.Limits{})
		require.NoError(t, err)
		res, err := takeoff.Compare(t.Context(), c, takeoff.Options{})
		require.NoError(t, err)
		return res
	}
	one, two := compare("b.csv", ""), compare("b-ft.csv", "ft")
	assert.InEpsilon(t, 30.48*30.48*0.3048, one.Total.Fill, 1e-12)
	assert.InEpsilon(t, one.Total.Fill, two.Total.Fill, 1e-12)
	assert.Equal(t, "ft", two.Inputs[1].Units)
	_, err := takeoff.LoadComparison(t.Context(), takeoff.ComparisonFiles{
		A: takeoff.DataFile{FS: files, Name: "a.csv"}, B: takeoff.DataFile{FS: files, Name: "b-ft.csv", Units: "feet"}, Units: "m"}, takeoff.Limits{})
	var bad *tin.InputError
	require.ErrorAs(t, err, &bad)
	assert.Equal(t, "b.units", bad.Key)
}

func TestShotsInAnotherUnit(t *testing.T) {
	files := fstest.MapFS{"shots.csv": {Data: []byte("easting,northing,level\n100,200,10\n")}}
	s, err := takeoff.LoadShots(t.Context(), takeoff.DataFile{FS: files, Name: "shots.csv", Units: "ft"}, tin.Metre, takeoff.Limits{})
	require.NoError(t, err)
	assert.Equal(t, tin.Point{E: 30.48, N: 60.96, Level: 3.048, Line: 2}, s.Points[0])
	require.NoError(t, s.MarkBy("10=20 ft", tin.Metre))
	assert.Equal(t, &takeoff.Mark{Plan: 10, Measured: 6.096}, s.Benchmark)
	var bad *tin.InputError
	require.ErrorAs(t, s.MarkBy("10=20", tin.Metre), &bad)
	assert.Equal(t, "unit_needed", bad.Code)
	assert.Contains(t, bad.Hint, `"20 m" or "20 ft"`)
}

// All cells of a turned grid are ties. Converted it is cut by the same diagonals, since
// its decimals in the file decide.
func TestTurnedGridInAnotherUnit(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 4))
	var b strings.Builder
	b.WriteString("easting,northing,level\n")
	for i := range 40 {
		for k := range 40 {
			fmt.Fprintf(&b, "%d.25,%d.75,%.2f\n", 5100+4*i-3*k, 8000+3*i+4*k, 505+10*rng.Float64())
		}
	}
	files := siteFiles()
	files["turned.csv"] = &fstest.MapFile{Data: []byte(b.String())}
	job := func(units, points, outline string) string {
		return strings.Replace(siteJob(units, points, outline), `measured = "200 ftUS"`, `measured = "500 ftUS"`, 1)
	}
	feet := runSite(t, files, job("ftUS", `"turned.csv"`, `"pad-ftUS.csv"`))
	metres := runSite(t, files, job("m", `{ file = "turned.csv", units = "ftUS" }`, `{ file = "pad-ftUS.csv", units = "ftUS" }`))
	require.Greater(t, feet.Total.Cut, 50.0)
	u := tin.SurveyFoot.Metres()
	assert.InEpsilon(t, feet.Total.Cut*27*u*u*u, metres.Total.Cut, 1e-12)
	assert.InEpsilon(t, feet.Total.Fill*27*u*u*u, metres.Total.Fill, 1e-12)
}

// What a job in feet is told is in feet.
func TestFeetAreToldInFeet(t *testing.T) {
	ground := "[[survey]]\npoints = \"ground.csv\"\n"
	const padAt = "[[pad]]\nname = \"pad\"\noutline = [[20, 20], [60, 20], [60, 60]]\nfinished = 9\n"
	files := fstest.MapFS{"ground.csv": {Data: []byte("easting,northing,level\n0,0,10\n100,0,10\n100,100,10\n0,100,10\n50,50,10.4\n")}}
	for _, tt := range []struct{ job, message string }{
		{ground + "breaklines = [ [[10, 50, 12], [49, 50, 12]], [[30, 20, 10], [30, 80, 10]] ]\n" + padAt, "at E 30.000 N 50.000 ft with level 10.000 ft against 12.000 ft, over the tolerance of 0.06562 ft"},
		{ground + "breaklines = [ [[50, 10, 10], [50, 90, 10]] ]\n" + padAt, "with level 10.000 ft against 10.400 ft, over the tolerance of 0.06562 ft"},
		{ground + padAt + "layers = [ { name = \"slab\", thickness = 6 } ]", "over 4.92 ft write it with its unit"},
		{ground + padAt + "batter = { cut = \"1V:1H\" }\nberm = { every = 0.2, width = 3 }", "rises 0.2 ft between berms; give a rise of at least 0.328 ft"},
	} {
		files["job.toml"] = &fstest.MapFile{Data: []byte("units = \"ft\"\n" + tt.job)}
		j, err := takeoff.Load(t.Context(), files, "job.toml", takeoff.Limits{})
		if err == nil {
			_, err = takeoff.Run(t.Context(), j, takeoff.Options{})
		}
		require.ErrorContains(t, err, tt.message)
		assert.NotRegexp(t, `[0-9] m\b`, err.Error())
	}
}
