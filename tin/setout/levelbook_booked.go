package setout

import "fmt"

// checkBooked holds each figure that the book carries against the readings, and names
// the row. Each is held against the booked figures before it, so that one slip is not
// found again in every row after it.
func (r *Reduction) checkBooked() {
	rows := r.Book.Rows
	level := rows[0].Known.Value
	if b := rows[0].Booked.Reduced; b.Given && b.Value != level {
		r.differs(0, "level", b.Value, level, nil)
		level = b.Value
	}
	for i, s := range r.SetUps {
		to := len(rows) - 1
		if i+1 < len(r.SetUps) {
			to = r.SetUps[i+1].Row
		}
		level = r.checkSetUp(s.Row, to, level)
	}
	r.checkSteps()
}

// checkSetUp checks the booked collimation and levels of a set-up, from the row of its
// backsight to that of its foresight. level is that of the first, as booked; that of
// the last is returned.
func (r *Reduction) checkSetUp(from, to int, level Decimal) Decimal {
	rows := r.Book.Rows
	back := rows[from].Backsight.Value
	line := level + back
	booked := rows[from].Booked.Collimation
	if booked.Given {
		if booked.Value != line {
			r.differs(from, "collimation", booked.Value, line, []slip{{row: from, what: "backsight", read: back, want: back + booked.Value - line}})
		}
		if off, n := r.setUpOff(from, to, line); n == 0 || off != 0 {
			line = booked.Value // the levels do not say that it was only written down wrong
		}
	}
	if off, n := r.setUpOff(from, to, line); n > 1 && !booked.Given && off != 0 {
		r.differs(from, "collimation, by the levels that were booked from it,", line+off, line,
			[]slip{{row: from, what: "backsight", read: back, want: back + off}})
		line += off
	}
	last := line - rows[to].reading()
	for i := from + 1; i <= to; i++ {
		b, level := rows[i].Booked.Reduced, line-rows[i].reading()
		if !b.Given || b.Value == level {
			continue
		}
		read := rows[i].reading()
		slips := []slip{{row: i, what: rows[i].what(), read: read, want: read - b.Value + level}}
		if to == from+1 && !booked.Given {
			slips = append(slips, slip{row: from, what: "backsight", read: back, want: back + b.Value - level})
		}
		r.differs(i, "level", b.Value, level, slips)
	}
	if b := rows[to].Booked.Reduced; b.Given {
		last = b.Value
	}
	return last
}

// setUpOff returns by how much the n booked levels of a set-up are above its line of
// sight less the readings; n is 0 where that is not one figure for all of them.
func (r *Reduction) setUpOff(from, to int, line Decimal) (off Decimal, n int) {
	for i := from + 1; i <= to; i++ {
		row := &r.Book.Rows[i]
		if !row.Booked.Reduced.Given {
			continue
		}
		d := row.Booked.Reduced.Value - line + row.reading()
		if n > 0 && d != off {
			return 0, 0
		}
		off = d
		n++
	}
	return off, n
}

// checkSteps checks booked rises and falls, where the book has a column for them; an
// empty field counts as no rise and no fall.
func (r *Reduction) checkSteps() {
	rows := r.Book.Rows
	any := false
	off := make([]Decimal, len(rows)+1) // booked less read
	for i := 1; i < len(rows); i++ {
		b := &rows[i].Booked
		any = any || b.Rise.Given || b.Fall.Given
		off[i] = b.Rise.Value - b.Fall.Value - (rows[i-1].ahead() - rows[i].reading())
	}
	for i := 1; any && i < len(rows); i++ {
		if off[i] == 0 {
			continue
		}
		read := rows[i].reading()
		before := rows[i-1].ahead()
		slips := []slip{{row: i, what: rows[i].what(), read: read, want: read - off[i]}}
		what := "step from the row before"
		if rows[i].Intermediate.Given && off[i+1] == -off[i] {
			what = "step from the row before, and back to the row after,"
			off[i+1] = 0
		} else {
			slips = append(slips, slip{row: i - 1, what: rows[i-1].aheadWhat(), read: before, want: before + off[i]})
		}
		r.differs(i, what, before-read+off[i], before-read, slips)
	}
}

// aheadWhat is the word for the sight from which the next row rises or falls.
func (r *Row) aheadWhat() string {
	if r.Backsight.Given {
		return "backsight"
	}
	return "intermediate sight"
}

// differs warns of a booked figure that the readings do not give.
func (r *Reduction) differs(row int, what string, booked, reduced Decimal, slips []slip) {
	b := r.Book
	r.warn(&b.Rows[row], "booked_differs", fmt.Sprintf("%s %s is booked, and the readings give %s, %s apart: %s",
		what, booked.Text(b.Places), reduced.Text(b.Places), b.text((booked-reduced).abs()), r.explained(booked, reduced, slips)))
}
