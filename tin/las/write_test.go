package las_test

import (
	"bytes"
	"encoding/binary"
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/las"
)

func write(t testing.TB, points []tin.Point, opts las.WriteOptions) []byte {
	t.Helper()
	if opts.Year == 0 {
		opts.Day, opts.Year = 32, 2026
	}
	var b bytes.Buffer
	require.NoError(t, las.Write(&b, points, opts))
	return b.Bytes()
}

// Decimals come back with the same bits, in every format and unit.
func TestRoundTrip(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 4))
	for _, c := range []struct {
		scale  float64
		steps  float64 // in a unit
		offset *[3]float64
	}{
		{0, 1000, nil}, {0.01, 100, nil}, {0.0001, 10000, nil}, {0.001, 1000, &[3]float64{123.456, -0.5, 1e6}}, {0.25, 4, nil}, {10, 0.1, &[3]float64{}},
	} {
		for _, format := range []uint8{0, 1, 6} {
			for _, unit := range []tin.Unit{0, tin.Metre, tin.Foot, tin.SurveyFoot} {
				points := make([]tin.Point, 500)
				for i := range points {
					tenths := func(least, span float64) float64 { // a decimal of the scale
						return math.Round((least+span*rng.Float64())*c.steps) / c.steps
					}
					points[i] = tin.Point{E: tenths(6e5, 1e3), N: tenths(-2e5, 1e3), Level: tenths(-50, 100), Code: "class 2", Line: int32(i + 1)}
				}
				points[7].Code = "class 31"
				data := write(t, points, las.WriteOptions{Format: format, Unit: unit, Scale: c.scale, Offset: c.offset})
				f := mustRead(t, data, las.Options{Classes: []uint8{2, 31}})
				assert.Equal(t, points, f.Points, "format %d, scale %v", format, c.scale)
				assert.Equal(t, unit.Metres(), float64(f.Unit))
				assert.Equal(t, f.Unit, f.VerticalUnit)
				assert.Empty(t, f.Notes)
			}
		}
	}
}

// What is no decimal of the scale is rounded to the nearest step of it.
func TestWriteRounds(t *testing.T) {
	points := []tin.Point{{E: 1.00049, N: 2.00051, Level: 1.0 / 3}, {E: 1, N: 2, Level: -1.0 / 3}}
	f := mustRead(t, write(t, points, las.WriteOptions{}), las.Options{})
	assert.Equal(t, []tin.Point{
		{E: 1, N: 2.001, Level: 0.333, Code: "class 2", Line: 1},
		{E: 1, N: 2, Level: -0.333, Code: "class 2", Line: 2},
	}, f.Points)
}

// The bytes of the header, by the tables of the standard.
func TestWrittenBytes(t *testing.T) {
	points := []tin.Point{{E: 500001.25, N: 4200002.5, Level: 12.125}, {E: 500003.5, N: 4200001.75, Level: -1, Code: "class 9"}}
	le := binary.LittleEndian
	float := func(b []byte) float64 { return math.Float64frombits(le.Uint64(b)) }
	for _, c := range []struct {
		format                     uint8
		minor, head, length, class int
		record                     uint16
	}{
		{0, 2, 227, 20, 15, 34735}, {1, 2, 227, 28, 15, 34735}, {6, 4, 375, 30, 16, 2112},
	} {
		b := write(t, points, las.WriteOptions{Format: c.format, Software: "barrow", Unit: tin.Foot})
		assert.Equal(t, b, write(t, points, las.WriteOptions{Format: c.format, Software: "barrow", Unit: tin.Foot}), "the same bytes again")
		assert.Equal(t, "LASF", string(b[:4]))
		assert.Equal(t, []byte{1, byte(c.minor)}, b[24:26])
		assert.Equal(t, "OTHER\x00", string(b[26:32]))
		assert.Equal(t, "barrow\x00", string(b[58:65]))
		assert.EqualValues(t, 32, le.Uint16(b[90:]))
		assert.EqualValues(t, 2026, le.Uint16(b[92:]))
		assert.EqualValues(t, c.head, le.Uint16(b[94:]))
		at := int(le.Uint32(b[96:]))
		assert.EqualValues(t, 1, le.Uint32(b[100:]))
		assert.Equal(t, c.format, b[104])
		assert.EqualValues(t, c.length, le.Uint16(b[105:]))
		if c.minor == 2 {
			assert.EqualValues(t, 2, le.Uint32(b[107:]))
			assert.EqualValues(t, 2, le.Uint32(b[111:]), "first returns")
			assert.Zero(t, le.Uint16(b[6:]))
		} else {
			assert.Zero(t, le.Uint32(b[107:]), "no count for older readers")
			assert.EqualValues(t, 2, le.Uint64(b[247:]))
			assert.EqualValues(t, 2, le.Uint64(b[255:]), "first returns")
			assert.EqualValues(t, 16, le.Uint16(b[6:]), "the coordinate system is text")
			assert.Contains(t, string(b[375:at]), `UNIT["foot",0.3048]`)
			assert.Zero(t, b[at-1], "the text ends in a zero byte")
		}
		want := []float64{0.001, 0.001, 0.001, 500001, 4200001, -1, 500003.5, 500001.25, 4200002.5, 4200001.75, 12.125, -1}
		for i, v := range want {
			assert.Equal(t, v, float(b[131+8*i:]), "number %d from byte 131", i)
		}
		assert.Equal(t, "LASF_Projection\x00", string(b[c.head+2:c.head+18]))
		assert.Equal(t, c.record, le.Uint16(b[c.head+18:]))
		assert.EqualValues(t, at, c.head+54+int(le.Uint16(b[c.head+20:])))
		require.Len(t, b, at+2*c.length)
		second := b[at+c.length:]
		assert.EqualValues(t, 2500, le.Uint32(second))
		assert.EqualValues(t, 750, le.Uint32(second[4:]))
		assert.EqualValues(t, 0, le.Uint32(second[8:]))
		assert.EqualValues(t, 9, second[c.class])
		assert.EqualValues(t, map[bool]int{true: 0x09, false: 0x11}[c.format < 6], second[14], "return 1 of 1")
	}
}

func TestWriteRefused(t *testing.T) {
	good := []tin.Point{{E: 1, N: 2, Level: 3}, {E: 4, N: 5, Level: 6, Name: "P2"}}
	with := func(change func(p *tin.Point)) []tin.Point {
		points := append([]tin.Point{}, good...)
		change(&points[1])
		return points
	}
	date := las.WriteOptions{Day: 1, Year: 2026}
	for _, c := range []struct {
		name   string
		points []tin.Point
		opts   func(*las.WriteOptions)
		says   string
	}{
		{"no points", nil, nil, "0 points"},
		{"no level", with(func(p *tin.Point) { p.Level = math.NaN() }), nil, `point 2 "P2": 4, 5, NaN is not finite, without a level`},
		{"not finite", with(func(p *tin.Point) { p.E = math.Inf(1) }), nil, `point 2 "P2": +Inf`},
		{"beyond", with(func(p *tin.Point) { p.N = 2e9 }), nil, `beyond 1000000000`},
		{"too far for the scale", with(func(p *tin.Point) { p.N = 3e6 }), nil, `3e+06 does not fit: with a scale of 0.001 and an offset of 2, -2.147481648e+06 to 2.147485647e+06 can be written`},
		{"too far below the offset", good, func(o *las.WriteOptions) { o.Offset = &[3]float64{0, 1e8, 0} }, `2 does not fit`},
		{"no class", with(func(p *tin.Point) { p.Code = "class 256" }), nil, `the code "class 256" is no class`},
		{"class 32 in format 1", good, func(o *las.WriteOptions) { o.Format, o.Class = 1, 32 }, `write format 6`},
		{"format 3", good, func(o *las.WriteOptions) { o.Format = 3 }, `give 0, 1 or 6`},
		{"no date", good, func(o *las.WriteOptions) { o.Day = 0 }, `day 0 of year 2026`},
		{"day 367", good, func(o *las.WriteOptions) { o.Day = 367 }, `day 367`},
		{"no year", good, func(o *las.WriteOptions) { o.Year = 0 }, `year 0`},
		{"a scale below 0", good, func(o *las.WriteOptions) { o.Scale = -1 }, `a scale of -1`},
		{"a NaN scale", good, func(o *las.WriteOptions) { o.Scale = math.NaN() }, `a scale of NaN`},
		{"a unit without a code", good, func(o *las.WriteOptions) { o.Unit = 0.9144 }, `0.9144 m has no code`},
		{"a long name", good, func(o *las.WriteOptions) { o.Software = string(make([]byte, 33)) }, `longer than 32`},
		{"a NaN offset", good, func(o *las.WriteOptions) { o.Offset = &[3]float64{math.NaN(), 0, 0} }, `does not fit`},
	} {
		t.Run(c.name, func(t *testing.T) {
			opts := date
			if c.opts != nil {
				c.opts(&opts)
			}
			var b bytes.Buffer
			err := las.Write(&b, c.points, opts)
			assert.ErrorContains(t, err, c.says)
			assert.Zero(t, b.Len(), "nothing is written")
		})
	}
	full := errors.New("the disk is full")
	assert.ErrorIs(t, las.Write(failing{full}, good, date), full)
}

type failing struct{ err error }

func (f failing) Write([]byte) (int, error) { return 0, f.err }
