package pointfile

import (
	"bytes"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"barrow/tin"
)

const sampleLines = 200 // lines with content that decide on the separator

// sample is a line of the first block.
type sample struct {
	text []byte
	line int
}

// layout is one reading of the file: a separator, and what the columns then
// hold.
type layout struct {
	sep      byte
	roles    []role // nil: not known
	header   bool
	heading  heading
	line     int  // of the heading
	disagree bool // heading and stated order

	fit, of int // coordinates found where the layout wants them, of so many
}

// better compares the shares of coordinates found.
func (l *layout) better(than *layout) bool {
	return than == nil || l.fit*max(than.of, 1) > than.fit*max(l.of, 1)
}

// layOut decides on separator, header and order of columns from the first block
// of the file, and sets the parser up.
func (p *parser) layOut(block []byte, stated []role) error {
	samples := samplesOf(block)
	var best *layout
	for _, sep := range separators() {
		if l := tryLayout(sep, samples, stated); l != nil && l.roles != nil && l.better(best) {
			best = l
		}
	}
	switch {
	case best == nil, best.fit == 0 && best.of > 0 && !best.header:
		return p.noLayout(samples, stated)
	case best.disagree && best.heading.degrees && !best.heading.placed():
		return p.inDegrees(best.line, best.heading)
	case best.disagree:
		return &tin.InputError{
			Code: "columns_disagree", File: p.file.Name, Line: best.line,
			Message: fmt.Sprintf("the header reads %q, but the columns are stated as %q",
				strings.Join(best.heading.words, ", "), strings.Join(columnNames(stated), ", ")),
			Hint: "leave the statement out to follow the header, or correct one of them",
		}
	case best.header && stated == nil && best.heading.twice != "":
		return &tin.InputError{
			Code: "unknown_columns", File: p.file.Name, Line: best.line,
			Message: fmt.Sprintf("the header %q names %s twice", strings.Join(best.heading.words, ", "), best.heading.twice),
			Hint:    `state the columns, with "ignored" for those not to be read`,
		}
	}
	p.sep, p.roles, p.heading = best.sep, best.roles, best.heading
	p.stated = len(stated)
	p.awaitHeader = best.header
	if p.sep == blanks {
		p.numberTexts = p.hasNumberTexts(samples, best.header)
	}
	p.file.Separator = separatorName(best.sep)
	p.file.Columns = columnNames(best.roles)
	return nil
}

// separators in the order in which they are preferred when they fit alike:
// a tab also counts as a blank.
func separators() []byte { return []byte{'\t', ';', ',', blanks} }

// samplesOf returns the first lines of a block that are not blank.
func samplesOf(block []byte) []sample {
	var out []sample
	line := 0
	for len(block) > 0 && len(out) < sampleLines {
		i := bytes.IndexAny(block, "\r\n")
		text := block
		if i < 0 {
			block = nil
		} else {
			text = block[:i]
			if block[i] == '\r' && i+1 < len(block) && block[i+1] == '\n' {
				i++
			}
			block = block[i+1:]
		}
		line++
		text = bytes.Trim(text, "\x1a")
		if len(bytes.Trim(text, " \t")) > 0 {
			out = append(out, sample{text, line})
		}
	}
	return out
}

// tryLayout reads the samples with one separator; nil if nothing is to be read.
func tryLayout(sep byte, samples []sample, stated []role) *layout {
	var l *layout
	var fields []field
	for _, s := range samples {
		if isComment(s.text, sep) || isEmpty(s.text, sep) {
			continue
		}
		fields, _ = split(fields[:0], s.text, sep)
		if l == nil {
			l = &layout{sep: sep, roles: stated, line: s.line}
			l.header, l.heading = headerOf(fields, stated)
			switch {
			case l.header && stated == nil:
				l.roles = l.heading.roles
			case l.header:
				if agreed, ok := l.heading.agree(stated); ok {
					l.roles = agreed
				} else {
					l.disagree = true
				}
			}
			if l.header {
				continue
			}
		}
		l.look(fields)
	}
	return l
}

// headerOf reports whether the first line names the columns. Without a stated
// order it must name easting and northing. With one, it is a header if there
// are words, and no number, where the coordinates should be.
func headerOf(fields []field, stated []role) (bool, heading) {
	h := readHeading(fields)
	if h.placed() || stated == nil {
		return h.placed(), h
	}
	for i, r := range stated {
		plan := r == easting || r == northing
		if i >= len(fields) {
			if plan {
				return false, h
			}
			continue
		}
		_, isNumber := formOf(fields[i].text)
		if isNumber && (r == level || r == number) || plan && !isWord(fields[i].text) {
			return false, h
		}
	}
	return true, h
}

// isWord reports whether s begins with a letter and does not stand for a
// missing number.
func isWord(s []byte) bool {
	r, _ := utf8.DecodeRune(s)
	return (r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= 0x80) && !isMissing(s)
}

// look counts the coordinates of a line that are where the layout wants them.
func (l *layout) look(fields []field) {
	for i, r := range l.roles {
		if !r.coordinate() {
			continue
		}
		l.of++
		if i >= len(fields) {
			continue
		}
		if _, ok := formOf(fields[i].text); ok || r == level && isMissing(fields[i].text) {
			l.fit++
		}
	}
}

// noLayout is the error for a file whose columns cannot be told.
func (p *parser) noLayout(samples []sample, stated []role) error {
	start := slices.IndexFunc(samples, func(s sample) bool { return !isComment(s.text, ',') })
	if start < 0 {
		return p.noPoints()
	}
	head := samples[start]
	if stated != nil {
		return &tin.InputError{
			Code: "columns_misfit", File: p.file.Name, Line: head.line,
			Message: fmt.Sprintf("with columns %q no separator gives numbers for easting and northing; the first lines are %s",
				strings.Join(columnNames(stated), ", "), show(samples)),
			Hint: "state the columns as they stand in the file; the words are " + columnWords,
		}
	}
	numbers := 0
	order := commonOrder
	for _, sep := range separators() {
		fields, _ := split(nil, head.text, sep)
		if h := readHeading(fields); h.degrees {
			return p.inDegrees(head.line, h)
		}
		if n := numbersIn(fields); n > numbers {
			numbers, order = n, orderOf(fields)
		}
	}
	why := "the file has no header, so the order of its columns is not known"
	if numbers == 0 {
		why = "the header does not say which columns are easting and northing"
	}
	return &tin.InputError{
		Code: "unknown_columns", File: p.file.Name, Line: head.line,
		Message: why + "; the first lines are " + show(samples),
		Hint:    p.stateHint(samples[start:], samples[:start], order),
	}
}

func (p *parser) inDegrees(line int, h heading) error {
	return &tin.InputError{
		Code: "degrees", File: p.file.Name, Line: line,
		Message: fmt.Sprintf("the header %q names latitude or longitude, and only plan coordinates can be read",
			strings.Join(h.words, ", ")),
		Hint: "export the points in the grid of the site",
	}
}

func (p *parser) noPoints() error {
	return &tin.InputError{
		Code: "no_points", File: p.file.Name,
		Message: "the file holds no points", Hint: "check that it is the right file",
	}
}

func numbersIn(fields []field) int {
	n := 0
	for _, f := range fields {
		if _, ok := formOf(f.text); ok {
			n++
		}
	}
	return n
}

// orderOf returns an order of columns that would fit a line, as an example.
func orderOf(fields []field) string {
	_, numbered := formOf(fields[0].text)
	switch {
	case len(fields) == 2:
		return "easting, northing"
	case len(fields) == 3 && numbered:
		return "easting, northing, level"
	case len(fields) == 3:
		return "number, easting, northing"
	case len(fields) == 4:
		return "number, easting, northing, level"
	}
	return commonOrder
}

const commonOrder = "number, easting, northing, level, code"

// stateHint says how to mend a file whose columns are not known: by # before a
// title, if a header stands below it, else by stating the columns, in the order
// of a comment that reads like a header, if there is one, else as order has it.
func (p *parser) stateHint(samples, comments []sample, order string) string {
	const most = 20 // lines looked at
	for _, s := range samples[:min(len(samples), most)] {
		if _, ok := headingIn(s.text); ok && !isComment(s.text, ',') {
			return fmt.Sprintf("line %d reads like the header: put # before what stands above it", s.line)
		}
	}
	from := ""
	for _, s := range comments[:min(len(comments), most)] {
		if h, ok := headingIn(bytes.TrimLeft(s.text, "#/; \t")); ok {
			order = strings.Join(columnNames(h.roles), ", ")
			from = fmt.Sprintf(" (so reads the comment in line %d)", s.line)
			break
		}
	}
	state := "state the order of the columns, as " + strconv.Quote(order)
	if p.opts.State != nil {
		state = "state it: " + p.opts.State(order)
	}
	return state + from + "; the words are " + columnWords
}

// headingIn looks for a header in a line, whatever separates it.
func headingIn(text []byte) (h heading, ok bool) {
	for _, sep := range separators() {
		fields, _ := split(nil, text, sep)
		if h = readHeading(fields); h.placed() && h.twice == "" {
			return h, true
		}
	}
	return h, false
}

// show quotes the first three lines.
func show(samples []sample) string {
	var out []string
	for _, s := range samples[:min(len(samples), 3)] {
		out = append(out, fmt.Sprintf("%q", s.show()))
	}
	return strings.Join(out, ", ")
}

// show returns the line, cut to 80 characters.
func (s sample) show() string {
	const most = 80
	text := strings.ToValidUTF8(string(s.text[:min(len(s.text), 4*most)]), "?")
	if utf8.RuneCountInString(text) > most {
		text = string([]rune(text)[:most]) + "..."
	}
	return text
}
