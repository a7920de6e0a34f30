package takeoff_test

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/asciigrid"
	"barrow/tin/landxml"
	"barrow/tin/las"
	"barrow/tin/raster"
	"barrow/volume/takeoff"
)

// millimetreGround are spots with three decimals, far from the origin as real ones are.
func millimetreGround() (spots []tin.Point) {
	rng := rand.New(rand.NewPCG(3, 5))
	taken := map[[2]int]bool{}
	for len(spots) < 500 {
		e, n := rng.IntN(100_000), rng.IntN(100_000)
		if taken[[2]int{e, n}] {
			continue
		}
		taken[[2]int{e, n}] = true
		z := 61_000 + e/20 + n/50 + rng.IntN(700)
		spots = append(spots, tin.Point{E: float64(412_000_000+e) / 1000, N: (5_683_000_000 + float64(n)) / 1000, Level: float64(z) / 1000})
	}
	return spots
}

func csvOf(points []tin.Point) []byte {
	var b strings.Builder
	b.WriteString("easting,northing,level\n")
	for _, p := range points {
		fmt.Fprintf(&b, "%.3f,%.3f,%.3f\n", p.E, p.N, p.Level)
	}
	return []byte(b.String())
}

func geoJSONOf(points []tin.Point) []byte {
	var list []string
	for _, p := range points {
		list = append(list, fmt.Sprintf("[%.3f,%.3f,%.3f]", p.E, p.N, p.Level))
	}
	return []byte(`{"type":"MultiPoint","coordinates":[` + strings.Join(list, ",") + `]}`)
}

// surfaceOf is the surface of points as built.
func surfaceOf(t *testing.T, name string, points []tin.Point) landxml.Surface {
	t.Helper()
	s, err := tin.FromPoints(points)
	require.NoError(t, err)
	out := landxml.Surface{Name: name, State: "existing"}
	at := map[orb.Point]int32{}
	for _, p := range points {
		at[orb.Point{p.E, p.N}] = int32(len(out.Points))
		out.Points = append(out.Points, tin.Point{E: p.E, N: p.N, Level: p.Level})
	}
	for _, tri := range s.Triangles() {
		var f [3]int32
		for i, c := range tri.Corner {
			f[i] = at[orb.Point{c.E, c.N}]
		}
		out.Faces = append(out.Faces, f)
	}
	return out
}

func xmlOf(t *testing.T, f landxml.File) []byte {
	t.Helper()
	f.Date, f.Time = "2026-01-01", "00:00:00"
	if f.Unit == 0 {
		f.Unit = tin.Metre
	}
	var b bytes.Buffer
	require.NoError(t, landxml.Write(&b, &f))
	return b.Bytes()
}

func lasOf(t *testing.T, points []tin.Point, opts las.WriteOptions) []byte {
	t.Helper()
	opts.Day, opts.Year = 1, 2026
	var b bytes.Buffer
	require.NoError(t, las.Write(&b, points, opts))
	return b.Bytes()
}

const padOnMillimetres = `outline = [[412030, 5683030], [412070.5, 5683032], [412068, 5683071], [412029, 5683069]]
finished = 64.5
layers = [ { name = "slab", thickness = 0.2 } ]
margin = 0.5
batter = { cut = "1V:1H", fill = "1V:1.5H" }
`

func surveyed(points string) string {
	return "units = \"m\"\n[[survey]]\npoints = " + points + "\n[[pad]]\nname = \"pad\"\n" + padOnMillimetres
}

// One survey through every format that can hold it gives the same bits.
func TestEveryFormatGivesTheSameVolumes(t *testing.T) {
	ground := millimetreGround()
	points := surfaceOf(t, "anew", ground)
	points.Faces = nil
	files := fstest.MapFS{
		"ground.csv":     {Data: csvOf(ground)},
		"ground.geojson": {Data: geoJSONOf(ground)},
		"faces.xml":      {Data: xmlOf(t, landxml.File{Surfaces: []landxml.Surface{surfaceOf(t, "ground", ground)}})},
		"points.xml":     {Data: xmlOf(t, landxml.File{Surfaces: []landxml.Surface{points}})},
		"cogo.landxml":   {Data: xmlOf(t, landxml.File{Points: ground})},
		"ground.las":     {Data: lasOf(t, ground, las.WriteOptions{})},
		"ground14.LAS":   {Data: lasOf(t, ground, las.WriteOptions{Format: 6, Unit: tin.Metre})},
	}
	want := runSite(t, files, surveyed(`"ground.csv"`))
	require.Greater(t, want.Total.Cut, 100.0)
	require.Greater(t, want.Total.Fill, 100.0)
	for _, form := range []string{
		`"ground.geojson"`, `"faces.xml"`, `{ file = "faces.xml", as = "points" }`, `{ file = "faces.xml", surface = "ground", units = "m" }`,
		`"points.xml"`, `"cogo.landxml"`, `"ground.las"`, `"ground14.LAS"`, `{ file = "ground.las", classes = [2], units = "m" }`,
		`{ file = "ground.las", thin = { cell = 0.001, keep = "nearest" } }`,
	} {
		t.Run(form, func(t *testing.T) {
			got := runSite(t, files, surveyed(form))
			assert.Equal(t, want.Total, got.Total)
			assert.Equal(t, want.Ground.Area, got.Ground.Area)
			assert.Equal(t, want.Ground.Triangles, got.Ground.Triangles)
			assert.Empty(t, got.Warnings)
			assert.Equal(t, len(ground), got.Inputs[1].Points)
		})
	}
}

// A raster is its samples as spots.
func TestRastersGiveTheSameVolumes(t *testing.T) {
	g := &raster.Grid{Columns: 50, Rows: 50, Origin: orb.Point{412000.5, 5683000.5}, StepE: 2, StepN: 2}
	rng := rand.New(rand.NewPCG(1, 9))
	for range g.Columns * g.Rows {
		g.Levels = append(g.Levels, float64(61_000+rng.IntN(6000))/1000)
	}
	var grid bytes.Buffer
	require.NoError(t, asciigrid.Write(&grid, g))
	files := fstest.MapFS{"g.csv": {Data: csvOf(g.Points())}, "g.asc": {Data: grid.Bytes()}, "g.tif": {Data: geoTIFFOf(g, 9001, 0)}, "u.tiff": {Data: geoTIFFOf(g, 0, 0)}}
	want := runSite(t, files, surveyed(`"g.csv"`))
	for form, codes := range map[string][]string{
		`"g.asc"`: {"free_diagonals"}, `"g.tif"`: {"unit_not_stated", "free_diagonals", "unit_assumed"}, // of its levels
		`"u.tiff"`: {"unit_not_stated", "free_diagonals", "unit_assumed"}, `{ file = "u.tiff", units = "m" }`: {"free_diagonals"},
	} {
		got := runSite(t, files, surveyed(form))
		assert.Equal(t, want.Total, got.Total, form)
		assert.Equal(t, codes, withoutNotesOf(want, got), form)
	}
}

// withoutNotesOf are the codes of the notes that only the second has.
func withoutNotesOf(one, other *takeoff.Result) (codes []string) {
	has := map[string]bool{}
	for _, n := range one.Notes {
		has[n.Code] = true
	}
	for _, n := range other.Notes {
		if !has[n.Code] {
			codes = append(codes, n.Code)
		}
	}
	return codes
}

// geoTIFFOf writes a little GeoTIFF by TIFF 6.0 and OGC 19-008r4: one strip of 64 bit
// floating point, samples for points, with codes of the units
// of plan and levels, 0 for none.
func geoTIFFOf(g *raster.Grid, unit, levels uint16) []byte {
	le := binary.LittleEndian
	var data []byte // after the head of 8 bytes
	put := func(v ...float64) (at uint32) {
		at = uint32(8 + len(data))
		for _, x := range v {
			data = le.AppendUint64(data, math.Float64bits(x))
		}
		return at
	}
	strip := put()
	for row := g.Rows - 1; row >= 0; row-- {
		put(g.Levels[row*g.Columns : (row+1)*g.Columns]...)
	}
	size := uint32(8 * len(g.Levels))
	north := g.Place(0, g.Rows-1)
	scale, tie := put(g.StepE, g.StepN, 0), put(0, 0, 0, north[0], north[1], 0)
	keys := []uint16{1, 1, 0, 2, 1024, 0, 1, 1, 1025, 0, 1, 2}
	for _, k := range [][2]uint16{{3076, unit}, {4099, levels}} {
		if k[1] != 0 {
			keys[3]++
			keys = append(keys, k[0], 0, 1, k[1])
		}
	}
	keysAt := put()
	for _, k := range keys {
		data = le.AppendUint16(data, k)
	}
	at := put()
	entries := [][4]uint32{
		{256, 4, 1, uint32(g.Columns)}, {257, 4, 1, uint32(g.Rows)}, {258, 3, 1, 64}, {259, 3, 1, 1}, {262, 3, 1, 1}, {273, 4, 1, strip}, {277, 3, 1, 1},
		{278, 4, 1, uint32(g.Rows)}, {279, 4, 1, size}, {339, 3, 1, 3}, {33550, 12, 3, scale}, {33922, 12, 6, tie}, {34735, 3, uint32(len(keys)), keysAt},
	}
	data = le.AppendUint16(data, uint16(len(entries)))
	for _, e := range entries {
		data = le.AppendUint16(le.AppendUint16(data, uint16(e[0])), uint16(e[1]))
		data = le.AppendUint32(le.AppendUint32(data, e[2]), e[3])
	}
	data = le.AppendUint32(data, 0)
	return append(le.AppendUint32([]byte{'I', 'I', 42, 0}, at), data...)
}

// A file that says what it is in is converted by that, levels by their own unit.
func TestFilesThatStateTheirUnit(t *testing.T) {
	g := &raster.Grid{Columns: 3, Rows: 3, Origin: orb.Point{1_512_300, 698_400}, StepE: 100, StepN: 100, Levels: []float64{10, 11, 12, 13, 14, 15, 16, 17, 18}}
	feet := millimetreGround()
	files := fstest.MapFS{
		"feet.las": {Data: lasOf(t, feet, las.WriteOptions{Unit: tin.SurveyFoot, Format: 6})}, "feet.csv": {Data: csvOf(feet)},
		"feet.geojson": {Data: []byte(strings.Replace(string(geoJSONOf(feet)), "{", `{"unit":"ftUS",`, 1))},
		"feet.xml":     {Data: xmlOf(t, landxml.File{Points: feet, Unit: tin.SurveyFoot})},
		"mixed.tif":    {Data: geoTIFFOf(g, 9003, 9001)}, "levels.tif": {Data: geoTIFFOf(g, 0, 9002)},
	}
	load := func(points string) (*takeoff.Job, error) {
		files["job.toml"] = &fstest.MapFile{Data: []byte(surveyed(points))}
		return takeoff.Load(t.Context(), files, "job.toml", takeoff.Limits{})
	}
	want, err := load(`{ file = "feet.csv", units = "ftUS" }`)
	require.NoError(t, err)
	for _, points := range []string{`"feet.las"`, `{ file = "feet.las", units = "ftUS" }`, `"feet.xml"`, `"feet.geojson"`} {
		got, err := load(points)
		require.NoError(t, err)
		require.Len(t, got.Surveys[0].Points, len(feet))
		for i, p := range got.Surveys[0].Points {
			q := want.Surveys[0].Points[i]
			require.Equal(t, [3]float64{q.E, q.N, q.Level}, [3]float64{p.E, p.N, p.Level}, points)
		}
		assert.Equal(t, tin.SurveyFoot, got.Surveys[0].Written)
		assert.Equal(t, "ftUS", got.Inputs[1].Units)
		assert.Contains(t, fmt.Sprint(got.Notes), "in ftUS, as the file states; converted to m")
	}

	mixed, err := load(`"mixed.tif"`)
	require.NoError(t, err)
	assert.Equal(t, "ftUS in plan, m in level", fmt.Sprintf("%s in plan, %s in level", mixed.Inputs[1].Units, mixed.Inputs[1].LevelUnits))
	_, err = load("\"mixed.tif\"\nbenchmark = { plan = 10, measured = 10 }")
	require.NoError(t, err, "its levels are in the job's unit")
	_, err = load("\"levels.tif\"\nbenchmark = { plan = 10, measured = 10 }")
	require.ErrorContains(t, err, `write it with its unit, "10 m" or "10 ft"`)
	p := mixed.Surveys[0].Points[0]
	assert.InEpsilon(t, 1_512_300*1200.0/3937, p.E, 1e-15)
	assert.Equal(t, 10.0, p.Level)
	levels, err := load(`"levels.tif"`)
	require.NoError(t, err)
	assert.Equal(t, [2]float64{1_512_300, 3.048}, [2]float64{levels.Surveys[0].Points[0].E, levels.Surveys[0].Points[0].Level})
	assert.Zero(t, levels.Surveys[0].Written)
	assert.Contains(t, fmt.Sprint(levels.Notes), "states no unit of its plan coordinates; they are taken in m, as the job's")

	for points, says := range map[string]string{
		`{ file = "feet.las", units = "m" }`: "in ftUS, and not in m", `{ file = "feet.geojson", units = "ft" }`: "in ftUS, and not in ft", `{ file = "mixed.tif", units = "ftUS" }`: "in m, and not in ftUS", `{ file = "levels.tif", units = "ftUS" }`: "in ft, and not in ftUS",
	} {
		_, err := load(points)
		var bad *tin.InputError
		require.ErrorAs(t, err, &bad, points)
		assert.Equal(t, "units_contradict", bad.Code)
		assert.Contains(t, bad.Message, says)
	}
}
