package las_test

import (
	"bytes"
	"context"
	"encoding/binary"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/las"
)

// sizes of point records by format, from the tables of the standard.
var sizes = []int{20, 28, 26, 34, 57, 63, 30, 36, 38, 59, 67}

// raw is a point as it stands in a file.
type raw struct {
	x, y, z                    int32
	class                      uint8
	synthetic, withheld, lapse bool // lapse: marked as overlap
}

// spec is a file to make, byte by byte and apart from the writer.
type spec struct {
	minor, format int
	extra         int // bytes of a record beyond those of its format
	scale, offset [3]float64
	encoding      uint16
	records       []vlr // before the points
	gap           int   // bytes between them and the points
	points        []raw
	behind        []vlr // extended records
	tail          []byte
}

type vlr struct {
	user string
	id   uint16
	data []byte
}

// site is a small file of one format, with scales of a millimetre.
func site(format int, points ...raw) spec {
	minor := 2
	if format > 3 {
		minor = 3
	}
	if format > 5 {
		minor = 4
	}
	return spec{
		minor: minor, format: format, scale: [3]float64{0.001, 0.001, 0.001},
		offset: [3]float64{500000, 4200000, 0}, points: points,
	}
}

// ground is n ground points a unit apart, in whole numbers.
func ground(n int) []raw {
	out := make([]raw, n)
	for i := range out {
		out[i] = raw{x: int32(1000 * i), y: int32(1000 * (i % 7)), z: int32(10000 + i), class: 2}
	}
	return out
}

// bytes makes the file.
func (s spec) bytes() []byte {
	le := binary.LittleEndian
	h := make([]byte, map[int]int{2: 227, 3: 235, 4: 375}[s.minor])
	copy(h, "LASF")
	le.PutUint16(h[6:], s.encoding)
	h[24], h[25] = 1, byte(s.minor)
	copy(h[26:], "OTHER")
	copy(h[58:], "made by hand")
	le.PutUint16(h[90:], 32)
	le.PutUint16(h[92:], 2026)
	le.PutUint16(h[94:], uint16(len(h)))
	var front []byte
	for _, v := range s.records {
		b := make([]byte, 54)
		copy(b[2:18], v.user)
		le.PutUint16(b[18:], v.id)
		le.PutUint16(b[20:], uint16(len(v.data)))
		front = append(append(front, b...), v.data...)
	}
	front = append(front, make([]byte, s.gap)...)
	length := sizes[s.format] + s.extra
	le.PutUint32(h[96:], uint32(len(h)+len(front)))
	le.PutUint32(h[100:], uint32(len(s.records)))
	h[104] = byte(s.format)
	le.PutUint16(h[105:], uint16(length))
	if s.format < 6 {
		le.PutUint32(h[107:], uint32(len(s.points)))
	}
	low, high := [3]int32{math.MaxInt32, math.MaxInt32, math.MaxInt32}, [3]int32{math.MinInt32, math.MinInt32, math.MinInt32}
	body := make([]byte, 0, length*len(s.points))
	for _, p := range s.points {
		b := make([]byte, length)
		for i, v := range []int32{p.x, p.y, p.z} {
			le.PutUint32(b[4*i:], uint32(v))
			low[i], high[i] = min(low[i], v), max(high[i], v)
		}
		flags := bit(p.synthetic, 1) | bit(p.withheld, 4)
		if s.format < 6 {
			b[15] = p.class | flags<<5
		} else {
			b[15], b[16] = flags|bit(p.lapse, 8), p.class
		}
		for i := sizes[s.format]; i < length; i++ {
			b[i] = 0xEE
		}
		body = append(body, b...)
	}
	double := func(at int, v float64) { le.PutUint64(h[at:], math.Float64bits(v)) }
	for i := range 3 {
		double(131+8*i, s.scale[i])
		double(155+8*i, s.offset[i])
		double(179+16*i, float64(high[i])*s.scale[i]+s.offset[i])
		double(187+16*i, float64(low[i])*s.scale[i]+s.offset[i])
	}
	out := append(append(h, front...), body...)
	if s.minor == 4 {
		le.PutUint64(out[247:], uint64(len(s.points)))
		if len(s.behind) > 0 {
			le.PutUint64(out[235:], uint64(len(out)))
			le.PutUint32(out[243:], uint32(len(s.behind)))
		}
	}
	for _, v := range s.behind {
		b := make([]byte, 60)
		copy(b[2:18], v.user)
		le.PutUint16(b[18:], v.id)
		le.PutUint64(b[20:], uint64(len(v.data)))
		out = append(append(out, b...), v.data...)
	}
	return append(out, s.tail...)
}

func bit(is bool, b byte) byte {
	if is {
		return b
	}
	return 0
}

func read(data []byte, opts las.Options) (*las.File, error) {
	return las.Read(context.Background(), bytes.NewReader(data), "t.las", opts)
}

func mustRead(t *testing.T, data []byte, opts las.Options) *las.File {
	t.Helper()
	f, err := read(data, opts)
	require.NoError(t, err)
	sums(t, f)
	return f
}

// sums checks that no point is lost in the counts.
func sums(t testing.TB, f *las.File) {
	t.Helper()
	c := f.Counts
	require.Equal(t, c.Points, c.Kept+c.OtherClass+c.Withheld+c.Overlap+c.Outside+c.Thinned)
	require.EqualValues(t, len(f.Points), c.Kept)
	n := int64(0)
	for _, class := range c.Classes {
		n += class.Points
	}
	require.Equal(t, c.Points, n)
}

func codes(notes []tin.Problem) []string {
	out := []string{}
	for _, n := range notes {
		out = append(out, n.Code)
	}
	return out
}
