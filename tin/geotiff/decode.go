package geotiff

import (
	"bytes"
	"compress/zlib"
	"context"
	"errors"
	"fmt"
	"io"
	"math"

	"golang.org/x/image/tiff/lzw"
)

// decoder reads the blocks of an image one after the other.
type decoder struct {
	*directory
	*layout
	ctx    context.Context
	since  int       // bytes of rows since it was asked
	levels []float64 // of the image, row by row in the file's order
	row    []byte    // of a block
	source bytes.Reader
	zlib   io.ReadCloser // kept between blocks; nil before the first
}

// decode returns the levels of an image row by row as in the file. Blocks
// without bytes give NaN.
func (d *directory) decode(ctx context.Context, l *layout, progress func(done, total int64)) ([]float64, error) {
	x := &decoder{directory: d, layout: l, ctx: ctx, levels: make([]float64, l.columns*l.rows)}
	for i := range l.blocks {
		if err := d.stopped(ctx); err != nil {
			return nil, err
		}
		data, rows, err := d.block(l, i)
		if err != nil {
			return nil, err
		}
		if len(data) == 0 {
			x.empty(i)
		} else if err := x.block(i, rows, data); err != nil {
			return nil, err
		}
		if progress != nil {
			progress(int64(i+1)*int64(len(x.levels))/int64(l.blocks), int64(len(x.levels)))
		}
	}
	return x.levels, nil
}

// askAfter is how many bytes are decoded before the context is asked again.
const askAfter = 1 << 20

// stopped returns the error of a context that has ended.
func (f *file) stopped(ctx context.Context) error {
	if err := ctx.Err(); err != nil {
		return fmt.Errorf("geotiff: %s: %w", f.name, err)
	}
	return nil
}

// part returns the levels of a row of a block, as far as it lies in the image;
// none below the image.
func (x *decoder) part(block, row int) []float64 {
	row += block / x.across * x.blockRows
	if row >= x.rows {
		return nil
	}
	from := block % x.across * x.blockColumns
	return x.levels[row*x.columns:][from:min(from+x.blockColumns, x.columns)]
}

// empty marks a block as without data.
func (x *decoder) empty(block int) {
	for row := range x.blockRows {
		part := x.part(block, row)
		for i := range part {
			part[i] = math.NaN()
		}
	}
}

// block decodes a block row by row, to its end.
func (x *decoder) block(block, rows int, data []byte) error {
	if x.row == nil {
		x.row = make([]byte, x.width()*x.samples.size)
	}
	r, err := x.open(data)
	if err != nil {
		return x.damaged(block, err)
	}
	for row := range rows {
		if _, err := io.ReadFull(r, x.row); err != nil {
			return x.damaged(block, err)
		}
		x.samples.row(x.part(block, row), x.row)
		if x.since += len(x.row); x.since >= askAfter {
			x.since = 0
			if err := x.stopped(x.ctx); err != nil {
				return err
			}
		}
	}
	if x.zlib == nil {
		return nil
	}
	// One byte more, to reach the checksum. There may be more data.
	if _, err := io.ReadFull(r, x.row[:1]); err != nil && !errors.Is(err, io.EOF) {
		return x.damaged(block, err)
	}
	return nil
}

// open returns a reader of the samples of a block.
func (x *decoder) open(data []byte) (io.Reader, error) {
	x.source.Reset(data)
	switch x.compression {
	case compressionLZW:
		return lzw.NewReader(&x.source, lzw.MSB, 8), nil
	case compressionDeflate, compressionZip:
		if x.zlib == nil {
			var err error
			x.zlib, err = zlib.NewReader(&x.source)
			return x.zlib, err
		}
		return x.zlib, x.zlib.(zlib.Resetter).Reset(&x.source, nil)
	case compressionPack:
		return &packBits{source: data}, nil
	}
	return &x.source, nil
}

func (x *decoder) damaged(block int, err error) error {
	why := err.Error()
	if errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
		why = "its data end too soon"
	}
	return x.fail("bad_block", fmt.Sprintf("%s cannot be read: %s", x.layout.name(block), why), again)
}
