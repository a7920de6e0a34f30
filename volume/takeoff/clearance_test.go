package takeoff_test

import (
	"fmt"
	"testing"
	"testing/fstest"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/volume/takeoff"
)

// clearJob is a job with the pad of slopeJob, E and N 10 to 30, and a clearance.
func clearJob(c takeoff.Clearance) *takeoff.Job {
	job := slopeJob()
	c.Name = "boundary"
	job.Clearances = []takeoff.Clearance{c}
	return job
}

func TestRunBrokenClearance(t *testing.T) {
	r := run(t, clearJob(takeoff.Clearance{Inside: true, Area: orb.MultiPolygon{square(0, 0, 29)}, Distance: 0.5}))
	require.Len(t, r.Clearances, 1)
	c := r.Clearances[0]
	assert.Equal(t, "boundary", c.Name)
	assert.Equal(t, takeoff.StayInside, c.Stay)
	assert.Equal(t, 0.5, c.Distance)
	assert.False(t, c.Kept)
	assert.InDelta(t, 400-18.5*18.5, c.Area, 1e-9)
	assert.InDelta(t, 0.5+1.4142135623730951, c.Overlap, 1e-9)
	assert.InDelta(t, -1.4142135623730951, *c.Least, 1e-9)
	assert.Equal(t, &takeoff.Place{30, 30}, c.At)
	assert.Equal(t, []string{"a"}, c.Pads)

	require.Equal(t, []string{takeoff.WarnClearance}, codes(r.Warnings))
	w := r.Warnings[0]
	assert.Equal(t, c.At, w.At)
	assert.Equal(t, `clearance "boundary" is broken: 57.8 m2 of the works of a, measured as asked, are past its line, by up to 1.914 m`, w.Message)
	whole := run(t, slopeJob())
	assert.Equal(t, whole.Total.Cut, r.Total.Cut, "it is measured as asked")
	assert.Nil(t, whole.Clearances)
}

func TestRunKeptClearance(t *testing.T) {
	r := run(t, clearJob(takeoff.Clearance{Inside: true, Area: orb.MultiPolygon{square(0, 0, 40)}, Distance: 10}))
	assert.Empty(t, r.Warnings)
	assert.Empty(t, r.Notes)
	c := r.Clearances[0]
	assert.True(t, c.Kept)
	assert.InDelta(t, 10, *c.Least, 1e-9)
	assert.Zero(t, c.Area)
	assert.Zero(t, c.Overlap)
	assert.Equal(t, []string{}, c.Pads)

	r = run(t, clearJob(takeoff.Clearance{Points: orb.MultiPoint{{31.24, 20}}, Distance: 1}))
	assert.True(t, r.Clearances[0].Kept)
	assert.Equal(t, takeoff.StayOutside, r.Clearances[0].Stay)
	require.Equal(t, []string{takeoff.NoteClearanceOff}, codes(r.Notes))
	assert.Contains(t, r.Notes[0].Message, `clearance "boundary" lies wholly off the works and is kept: clear by 1.240 m`)
}

// The distance is a ground length, and so are the results; places are on the grid.
func TestRunClearanceInFeetOnAScaledGrid(t *testing.T) {
	job := clearJob(takeoff.Clearance{Lines: orb.MultiLineString{{{5, 29}, {35, 29}}}, Distance: 2})
	job.Units, job.Scale = tin.Foot, 0.9
	r := run(t, job)
	c := r.Clearances[0]
	assert.Equal(t, 2.0, c.Distance)
	assert.InDelta(t, 2, c.Overlap, 1e-6)
	assert.InDelta(t, 20/0.9*(2+1/0.9), c.Area, 1e-6)
	assert.InDelta(t, 29, c.At[1], 1e-6)
	assert.Contains(t, r.Warnings[0].Message, "by up to 2.000 ft")
}

func TestRunRefusesClearances(t *testing.T) {
	good := takeoff.Clearance{Name: "a", Points: orb.MultiPoint{{1, 1}}, Distance: 1}
	nameless, below := good, good
	nameless.Name, below.Name, below.Distance = " ", "b", -1
	crossed := takeoff.Clearance{Name: "c", Area: orb.MultiPolygon{{{{0, 0}, {10, 10}, {10, 0}, {0, 10}}}}}
	for _, tt := range []struct {
		c         takeoff.Clearance
		code, key string
	}{
		{nameless, "bad_value", "clearance[1].name"},
		{good, "duplicate_clearance_name", "clearance[1].name"},
		{below, "bad_distance", "clearance[1].distance"},
		{takeoff.Clearance{Name: "d"}, "clearance_shape", "clearance[1].shape"},
		{crossed, "outline_crosses", "clearance[1].shape"},
	} {
		job := slopeJob()
		job.Units = tin.Foot
		job.Clearances = []takeoff.Clearance{good, tt.c}
		_, err := takeoff.Run(t.Context(), job, takeoff.Options{})
		e := inputError(t, err)
		assert.Equal(t, tt.code, e.Code)
		assert.Equal(t, tt.key, e.Key)
		if e.At != nil {
			assert.InDelta(t, 5*0.3048, e.At[0], 1e-9)
			assert.Contains(t, e.Message, "E 5.000 N 5.000")
		}
	}
}

func clearanceFiles(lines ...string) fstest.MapFS {
	files := geoSite(pad(append([]string{`outline = "square.csv"`, "finished = 11"}, lines...)...))
	files["shapes.geojson"] = &fstest.MapFile{Data: []byte(`{"type": "FeatureCollection", "coordinates_are": "site grid", "features": [
 {"type": "Feature", "properties": {"name": "gas"}, "geometry": {"type": "LineString", "coordinates": [[1, 2], [3, 4, 9]]}},
 {"type": "Feature", "properties": {"name": "oak"}, "geometry": {"type": "Point", "coordinates": [5, 6]}},
 {"type": "Feature", "properties": {"name": "lot"}, "geometry": {"type": "Polygon", "coordinates": [[[0, 0], [9, 0], [9, 9], [0, 0]]]}}]}`)}
	files["bare.csv"] = &fstest.MapFile{Data: []byte("10,10\n20,10\n20,20\n")}
	return files
}

func TestLoadClearances(t *testing.T) {
	lot := orb.MultiPolygon{{{{0, 0}, {9, 0}, {9, 9}}}}
	corner := orb.MultiPolygon{{{{10, 10}, {20, 10}, {20, 20}}}}
	for shape, want := range map[string]takeoff.Clearance{
		`[[0, 0], [9, 0], [9, 9]]`:                                   {Area: lot},
		`{ points = ["C1", "C2", "C3"] }`:                            {Area: orb.MultiPolygon{{{{10, 10}, {30, 10}, {30, 30}}}}},
		`"square.csv"`:                                               {Area: orb.MultiPolygon{square(10, 10, 10)}},
		`{ file = "bare.csv", columns = "easting, northing" }`:       {Area: corner},
		`[ "square.csv", { file = "pads.geojson", name = "yard" } ]`: {Area: orb.MultiPolygon{square(10, 10, 10), {{{1, 1}, {2, 1}, {2, 2}}}}},
		`{ file = "shapes.geojson", name = "gas" }`:                  {Lines: orb.MultiLineString{{{1, 2}, {3, 4}}}},
		`{ file = "shapes.geojson", name = "oak" }`:                  {Points: orb.MultiPoint{{5, 6}}},
		`"bank.geojson"`:                                             {Lines: orb.MultiLineString{{{5, 5}, {5, 35}}}},
		`{ line = [[1, 2], "C1"] }`:                                  {Lines: orb.MultiLineString{{{1, 2}, {10, 10}}}},
		`{ line = "bare.csv", columns = "easting, northing" }`:       {Lines: orb.MultiLineString{{{10, 10}, {20, 10}, {20, 20}}}},
		`{ point = "C3" }`:                                           {Points: orb.MultiPoint{{30, 30}}},
		`{ point = [1, 2] }`:                                         {Points: orb.MultiPoint{{1, 2}}},
		`"shapes.geojson"`: {Area: orb.MultiPolygon{{{{0, 0}, {9, 0}, {9, 9}, {0, 0}}}}, Lines: orb.MultiLineString{{{1, 2}, {3, 4}}},
			Points: orb.MultiPoint{{5, 6}}},
	} {
		t.Run(shape, func(t *testing.T) {
			want.Name, want.Distance = "x", 0.5
			job, err := load(t, clearanceFiles("[[clearance]]", `name = "x"`, `stay = "outside"`, `distance = "500 mm"`, "shape = "+shape))
			require.NoError(t, err)
			require.Len(t, job.Clearances, 1)
			assert.Equal(t, want, job.Clearances[0])
		})
	}
	job, err := load(t, clearanceFiles("[[clearance]]", `name = "x"`, `stay = "inside"`, `shape = "square.csv"`))
	require.NoError(t, err)
	assert.True(t, job.Clearances[0].Inside)
	assert.Zero(t, job.Clearances[0].Distance)
}

func TestLoadClearanceErrors(t *testing.T) {
	clear := func(lines ...string) []string { return append([]string{"[[clearance]]", `name = "x"`}, lines...) }
	with := func(shape string) []string { return clear(`stay = "outside"`, "distance = 1", "shape = "+shape) }
	for _, tt := range []struct {
		name          string
		lines         []string
		code, at, key string
		message       []string
	}{
		{"no name", []string{"[[clearance]]"}, "missing_key", "8:3", "clearance[0].name", nil},
		{"empty name", []string{"[[clearance]]", `name = ""`, `stay = "inside"`, `shape = "square.csv"`}, "bad_value", "9:8", "clearance[0].name", nil},
		{"two of one name", append(with(`"square.csv"`), with(`"square.csv"`)...), "duplicate_clearance_name", "14:8", "clearance[1].name", nil},
		{"no stay", clear(`shape = "square.csv"`), "missing_key", "8:3", "clearance[0].stay", []string{`"outside"`}},
		{"unknown word", clear(`stay = "in"`, `shape = "square.csv"`), "bad_value", "10:8", "clearance[0].stay", []string{`"inside" or "outside"`}},
		{"no shape", clear(`stay = "inside"`), "missing_key", "8:3", "clearance[0].shape", nil},
		{"below 0", clear(`stay = "inside"`, "distance = -1", `shape = "square.csv"`), "bad_value", "11:12", "clearance[0].distance", nil},
		{"one table", []string{"[clearance]"}, "wrong_type", "8:2", "clearance", nil},
		{"misspelt", clear(`stay = "inside"`, "distanse = 1"), "unknown_key", "11:1", "clearance[0].distanse", []string{`did you mean "distance"?`}},
		{"misspelt shape", with(`{ lines = [[1, 2], [3, 4]] }`), "unknown_key", "12:11", "clearance[0].shape.lines", []string{`did you mean "line"?`}},
		{"inside a line", clear(`stay = "inside"`, "distance = 1", "shape = { line = [[1, 2], [3, 4]] }"), "clearance_shape", "12:9", "clearance[0].shape", nil},
		{"a line without a distance", clear(`stay = "outside"`, "shape = { line = [[1, 2], [3, 4]] }"), "clearance_shape", "8:3", "clearance[0]", []string{"how far"}},
		{"a short line", with(`{ line = [[1, 2]] }`), "clearance_shape", "12:9", "clearance[0].shape", nil},
		{"a line of numbers", with(`{ line = 3 }`), "wrong_type", "12:18", "clearance[0].shape.line", nil},
		{"a line in GeoJSON", with(`{ line = "bank.geojson" }`), "bad_value", "12:18", "clearance[0].shape.line", []string{`write shape = "bank.geojson"`}},
		{"columns of typed places", with(`{ line = [[1, 2], [3, 4]], columns = "e, n" }`), "unknown_key", "12:46", "clearance[0].shape.columns", nil},
		{"two forms", with(`{ line = [[1, 2], [3, 4]], point = [1, 2] }`), "unknown_key", "12:36", "clearance[0].shape.point", nil},
		{"an unknown spot", with(`{ point = "C9" }`), "unknown_spot", "12:19", "clearance[0].shape.point", nil},
		{"a number", with(`3`), "wrong_type", "12:9", "clearance[0].shape", nil},
		{"crossed", with(`[[0, 0], [9, 9], [9, 0], [0, 9]]`), "outline_crosses", "12:11", "clearance[0].shape", nil},
		{"a name nobody has", with(`{ file = "shapes.geojson", name = "elm" }`), "bad_value", "12:18", "clearance[0].shape.file", []string{`"elm"`}},
		{"no file", with(`"lott.geojson"`), "file_missing", "12:9", "clearance[0].shape", nil},
		{"outside the folder", with(`"../lot.geojson"`), "path_outside", "12:9", "clearance[0].shape", nil},
	} {
		t.Run(tt.name, func(t *testing.T) {
			_, err := load(t, clearanceFiles(tt.lines...))
			e := inputError(t, err)
			assert.Equal(t, tt.code, e.Code, err)
			assert.Equal(t, tt.at, fmt.Sprintf("%d:%d", e.Line, e.Column), err)
			assert.Equal(t, tt.key, e.Key)
			for _, m := range tt.message {
				assert.Contains(t, err.Error(), m)
			}
		})
	}
}

// Vertices of clearances count towards the limit of a job.
func TestLoadClearanceLimits(t *testing.T) {
	for _, shape := range []string{`"shapes.geojson"`, `{ line = [[1, 2], [3, 4], [5, 6]] }`, `{ line = "square.csv" }`, `[[0, 0], [9, 0], [9, 9]]`} {
		files := clearanceFiles("[[clearance]]", `name = "x"`, `stay = "outside"`, "distance = 1", "shape = "+shape)
		_, err := takeoff.Load(t.Context(), files, "job.toml", takeoff.Limits{Vertices: 6})
		assert.Equal(t, "too_many_vertices", inputError(t, err).Code, shape)
		_, err = takeoff.Load(t.Context(), files, "job.toml", takeoff.Limits{Vertices: 10})
		assert.NoError(t, err, shape)
	}
}
