package takeoff_test

import (
	"errors"
	"fmt"
	"io/fs"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/volume/takeoff"
)

func TestLoadErrors(t *testing.T) {
	good := []string{`outline = "square.csv"`, "finished = 11"}
	with := func(lines ...string) string { return pad(append(good, lines...)...) }
	for _, tt := range []struct {
		name, job string
		code, at  string // at: line:column
		key       string
		message   []string // of what Error returns
	}{
		{"misspelt key", with("mragin = 1"), "unknown_key", "8:1", "pad[0].mragin", []string{`unknown key "mragin"`, `did you mean "margin"?`}},
		{"key of another table", "finished = 3\n" + with(), "unknown_key", "1:1", "finished", []string{"belongs in [[pad]]"}},
		{"key nobody knows", "colour = 3\n" + with(), "unknown_key", "1:1", "colour", []string{"known here: name, units, scale"}},
		{"capitals", strings.Replace(with(), "units", "Units", 1), "unknown_key", "1:1", "Units", []string{`did you mean "units"?`}},
		{"in a layer", with(`layers = [ { name = "x", thikness = 1 } ]`), "unknown_key", "8:26", "pad[0].layers[0].thikness", []string{`"thickness"`}},
		{"two forms of outline", pad(`outline = { corner = "P1", points = ["P1"] }`, "finished = 1"), "unknown_key", "6:13", "pad[0].outline.corner", []string{`does not go with "points"`}},

		{"no units", "[[survey]]\npoints = \"spots.csv\"", "missing_key", "1:1", "units", []string{"no default"}},
		{"unknown units", "units = \"yd\"", "bad_value", "1:9", "units", []string{`"yd"`, `"ftUS"`}},
		{"no survey", "units = \"m\"", "missing_key", "1:1", "survey", []string{"[[survey]]"}},
		{"one table survey", "units = \"m\"\n[survey]\npoints = \"spots.csv\"", "wrong_type", "2:2", "survey", []string{"[[survey]]"}},
		{"no points", "units = \"m\"\n[[survey]]\n[[pad]]\n", "missing_key", "2:3", "survey[0].points", nil},
		{"no pad", head, "missing_key", "1:1", "pad", nil},
		{"no finished", pad(`outline = "square.csv"`), "missing_key", "4:3", "pad[0].finished", []string{"finished = 63.150"}},
		{"no pad name", head + "[[pad]]\n", "missing_key", "4:3", "pad[0].name", nil},
		{"name is a number", "name = 3\n" + with(), "wrong_type", "1:8", "name", []string{"this is a number, wanted a text"}},
		{"scale of a drawing", "scale = 500\n" + with(), "bad_value", "1:9", "scale", []string{"1:500"}},

		{"thick layer", with(`layers = [ { name = "x", thickness = 175 } ]`), "unlikely_length", "8:38", "pad[0].layers[0].thickness", []string{`175 m is unlikely: did you mean "175 mm"?`}},
		{"thick layer in feet", strings.Replace(with(`layers = [ { name = "x", thickness = 6 } ]`), `"m"`, `"ft"`, 1), "unlikely_length", "8:38", "pad[0].layers[0].thickness", []string{`did you mean "6 in"?`}},
		{"layer of nothing", with(`layers = [ { name = "x", thickness = 0 } ]`), "bad_value", "8:38", "pad[0].layers[0].thickness", nil},
		{"layer below 0", with(`layers = [ { name = "x", thickness = "-5 mm" } ]`), "bad_value", "8:38", "pad[0].layers[0].thickness", []string{"below 0"}},
		{"standard deviation below 0", with("[ground]", "topsoil = { depth = 0.2, sd = -0.01 }"), "bad_value", "9:31", "ground.topsoil.sd", []string{"below 0"}},
		{"standard deviation in millimetres", with(`layers = [ { name = "x", thickness = 0.1, sd = 5 } ]`), "unlikely_length", "8:48", "pad[0].layers[0].sd", []string{`"5 mm"`}},
		{"unknown unit", with(`layers = [ { name = "x", thickness = "5 yd" } ]`), "bad_value", "8:38", "pad[0].layers[0].thickness", []string{`unknown unit "yd"`}},
		{"wide margin", with("margin = 750"), "unlikely_length", "8:10", "pad[0].margin", []string{`"750 mm"`}},
		{"deep topsoil", with("[ground]", "topsoil = { depth = 200 }"), "unlikely_length", "9:21", "ground.topsoil.depth", []string{`"200 mm"`}},
		{"not finite", pad(`outline = "square.csv"`, "finished = nan"), "bad_value", "7:12", "pad[0].finished", []string{"finite"}},

		{"margin below 0", with(`margin = "-1 mm"`), "bad_value", "8:10", "pad[0].margin", []string{"below 0"}},
		{"margin over all", with(`margin = "11 km"`), "bad_value", "8:10", "pad[0].margin", []string{`unknown unit "km"`}},
		{"margin beyond reason", with(`margin = "11000 m"`), "bad_margin", "8:10", "pad[0].margin", nil},
		{"margin of true", with(`margin = true`), "wrong_type", "8:10", "pad[0].margin", nil},
		{"batter as a text", with(`batter = "1V:1H"`), "wrong_type", "8:10", "pad[0].batter", []string{`cut = "1V:1H"`}},
		{"batter of a number", with(`batter = { cut = 2 }`), "wrong_type", "8:18", "pad[0].batter.cut", nil},
		{"batter of both turned round", with(`batter = { cut = "2H:1V" }`), "", "8:18", "pad[0].batter.cut", nil},
		{"batter misspelt", with(`batter = { cuts = "1V:2H" }`), "unknown_key", "8:12", "pad[0].batter.cuts", []string{`"cut"`}},
		{"batter without letters", with(`batter = { cut = "1:2" }`), "bad_batter", "8:18", "pad[0].batter.cut", []string{"different things in different countries"}},
		{"berm without a batter", with(`berm = { every = 3, width = 1 }`), "missing_key", "8:8", "pad[0].berm", []string{"without a batter"}},
		{"berm without a width", with(`batter = { cut = "1V:1H" }`, `berm = { every = 3 }`), "missing_key", "9:8", "pad[0].berm.width", nil},
		{"berm without a rise", with(`batter = { cut = "1V:1H" }`, `berm = { width = 1 }`), "missing_key", "9:8", "pad[0].berm.every", nil},
		{"berm after no rise", with(`batter = { cut = "1V:1H" }`, `berm = { every = 0, width = 1 }`), "bad_value", "9:8", "pad[0].berm", []string{"no rise"}},
		{"berm over and over", with(`batter = { cut = "1V:1H" }`, `berm = { every = "10 mm", width = 1 }`), "batter_numbers", "9:18", "pad[0].berm.every", []string{"rises 0.01 m between berms"}},
		{"berm as a list", with(`batter = { cut = "1V:1H" }`, `berm = [3, 1]`), "wrong_type", "9:9", "pad[0].berm", nil},
		{"edges as a table", with(`edges = { from = "A", to = "B" }`), "wrong_type", "8:9", "pad[0].edges", nil},
		{"edge without from", with(`edges = [ { to = "B", face = "upright" } ]`), "missing_key", "8:11", "pad[0].edges[0].from", nil},
		{"edge from nowhere", with(`edges = [ { from = "Z", to = "B", face = "upright" } ]`), "edge_corner", "8:20", "pad[0].edges[0].from", []string{`"Z"`}},
		{"edge to a fifth corner", with(`edges = [ { from = 1, to = 5, face = "upright" } ]`), "edge_corner", "8:28", "pad[0].edges[0].to", nil},
		{"edge of true", with(`edges = [ { from = true, to = 2 } ]`), "wrong_type", "8:20", "pad[0].edges[0].from", []string{"wanted a vertex"}},
		{"edge round a point", with(`edges = [ { from = "A", to = 1, face = "upright" } ]`), "edge_corner", "8:30", "pad[0].edges[0].to", []string{"starts and ends"}},
		{"two edges of a side", with(`edges = [ { from = "A", to = "C", margin = 1 }, { from = "B", to = "C", margin = 2 } ]`), "edge_twice", "8:58", "pad[0].edges[1].from", []string{"ruled twice"}},
		{"upright edge with a batter", with(`edges = [ { from = "A", to = "B", face = "upright", batter = { cut = "1V:1H" } } ]`), "edge_upright", "8:11", "pad[0].edges[0]", nil},
		{"edge with a wide margin", with(`edges = [ { from = "A", to = "B", margin = 300 } ]`), "unlikely_length", "8:44", "pad[0].edges[0].margin", []string{`"300 mm"`}},
		{"edge with a bare batter", with(`edges = [ { from = "A", to = "B", batter = { fill = "1:2" } } ]`), "bad_batter", "8:53", "pad[0].edges[0].batter.fill", nil},
		{"edge misspelt", with(`edges = [ { from = "A", to = 2, face = "up" } ]`), "bad_value", "8:40", "pad[0].edges[0].face", nil},
		{"topsoil below 0", with("[ground]", "topsoil = '-1 mm'"), "bad_value", "9:11", "ground.topsoil", []string{"below 0"}},
		{"topsoil of a bare number too deep", with("[ground]", "topsoil = 2"), "unlikely_length", "9:11", "ground.topsoil", []string{`"2 mm"`}},
		{"topsoil without a depth", with("[ground]", "topsoil = { beyond = 1 }"), "missing_key", "9:11", "ground.topsoil.depth", nil},
		{"topsoil beyond below 0", with("[ground]", "topsoil = { depth = 0.2, beyond = -1 }"), "bad_value", "9:35", "ground.topsoil.beyond", nil},
		{"topsoil misspelt", with("[ground]", "topsoil = { depht = 0.2 }"), "unknown_key", "9:13", "ground.topsoil.depht", []string{`"depth"`}},
		{"topsoil within and beyond", with("[ground]", `topsoil = { depth = 0.2, beyond = 1, within = "square.csv" }`), "bad_value", "9:35", "ground.topsoil.beyond", []string{"not both"}},
		{"topsoil within no file", with("[ground]", `topsoil = { depth = 0.2, within = "squarf.csv" }`), "file_missing", "9:35", "ground.topsoil.within", []string{`"square.csv"`}},
		{"topsoil area without a depth", with("[ground]", `topsoil = { depth = 0.2, areas = [ { area = "square.csv" } ] }`), "missing_key", "9:36", "ground.topsoil.areas[0].depth", nil},
		{"topsoil area without an area", with("[ground]", `topsoil = { depth = 0.2, areas = [ { depth = 0.1 } ] }`), "missing_key", "9:36", "ground.topsoil.areas[0].area", nil},
		{"topsoil area too deep", with("[ground]", `topsoil = { depth = 0.2, areas = [ { area = "square.csv", depth = 150 } ] }`), "unlikely_length", "9:67", "ground.topsoil.areas[0].depth", []string{`"150 mm"`}},

		{"absolute path", strings.Replace(with(), "spots.csv", "/etc/passwd", 1), "path_outside", "3:10", "survey[0].points", []string{"/etc/passwd"}},
		{"drive", strings.Replace(with(), "spots.csv", "C:/x.csv", 1), "path_outside", "3:10", "survey[0].points", nil},
		{"backslash", strings.Replace(with(), `"spots.csv"`, `'data\spots.csv'`, 1), "path_outside", "3:10", "survey[0].points", []string{"with /"}},
		{"dot dot", strings.Replace(with(), "spots.csv", "a/../../spots.csv", 1), "path_outside", "3:10", "survey[0].points", []string{"leads out"}},
		{"missing file", strings.Replace(with(), "spots.csv", "spot.csv", 1), "file_missing", "3:10", "survey[0].points", []string{`did you mean "spots.csv"?`}},
		{"folder", strings.Replace(with(), "spots.csv", ".", 1), "file_unreadable", "3:10", "survey[0].points", []string{`"." is not a file`}},
		{"empty name", strings.Replace(with(), "spots.csv", "", 1), "bad_value", "3:10", "survey[0].points", nil},
		{"breaklines of points", strings.Replace(with(), "[[pad]]", "breaklines = [\"square.csv\"]\n[[pad]]", 1), "bad_value", "4:15", "survey[0].breaklines[0]", []string{"line_codes"}},

		{"crossed outline", pad("outline = [[0,0],[10,10],[10,0],[0,10]]", "finished = 1"), "", "6:13", "pad[0].outline", nil},
		{"two corners", pad("outline = [[0,0],[10,10]]", "finished = 1"), "", "6:13", "pad[0].outline", nil},
		{"three numbers", pad("outline = [[0,0,1],[10,10,1],[0,10,1]]", "finished = 1"), "bad_value", "6:13", "pad[0].outline[0]", []string{"wanted 2 numbers"}},
		{"outline is a number", pad("outline = 3", "finished = 1"), "wrong_type", "6:11", "pad[0].outline", nil},
		{"outline of nothing", pad("outline = { bearing = 3 }", "finished = 1"), "missing_key", "6:11", "pad[0].outline", nil},
		{"unknown spot", pad(`outline = { points = ["C1", "C2", "C33"] }`, "finished = 1"), "unknown_spot", "6:35", "pad[0].outline.points[2]", []string{`did you mean "C3"?`}},
		{"rectangle without width", pad(`outline = { corner = "C1", bearing = 0, length = 3 }`, "finished = 1"), "missing_key", "6:11", "pad[0].outline.width", nil},
		{"rectangle of nothing", pad(`outline = { corner = "C1", bearing = 0, length = 3, width = 0 }`, "finished = 1"), "bad_length", "6:11", "pad[0].outline.width", nil},

		{"steep fall", with(`fall = { slope = "1V:80H", bearing = 0, at = [1,2] }`), "bad_slope", "8:18", "pad[0].fall.slope", nil},
		{"fall without place", with(`fall = { slope = "1:80", bearing = 0 }`), "missing_key", "8:8", "pad[0].fall.at", nil},
		{"levels too few", pad(`outline = "square.csv"`, "levels = [1, 2]"), "levels_incomplete", "7:11", "pad[0].levels", []string{`no level at corner "C"`}},
		{"levels too many", pad(`outline = "square.csv"`, "levels = [1, 2, 3, 4, 1]"), "levels_incomplete", "7:11", "pad[0].levels", []string{"5 levels for the 4 corners"}},
		{"levels of a ring too many", pad(`outline = "square.csv"`, "levels = [[1, 2, 3, 4], [1, 2, 3]]"), "levels_incomplete", "7:12", "pad[0].levels", []string{"levels for 2 rings"}},
		{"levels of the outline incomplete", pad(`outline = "gap.csv"`, `levels = "outline"`), "levels_incomplete", "7:10", "pad[0].levels", []string{`no level at corner "3"`}},
		{"spot of levels without one", pad(`outline = "square.csv"`, "levels = [1, 2, 3, 4]", "spots = [[15, 15]]"), "levels_incomplete", "8:11", "pad[0].spots", []string{"spot 1"}},
		{"levels of no file", pad(`outline = "square.csv"`, `levels = "outline"`), "levels_incomplete", "7:10", "pad[0].levels", nil},
		{"levels and finished", with("levels = [1,2,3,4]"), "bad_value", "7:12", "pad[0].finished", []string{"not both"}},
		{"levels and fall", pad(`outline = "square.csv"`, "levels = [1,2,3,4]", `fall = { slope = "1:80", bearing = 0, at = "P1" }`), "fall_and_levels", "8:8", "pad[0].fall", nil},
		{"fall of true", with(`fall = { slope = true, bearing = 0, at = "P1" }`), "wrong_type", "8:18", "pad[0].fall.slope", []string{"wanted a text or a number"}},
		{"corner twice in a row", pad(`outline = { points = ["C1", "C2", "C2", "C3"] }`, "finished = 1"), "corner_names", "6:23", "pad[0].outline.points", []string{`corners 2 and 3`, `"C2"`}},
		{"two pads of one name", with("[[pad]]", `name = "a"`), "duplicate_pad_name", "9:8", "pad[1].name", []string{`pad[0] is named "a" too`}},
		{"breaklines of a number", strings.Replace(with(), "[[pad]]", "breaklines = [ 7 ]\n[[pad]]", 1), "wrong_type", "4:16", "survey[0].breaklines[0]", []string{`breaklines = ["bank.geojson"]`}},
		{"breaklines in a table without a file", strings.Replace(with(), "[[pad]]", "breaklines = [ { name = \"bank\" } ]\n[[pad]]", 1), "missing_key", "4:16", "survey[0].breaklines[0].file", []string{`breaklines = ["bank.geojson"]`}},
		{"outline without a header", pad(`outline = "bare.csv"`, "finished = 1"), "unknown_columns", "1:0", "", []string{`{ file = "bare.csv", columns = "easting, northing" }`}},
		{"columns with an unknown word", pad(`outline = { file = "bare.csv", columns = "e, u" }`, "finished = 1"), "bad_columns", "6:42", "pad[0].outline.columns", nil},
		{"columns of the survey with an unknown word", strings.Replace(with(), "[[pad]]", "columns = \"e, u\"\n[[pad]]", 1), "bad_columns", "4:11", "survey[0].columns", nil},
		{"columns of GeoJSON", pad(`outline = { file = "x.geojson", columns = "e, n" }`, "finished = 1"), "unknown_key", "6:43", "pad[0].outline.columns", []string{"GeoJSON"}},
		{"name in a point file", pad(`outline = { file = "square.csv", name = "e" }`, "finished = 1"), "unknown_key", "6:41", "pad[0].outline.name", []string{"point file"}},
		{"spots without levels", with("spots = [[15,15,3]]"), "missing_key", "8:11", "pad[0].spots", nil},
		{"max_edge of 0", with("[ground]", "max_edge = 0"), "bad_value", "9:12", "ground.max_edge", nil},
		{"plan_to_site of one", with(`plan_to_site = { plan = [[0,0]], site = ["P1", "P2"] }`), "bad_value", "8:27", "pad[0].plan_to_site.plan", nil},
		{"plan_to_site of spots", pad(`outline = { points = ["C1", "C2", "C3"] }`, "finished = 1", `plan_to_site = { plan = [[0,0],[40,0]], site = ["P1", "P2"] }`), "bad_value", "8:16", "pad[0].plan_to_site", nil},
	} {
		t.Run(tt.name, func(t *testing.T) {
			files := site(tt.job)
			files["gap.csv"] = &fstest.MapFile{Data: []byte("easting,northing,level\n10,10,1\n20,10,1\n20,20,\n10,20,1\n")}
			files["bare.csv"] = &fstest.MapFile{Data: []byte("10,10\n20,10\n20,20\n")}
			_, err := load(t, files)
			e := inputError(t, err)
			if tt.code != "" {
				assert.Equal(t, tt.code, e.Code, err)
			}
			assert.NotEmpty(t, e.Code)
			assert.Equal(t, tt.at, fmt.Sprintf("%d:%d", e.Line, e.Column), err)
			assert.Equal(t, tt.key, e.Key)
			for _, m := range tt.message {
				assert.Contains(t, err.Error(), m)
			}
		})
	}
}

func TestLoadErrorsOfDataFiles(t *testing.T) {
	files := site(pad(`outline = "square.csv"`, "finished = 11"))
	files["spots.csv"] = &fstest.MapFile{Data: []byte("easting,northing,level\n1,2,3\n1,x,3\n")}
	_, err := load(t, files)
	e := inputError(t, err)
	assert.Equal(t, "spots.csv", e.File)
	assert.Equal(t, 3, e.Line)
}

func TestLoadAmbiguousSpot(t *testing.T) {
	files := site("units = \"m\"\n[[survey]]\npoints = \"more.csv\"\n[[survey]]\npoints = \"spots.csv\"\n[[pad]]\nname = \"a\"\n" +
		"outline = { points = [\"P1\", \"P2\", \"P3\"] }\nfinished = 11\n")
	// P2 again at its place does no harm, P3 elsewhere does.
	files["more.csv"] = &fstest.MapFile{Data: []byte("number,easting,northing,level\nP2,40,0,14\nP3,41,41,14\n")}
	_, err := load(t, files)
	e := inputError(t, err)
	assert.Equal(t, "ambiguous_spot", e.Code)
	assert.Equal(t, "pad[0].outline.points[2]", e.Key)
	assert.Contains(t, e.Message, "more.csv:3 at (41, 41)")
	assert.Contains(t, e.Message, "spots.csv:4 at (40, 40)")
}

func TestLimits(t *testing.T) {
	job := pad(`outline = "square.csv"`, "finished = 11")
	bytes := int64(len(job) + len(spots))
	for _, tt := range []struct {
		name   string
		limits takeoff.Limits
		code   string
		file   string
	}{
		{"job bytes", takeoff.Limits{JobBytes: 10}, "too_many_bytes", "job.toml"},
		{"bytes of all", takeoff.Limits{Bytes: bytes - 1}, "too_many_bytes", "spots.csv"},
		{"bytes of the last", takeoff.Limits{Bytes: bytes}, "too_many_bytes", "square.csv"},
		{"points", takeoff.Limits{Points: 8}, "too_many_points", "spots.csv"},
		{"vertices", takeoff.Limits{Vertices: 3}, "too_many_vertices", "square.csv"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			_, err := takeoff.Load(t.Context(), site(job), "job.toml", tt.limits)
			e := inputError(t, err)
			assert.Equal(t, tt.code, e.Code)
			assert.Equal(t, tt.file, e.File)
		})
	}
	_, err := takeoff.Load(t.Context(), site(job), "job.toml", takeoff.Limits{Points: 9, Vertices: 4})
	assert.NoError(t, err)
	_, err = takeoff.Load(t.Context(), site(pad("outline = [[10,10],[20,10],[20,20]]", "finished = 11")), "job.toml", takeoff.Limits{Vertices: 2})
	assert.Equal(t, "too_many_vertices", inputError(t, err).Code)
}

// liar says it is small and never ends.
type liar struct{ fs.FS }

type liarFile struct {
	fs.File
	n int
}

func (l liar) Open(name string) (fs.File, error) {
	f, err := l.FS.Open(name)
	if err != nil || name != "spots.csv" {
		return f, err
	}
	return &liarFile{File: f}, nil
}

func (l *liarFile) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = "1,2,3\n"[(l.n+i)%6]
	}
	l.n += len(p)
	return len(p), nil
}

func TestLimitsHoldForFilesThatLie(t *testing.T) {
	job := strings.Replace(pad(`outline = "square.csv"`, "finished = 11"), "[[pad]]", "columns = \"easting, northing, level\"\n[[pad]]", 1)
	_, err := takeoff.Load(t.Context(), liar{site(job)}, "job.toml", takeoff.Limits{Bytes: 1 << 20})
	assert.Equal(t, "too_many_bytes", inputError(t, err).Code)
}

// broken cannot be read to its end.
type broken struct{ fs.FS }

type brokenFile struct{ fs.File }

func (b broken) Open(name string) (fs.File, error) {
	f, err := b.FS.Open(name)
	if err != nil || name != "spots.csv" {
		return f, err
	}
	return brokenFile{f}, nil
}

var errDisk = errors.New("disk on fire")

func (brokenFile) Read([]byte) (int, error) { return 0, errDisk }

func TestLoadTellsOfFilesThatBreak(t *testing.T) {
	_, err := load(t, broken{site(pad(`outline = "square.csv"`, "finished = 11"))})
	e := inputError(t, err)
	assert.Equal(t, "file_unreadable", e.Code)
	assert.Equal(t, "spots.csv", e.File)
	assert.ErrorIs(t, err, errDisk)
}

func TestLoadMissingJob(t *testing.T) {
	_, err := load(t, fstest.MapFS{"jobs.toml": {}})
	e := inputError(t, err)
	assert.Equal(t, "file_missing", e.Code)
	assert.Equal(t, `did you mean "jobs.toml"?`, e.Hint)
	_, err = takeoff.Load(t.Context(), fstest.MapFS{"d": {}}, "-", takeoff.Limits{})
	assert.Equal(t, "check the name of the job file", inputError(t, err).Hint, "every letter would have to change")
	_, err = takeoff.Load(t.Context(), fstest.MapFS{}, "../job.toml", takeoff.Limits{})
	assert.Equal(t, "path_outside", inputError(t, err).Code)
}

// FuzzLoad: whatever a job file says, the answer is a job or an error with a
// code, and nothing outside the folder is opened.
func FuzzLoad(f *testing.F) {
	for _, lines := range [][]string{
		{`outline = "square.csv"`, "finished = 11"},
		{`outline = { corner = "P1", bearing = 3, length = "2 m", width = 3 }`, "finished = 11", `fall = { slope = 0.01, bearing = 3, at = "P1" }`},
		{"outline = [[[0,0],[9,0],[9,9]]]", "levels = [[1,2,3]]", "spots = [[1,1,1]]", "breaklines = [[[1,1,1],[2,2,2]]]"},
		{"outline = [[0,0],[9,0],[9,9]]", "finished = '1 in'", "plan_to_site = { plan = [[0,0],[40,0]], site = ['P1','P2'] }"},
		{"margin = 1", "edges = [{from=1,to=2}]", "[ground]", "topsoil = {depth=1}", "[[clearance]]", "name=''"},
		{`outline = "square.csv"`, "finished = 11", "margin = '1 ft'", "batter = {cut='1V:1H',fill='1V:2.5H'}", "berm = {every=0.5,width='200 mm'}"},
		{`outline = "square.csv"`, "finished = 12.5", "batter = {fill='1V:2H'}", "edges = [{from='A',to='C',face='upright',margin=0.3},{from=3,to=4,batter={cut='1V:3H'}}]",
			"[ground]", "topsoil = {depth=0.2,beyond=1,areas=[{area='square.csv',depth='300 mm'}]}"},
		{`outline = "square.csv"`, "finished = 10", "margin = 9", "batter = {cut='1V:9H'}", "[ground]", "topsoil = {depth=0.2,within='square.csv'}"},
		{`outline = "square.csv"`, "finished = 11", "[[clearance]]", "name = 'x'", "stay = 'outside'", "distance = '1 m'", "shape = { line = ['P1', [3, 4]] }"},
		{`outline = "square.csv"`, "finished = 11", "[[clearance]]", "name = 'x'", "stay = 'inside'", "distance = 3", "shape = [[0,0],[15,0],[15,30]]"},
		{`outline = "square.csv"`, "finished = 11.5", "[[material]]", "name = 'a'", "below = [11.2, 'spots.csv']", "swell = '50 %'", "compacted_per_bank = 1.2", "reuse = 0.5",
			"[[material]]", "name = 'b'", "to = '1 ft'", "by = 'slices'", "shrink = { percent = 10, of = 'bank' }", "within = 'square.csv'", "[import]", "measure = 'loose'", "swell = '9 %'", "compacted_per_bank = 1"},
		{`outline = "square.csv"`, "finished = 11.5", "[[material]]", "name = 'a'", "kind = 'mixed soils'", "density = 2", "[[truck]]", "name = 't'", "body = 9", "payload = 9", "cycle = '9 min'",
			"[[machine]]", "name = 'm'", "work = 'spoil'", "bucket = 1", "fill_factor = 1", "cycle = '30 s'", "efficiency = 1", "truck = 't'"},
	} {
		f.Add(pad(lines...))
	}
	f.Add("units='ftUS'\nsurvey=[{points={file='spots.csv',units='m'},breaklines={file='x.geojson',name='a',units='ft'},benchmark={plan=1,measured='1 m'}}]\npad=[{name='p',outline={file='square.csv',units='ft'},finished=1}]")
	f.Add("units='m'\nsurvey=[{points={file='spots.las',classes=[2],overlap=true,thin={cell=1,keep='lowest'}}},{points={file='a.xml',surface='x',as='faces'}},{points='a.tif'},{points='a.asc'}]\npad=[{}]")
	f.Add("")
	f.Add("survey = 1\npad = [[]]\nunits='m'")
	f.Add("units='m'\nsurvey=[{points='spots.csv',check=[{plan=1,measured=2}],benchmark={plan='1 ft',measured=0}}]\npad=[{}]")
	f.Fuzz(func(t *testing.T, text string) {
		job, err := takeoff.Load(t.Context(), site(text), "job.toml", takeoff.Limits{JobBytes: 1 << 16})
		if err == nil {
			require.NotEmpty(t, job.Pads)
			require.NotEmpty(t, job.Surveys)
			_, err = takeoff.Run(t.Context(), job, takeoff.Options{})
		}
		if err == nil {
			return
		}
		e, ok := errors.AsType[*tin.InputError](err)
		require.True(t, ok, "%T %v", err, err)
		require.NotEmpty(t, e.Code, "%v", err)
		require.NotEmpty(t, e.Message)
	})
}
