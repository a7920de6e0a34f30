package geotiff

import (
	"fmt"
	"math"
)

// layout says where the samples of an image are.
type layout struct {
	columns, rows int
	bands         int
	samples       samples

	compression uint64
	tiled       bool
	blockColumns, blockRows,
	across int // blocks side by side
	blocks          int // of the first band
	offsets, counts entry
	empty           float64 // samples in blocks without bytes
}

// width is the number of samples in a row of a block.
func (l *layout) width() int { return l.blockColumns * l.samples.stride }

// name names a block for a message.
func (l *layout) name(block int) string {
	if l.tiled {
		return fmt.Sprintf("tile %d", block+1)
	}
	return fmt.Sprintf("strip %d", block+1)
}

// layout reads and checks what a directory says about its samples.
func (d *directory) layout() (*layout, error) {
	l := &layout{}
	var err error
	if l.columns, err = d.size(tagColumns); err != nil {
		return nil, err
	}
	if l.rows, err = d.size(tagRows); err != nil {
		return nil, err
	}
	if err := d.plain(); err != nil {
		return nil, err
	}
	if err := d.readBands(l); err != nil {
		return nil, err
	}
	if err := d.readBlocks(l); err != nil {
		return nil, err
	}
	return l, d.checkBlocks(l)
}

// size returns a number of columns or rows.
func (d *directory) size(tag uint16) (int, error) {
	v, err := d.must(tag)
	if err != nil {
		return 0, err
	}
	if v < 1 || v > math.MaxInt32 {
		return 0, d.fail("bad_tag", fmt.Sprintf("%s is %d", show(tag), v), again)
	}
	return int(v), nil
}

// plain refuses what is a picture, or stored in an order that is not read.
func (d *directory) plain() error {
	for _, want := range []struct {
		tag  uint16
		is   uint64
		what string
	}{
		{tagFillOrder, 1, "bits stored the wrong way round"},
		{tagOrientation, 1, "rows or columns that run another way than right and down"},
	} {
		v, err := d.number(want.tag, want.is)
		if err != nil {
			return err
		}
		if v != want.is {
			return d.fail("unsupported", fmt.Sprintf("%s is %d: %s are not read", show(want.tag), v, want.what), "export the raster again")
		}
	}
	photometric, err := d.number(tagPhotometric, 1)
	if err != nil {
		return err
	}
	if what := pictures[photometric]; what != "" {
		return d.fail("picture", "the file is a picture ("+what+"), not levels", "export the levels themselves, one number a sample")
	}
	return nil
}

// readBands reads how many bands there are and what their samples are.
func (d *directory) readBands(l *layout) error {
	bands, err := d.number(tagBands, 1)
	if err != nil {
		return err
	}
	if bands < 1 || bands > math.MaxUint16 {
		return d.fail("bad_tag", fmt.Sprintf("%s is %d", show(tagBands), bands), again)
	}
	l.bands = int(bands)
	if e, ok := d.entries[tagExtraSamples]; ok {
		for i := range e.count {
			if v, _ := d.at(e, i); v >= extraAlpha {
				return d.maskError()
			}
		}
	}
	planar, err := d.number(tagPlanar, 1)
	if err != nil {
		return err
	}
	l.samples.stride = l.bands
	switch planar {
	case 1:
	case planarApart:
		l.samples.stride = 1
	default:
		return d.fail("bad_tag", fmt.Sprintf("%s is %d", show(tagPlanar), planar), again)
	}
	return d.readSamples(l)
}

// readBlocks reads the strips or tiles.
func (d *directory) readBlocks(l *layout) error {
	var err error
	if l.compression, err = d.number(tagCompression, compressionNone); err != nil {
		return err
	}
	if _, l.tiled = d.entries[tagTileColumns]; l.tiled {
		err = d.readTiles(l)
	} else {
		err = d.readStrips(l)
	}
	if err != nil {
		return err
	}
	l.across = (l.columns-1)/l.blockColumns + 1
	down := (l.rows-1)/l.blockRows + 1
	if l.across > math.MaxInt32/down {
		return d.fail("bad_tag", fmt.Sprintf("the image has %d x %d blocks", l.across, down), again)
	}
	l.blocks = l.across * down
	if most := min(l.offsets.count, l.counts.count); most < l.blocks {
		return d.fail("bad_tag", fmt.Sprintf("the image has %d blocks, and places and sizes of %d are given", l.blocks, most), again)
	}
	return nil
}

func (d *directory) readTiles(l *layout) (err error) {
	if l.blockColumns, err = d.size(tagTileColumns); err != nil {
		return err
	}
	if l.blockRows, err = d.size(tagTileRows); err != nil {
		return err
	}
	return d.readPlaces(l, tagTileOffsets, tagTileCounts)
}

func (d *directory) readStrips(l *layout) error {
	rows, err := d.number(tagRowsPerStrip, math.MaxUint32)
	if err != nil {
		return err
	}
	if rows < 1 {
		return d.fail("bad_tag", fmt.Sprintf("%s is %d", show(tagRowsPerStrip), rows), again)
	}
	l.blockColumns, l.blockRows = l.columns, int(min(rows, uint64(l.rows)))
	return d.readPlaces(l, tagStripOffsets, tagStripCounts)
}

// readPlaces takes the lists of where the blocks are, and how long.
func (d *directory) readPlaces(l *layout, offsets, counts uint16) error {
	for _, tag := range []uint16{offsets, counts} {
		if _, err := d.must(tag); err != nil {
			return err
		}
	}
	l.offsets, l.counts = d.entries[offsets], d.entries[counts]
	return nil
}

// block returns the bytes of a block, and how many rows of it are stored. A block
// without bytes has no data.
func (d *directory) block(l *layout, block int) (data []byte, rows int, err error) {
	offset, _ := d.at(l.offsets, block)
	count, _ := d.at(l.counts, block)
	data, ok := d.slice(offset, count)
	if !ok {
		return nil, 0, d.fail("bad_block", fmt.Sprintf("%s has %d bytes from byte %d on, and the file has %d", l.name(block), count, offset, len(d.data)), again)
	}
	rows = l.blockRows
	if !l.tiled { // the last strip is shorter
		rows = min(rows, l.rows-block*l.blockRows)
	}
	return data, rows, nil
}

// ratio is the most that a byte can become, by compression. Deflate: 1032, from
// its format; LZW: its longest string is under 4,096 bytes, for a code of at least
// 9 bits; PackBits: 2 bytes become 128.
func ratio(compression uint64) float64 {
	switch compression {
	case compressionLZW:
		return 4096
	case compressionDeflate, compressionZip:
		return 1032
	case compressionPack:
		return 64
	}
	return 1
}

const (
	maxEmpty   = 1 << 20 // most samples in a block without bytes
	emptyRatio = 1024    // most samples in all of them, and maxEmpty besides, for a byte of the file
	maxRow     = 1 << 28 // most bytes in the row of a block
)

// checkBlocks refuses, before anything is allocated, blocks that lie outside the
// file or cannot hold as much as they should.
func (d *directory) checkBlocks(l *layout) error {
	if !d.readable(l.compression) {
		what := compressions[l.compression]
		if what == "" {
			what = fmt.Sprintf("number %d", l.compression)
		}
		return d.fail("compression", "the samples are compressed by "+what+", which is not read",
			"write the file again uncompressed or with Deflate, LZW or PackBits")
	}
	total := 0.0
	for i := range l.blocks {
		data, rows, err := d.block(l, i)
		if err != nil {
			return err
		}
		samples := float64(l.blockColumns) * float64(rows)
		size := samples * float64(l.samples.stride*l.samples.size)
		switch {
		case len(data) == 0 && samples <= maxEmpty:
			l.empty += samples
		case size > maxRow*float64(rows):
			return d.fail("bad_block", fmt.Sprintf("a row of %s is longer than %d bytes, the most that are read", l.name(i), maxRow), again)
		case size > float64(len(data))*ratio(l.compression):
			return d.fail("bad_block", fmt.Sprintf("%s of %d x %d samples cannot be in %d bytes", l.name(i), l.blockColumns, rows, len(data)), again)
		default:
			total += size
		}
	}
	if total > float64(len(d.data))*ratio(l.compression) { // the same bytes over and over
		return d.fail("bad_block", fmt.Sprintf("%d blocks of %d x %d samples cannot be in a file of %d bytes", l.blocks, l.blockColumns, l.blockRows, len(d.data)), again)
	}
	return nil
}

// checkEmpty refuses a small file that would become a huge grid with next to nothing
// in it.
func (d *directory) checkEmpty(l *layout) error {
	if l.empty <= maxEmpty+emptyRatio*float64(len(d.data)) {
		return nil
	}
	return d.fail("bad_block", fmt.Sprintf("blocks without bytes stand for %.0f samples, which are too many for a file of %d bytes", l.empty, len(d.data)),
		"cut the site out of it")
}

func (d *directory) readable(compression uint64) bool {
	switch compression {
	case compressionNone, compressionLZW, compressionDeflate, compressionZip, compressionPack:
		return true
	}
	return false
}
