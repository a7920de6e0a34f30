package las

import (
	"encoding/binary"
	"fmt"
	"math"
	"slices"

	"barrow/tin"
)

// decoder makes a File of a stream.
type decoder struct {
	*stream
	header *header
	opts   Options
	file   *File
	crs    crsRecords

	axes   [3]axis
	wanted [256]bool
	counts [256]int64 // of every point, by class
	low    [3]int32   // of every point
	high   [3]int32
	keeper keeper
	known  bool // what lies behind the points: extended records do
}

// record is one point that may be kept.
type record struct {
	at    [3]int32
	class uint8
}

// keeper takes the points that are wanted.
type keeper interface {
	// keep takes a point and its Line.
	keep(r record, line int32)
	// kept is how many it holds now.
	kept() int
	// each gives those it holds at the end, line 0 where it is of no account.
	each(func(r record, line int32) error) error
}

const blockSize = 256 << 10 // bytes of point records read at once, about

// points reads the point records.
func (d *decoder) points() error {
	if err := d.prepare(); err != nil {
		return err
	}
	length := d.header.RecordLength
	block := make([]byte, max(1, blockSize/length)*length)
	total := d.header.Points
	for done := int64(0); done < total; {
		n := min(int64(len(block)/length), total-done)
		part := block[:n*int64(length)]
		start := d.at
		if err := d.fill(part, "its points"); err != nil {
			return d.fewerPoints(err, done+(d.at-start)/int64(length))
		}
		d.block(part, done)
		done += n
		if most := d.most(); d.keeper.kept() > most {
			return d.fail("too_many_points", "thin the points, or cut the file to the site", "it has more than %d points that are kept", most)
		}
		if d.opts.Progress != nil {
			d.opts.Progress(done, total)
		}
	}
	return nil
}

// prepare makes what the points are read with.
func (d *decoder) prepare() error {
	for i := range d.axes {
		d.axes[i] = newAxis(d.header.Scale[i], d.header.Offset[i])
	}
	d.wanted = d.opts.wanted(d.header.Format)
	for i := range d.low {
		d.low[i], d.high[i] = math.MaxInt32, math.MinInt32
	}
	if d.opts.Thin == nil {
		d.keeper = &all{}
		return nil
	}
	thin := *d.opts.Thin
	if thin.Keep != KeepLowest && thin.Keep != KeepNearest {
		return d.fail("bad_cell", "ask for the lowest or the nearest", "there is no rule %d for the point of a cell to keep", thin.Keep)
	}
	c, ok := newCells(thin.Cell, d.axes[0], d.axes[1])
	if !ok {
		return d.fail("bad_cell", "give a side above 0 that is not below the steps of the file's numbers",
			"points in steps of %v and %v cannot be thinned to cells of %v", d.header.Scale[0], d.header.Scale[1], thin.Cell)
	}
	d.keeper = &thinner{cells: c, rule: thin.Keep, best: bestOf{cells: map[uint64]record{}}}
	return nil
}

// most is how many points may be kept.
func (d *decoder) most() int {
	if d.opts.MaxPoints > 0 {
		return min(d.opts.MaxPoints, math.MaxInt32)
	}
	return math.MaxInt32
}

// fewerPoints says of a file cut short how many points it has.
func (d *decoder) fewerPoints(err error, have int64) error {
	if !isTruncated(err) {
		return err
	}
	return d.fail("truncated", cutShort, "its header counts %d points, but it ends after %d", d.header.Points, have)
}

// block takes the points of a block of whole records, done of them before it.
func (d *decoder) block(b []byte, done int64) {
	length, extended := d.header.RecordLength, d.header.Format >= firstExtended
	low, high := d.low, d.high
	counts := &d.file.Counts
	for number := done + 1; len(b) >= length; number++ {
		p := b[:20]
		b = b[length:]
		r := record{at: [3]int32{
			int32(binary.LittleEndian.Uint32(p)),
			int32(binary.LittleEndian.Uint32(p[4:])),
			int32(binary.LittleEndian.Uint32(p[8:])),
		}}
		var withheld, overlap bool
		if flags := p[15]; extended {
			r.class, withheld, overlap = p[16], flags&4 != 0, flags&8 != 0
		} else {
			r.class, withheld = flags&31, flags&128 != 0
		}
		for i, v := range r.at {
			low[i], high[i] = min(low[i], v), max(high[i], v)
		}
		d.counts[r.class]++
		switch {
		case !d.wanted[r.class]:
			counts.OtherClass++
		case withheld:
			counts.Withheld++
		case overlap && !d.opts.Overlap:
			counts.Overlap++
		case d.opts.Within != nil && !d.within(r):
			counts.Outside++
		default:
			d.keeper.keep(r, lineOf(number))
		}
	}
	d.low, d.high = low, high
}

// lineOf is the Line of the point of a number, from 1; 0 if it does not fit.
func lineOf(number int64) int32 {
	if number > math.MaxInt32 {
		return 0
	}
	return int32(number)
}

// within reports whether a point lies in the box that is wanted.
func (d *decoder) within(r record) bool {
	e, n := d.axes[0].at(r.at[0]), d.axes[1].at(r.at[1])
	box := d.opts.Within
	return box.Min[0] <= e && e <= box.Max[0] && box.Min[1] <= n && n <= box.Max[1]
}

// take makes the points that were kept.
func (d *decoder) take() error {
	var classCodes [256]string
	points := make([]tin.Point, 0, d.keeper.kept())
	err := d.keeper.each(func(r record, line int32) error {
		if err := d.stopped(len(points)); err != nil {
			return err
		}
		p := tin.Point{E: d.axes[0].at(r.at[0]), N: d.axes[1].at(r.at[1]), Level: d.axes[2].at(r.at[2]), Line: line}
		if !(max(math.Abs(p.E), math.Abs(p.N), math.Abs(p.Level)) <= maxCoordinate) {
			return d.fail("out_of_range", exportAgain, "a point at %v, %v, %v is beyond %.0f", p.E, p.N, p.Level, float64(maxCoordinate))
		}
		if classCodes[r.class] == "" {
			classCodes[r.class] = fmt.Sprintf("class %d", r.class)
		}
		p.Code = classCodes[r.class]
		points = append(points, p)
		return nil
	})
	d.file.Points = points
	return err
}

// all keeps every point, in parts of one size, so that none is ever moved.
type all struct {
	parts []*part
	count int
}

// part is a number of points, field by field: no byte is lost between them.
type part struct {
	at      [partSize][3]int32
	lines   [partSize]int32
	classes [partSize]uint8
}

const partSize = 1 << 16

func (a *all) keep(r record, line int32) {
	i := a.count % partSize
	if i == 0 {
		a.parts = append(a.parts, new(part))
	}
	p := a.parts[len(a.parts)-1]
	p.at[i], p.lines[i], p.classes[i] = r.at, line, r.class
	a.count++
}

func (a *all) kept() int { return a.count }

func (a *all) each(f func(record, int32) error) error {
	for k, p := range a.parts {
		for i := range min(partSize, a.count-k*partSize) {
			if err := f(record{p.at[i], p.classes[i]}, p.lines[i]); err != nil {
				return err
			}
		}
		a.parts[k] = nil // no longer needed
	}
	return nil
}

// counted makes the counts of the file.
func (d *decoder) counted() {
	c := &d.file.Counts
	c.Points = d.header.Points
	c.Kept = int64(d.keeper.kept())
	c.Thinned = c.Points - c.Kept - c.OtherClass - c.Withheld - c.Overlap - c.Outside
	for class, n := range d.counts {
		if n > 0 {
			c.Classes = append(c.Classes, ClassCount{uint8(class), className(d.header.Format, uint8(class)), n})
		}
	}
	c.Classes = slices.Clip(c.Classes)
}
