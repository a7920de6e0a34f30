package report

import (
	"fmt"
	"io"
	"strings"

	"barrow/tin"
	"barrow/tin/pointfile"
)

// PointsDoubts is how many lines of a point file [Points] has put before a
// person: spots that look wrong, and spots at one place with different levels.
func PointsDoubts(d *pointfile.Description) int {
	n := len(d.Suspects)
	for _, p := range d.Duplicates {
		if !p.SameLevel {
			n++
		}
	}
	return n
}

// mostListed keeps the sheet of a bad file readable; the JSON has all.
const mostListed = 20

// Points writes what is in a point file, in lines of at most 80 characters.
// Numbers are in the unit of the file, which a point file does not name.
func Points(w io.Writer, f *pointfile.File, d *pointfile.Description) error {
	var s sheet
	s.put("", f.Name)
	item := func(subject, format string, args ...any) {
		s.put(fmt.Sprintf("  %-11s", subject), fmt.Sprintf(format, args...))
	}
	header := "as stated"
	if f.Header {
		header = "from the header"
	}
	item("points", "%d, of them %d without a level", d.Points, d.PlanOnly)
	item("lines", "%d, of them %d blank and %d comments", f.Lines, f.Blank, f.Comments)
	item("columns", "%s (%s; separated by %s)", strings.Join(f.Columns, ", "), header, f.Separator)
	if d.Points > 0 {
		e, n := d.Extent, d.Extent
		item("easting", "%s to %s, %s east to west", fixed(e.Min[0], 3), fixed(e.Max[0], 3), fixed(e.Max[0]-e.Min[0], 3))
		item("northing", "%s to %s, %s north to south", fixed(n.Min[1], 3), fixed(n.Max[1], 3), fixed(n.Max[1]-n.Min[1], 3))
	}
	if l := d.Levels; l.Count > 0 {
		item("level", "%s to %s, mean %s, standard deviation %s", fixed(l.Min, 3), fixed(l.Max, 3), fixed(l.Mean, 3), fixed(l.SD, 3))
	}
	s.described(d)
	item("unit", "a point file names none: all numbers are as in the file")
	s.doubts(d)
	s.listed("NOTES", len(f.Notes), func(i int) string { return f.Notes[i].Message })
	return s.deliver(w)
}

// listed writes a titled list, cut off with a count where it is long.
func (s *sheet) listed(title string, n int, words func(i int) string) {
	if n == 0 {
		return
	}
	s.title(title)
	for i := range min(n, mostListed) {
		s.point(words(i))
	}
	if n > mostListed {
		s.point(fmt.Sprintf("and %d more, all in the JSON", n-mostListed))
	}
}

func duplicate(d pointfile.Duplicate) string {
	what := "levels " + fixed(d.First.Level, 3) + " and " + fixed(d.Second.Level, 3)
	if d.SameLevel {
		what = "the same level " + fixed(d.First.Level, 3)
	}
	return fmt.Sprintf("%s and %s: %s", pointOf(d.First), pointOf(d.Second), what)
}

func pointOf(p tin.Point) string {
	if p.Name == "" {
		return fmt.Sprintf("line %d", p.Line)
	}
	return fmt.Sprintf("line %d, point %s", p.Line, p.Name)
}
