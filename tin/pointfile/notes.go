package pointfile

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"barrow/tin"
)

// notes says what was assumed, left out or looks odd.
func (p *parser) notes(equal []sameName) []tin.Problem {
	var out []tin.Problem
	note := func(code, format string, args ...any) {
		out = append(out, tin.Problem{Code: code, Message: fmt.Sprintf(format, args...)})
	}
	f := p.file
	counted := func(code string, t tally, what string) {
		if t.count > 0 {
			note(code, "%s (%s, the first in line %d)", what, times(t.count, "line"), t.line)
		}
	}
	if p.lines.bom {
		note("byte_order_mark", "the file begins with a byte order mark, which was skipped")
	}
	if ends := count(p.lf > 0, p.crlf > 0, p.cr > 0); ends > 1 {
		note("mixed_line_ends", "lines end in different ways: LF %d, CRLF %d, CR %d", p.lf, p.crlf, p.cr)
	}
	counted("end_mark", p.endMark, "an end-of-text mark (control-Z) was skipped")
	p.headerNotes(note)
	if f.DecimalComma {
		note("decimal_comma", "numbers are read with a decimal comma")
	}
	p.levelNotes(note)
	if len(equal) > 0 {
		a, b := f.Points[equal[0].first], f.Points[equal[0].point]
		note("repeated_name", "%s given again with the same coordinates, the first %q in lines %d and %d",
			times(len(equal), "name"), a.Name, a.Line, b.Line)
	}
	counted("joined_fields", p.joined, "text over several fields was joined into the last column")
	counted("open_quote", p.unclosed, "a quote that is never closed was kept as text")
	counted("not_utf8", p.latin, "text that is not UTF-8 was read as ISO 8859-1")
	counted("description_not_kept", p.undescribed, "the description beside a code was not kept")
	counted("points_in_comments", p.commented, "comments look like points and were left out")
	if p.likeDegrees() {
		note("like_degrees", "all points lie within 0.02 units and within 180 and 90, with five decimals or more: "+
			"are these longitudes and latitudes? Only plan coordinates give volumes")
	}
	return out
}

// headerNotes says how the header was taken.
func (p *parser) headerNotes(note func(code, format string, args ...any)) {
	if !p.file.Header {
		return
	}
	h := p.heading
	if p.stated > 0 && !h.placed() {
		note("header_not_understood", "the first line with content, %q, was taken for a header; the columns are as stated",
			strings.Join(h.words, ", "))
		return
	}
	if h.xy && p.stated == 0 {
		note("x_is_easting", "the header says x and y: x was taken for easting, y for northing")
	}
	if len(h.units) > 0 {
		p.file.Units = h.units
		note("header_units", "the header gives units (%s), which were not used: the coordinates are as in the file", strings.Join(h.units, ", "))
	}
	unread := h.unread
	if p.stated > 0 { // what is stated is known; what comes after it is not read
		unread = slices.DeleteFunc(slices.Clone(h.words[min(p.stated, len(h.words)):]), func(w string) bool { return w == "" })
	}
	if len(unread) > 0 {
		note("columns_not_read", "columns not read: %s", strings.Join(unread, ", "))
	}
}

// levelNotes says which points have no level, and whether zeros may be such.
func (p *parser) levelNotes(note func(code, format string, args ...any)) {
	total, line := 0, 0
	var kinds []string
	for m, t := range p.noLevel {
		if t.count == 0 {
			continue
		}
		total += t.count
		if line == 0 || t.line < line {
			line = t.line
		}
		kinds = append(kinds, fmt.Sprintf("%s %d", missing(m), t.count))
	}
	switch {
	case p.noLevel[missingColumn].count > 0:
		note("plan_only", "the file has no column of levels: %s, plan only", times(total, "point"))
	case total > 0:
		note("plan_only", "%s without a level, plan only (%s), the first in line %d",
			times(total, "point"), strings.Join(kinds, ", "), line)
	}
	if zeros := zeroLevels(p.file.Points); zeros.count > 0 {
		note("zero_level", "the level of %s is 0, far from all others, and was kept as read, the first in line %d: is it missing?",
			times(zeros.count, "point"), zeros.line)
	}
}

// zeroLevels counts levels of 0 where 0 is out of place: farther from the
// middle nine tenths of the other levels than those are wide, and by 1 unit at
// least. The spread is taken from a sample of about 4096 of them.
func zeroLevels(points []tin.Point) tally {
	var zeros tally
	others := 0
	for _, p := range points {
		if p.Level == 0 {
			zeros.add(int(p.Line))
		} else if p.HasLevel() {
			others++
		}
	}
	if zeros.count == 0 || others < 3 {
		return tally{}
	}
	step := 1 + others/4096
	var sample []float64
	k := 0
	for _, p := range points {
		if p.Level == 0 || !p.HasLevel() {
			continue
		}
		if k%step == 0 {
			sample = append(sample, p.Level)
		}
		k++
	}
	slices.Sort(sample)
	low, high := sample[len(sample)/20], sample[len(sample)-1-len(sample)/20]
	if gap := max(low, -high); gap < 1 || gap <= high-low {
		return tally{}
	}
	return zeros
}

// likeDegrees reports whether the points look like longitudes and latitudes of
// one site, in either order. A small local grid is not: its numbers are not so
// close together with so many decimals.
func (p *parser) likeDegrees() bool {
	points := p.file.Points
	if 2*p.fine < len(points) || len(points) < 2 {
		return false
	}
	minE, maxE := math.Inf(1), math.Inf(-1)
	minN, maxN := minE, maxE
	for _, q := range points {
		if math.Abs(q.E) > 180 || math.Abs(q.N) > 180 || math.Abs(q.E) > 90 && math.Abs(q.N) > 90 {
			return false
		}
		minE, maxE = min(minE, q.E), max(maxE, q.E)
		minN, maxN = min(minN, q.N), max(maxN, q.N)
	}
	return maxE-minE < 0.02 && maxN-minN < 0.02
}

func count(facts ...bool) int {
	n := 0
	for _, f := range facts {
		if f {
			n++
		}
	}
	return n
}

// times writes a number of things.
func times(n int, thing string) string {
	if n == 1 {
		return "1 " + thing
	}
	return fmt.Sprintf("%d %ss", n, thing)
}
