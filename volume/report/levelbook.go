package report

import (
	"fmt"
	"io"
	"strconv"

	"barrow/tin"
	"barrow/tin/setout"
	"barrow/volume/takeoff"
)

// LevelBook writes a reduced level book as a sheet: both methods side by side, the
// arithmetic checks, the misclosures, the corrected levels, staff readings to a
// formation, and what must be cleared up. Every figure of the book has all its
// decimals. Lines have at most 80 characters, but for books of many digits.
func LevelBook(w io.Writer, r *setout.Reduction) error {
	t := levelBook{r: r, places: r.Book.Places, unit: r.Book.Unit.String()}
	t.head()
	t.methods()
	t.checks()
	t.closures()
	t.corrected()
	t.formation()
	t.findings("WARNINGS", r.Warnings)
	t.findings("NOTES", r.Notes)
	t.points()
	t.cameAbout()
	return t.deliver(w)
}

// levelBook is the sheet of a level book in the making.
type levelBook struct {
	sheet
	r      *setout.Reduction
	places int
	unit   string
}

func (t *levelBook) head() {
	name := t.r.Book.Name
	if name == "" {
		name = "(book in memory)"
	}
	t.put("", name)
	t.put("", fmt.Sprintf("Level book, barrow %s. Readings, levels and lengths in %s.", takeoff.Version, t.unit))
	if n := len(t.r.Warnings); n > 0 {
		t.put("", fmt.Sprintf("READ THE %s ON THIS SHEET BEFORE USING ITS LEVELS.", countOf(n, "WARNING", "WARNINGS")))
	}
}

func (t *levelBook) text(d setout.Decimal) string { return d.Text(t.places) }

func (t *levelBook) entry(e setout.Entry) string {
	if !e.Given {
		return ""
	}
	return t.text(e.Value)
}

// methods writes the book with both reductions, and the sums under it.
func (t *levelBook) methods() {
	t.title("THE BOOK BY BOTH METHODS")
	t.put("  ", "BS backsight, IS intermediate sight, FS foresight; a minus is an inverted staff. HC height of collimation, "+
		"and the level by it; then rise or fall from the row before, and the level by these. No correction is in them.")
	rows := [][]string{{"line point", "BS", "IS", "FS", "HC", "level", "rise", "fall", "level"}}
	for i := range t.r.Rows {
		row, out := &t.r.Book.Rows[i], &t.r.Rows[i]
		rows = append(rows, []string{t.label(i), t.entry(row.Backsight), t.entry(row.Intermediate), t.entry(row.Foresight),
			t.entry(out.Collimation), t.text(out.ByCollimation), t.entry(out.Rise), t.entry(out.Fall), t.text(out.ByRiseAndFall)})
	}
	s := &t.r.Sums
	rows = append(rows, []string{"     sums", t.text(s.Backsights), t.text(s.Intermediates), t.text(s.Foresights), "", "",
		t.text(s.Rises), t.text(s.Falls), ""})
	t.table(2, rows)
}

// label names a row in the first column of a table.
func (t *levelBook) label(row int) string {
	return fmt.Sprintf("%4d %s", t.r.Book.Rows[row].Line, t.r.Book.Rows[row].Point)
}

func (t *levelBook) checks() {
	t.title("ARITHMETIC CHECKS")
	for i := range t.r.Checks {
		c := &t.r.Checks[i]
		lead := "  holds  "
		if !c.Holds() {
			lead = "  DOES NOT HOLD  "
		}
		t.put(lead, fmt.Sprintf("%s: %s and %s", c.What, t.text(c.Left), t.text(c.Right)))
	}
	t.put("  ", "They check the arithmetic and not the readings: only a known level checks those.")
}

// closures writes what each known level shows.
func (t *levelBook) closures() {
	t.title("MISCLOSURE")
	if len(t.r.Closures) == 0 {
		t.put("  ", "The book closes on no known level.")
	}
	for i := range t.r.Closures {
		c := &t.r.Closures[i]
		over := countOf(c.SetUps, "set-up", "set-ups")
		if c.Distance.Given {
			over += ", " + c.Distance.Value.String() + " " + t.unit
		}
		what := ""
		if c.Intermediate {
			what = " (an intermediate sight: a check alone)"
		}
		t.put("  ", fmt.Sprintf("%s to %s, %s%s", t.named(c.From), t.named(c.To), over, what))
		t.put("    ", fmt.Sprintf("%s by the book, %s known, misclosure %s", t.text(c.Reduced), t.text(c.Known), t.small(c.Misclosure)))
		t.put("    ", t.allowed(c))
	}
}

// allowed says what came of holding a misclosure against the allowance.
func (t *levelBook) allowed(c *setout.Closure) string {
	if !c.Judged {
		return "not judged: no allowance that goes by its length is stated"
	}
	size, beyond := fixed(c.Allowed, t.places+1)+" "+t.unit, "within"
	if t.unit == "m" {
		size = fixed(c.Allowed*1000, 1) + " mm"
	}
	if !c.Within {
		beyond = "BEYOND"
	}
	return fmt.Sprintf("%s the allowance of %s, %s times the square root of %s", beyond, size, t.small(t.r.Options.Allowance.Constant), rootOf(t.r.Options.Allowance.Per))
}

// rootOf words what an allowance goes by.
func rootOf(r setout.Root) string {
	switch r {
	case setout.PerKilometre:
		return "the kilometres levelled"
	case setout.PerMile:
		return "the miles levelled"
	}
	return "the number of set-ups"
}

// small writes a difference of levels: in millimetres below a metre, in feet as it is.
func (t *levelBook) small(d setout.Decimal) string {
	if t.unit == "m" && max(d, -d) < 1e6 {
		return (1000 * d).String() + " mm"
	}
	return t.text(d) + " " + t.unit
}

// named names a row in a sentence.
func (t *levelBook) named(row int) string {
	r := &t.r.Book.Rows[row]
	if r.Point == "" {
		return fmt.Sprintf("line %d", r.Line)
	}
	return r.Point
}

// corrected writes the levels to use, where they are not those of the book.
func (t *levelBook) corrected() {
	if !t.r.Distributed {
		return
	}
	t.title("CORRECTED LEVELS")
	t.put("  ", "The misclosure is spread over the change points in proportion to "+shareOf(t.r.Options.Allowance.Per)+
		", to the last decimal of the book; intermediate sights take the correction of their set-up.")
	rows := [][]string{{"line point", "set-up", "distance", "by the book", "correction", "level"}}
	for i := range t.r.Rows {
		out, distance := &t.r.Rows[i], ""
		if d := t.r.Book.Rows[i].Distance; d.Given {
			distance = d.Value.String()
		}
		rows = append(rows, []string{t.label(i), strconv.Itoa(out.SetUp + 1), distance, t.text(out.ByCollimation), t.text(out.Correction), t.text(out.Level)})
	}
	t.table(2, rows)
}

func shareOf(r setout.Root) string {
	if r == setout.PerSetUp {
		return "the number of set-ups"
	}
	return "the distance levelled"
}

// formation writes what the staff must read on the level to dig to, and the depths.
func (t *levelBook) formation() {
	f := t.r.Options.Formation
	if !f.Given {
		return
	}
	t.title("STAFF READING TO FORMATION " + t.text(f.Value) + " " + t.unit)
	rows := [][]string{{"set-up, level set up after", "HC", "correction", "staff reading"}}
	for i := range t.r.SetUps {
		s := &t.r.SetUps[i]
		rows = append(rows, []string{fmt.Sprintf("%d, %s", i+1, t.named(s.Row)), t.text(s.Collimation), t.text(t.r.Rows[s.Row].Correction), t.text(s.ToFormation.Value)})
	}
	t.table(2, rows)
	t.put("  ", "A reading below 0 is that of an inverted staff. Depths to formation from where the staff stood upright:")
	rows = [][]string{{"line point", "level", "cut", "fill"}}
	for i := range t.r.Rows {
		out, cut, fill := &t.r.Rows[i], "", ""
		switch d := out.Cut.Value; {
		case !out.Cut.Given:
			continue
		case d >= 0:
			cut = t.text(d)
		default:
			fill = t.text(-d)
		}
		rows = append(rows, []string{t.label(i), t.text(out.Level), cut, fill})
	}
	t.table(2, rows)
}

func (t *levelBook) findings(title string, list []setout.Finding) {
	if len(list) == 0 {
		return
	}
	t.title(title)
	for _, f := range list {
		t.point(f.Message)
	}
}

// points says which rows become points of a survey.
func (t *levelBook) points() {
	points, left := t.r.Points()
	t.title("POINTS FOR A SURVEY")
	switch {
	case !t.r.Sound():
		t.put("  ", "None are given out before the warnings are cleared up.")
		return
	case len(points) == 0:
		t.put("  ", "None: no row that could be ground has an easting and a northing.")
		return
	}
	t.put("  ", fmt.Sprintf("%s, %s.", countOf(len(points), "row has an easting and a northing", "rows have an easting and a northing"), t.whichLevels()))
	for _, l := range []struct {
		n    int
		what string
	}{{left.Unplaced, "without easting and northing"}, {left.Inverted, "with an inverted staff, which is not ground"}, {left.Again, "a point of an earlier row again"}} {
		if l.n > 0 {
			t.put("  ", fmt.Sprintf("Left out: %s %s.", countOf(l.n, "row", "rows"), l.what))
		}
	}
}

func (t *levelBook) whichLevels() string {
	if t.r.Distributed {
		return "with corrected levels"
	}
	return "with levels as the book gives them, uncorrected"
}

func (t *levelBook) cameAbout() {
	t.title("HOW THE FIGURES CAME ABOUT")
	t.put("  ", "By collimation: HC is level plus backsight, a level is HC less the reading. By rise and fall: a reading less than the "+
		"one before is a rise by their difference. All sums are exact decimals.")
	staff := "No staff length is stated: readings are not held against one."
	if s := t.r.Options.Staff; s.Given {
		staff = "Readings are held against a staff of " + t.text(s.Value) + " " + t.unit + "."
	}
	t.put("  ", staff+" None is corrected for the level's line of sight, curvature or refraction: equal lengths of back and fore sight "+
		"take these out on change points, not on intermediate sights.")
	if t.r.Book.Unit == tin.SurveyFoot {
		t.put("  ", "The foot is the US survey foot, 1200/3937 m.")
	}
}
