package pointfile

import (
	"context"
	"io"
	"io/fs"

	"barrow/tin"
)

// Options tell [Read] what the file does not say. The zero value reads a file
// with a header, of any size.
type Options struct {
	// Columns is the order of the columns, such as
	// "number, easting, northing, level, code". It is needed where the file has
	// no header. Where it has one, both must agree on easting, northing and
	// level; "ignored" may stand for any column, and the words for texts
	// (number, code, description) may be changed.
	Columns string

	// State, if not nil, words in the hint of an error how a user states an order
	// of columns, as in --columns "easting, northing"; else the hint names the
	// order alone.
	State func(columns string) string

	MaxPoints int   // more is an error; 0: no limit
	MaxBytes  int64 // of the file; more is an error; 0: no limit

	// Progress, if not nil, is told now and then how many bytes were read.
	Progress func(bytes int64)
}

// File is a point file as read.
type File struct {
	Name   string
	Points []tin.Point // in the order and the unit of the file

	Columns      []string // as understood, in order: number, easting, northing, level, code, description, ignored
	Header       bool     // the first line with content names the columns
	Units        []string // that the header gives, as written there, such as "ft"; nothing is converted
	Separator    string   // "comma", "semicolon", "tab" or "spaces"
	DecimalComma bool

	// Lines is the number of lines: that of the points, Blank, Comments, and 1
	// for a header add up to it.
	Lines, Blank, Comments int

	Notes []tin.Problem // what was assumed or left out, with counts
}

// Read reads a point file. The name is used in messages only. Bad content is a
// [*tin.InputError] with file, line and column (in characters); r is read in
// blocks and never held whole. A cancelled context ends the reading with its
// error.
func Read(ctx context.Context, r io.Reader, name string, opts Options) (*File, error) {
	stated, err := parseColumns(opts.Columns)
	if err != nil {
		err.File = name
		return nil, err
	}
	p := &parser{
		lines: lines{ctx: ctx, r: r, name: name, max: opts.MaxBytes, progress: opts.Progress},
		file:  &File{Name: name},
		opts:  opts,
		size:  sizeOf(r),
	}
	block, readErr := p.lines.next()
	if readErr != nil {
		return nil, readErr
	}
	if err := p.layOut(block, stated); err != nil {
		return nil, err
	}
	for block != nil {
		if err := p.block(block); err != nil {
			return nil, err
		}
		if block, readErr = p.lines.next(); readErr != nil {
			return nil, readErr
		}
	}
	if err := p.finish(); err != nil {
		return nil, err
	}
	return p.file, nil
}

// sizeOf returns the number of bytes r is going to give, or 0 if it does not
// say. It is a hint: no more than [maxGuess] points are allocated on its word.
func sizeOf(r io.Reader) int64 {
	switch v := r.(type) {
	case interface{ Len() int }:
		return int64(v.Len())
	case interface{ Stat() (fs.FileInfo, error) }:
		if info, err := v.Stat(); err == nil && info.Mode().IsRegular() {
			return info.Size()
		}
	}
	return 0
}
