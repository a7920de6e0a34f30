package geotiff_test

import (
	"bytes"
	"encoding/binary"
	"math"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/geotiff"
	"barrow/tin/raster"
)

func read(t *testing.T, data []byte) (*raster.Grid, error) {
	t.Helper()
	return geotiff.Read(t.Context(), bytes.NewReader(data), "a.tif", raster.Options{})
}

// keys are geo keys as a directory of them, after those of the model and raster type.
func keys(model, kind int, more ...int) []int {
	k := append([]int{1024, 0, 1, model, 1025, 0, 1, kind}, more...)
	return append([]int{1, 1, 0, len(k) / 4}, k...)
}

func TestPlace(t *testing.T) {
	area, point := keys(1, 1), keys(1, 2)
	matrix := func(a, f, d, h float64) []float64 {
		return []float64{a, 0, 0, d, 0, f, 0, h, 0, 0, 0, 0, 0, 0, 0, 1}
	}
	for _, row := range []struct {
		name           string
		keys           []int
		scale          []float64
		ties, matrix   []float64
		origin         orb.Point // by hand, from x = X + (c - i) sx and y = Y - (r - j) sy
		stepE, stepN   float64
		southWestLevel float64
	}{
		{"area", area, []float64{2, 2, 0}, []float64{0, 0, 0, 1000, 2000, 0}, nil, orb.Point{1001, 1997}, 2, 2, 13},
		{"point", point, []float64{2, 2, 0}, []float64{0, 0, 0, 1000, 2000, 0}, nil, orb.Point{1000, 1998}, 2, 2, 13},
		{"unequal steps", area, []float64{2, 0.5, 1}, []float64{0, 0, 0, 1000, 2000, 0}, nil, orb.Point{1001, 1999.25}, 2, 0.5, 13},
		{"tied to the middle of a sample", area, []float64{2, 2, 0}, []float64{0.5, 0.5, 0, 1001, 1999, 0}, nil, orb.Point{1001, 1997}, 2, 2, 13},
		{"tied to the lower left corner", area, []float64{2, 2, 0}, []float64{0, 2, 0, 1000, 1996, 0}, nil, orb.Point{1001, 1997}, 2, 2, 13},
		{"decimals", point, []float64{0.1, 0.1, 0}, []float64{0, 0, 0, 0.1, 0.4, 0}, nil, orb.Point{0.1, 0.3}, 0.1, 0.1, 13},
		{"matrix", area, nil, nil, matrix(2, -2, 1000, 2000), orb.Point{1001, 1997}, 2, 2, 13},
		{"matrix, point", point, nil, nil, matrix(2, -2, 1000, 2000), orb.Point{1000, 1998}, 2, 2, 13},
		{"matrix, south up", area, nil, nil, matrix(2, 2, 1000, 1996), orb.Point{1001, 1997}, 2, 2, 10},
		{"scale before matrix", area, []float64{2, 2, 0}, []float64{0, 0, 0, 1000, 2000, 0}, matrix(5, -5, 0, 0), orb.Point{1001, 1997}, 2, 2, 13},
	} {
		t.Run(row.name, func(t *testing.T) {
			m := plain()
			m.short[34735] = row.keys
			m.real = map[uint16][]float64{33550: row.scale, 33922: row.ties, 34264: row.matrix}
			for tag, v := range m.real {
				if v == nil {
					delete(m.real, tag)
				}
			}
			g, err := read(t, m.bytes())
			require.NoError(t, err)
			require.Equal(t, row.origin, g.Origin)
			require.Equal(t, []float64{row.stepE, row.stepN}, []float64{g.StepE, g.StepN})
			require.Equal(t, row.southWestLevel, g.Levels[0])
		})
	}
}

func TestUnits(t *testing.T) {
	for _, row := range []struct {
		name           string
		more           []int
		doubles        []float64
		metadata       string
		plan, vertical tin.Unit
		notes          string
	}{
		{"none", nil, nil, "", 0, 0, "unit_not_stated"},
		{"metres", []int{3076, 0, 1, 9001, 4099, 0, 1, 9001}, nil, "", tin.Metre, tin.Metre, ""},
		{"feet", []int{3076, 0, 1, 9002}, nil, "", tin.Foot, 0, "unit_not_stated"},
		{"survey feet, levels in feet", []int{3076, 0, 1, 9003, 4099, 0, 1, 9002}, nil, "", tin.SurveyFoot, tin.Foot, "level_unit_differs"},
		{"levels only", []int{4099, 0, 1, 9002}, nil, "", 0, tin.Foot, "unit_not_stated"},
		{"own unit, a rounded foot", []int{3076, 0, 1, 32767, 3077, 34736, 1, 1}, []float64{7, 0.3048006096}, "", tin.SurveyFoot, 0, "unit_not_stated"},
		{"own unit", []int{3076, 0, 1, 32767, 3077, 34736, 1, 1}, []float64{7, 0.9144}, "", 0.9144, 0, "unit_not_stated"},
		{"by metadata", []int{3076, 0, 1, 9002}, nil, `<GDALMetadata><Item name="UNITTYPE" sample="0" role="unittype">ft</Item></GDALMetadata>`, tin.Foot, tin.Foot, ""},
		{"both agree", []int{3076, 0, 1, 9002, 4099, 0, 1, 9002}, nil, `<GDALMetadata><Item name="UNITTYPE" sample="0" role="unittype">foot</Item></GDALMetadata>`, tin.Foot, tin.Foot, ""},
		{"of another band", []int{3076, 0, 1, 9002}, nil, `<GDALMetadata><Item name="UNITTYPE" sample="1" role="unittype">m</Item></GDALMetadata>`, tin.Foot, 0, "unit_not_stated"},
	} {
		t.Run(row.name, func(t *testing.T) {
			m := plain()
			m.levels = []float64{1, 2, 3, 2, 3, 4} // a plane
			m.short[34735] = keys(1, 1, row.more...)
			if row.doubles != nil {
				m.real[34736] = row.doubles
			}
			if row.metadata != "" {
				m.ascii[42112] = row.metadata
			}
			g, err := read(t, m.bytes())
			require.NoError(t, err)
			require.Equal(t, []tin.Unit{row.plan, row.vertical}, []tin.Unit{g.Unit, g.VerticalUnit})
			require.Equal(t, row.notes, codes(g.Notes))
		})
	}
}

func TestSystemIsCarried(t *testing.T) {
	m := plain()
	m.ascii[34737] = "first|Tannery Field grid|"
	m.short[34735] = keys(1, 1, 1026, 34737, 19, 6, 3072, 0, 1, 32755, 4096, 0, 1, 5711)
	g, err := read(t, m.bytes())
	require.NoError(t, err)
	require.Equal(t, raster.CRS{Name: "Tannery Field grid", EPSG: 32755, VerticalEPSG: 5711}, g.CRS)

	m.short[34735] = keys(1, 1, 3072, 0, 1, 32767) // a system of one's own
	g, err = read(t, m.bytes())
	require.NoError(t, err)
	require.Equal(t, raster.CRS{}, g.CRS)
}

// The marks of no data are compared as stored, before scale and offset.
func TestMarksBeforeScale(t *testing.T) {
	m := plain()
	m.kind, m.levels = kind{16, 2}, []float64{-32768, -9999, 100, 200, 300, 7}
	m.ascii[42112] = `<GDALMetadata><Item name="SCALE" sample="0" role="scale">0.01</Item><Item sample="0" role="offset">50</Item><Item name="X">y</Item></GDALMetadata>`
	m.ascii[42113] = " 7 "
	g, err := read(t, m.bytes())
	require.NoError(t, err)
	require.True(t, math.IsNaN(g.Level(0, 1)) && math.IsNaN(g.Level(1, 1)) && math.IsNaN(g.Level(2, 0)))
	require.Equal(t, []float64{51, 52, 53}, []float64{g.Level(2, 1), g.Level(0, 0), g.Level(1, 0)})
	require.Equal(t, "scaled_samples unit_not_stated marked_level no_data", codes(g.Notes))
}

// No data may be stated to other digits than samples of floating point hold; whole
// numbers that only single precision takes for the same stay apart.
func TestNoDataInSinglePrecision(t *testing.T) {
	m := plain()
	m.kind, m.levels = kind{64, 3}, []float64{1, 2, 3, 4, -math.MaxFloat32, 6}
	m.ascii[42113] = "-3.40282346638529e+38"
	g, err := read(t, m.bytes())
	require.NoError(t, err)
	require.Len(t, g.Points(), 5)
	m.levels[4] = float64(float32(-9999.123))
	m.ascii[42113] = "-9999.123"
	g, err = read(t, m.bytes())
	require.NoError(t, err)
	require.Len(t, g.Points(), 5)

	m.kind, m.levels = kind{32, 2}, []float64{20000001, 20000000, 3, 4, 5, 6}
	m.ascii[42113] = "20000001"
	g, err = read(t, m.bytes())
	require.NoError(t, err)
	require.Len(t, g.Points(), 5)
	require.Equal(t, 20000000.0, g.Level(1, 1))
}

func TestBadInput(t *testing.T) {
	matrix := []float64{2, 0, 0, 1000, 0, -2, 0, 2000, 0, 0, 0, 0, 0, 0, 0, 1}
	with := func(m []float64, i int, v float64) []float64 {
		m = slices.Clone(m)
		m[i] = v
		return m
	}
	byMatrix := func(m *image, values []float64) { m.real = map[uint16][]float64{34264: values} }
	for _, row := range []struct {
		name   string
		change func(m *image)
		code   string
	}{
		{"no width", func(m *image) { m.drop = []uint16{256} }, "missing_tag"},
		{"no height", func(m *image) { m.drop = []uint16{257} }, "missing_tag"},
		{"no offsets", func(m *image) { m.drop = []uint16{273} }, "missing_tag"},
		{"no byte counts", func(m *image) { m.drop = []uint16{279} }, "missing_tag"},
		{"width 0", func(m *image) { m.short[256] = []int{0} }, "bad_tag"},
		{"height beyond the strips", func(m *image) { m.short[257] = []int{60000}; m.short[278] = []int{2} }, "bad_tag"},
		{"height of one endless strip", func(m *image) { m.short[257] = []int{60000}; m.short[278] = []int{60000} }, "bad_block"},
		{"width as text", func(m *image) { m.ascii[256] = "3" }, "bad_tag"},
		{"rows of a strip 0", func(m *image) { m.short[278] = []int{0} }, "bad_tag"},
		{"no bands", func(m *image) { m.short[277] = []int{0} }, "bad_tag"},
		{"planes 3", func(m *image) { m.short[284] = []int{3} }, "bad_tag"},
		{"tile of 0", func(m *image) { m.tile = 16; m.columns, m.rows = 3, 2; m.short[322] = []int{0} }, "bad_tag"},
		{"bits of bands differ", func(m *image) { m.bands = 2; m.short[258] = []int{32, 16} }, "unsupported"},
		{"bits 12", func(m *image) { m.short[258] = []int{12} }, "unsupported"},
		{"floating point of 16 bits", func(m *image) { m.short[258] = []int{16} }, "unsupported"},
		{"integers of 64 bits", func(m *image) { m.kind = kind{64, 1} }, "unsupported"},
		{"complex numbers", func(m *image) { m.short[339] = []int{6} }, "unsupported"},
		{"no bits", func(m *image) { m.drop = []uint16{258} }, "unsupported"},
		{"predictor 4", func(m *image) { m.short[317] = []int{4} }, "unsupported"},
		{"predictor 0", func(m *image) { m.short[317] = []int{0} }, "unsupported"},
		{"predictor 3 of integers", func(m *image) { m.kind = kind{32, 1}; m.short[317] = []int{3} }, "unsupported"},
		{"fill order", func(m *image) { m.short[266] = []int{2} }, "unsupported"},
		{"orientation", func(m *image) { m.short[274] = []int{4} }, "unsupported"},
		{"unknown compression", func(m *image) { m.short[259] = []int{4711} }, "compression"},
		{"palette", func(m *image) { m.short[262] = []int{3} }, "picture"},
		{"unassociated alpha", func(m *image) { m.bands = 2; m.short[338] = []int{2} }, "has_mask"},
		{"smaller copy first", func(m *image) { m.short[254] = []int{1} }, "no_image"},
		{"mask first", func(m *image) { m.short[254] = []int{4} }, "no_image"},

		{"no scale", func(m *image) { delete(m.real, 33550) }, "not_placed"},
		{"no tie", func(m *image) { delete(m.real, 33922) }, "bad_place"},
		{"two ties", func(m *image) { m.real[33922] = make([]float64, 12) }, "bad_place"},
		{"scale of two", func(m *image) { m.real[33550] = []float64{2, 2} }, "bad_place"},
		{"negative scale", func(m *image) { m.real[33550] = []float64{2, -2, 0} }, "bad_place"},
		{"scale NaN", func(m *image) { m.real[33550] = []float64{2, math.NaN(), 0} }, "bad_tag"},
		{"scale as whole numbers", func(m *image) { delete(m.real, 33550); m.short[33550] = []int{2, 2, 0} }, "bad_tag"},
		{"scale of levels", func(m *image) { m.real[33550] = []float64{2, 2, 0.3048} }, "scaled_levels"},
		{"tie of levels", func(m *image) { m.real[33922] = []float64{0, 0, 0, 1000, 2000, 50} }, "scaled_levels"},
		{"short matrix", func(m *image) { byMatrix(m, matrix[:12]) }, "bad_place"},
		{"turned", func(m *image) { byMatrix(m, with(matrix, 1, 0.1)) }, "rotated"},
		{"mirrored", func(m *image) { byMatrix(m, with(matrix, 0, -2)) }, "rotated"},
		{"no step north", func(m *image) { byMatrix(m, with(matrix, 5, 0)) }, "rotated"},
		{"matrix lifts levels", func(m *image) { byMatrix(m, with(matrix, 11, 5)) }, "scaled_levels"},
		{"matrix tilts levels", func(m *image) { byMatrix(m, with(matrix, 8, 0.1)) }, "scaled_levels"},
		{"beyond 1e9", func(m *image) { m.real[33922] = []float64{0, 0, 0, 2e9, 2000, 0} }, "bad_grid"},
		{"steps vanish", func(m *image) { m.real[33550] = []float64{1e-13, 1e-13, 0} }, "bad_grid"},

		{"geocentric", func(m *image) { m.short[34735] = keys(3, 1) }, "not_projected"},
		{"model 9", func(m *image) { m.short[34735] = keys(9, 1) }, "bad_keys"},
		{"raster type 3", func(m *image) { m.short[34735] = keys(1, 3) }, "bad_keys"},
		{"keys of version 2", func(m *image) { m.short[34735] = []int{2, 1, 0, 0} }, "bad_keys"},
		{"keys of two numbers", func(m *image) { m.short[34735] = []int{1, 1} }, "bad_keys"},
		{"too few keys", func(m *image) { m.short[34735] = []int{1, 1, 0, 9, 1024, 0, 1, 1} }, "bad_keys"},
		{"text beyond the texts", func(m *image) { m.ascii[34737] = "abc|"; m.short[34735] = keys(1, 1, 1026, 34737, 9, 0) }, "bad_keys"},
		{"number beyond the numbers", func(m *image) { m.short[34735] = keys(1, 1, 3077, 34736, 1, 0) }, "bad_keys"},
		{"unit of the moon", func(m *image) { m.short[34735] = keys(1, 1, 3076, 0, 1, 9099) }, "unknown_unit"},
		{"own unit without size", func(m *image) { m.short[34735] = keys(1, 1, 3076, 0, 1, 32767) }, "unknown_unit"},
		{"unknown unit of levels", func(m *image) {
			m.ascii[42112] = `<GDALMetadata><Item sample="0" role="unittype">fathom</Item></GDALMetadata>`
		}, "unknown_unit"},
		{"units disagree", func(m *image) {
			m.short[34735] = keys(1, 1, 4099, 0, 1, 9001)
			m.ascii[42112] = `<GDALMetadata><Item sample="0" role="unittype">ft</Item></GDALMetadata>`
		}, "units_disagree"},
		{"metadata no XML", func(m *image) { m.ascii[42112] = `<GDALMetadata><Item` }, "bad_metadata"},
		{"metadata scale", func(m *image) {
			m.ascii[42112] = `<GDALMetadata><Item sample="0" role="scale">big</Item></GDALMetadata>`
		}, "bad_metadata"},
		{"metadata scale 0", func(m *image) {
			m.ascii[42112] = `<GDALMetadata><Item sample="0" role="scale">0</Item></GDALMetadata>`
		}, "bad_metadata"},
		{"no data is a word", func(m *image) { m.ascii[42113] = "none" }, "bad_no_data"},

		{"degrees without a system", func(m *image) {
			delete(m.short, 34735)
			m.real[33550], m.real[33922] = []float64{1e-5, 1e-5, 0}, []float64{0, 0, 0, 145, -37, 0}
		}, "like_degrees"},
		{"infinite level", func(m *image) { m.levels[3] = math.Inf(-1) }, "bad_level"},
		{"level beyond 1e9", func(m *image) { m.levels[3] = -3.4e38 }, "bad_level"},
		{"no levels", func(m *image) { m.ascii[42113] = "5"; m.levels = []float64{5, 5, 5, 5, 5, 5} }, "no_levels"},
	} {
		t.Run(row.name, func(t *testing.T) {
			m := plain()
			row.change(m)
			_, err := read(t, m.bytes())
			requireCode(t, err, row.code)
		})
	}
}

func TestBadBytes(t *testing.T) {
	good := plain().bytes()
	big := plain()
	big.big = true
	entries := 8 + 2 // the first entry of the directory
	put := func(at int, v uint32) func(b []byte) []byte {
		return func(b []byte) []byte {
			binary.LittleEndian.PutUint32(b[at:], v)
			return b
		}
	}
	for _, row := range []struct {
		name   string
		data   []byte
		change func(b []byte) []byte
		code   string
	}{
		{"empty", nil, nil, "not_tiff"},
		{"text", []byte("ncols 3\nnrows 2\n"), nil, "not_tiff"},
		{"version 41", good, func(b []byte) []byte { b[2] = 41; return b }, "not_tiff"},
		{"offsets of 4 bytes in BigTIFF", big.bytes(), func(b []byte) []byte { b[4] = 4; return b }, "not_tiff"},
		{"directory outside", good, put(4, 1<<30), "bad_directory"},
		{"directory cut", good, func(b []byte) []byte { return b[:40] }, "bad_directory"},
		{"too many tags", good, func(b []byte) []byte { b[8], b[9] = 0xff, 0xff; return append(b, make([]byte, 1<<20)...) }, "bad_directory"},
		{"tag twice", good, func(b []byte) []byte { copy(b[entries+12:], b[entries:entries+12]); return b }, "bad_tag"},
		{"endless count", good, put(entries+4, math.MaxUint32), "bad_tag"},
		{"samples cut", good, func(b []byte) []byte { return b[:len(b)-1] }, "bad_block"},
	} {
		t.Run(row.name, func(t *testing.T) {
			data := bytes.Clone(row.data)
			if row.change != nil {
				data = row.change(data)
			}
			_, err := read(t, data)
			requireCode(t, err, row.code)
		})
	}
}

// Directories that run in a circle.
func TestDirectoriesInACircle(t *testing.T) {
	b := plain().bytes()
	count := int(binary.LittleEndian.Uint16(b[8:]))
	binary.LittleEndian.PutUint32(b[8+2+12*count:], 8)
	_, err := read(t, b)
	requireCode(t, err, "bad_directory")
}

func TestDamagedBlocks(t *testing.T) {
	for _, compression := range []int{5, 8, 32773} {
		m := plain()
		m.columns, m.rows, m.strip, m.compression = 50, 40, 40, compression
		m.levels = levelsOf(m.kind, 2000)
		good := m.bytes()
		_, err := read(t, good)
		require.NoError(t, err)
		// The samples are at the end, so that half of them is cut by telling
		// another byte count.
		m.short[279] = []int{4000}
		_, err = read(t, m.bytes())
		requireCode(t, err, "bad_block")
		require.ErrorContains(t, err, "strip 1")
	}
	// A changed checksum.
	m := plain()
	m.compression = 8
	b := m.bytes()
	b[len(b)-1] ^= 1
	_, err := read(t, b)
	requireCode(t, err, "bad_block")
	require.ErrorContains(t, err, "checksum")
}

// A small file that unpacks into very much is refused by what it says, before
// anything is unpacked or allocated.
func TestBombs(t *testing.T) {
	m := plain()
	m.compression, m.columns, m.rows, m.strip = 8, 1000, 1000, 1000
	m.levels = make([]float64, 1e6)
	m.levels[5] = 1
	data := m.bytes()
	require.Less(t, len(data), 10000)
	g, err := read(t, data)
	require.NoError(t, err) // 4 MB from 4 kB is what Deflate may do
	require.Len(t, g.Levels, 1e6)

	for _, compression := range []int{1, 5, 8, 32773} {
		m := plain()
		m.compression = compression
		m.short[256], m.short[257], m.short[278] = []int{65535}, []int{65535}, []int{65535}
		data := m.bytes()
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		_, err = read(t, data)
		runtime.ReadMemStats(&after)
		requireCode(t, err, "bad_block")
		require.Less(t, after.TotalAlloc-before.TotalAlloc, uint64(1<<20))
	}

	// The same bytes for 256 blocks.
	m = plain()
	m.tile = 16
	m.short[256], m.short[257] = []int{256}, []int{256}
	m.short[324], m.short[325] = slices.Repeat([]int{8}, 256), slices.Repeat([]int{1024}, 256)
	_, err = read(t, m.bytes())
	requireCode(t, err, "bad_block")
	require.ErrorContains(t, err, "256 blocks")

	// Blocks without bytes may stand for so much only.
	m = plain()
	m.tile = 16
	m.ascii[42113] = "-9999"
	m.short[256], m.short[257] = []int{65535}, []int{65535}
	m.short[322], m.short[323] = []int{65535}, []int{65535}
	m.short[325] = []int{0}
	_, err = read(t, m.bytes())
	requireCode(t, err, "bad_block")
	m.short[322], m.short[323] = []int{1024}, []int{1024}
	m.short[324], m.short[325] = make([]int, 4096), make([]int, 4096)
	_, err = read(t, m.bytes())
	requireCode(t, err, "too_many_points")

	// So many of them in a small file were two gigabytes of levels.
	m.short[256], m.short[257] = []int{16384}, []int{16384}
	m.short[324], m.short[325] = make([]int, 256), make([]int, 256)
	_, err = read(t, m.bytes())
	requireCode(t, err, "bad_block")
	require.ErrorContains(t, err, "blocks without bytes stand for 268435456 samples")
}

// The volcano grid in nine forms, which may not travel with the repository: the
// values are in the README of its folder, from GDAL 3.6.2.
func TestVolcano(t *testing.T) {
	folder := os.Getenv("BARROW_OPEN_DATA")
	if folder == "" {
		t.Skip("BARROW_OPEN_DATA names no folder: this set may not travel with the repository")
	}
	for _, row := range []struct {
		name   string
		levels int
		mean   float64
	}{
		{"f32_strip_none", 5307, 130.18786508385},
		{"f32_strip_none_bigendian", 5307, 130.18786508385},
		{"f32_point_none", 5307, 130.18786508385},
		{"f32_tile32_deflate_pred3", 5307, 130.18786508385},
		{"f32_strip_lzw_pred2", 5307, 130.18786508385},
		{"i16_strip_lzw_pred2", 5307, 130.18786508385},
		{"f32_strip_deflate_nodata", 5207, 130.867},
		{"f64_strip_packbits", 5307, 130.18786508385},
		{"f32_bigtiff", 5307, 130.18786508385},
	} {
		t.Run(row.name, func(t *testing.T) {
			f, err := os.Open(filepath.Join(folder, "geotiff-samples", row.name+".tif"))
			require.NoError(t, err)
			defer f.Close()
			g, err := geotiff.Read(t.Context(), f, row.name, raster.Options{})
			require.NoError(t, err)
			require.Equal(t, []int{61, 87}, []int{g.Columns, g.Rows})
			require.Equal(t, orb.Point{300000, 5900000}, g.Origin)
			points := g.Points()
			require.Len(t, points, row.levels)
			sum, low, high := 0.0, math.Inf(1), math.Inf(-1)
			for _, p := range points {
				sum += p.Level
				low, high = min(low, p.Level), max(high, p.Level)
			}
			require.Equal(t, []float64{94, 195}, []float64{low, high})
			if row.levels == 5307 {
				require.InDelta(t, row.mean, sum/5307, 5e-12)
				// Of the volume below the whole grid, the greatest less the least of all
				// Delaunay meshes: volcano/reference.json, level 90.
				_, spread := g.Spread()
				require.InDelta(t, 21139016.6667-21086983.3333, spread, 1e-4)
			} else {
				require.InDelta(t, row.mean, sum/float64(row.levels), 5e-4)
			}
		})
	}
}

func FuzzRead(f *testing.F) {
	files, err := filepath.Glob("testdata/*.tif")
	if err != nil || len(files) == 0 {
		f.Fatal(err, len(files))
	}
	for _, name := range files {
		data, err := os.ReadFile(name)
		if err != nil {
			f.Fatal(err)
		}
		if len(data) < 5000 {
			f.Add(data)
		}
	}
	for _, compression := range []int{1, 5, 8, 32773} {
		m := plain()
		m.compression = compression
		f.Add(m.bytes())
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		const most = 1 << 16
		g, err := geotiff.Read(t.Context(), bytes.NewReader(data), "a.tif", raster.Options{MaxPoints: most})
		if err != nil {
			var bad *tin.InputError
			require.ErrorAs(t, err, &bad)
			require.NotEmpty(t, bad.Code)
			return
		}
		require.LessOrEqual(t, g.Columns*g.Rows, most)
		require.Len(t, g.Levels, g.Columns*g.Rows)
		points := g.Points()
		require.NotEmpty(t, points)
		for _, p := range points {
			require.True(t, math.Abs(p.E) <= 1e9 && math.Abs(p.N) <= 1e9 && math.Abs(p.Level) <= 1e9, "%v", p)
		}
	})
}
