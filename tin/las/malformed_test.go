package las_test

import (
	"encoding/binary"
	"math"
	"runtime"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/las"
)

// put writes a number into a file at a byte of its header.
func put[T uint8 | uint16 | uint32 | uint64](at int, v T) func([]byte) []byte {
	return func(b []byte) []byte {
		_, err := binary.Encode(b[at:], binary.LittleEndian, v)
		if err != nil {
			panic(err)
		}
		return b
	}
}

func double(at int, v float64) func([]byte) []byte { return put(at, math.Float64bits(v)) }

// Each is a good file of 10 points with one thing wrong.
func TestMalformed(t *testing.T) {
	plain := site(1, ground(10)...)
	large := site(6, ground(10)...)
	large.behind = []vlr{{"LASF_Projection", 2112, []byte(`LOCAL_CS["g",UNIT["m",1]]`)}}
	recorded := site(1, ground(10)...)
	recorded.records = []vlr{{"other", 1, make([]byte, 100)}, {"other", 2, nil}}
	zipped := site(1, ground(10)...)
	zipped.records = []vlr{{"laszip encoded", 22204, make([]byte, 40)}}
	fewer := site(1, ground(10)...)
	fewer.tail = make([]byte, 2*28)
	waves := fewer
	waves.encoding = 2
	between := site(6, ground(10)...)
	between.behind = []vlr{{"other", 1, make([]byte, 2*30-60)}, large.behind[0]}
	for _, c := range []struct {
		name string
		file spec
		harm func([]byte) []byte
		code string
		says string
	}{
		{"empty", plain, func([]byte) []byte { return nil }, "not_las", "does not begin with LASF"},
		{"three bytes", plain, func(b []byte) []byte { return b[:3] }, "not_las", "does not begin with LASF"},
		{"text", plain, func([]byte) []byte { return []byte("number,easting,northing\n1,2,3\n") }, "not_las", "does not begin with LASF"},
		{"signature alone", plain, func(b []byte) []byte { return b[:4] }, "truncated", "in the middle of its header"},
		{"half a header", plain, func(b []byte) []byte { return b[:200] }, "truncated", "ends after 200 bytes, in the middle of its header"},
		{"half a header of 1.4", large, func(b []byte) []byte { return b[:300] }, "truncated", "in the middle of its header"},
		{"version 1.1", plain, put[uint8](25, 1), "bad_version", "LAS version 1.1"},
		{"version 1.5", plain, put[uint8](25, 5), "bad_version", "LAS version 1.5"},
		{"version 2.2", plain, put[uint8](24, 2), "bad_version", "LAS version 2.2"},
		{"compressed", plain, put[uint8](104, 0x81), "compressed", "write it out as uncompressed LAS with the program it came from"},
		{"compressed, the old mark", plain, put[uint8](104, 0x41), "compressed", "compressed (LAZ)"},
		{"compressed, by its record", zipped, nil, "compressed", "compressed (LAZ)"},
		{"format 4 in 1.2", plain, put[uint8](104, 4), "bad_format", "format 4, which LAS 1.2"},
		{"format 11", large, put[uint8](104, 11), "bad_format", "format 11, which LAS 1.4"},
		{"short header", plain, put[uint16](94, 226), "bad_header", "226 bytes; LAS 1.2 has 227"},
		{"short header of 1.4", large, put[uint16](94, 235), "bad_header", "235 bytes; LAS 1.4 has 375"},
		{"header beyond the end", plain, func(b []byte) []byte { return put(96, uint32(65535))(put(94, uint16(65535))(b)) }, "truncated", "header"},
		{"points within the header", plain, put[uint32](96, 100), "bad_header", "begin at byte 100, within its header"},
		{"points beyond the end", plain, put[uint32](96, math.MaxUint32), "truncated", "what comes before its points"},
		{"short records", plain, put[uint16](105, 27), "bad_header", "27 bytes; they need 28"},
		{"records of no length", plain, put[uint16](105, 0), "bad_header", "0 bytes; they need 28"},
		{"one point too many", plain, put[uint32](107, 11), "truncated", "counts 11 points, but it ends after 10"},
		{"four thousand million points", plain, put[uint32](107, math.MaxUint32), "truncated", "counts 4294967295 points, but it ends after 10"},
		{"2^62 points", large, put[uint64](247, 1<<62), "bad_count", "counts 4611686018427387904 points"},
		{"2^64 - 1 points", large, put[uint64](247, math.MaxUint64), "bad_count", "counts 18446744073709551615 points"},
		{"too few points counted", fewer, nil, "bad_count", "counts 10 points, but bytes for 2 more follow"},
		{"too few counted, and waveforms that its format has none of", waves, nil, "bad_count", "counts 10 points, but bytes for 2 more follow"},
		{"too few counted before extended records", between, func(b []byte) []byte {
			return put(235, uint64(375+10*30+60))(put(243, uint32(1))(b))
		}, "bad_count", "counts 10 points, but bytes for 2 more follow"},
		{"too few counted, and extended records before the points", between, func(b []byte) []byte { return put(235, uint64(0))(b[:375+10*30+60]) },
			"bad_count", "counts 10 points, but bytes for 2 more follow"},
		{"points up to within the extended records", large, put[uint64](247, 12), "bad_count", "12 points, which end at byte 735, but extended records begin at byte 675"},
		{"none counted", plain, put[uint32](107, 0), "bad_count", "counts 0 points, but bytes for 10 more follow"},
		{"cut in a point", plain, func(b []byte) []byte { return b[:len(b)-1] }, "truncated", "counts 10 points, but it ends after 9"},
		{"cut before the points", plain, func(b []byte) []byte { return b[:227] }, "truncated", "ends after 0"},
		{"zero scale", plain, double(131, 0), "bad_scale", "scale of its eastings is 0"},
		{"scale below 0", plain, double(139, -0.01), "bad_scale", "scale of its northings is -0.01"},
		{"NaN scale", plain, double(147, math.NaN()), "bad_scale", "scale of its levels is NaN"},
		{"infinite scale", plain, double(131, math.Inf(1)), "bad_scale", "scale of its eastings is +Inf"},
		{"NaN offset", plain, double(155, math.NaN()), "bad_scale", "offset of its eastings is NaN"},
		{"infinite offset", plain, double(171, math.Inf(-1)), "bad_scale", "offset of its levels is -Inf"},
		{"far offset", plain, double(155, 1e12), "out_of_range", "beyond 1000000000"},
		{"coarse scale", plain, double(139, 1e300), "out_of_range", "beyond 1000000000"},
		{"more records than bytes", recorded, put[uint32](100, math.MaxUint32), "bad_records", "record 3 of the 4294967295"},
		{"a record into the points", recorded, put[uint16](227+20, 65535), "bad_records", "record 1 of the 2"},
		{"a record's head into the points", recorded, put[uint32](100, 3), "bad_records", "record 3 of the 3"},
		{"extended records beyond the end", large, put[uint64](235, 1<<60), "truncated", "what comes before its extended records"},
		{"more extended records than bytes", large, put[uint32](243, 2), "truncated", "an extended record"},
		{"an extended record of 2^63 bytes", large, put[uint64](375+300+20, 1<<63), "bad_records", "an extended record says it has 9223372036854775808 bytes"},
		{"an extended record of 2^62 bytes", large, put[uint64](375+300+20, 1<<62), "truncated", "a record"},
	} {
		t.Run(c.name, func(t *testing.T) {
			data := c.file.bytes()
			if c.harm != nil {
				data = c.harm(data)
			}
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			_, err := read(data, las.Options{})
			runtime.ReadMemStats(&after)
			var e *tin.InputError
			require.ErrorAs(t, err, &e)
			assert.Equal(t, c.code, e.Code, "%v", err)
			assert.Contains(t, e.Message+e.Hint, c.says)
			assert.NotEmpty(t, e.Hint)
			assert.Less(t, after.TotalAlloc-before.TotalAlloc, uint64(4<<20), "memory follows the bytes there are, not what the file claims")
		})
	}
	for _, s := range []spec{plain, large, recorded} { // and they are good without it
		_, err := read(s.bytes(), las.Options{})
		require.NoError(t, err)
	}
}

// Odd, but read, with a note.
func TestOdd(t *testing.T) {
	plain, large := site(1, ground(10)...), site(6, ground(10)...)
	legacy := site(1, ground(10)...)
	legacy.minor = 4
	tail := site(1, ground(10)...)
	tail.tail = make([]byte, 29)
	wave := site(4, ground(10)...)
	wave.encoding, wave.tail = 2, make([]byte, 2*57)
	behind := site(6, ground(10)...)
	behind.behind = []vlr{{"other", 1, make([]byte, 70000)}}
	two := behind
	two.behind = []vlr{{"other", 1, make([]byte, 7)}, {"other", 2, make([]byte, 30)}}
	for _, c := range []struct {
		name  string
		file  spec
		harm  func([]byte) []byte
		kept  int
		notes []string
	}{
		{"nothing odd", plain, nil, 10, []string{}},
		{"both counts", legacy, nil, 10, []string{}},
		{"the count for older readers rules", legacy, put[uint64](247, 12), 10, []string{"counts_differ"}},
		{"without it the larger count rules", legacy, put[uint32](107, 0), 10, []string{}},
		{"bytes at the end", tail, nil, 10, []string{"bytes_not_read"}},
		{"waveforms at the end", wave, nil, 10, []string{}},
		{"bytes before extended records", two, func(b []byte) []byte {
			return put(235, uint64(375+10*30+67))(put(243, uint32(1))(b))
		}, 10, []string{"bytes_not_read"}},
		{"other extended records", behind, nil, 10, []string{}},
		{"extended records before the points", behind, put[uint64](235, 375), 10, []string{"records_not_read"}},
		{"a box that does not fit", plain, double(187, 500001), 10, []string{"box_misfit"}},
		{"a box of NaN", large, double(211, math.NaN()), 10, []string{"box_misfit"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			data := c.file.bytes()
			if c.harm != nil {
				data = c.harm(data)
			}
			f := mustRead(t, data, las.Options{})
			assert.Len(t, f.Points, c.kept)
			assert.Equal(t, c.notes, codes(f.Notes))
		})
	}
}

// A longer header than the standard's is passed over.
func TestLongHeader(t *testing.T) {
	b := site(1, ground(10)...).bytes()
	long := append(append(append([]byte{}, b[:227]...), make([]byte, 50)...), b[227:]...)
	put[uint16](94, 277)(long)
	put[uint32](96, 277)(long)
	assert.Len(t, mustRead(t, long, las.Options{}).Points, 10)
}
