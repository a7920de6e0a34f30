package takeoff_test

import (
	"fmt"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/volume/takeoff"
)

// aligned is a job of one pad with an alignment of the lines given, from line 8 on.
func aligned(lines ...string) fstest.MapFS {
	files := site(pad(`outline = "square.csv"`, "finished = 11", "[[alignment]]", strings.Join(lines, "\n")))
	files["axis.geojson"] = &fstest.MapFile{Data: []byte(`{"type": "LineString", "coordinates_are": "site grid", "coordinates": [[0, 15], [20, 15], [40, 25]]}`)}
	files["axis.csv"] = &fstest.MapFile{Data: []byte("easting,northing\n0,15\n20,15\n40,25\n")}
	files["bare.txt"] = &fstest.MapFile{Data: []byte("15,0\n15,20\n25,40\n")}
	files["ring.csv"] = &fstest.MapFile{Data: []byte("easting,northing\n0,0\n40,0\n40,40\n0,40\n0,0\n")}
	files["lines.geojson"] = &fstest.MapFile{Data: []byte(`{"type": "FeatureCollection", "coordinates_are": "site grid", "features": [
{"type": "Feature", "properties": {"name": "a"}, "geometry": {"type": "LineString", "coordinates": [[0, 15], [20, 15], [40, 25]]}},
{"type": "Feature", "properties": {"name": "b"}, "geometry": {"type": "LineString", "coordinates": [[0, 1], [2, 3]]}}]}`)}
	return files
}

func TestLoadAlignment(t *testing.T) {
	bent := orb.LineString{{0, 15}, {20, 15}, {40, 25}}
	for _, tt := range []struct {
		line string
		want orb.LineString
	}{
		{`[[0, 15], [20, 15], [40, 25]]`, bent},
		{`[[0, 15], [20, 15], "P5"]`, orb.LineString{{0, 15}, {20, 15}, {20, 20}}},
		{`"axis.geojson"`, bent},
		{`{ file = "axis.geojson" }`, bent},
		{`{ file = "lines.geojson", name = "a" }`, bent},
		{`"axis.csv"`, bent},
		{`{ file = "bare.txt", columns = "northing, easting" }`, orb.LineString{{0, 15}, {20, 15}, {40, 25}}},
		{`"ring.csv"`, orb.LineString{{0, 0}, {40, 0}, {40, 40}, {0, 40}, {0, 0}}},
	} {
		job, err := load(t, aligned(`name = "axis"`, "line = "+tt.line, `start = 100`, `interval = "5 m"`, `at = [112.5, "120 m"]`, "reach = 30"))
		require.NoError(t, err, tt.line)
		assert.Equal(t, []takeoff.Alignment{{Name: "axis", Line: tt.want, Start: 100, Interval: 5, At: []float64{112.5, 120}, Reach: 30}}, job.Alignments, tt.line)
	}
}

func TestLoadAlignmentErrors(t *testing.T) {
	const name, line = `name = "axis"`, "line = [[0, 15], [40, 15]]"
	for _, tt := range []struct {
		name    string
		lines   []string
		code    string
		at, key string
		message string
	}{
		{"no name", []string{line}, "missing_key", "8:3", "alignment[0].name", ""},
		{"empty name", []string{`name = " "`, line}, "bad_value", "9:8", "alignment[0].name", "without a name"},
		{"name twice", []string{name, line, "[[alignment]]", name, line}, "duplicate_alignment_name", "12:8", "alignment[1].name", ""},
		{"no line", []string{name}, "missing_key", "8:3", "alignment[0].line", "axis.geojson"},
		{"misspelt key", []string{name, line, "intervall = 3"}, "unknown_key", "11:1", "alignment[0].intervall", `"interval"`},
		{"misspelt key of a line", []string{name, `line = { fiel = "axis.csv" }`}, "unknown_key", "10:10", "alignment[0].line.fiel", `"file"`},
		{"line of true", []string{name, "line = true"}, "wrong_type", "10:8", "alignment[0].line", "wanted a line"},
		{"line of one place", []string{name, "line = [[1, 2]]"}, "alignment_short", "10:10", "alignment[0].line", ""},
		{"line of nothing", []string{name, "line = []"}, "alignment_short", "10:1", "alignment[0].line", ""},
		{"line of three numbers", []string{name, "line = [[1, 2, 3], [4, 5, 6]]"}, "bad_value", "10:10", "alignment[0].line[0]", ""},
		{"line through an unknown spot", []string{name, `line = [[1, 2], "P55"]`}, "unknown_spot", "10:17", "alignment[0].line[1]", `"P5"`},
		{"line of another file", []string{name, `line = "axes.csv"`}, "file_missing", "10:8", "alignment[0].line", `"axis.csv"`},
		{"line of a path outside", []string{name, `line = "../axis.csv"`}, "path_outside", "10:8", "alignment[0].line", ""},
		{"two lines in a file", []string{name, `line = "lines.geojson"`}, "bad_value", "10:8", "alignment[0].line", "2 such lines"},
		{"no line of the name", []string{name, `line = { file = "lines.geojson", name = "c" }`}, "bad_value", "10:17", "alignment[0].line.file", "0 such lines"},
		{"columns of GeoJSON", []string{name, `line = { file = "axis.geojson", columns = "easting, northing" }`}, "unknown_key", "10:43", "alignment[0].line.columns", "GeoJSON"},
		{"name in a point file", []string{name, `line = { file = "axis.csv", name = "a" }`}, "unknown_key", "10:36", "alignment[0].line.name", "point file"},
		{"table without a file", []string{name, `line = { name = "a" }`}, "missing_key", "10:8", "alignment[0].line.file", ""},
		{"turns back", []string{name, "line = [[0, 15], [40, 15], [0, 16]]"}, "alignment_turns_back", "10:10", "alignment[0].line", "at E 40.000 N 15.000"},
		{"stands still", []string{name, "line = [[0, 15], [0.000001, 15], [9, 9]]"}, "leg_short", "10:10", "alignment[0].line", ""},
		{"no interval", []string{name, line, "interval = 0"}, "bad_value", "11:12", "alignment[0].interval", "length of 0"},
		{"interval below 0", []string{name, line, "interval = -1"}, "bad_value", "11:12", "alignment[0].interval", "below 0"},
		{"no reach", []string{name, line, "reach = 0"}, "bad_value", "11:9", "alignment[0].reach", ""},
		{"start of nothing", []string{name, line, "start = nan"}, "bad_value", "11:9", "alignment[0].start", "finite"},
		{"at a number", []string{name, line, "at = 5"}, "wrong_type", "11:6", "alignment[0].at", ""},
		{"at beyond the end", []string{name, line, "start = 10", "at = [20, 51]"}, "chainage_outside", "12:7", "alignment[0].at", "from 10.000 to 50.000"},
		{"at before the start", []string{name, line, "start = 10", "at = [0]"}, "chainage_outside", "12:7", "alignment[0].at", ""},
		{"alignment as a table", nil, "wrong_type", "", "alignment", ""},
	} {
		files := aligned(tt.lines...)
		if tt.lines == nil {
			files = site("alignment = 3\n" + pad(`outline = "square.csv"`, "finished = 11"))
		}
		_, err := load(t, files)
		e := inputError(t, err)
		assert.Equal(t, tt.code, e.Code, tt.name)
		assert.Equal(t, "job.toml", e.File, tt.name)
		assert.NotEmpty(t, e.Hint, tt.name)
		assert.Equal(t, tt.key, e.Key[:min(len(e.Key), len(tt.key))], tt.name)
		assert.Contains(t, e.Error(), tt.message, tt.name)
		if tt.at != "" {
			assert.Equal(t, tt.at, fmt.Sprintf("%d:%d", e.Line, e.Column), "%s: %v", tt.name, e)
		}
	}
}

// What is said of an alignment in a job in feet is in feet, and its listed end counts.
func TestLoadAlignmentInFeet(t *testing.T) {
	files := aligned(`name = "axis"`, "line = [[0.1, 15], [40.1, 15], [0, 16]]")
	feet := func() {
		files["job.toml"].Data = []byte(strings.Replace(string(files["job.toml"].Data), `"m"`, `"ftUS"`, 1))
	}
	feet()
	_, err := load(t, files)
	assert.Contains(t, inputError(t, err).Message, "at E 40.100 N 15.000")
	files = aligned(`name = "axis"`, "line = [[0.1, 15], [37.2, 15]]", "at = [0, 37.1]")
	feet()
	job, err := load(t, files)
	require.NoError(t, err)
	assert.Equal(t, tin.SurveyFoot, job.Units)
	_, err = takeoff.Sections(t.Context(), job, takeoff.SectionsOptions{})
	require.NoError(t, err)
}

func TestAlignmentVerticesCount(t *testing.T) {
	_, err := takeoff.Load(t.Context(), aligned(`name = "axis"`, `line = "ring.csv"`), "job.toml", takeoff.Limits{Vertices: 8})
	assert.Equal(t, "too_many_vertices", inputError(t, err).Code)
	_, err = takeoff.Load(t.Context(), aligned(`name = "axis"`, `line = "ring.csv"`), "job.toml", takeoff.Limits{Vertices: 9})
	require.NoError(t, err)
}
