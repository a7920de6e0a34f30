package las

import (
	"context"
	"io"

	"github.com/paulmach/orb"

	"barrow/tin"
)

// Options tell [Read] which points are wanted. The zero value keeps the ground
// of a file of any size.
type Options struct {
	// Classes are those to keep. nil: ground, which is class 2, and the model
	// key-points of class 8 in formats 0 to 5. Points marked as withheld are
	// never kept.
	Classes []uint8

	// Overlap keeps points of these classes that formats 6 to 10 mark as lying
	// where flight lines overlap. In formats 0 to 5 overlap is a class of its
	// own, 12.
	Overlap bool

	Within *orb.Bound // in the file's unit, sides included; nil: everywhere
	Thin   *Thinning  // nil: every point is kept

	MaxPoints int   // kept; more is an error; 0: 2,147,483,647
	MaxBytes  int64 // of the file; more is an error; 0: no limit

	// Progress, if not nil, is told now and then how many of the file's points
	// were read.
	Progress func(done, total int64)
}

// File is what was kept of a LAS file.
type File struct {
	Name   string
	Header Header

	Unit         tin.Unit // of easting and northing; 0 where the file does not state it
	VerticalUnit tin.Unit // of levels; 0 where the file does not state it
	CRS          CRS

	// Points have the file's unit, no name, the code "class 2" (or another), and
	// as Line the number of their record, from 1 (0 above 2,147,483,647). They
	// are in the order of the file. Thinned ones are in the order of easting,
	// then northing, and their Line is 0: they do not depend on the file's order.
	Points []tin.Point
	Counts Counts

	Notes []tin.Problem // what was assumed or left out, with counts
}

// CRS is what a file says of its coordinate system. It is carried, not used.
type CRS struct {
	Name         string
	EPSG         int // 0: not stated
	VerticalEPSG int // 0: not stated
}

// Counts say what became of the points of a file. Points is the sum of Kept
// and those left out for one of the reasons, the first that holds.
type Counts struct {
	Points int64
	Kept   int64

	OtherClass int64 // not of a wanted class
	Withheld   int64 // of a wanted class, but marked as withheld
	Overlap    int64 // of a wanted class, but marked as overlap
	Outside    int64 // outside Options.Within
	Thinned    int64 // another point of its cell was kept

	Classes []ClassCount // those met, withheld points too, by number
}

// ClassCount is the number of points of one class.
type ClassCount struct {
	Class  uint8
	Name   string // of the standard, such as "ground"; may be empty
	Points int64
}

// Read reads a LAS file from a stream, to its end. The name is used in messages
// only. Bad content is a [*tin.InputError]. A cancelled context ends the reading
// with its error.
//
// Memory follows the points that are kept, and never what the file claims to
// hold: 17 bytes each while reading, and then that of a [tin.Point].
func Read(ctx context.Context, r io.Reader, name string, opts Options) (*File, error) {
	s := newStream(ctx, r, name, opts.MaxBytes)
	h, err := readHeader(s)
	if err != nil {
		return nil, err
	}
	d := &decoder{stream: s, header: h, opts: opts, file: &File{Name: name, Header: h.Header}}
	for _, step := range []func() error{d.variableRecords, d.points, d.extendedRecords, d.rest, d.finish} {
		if err := step(); err != nil {
			return nil, err
		}
	}
	return d.file, nil
}
