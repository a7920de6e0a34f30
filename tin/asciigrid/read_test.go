package asciigrid_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/asciigrid"
	"barrow/tin/raster"
)

func read(t *testing.T, text string) (*raster.Grid, error) {
	t.Helper()
	return asciigrid.Read(t.Context(), strings.NewReader(text), "a.asc", raster.Options{})
}

// Files written by GDAL 3.6.2: see testdata/make.py.
func TestReadsWhatGDALWrites(t *testing.T) {
	for _, row := range []struct {
		name   string
		stepN  float64
		origin orb.Point
	}{
		{"square", 2, orb.Point{312501, 5812393}},
		{"oblong", 0.5, orb.Point{312501, 5812398.25}},
	} {
		f, err := os.Open(filepath.Join("testdata", row.name+".asc"))
		require.NoError(t, err)
		g, err := asciigrid.Read(t.Context(), f, row.name, raster.Options{})
		require.NoError(t, err)
		require.NoError(t, f.Close())
		require.Equal(t, []int{5, 4}, []int{g.Columns, g.Rows})
		require.Equal(t, row.origin, g.Origin)
		require.Equal(t, []float64{2, row.stepN}, []float64{g.StepE, g.StepN})
		for r := range 4 {
			for c := range 5 {
				want := 60 + float64(c)/2 + float64(r)/4 + float64(c*r%7)/8
				if r == 1 && c < 2 {
					want = math.NaN()
				}
				got := g.Level(c, 3-r)
				require.True(t, got == want || math.IsNaN(got) && math.IsNaN(want), "column %d, row %d: %v, want %v", c, r, got, want)
			}
		}
	}
}

func TestHeaders(t *testing.T) {
	const levels = "1 2 3\n4 5 6\n"
	for _, row := range []struct {
		name, text   string
		origin       orb.Point
		stepE, stepN float64
	}{
		{"corner", "ncols 3\nnrows 2\nxllcorner 100\nyllcorner 200\ncellsize 10\nNODATA_value -1\n" + levels, orb.Point{105, 205}, 10, 10},
		{"centre", "ncols 3\nnrows 2\nxllcenter 100\nyllcenter 200\ncellsize 10\n" + levels, orb.Point{100, 200}, 10, 10},
		{"one of each", "ncols 3\nnrows 2\nxllcorner 100\nyllcenter 200\ncellsize 10\n" + levels, orb.Point{105, 200}, 10, 10},
		{"dx and dy", "ncols 3\nnrows 2\nxllcorner 100\nyllcorner 200\ndx 10\ndy 4\n" + levels, orb.Point{105, 202}, 10, 4},
		{"capitals, other order", "CELLSIZE 10\nNODATA_VALUE nan\nYLLCORNER 200\nXllCorner 100\nNROWS 2\nNCOLS 3\n" + levels, orb.Point{105, 205}, 10, 10},
		{"whole numbers with decimals", "ncols 3.0\nnrows 2.\nxllcorner 1e2\nyllcorner +200\ncellsize 10\n" + levels, orb.Point{105, 205}, 10, 10},
		{"decimal step", "ncols 3\nnrows 2\nxllcorner 0.3\nyllcorner 0.1\ncellsize 0.4\n" + levels, orb.Point{0.5, 0.3}, 0.4, 0.4},
		{"CRLF, tabs, byte order mark", "\xEF\xBB\xBFncols\t3\r\nnrows   2\r\nxllcorner 100\r\nyllcorner 200\r\ncellsize 10\r\n1 2 3\r\n4 5 6", orb.Point{105, 205}, 10, 10},
		{"CR only", "ncols 3\rnrows 2\rxllcorner 100\ryllcorner 200\rcellsize 10\r1 2 3\r4 5 6\r", orb.Point{105, 205}, 10, 10},
		{"a level a line", "ncols 3\nnrows 2\nxllcorner 100\nyllcorner 200\ncellsize 10\n1\n2\n3\n4\n5\n6\n", orb.Point{105, 205}, 10, 10},
		{"wrapped anyhow", "ncols 3\nnrows 2\nxllcorner 100\nyllcorner 200\ncellsize 10\n\n1 2\n3 4 5\n\n 6 \n\n", orb.Point{105, 205}, 10, 10},
	} {
		t.Run(row.name, func(t *testing.T) {
			g, err := read(t, row.text)
			require.NoError(t, err)
			require.Equal(t, row.origin, g.Origin)
			require.Equal(t, []float64{row.stepE, row.stepN}, []float64{g.StepE, g.StepN})
			require.Equal(t, []float64{4, 5, 6, 1, 2, 3}, g.Levels)
			require.Empty(t, g.Notes)
			require.Zero(t, g.Unit)
		})
	}
}

const head = "ncols 3\nnrows 2\nxllcorner 1000\nyllcorner 2000\ncellsize 10\n"

func TestNoData(t *testing.T) {
	g, err := read(t, head+"NODATA_value -1\n1 -1 NaN\n-1.0 -9999 2\n")
	require.NoError(t, err)
	require.Len(t, g.Points(), 2)
	var got []string
	for _, n := range g.Notes {
		got = append(got, n.Code)
	}
	require.Equal(t, []string{"marked_level", "no_data"}, got)
}

// Rasters of single precision, as GDAL 3.6.2 writes them: no data is stated as the
// decimal, and stands among the levels as the single nearest to it.
func TestNoDataInSinglePrecision(t *testing.T) {
	for stated, stored := range map[string]string{
		"-9999.1229999999995925":   "-9999.123046875",
		"1e+20":                    "1.0000000200408773427e+20",
		"1.701410000000000071e+38": "1.7014100091878279887e+38",
		"-3.40282346638529e+38":    "-3.4028234663852885981e+38",
	} {
		g, err := read(t, head+"NODATA_value "+stated+"\n1 2 3\n4 "+stored+" 6\n")
		require.NoError(t, err)
		require.Len(t, g.Points(), 5)
		require.True(t, math.IsNaN(g.Level(1, 0)))
	}
}

func TestBadInput(t *testing.T) {
	for _, row := range []struct {
		name, text, code string
		line             int
		message          string
	}{
		{"empty", "", "bad_header", 1, "ncols is missing"},
		{"points", "1 2 3\n", "bad_header", 1, "ncols is missing"},
		{"no rows", "ncols 3\n1\n", "bad_header", 2, "nrows is missing"},
		{"no place", "ncols 1\nnrows 1\ncellsize 1\n5\n", "bad_header", 4, "xllcorner or xllcenter is missing"},
		{"no step", "ncols 1\nnrows 1\nxllcorner 1\nyllcorner 1\n5\n", "bad_header", 5, "cellsize or dx is missing"},
		{"dx alone", "ncols 1\nnrows 1\nxllcorner 1\nyllcorner 1\ndx 1\n5\n", "bad_header", 6, "cellsize or dy is missing"},
		{"cellsize and dx", "ncols 1\nnrows 1\nxllcorner 1\nyllcorner 1\ncellsize 1\ndx 1\n5\n", "bad_header", 7, "cellsize and dx both"},
		{"corner and centre", "ncols 1\nnrows 1\nxllcorner 1\nxllcenter 1\nyllcorner 1\ncellsize 1\n5\n", "bad_header", 7, "xllcorner and xllcenter both"},
		{"key twice", "ncols 3\nNCOLS 3\n", "bad_header", 2, "ncols stands twice"},
		{"unknown key", "ncols 3\nbyteorder LSBFIRST\n", "bad_header", 2, `"byteorder" is no key`},
		{"comment", "# a grid\nncols 3\n", "bad_header", 1, `"#" is no key`},
		{"value in the next line", "ncols\n3\n", "bad_header", 1, `ncols is followed by "3"`},
		{"value a word", "ncols three\n", "bad_header", 1, `ncols is followed by "three"`},
		{"value lacks", "ncols", "bad_header", 1, `ncols is followed by ""`},
		{"NaN columns", "ncols NaN\n", "bad_header", 1, `ncols is followed by "NaN"`},
		{"columns 0", "ncols 0\nnrows 2\n1\n", "bad_header", 3, "ncols is 0"},
		{"columns 2.5", "ncols 2.5\nnrows 2\n1\n", "bad_header", 3, "ncols is 2.5"},
		{"columns endless", "ncols 1e300\nnrows 2\n1\n", "bad_header", 3, "ncols is 1e+300"},
		{"step 0", "ncols 1\nnrows 1\nxllcorner 1\nyllcorner 1\ncellsize 0\n5\n", "bad_header", 6, "the step 0 is not above 0"},
		{"step below 0", "ncols 1\nnrows 1\nxllcorner 1\nyllcorner 1\ncellsize -5\n5\n", "bad_header", 6, "the step -5 is not above 0"},
		{"very large", "ncols 100000\nnrows 100000\n1\n", "too_many_points", 0, "100000 x 100000"},

		{"word", head + "1 2 3\n4 x 6\n", "bad_number", 7, `"x" is no number`},
		{"decimal comma", head + "1 2 3\n4 5,5 6\n", "bad_number", 7, `"5,5" is no number`},
		{"hexadecimal level", head + "1 2 3\n4 0x1p3 6\n", "bad_number", 7, `"0x1p3" is no number`},
		{"hexadecimal header", "ncols 0X1p1\n", "bad_header", 1, `"0X1p1", which is no number`},
		{"a key among levels", head + "1 2 3\nNODATA_value -1\n4 5 6\n", "bad_number", 7, `"NODATA_value" is no number`},
		{"level beyond 1e9", head + "1 2 3\n4 -3.4e38 6\n", "bad_level", 7, "-3.4e+38"},
		{"infinite", head + "1 2 3\n4 inf 6\n", "bad_level", 7, "+Inf"},
		{"too big for a double", head + "1 2 3\n4 1e999 6\n", "bad_level", 7, "+Inf"},
		{"a level short", head + "1 2 3\n4 5\n", "too_few_levels", 8, "the file ends after 5 levels, and 2 rows of 3 are 6; the first line that does not hold 3 is line 7, with 2"},
		{"a level short in the first row", head + "1 2\n4 5 6\n", "too_few_levels", 8, "line 6, with 2"},
		{"a row short", head + "1 2 3\n", "too_few_levels", 7, "the file ends after 3 levels, and 2 rows of 3 are 6"},
		{"a level over", head + "1 2 3 3.5\n4 5 6\n", "too_many_levels", 7, `"6" follows the last of 2 rows of 3 levels; the first line that does not hold 3 is line 6, with 4`},
		{"a row over", head + "1 2 3\n4 5 6\n7 8 9\n", "too_many_levels", 8, `"7" follows`},
		{"all none", head + "nan nan nan nan nan nan\n", "no_levels", 0, "none of the 6"},
		{"degrees", "ncols 2\nnrows 1\nxllcorner 145\nyllcorner -37\ncellsize 0.00028\n1 2\n", "like_degrees", 0, "longitude"},
		{"zero bytes", head + "1 2 3\n4 \x00 6", "not_text", 7, "zero bytes"},
		{"UTF-16", "\xFF\xFEn\x00c\x00", "not_text", 1, "UTF-16"},
		{"endless word", head + strings.Repeat("1", 500), "not_text", 6, "longer than 400"},
	} {
		t.Run(row.name, func(t *testing.T) {
			_, err := read(t, row.text)
			var bad *tin.InputError
			require.ErrorAs(t, err, &bad)
			require.Equal(t, row.code, bad.Code, bad.Error())
			require.Equal(t, row.line, bad.Line, bad.Error())
			require.Contains(t, bad.Message, row.message)
			require.Equal(t, "a.asc", bad.File)
			require.NotEmpty(t, bad.Hint)
		})
	}
}

func TestLimits(t *testing.T) {
	text := head + "1 2 3\n4 5 6\n"
	get := func(ctx context.Context, r io.Reader, opts raster.Options) error {
		_, err := asciigrid.Read(ctx, r, "a.asc", opts)
		return err
	}
	code := func(err error) string {
		var bad *tin.InputError
		if errors.As(err, &bad) {
			return bad.Code
		}
		return fmt.Sprint(err)
	}
	require.NoError(t, get(t.Context(), strings.NewReader(text), raster.Options{MaxPoints: 6, MaxBytes: int64(len(text))}))
	require.Equal(t, "too_many_points", code(get(t.Context(), strings.NewReader(text), raster.Options{MaxPoints: 5})))
	require.Equal(t, "too_many_bytes", code(get(t.Context(), strings.NewReader(text), raster.Options{MaxBytes: int64(len(text)) - 1})))

	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	require.ErrorIs(t, get(ctx, strings.NewReader(text), raster.Options{}), context.Canceled)

	broken := errors.New("the line is dead")
	require.ErrorIs(t, get(t.Context(), io.MultiReader(strings.NewReader(text[:70]), iotest.ErrReader(broken)), raster.Options{}), broken)
	require.ErrorIs(t, get(t.Context(), iotest.ErrReader(broken), raster.Options{}), broken)
	require.NoError(t, get(t.Context(), iotest.OneByteReader(strings.NewReader(text)), raster.Options{}))

	var told [][2]int64
	require.NoError(t, get(t.Context(), strings.NewReader(text), raster.Options{Progress: func(done, total int64) { told = append(told, [2]int64{done, total}) }}))
	require.Equal(t, [][2]int64{{3, 6}, {6, 6}}, told)
}

func FuzzRead(f *testing.F) {
	for _, name := range []string{"square", "oblong"} {
		data, err := os.ReadFile(filepath.Join("testdata", name+".asc"))
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	for _, text := range []string{
		head + "1 2 3\n4 5 6\n",
		head + "nodata_value -1\n1 2 3 -1\r5 -9999",
		"NCOLS 2\nNROWS 1\nXLLCENTER 1e3\nYLLCENTER .5\nDX 1\nDY 1e-3\nnan -0",
		"\xEF\xBB\xBFncols 1\nnrows 1\nxllcorner 1\nyllcorner 1\ncellsize 1\n1e300\n",
	} {
		f.Add([]byte(text))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		const most = 1 << 16
		g, err := asciigrid.Read(t.Context(), bytes.NewReader(data), "a.asc", raster.Options{MaxPoints: most})
		if err != nil {
			var bad *tin.InputError
			require.ErrorAs(t, err, &bad)
			return
		}
		require.LessOrEqual(t, len(g.Levels), most)
		require.NotEmpty(t, g.Points())

		// What was read can be written, and is read the same.
		var b bytes.Buffer
		require.NoError(t, asciigrid.Write(&b, g))
		again, err := asciigrid.Read(t.Context(), &b, "a.asc", raster.Options{SiteGrid: true})
		require.NoError(t, err)
		requireSame(t, g, again)
	})
}

// requireSame holds two grids together to the last bit.
func requireSame(t *testing.T, a, b *raster.Grid) {
	t.Helper()
	require.Equal(t, []int{a.Columns, a.Rows}, []int{b.Columns, b.Rows})
	require.Equal(t, a.Origin, b.Origin)
	require.Equal(t, []float64{a.StepE, a.StepN}, []float64{b.StepE, b.StepN})
	require.Len(t, b.Levels, len(a.Levels))
	for i := range a.Levels {
		same := math.Float64bits(a.Levels[i]) == math.Float64bits(b.Levels[i])
		require.True(t, same || math.IsNaN(a.Levels[i]) && math.IsNaN(b.Levels[i]), "level %d: %v and %v", i, a.Levels[i], b.Levels[i])
	}
}
