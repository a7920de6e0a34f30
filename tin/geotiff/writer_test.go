package geotiff_test

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"maps"
	"math"
	"slices"
)

// image is a raster to be written by this test's own small writer, made after
// TIFF 6.0, so that every combination can be tried.
type image struct {
	order         binary.ByteOrder
	big           bool
	columns, rows int
	bands         int // all samples of band b are those of the first plus b
	apart         bool
	tile          int // side of tiles; 0: strips
	strip         int // rows of a strip
	compression   int
	predictor     int
	kind          kind
	levels        []float64 // from the north

	ascii map[uint16]string
	real  map[uint16][]float64
	short map[uint16][]int
	drop  []uint16 // tags left out
}

// kind is a kind of samples.
type kind struct{ bits, format int }

// utm are the geo keys of a projected raster in metres of which each sample
// stands for an area.
var utm = []int{1, 1, 0, 4, 1024, 0, 1, 1, 1025, 0, 1, 1, 3072, 0, 1, 32755, 3076, 0, 1, 9001}

// plain is a little uncompressed raster of floating point, 3 x 2 samples of step 2.
func plain() *image {
	return &image{
		order: binary.LittleEndian, columns: 3, rows: 2, bands: 1, strip: 2, compression: 1, predictor: 1,
		kind: kind{32, 3}, levels: []float64{10, 11, 12, 13, 14, 15.5},
		real:  map[uint16][]float64{33550: {2, 2, 0}, 33922: {0, 0, 0, 1000, 2000, 0}},
		short: map[uint16][]int{34735: utm}, ascii: map[uint16]string{},
	}
}

func (m *image) bytes() []byte {
	var blocks [][]byte
	planes, stride := 1, m.bands
	if m.apart {
		planes, stride = m.bands, 1
	}
	for plane := range planes {
		if m.tile > 0 {
			for r := 0; r < m.rows; r += m.tile {
				for c := 0; c < m.columns; c += m.tile {
					blocks = append(blocks, m.block(c, r, m.tile, m.tile, plane, stride))
				}
			}
			continue
		}
		for r := 0; r < m.rows; r += m.strip {
			blocks = append(blocks, m.block(0, r, m.columns, min(m.strip, m.rows-r), plane, stride))
		}
	}
	return m.file(blocks)
}

// block encodes the samples of a strip or tile.
func (m *image) block(c0, r0, columns, rows, plane, stride int) []byte {
	var raw []byte
	for r := r0; r < r0+rows; r++ {
		var line []uint64
		for c := c0; c < c0+columns; c++ {
			for s := range stride {
				level := 1.0 // padding
				if c < m.columns && r < m.rows {
					level = m.levels[r*m.columns+c] + float64(plane+s)
				}
				line = append(line, m.kind.sample(level))
			}
		}
		raw = append(raw, m.line(line, stride)...)
	}
	return compress(m.compression, raw)
}

// sample is a level in the bits of its kind.
func (k kind) sample(level float64) uint64 {
	switch {
	case k.format == 3 && k.bits == 32:
		return uint64(math.Float32bits(float32(level)))
	case k.format == 3:
		return math.Float64bits(level)
	}
	return uint64(int64(level)) & (1<<k.bits - 1)
}

// line encodes a row of samples with the predictor.
func (m *image) line(line []uint64, stride int) []byte {
	size := m.kind.bits / 8
	if m.predictor == 2 {
		for i := len(line) - 1; i >= stride; i-- {
			line[i] -= line[i-stride]
		}
	}
	var raw []byte
	if m.predictor == 3 {
		for plane := range size { // the most significant byte first
			for _, v := range line {
				raw = append(raw, byte(v>>(8*(size-1-plane))))
			}
		}
		for i := len(raw) - 1; i >= stride; i-- {
			raw[i] -= raw[i-stride]
		}
		return raw
	}
	for _, v := range line {
		raw = m.number(raw, v, size)
	}
	return raw
}

// number appends the low bytes of a number in the file's order.
func (m *image) number(b []byte, v uint64, size int) []byte {
	var all [8]byte
	m.order.PutUint64(all[:], v)
	if m.order == binary.BigEndian {
		return append(b, all[8-size:]...)
	}
	return append(b, all[:size]...)
}

// deflater is kept, for it is slow to make; no test runs beside another.
var deflater = zlib.NewWriter(nil)

func compress(compression int, raw []byte) []byte {
	switch compression {
	case 5:
		return packLZW(raw)
	case 8, 32946:
		var b bytes.Buffer
		deflater.Reset(&b)
		deflater.Write(raw)
		deflater.Close()
		return b.Bytes()
	case 32773:
		return packBits(raw)
	}
	return raw
}

// packBits packs runs of 2 and more, and the rest as it is, with a byte to be
// skipped here and there.
func packBits(raw []byte) []byte {
	var out []byte
	for len(raw) > 0 {
		run := 1
		for run < len(raw) && run < 128 && raw[run] == raw[0] {
			run++
		}
		if run > 1 {
			out = append(out, byte(1-run), raw[0], 0x80)
			raw = raw[run:]
			continue
		}
		for run < len(raw) && run < 128 && raw[run] != raw[run-1] {
			run++
		}
		out = append(append(out, byte(run-1)), raw[:run]...)
		raw = raw[run:]
	}
	return out
}

// packLZW packs as TIFF 6.0, section 13, says: codes grow one early, and the table
// is cleared when it is full.
func packLZW(raw []byte) []byte {
	var out []byte
	var acc uint64
	bits, width := 0, 9
	put := func(code int) {
		acc = acc<<width | uint64(code)
		bits += width
		for ; bits >= 8; bits -= 8 {
			out = append(out, byte(acc>>(bits-8)))
		}
	}
	table := map[string]int{}
	clear := func() {
		put(256)
		width = 9
		table = map[string]int{}
		for i := range 256 {
			table[string([]byte{byte(i)})] = i
		}
	}
	clear()
	next, omega := 258, ""
	for _, c := range raw {
		longer := omega + string([]byte{c})
		if _, ok := table[longer]; ok {
			omega = longer
			continue
		}
		put(table[omega])
		table[longer] = next
		omega = string([]byte{c})
		if next++; next == 4095 {
			clear()
			next = 258
			continue
		}
		if next == 1<<width {
			width++
		}
	}
	put(table[omega])
	put(257)
	return append(out, byte(acc<<(8-bits)))
}

// file puts header, directory, values and blocks together.
func (m *image) file(blocks [][]byte) []byte {
	type tag struct {
		kind, count int
		data        []byte
	}
	tags := map[uint16]tag{}
	size := map[int]int{2: 1, 3: 2, 4: 4, 12: 8, 16: 8}
	numbers := func(id uint16, kind int, values ...int) {
		var b []byte
		for _, v := range values {
			b = m.number(b, uint64(v), size[kind])
		}
		tags[id] = tag{kind, len(values), b}
	}
	same := func(v int) []int { return slices.Repeat([]int{v}, m.bands) }
	place := 4
	if m.big {
		place = 16
	}
	numbers(256, 3, m.columns)
	numbers(257, 4, m.rows)
	numbers(258, 3, same(m.kind.bits)...)
	numbers(259, 3, m.compression)
	numbers(262, 3, 1)
	numbers(277, 3, m.bands)
	numbers(317, 3, m.predictor)
	numbers(339, 3, same(m.kind.format)...)
	if m.apart {
		numbers(284, 3, 2)
	}
	var counts []int
	for _, b := range blocks {
		counts = append(counts, len(b))
	}
	offsetTag := uint16(273)
	if m.tile > 0 {
		numbers(322, 3, m.tile)
		numbers(323, 3, m.tile)
		offsetTag = 324
		numbers(325, 4, counts...)
	} else {
		numbers(278, 3, m.strip)
		numbers(279, 4, counts...)
	}
	numbers(offsetTag, place, make([]int, len(blocks))...)
	for id, v := range m.real {
		var b []byte
		for _, x := range v {
			b = m.number(b, math.Float64bits(x), 8)
		}
		tags[id] = tag{12, len(v), b}
	}
	for id, v := range m.short {
		numbers(id, 3, v...)
	}
	for id, s := range m.ascii {
		tags[id] = tag{2, len(s) + 1, append([]byte(s), 0)}
	}
	for _, id := range m.drop {
		delete(tags, id)
	}

	head, entry, inline := 8, 12, 4
	if m.big {
		head, entry, inline = 16, 20, 8
	}
	countSize := inline / 4 * inline / 2 // 2 or 8
	if !m.big {
		countSize = 2
	}
	// Where values and blocks go.
	at := head + countSize + entry*len(tags) + inline
	var values []byte
	where := map[uint16]int{}
	ids := slices.Sorted(maps.Keys(tags))
	for _, id := range ids {
		if len(tags[id].data) > inline {
			where[id] = at + len(values)
			values = append(values, tags[id].data...)
		}
	}
	blockAt := at + len(values)
	var offsets []int
	for _, b := range blocks {
		offsets = append(offsets, blockAt)
		blockAt += len(b)
	}
	if _, own := m.short[offsetTag]; !own && tags[offsetTag].data != nil {
		numbers(offsetTag, place, offsets...)
		if w, out := where[offsetTag]; out {
			copy(values[w-at:], tags[offsetTag].data)
		}
	}

	mark := map[bool]string{false: "II", true: "MM"}[m.order == binary.BigEndian]
	out := []byte(mark)
	if m.big {
		out = m.number(out, 43, 2)
		out = m.number(out, 8, 2)
		out = m.number(out, 0, 2)
	} else {
		out = m.number(out, 42, 2)
	}
	out = m.number(out, uint64(head), inline)
	out = m.number(out, uint64(len(tags)), countSize)
	for _, id := range ids {
		t := tags[id]
		out = m.number(out, uint64(id), 2)
		out = m.number(out, uint64(t.kind), 2)
		out = m.number(out, uint64(t.count), inline)
		if w, far := where[id]; far {
			out = m.number(out, uint64(w), inline)
		} else {
			out = append(append(out, t.data...), make([]byte, inline-len(t.data))...)
		}
	}
	out = m.number(out, 0, inline)
	out = append(out, values...)
	for _, b := range blocks {
		out = append(out, b...)
	}
	return out
}
