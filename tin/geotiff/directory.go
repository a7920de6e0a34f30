package geotiff

import (
	"encoding/binary"
	"fmt"
	"math"
	"slices"
	"strings"

	"barrow/tin"
)

// file is a TIFF file in memory.
type file struct {
	name  string
	data  []byte
	order binary.ByteOrder
	big   bool   // BigTIFF: counts and offsets of 64 bits
	first uint64 // where the first directory is
}

// directory describes one image.
type directory struct {
	*file
	entries map[uint16]entry
	next    uint64 // where the next directory is; 0: none
}

// entry is one tag's value, its bytes within the file.
type entry struct {
	kind  uint16
	count int
	data  []byte
}

// The types of values that are read.
const (
	kindByte   = 1
	kindText   = 2
	kindShort  = 3
	kindLong   = 4
	kindFloat  = 11
	kindDouble = 12
	kindLong8  = 16
)

// kindSize is the size of a value by its type; 0 for a type that does not exist.
var kindSize = [19]uint64{0, 1, 1, 2, 4, 8, 1, 1, 2, 4, 8, 4, 8, 4, 0, 0, 8, 8, 8}

func (f *file) fail(code, message, hint string) error {
	return &tin.InputError{Code: code, File: f.name, Message: message, Hint: hint}
}

const again = "it was cut short or damaged: copy or export it again"

// open reads the header.
func open(name string, data []byte) (*file, error) {
	f := &file{name: name, data: data}
	notTIFF := f.fail("not_tiff", "the file does not begin as a TIFF does", "check that it is the right file")
	if len(data) < 8 {
		return nil, notTIFF
	}
	switch string(data[:2]) {
	case "II":
		f.order = binary.LittleEndian
	case "MM":
		f.order = binary.BigEndian
	default:
		return nil, notTIFF
	}
	switch f.order.Uint16(data[2:]) {
	case 42:
		f.first = uint64(f.order.Uint32(data[4:]))
	case 43:
		if len(data) < 16 || f.order.Uint16(data[4:]) != 8 || f.order.Uint16(data[6:]) != 0 {
			return nil, notTIFF
		}
		f.big = true
		f.first = f.order.Uint64(data[8:])
	default:
		return nil, notTIFF
	}
	return f, nil
}

// slice returns the bytes of a part of the file; false if it has no such part.
func (f *file) slice(at, size uint64) ([]byte, bool) {
	length := uint64(len(f.data))
	if at > length || size > length-at {
		return nil, false
	}
	return f.data[at : at+size], true
}

// image returns the directory of the first image, and notes on others. What
// follows it may be smaller copies; a mask is refused.
func (f *file) image() (*directory, []tin.Problem, error) {
	first, err := f.directory(f.first)
	if err != nil {
		return nil, nil, err
	}
	if kind, err := first.number(tagSubfile, 0); err != nil {
		return nil, nil, err
	} else if kind&(subfileReduced|subfileMask) != 0 {
		return nil, nil, f.fail("no_image", "the first image of the file is a smaller copy or a mask", "export the raster again")
	}
	others := 0
	seen := map[uint64]bool{f.first: true}
	for at := first.next; at != 0; {
		if seen[at] || len(seen) >= maxImages {
			return nil, nil, f.fail("bad_directory", "the directories of the file run in a circle, or there are over 1,000", again)
		}
		seen[at] = true
		d, err := f.directory(at)
		if err != nil {
			return nil, nil, err
		}
		kind, err := d.number(tagSubfile, 0)
		switch {
		case err != nil:
			return nil, nil, err
		case kind&subfileMask != 0:
			return nil, nil, f.maskError()
		case kind&subfileReduced == 0:
			others++
		}
		at = d.next
	}
	if others == 0 {
		return first, nil, nil
	}
	return first, []tin.Problem{{Code: "several_images", Message: fmt.Sprintf("the first of %d images was read", others+1)}}, nil
}

func (f *file) maskError() error {
	return f.fail("has_mask", "a mask or a transparent band says where there is no data; it is not read",
		"export the raster with a value for no data")
}

// directory reads the directory at a place.
func (f *file) directory(at uint64) (*directory, error) {
	countSize, entrySize, inline := uint64(2), uint64(12), uint64(4)
	if f.big {
		countSize, entrySize, inline = 8, 20, 8
	}
	bad := f.fail("bad_directory", fmt.Sprintf("a directory at byte %d lies outside the file, which has %d bytes", at, len(f.data)), again)
	head, ok := f.slice(at, countSize)
	if !ok {
		return nil, bad
	}
	count := f.whole(head)
	if count > maxTags {
		return nil, bad
	}
	body, ok := f.slice(at+countSize, count*entrySize+inline)
	if !ok {
		return nil, bad
	}
	d := &directory{file: f, entries: make(map[uint16]entry, count)}
	for ; count > 0; count-- {
		if err := d.add(body[:entrySize], int(inline)); err != nil {
			return nil, err
		}
		body = body[entrySize:]
	}
	d.next = f.whole(body)
	return d, nil
}

// whole reads a count or an offset of 2, 4 or 8 bytes.
func (f *file) whole(b []byte) uint64 {
	switch len(b) {
	case 2:
		return uint64(f.order.Uint16(b))
	case 4:
		return uint64(f.order.Uint32(b))
	}
	return f.order.Uint64(b)
}

// add takes an entry of a directory: tag, type, count, and the value itself
// where it fits, else where it is.
func (d *directory) add(b []byte, inline int) error {
	tag, kind := d.order.Uint16(b), d.order.Uint16(b[2:])
	if int(kind) >= len(kindSize) || kindSize[kind] == 0 {
		return nil // a type of later times: TIFF 6.0 wants readers to skip it
	}
	if _, twice := d.entries[tag]; twice {
		return d.fail("bad_tag", show(tag)+" stands twice in one directory", "export the raster again")
	}
	count := d.whole(b[4 : 4+inline])
	value := b[4+inline:]
	if count > uint64(len(d.data))/kindSize[kind] {
		return d.outside(tag, count)
	}
	if size := count * kindSize[kind]; size <= uint64(inline) {
		value = value[:size]
	} else {
		var ok bool
		if value, ok = d.slice(d.whole(value), size); !ok {
			return d.outside(tag, count)
		}
	}
	d.entries[tag] = entry{kind, int(count), value}
	return nil
}

func (d *directory) outside(tag uint16, count uint64) error {
	return d.fail("bad_tag", fmt.Sprintf("%s has %d values outside the file, which has %d bytes", show(tag), count, len(d.data)), again)
}

// at returns one of the whole numbers of an entry; false where it has none there.
func (d *directory) at(e entry, i int) (v uint64, ok bool) {
	if i >= e.count {
		return 0, false
	}
	switch e.kind {
	case kindByte:
		return uint64(e.data[i]), true
	case kindShort:
		return uint64(d.order.Uint16(e.data[2*i:])), true
	case kindLong:
		return uint64(d.order.Uint32(e.data[4*i:])), true
	case kindLong8:
		return d.order.Uint64(e.data[8*i:]), true
	}
	return 0, false
}

// number returns the first whole number of a tag, or what counts in its absence.
func (d *directory) number(tag uint16, absent uint64) (uint64, error) {
	e, ok := d.entries[tag]
	if !ok {
		return absent, nil
	}
	v, ok := d.at(e, 0)
	if !ok {
		return 0, d.fail("bad_tag", show(tag)+" is no whole number", "export the raster again")
	}
	return v, nil
}

// must returns the first whole number of a tag that has to be there.
func (d *directory) must(tag uint16) (uint64, error) {
	if _, ok := d.entries[tag]; !ok {
		return 0, d.fail("missing_tag", show(tag)+" is missing", "check that it is a raster of levels, or export it again")
	}
	return d.number(tag, 0)
}

// equal returns the value that all whole numbers of a tag have.
func (d *directory) equal(tag uint16, absent uint64) (uint64, error) {
	first, err := d.number(tag, absent)
	e := d.entries[tag]
	for i := 1; i < e.count && err == nil; i++ {
		if v, _ := d.at(e, i); v != first {
			return 0, d.fail("unsupported", fmt.Sprintf("%s differs between bands: %d and %d", show(tag), first, v), "export one band by itself")
		}
	}
	return first, err
}

// doubles returns the numbers of a tag; none if it is absent.
func (d *directory) doubles(tag uint16) ([]float64, error) {
	e, ok := d.entries[tag]
	if !ok {
		return nil, nil
	}
	var out []float64
	for i := range e.count {
		var v float64
		switch e.kind {
		case kindDouble:
			v = math.Float64frombits(d.order.Uint64(e.data[8*i:]))
		case kindFloat:
			v = float64(math.Float32frombits(d.order.Uint32(e.data[4*i:])))
		default:
			return nil, d.fail("bad_tag", show(tag)+" does not hold numbers with decimals", "export the raster again")
		}
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return nil, d.fail("bad_tag", show(tag)+" holds a value that is not finite", "export the raster again")
		}
		out = append(out, v)
	}
	return out, nil
}

// text returns the text of a tag, up to its first zero byte.
func (d *directory) text(tag uint16) (string, bool) {
	e, ok := d.entries[tag]
	if !ok || e.kind != kindText && e.kind != kindByte {
		return "", false
	}
	data := e.data
	if i := slices.Index(data, 0); i >= 0 {
		data = data[:i]
	}
	return strings.TrimSpace(string(data)), true
}
