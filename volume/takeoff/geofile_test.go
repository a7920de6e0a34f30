package takeoff_test

import (
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
