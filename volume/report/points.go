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
	header := "as stated"
	if f.Header {
		header = "from the header"
	}
	s.item("points", fmt.Sprintf("%d, of them %d without a level", d.Points, d.PlanOnly))
	s.item("lines", fmt.Sprintf("%d, of them %d blank and %d comments", f.Lines, f.Blank, f.Comments))
	s.item("columns", fmt.Sprintf("%s (%s; separated by %s)", strings.Join(f.Columns, ", "), header, f.Separator))
	s.described(d)
	s.item("unit", "a point file names none: all numbers are as in the file")
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
