package asciigrid

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"math"
	"strconv"

	"barrow/tin/raster"
)

// Read reads a grid. The name is used in messages only. The levels may be broken
// into lines anywhere; only their number counts. Bad content is a
// [*tin.InputError] with the line. Levels equal to the header's NODATA_value, or
// written NaN, are none. r is read in blocks; no more is allocated than it holds
// numbers for. A cancelled context ends the reading with its error.
func Read(ctx context.Context, r io.Reader, name string, opts raster.Options) (*raster.Grid, error) {
	s := newScanner(ctx, r, name, opts.MaxBytes)
	if err := s.skipMark(); err != nil {
		return nil, err
	}
	h := header{}
	if err := h.read(s); err != nil {
		return nil, err
	}
	columns, err := h.size(s, keyColumns)
	if err != nil {
		return nil, err
	}
	rows, err := h.size(s, keyRows)
	if err != nil {
		return nil, err
	}
	if err := opts.Fits(name, columns, rows); err != nil {
		return nil, err
	}
	g := &raster.Grid{Name: name, Columns: int(columns), Rows: int(rows)}
	if err := h.place(s, g); err != nil {
		return nil, err
	}
	if g.Levels, err = h.levels(s, g.Columns, g.Rows, opts.Progress); err != nil {
		return nil, err
	}
	g.TurnRows()
	g.DropMarks()
	if err := g.Check(opts); err != nil {
		return nil, err
	}
	return g, nil
}

const (
	maxLevel = 1e9     // as in package tin
	guess    = 1 << 20 // levels to make room for on the header's word
)

// levels reads all levels in the order of the file.
func (h header) levels(s *scanner, columns, rows int, progress func(done, total int64)) ([]float64, error) {
	noData, hasNoData := h[keyNoData]
	total := columns * rows
	levels := make([]float64, 0, min(total, guess))
	odd := oddLine{want: columns}
	for len(levels) < total {
		word, err := s.peek()
		if err != nil {
			return nil, err
		}
		if len(word) == 0 {
			odd.end()
			return nil, s.fail("too_few_levels", s.line, fmt.Sprintf("the file ends after %d levels, and %d rows of %d are %d%s", len(levels), rows, columns, total, odd.text()),
				"it was cut short: copy or export it again")
		}
		v, err := s.level(word)
		if err != nil {
			return nil, err
		}
		s.take()
		odd.count(s.line)
		switch {
		case hasNoData && raster.NoData(v, noData):
			v = math.NaN()
		case math.Abs(v) > maxLevel:
			return nil, s.fail("bad_level", s.line, fmt.Sprintf("the level %v is beyond 1e9", v), "state it as NODATA_value if it stands for no data")
		}
		levels = append(levels, v)
		if progress != nil && (len(levels)%columns == 0) {
			progress(int64(len(levels)), int64(total))
		}
	}
	word, err := s.peek()
	if err != nil {
		return nil, err
	}
	if len(word) > 0 {
		odd.count(s.line)
		odd.end()
		return nil, s.fail("too_many_levels", s.line, fmt.Sprintf("%q follows the last of %d rows of %d levels%s", short(string(word)), rows, columns, odd.text()),
			"correct ncols and nrows, or export the file again")
	}
	return levels, nil
}

// level reads a number.
func (s *scanner) level(word []byte) (float64, error) {
	v, ok := number(word)
	if !ok {
		return 0, s.fail("bad_number", s.line, fmt.Sprintf("%q is no number", short(string(word))), "write levels with a decimal point and no units, between blanks")
	}
	return v, nil
}

// number reads a decimal, or a word for infinity or NaN. One beyond all doubles is
// infinite.
func number(word []byte) (v float64, ok bool) {
	if bytes.IndexByte(word, 'x') >= 0 || bytes.IndexByte(word, 'X') >= 0 {
		return 0, false // a hexadecimal number
	}
	v, err := strconv.ParseFloat(string(word), 64)
	return v, err == nil || math.IsInf(v, 0)
}

// oddLine finds the first line whose number of levels is not the usual one, which
// tells where levels were lost.
type oddLine struct {
	want             int
	line, here       int // the line in hand, and how many levels it has
	oddAt, odd, even int // the first odd line, how many levels it has; lines that are not odd
}

// count counts a level of a line.
func (o *oddLine) count(line int) {
	if line != o.line {
		o.end()
		o.line = line
	}
	o.here++
}

// end ends the line in hand.
func (o *oddLine) end() {
	switch {
	case o.here == 0:
	case o.here == o.want:
		o.even++
	case o.oddAt == 0:
		o.oddAt, o.odd = o.line, o.here
	}
	o.here = 0
}

// text names the odd line where others hold a row each.
func (o *oddLine) text() string {
	if o.oddAt == 0 || o.even == 0 {
		return ""
	}
	return fmt.Sprintf("; the first line that does not hold %d is line %d, with %d", o.want, o.oddAt, o.odd)
}

func short(s string) string {
	const most = 40
	if len(s) > most {
		return s[:most] + "..."
	}
	return s
}
