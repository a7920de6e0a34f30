package geotiff_test

import (
	"bytes"
	"context"
	"errors"
	"io"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/geotiff"
	"barrow/tin/raster"
)

// The levels of the files in testdata, by testdata/make.py: column c from the
// west, row r from the north.
func realLevel(c, r int) float64  { return 60 + float64(c)/2 + float64(r)/4 + float64(c*r%7)/8 }
func wholeLevel(c, r int) float64 { return 60 + 2*float64(c) + float64(r) + float64(c*r%5) }

func readFile(t *testing.T, name string) (*raster.Grid, error) {
	t.Helper()
	f, err := os.Open(filepath.Join("testdata", name+".tif"))
	require.NoError(t, err)
	defer f.Close()
	return geotiff.Read(t.Context(), f, name+".tif", raster.Options{})
}

func codes(notes []tin.Problem) string {
	var list []string
	for _, n := range notes {
		list = append(list, n.Code)
	}
	return strings.Join(list, " ")
}

// Files written by GDAL 3.6.2.
func TestReadsWhatGDALWrites(t *testing.T) {
	area := orb.Point{312501, 5812365} // of the south-west sample: half a step within the corner
	for _, row := range []struct {
		file   string
		level  func(c, r int) float64
		origin orb.Point
		notes  string // beside unit_not_stated and free_diagonals, which all have
	}{
		{"f4_none", realLevel, area, ""},
		{"f4_point", realLevel, area, ""}, // GDAL moves the tie point instead
		{"f4_none_big_endian", realLevel, area, ""},
		{"f4_bigtiff_big_endian", realLevel, area, ""},
		{"f4_lzw", realLevel, area, ""},
		{"f4_lzw_pred2_big_endian", realLevel, area, ""},
		{"f4_deflate_pred3_tiles", realLevel, area, ""},
		{"f8_lzw_pred3_tiles", realLevel, area, ""},
		{"f8_deflate_pred2", realLevel, area, ""},
		{"f8_packbits_rows5", realLevel, area, ""},
		{"u1_packbits", wholeLevel, area, ""},
		{"i2_lzw_pred2_tiles", wholeLevel, area, ""},
		{"u2_deflate_pred2", wholeLevel, area, ""},
		{"i4_deflate", wholeLevel, area, ""},
		{"u4_lzw_big_endian", wholeLevel, area, ""},
		{"bands_together_pred3", realLevel, area, "several_bands"},
		{"bands_together_pred2", wholeLevel, area, "several_bands"},
		{"bands_apart", realLevel, area, "several_bands"},
		{"images", realLevel, area, "several_images"},
		{"overviews", realLevel, area, ""},
		{"no_keys", realLevel, area, "no_system area_assumed"},
		// The first row of the file is the south one.
		{"south_up", func(c, r int) float64 { return realLevel(c, 17-r) }, area, ""},
	} {
		t.Run(row.file, func(t *testing.T) {
			g, err := readFile(t, row.file)
			require.NoError(t, err)
			require.Equal(t, []int{20, 18}, []int{g.Columns, g.Rows})
			require.Equal(t, row.origin, g.Origin)
			require.Equal(t, []float64{2, 2}, []float64{g.StepE, g.StepN})
			for r := range 18 {
				for c := range 20 {
					require.Equal(t, row.level(c, r), g.Level(c, 17-r), "column %d, row %d", c, r)
				}
			}
			require.Equal(t, strings.TrimSpace(row.notes+" unit_not_stated free_diagonals"), codes(g.Notes))
			if row.file != "no_keys" {
				require.Equal(t, raster.CRS{Name: "WGS 84 / UTM zone 55S", EPSG: 32755}, g.CRS)
				require.Equal(t, tin.Metre, g.Unit)
			}
		})
	}
}

func TestNoData(t *testing.T) {
	for _, row := range []struct {
		file    string
		missing func(c, r int) bool
		notes   string
	}{
		{"no_data", func(c, r int) bool { return c < 4 && r < 3 }, "unit_not_stated no_data free_diagonals"},
		{"no_data_nan", func(c, r int) bool { return c < 4 && r < 3 }, "unit_not_stated no_data free_diagonals"},
		{"no_data_unsaid", func(c, r int) bool { return c < 4 && r < 3 }, "unit_not_stated marked_level no_data free_diagonals"},
		{"sparse", func(c, r int) bool { return c >= 16 || r >= 16 }, "unit_not_stated no_data free_diagonals"},
	} {
		t.Run(row.file, func(t *testing.T) {
			g, err := readFile(t, row.file)
			require.NoError(t, err)
			require.Equal(t, row.notes, codes(g.Notes))
			levels := 0
			for r := range 18 {
				for c := range 20 {
					if row.missing(c, r) {
						require.True(t, math.IsNaN(g.Level(c, 17-r)), "column %d, row %d", c, r)
						continue
					}
					levels++
					require.Equal(t, realLevel(c, r), g.Level(c, 17-r))
				}
			}
			require.Len(t, g.Points(), levels)
		})
	}
}

// Samples of 16 bits with scale 0.25, offset -10 and a unit in the metadata.
func TestScaledSamples(t *testing.T) {
	g, err := readFile(t, "scaled")
	require.NoError(t, err)
	require.Equal(t, "scaled_samples free_diagonals", codes(g.Notes))
	require.Equal(t, tin.Metre, g.VerticalUnit)
	require.Equal(t, 0.25*wholeLevel(3, 2)-10, g.Level(3, 15))
}

// GDAL leaves the units to the EPSG codes, which are not looked up: 2227 is in US
// survey feet, 8228 in international ones.
func TestUnitsByCodeOnly(t *testing.T) {
	g, err := readFile(t, "feet")
	require.NoError(t, err)
	require.Equal(t, []tin.Unit{0, 0}, []tin.Unit{g.Unit, g.VerticalUnit})
	require.Equal(t, raster.CRS{Name: "site", EPSG: 2227, VerticalEPSG: 8228}, g.CRS)
	require.Equal(t, "unit_not_stated free_diagonals", codes(g.Notes))
	require.Contains(t, g.Notes[0].Message, "EPSG 2227")
}

func TestRefusesWhatIsNoGround(t *testing.T) {
	for _, row := range []struct{ file, code, message string }{
		{"zstd", "compression", "ZSTD"},
		{"lerc", "compression", "LERC"},
		{"jpeg", "compression", "JPEG"},
		{"picture", "picture", "red, green and blue"},
		{"alpha", "has_mask", "transparent"},
		{"mask", "has_mask", "mask"},
		{"geographic", "not_projected", "longitude"},
		{"rotated", "rotated", "turned"},
		{"not_placed", "not_placed", "where its samples lie"},
		{"control_points", "ground_control", "4 ground control points"},
	} {
		t.Run(row.file, func(t *testing.T) {
			_, err := readFile(t, row.file)
			requireCode(t, err, row.code)
			require.ErrorContains(t, err, row.message)
		})
	}
}

func requireCode(t *testing.T, err error, code string) {
	t.Helper()
	var bad *tin.InputError
	require.ErrorAs(t, err, &bad)
	require.Equal(t, code, bad.Code, bad.Error())
	require.NotEmpty(t, bad.Hint)
	require.NotEmpty(t, bad.File)
}

// A real raster, held to what GDAL 3.6.2 and a reading of its bytes by hand gave:
// see testdata/SOURCE.md.
func TestOlinda(t *testing.T) {
	g, err := readFile(t, "olinda_dem_utm25s")
	require.NoError(t, err)
	require.Equal(t, []int{111, 111}, []int{g.Columns, g.Rows})
	require.Equal(t, 89.994067349451157, g.StepE)
	require.Equal(t, 89.994067349451157, g.StepN)
	sum, low, high := 0.0, math.Inf(1), math.Inf(-1)
	for _, v := range g.Levels {
		sum += v // whole numbers: exact
		low, high = min(low, v), max(high, v)
	}
	require.Equal(t, []float64{266937, -1, 88}, []float64{sum, low, high})
	require.Equal(t, []float64{38, 49, 64}, g.Levels[110*111:][:3])
	require.Len(t, g.Points(), 12321)
}

func TestLimits(t *testing.T) {
	data, err := os.ReadFile("testdata/f4_none.tif")
	require.NoError(t, err)
	read := func(ctx context.Context, opts raster.Options) error {
		_, err := geotiff.Read(ctx, bytes.NewReader(data), "a.tif", opts)
		return err
	}
	require.NoError(t, read(t.Context(), raster.Options{MaxPoints: 360, MaxBytes: int64(len(data))}))
	requireCode(t, read(t.Context(), raster.Options{MaxPoints: 359}), "too_many_points")
	requireCode(t, read(t.Context(), raster.Options{MaxBytes: int64(len(data)) - 1}), "too_many_bytes")

	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	require.ErrorIs(t, read(ctx, raster.Options{}), context.Canceled)
	_, err = geotiff.Read(t.Context(), idle{}, "a.tif", raster.Options{})
	require.ErrorIs(t, err, io.ErrNoProgress)

	ctx, cancel = context.WithCancel(t.Context())
	defer cancel()
	tiled, err := os.ReadFile("testdata/f4_deflate_pred3_tiles.tif")
	require.NoError(t, err)
	var told [][2]int64
	_, err = geotiff.Read(ctx, bytes.NewReader(tiled), "a.tif", raster.Options{Progress: func(done, total int64) {
		told = append(told, [2]int64{done, total})
		if len(told) == 2 {
			cancel()
		}
	}})
	require.ErrorIs(t, err, context.Canceled)
	require.Equal(t, [][2]int64{{90, 360}, {180, 360}}, told)
}

// asked is a context that counts how often it is asked, and ends after so many times.
type asked struct {
	context.Context
	times, most int
}

func (a *asked) Err() error {
	if a.times++; a.times > a.most {
		return context.Canceled
	}
	return nil
}

// A context that ends within a strip, which may be all there is, ends the reading.
func TestCancelWithinStrip(t *testing.T) {
	m := plain()
	m.columns, m.rows, m.strip, m.compression, m.kind = 1024, 4096, 4096, 8, kind{8, 1}
	m.levels = make([]float64, m.columns*m.rows)
	data := m.bytes()
	read := func(a *asked) error {
		a.Context = t.Context()
		_, err := geotiff.Read(a, bytes.NewReader(data), "a.tif", raster.Options{})
		return err
	}
	whole := &asked{most: 1 << 20}
	require.NoError(t, read(whole))
	for most := range whole.times {
		a := &asked{most: most}
		require.ErrorIs(t, read(a), context.Canceled)
		require.Equal(t, most+1, a.times)
	}
	// Once before the strip, once a MiB of it, once before the levels are looked at.
	require.GreaterOrEqual(t, whole.times, 1+4+1)
	m.rows, m.strip, m.levels = 1, 1, m.levels[:1024]
	data = m.bytes()
	short := &asked{most: 1 << 20}
	require.NoError(t, read(short))
	require.GreaterOrEqual(t, whole.times-short.times, 4)
}

// Every file cut short, and with a byte changed, is read or refused as
// input, never with a panic.
func TestDamagedFiles(t *testing.T) {
	files, err := filepath.Glob("testdata/*.tif")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, name := range files {
		data, err := os.ReadFile(name)
		require.NoError(t, err)
		if len(data) > 5000 {
			continue
		}
		try := func(data []byte, what string, at int) {
			_, err := geotiff.Read(t.Context(), bytes.NewReader(data), name, raster.Options{MaxPoints: 1 << 16})
			var bad *tin.InputError
			if err != nil && !errors.As(err, &bad) {
				t.Fatalf("%s %s %d: %v", name, what, at, err)
			}
		}
		for i := 0; i < len(data); i += 1 + i/200 { // all of the header, some of the samples
			try(data[:i], "cut at", i)
			changed := bytes.Clone(data)
			changed[i] ^= 0xff
			try(changed, "changed at", i)
		}
	}
}

// idle is a reader that never gives anything and never ends.
type idle struct{}

func (idle) Read([]byte) (int, error) { return 0, nil }
