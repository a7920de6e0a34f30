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
	"barrow/tin/landxml"
	"barrow/volume/takeoff"
)

// closedSquare is a closed square at a place, with levels.
func closedSquare(e, n, side, level float64) []tin.Point {
	return []tin.Point{{E: e, N: n, Level: level}, {E: e + side, N: n, Level: level}, {E: e + side, N: n + side, Level: level}, {E: e, N: n + side, Level: level}, {E: e, N: n, Level: level}}
}

func ringOf(points []tin.Point) (ring orb.Ring) {
	for _, p := range points {
		ring = append(ring, orb.Point{p.E, p.N})
	}
	return ring
}

// siteXML is a site in one file: a surface to be built from its points, with a breakline,
// boundaries, a void and an island in it; outlines and a line.
func siteXML(t *testing.T) []byte {
	ground := landxml.Surface{Name: "ground", State: "existing", Points: closedSquare(0, 0, 100, 10)[:4],
		Breaklines: []tin.Breakline{{Name: "ridge", Vertices: []tin.Point{{E: 20, N: 50, Level: 14}, {E: 80, N: 50, Level: 14}}}},
		Boundaries: []landxml.Boundary{
			{Kind: landxml.Outer, Trim: true, Ring: ringOf(closedSquare(5, 5, 90, 0))},
			{Kind: landxml.Void, Ring: ringOf(closedSquare(60, 60, 20, 0))},
			{Kind: landxml.Island, Ring: ringOf(closedSquare(65, 65, 5, 0))},
		}}
	return xmlOf(t, landxml.File{Surfaces: []landxml.Surface{ground}, Points: []tin.Point{{Name: "P1", E: 1, N: 2, Level: 3}},
		Features: []landxml.Feature{
			{Kind: landxml.PlanFeature, Name: "store", Closed: true, Vertices: closedSquare(10, 10, 20, 9)},
			{Kind: landxml.PlanFeature, Name: "axis", Vertices: closedSquare(15, 0, 30, 9)[1:3]},
			{Kind: landxml.Parcel, Name: "lot", Closed: true, Vertices: closedSquare(0, 0, 100, 8)},
		}})
}

func TestJobOfOneLandXMLFile(t *testing.T) {
	files := fstest.MapFS{"site.xml": {Data: siteXML(t)}, "job.toml": {Data: []byte(`units = "m"
[[survey]]
points = "site.xml"
breaklines = { file = "site.xml", name = "axis" }
[[clearance]]
name = "lot"
stay = "inside"
shape = { file = "site.xml", name = "lot" }
[[clearance]]
name = "all"
stay = "outside"
distance = 1
shape = "site.xml"
[[clearance]]
name = "ground"
stay = "inside"
shape = { file = "site.xml", surface = "ground" }
[[alignment]]
name = "axis"
line = { file = "site.xml", name = "axis" }
[[pad]]
name = "store"
outline = { file = "site.xml", name = "store" }
levels = "outline"
spots = { file = "site.xml" }
breaklines = [ { file = "site.xml", surface = "ground" } ]
thickenings = [ { name = "t", line = { file = "site.xml", name = "axis" }, width = 0.5, depth = 0.5, from = "finished" } ]
`)}}
	j, err := takeoff.Load(t.Context(), files, "job.toml", takeoff.Limits{})
	require.NoError(t, err)

	s := j.Surveys[0]
	assert.Nil(t, s.Faces)
	assert.Len(t, s.Points, 4, "the point beside the surface is not of it")
	require.Len(t, s.Breaklines, 2)
	assert.Equal(t, "ridge", s.Breaklines[1].Name)
	assert.Equal(t, 14.0, s.Breaklines[1].Vertices[0].Level)
	assert.Equal(t, orb.MultiPolygon{{{{5, 5}, {95, 5}, {95, 95}, {5, 95}}}}, j.Ground.Boundary)
	assert.Equal(t, orb.MultiPolygon{{{{60, 60}, {80, 60}, {80, 80}, {60, 80}}, {{65, 65}, {70, 65}, {70, 70}, {65, 70}}}}, j.Ground.Voids)
	assert.Equal(t, orb.MultiPolygon{{{{0, 0}, {100, 0}, {100, 100}, {0, 100}}}}, j.Clearances[0].Area)
	assert.Len(t, j.Clearances[1].Area, 2)
	assert.Len(t, j.Clearances[1].Lines, 1)
	assert.Equal(t, j.Ground.Boundary, j.Clearances[2].Area)
	assert.Equal(t, orb.LineString{{45, 0}, {45, 30}}, j.Alignments[0].Line)
	assert.Equal(t, orb.Polygon{{{10, 10}, {30, 10}, {30, 30}, {10, 30}}}, j.Pads[0].Outline)
	assert.Equal(t, [][]float64{{9, 9, 9, 9}}, j.Pads[0].Levels.Outline)
	assert.Equal(t, "P1", j.Pads[0].Levels.Spots[0].Name)
	assert.Equal(t, "ridge", j.Pads[0].Levels.Lines[0].Name)
	assert.Equal(t, orb.LineString{{45, 0}, {45, 30}}, j.Pads[0].Thickenings[0].Lines[0])
	codes := codesOfProblems(j.Notes)
	for _, code := range []string{"surface_taken", "points_not_used", "boundaries"} {
		assert.Contains(t, codes, code)
	}
	assert.Empty(t, j.Warnings)
}

func codesOfProblems(list []tin.Problem) (codes []string) {
	for _, p := range list {
		codes = append(codes, p.Code)
	}
	return codes
}

func TestLimitsOfASurfaceByName(t *testing.T) {
	files := fstest.MapFS{"site.xml": {Data: siteXML(t)}, "ground.csv": {Data: csvOf(closedSquare(0, 0, 100, 10)[:4])}}
	job := func(survey, ground string) *takeoff.Job {
		files["job.toml"] = &fstest.MapFile{Data: []byte("units = \"m\"\n[[survey]]\npoints = " + survey + "\n" + ground + "\n[[pad]]\nname = \"p\"\noutline = [[10, 10], [20, 10], [20, 20]]\nfinished = 9\n")}
		j, err := takeoff.Load(t.Context(), files, "job.toml", takeoff.Limits{})
		require.NoError(t, err)
		return j
	}
	stated := job(`"ground.csv"`, "[ground]\nboundary = { file = \"site.xml\", surface = \"ground\" }\nvoids = { file = \"site.xml\", surface = \"ground\" }")
	own := job(`"site.xml"`, "")
	assert.Equal(t, own.Ground.Boundary, stated.Ground.Boundary)
	assert.Equal(t, own.Ground.Voids, stated.Ground.Voids)

	other := job(`"site.xml"`, "[ground]\nboundary = { file = \"site.xml\", name = \"store\" }")
	assert.Equal(t, orb.MultiPolygon{{{{10, 10}, {30, 10}, {30, 30}, {10, 30}}}}, other.Ground.Boundary, "what the job states holds")
	assert.Empty(t, other.Ground.Voids)
	several := job("\"site.xml\"\n[[survey]]\npoints = \"ground.csv\"", "")
	assert.Empty(t, several.Ground.Boundary)
	inGround := job("\"ground.csv\"\n[[material]]\nname = \"rock\"\nbelow = \"site.xml\"", "")
	for _, j := range []*takeoff.Job{other, several, inGround} {
		assert.Contains(t, fmt.Sprint(j.Notes), "the boundaries of the surface are not used")
	}
}

func TestSurfacesOfLandXML(t *testing.T) {
	built := surfaceOf(t, "as built", millimetreGround())
	proposed := surfaceOf(t, "design", closedSquare(412000, 5683000, 100, 10)[:4])
	proposed.State = "proposed"
	anew := built
	anew.Name, anew.State, anew.Faces = "anew", "", nil
	second := built
	second.Name = "second"
	files := fstest.MapFS{
		"one.xml":      {Data: xmlOf(t, landxml.File{Surfaces: []landxml.Surface{built}})},
		"both.xml":     {Data: xmlOf(t, landxml.File{Surfaces: []landxml.Surface{proposed, built}})},
		"design.xml":   {Data: xmlOf(t, landxml.File{Surfaces: []landxml.Surface{proposed}})},
		"two.xml":      {Data: xmlOf(t, landxml.File{Surfaces: []landxml.Surface{built, second}})},
		"anew.xml":     {Data: xmlOf(t, landxml.File{Surfaces: []landxml.Surface{anew}})},
		"features.xml": {Data: xmlOf(t, landxml.File{Features: []landxml.Feature{{Kind: landxml.PlanFeature, Name: "a", Vertices: closedSquare(0, 0, 1, 1)[:2]}}})},
		"unit.xml":     {Data: []byte(strings.Replace(string(xmlOf(t, landxml.File{Surfaces: []landxml.Surface{built}})), "linearUnit=\"meter\"", "linearUnit=\"millimeter\"", 1))},
		"ground.csv":   {Data: csvOf(millimetreGround())},
		"spots.csv":    {Data: csvOf(closedSquare(412000, 5683000, 100, 62)[:4])},
	}
	load := func(points string) (*takeoff.Job, error) {
		files["job.toml"] = &fstest.MapFile{Data: []byte(surveyed(points))}
		return takeoff.Load(t.Context(), files, "job.toml", takeoff.Limits{})
	}
	for _, tt := range []struct {
		points string
		faces  bool
		warn   []string
	}{
		{`"one.xml"`, true, nil},
		{`{ file = "one.xml", as = "points" }`, false, nil},
		{`"both.xml"`, true, nil},
		{`{ file = "both.xml", surface = "design" }`, true, []string{"surface_not_existing"}},
		{`"design.xml"`, true, []string{"surface_not_existing"}},
		{`"anew.xml"`, false, nil},
		{`{ file = "two.xml", surface = "second" }`, true, nil},
		{"\"one.xml\"\n[[survey]]\npoints = \"spots.csv\"", false, nil},
		{"{ file = \"one.xml\", as = \"faces\" }\n[[survey]]\npoints = \"spots.csv\"", true, nil},
	} {
		j, err := load(tt.points)
		require.NoError(t, err, tt.points)
		assert.Equal(t, tt.faces, j.Surveys[0].Faces != nil, tt.points)
		assert.Equal(t, tt.warn, codesOfProblems(j.Warnings), tt.points)
	}
	for _, tt := range []struct{ points, code, message string }{
		{`"two.xml"`, "which_surface", `the file holds 2 surfaces: "as built", "second"`},
		{`{ file = "two.xml", surface = "third" }`, "unknown_surface", `it has "as built", "second"`},
		{`{ file = "anew.xml", as = "faces" }`, "faces_wanted", `write as = "points"`},
		{`{ file = "one.xml", as = "triangles" }`, "bad_value", `use "faces" or "points"`},
		{`"features.xml"`, "no_points", "neither a surface nor points"},
		{"\"one.xml\"\nignore_codes = [\"BM\"]", "bad_value", `as = "points"`},
		{`{ file = "one.xml", units = "ft" }`, "units_contradict", "says itself that it is in m, and not in ft"},
		{"\"one.xml\"\ncolumns = \"easting, northing, level\"", "unknown_key", "columns do not go with a LandXML file"},
		{`{ file = "one.xml", classes = [2] }`, "unknown_key", `the key "classes" does not go with a LandXML file; with it go: surface, as, units`},
	} {
		_, err := load(tt.points)
		var bad *tin.InputError
		require.ErrorAs(t, err, &bad, tt.points)
		assert.Equal(t, tt.code, bad.Code, "%v", err)
		assert.Contains(t, err.Error(), tt.message)
	}
	j, err := load(`{ file = "unit.xml", as = "points" }`)
	require.NoError(t, err)
	assert.Equal(t, millimetreGround()[0].E/1000, j.Surveys[0].Points[0].E)
	assert.Equal(t, "0.001 m", j.Inputs[1].Units)

	// A benchmark lifts triangles as built.
	lifted := runSite(t, files, strings.Replace(surveyed(`"one.xml"`), "[[pad]]", "benchmark = { plan = 10, measured = 10.5 }\n[[pad]]", 1))
	level := runSite(t, files, strings.Replace(surveyed(`"one.xml"`), "finished = 64.5", "finished = 65", 1))
	assert.InEpsilon(t, level.Total.Cut, lifted.Total.Cut, 1e-9)
}

func TestShapesOfTheWrongKind(t *testing.T) {
	files := fstest.MapFS{"ground.csv": {Data: csvOf(millimetreGround())}, "cloud.las": {Data: []byte("LASF")}, "a.tif": {Data: []byte("II")}, "a.asc": {}, "a.laz": {}, "a.xml": {Data: siteXML(t)}}
	job := func(pad string, more ...string) string {
		return "units = \"m\"\n[[survey]]\npoints = \"ground.csv\"\n" + strings.Join(more, "\n") + "\n[[pad]]\nname = \"p\"\nfinished = 9\n" + pad
	}
	const outline = "outline = [[412010, 5683010], [412020, 5683010], [412020, 5683020]]\n"
	for _, tt := range []struct{ job, code, key, message string }{
		{job(`outline = "cloud.las"`), "file_kind", "pad[0].outline", "is a LAS file, which holds no outlines; outlines are read from point files, GeoJSON and LandXML"},
		{job(`outline = { file = "a.tif", units = "m" }`), "file_kind", "pad[0].outline.file", "is a GeoTIFF"},
		{job(`outline = { file = "a.laz" }`), "file_kind", "pad[0].outline.file", "written out as .las"},
		{job(outline, `breaklines = "cloud.las"`), "bad_value", "survey[0].breaklines", "neither GeoJSON nor LandXML"},
		{job(outline, "[[alignment]]\nname = \"a\"\nline = \"a.asc\""), "file_kind", "alignment[0].line", "is an ASCII grid, which holds no lines"},
		{job(outline, "[[clearance]]\nname = \"a\"\nstay = \"outside\"\nshape = \"a.asc\""), "file_kind", "clearance[0].shape", "is an ASCII grid"},
		{job(outline, "[[clearance]]\nname = \"a\"\nstay = \"outside\"\ndistance = 1\nshape = { line = \"a.xml\" }"), "bad_value", "clearance[0].shape.line", "a LandXML file says itself"},
		{job(outline, "[[clearance]]\nname = \"a\"\nstay = \"outside\"\ndistance = 1\nshape = { line = \"cloud.las\" }"), "file_kind", "clearance[0].shape.line", "is a LAS file, which holds no lines"},
		{job(outline + "levels = [9, 9, 9]\nspots = \"cloud.las\""), "file_kind", "pad[0].spots", "holds no spots of a pad"},
		{job(outline, "[ground]\nvoids = \"a.tif\""), "file_kind", "ground.voids", "is a GeoTIFF"},
		{job(`outline = { file = "a.xml", name = "shed" }`), "bad_value", "pad[0].outline.file", `no polygon in the file is named "shed"`},
		{job(`outline = "a.xml"`), "bad_value", "pad[0].outline", "the file holds 2 polygons"},
		{job(`outline = { file = "a.xml", columns = "easting, northing" }`), "unknown_key", "pad[0].outline.columns", "with it go: name, surface, units"},
		{job(`outline = { file = "a.xml", name = "store", surface = "ground" }`), "bad_value", "pad[0].outline.name", "leave out name or surface"},
		{job(outline + "levels = [9, 9, 9]\nspots = { file = \"a.xml\", surface = \"ground\" }"), "unknown_key", "pad[0].spots.surface", "are not read from a surface"},
		{job(outline + "levels = [9, 9, 9]\nspots = { file = \"a.xml\", name = \"P9\" }"), "bad_value", "pad[0].spots.file", `no spot in the file is named "P9"`},
		{job(outline, `breaklines = { file = "a.xml", surface = "store" }`), "unknown_surface", "", `it has "ground"`},
	} {
		files["job.toml"] = &fstest.MapFile{Data: []byte(tt.job)}
		_, err := takeoff.Load(t.Context(), files, "job.toml", takeoff.Limits{})
		var bad *tin.InputError
		require.ErrorAs(t, err, &bad, tt.job)
		assert.Equal(t, tt.code, bad.Code, "%v", err)
		assert.Equal(t, tt.key, bad.Key)
		assert.Contains(t, err.Error(), tt.message)
	}
}
