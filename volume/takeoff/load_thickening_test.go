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

func thickeningSite(lines ...string) fstest.MapFS {
	files := site(pad(append([]string{`outline = "square.csv"`, "finished = 11",
		`layers = [ { name = "slab", thickness = "150 mm" }, { name = "sub-base", thickness = 0.2, to = "margin" } ]`}, lines...)...))
	files["footings.geojson"] = &fstest.MapFile{Data: []byte(`{"type": "MultiLineString", "coordinates_are": "site grid",
		"coordinates": [[[12, 12], [18, 12]], [[12, 18], [18, 18], [18, 12]]]}`)}
	return files
}

func TestLoadThickenings(t *testing.T) {
	job, err := load(t, thickeningSite(`layers_to = "margin"`,
		`thickenings = [`,
		`  { name = "a", line = [[12, 15], [18, 15]], width = "600 mm", depth = 0.8, from = "finished", layers = [ { name = "blinding", thickness = "50 mm" } ] },`,
		`  { name = "b", line = [ [[12, 15], [18, 15]], [[15, 12], [15, 18]] ], width = 0.4, depth = 0.8, from = "slab underside", slab = "slab" },`,
		`  { name = "c", line = { points = ["C1", "C2"] }, width = 0.4, depth = "12 m", from = "formation" },`,
		`  { name = "d", line = "footings.geojson", width = 0.4, underside = 9.5 },`,
		`  { name = "e", line = { file = "footings.geojson" }, width = 0.4, depth = 1, from = "formation" },`,
		`  { name = "f", area = { corner = [12, 12], bearing = 0, length = 2, width = 3 }, depth = 1, batter = "1V:0.5H", from = "formation" },`,
		`]`,
		`backfill = { to = "9.8 m", around = [[11, 11], [19, 11], [19, 19], [11, 19]] }`))
	require.NoError(t, err)
	p := job.Pads[0]
	assert.Equal(t, takeoff.LayersToMargin, p.LayersTo)
	assert.Equal(t, takeoff.LayersToMargin, p.Layers[1].To)
	require.Len(t, p.Thickenings, 6)
	a := p.Thickenings[0]
	assert.Equal(t, takeoff.Thickening{Name: "a", Lines: []orb.LineString{{{12, 15}, {18, 15}}}, Width: 0.6, Depth: 0.8, From: "finished",
		Layers: []takeoff.Layer{{Name: "blinding", Thickness: 0.05}}}, a)
	assert.Len(t, p.Thickenings[1].Lines, 2)
	assert.Equal(t, "slab", p.Thickenings[1].Slab)
	assert.Len(t, p.Thickenings[2].Lines[0], 2)
	assert.Equal(t, 12.0, p.Thickenings[2].Depth)
	assert.Equal(t, 9.5, *p.Thickenings[3].Underside)
	assert.Equal(t, []orb.LineString{{{12, 12}, {18, 12}}, {{12, 18}, {18, 18}, {18, 12}}}, p.Thickenings[3].Lines)
	assert.Equal(t, p.Thickenings[3].Lines, p.Thickenings[4].Lines)
	assert.Len(t, p.Thickenings[5].Areas, 1)
	assert.Equal(t, 0.5, p.Thickenings[5].Along)
	assert.Equal(t, &takeoff.Backfill{UpTo: takeoff.BackfillLevel, Level: 9.8, Around: orb.MultiPolygon{{{{11, 11}, {19, 11}, {19, 19}, {11, 19}}}}}, p.Backfill)

	for _, to := range []takeoff.BackfillTo{takeoff.BackfillStripped, takeoff.BackfillGround, takeoff.BackfillFinished} {
		job, err := load(t, thickeningSite(`backfill = { to = "`+string(to)+`" }`))
		require.NoError(t, err)
		assert.Equal(t, to, job.Pads[0].Backfill.UpTo)
	}
}

// A drawing's own coordinates are moved to the site, lines as well as areas.
func TestLoadThickeningsOfADrawing(t *testing.T) {
	job, err := load(t, site(pad(`plan_to_site = { plan = [[0, 0], [10, 0]], site = [[10, 10], [20, 10]] }`,
		`outline = [[0, 0], [10, 0], [10, 10], [0, 10]]`, "finished = 11", `thickenings = [`,
		`  { name = "a", line = [[2, 5], [8, 5]], width = 0.6, depth = 0.8, from = "formation" },`,
		`  { name = "b", line = { points = ["C1", "C2"] }, width = 0.6, depth = 0.8, from = "formation" },`,
		`  { name = "c", area = [[1, 1], [3, 1], [3, 3]], depth = 0.8, from = "formation" } ]`,
		`backfill = { to = "ground", around = [[1, 1], [3, 1], [3, 3]] }`)))
	require.NoError(t, err)
	p := job.Pads[0]
	assert.Equal(t, orb.LineString{{12, 15}, {18, 15}}, p.Thickenings[0].Lines[0])
	assert.Equal(t, orb.Point{11, 11}, p.Thickenings[2].Areas[0][0][0])
	assert.Equal(t, orb.Point{11, 11}, p.Backfill.Around[0][0][0])
	plain, err := load(t, site(pad(`outline = "square.csv"`, "finished = 11",
		`thickenings = [ { name = "b", line = { points = ["C1", "C2"] }, width = 0.6, depth = 0.8, from = "formation" } ]`)))
	require.NoError(t, err)
	assert.Equal(t, plain.Pads[0].Thickenings[0].Lines, p.Thickenings[1].Lines) // surveyed spots are on the site
}

func TestLoadThickeningErrors(t *testing.T) {
	const line = `line = [[12, 15], [18, 15]], width = 0.6`
	th := func(keys string) string { return `thickenings = [ { name = "a", ` + keys + ` } ]` }
	for _, tt := range []struct {
		name, line string
		code, key  string
		message    string
	}{
		{"no name", `thickenings = [ { ` + line + `, depth = 1, from = "finished" } ]`, "missing_key", "thickenings[0].name", ""},
		{"no from", th(line + `, depth = 1`), "missing_key", "thickenings[0].depth", "drawings give overall depths from the top of the slab"},
		{"no depth", th(line + `, from = "finished"`), "missing_key", "thickenings[0].depth", ""},
		{"from elsewhere", th(line + `, depth = 1, from = "ground"`), "bad_value", "thickenings[0].from", `"slab underside"`},
		{"no width", th(`line = [[12, 15], [18, 15]], depth = 1, from = "finished"`), "missing_key", "thickenings[0].width", ""},
		{"width of millimetres", th(`line = [[12, 15], [18, 15]], width = 600, depth = 1, from = "finished"`), "unlikely_length", "thickenings[0].width", `"600 mm"`},
		{"depth of millimetres", th(line + `, depth = 800, from = "finished"`), "unlikely_length", "thickenings[0].depth", `"800 mm"`},
		{"width of nothing", th(`line = [[12, 15], [18, 15]], width = 0, depth = 1, from = "finished"`), "thickening_width", "thickenings[0].width", ""},
		{"neither", th(`depth = 1, from = "finished"`), "missing_key", "thickenings[0]", "either a line or an area"},
		{"both", th(line + `, area = "square.csv", depth = 1, from = "finished"`), "missing_key", "thickenings[0]", ""},
		{"width of an area", th(`area = "square.csv", width = 1, depth = 1, from = "finished"`), "bad_value", "thickenings[0].width", ""},
		{"crossed area", th(`area = [[0,0],[10,10],[10,0],[0,10]], depth = 1, from = "finished"`), "", "thickenings[0].area", ""},
		{"line of one place", th(`line = [[12, 15]], width = 1, depth = 1, from = "finished"`), "thickening_shape", "thickenings[0]", "no length"},
		{"line with levels", th(`line = [[12, 15, 3], [18, 15, 3]], width = 1, depth = 1, from = "finished"`), "bad_value", "thickenings[0].line[0]", ""},
		{"line of a number", th(`line = 3, width = 1, depth = 1, from = "finished"`), "wrong_type", "thickenings[0].line", ""},
		{"line of points", th(`line = "square.csv", width = 1, depth = 1, from = "finished"`), "bad_value", "thickenings[0].line", "GeoJSON"},
		{"unknown spot", th(`line = { points = ["C1", "C99"] }, width = 1, depth = 1, from = "finished"`), "unknown_spot", "thickenings[0].line.points[1]", ""},
		{"not deep enough", th(line + `, depth = 0.3, from = "finished"`), "thickening_shallow", "thickenings[0].depth", "does not reach below formation"},
		{"slab of another name", th(line + `, depth = 1, from = "slab underside", slab = "floor"`), "thickening_slab", "thickenings[0].slab", ""},
		{"slab without need", th(line + `, depth = 1, from = "finished", slab = "slab"`), "bad_value", "thickenings[0].slab", ""},
		{"level and depth", th(line + `, underside = 9, depth = 1`), "bad_value", "thickenings[0].depth", ""},
		{"layer of its own with a reach", th(line + `, depth = 1, from = "finished", layers = [ { name = "x", thickness = 0.1, to = "margin" } ]`), "unknown_key", "thickenings[0].layers[0].to", ""},
		{"batter without letters", th(line + `, depth = 1, from = "finished", batter = "1:2"`), "bad_batter", "thickenings[0].batter", ""},
		{"misspelt", th(line + `, dept = 1`), "unknown_key", "thickenings[0].dept", `"depth"`},

		{"layers to elsewhere", `layers_to = "batter"`, "bad_value", "layers_to", `"outline" or "margin"`},
		{"backfill to nothing", `backfill = {}`, "missing_key", "backfill.to", ""},
		{"backfill of a word", `backfill = "ground"`, "wrong_type", "backfill", ""},
		{"backfill to elsewhere", `backfill = { to = "sky" }`, "bad_value", "backfill.to", ""},
		{"backfill of own levels", `backfill = { to = "finished" }` + "\nlevels = [11, 11, 11, 11]", "backfill_finished", "backfill.to", "does not go on outside"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			files := thickeningSite(tt.line)
			if tt.code == "backfill_finished" {
				files["job.toml"].Data = []byte(strings.Replace(string(files["job.toml"].Data), "finished = 11\n", "", 1))
			}
			_, err := load(t, files)
			e := inputError(t, err)
			if tt.code != "" {
				assert.Equal(t, tt.code, e.Code)
			}
			assert.Equal(t, "pad[0]."+tt.key, e.Key)
			assert.Equal(t, "job.toml", e.File)
			assert.NotZero(t, e.Line)
			assert.NotEmpty(t, e.Hint)
			assert.Contains(t, err.Error()+e.Hint, tt.message)
		})
	}
}
