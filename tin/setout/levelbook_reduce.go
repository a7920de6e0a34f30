package setout

import (
	"fmt"
	"slices"
	"strings"

	"barrow/tin"
)

// BookOptions say what a book is held against. The zero value holds it against
// nothing but itself.
type BookOptions struct {
	Allowance Allowance
	Staff     Entry // length of the staff; no reading may be beyond it
	Formation Entry // level to dig to: gives the staff reading to it, and the depth at each row
}

// Reduction is a level book reduced, in the unit of the book. A level is that of the
// staff's foot; of an inverted staff, also the foot, which is up.
type Reduction struct {
	Book     *Book
	Options  BookOptions
	Rows     []Reduced // one a row of the book
	SetUps   []SetUp
	Sums     Sums
	Checks   []Check
	Closures []Closure // on known levels, in the order of the book

	// Distributed tells that the misclosures are within the allowance and were spread
	// over the rows. Else every Correction is 0.
	Distributed bool

	// Warnings are what must be cleared up before the levels are used; Notes are
	// the rest. Both are in the order of lines.
	Warnings, Notes []Finding
}

// Reduced is what comes of one row.
type Reduced struct {
	SetUp int // the set-up its level was read from, from 0; of the first row the one it begins

	Collimation   Entry   // of the set-up that begins here
	ByCollimation Decimal // level by height of collimation
	Rise, Fall    Entry   // from the row before; neither on the first row, Rise of 0 on the level
	ByRiseAndFall Decimal // level by rise and fall

	Correction Decimal // share of the misclosure
	Level      Decimal // reduced level and correction
	Cut        Entry   // level less formation, fill negative; where a formation is given and the staff stood upright
}

// SetUp is one place of the instrument.
type SetUp struct {
	Row         int     // of the backsight
	Collimation Decimal // height of collimation: level of the line of sight, before corrections
	Sights      int     // intermediate sights and the foresight

	// ToFormation is what the staff must read with its foot on formation: height of
	// collimation, with the correction of the set-up, less formation.
	ToFormation Entry
}

// Sums are the columns of the book added up.
type Sums struct {
	Backsights, Intermediates, Foresights, Rises, Falls Decimal
}

// Reduce computes levels by height of collimation and by rise and fall, apart from
// each other, makes the arithmetic checks, and closes on known levels. A point named
// again is known where it was before. A book whose sights do not make one line of
// levelling is a [*tin.InputError] that names the row; what is wrong with the
// figures in a whole line comes back as warnings.
func (b *Book) Reduce(opts BookOptions) (*Reduction, error) {
	if err := b.check(); err != nil {
		return nil, err
	}
	known, err := b.knownLevels()
	if err != nil {
		return nil, err
	}
	if err := b.checkOptions(opts, known); err != nil {
		return nil, err
	}
	r := &Reduction{Book: b, Options: opts, Rows: make([]Reduced, len(b.Rows)), Notes: slices.Clone(b.Notes)}
	r.reduce()
	r.addUp()
	r.check()
	r.checkStaff()
	r.checkDistances()
	r.checkBooked()
	r.close(known)
	r.distribute()
	r.toFormation()
	r.note(known)
	byLine := func(a, b Finding) int { return a.Line - b.Line }
	slices.SortStableFunc(r.Warnings, byLine)
	slices.SortStableFunc(r.Notes, byLine)
	return r, nil
}

// Sound reports whether the levels may be used: no warning but that nobody said what
// the misclosure may be.
func (r *Reduction) Sound() bool {
	return !slices.ContainsFunc(r.Warnings, func(f Finding) bool { return f.Code != codeUnjudged })
}

// knownLevels returns the known level of each row: as given, or by the name of a row
// before it.
func (b *Book) knownLevels() ([]Entry, error) {
	known := make([]Entry, len(b.Rows))
	first := map[string]int{}
	for i := range b.Rows {
		r := &b.Rows[i]
		before, named := first[r.Point]
		named = named && r.Point != ""
		known[i] = r.Known
		switch {
		case named && !r.Known.Given:
			known[i] = b.Rows[before].Known
		case named && r.Known != b.Rows[before].Known:
			return nil, b.fail(r, "levels_differ", fmt.Sprintf("known level %s, and %s in line %d",
				r.Known.Value.Text(b.Places), b.Rows[before].Known.Value.Text(b.Places), b.Rows[before].Line), "a benchmark has one level")
		case r.Known.Given:
			first[r.Point] = i
		}
	}
	return known, nil
}

// reduce walks through the book by either method.
func (r *Reduction) reduce() {
	rows := r.Book.Rows
	for i := range rows {
		out := &r.Rows[i]
		if i == 0 {
			out.ByCollimation, out.ByRiseAndFall = rows[0].Known.Value, rows[0].Known.Value
		} else {
			r.sight(i)
		}
		if rows[i].Backsight.Given {
			out.Collimation = Given(out.ByCollimation + rows[i].Backsight.Value)
			r.SetUps = append(r.SetUps, SetUp{Row: i, Collimation: out.Collimation.Value})
		}
		out.Level = out.ByCollimation
	}
}

// sight reduces a row but the first.
func (r *Reduction) sight(i int) {
	row, out, before := &r.Book.Rows[i], &r.Rows[i], &r.Rows[i-1]
	out.SetUp = len(r.SetUps) - 1
	setUp := &r.SetUps[out.SetUp]
	setUp.Sights++
	out.ByCollimation = setUp.Collimation - row.reading()
	rise := r.Book.Rows[i-1].ahead() - row.reading()
	if rise >= 0 {
		out.Rise = Given(rise)
	} else {
		out.Fall = Given(-rise)
	}
	out.ByRiseAndFall = before.ByRiseAndFall + rise
}

func (r *Reduction) addUp() {
	for i := range r.Rows {
		row := &r.Book.Rows[i]
		r.Sums.Backsights += row.Backsight.Value
		r.Sums.Intermediates += row.Intermediate.Value
		r.Sums.Foresights += row.Foresight.Value
		r.Sums.Rises += r.Rows[i].Rise.Value
		r.Sums.Falls += r.Rows[i].Fall.Value
	}
}

// toFormation gives staff readings to, and depths above, the formation.
func (r *Reduction) toFormation() {
	formation := r.Options.Formation
	if !formation.Given {
		return
	}
	for i := range r.Rows {
		if !r.inverted(i) {
			r.Rows[i].Cut = Given(r.Rows[i].Level - formation.Value)
		}
	}
	for i := range r.SetUps {
		s := &r.SetUps[i]
		s.ToFormation = Given(s.Collimation + r.Rows[s.Row].Correction - formation.Value)
	}
}

// inverted reports whether the level of a row is that of something above the line of
// sight, and so not of ground.
func (r *Reduction) inverted(row int) bool { return row > 0 && r.Book.Rows[row].reading() < 0 }

// checkStaff looks for readings that the staff does not have.
func (r *Reduction) checkStaff() {
	staff := r.Options.Staff
	if !staff.Given {
		return
	}
	for i := range r.Book.Rows {
		row := &r.Book.Rows[i]
		for _, s := range row.sights() {
			if s.entry.Given && s.entry.Value.abs() > staff.Value {
				r.warn(row, "reading_over_staff", fmt.Sprintf("%s %s is over the staff's length of %s",
					s.what, s.entry.Value.Text(r.Book.Places), r.Book.text(staff.Value)))
			}
		}
	}
}

// checkDistances looks for distances less than that of the change point before.
func (r *Reduction) checkDistances() {
	before := Row{}
	for i := range r.Book.Rows {
		row := &r.Book.Rows[i]
		if !row.Distance.Given {
			continue
		}
		if row.Distance.Value < before.Distance.Value {
			r.warn(row, "distance_decreases", fmt.Sprintf("distance %s is less than that of line %d, %s: distances run on from the first row",
				row.Distance.Value, before.Line, before.Distance.Value))
		}
		if row.turns() {
			before = *row
		}
	}
}

// note says what is good to know of the book.
func (r *Reduction) note(known []Entry) {
	var upside []string
	between := 0
	for i := range r.Book.Rows {
		row := &r.Book.Rows[i]
		if row.Intermediate.Given && !row.Booked.any() && !known[i].Given {
			between++
		}
		for _, s := range row.sights() {
			if s.entry.Value < 0 {
				upside = append(upside, row.where())
			}
		}
	}
	if len(upside) > 0 {
		r.Notes = append(r.Notes, Finding{Problem: tin.Problem{Code: "inverted_staff",
			Message: "a minus stands for an inverted staff, whose foot is above the line of sight: " + strings.Join(upside, "; ")}})
	}
	if between > 0 {
		r.Notes = append(r.Notes, Finding{Problem: tin.Problem{Code: "intermediates_unchecked",
			Message: fmt.Sprintf("%d intermediate sights stand in the book once: no misclosure and no sum shows a slip in one", between)}})
	}
	if len(r.Closures) == 0 {
		r.Notes = append(r.Notes, Finding{Problem: tin.Problem{Code: "not_closed",
			Message: "the book closes on no known level: the sums check the arithmetic, and nothing checks the readings"}})
	}
}

func (b *Booked) any() bool {
	return b.Rise.Given || b.Fall.Given || b.Collimation.Given || b.Reduced.Given
}

// warn adds a warning about a row.
func (r *Reduction) warn(row *Row, code string, message string) {
	r.Warnings = append(r.Warnings, Finding{Problem: tin.Problem{Code: code, Message: row.where() + ": " + message}, Line: row.Line})
}

// sight is a reading with the word for it.
type sight struct {
	what  string
	entry Entry
}

// sights returns the sights of a row, given or not.
func (r *Row) sights() [3]sight {
	return [3]sight{{"backsight", r.Backsight}, {"intermediate sight", r.Intermediate}, {"foresight", r.Foresight}}
}
