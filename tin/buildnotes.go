package tin

import (
	"fmt"
	"path"
	"strings"

	"github.com/paulmach/orb"
)

// note adds a note about an input.
func (b *builder) note(code string, input int32, format string, args ...any) {
	p, _ := b.input(input)
	at := b.frame.Metres(b.place(p))
	b.notes = append(b.notes, Problem{Code: code, Message: fmt.Sprintf(format, args...), At: &at})
}

func (b *builder) noteMerged(m *mergedSpots) {
	if m.equal > 0 {
		b.note("merged", m.equalFirst[0], "%s at the place and level of another merged, the first %s with %s",
			count(m.equal, "spot"), b.describe(m.equalFirst[1]), b.describe(m.equalFirst[0]))
	}
	if m.different > 0 {
		b.note("duplicates", m.differentFirst[0], "%s at the place of another with a different level: the %s was taken, the first %s with %s",
			count(m.different, "spot"), b.opts.Duplicates.rule(), b.describe(m.differentFirst[1]), b.describe(m.differentFirst[0]))
	}
}

func (d Duplicates) rule() string {
	switch d {
	case DuplicatesMean:
		return "mean level"
	case DuplicatesFirst:
		return "first"
	case DuplicatesLast:
		return "last"
	}
	return "none"
}

// describe names an input with its file and line.
func (b *builder) describe(i int32) string {
	p, bl := b.input(i)
	return b.describeIn(p, bl, -1)
}

// describeIn names an input with its line and, if it is of another source than
// the one given, its file.
func (b *builder) describeIn(p *Point, bl *block, source int) string {
	var s strings.Builder
	if bl.line >= 0 {
		s.WriteString(b.lineName(bl))
	} else {
		s.WriteString(pointName(p, false))
	}
	file := b.sources[bl.source].Name
	switch {
	case p.Line == 0 && (file == "" || bl.source == source):
	case p.Line == 0:
		fmt.Fprintf(&s, " (%s)", path.Base(file))
	case file == "" || bl.source == source:
		fmt.Fprintf(&s, " (line %d)", p.Line)
	default:
		fmt.Fprintf(&s, " (%s:%d)", path.Base(file), p.Line)
	}
	return s.String()
}

// lineName names the breakline of a block.
func (b *builder) lineName(bl *block) string {
	if name := b.sources[bl.source].Breaklines[bl.line].Name; name != "" {
		return fmt.Sprintf("breakline %q", name)
	}
	return fmt.Sprintf("breakline %d", bl.line+1)
}

// pointName names a point by its number or, without one, by its place.
func pointName(p *Point, vertex bool) string {
	what := "spot"
	if vertex {
		what = "vertex"
	}
	if p.Name != "" {
		return what + " " + p.Name
	}
	return fmt.Sprintf("%s at %v, %v", what, p.E, p.N)
}

// onlyFile returns the name of the only source, if there is one.
func (b *builder) onlyFile() string {
	if len(b.sources) == 1 {
		return b.sources[0].Name
	}
	return ""
}

// count returns "1 spot", "2 spots", "3 vertices".
func count(n int, what string) string {
	if n != 1 {
		what = strings.TrimSuffix(what, "ex")
		if what == "vert" {
			what += "ice"
		}
		what += "s"
	}
	return fmt.Sprintf("%d %s", n, what)
}

// length writes a length in metres in the unit of the survey.
func (b *builder) length(metres float64) string {
	return fmt.Sprintf("%.3f %s", metres/b.opts.Unit.Metres(), b.opts.Unit)
}

// bound writes one as briefly as it can be, such as a tolerance.
func (b *builder) bound(metres float64) string {
	return fmt.Sprintf("%.4g %s", metres/b.opts.Unit.Metres(), b.opts.Unit)
}

// whereabouts writes a place in metres in the unit of the survey.
func (b *builder) whereabouts(place orb.Point) string {
	u := b.opts.Unit.Metres()
	return fmt.Sprintf("E %.3f N %.3f %s", place[0]/u, place[1]/u, b.opts.Unit)
}
