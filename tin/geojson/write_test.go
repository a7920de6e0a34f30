package geojson_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/geojson"
)

func TestWritePolygons(t *testing.T) {
	nan := math.NaN()
	areas := []geojson.Area{
		{Name: `pad "A" & ä`, Polygon: orb.Polygon{
			{{0.1, 0}, {40, 0}, {40, 30}, {0.1, 0}},
			{{10, 1}, {10, 2}, {11, 2}, {10, 1}}, // clockwise
		}, Levels: [][]float64{{1, nan, 3.25, 1}, {nan, nan, nan, nan}}},
		{Polygon: orb.Polygon{{{0, 0}, {0, 1e-7}, {2, 2}}}}, // open, clockwise
	}
	var b bytes.Buffer
	require.NoError(t, geojson.WritePolygons(&b, areas))
	want := `{"type":"FeatureCollection","coordinates_are":"site grid: easting, northing, level","features":[
{"type":"Feature","properties":{"name":"pad \"A\" \u0026 ä"},"geometry":{"type":"Polygon","coordinates":[[[0.1,0,1],[40,0],[40,30,3.25],[0.1,0,1]],[[10,1],[10,2],[11,2],[10,1]]]}},
{"type":"Feature","properties":null,"geometry":{"type":"Polygon","coordinates":[[[0,0],[2,2],[0,1e-07],[0,0]]]}}
]}
`
	assert.Equal(t, want, b.String())
	assert.True(t, json.Valid(b.Bytes()))
	got, err := geojson.ReadPolygons(&b, "w", geojson.Options{})
	require.NoError(t, err)
	areas[0].Line, areas[1].Line = 2, 3
	areas[1].Polygon = orb.Polygon{{{0, 0}, {2, 2}, {0, 1e-7}, {0, 0}}}
	assert.Equal(t, fmt.Sprint(areas), fmt.Sprint(got))
}

func TestWriteLines(t *testing.T) {
	lines := []tin.Breakline{
		{Name: "bank", Vertices: []tin.Point{{E: 1, N: 2, Level: 3, Line: 2}, {E: 4, N: 5, Level: math.NaN(), Line: 2}}},
		{Vertices: []tin.Point{{E: 1.0 / 3, N: -1e9, Level: math.Copysign(0, -1), Line: 3}, {E: 5e-324, N: 0, Level: 0, Line: 3}}},
	}
	var b bytes.Buffer
	require.NoError(t, geojson.WriteLines(&b, lines))
	got, err := geojson.ReadLines(&b, "w", geojson.Options{})
	require.NoError(t, err)
	assert.Equal(t, fmt.Sprint(lines), fmt.Sprint(got))
}

func TestWriteErrors(t *testing.T) {
	ring := orb.Ring{{0, 0}, {1, 0}, {1, 1}, {0, 0}}
	area := func(r orb.Ring, levels ...float64) error {
		a := geojson.Area{Name: "a", Polygon: orb.Polygon{r}}
		if levels != nil {
			a.Levels = [][]float64{levels}
		}
		return geojson.WritePolygons(&bytes.Buffer{}, []geojson.Area{a})
	}
	line := func(p ...tin.Point) error {
		return geojson.WriteLines(&bytes.Buffer{}, []tin.Breakline{{Name: "l", Vertices: p}})
	}
	tests := []struct {
		err  error
		says string
	}{
		{geojson.WritePolygons(&bytes.Buffer{}, []geojson.Area{{}}), "no ring"},
		{geojson.WritePolygons(&bytes.Buffer{}, []geojson.Area{{Polygon: orb.Polygon{ring}, Levels: [][]float64{}}}), "levels for 0"},
		{geojson.WritePolygons(&bytes.Buffer{}, []geojson.Area{{Name: "\xC4", Polygon: orb.Polygon{ring}}}), "UTF-8"},
		{area(nil), "at least 4"},
		{area(ring[:2]), "at least 4"},
		{area(ring, 1, 2), "2 levels"},
		{area(ring, 1, 2, 3, 4), "level 1 and ends"},
		{area(orb.Ring{{0, 0}, {math.NaN(), 0}, {1, 1}}), "vertex 2: NaN"},
		{line(tin.Point{}), "1 vertices"},
		{line(tin.Point{}, tin.Point{E: math.Inf(1)}), "+Inf"},
		{line(tin.Point{N: 2e9, Level: math.NaN()}, tin.Point{}), "2e+09"},
		{line(tin.Point{}, tin.Point{Level: math.Inf(-1)}), "-Inf"},
		{line(tin.Point{}, tin.Point{Level: -9999}), "missing"},
		{geojson.WriteLines(failing{}, []tin.Breakline{{Name: strings.Repeat("x", 1<<13), Vertices: make([]tin.Point, 2)}}), "full"},
		{geojson.WriteLines(failing{}, nil), "full"},
	}
	for _, tt := range tests {
		assert.ErrorContains(t, tt.err, tt.says)
	}
}

type failing struct{}

func (failing) Write([]byte) (int, error) { return 0, errors.New("the disk is full") }
