package setout

import (
	"fmt"

	"barrow/tin"
)

// Book is a level book: one line of levelling, from a benchmark on, as booked. All
// its lengths are in Unit.
type Book struct {
	Name   string   // file name used in messages; may be empty
	Unit   tin.Unit // of readings, levels and distances
	Places int      // decimals of readings and known levels
	Rows   []Row
	Notes  []Finding // what was assumed in reading it
}

// Row is one line of a book: one place of the staff. The first row has a backsight,
// the last a foresight, a change point both, any other an intermediate sight. A
// negative reading is that of an inverted staff, held with its foot against something
// above the line of sight.
type Row struct {
	Line  int // in the file, from 1; 0 if unknown
	Point string

	Backsight, Intermediate, Foresight Entry

	Distance Entry // levelled from the first row to here; read at the ends of set-ups
	Known    Entry // level of a benchmark

	Placed bool    // E and N are given
	E, N   float64 // easting and northing

	Code, Remark string

	Booked Booked
}

// Booked is what the book itself says of a row. What is given is held against the
// readings.
type Booked struct {
	Rise, Fall, Collimation, Reduced Entry
}

// Finding is a warning or a note about a line of the book.
type Finding struct {
	tin.Problem
	Line int // 0: about the whole book
}

// reading returns the sight that gives the row its level: foresight or intermediate.
func (r *Row) reading() Decimal {
	if r.Foresight.Given {
		return r.Foresight.Value
	}
	return r.Intermediate.Value
}

// ahead returns the sight from which the next row rises or falls.
func (r *Row) ahead() Decimal {
	if r.Backsight.Given {
		return r.Backsight.Value
	}
	return r.Intermediate.Value
}

// turns reports whether the row is an end of set-ups: what is between two sights here
// carries on to all later rows.
func (r *Row) turns() bool { return !r.Intermediate.Given }

// where names a row in messages.
func (r *Row) where() string {
	switch {
	case r.Point == "":
		return fmt.Sprintf("line %d", r.Line)
	case r.Line == 0:
		return r.Point
	}
	return fmt.Sprintf("line %d, %s", r.Line, r.Point)
}

// fail makes an error about a row.
func (b *Book) fail(row *Row, code string, message, hint string) *tin.InputError {
	if row.Point != "" {
		message = row.Point + ": " + message
	}
	return &tin.InputError{Code: code, File: b.Name, Line: row.Line, Message: message, Hint: hint}
}

// text writes a length of the book with its unit.
func (b *Book) text(d Decimal) string { return d.Text(b.Places) + " " + b.Unit.String() }

// check looks whether the rows are those of one line of levelling.
func (b *Book) check() error {
	if len(b.Rows) < 2 {
		return &tin.InputError{Code: "book_short", File: b.Name, Message: fmt.Sprintf("%d lines with readings", len(b.Rows)),
			Hint: "a level book has a backsight on a known level and at least one foresight"}
	}
	if len(b.Rows) > maxRows {
		return &tin.InputError{Code: "too_large", File: b.Name, Message: fmt.Sprintf("the book has %d rows", len(b.Rows)),
			Hint: fmt.Sprintf("at most %d are read: split it at a benchmark", maxRows)}
	}
	for i := range b.Rows {
		if err := b.checkValues(&b.Rows[i]); err != nil {
			return err
		}
		if err := b.checkSights(i); err != nil {
			return err
		}
	}
	if first := &b.Rows[0]; !first.Known.Given {
		return b.fail(first, "level_missing", "the first row has no known level", "give the level of the benchmark in the column level")
	}
	return nil
}

// checkSights looks which sights a row has, by where it stands in the book.
func (b *Book) checkSights(i int) error {
	r := &b.Rows[i]
	first, last := i == 0, i == len(b.Rows)-1
	back, between, fore := r.Backsight.Given, r.Intermediate.Given, r.Foresight.Given
	switch {
	case !back && !between && !fore:
		return b.fail(r, "reading_missing", "the row has no reading", "fill it in, or make the line a comment with #")
	case first && (!back || between || fore):
		return b.fail(r, "backsight_missing", "the first row must have a backsight, and nothing else",
			"a book begins with the sight back to a benchmark")
	case between && (back || fore):
		return b.fail(r, "readings_clash", "an intermediate sight stands beside a backsight or foresight",
			"a change point has a foresight and a backsight; an intermediate sight stands alone")
	case !first && back && !fore:
		return b.fail(r, "foresight_missing", "a backsight without a foresight: the set-up before has no last sight",
			"the last sight of each set-up is a foresight; on a change point it stands beside the next backsight")
	case last && back:
		return b.fail(r, "foresight_missing", "the book ends with a backsight: the set-up begun here has no foresight",
			"add its foresight, or take the backsight out")
	case last && !fore:
		return b.fail(r, "foresight_missing", "the book ends with an intermediate sight: its last set-up has no foresight",
			"the last sight of each set-up is a foresight")
	case !last && fore && !back:
		return b.fail(r, "backsight_missing", "a foresight without a backsight, and the book goes on",
			"a change point has both in one row")
	}
	return nil
}

// checkValues holds the numbers of a row against what keeps sums from overflowing.
func (b *Book) checkValues(r *Row) error {
	for _, e := range []struct {
		what  string
		entry Entry
		most  Decimal
	}{
		{"backsight", r.Backsight, maxReading}, {"intermediate", r.Intermediate, maxReading}, {"foresight", r.Foresight, maxReading},
		{"rise", r.Booked.Rise, maxReading}, {"fall", r.Booked.Fall, maxReading}, {"level", r.Known, maxLevel},
		{"collimation", r.Booked.Collimation, maxLevel}, {"reduced", r.Booked.Reduced, maxLevel}, {"distance", r.Distance, greatest},
	} {
		if e.entry.Given && e.entry.Value.abs() > e.most {
			return b.fail(r, "bad_number", fmt.Sprintf("%s %s is beyond %s", e.what, e.entry.Value, e.most),
				"write it in the unit of the book, metres or feet")
		}
	}
	return nil
}

// Limits of a book. With them the greatest sum, of the levels of all rows, stays
// below 6e18 millionths.
const (
	maxRows    = 50_000
	maxReading = 1_000 * millionths // no staff is so long
	maxLevel   = 100_000 * millionths
)
