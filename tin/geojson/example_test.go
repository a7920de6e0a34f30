package geojson_test

import (
	"fmt"
	"os"
	"strings"

	"github.com/paulmach/orb"

	"barrow/tin"
	"barrow/tin/geojson"
)

func Example() {
	text := `{"type": "FeatureCollection", "coordinates_are": "site grid", "features": [
  {"type": "Feature", "properties": {"name": "store"}, "geometry":
    {"type": "Polygon", "coordinates": [[[0, 0], [40, 0], [40, 30], [0, 30], [0, 0]]]}}
]}`
	areas, err := geojson.ReadPolygons(strings.NewReader(text), "store.geojson", geojson.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, a := range areas {
		fmt.Println(a.Name, len(a.Polygon[0])-1, "corners, in line", a.Line)
	}
	// Output:
	// store 4 corners, in line 3
}

func ExampleReadLines() {
	text := `{"type": "LineString", "coordinates": [
  [312540, 5812300, 62.5],
  [312550, 5812300]
]}`
	lines, err := geojson.ReadLines(strings.NewReader(text), "bank.geojson", geojson.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, v := range lines[0].Vertices {
		fmt.Println("line", v.Line, "level", v.Level)
	}
	// Output:
	// line 2 level 62.5
	// line 3 level NaN
}

func ExampleWriteLines() {
	err := geojson.WriteLines(os.Stdout, []tin.Breakline{
		{Name: "bank", Vertices: []tin.Point{{E: 312540, N: 5812300, Level: 62.5}, {E: 312550, N: 5812300, Level: 62.25}}},
	})
	if err != nil {
		fmt.Println(err)
	}
	// Output:
	// {"type":"FeatureCollection","coordinates_are":"site grid: easting, northing, level","features":[
	// {"type":"Feature","properties":{"name":"bank"},"geometry":{"type":"LineString","coordinates":[[312540,5812300,62.5],[312550,5812300,62.25]]}}
	// ]}
}

func ExampleWritePolygons() {
	err := geojson.WritePolygons(os.Stdout, []geojson.Area{
		{Name: "store", Polygon: orb.Polygon{{{0, 0}, {40, 0}, {40, 30}, {0, 30}, {0, 0}}}},
	})
	if err != nil {
		fmt.Println(err)
	}
	// Output:
	// {"type":"FeatureCollection","coordinates_are":"site grid: easting, northing, level","features":[
	// {"type":"Feature","properties":{"name":"store"},"geometry":{"type":"Polygon","coordinates":[[[0,0],[40,0],[40,30],[0,30],[0,0]]]}}
	// ]}
}
