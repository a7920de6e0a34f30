package las_test

import (
	"bytes"
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/las"
)

// Whatever the bytes, reading ends with an input error or with points that are
// all accounted for; thinning keeps some of them, and what was read can be
// written.
func FuzzRead(f *testing.F) {
	for _, format := range []int{0, 3, 5, 6, 10} { // short files: the fuzzer takes long over long ones
		s := site(format, ground(5)...)
		s.records = []vlr{{"LASF_Projection", 34735, make([]byte, 16)}}
		f.Add(s.bytes(), 1.0)
		f.Add(s.bytes()[:300], 100.0)
	}
	odd := site(6, ground(6)...)
	odd.scale = [3]float64{9.2e-8 / 7, 1e-7, 3}
	odd.behind = []vlr{{"LASF_Projection", 2112, []byte(`LOCAL_CS["g",UNIT["m",1]]`)}}
	f.Add(odd.bytes(), 1e-6)
	f.Add(double(155, 1e300)(site(1, ground(6)...).bytes()), 0.0)
	f.Add(put[uint16](105, 65535)(site(1, ground(6)...).bytes()), 2.5)
	f.Fuzz(func(t *testing.T, data []byte, cell float64) {
		file, err := read(data, las.Options{})
		if err != nil {
			require.NotEmpty(t, codeOf(err), "%v", err)
			return
		}
		sums(t, file)
		require.LessOrEqual(t, file.Counts.Points*20, int64(len(data)))
		thinned, err := read(data, las.Options{Thin: &las.Thinning{Cell: cell, Keep: las.KeepNearest}})
		if err != nil {
			require.Equal(t, "bad_cell", codeOf(err), "%v", err)
		} else {
			sums(t, thinned)
			require.Equal(t, file.Counts.Kept, thinned.Counts.Kept+thinned.Counts.Thinned)
			all := map[[3]float64]bool{}
			for _, p := range file.Points {
				all[[3]float64{p.E, p.N, p.Level}] = true
			}
			for _, p := range thinned.Points {
				require.True(t, all[[3]float64{p.E, p.N, p.Level}])
			}
		}
		writeAgain(t, file)
	})
}

// writeAgain writes a file with its own scale and offset, if they are good for
// that, and reads it back.
func writeAgain(t *testing.T, f *las.File) {
	h := f.Header
	if h.Scale[0] != h.Scale[1] || h.Scale[1] != h.Scale[2] || h.Scale[0] < 1e-6 {
		return // steps that doubles at 1e9 may not tell apart
	}
	var b bytes.Buffer
	opts := las.WriteOptions{Format: 6, Day: 1, Year: 2026, Scale: h.Scale[0], Offset: &h.Offset}
	if err := las.Write(&b, f.Points, opts); err != nil {
		return // an offset far off: its sums with the points round
	}
	again, err := las.Read(context.Background(), &b, "again", las.Options{Classes: []uint8{2, 8}})
	require.NoError(t, err)
	if math.Abs(h.Offset[0])+math.Abs(h.Offset[1])+math.Abs(h.Offset[2]) < 1e10 {
		assert.Equal(t, places(f.Points), places(again.Points))
	}
}

func places(points []tin.Point) [][3]float64 {
	out := make([][3]float64, len(points))
	for i, p := range points {
		out[i] = [3]float64{p.E, p.N, p.Level}
	}
	return out
}
