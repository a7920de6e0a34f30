package takeoff_test

import (
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/volume/takeoff"
)

const pads = `{"type": "FeatureCollection", "coordinates_are": "site grid", "features": [
 {"type": "Feature", "properties": {"name": "store"}, "geometry": {"type": "Polygon", "coordinates": [
  [[10, 10, 11], [20, 10, 11.5], [20, 20, 11.5], [10, 20, 11], [10, 10, 11]],
  [[12, 12, 11.1], [12, 14, 11.1], [14, 14, 11.2], [12, 12, 11.1]]]}},
 {"type": "Feature", "properties": {"name": "yard"}, "geometry": {"type": "Polygon", "coordinates": [
  [[1, 1], [2, 1], [2, 2], [1, 1]]]}}
]}`

func geoSite(job string) fstest.MapFS {
	files := site(job)
	files["pads.geojson"] = &fstest.MapFile{Data: []byte(pads)}
	files["bank.geojson"] = &fstest.MapFile{Data: []byte(`{"type": "LineString", "coordinates_are": "site grid",
"coordinates": [[5, 5, 10.5],
 [5, 35, 10.5]]}`)}
	return files
}

func TestLoadGeoJSONOutline(t *testing.T) {
	store := orb.Polygon{{{10, 10}, {20, 10}, {20, 20}, {10, 20}}, {{12, 12}, {12, 14}, {14, 14}}}
	job, err := load(t, geoSite(pad(`outline = { file = "pads.geojson", name = "store" }`, `levels = "outline"`)))
	require.NoError(t, err)
	assert.Equal(t, store, job.Pads[0].Outline)
	assert.Equal(t, [][]float64{{11, 11.5, 11.5, 11}, {11.1, 11.1, 11.2}}, job.Pads[0].Levels.Outline)
	assert.Equal(t, 7, job.Inputs[2].Points)

	_, err = load(t, geoSite(pad(`outline = "pads.geojson"`, "finished = 11")))
	e := inputError(t, err)
	assert.Equal(t, "bad_value", e.Code)
	assert.Contains(t, e.Message, `2 polygons ("store", "yard")`)

	_, err = load(t, geoSite(pad(`outline = { file = "pads.geojson", name = "shed" }`, "finished = 11")))
	assert.Contains(t, inputError(t, err).Message, `no polygon in the file is named "shed"`)

	_, err = load(t, geoSite(pad(`outline = { file = "pads.geojson", name = "yard" }`, `levels = "outline"`)))
	assert.Contains(t, inputError(t, err).Message, "carries no levels")

	_, err = takeoff.Load(t.Context(), geoSite(pad(`outline = { file = "pads.geojson", name = "store" }`, "finished = 11")), "job.toml", takeoff.Limits{Vertices: 6})
	assert.Equal(t, "too_many_vertices", inputError(t, err).Code)
}

// A boundary may be several polygons; its holes are holes.
func TestLoadGeoJSONBoundary(t *testing.T) {
	job, err := load(t, geoSite(pad(`outline = "square.csv"`, "finished = 11", "[ground]", `boundary = "pads.geojson"`, `voids = ["square.csv", [[1, 1], [2, 1], [2, 2]]]`)))
	if err == nil {
		assert.Len(t, job.Ground.Boundary, 2)
		assert.Len(t, job.Ground.Boundary[0], 2)
		assert.Len(t, job.Ground.Voids, 2)
		return
	}
	t.Error(err)
}

// A drawing's own coordinates may be as small as degrees: plan_to_site says
// what they are.
func TestLoadGeoJSONDrawing(t *testing.T) {
	files := geoSite(pad(`outline = "plan.json"`, "finished = 11", `plan_to_site = { plan = [[0, 0], [40, 0]], site = ["P1", "P2"] }`))
	files["plan.json"] = &fstest.MapFile{Data: []byte(`{"type": "Polygon", "coordinates": [[[1, 1], [9, 1], [9, 9], [1, 1]]]}`)}
	job, err := load(t, files)
	require.NoError(t, err)
	assert.Equal(t, orb.Polygon{{{1, 1}, {9, 1}, {9, 9}}}, job.Pads[0].Outline)
}

func TestBreaklineFilesAreNamedInErrors(t *testing.T) {
	with := strings.Replace(pad(`outline = "square.csv"`, "finished = 11"), "[[pad]]",
		"breaklines = [\"bank.geojson\", [[1, 1, 10.1], [39, 1, 13.9]]]\nbenchmark = { name = \"BM\", plan = 101, measured = 1 }\n[[pad]]", 1)
	job, err := load(t, geoSite(with))
	require.NoError(t, err)
	require.Len(t, job.Surveys[0].Breaklines, 2)
	r, err := takeoff.Run(t.Context(), job, takeoff.Options{})
	require.NoError(t, err)
	assert.Equal(t, 2, r.Surveys[0].Breaklines)
	assert.Equal(t, 13, r.Ground.Points)
	assert.Equal(t, 114.0, r.Ground.LevelMax, "the benchmark lifts spots and lines alike")
	assert.Equal(t, 10.5, job.Surveys[0].Breaklines[0].Vertices[0].Level, "the job is as it was")

	// The line passes a spot of another level: the error names the line's file.
	files := geoSite(with)
	files["spots.csv"] = &fstest.MapFile{Data: []byte(spots + "Q,5,35,99,\n")}
	job, err = load(t, files)
	require.NoError(t, err)
	_, err = takeoff.Run(t.Context(), job, takeoff.Options{})
	e := inputError(t, err)
	assert.Equal(t, "bank.geojson", e.File)
	assert.Equal(t, 3, e.Line)
}

// Lines typed in the job file are blamed on it, in errors and in notes.
func TestTypedBreaklinesAreNamedInErrors(t *testing.T) {
	job := func(lines string) *takeoff.Job {
		j, err := load(t, geoSite(strings.Replace(pad(`outline = "square.csv"`, "finished = 11"), "[[pad]]", "breaklines = [\n"+lines+"]\n[[pad]]", 1)))
		require.NoError(t, err)
		return j
	}
	_, err := takeoff.Run(t.Context(), job("\"bank.geojson\",\n[[1, 1, 10.1], [39, 1, 13.9]],\n[[2, 0.5, 10.2], [2, 1.5, 99]],\n"), takeoff.Options{})
	e := inputError(t, err)
	assert.Equal(t, "crossing_levels", e.Code)
	assert.Equal(t, "job.toml", e.File)
	assert.Equal(t, 7, e.Line)
	assert.Contains(t, e.Message, "survey[0].breaklines[2]")

	// A second line through a vertex of the first: the note names both lines.
	r, err := takeoff.Run(t.Context(), job("[[1, 1, 10.1], [1, 2, 10.1]],\n[[1, 1, 10.1], [2, 1, 10.2]],\n[[5, 34, 10.5], [4, 36, 10.5]],\n\"bank.geojson\",\n[[4, 34.5, 10.5], [6, 34.5, 10.5]],\n"), takeoff.Options{})
	require.NoError(t, err)
	i := slices.IndexFunc(r.Notes, func(n takeoff.Remark) bool { return n.Code == "breaklines_cross" })
	require.GreaterOrEqual(t, i, 0, r.Notes)
	assert.Contains(t, r.Notes[i].Message, "job.toml:")
	assert.NotContains(t, r.Notes[i].Message, "spots.csv")
}

// The number in an error about a limit is that of the limit, whatever is left of
// it and however a reader counts.
func TestLimitsAreNamed(t *testing.T) {
	typed := "outline = [[1, 1], [2, 1], [2, 2]]\nfinished = 11\n[[pad]]\nname = \"b\"\n"
	for _, tt := range []struct {
		name, job string
		limits    takeoff.Limits
		code      string
		want      string
	}{
		{"corners of GeoJSON", pad(typed+`outline = { file = "pads.geojson", name = "store" }`, "finished = 11"), takeoff.Limits{Vertices: 5},
			"too_many_vertices", "pads.geojson:3:64: with this the job has more vertices in outlines and lines than the limit of 5"},
		{"positions of GeoJSON", pad(typed+`outline = { file = "pads.geojson", name = "yard" }`, "finished = 11"), takeoff.Limits{Vertices: 8},
			"too_many_vertices", "pads.geojson:6:12: with this the job has more vertices in outlines and lines than the limit of 8"},
		{"corners of a point file", pad(typed+`outline = "square.csv"`, "finished = 11"), takeoff.Limits{Vertices: 5},
			"too_many_vertices", "square.csv:4: with this the job has more vertices in outlines and lines than the limit of 5"},
		{"corners typed", pad(typed+`outline = [[3, 3], [4, 3], [4, 4]]`, "finished = 11"), takeoff.Limits{Vertices: 5},
			"too_many_vertices", "job.toml:10:13: pad[1].outline: with this the job has more vertices in outlines and lines than the limit of 5"},
		{"spots", strings.Replace(pad(typed), "[[pad]]", "[[survey]]\npoints = \"spots.csv\"\n[[pad]]", 1), takeoff.Limits{Points: 10},
			"too_many_points", "spots.csv:3: with this the job has more spot heights than the limit of 10"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			_, err := takeoff.Load(t.Context(), geoSite(tt.job), "job.toml", tt.limits)
			e := inputError(t, err)
			assert.Equal(t, tt.code, e.Code)
			assert.Contains(t, err.Error(), tt.want)
			assert.NotContains(t, e.Hint, "raise")
		})
	}
}
