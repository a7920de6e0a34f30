package las_test

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
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/las"
	"barrow/tin/pointfile"
)

const samples = "../../testdata/las-samples"

// The sums and counts are those published with the files: testdata/las-samples/SOURCE.md.
func TestSamples(t *testing.T) {
	for _, c := range []struct {
		file    string
		version string
		format  uint8
		crs     string
	}{
		{"las12_pdrf0", "1.2", 0, "NAD_1983_HARN_Lambert_Conformal_Conic"},
		{"las12_pdrf1", "1.2", 1, "NAD_1983_HARN_Lambert_Conformal_Conic"},
		{"las12_pdrf2", "1.2", 2, "NAD_1983_HARN_Lambert_Conformal_Conic"},
		{"las12_pdrf3", "1.2", 3, "NAD_1983_HARN_Lambert_Conformal_Conic"},
		{"las13_pdrf4", "1.3", 4, "NAD_1983_HARN_Lambert_Conformal_Conic"},
		{"las13_pdrf5", "1.3", 5, "NAD_1983_HARN_Lambert_Conformal_Conic"},
		{"las14_pdrf0", "1.4", 0, "NAD_1983_HARN_Lambert_Conformal_Conic"},
		{"las14_pdrf1", "1.4", 1, "NAD_1983_HARN_Lambert_Conformal_Conic"},
		{"las14_pdrf3", "1.4", 3, "NAD_1983_HARN_Lambert_Conformal_Conic"},
		{"las14_pdrf6", "1.4", 6, "site grid"},
		{"las14_pdrf7", "1.4", 7, "site grid"},
		{"las14_pdrf8", "1.4", 8, "site grid"},
		{"las14_pdrf9", "1.4", 9, "site grid"},
		{"las14_pdrf10", "1.4", 10, "site grid"},
	} {
		t.Run(c.file, func(t *testing.T) {
			data := sample(t, c.file)
			f := mustRead(t, data, las.Options{Classes: []uint8{1, 2}})
			assert.Equal(t, c.version, f.Header.Version)
			assert.Equal(t, c.format, f.Header.Format)
			assert.Equal(t, 2020, f.Header.Year)
			assert.Equal(t, "surface test data", f.Header.Software)
			assert.Equal(t, tin.Foot, f.Unit)
			assert.Zero(t, f.VerticalUnit)
			assert.Equal(t, las.CRS{Name: c.crs}, f.CRS)
			assert.Equal(t, []string{"level_unit_not_stated"}, codes(f.Notes))
			assert.Equal(t, []las.ClassCount{{1, "unclassified", 154}, {2, "ground", 46}}, f.Counts.Classes)
			var x, z int64
			for i, p := range f.Points {
				x += int64(math.Round(100 * p.E))
				z += int64(math.Round(100 * p.Level))
				assert.EqualValues(t, i+1, p.Line)
			}
			assert.Equal(t, int64(12730929472), x)
			assert.Equal(t, int64(8592443), z)

			ground := mustRead(t, data, las.Options{})
			assert.Len(t, ground.Points, 46)
			assert.EqualValues(t, 154, ground.Counts.OtherClass)
			assert.Equal(t, mustRead(t, sample(t, "las12_pdrf0"), las.Options{}).Points, ground.Points, "the points of format 0")
		})
	}
}

func sample(t testing.TB, name string) []byte {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(samples, name+".las"))
	require.NoError(t, err)
	return data
}

// The ground of the samples is part of that of the reference job, which is a text
// file: the same bits.
func TestSamplesAreInTheTextFile(t *testing.T) {
	inText := map[[3]float64]bool{}
	for _, p := range textGround(t, "../../testdata/autzen-pad/ground.csv") {
		inText[[3]float64{p.E, p.N, p.Level}] = true
	}
	for _, p := range mustRead(t, sample(t, "las14_pdrf6"), las.Options{}).Points {
		assert.True(t, inText[[3]float64{p.E, p.N, p.Level}], "%v", p)
	}
}

// All of the lidar piece, where it is to be had: the same bits as its text file,
// which gives the record's number as the point's.
func TestLidarPiece(t *testing.T) {
	folder := os.Getenv("BARROW_OPEN_DATA")
	if folder == "" {
		t.Skip("BARROW_OPEN_DATA names no folder: the whole lidar piece is not in the repository")
	}
	data, err := os.ReadFile(filepath.Join(folder, "autzen", "points.las"))
	require.NoError(t, err)
	f := mustRead(t, data, las.Options{})
	want := textGround(t, "../../testdata/autzen-pad/ground.csv")
	require.Len(t, f.Points, len(want))
	for i, p := range f.Points {
		assert.Equal(t, want[i].Name, fmt.Sprint(p.Line))
		assert.Equal(t, [3]float64{want[i].E, want[i].N, want[i].Level}, [3]float64{p.E, p.N, p.Level})
	}
	assert.Equal(t, []las.ClassCount{{1, "unclassified", 83893}, {2, "ground", 26107}}, f.Counts.Classes)
}

func textGround(t *testing.T, name string) []tin.Point {
	t.Helper()
	r, err := os.Open(name)
	require.NoError(t, err)
	defer r.Close()
	f, err := pointfile.Read(context.Background(), r, name, pointfile.Options{})
	require.NoError(t, err)
	return f.Points
}

// Every format, with bytes of its own behind each record and a gap before the
// first.
func TestFormats(t *testing.T) {
	for format := range sizes {
		for _, extra := range []int{0, 1, 300} {
			s := site(format,
				raw{x: 1000, y: 2000, z: 10125, class: 2},
				raw{x: -1, y: -2, z: -3, class: 2},
				raw{class: 1},
				raw{class: 2, withheld: true},
				raw{class: 2, synthetic: true},
				raw{class: 8},
			)
			s.extra, s.gap = extra, 2*extra
			f := mustRead(t, s.bytes(), las.Options{})
			c := f.Counts
			assert.EqualValues(t, 1, c.Withheld)
			want := []tin.Point{
				{E: 500001, N: 4200002, Level: 10.125, Code: "class 2", Line: 1},
				{E: 499999.999, N: 4199999.998, Level: -0.003, Code: "class 2", Line: 2},
				{E: 500000, N: 4200000, Code: "class 2", Line: 5},
				{E: 500000, N: 4200000, Code: "class 8", Line: 6},
			}
			if format >= 6 { // class 8 is not ground there
				want = want[:3]
			}
			assert.Equal(t, want, f.Points, "format %d", format)
			assert.EqualValues(t, sizes[format]+extra, f.Header.RecordLength)
		}
	}
}

func TestWhatIsKept(t *testing.T) {
	points := []raw{
		{x: 0, class: 2}, {x: 1000, class: 2, lapse: true}, {x: 2000, class: 2, withheld: true, lapse: true},
		{x: 3000, class: 5, withheld: true}, {x: 4000, class: 8}, {x: 5000, class: 12}, {x: 6000, class: 64}, {x: 7000, class: 2},
	}
	legacy := append([]raw{}, points...)
	legacy[6].class = 31
	box := &orb.Bound{Min: orb.Point{500000, 4200000}, Max: orb.Point{500004, 4200000}}
	for _, c := range []struct {
		name  string
		file  spec
		opts  las.Options
		lines []int32
		notes []string
	}{
		{"ground, format 6", site(6, points...), las.Options{}, []int32{1, 8}, []string{"classes_left_out", "withheld", "overlap"}},
		{"with overlap", site(6, points...), las.Options{Overlap: true}, []int32{1, 2, 8}, []string{"classes_left_out", "withheld"}},
		{"ground, format 1", site(1, legacy...), las.Options{}, []int32{1, 2, 5, 8}, []string{"classes_left_out", "withheld"}},
		{"overlap is a class there", site(1, legacy...), las.Options{Classes: []uint8{2, 12}}, []int32{1, 2, 6, 8}, []string{"classes_left_out", "withheld"}},
		{"a class of the user's own", site(6, points...), las.Options{Classes: []uint8{64}}, []int32{7}, []string{"classes_left_out"}},
		{"sides of a box count", site(1, legacy...), las.Options{Within: box}, []int32{1, 2, 5}, []string{"classes_left_out", "withheld", "outside"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			f := mustRead(t, c.file.bytes(), c.opts)
			var lines []int32
			for _, p := range f.Points {
				lines = append(lines, p.Line)
			}
			assert.Equal(t, c.lines, lines)
			assert.Equal(t, c.notes, codes(f.Notes))
		})
	}
}

// However the bytes arrive, the file is the same.
func TestStream(t *testing.T) {
	s := site(6, ground(20000)...)
	s.behind = []vlr{{"LASF_Projection", 2112, []byte(`LOCAL_CS["g",UNIT["m",1]]`)}}
	data := s.bytes()
	want := mustRead(t, data, las.Options{})
	for name, r := range map[string]io.Reader{
		"one byte": iotest.OneByteReader(bytes.NewReader(data)), "halves": iotest.HalfReader(bytes.NewReader(data)),
		"data with the end": iotest.DataErrReader(bytes.NewReader(data)),
	} {
		f, err := las.Read(context.Background(), r, "t.las", las.Options{})
		require.NoError(t, err, name)
		assert.Equal(t, want, f, name)
	}
	assert.Equal(t, tin.Metre, want.Unit, "from an extended record behind the points")
}

func TestProgress(t *testing.T) {
	var last, calls, total int64
	mustRead(t, site(1, ground(30000)...).bytes(), las.Options{Progress: func(done, of int64) {
		assert.Greater(t, done, last)
		last, total = done, of
		calls++
	}})
	assert.EqualValues(t, 30000, last)
	assert.EqualValues(t, 30000, total)
	assert.Greater(t, calls, int64(1))
}

// endsWith calls a function where it finds the end.
type endsWith struct {
	io.Reader
	end func()
}

func (e *endsWith) Read(p []byte) (int, error) {
	n, err := e.Reader.Read(p)
	if err == io.EOF {
		e.end()
	}
	return n, err
}

func TestContextAndReader(t *testing.T) {
	data := site(1, ground(30000)...).bytes()
	ctx, cancel := context.WithCancel(context.Background())
	_, err := las.Read(ctx, bytes.NewReader(data), "t.las", las.Options{Progress: func(int64, int64) { cancel() }})
	assert.ErrorIs(t, err, context.Canceled)

	ctx, cancel = context.WithCancel(context.Background())
	_, err = las.Read(ctx, &endsWith{bytes.NewReader(data), cancel}, "t.las", las.Options{})
	assert.ErrorIs(t, err, context.Canceled, "after the last byte")

	broken := errors.New("the line is down")
	_, err = las.Read(context.Background(), io.MultiReader(bytes.NewReader(data[:5000]), iotest.ErrReader(broken)), "t.las", las.Options{})
	assert.ErrorIs(t, err, broken)
	assert.ErrorContains(t, err, "t.las")

	_, err = las.Read(context.Background(), idle{}, "t.las", las.Options{})
	assert.ErrorIs(t, err, io.ErrNoProgress)
}

// idle is a reader that never gives anything and never ends.
type idle struct{}

func (idle) Read([]byte) (int, error) { return 0, nil }

func TestLimits(t *testing.T) {
	data := site(1, ground(100)...).bytes()
	_, err := read(data, las.Options{MaxPoints: 100, MaxBytes: int64(len(data))})
	assert.NoError(t, err)
	_, err = read(data, las.Options{MaxPoints: 99})
	assert.Equal(t, "too_many_points", codeOf(err))
	_, err = read(data, las.Options{MaxPoints: 15, Thin: &las.Thinning{Cell: 7}})
	assert.NoError(t, err, "15 cells are kept")
	_, err = read(data, las.Options{MaxPoints: 14, Thin: &las.Thinning{Cell: 7}})
	assert.Equal(t, "too_many_points", codeOf(err))
	_, err = read(data, las.Options{MaxBytes: int64(len(data)) - 1})
	assert.Equal(t, "too_many_bytes", codeOf(err))
}

func codeOf(err error) string {
	var e *tin.InputError
	if errors.As(err, &e) {
		return e.Code
	}
	return ""
}

// A file without the wanted classes says what it has.
func TestNoWantedClass(t *testing.T) {
	points := []raw{{class: 1}, {class: 1, withheld: true}, {class: 6}, {class: 64}}
	_, err := read(site(6, points...).bytes(), las.Options{})
	assert.Equal(t, "no_wanted_class", codeOf(err))
	assert.ErrorContains(t, err, "t.las: none of its 4 points is of class 2: it has class 1 (unclassified): 2, class 6 (building): 1, class 64 (the user's own): 1; "+
		"say which classes are ground")

	_, err = read(site(1, raw{class: 0}, raw{class: 12}).bytes(), las.Options{})
	assert.ErrorContains(t, err, "none of its 2 points is of class 2, 8: it has class 0 (never classified): 1, class 12 (overlap): 1")

	_, err = read(site(6, raw{class: 2, withheld: true}, raw{class: 2, lapse: true}, raw{class: 1}).bytes(), las.Options{})
	assert.Equal(t, "all_left_out", codeOf(err))
	assert.ErrorContains(t, err, "of 3, 1 are of other classes, 1 withheld, 1 overlap, 0 outside")

	_, err = read(site(1).bytes(), las.Options{})
	assert.Equal(t, "no_points", codeOf(err))
}

// A user of the library sees the place in one line.
func TestMessage(t *testing.T) {
	data := site(1, ground(10)...).bytes()
	_, err := read(data[:len(data)-1], las.Options{})
	var e *tin.InputError
	require.ErrorAs(t, err, &e)
	assert.Equal(t, "t.las: its header counts 10 points, but it ends after 9; it was cut short: copy or export it again", e.Error())
	assert.False(t, strings.Contains(e.Error(), "EOF"))
}
