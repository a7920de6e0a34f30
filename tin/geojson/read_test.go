package geojson_test

import (
	"errors"
	"fmt"
	"math"
	"runtime"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/geojson"
)

const square = `[[[500,600],[510,600],[510,610],[500,610],[500,600]]]`

func polygons(t *testing.T, text string, opts geojson.Options) ([]geojson.Area, []string, error) {
	t.Helper()
	var notes []string
	opts.Note = func(p tin.Problem) { notes = append(notes, p.Code) }
	areas, err := geojson.ReadPolygons(strings.NewReader(text), "a.geojson", opts)
	return areas, notes, err
}

func TestReadPolygons(t *testing.T) {
	ring := orb.Ring{{500, 600}, {510, 600}, {510, 610}, {500, 610}, {500, 600}}
	plain := []geojson.Area{{Polygon: orb.Polygon{ring}, Line: 1}}
	named := []geojson.Area{{Name: "store", Polygon: orb.Polygon{ring}, Line: 1}}
	tests := []struct {
		name, text string
		want       []geojson.Area
		notes      []string
	}{
		{"bare geometry", `{"type":"Polygon","coordinates":` + square + `}`, plain, nil},
		{"type last", `{"coordinates":` + square + `,"type":"Polygon"}`, plain, nil},
		{"feature", `{"type":"Feature","properties":{"a":[{}],"name":"store"},"geometry":{"type":"Polygon","coordinates":` + square + `}}`, named, nil},
		{"feature, name last", `{"type":"Feature","geometry":{"type":"Polygon","coordinates":` + square + `},"properties":{"name":"store"}}`, named, nil},
		{"feature without properties", `{"type":"Feature","properties":null,"geometry":{"type":"Polygon","coordinates":` + square + `}}`, plain, nil},
		{"name null", `{"type":"Feature","properties":{"name":null},"geometry":{"type":"Polygon","coordinates":` + square + `}}`, plain, nil},
		{"name a number", `{"type":"Feature","properties":{"name":7.50},"geometry":{"type":"Polygon","coordinates":` + square + `}}`,
			[]geojson.Area{{Name: "7.50", Polygon: orb.Polygon{ring}, Line: 1}}, nil},
		{"collection of features", "{\"features\":[\n{\"type\":\"Feature\",\"properties\":{\"name\":\"store\"},\"geometry\":\n{\"type\":\"Polygon\",\"coordinates\":" + square + "}}],\n\"type\":\"FeatureCollection\"}",
			[]geojson.Area{{Name: "store", Polygon: orb.Polygon{ring}, Line: 3}}, nil},
		{"collection of geometries", `{"type":"GeometryCollection","geometries":[{"type":"GeometryCollection","geometries":[{"type":"Polygon","coordinates":` + square + `}]}]}`, plain, nil},
		{"several polygons", `{"type":"MultiPolygon","coordinates":[` + square + ",\n" + square + `]}`,
			[]geojson.Area{{Polygon: orb.Polygon{ring}, Line: 1}, {Polygon: orb.Polygon{ring}, Line: 2}}, nil},
		{"hole", `{"type":"Polygon","coordinates":[` + square[1:len(square)-1] + `,[[502,602],[502,604],[504,604],[502,602]]]}`,
			[]geojson.Area{{Polygon: orb.Polygon{ring, {{502, 602}, {502, 604}, {504, 604}, {502, 602}}}, Line: 1}}, nil},
		{"byte order mark", "\xEF\xBB\xBF" + `{"type":"Polygon","coordinates":` + square + `}`, plain, []string{"byte_order_mark"}},
		{"crs of the old draft", `{"type":"Polygon","crs":{"type":"name","properties":{"name":"x","name":"y"}},"coordinates":` + square + `}`, plain, []string{"crs_not_used"}},
		{"null geometry", `{"type":"FeatureCollection","features":[{"type":"Feature","properties":{},"geometry":null},
			{"type":"Feature","properties":{},"geometry":{"type":"Polygon","coordinates":` + square + `}}]}`,
			[]geojson.Area{{Polygon: orb.Polygon{ring}, Line: 2}}, []string{"null_geometry"}},
		{"empty geometries", `{"type":"GeometryCollection","geometries":[{"type":"Polygon","coordinates":[]},{"type":"Polygon","coordinates":null},
			{"type":"MultiPolygon","coordinates":[[]]},{"type":"Polygon","coordinates":` + square + `}]}`,
			[]geojson.Area{{Polygon: orb.Polygon{ring}, Line: 2}}, []string{"empty_geometry"}},
		{"other geometries", `{"type":"GeometryCollection","geometries":[{"type":"Point","coordinates":[1,2]},{"type":"LineString","coordinates":[[1,2],[3,4]]},{"type":"Polygon","coordinates":` + square + `}]}`,
			plain, []string{"other_geometry"}},
		{"four numbers", strings.Replace(`{"type":"Polygon","coordinates":`+square+`}`, "[510,610]", "[510,610,7,8]", 1),
			[]geojson.Area{{Polygon: orb.Polygon{ring}, Levels: [][]float64{{math.NaN(), math.NaN(), 7, math.NaN(), math.NaN()}}, Line: 1}}, []string{"extra_numbers"}},
		{"marked level", strings.Replace(`{"type":"Polygon","coordinates":`+square+`}`, "[510,610]", "[510,610,-9999]", 1), plain, []string{"marked_level"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, notes, err := polygons(t, tt.text, geojson.Options{})
			require.NoError(t, err)
			assert.Equal(t, fmt.Sprint(tt.want), fmt.Sprint(got)) // in print NaN is NaN
			assert.Equal(t, tt.notes, notes)
			_, err = geojson.ReadPolygons(strings.NewReader(tt.text), "a.geojson", geojson.Options{})
			require.NoError(t, err, "without a place for notes")
		})
	}
}

func TestReadLines(t *testing.T) {
	text := `{"type": "FeatureCollection", "features": [
  {"type": "Feature", "properties": {"name": "bank"}, "geometry": {"type": "LineString", "coordinates": [
    [312540.125, 5812300, 62.5],
    [312550, 5812310],
    [-3.125e2, 5812320, 0]
  ]}},
  {"type": "Feature", "properties": {"name": "kerb"}, "geometry": {"type": "MultiLineString", "coordinates": [
    [[1, 2, 3], [3, 4, 5]], [],
    [[5, 6], [7, 8]]]}},
  {"type": "Feature", "properties": {}, "geometry": {"type": "Polygon", "coordinates": ` + square + `}}
]}`
	var notes []tin.Problem
	lines, err := geojson.ReadLines(strings.NewReader(text), "l.geojson", geojson.Options{Note: func(p tin.Problem) { notes = append(notes, p) }})
	require.NoError(t, err)
	nan := math.NaN()
	want := []tin.Breakline{
		{Name: "bank", Vertices: []tin.Point{
			{E: 312540.125, N: 5812300, Level: 62.5, Line: 3}, {E: 312550, N: 5812310, Level: nan, Line: 4}, {E: -312.5, N: 5812320, Line: 5}}},
		{Name: "kerb", Vertices: []tin.Point{{E: 1, N: 2, Level: 3, Line: 8}, {E: 3, N: 4, Level: 5, Line: 8}}},
		{Name: "kerb", Vertices: []tin.Point{{E: 5, N: 6, Level: nan, Line: 9}, {E: 7, N: 8, Level: nan, Line: 9}}},
	}
	assert.Equal(t, fmt.Sprint(want), fmt.Sprint(lines))
	assert.Equal(t, []tin.Problem{
		{Code: "empty_geometry", Message: "geometries without positions were left out (1, the first in line 8)"},
		{Code: "other_geometry", Message: "geometries that are no lines were left out: Polygon 1 (1, the first in line 10)"},
	}, notes)
}

func TestReadShapes(t *testing.T) {
	read := func(text string) (geojson.Shapes, error) {
		return geojson.ReadShapes(strings.NewReader(text), "a.geojson", geojson.Options{})
	}
	got, err := read(`{"type":"FeatureCollection","features":[
		{"type":"Feature","properties":{"name":"lot"},"geometry":{"type":"Polygon","coordinates":` + square + `}},
		{"type":"Feature","properties":{"name":"gas"},"geometry":{"type":"MultiLineString","coordinates":[[[500,600],[501,600]],[[1,2],[3,4],[5,6]]]}},
		{"type":"Feature","properties":{"name":"oak"},"geometry":{"type":"Point","coordinates":[505,605,62.5]}},
		{"type":"Feature","properties":{"name":"row"},"geometry":{"type":"GeometryCollection","geometries":[
			{"type":"MultiPoint","coordinates":[[1,2],[3,4,9]]},{"type":"Point","coordinates":[]}]}}]}`)
	require.NoError(t, err)
	require.Len(t, got.Areas, 1)
	assert.Equal(t, "lot", got.Areas[0].Name)
	require.Len(t, got.Lines, 2)
	assert.Equal(t, "gas", got.Lines[1].Name)
	assert.Len(t, got.Lines[1].Vertices, 3)
	require.Len(t, got.Points, 3)
	assert.Equal(t, tin.Point{Name: "oak", E: 505, N: 605, Level: 62.5, Line: 4}, got.Points[0])
	assert.Equal(t, tin.Point{Name: "row", E: 3, N: 4, Level: 9, Line: 6}, got.Points[2])
	assert.False(t, got.Points[1].HasLevel())

	for text, code := range map[string]string{
		`{"type":"Point","coordinates":[[500,600]]}`:        "bad_coordinates",
		`{"type":"MultiPoint","coordinates":[500,600]}`:     "bad_coordinates",
		`{"type":"MultiPoint","coordinates":[[[500,600]]]}`: "bad_coordinates",
		`{"type":"Point","coordinates":[5,6]}`:              "like_degrees",
		`{"type":"LineString","coordinates":[[500,600]]}`:   "short_line",
		`{"type":"Feature","geometry":null}`:                "no_shapes",
		`{"type":"Point"`:                                   "bad_json",
		`{"type":"Circle","coordinates":[500,600]}`:         "wrong_type",
	} {
		_, err := read(text)
		e, ok := errors.AsType[*tin.InputError](err)
		require.True(t, ok, text)
		assert.Equal(t, code, e.Code, text)
	}
}

func TestDegrees(t *testing.T) {
	small := `{"type":"Polygon","coordinates":[[[0,0],[40,0],[40,30],[0,0]]]}`
	_, _, err := polygons(t, small, geojson.Options{})
	var input *tin.InputError
	require.ErrorAs(t, err, &input)
	assert.Equal(t, "like_degrees", input.Code)
	assert.Contains(t, input.Hint, `"coordinates_are": "site grid"`)

	_, _, err = polygons(t, small, geojson.Options{SiteGrid: true})
	assert.NoError(t, err)
	for _, says := range []string{"site grid", geojson.SiteGrid, "site grid metres"} {
		for _, text := range []string{
			strings.Replace(small, "{", `{"coordinates_are":"`+says+`",`, 1),
			strings.Replace(small, "]}", `],"coordinates_are":"`+says+`"}`, 1),
		} {
			_, _, err = polygons(t, text, geojson.Options{})
			assert.NoError(t, err, text)
		}
	}
	_, _, err = polygons(t, `{"type":"GeometryCollection","geometries":[`+strings.Replace(small, "{", `{"coordinates_are":"site grid",`, 1)+`]}`, geojson.Options{})
	assert.Error(t, err, "the member counts at the top only")
	_, _, err = polygons(t, strings.Replace(small, "{", `{"coordinates_are":"degrees",`, 1), geojson.Options{SiteGrid: true})
	require.ErrorAs(t, err, &input)
	assert.Equal(t, "not_site_grid", input.Code)
	_, _, err = polygons(t, strings.Replace(small, "40,30", "40,90.5", 1), geojson.Options{})
	assert.NoError(t, err, "no latitude is beyond 90")
}

func TestReadErrors(t *testing.T) {
	poly := func(coordinates string) string { return "{\"type\":\"Polygon\",\n\"coordinates\":" + coordinates + "}" }
	tests := []struct {
		name, text   string
		code         string
		line, column int
		says         string
	}{
		{"empty", "", "bad_json", 1, 1, "ends in the middle"},
		{"cut short", `{"type":"Polygon",` + "\n" + `"coordinates":[[[1,2],`, "bad_json", 2, 23, "ends in the middle"},
		{"no object", `[1]`, "not_geojson", 1, 1, ""},
		{"syntax", "{\"type\":\"Polygon\",\n \"coordinates\": nope}", "bad_json", 2, 17, "not valid JSON"},
		{"NaN", poly("[[[1,NaN]]]"), "bad_json", 2, 20, "invalid character 'N'"},
		{"comma at the end", poly("[[[1,2],]]"), "bad_json", 2, 23, ""},
		{"brackets mixed", `{"type":"Polygon"]`, "bad_json", 1, 18, ""},
		{"column in characters", "{\"type\":\"Polygon\",\"ä\":1, x}", "bad_json", 1, 26, ""},
		{"text after it", poly(square) + "\n{}", "bad_json", 3, 1, "after the end"},
		{"not UTF-8", "{\"type\":\"Polygon\",\n\"a\":\"\xC4\"}", "not_utf8", 2, 6, ""},
		{"no type", `{"coordinates":` + square + `}`, "missing_member", 1, 1, `the object has no member "type"`},
		{"type no text", `{"type":1}`, "wrong_type", 1, 9, `"type" is 1`},
		{"unknown type", `{"type":"polygon","coordinates":` + square + `}`, "wrong_type", 1, 9, "upper and lower case"},
		{"no coordinates", `{"type":"Polygon"}`, "missing_member", 1, 1, "coordinates"},
		{"coordinates no array", poly(`{"a":1}`), "wrong_type", 2, 15, "an object"},
		{"no features", `{"type":"FeatureCollection"}`, "missing_member", 1, 1, "features"},
		{"features no array", `{"type":"FeatureCollection","features":{}}`, "wrong_type", 1, 40, ""},
		{"features hold numbers", `{"type":"FeatureCollection","features":[1]}`, "wrong_type", 1, 41, ""},
		{"features hold geometries", `{"type":"FeatureCollection","features":[` + poly(square) + `]}`, "wrong_type", 1, 49, `"Polygon" stands where Feature`},
		{"no geometry", `{"type":"Feature","properties":{}}`, "missing_member", 1, 1, "geometry"},
		{"geometry no object", `{"type":"Feature","geometry":[]}`, "wrong_type", 1, 30, ""},
		{"feature in a feature", `{"type":"Feature","geometry":{"type":"Feature","geometry":null}}`, "wrong_type", 1, 38, ""},
		{"feature in a collection of geometries", `{"type":"GeometryCollection","geometries":[{"type":"Feature","geometry":null}]}`, "wrong_type", 1, 52, ""},
		{"properties no object", `{"type":"Feature","properties":[],"geometry":null}`, "wrong_type", 1, 32, ""},
		{"name no text", `{"type":"Feature","properties":{"name":{}},"geometry":null}`, "wrong_type", 1, 40, `"name" is an object`},
		{"name twice", `{"type":"Feature","properties":{"name":"a","name":"b"},"geometry":null}`, "repeated_member", 1, 44, ""},
		{"coordinates twice", `{"type":"Polygon","coordinates":[],"coordinates":[]}`, "repeated_member", 1, 36, ""},
		{"type twice", `{"type":"Polygon","type":"LineString","coordinates":[]}`, "repeated_member", 1, 19, ""},
		{"text among coordinates", poly(`[[["1",2]]]`), "bad_coordinates", 2, 18, "a text"},
		{"null among coordinates", poly(`[[[1,2,null]]]`), "bad_coordinates", 2, 22, "null"},
		{"one number", poly(`[[[1]]]`), "bad_coordinates", 2, 17, "one number"},
		{"number and array", poly(`[[1,[2,3]]]`), "bad_coordinates", 2, 19, "an array"},
		{"array and number", poly(`[[[2,3],1]]`), "bad_coordinates", 2, 23, "a number among"},
		{"too deep for a polygon", poly(`[[[[1,2]]]]`), "bad_coordinates", 2, 17, "not a position"},
		{"too deep for anything", poly(`[[[[[1,2]]]]]`), "bad_coordinates", 2, 19, "deeper"},
		{"too flat", poly(`[[1,2],[3,4],[5,6],[1,2]]`), "bad_coordinates", 2, 16, "single position"},
		{"flatter", poly(`[1,2]`), "bad_coordinates", 2, 15, "single position"},
		{"ring of empty arrays", poly(`[[[],[],[],[]]]`), "bad_coordinates", 2, 17, ""},
		{"multipolygon too flat", `{"type":"MultiPolygon","coordinates":[1,2]}`, "bad_coordinates", 1, 38, ""},
		{"open ring", poly("[[[500,600],[510,600],\n[510,610],[500,610]]]"), "open_ring", 3, 11, "[500, 600] in line 2"},
		{"short ring", poly("[[[500,600],[510,600],[500,600]]]"), "short_ring", 2, 16, "3 positions"},
		{"ring closed at another level", poly("[[[500,600,1],[510,600,1],[510,610,1],[500,600,2]]]"), "ring_levels", 2, 53, ""},
		{"infinite", poly("[[[1e999,600]]]"), "out_of_range", 2, 18, "1e999"},
		{"absurd", poly("[[[1,-1000000001]]]"), "out_of_range", 2, 20, ""},
		{"only lines", `{"type":"LineString","coordinates":[[1,2],[3,4]]}`, "no_polygons", 0, 0, "only LineString 1"},
		{"nothing", `{"type":"FeatureCollection","features":[]}`, "no_polygons", 0, 0, ""},
		{"deep objects", strings.Repeat(`{"geometry":`, 1000), "nested_too_deep", 1, 1201, ""},
		{"deep foreign arrays", `{"x":` + strings.Repeat(`[`, 100000), "nested_too_deep", 1, 105, ""},
		{"deep properties", `{"properties":{"x":` + strings.Repeat(`[`, 100000), "nested_too_deep", 1, 118, ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			areas, _, err := polygons(t, tt.text, geojson.Options{})
			assert.Nil(t, areas)
			var input *tin.InputError
			require.ErrorAs(t, err, &input)
			assert.Equal(t, tt.code, input.Code, err)
			assert.Equal(t, []int{tt.line, tt.column}, []int{input.Line, input.Column}, err)
			assert.Equal(t, "a.geojson", input.File)
			assert.NotEmpty(t, input.Hint)
			assert.Contains(t, err.Error(), tt.says)
		})
	}
}

func TestReadLineErrors(t *testing.T) {
	line := func(kind, coordinates string) string {
		return `{"type":"` + kind + `","coordinates":` + coordinates + `}`
	}
	tests := []struct{ name, text, code string }{
		{"one position", line("LineString", "[[1,2]]"), "short_line"},
		{"a position", line("LineString", "[1,2]"), "bad_coordinates"},
		{"too deep", line("LineString", "[[[1,2],[3,4]]]"), "bad_coordinates"},
		{"too flat", line("MultiLineString", "[[1,2],[3,4]]"), "bad_coordinates"},
		{"flatter", line("MultiLineString", "[1,2]"), "bad_coordinates"},
		{"like degrees", line("LineString", "[[1,2],[3,4]]"), "like_degrees"},
		{"only polygons", line("Polygon", square), "no_lines"},
		{"no line", line("LineString", "[]"), "no_lines"},
	}
	for _, tt := range tests {
		_, err := geojson.ReadLines(strings.NewReader(tt.text), "l.geojson", geojson.Options{})
		var input *tin.InputError
		require.ErrorAs(t, err, &input, tt.name)
		assert.Equal(t, tt.code, input.Code, tt.name)
	}
}

func TestReadLimits(t *testing.T) {
	text := `{"type":"Polygon","coordinates":` + square + `}`
	for _, o := range []geojson.Options{{MaxVertices: 4}, {MaxBytes: int64(len(text)) - 1}} {
		_, _, err := polygons(t, text, o)
		var input *tin.InputError
		require.ErrorAs(t, err, &input)
		assert.Contains(t, input.Code, "too_many_")
	}
	_, _, err := polygons(t, text, geojson.Options{MaxVertices: 5, MaxBytes: int64(len(text))})
	assert.NoError(t, err, "five positions; the ring and the polygon do not count")
	_, _, err = polygons(t, `{"type":"MultiPolygon","coordinates":[`+strings.Repeat("[],", 100)+square+`]}`, geojson.Options{MaxVertices: 5})
	var input *tin.InputError
	require.ErrorAs(t, err, &input)
	assert.Equal(t, "too_many_vertices", input.Code, "nor do empty arrays cost memory without end")
	_, err = geojson.ReadLines(iotest.ErrReader(errors.New("disk")), "l.geojson", geojson.Options{})
	assert.EqualError(t, err, "geojson: l.geojson: disk")
}

func TestReadPoints(t *testing.T) {
	const text = `{"type":"FeatureCollection","features":[
{"type":"Feature","properties":{"name":"P1","code":"GL"},"geometry":{"type":"Point","coordinates":[500.25,600,7.125]}},
{"type":"Feature","properties":{"code":12,"name":3},"geometry":{"type":"GeometryCollection","geometries":[
{"type":"MultiPoint","coordinates":[[501,600],[502,600,-999]]}]}},
{"type":"Feature","properties":{"code":{"a":[1,{}]},"z":0},"geometry":{"type":"Point","coordinates":[503,600,8]}},
{"type":"Feature","properties":{"code":true},"geometry":{"type":"LineString","coordinates":[[1,2],[3,4]]}}]}`
	var notes []string
	got, err := geojson.ReadPoints(strings.NewReader(text), "x", geojson.Options{Note: func(p tin.Problem) { notes = append(notes, p.Code) }})
	require.NoError(t, err)
	require.Len(t, got, 4)
	for _, i := range []int{1, 2} {
		assert.False(t, got[i].HasLevel())
		got[i].Level = 0
	}
	assert.Equal(t, []tin.Point{
		{Name: "P1", Code: "GL", E: 500.25, N: 600, Level: 7.125, Line: 2},
		{Name: "3", Code: "12", E: 501, N: 600, Line: 4}, {Name: "3", Code: "12", E: 502, N: 600, Line: 4},
		{E: 503, N: 600, Level: 8, Line: 5},
	}, got)
	assert.Equal(t, []string{"other_geometry", "marked_level"}, notes)
	for text, want := range map[string]string{`"unit":"ftUS",`: "ftUS", `"unit":"yd",`: "0 unit_not_known", `"unit":{"a":1},`: "0", ``: "0",
		`"units":"ft",`: "0 units_not_used", `"units":"ft","unit":"m",`: "m units_not_used", `"properties":{"units":"ft"},`: "0"} {
		unit, codes := tin.Unit(0), ""
		_, err := geojson.ReadPoints(strings.NewReader(`{`+text+`"type":"Point","coordinates":[500,6]}`), "x", geojson.Options{
			Unit: func(u tin.Unit) { unit = u }, Note: func(p tin.Problem) { codes += " " + p.Code }})
		require.NoError(t, err)
		got := "0"
		if unit != 0 {
			got = unit.String()
		}
		assert.Equal(t, want, got+codes, text)
	}
	for text, code := range map[string]string{
		`{"type":"LineString","coordinates":[[500,600],[501,600]]}`:                                             "no_points",
		`{"type":"Point","coordinates":[5,6,7]}`:                                                                "like_degrees",
		`{"type":"Feature","properties":{"code":[`:                                                              "bad_json",
		`{"type":"Feature","properties":{"code":1,"code":2},"geometry":{"type":"Point","coordinates":[500,6]}}`: "repeated_member",
	} {
		_, err := geojson.ReadPoints(strings.NewReader(text), "x", geojson.Options{})
		var e *tin.InputError
		require.ErrorAs(t, err, &e, text)
		assert.Equal(t, code, e.Code, text)
	}
}

// Objects without a type end the reading where they stand: each of them takes far more
// room than its two bytes.
func TestReadManyEmptyObjects(t *testing.T) {
	for _, of := range []string{`{"type":"FeatureCollection","features":[`, `{"type":"GeometryCollection","geometries":[`} {
		text := of + strings.Repeat("{},", 1<<18) + "{}]}"
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		_, err := geojson.ReadShapes(strings.NewReader(text), "a.geojson", geojson.Options{})
		runtime.ReadMemStats(&after)
		var e *tin.InputError
		require.ErrorAs(t, err, &e)
		assert.Equal(t, []any{"missing_member", 1, len(of) + 1}, []any{e.Code, e.Line, e.Column})
		assert.Less(t, after.TotalAlloc-before.TotalAlloc, uint64(8*len(text)))
	}
}

func FuzzRead(f *testing.F) {
	f.Add(`{"type":"Polygon","coordinates":` + square + `}`)
	f.Add(`{"type":"FeatureCollection","coordinates_are":"site grid","features":[{"type":"Feature","properties":{"name":"a"},"geometry":{"type":"LineString","coordinates":[[1,2,3],[4,5]]}}]}`)
	f.Add(`{"type":"GeometryCollection","geometries":[{"type":"MultiPolygon","coordinates":[` + square + `]},{"type":"MultiLineString","coordinates":[[[1,2],[3,400]]]}]}`)
	f.Add(`{"type":"Feature","geometry":null,"properties":{"name":1e5}}`)
	f.Add(`{"type":"Feature","properties":{"code":[{"a":1}],"name":"P"},"geometry":{"type":"MultiPoint","coordinates":[[100,200,3],[4,5]]}}`)
	f.Add("\xEF\xBB\xBF{\"type\":\"Polygon\",\"crs\":{},\"coordinates\":[[[1e3,2,-999,4],null]]}")
	f.Fuzz(func(t *testing.T, text string) {
		check := func(found int, err error) {
			if err == nil {
				require.Positive(t, found)
				return
			}
			var input *tin.InputError
			require.ErrorAs(t, err, &input)
			require.NotEmpty(t, input.Code)
			require.NotEmpty(t, input.Hint)
		}
		areas, err := geojson.ReadPolygons(strings.NewReader(text), "f", geojson.Options{MaxVertices: 1000, Note: func(tin.Problem) {}})
		check(len(areas), err)
		var b strings.Builder
		if err == nil {
			require.NoError(t, geojson.WritePolygons(&b, areas))
			again, err := geojson.ReadPolygons(strings.NewReader(b.String()), "f", geojson.Options{})
			require.NoError(t, err)
			require.Len(t, again, len(areas))
		}
		shapes, err := geojson.ReadShapes(strings.NewReader(text), "f", geojson.Options{MaxVertices: 1000})
		check(len(shapes.Areas)+len(shapes.Lines)+len(shapes.Points), err)
		points, err := geojson.ReadPoints(strings.NewReader(text), "f", geojson.Options{MaxVertices: 1000})
		check(len(points), err)
		lines, err := geojson.ReadLines(strings.NewReader(text), "f", geojson.Options{SiteGrid: true})
		check(len(lines), err)
		if err == nil {
			b.Reset()
			require.NoError(t, geojson.WriteLines(&b, lines))
			again, err := geojson.ReadLines(strings.NewReader(b.String()), "f", geojson.Options{})
			require.NoError(t, err)
			for i := range lines {
				for k := range lines[i].Vertices {
					again[i].Vertices[k].Line = lines[i].Vertices[k].Line
				}
			}
			require.Equal(t, fmt.Sprint(lines), fmt.Sprint(again))
		}
	})
}
