package takeoff_test

import (
	"bytes"
	"context"
	"fmt"
	"io/fs"
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

// everyKind is one survey in a file of each kind.
func everyKind(t *testing.T) fstest.MapFS {
	t.Helper()
	g := &raster.Grid{Columns: 60, Rows: 60, Origin: orb.Point{412000, 5683000}, StepE: 2, StepN: 2}
	rng := rand.New(rand.NewPCG(1, 9))
	for range g.Columns * g.Rows {
		g.Levels = append(g.Levels, float64(61_000+rng.IntN(6000))/1000)
	}
	var grid bytes.Buffer
	require.NoError(t, asciigrid.Write(&grid, g))
	points := g.Points()
	return fstest.MapFS{
		"ground.csv":     {Data: csvOf(points)},
		"ground.geojson": {Data: geoJSONOf(points)},
		"ground.xml":     {Data: xmlOf(t, landxml.File{Surfaces: []landxml.Surface{surfaceOf(t, "ground", points)}})},
		"ground.las":     {Data: lasOf(t, points, las.WriteOptions{})},
		"ground.tif":     {Data: geoTIFFOf(g, 9001, 0)},
		"ground.asc":     {Data: grid.Bytes()},
	}
}

// watched is a file system whose files are read in small blocks and tell of it.
type watched struct {
	fstest.MapFS
	read func()
}

func (w watched) Open(name string) (fs.File, error) {
	f, err := w.MapFS.Open(name)
	return watchedFile{f, w.read}, err
}

type watchedFile struct {
	fs.File
	read func()
}

func (f watchedFile) Read(b []byte) (int, error) {
	f.read()
	return f.File.Read(b[:min(len(b), 512)])
}

func TestLoadEndsWithItsContextInEveryKind(t *testing.T) {
	for name, file := range everyKind(t) {
		ctx, cancel := context.WithCancel(t.Context())
		blocks := 0
		files := watched{fstest.MapFS{name: file, "job.toml": {Data: []byte(surveyed(fmt.Sprintf("%q", name)))}}, func() {
			if blocks++; blocks == 20 {
				cancel()
			}
		}}
		_, err := takeoff.Load(ctx, files, "job.toml", takeoff.Limits{})
		assert.ErrorIs(t, err, context.Canceled, name)
		assert.LessOrEqual(t, blocks, 21, name)
		cancel()
	}
}

func TestLoadTellsHowFarItIs(t *testing.T) {
	for name, file := range everyKind(t) {
		files := watched{fstest.MapFS{name: file, "job.toml": {Data: []byte(surveyed(fmt.Sprintf("%q", name)))}}, func() {}}
		last := map[string]int{}
		_, err := takeoff.LoadWith(t.Context(), files, "job.toml", takeoff.LoadOptions{Progress: func(stage string, done, total int) {
			assert.GreaterOrEqual(t, done, last[stage])
			assert.LessOrEqual(t, done, total)
			last[stage] = done
		}})
		require.NoError(t, err)
		assert.Equal(t, len(file.Data)/1000, last["reading "+name+", kB"], name)
	}
}

// The limits speak of what is kept: a cloud that is thinned may be larger.
func TestLoadLimitsOfEveryKind(t *testing.T) {
	kinds := everyKind(t)
	for name, file := range kinds {
		job := func(points string) error {
			files := fstest.MapFS{name: file, "job.toml": {Data: []byte(surveyed(points))}}
			_, err := takeoff.Load(t.Context(), files, "job.toml", takeoff.Limits{Points: 3599})
			return err
		}
		var bad *tin.InputError
		require.ErrorAs(t, job(fmt.Sprintf("%q", name)), &bad, name)
		assert.Equal(t, "too_many_points", bad.Code, name)
		assert.Equal(t, name, bad.File)
		assert.Contains(t, bad.Message, "the limit of 3599", name)
	}
	files := fstest.MapFS{"ground.las": kinds["ground.las"], "job.toml": {Data: []byte(surveyed(`{ file = "ground.las", thin = { cell = 4, keep = "lowest" } }`))}}
	j, err := takeoff.Load(t.Context(), files, "job.toml", takeoff.Limits{Points: 900})
	require.NoError(t, err)
	assert.Len(t, j.Surveys[0].Points, 900)
	_, err = takeoff.Load(t.Context(), files, "job.toml", takeoff.Limits{Points: 899})
	require.ErrorContains(t, err, "the limit of 899")
}

// A cloud without ground is read twice to be described, and counts once.
func TestDescribeFileCountsItsBytesOnce(t *testing.T) {
	data := lasOf(t, millimetreGround(), las.WriteOptions{Class: 6})
	f := takeoff.DataFile{FS: fstest.MapFS{"roof.las": {Data: data}}, Name: "roof.las"}
	d, err := takeoff.DescribeFile(t.Context(), f, takeoff.Limits{Bytes: int64(len(data))})
	require.NoError(t, err)
	assert.Zero(t, d.Cloud.Ground)
	assert.EqualValues(t, len(millimetreGround()), d.Cloud.Points)
}

// withoutCRS makes the records of a LAS file that say what its coordinates are unknown.
func withoutCRS(data []byte) []byte {
	return bytes.ReplaceAll(data, []byte("LASF_Projection"), []byte("MADE_Up_ByTests"))
}

// A cell is a length of the job, whatever the file is in: one in metres thins a cloud in
// feet as it thins the same cloud in metres, though the file says so only after its points.
func TestThinningInTheJobsUnit(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 5))
	var metres, feet []tin.Point
	for range 4000 {
		p := tin.Point{E: float64(rng.IntN(100_000)) / 1000, N: float64(rng.IntN(100_000)) / 1000, Level: float64(rng.IntN(5000)) / 1000}
		feet = append(feet, p)
		metres = append(metres, tin.Point{E: p.E * 0.3048, N: p.N * 0.3048, Level: p.Level * 0.3048})
	}
	files := fstest.MapFS{
		"feet.las":   {Data: lasOf(t, feet, las.WriteOptions{Unit: tin.Foot})},
		"bare.las":   {Data: withoutCRS(lasOf(t, feet, las.WriteOptions{}))},
		"metres.las": {Data: lasOf(t, metres, las.WriteOptions{Scale: 1e-7, Offset: &[3]float64{}})},
	}
	load := func(points string) *takeoff.Job {
		files["job.toml"] = &fstest.MapFile{Data: []byte(surveyed(points))}
		j, err := takeoff.Load(t.Context(), files, "job.toml", takeoff.Limits{})
		require.NoError(t, err)
		return j
	}
	const thin = `thin = { cell = "1 m", keep = "nearest" }`
	want := load(`{ file = "metres.las", ` + thin + ` }`)
	for _, points := range []string{`{ file = "feet.las", ` + thin + ` }`, `{ file = "bare.las", units = "ft", ` + thin + ` }`, `{ file = "feet.las", units = "ft", thin = { cell = 1, keep = "nearest" } }`} {
		got := load(points)
		require.Len(t, got.Surveys[0].Points, len(want.Surveys[0].Points), points)
		for i, p := range got.Surveys[0].Points {
			q := want.Surveys[0].Points[i]
			assert.InDelta(t, q.E, p.E, 1e-6)
			assert.InDelta(t, q.N, p.N, 1e-6)
			assert.InDelta(t, q.Level, p.Level, 1e-6)
		}
		require.Len(t, got.Inputs, 2, points)
		assert.Equal(t, takeoff.Input{Path: got.Inputs[1].Path, SHA256: got.Inputs[1].SHA256, Points: len(want.Surveys[0].Points), Units: "ft"}, got.Inputs[1])
	}
	assert.Equal(t, 1, strings.Count(fmt.Sprint(load(`{ file = "feet.las", `+thin+` }`).Notes), "units_converted"), "though it was read twice")
}
