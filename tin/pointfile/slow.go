package pointfile

import (
	"bytes"
	"fmt"
	"math"
	"strings"
	"unicode/utf8"
)

// missing is what may stand for a level that was not taken.
type missing int

const (
	missingColumn missing = iota // the file has no column of levels
	missingEmpty
	missingNaN
	missingStars
	missing999
	missing9999
	missingKinds
)

func (m missing) String() string {
	switch m {
	case missingColumn:
		return "no column"
	case missingEmpty:
		return "empty"
	case missingNaN:
		return "NaN"
	case missingStars:
		return "***"
	case missing999:
		return "-999"
	}
	return "-9999"
}

// missingText returns what a text stands for in place of a level.
func missingText(s []byte) (missing, bool) {
	switch {
	case len(s) == 0:
		return missingEmpty, true
	case len(s) == 3 && strings.EqualFold(string(s), "nan"):
		return missingNaN, true
	case len(bytes.Trim(s, "*")) == 0:
		return missingStars, true
	}
	return 0, false
}

func isMissing(s []byte) bool {
	_, ok := missingText(s)
	return ok
}

// slow reads any line.
func (p *parser) slow(line []byte) error {
	switch {
	case isEmpty(line, p.sep):
		p.file.Blank++
		return nil
	case isComment(line, p.sep):
		p.file.Comments++
		p.comment(line)
		return nil
	}
	var unclosed bool
	p.fields, unclosed = split(p.fields[:0], line, p.sep)
	if p.awaitHeader {
		p.awaitHeader = false
		p.file.Header = true
		return nil
	}
	if err := p.trim(line); err != nil {
		return err
	}
	if err := p.grouped(line); err != nil {
		return err
	}
	if unclosed {
		p.unclosed.add(p.file.Lines)
	}
	var (
		e, n       float64
		z          = math.NaN()
		lack       = missingColumn
		name       = text{line: line}
		kind, desc []byte
		fine       int
	)
	for i, r := range p.roles {
		if i >= len(p.fields) {
			if r == easting || r == northing {
				return p.fail("too_few_fields", line, len(line),
					fmt.Sprintf("the line ends before its %s: it has %d fields, and the columns are %s",
						r, len(p.fields), strings.Join(p.file.Columns, ", ")),
					"complete the line, or put # before it to leave it out")
			}
			if r == level {
				lack = missingEmpty
			}
			continue
		}
		f := p.fields[i]
		switch r {
		case easting, northing, level:
			if r == level {
				if m, ok := missingText(f.text); ok {
					lack = m
					continue
				}
			}
			v, decimals, err := p.number(line, f, r)
			if err != nil {
				return err
			}
			switch {
			case r == easting:
				e = v
			case r == northing:
				n = v
			case v == -999:
				lack = missing999
			case v == -9999:
				lack = missing9999
			default:
				z = v
			}
			if r != level && decimals >= 5 {
				fine++
			}
		case number:
			name.text, name.at = p.utf8(f.text), f.start
		case code:
			kind = p.utf8(f.text)
		case description:
			desc = p.utf8(f.text)
		}
	}
	if fine == 2 {
		p.fine++
	}
	if math.IsNaN(z) {
		p.noLevel[lack].add(p.file.Lines)
	}
	return p.add(e, n, z, name, p.textOf(kind, desc))
}

// trim drops empty fields after the last column, and joins what is then still
// too many into a text in the last column: descriptions hold separators.
func (p *parser) trim(line []byte) error {
	want := len(p.roles)
	for len(p.fields) > want && len(p.fields[len(p.fields)-1].text) == 0 && !p.fields[len(p.fields)-1].quoted {
		p.fields = p.fields[:len(p.fields)-1]
	}
	if len(p.fields) <= want {
		return nil
	}
	last, over := p.fields[want-1], p.fields[want]
	if r := p.roles[want-1]; r.coordinate() || r == number {
		return p.fail("too_many_fields", line, over.start,
			fmt.Sprintf("the line has %d fields, and the columns are %s", len(p.fields), strings.Join(p.file.Columns, ", ")),
			"name every column (ignored, for one not to be read); a text with separators must be the last column or in quotes; "+
				"a decimal comma needs another separator")
	}
	if p.shifted() {
		return p.fail("shifted_fields", line, last.start,
			fmt.Sprintf("the line has more numbers than its columns (%s): digits in groups, or a decimal comma beside the separator %s?",
				strings.Join(p.file.Columns, ", "), p.file.Separator),
			"write numbers as 500000.12; put a text that begins with a number in quotes")
	}
	end := p.fields[len(p.fields)-1].end
	p.fields = p.fields[:want]
	p.fields[want-1] = field{text: line[last.start:end], start: last.start, end: end}
	if p.sep != blanks {
		p.joined.add(p.file.Lines)
	}
	return nil
}

// shifted reports whether numbers seem to have been torn apart by the commas
// that separate, so that fields do not stand where they should: the text that
// runs over several fields begins with a number. For blanks see grouped.
func (p *parser) shifted() bool {
	last := p.fields[len(p.roles)-1]
	_, isNumber := formOf(last.text)
	return p.sep == ',' && isNumber && !last.quoted
}

// number reads a coordinate or a level.
func (p *parser) number(line []byte, f field, r role) (v float64, decimals int, err error) {
	how, ok := formOf(f.text)
	if !ok {
		return 0, 0, p.notNumber(line, f, r)
	}
	if how.mark != 0 {
		if p.mark == 0 {
			p.setMark(how.mark)
		}
		if p.mark != how.mark {
			return 0, 0, p.fail("mixed_decimal_marks", line, f.start,
				fmt.Sprintf("%s %q has the decimal mark %q, but line %d has %q", r, f.text, how.mark, p.markLine, p.mark),
				"use one decimal mark in the whole file, and no grouping of digits")
		}
	}
	if how.mark == ',' && !p.commaOnly {
		if how.fitsCommaOnly() {
			p.commaOnly = true
		} else if p.commaAt == nil {
			p.commaAt = p.fail("ambiguous_comma", line, f.start,
				fmt.Sprintf("%s %q may be a decimal comma or a group of digits, and no number in the file tells which", r, f.text),
				"write the numbers with a decimal point")
		}
	}
	if v = slowDecimal(f.text, how); !(math.Abs(v) <= maxCoordinate) {
		return 0, 0, p.fail("out_of_range", line, f.start,
			fmt.Sprintf("%s %q is beyond %.0f", r, f.text, float64(maxCoordinate)), "correct it, or put # before the line to leave it out")
	}
	return v, how.decimals, nil
}

func (p *parser) setMark(mark byte) { p.mark, p.markLine = mark, p.file.Lines }

// notNumber says what is wrong with a number.
func (p *parser) notNumber(line []byte, f field, r role) error {
	const leaveOut = "correct it, or put # before the line to leave it out"
	text := strings.ToValidUTF8(string(f.text), "?")
	if isMissing(f.text) {
		return p.fail("missing_coordinate", line, f.start, fmt.Sprintf("%s is missing (%q)", r, text),
			"a point needs easting and northing: give it, or put # before the line to leave it out")
	}
	if bare, grouped := ungroup(text); grouped {
		if _, ok := formOf([]byte(bare)); ok {
			return p.fail("digit_grouping", line, f.start, fmt.Sprintf("the digits of %s %q are in groups", r, text),
				"write it without spaces, apostrophes or commas between the digits")
		}
	}
	if len(p.file.Points) == 0 && p.file.Header && isWord(f.text) && !p.anyNumber() {
		return p.fail("bad_number", line, f.start, fmt.Sprintf("%s %q is not a number", r, text),
			"only one header line is read: put # before any further one")
	}
	return p.fail("bad_number", line, f.start, fmt.Sprintf("%s %q is not a number", r, text), leaveOut)
}

// anyNumber reports whether a coordinate of the line in hand is a number: then
// the line is no second header.
func (p *parser) anyNumber() bool {
	for i, r := range p.roles[:min(len(p.roles), len(p.fields))] {
		if _, ok := formOf(p.fields[i].text); ok && r.coordinate() {
			return true
		}
	}
	return false
}

// ungroup takes out what groups digits: spaces of all kinds, apostrophes, and
// commas or points where there are several marks.
func ungroup(s string) (bare string, grouped bool) {
	marks := strings.Count(s, ",") + strings.Count(s, ".")
	last := strings.LastIndexAny(s, ",.")
	var b strings.Builder
	for i, c := range s {
		switch {
		case strings.ContainsRune(" '\u2019\u00a0\u2009\u202f", c), (c == ',' || c == '.') && marks > 1 && i != last:
			grouped = true
		default:
			b.WriteRune(c)
		}
	}
	return b.String(), grouped
}

// comment counts comments that hold a point, so that one named #1 is missed by
// someone.
func (p *parser) comment(line []byte) {
	p.fields, _ = split(p.fields[:0], bytes.TrimLeft(line, "#/; \t"), p.sep)
	if len(p.fields) < min(3, len(p.roles)) {
		return
	}
	for i, r := range p.roles {
		if r != easting && r != northing {
			continue
		}
		if i >= len(p.fields) {
			return
		}
		if _, ok := formOf(p.fields[i].text); !ok {
			return
		}
	}
	p.commented.add(p.file.Lines)
}

// utf8 returns a text as UTF-8. One that is not is taken for ISO 8859-1, where
// every byte is the character of the same number.
func (p *parser) utf8(s []byte) []byte {
	if p.lines.ascii || utf8.Valid(s) {
		return s
	}
	p.latin.add(p.file.Lines)
	var out []byte
	for _, c := range s {
		out = utf8.AppendRune(out, rune(c))
	}
	return out
}
