package pointfile

import (
	"bytes"
	"fmt"
)

// halvesIn looks in a row separated by blanks for a number that a blank between
// its digits may have torn apart: in the column of a coordinate a whole number
// of one to three digits, and next to it three digits, with decimals or not, as
// in 500 000.12. It returns the index of the first half, -1 for none.
func halvesIn(fields []field, roles []role) (first int, second form) {
	for i := 1; i < min(len(fields), len(roles)); i++ {
		l, r := fields[i-1].text, firstWord(fields[i].text)
		if !roles[i-1].coordinate() || fields[i-1].quoted || fields[i].quoted || roles[i-1] == level && string(l) == "-999" {
			continue
		}
		left, okL := formOf(l)
		right, okR := formOf(r)
		whole := okL && left.mark == 0 && left.whole <= 3 && left.lead != '0' && isDigit(l[len(l)-1])
		if whole && okR && right.whole == 3 && isDigit(r[0]) && (right.mark != 0 || roles[i].coordinate()) {
			return i - 1, right
		}
	}
	return -1, form{}
}

// firstWord returns a text up to its first blank.
func firstWord(s []byte) []byte {
	if i := bytes.IndexAny(s, " \t"); i >= 0 {
		return s[:i]
	}
	return s
}

func isDigit(c byte) bool { return '0' <= c && c <= '9' }

// grouped refuses a row separated by blanks in which digits seem to be in
// groups. Two halves may be two coordinates, 500 and 123.12. They are one number
// if the second begins with 0, or if a number is left over where a text belongs:
// with more text behind it, or with decimals, or where no other row has one.
func (p *parser) grouped(line []byte) error {
	if p.sep != blanks {
		return nil
	}
	i, second := halvesIn(p.fields, p.roles)
	if i < 0 || second.lead != '0' && !p.leftOver() {
		return nil
	}
	l, r := p.fields[i], p.fields[i+1]
	return p.fail("digit_grouping", line, l.start,
		fmt.Sprintf("the digits of %s %q seem to be in groups, with a blank between them as between columns", p.roles[i], line[l.start:r.start+len(firstWord(r.text))]),
		"write it without blanks between the digits; if it is two numbers, give the first a decimal point, and put a text that begins with a number in quotes")
}

// leftOver reports whether the text in the last column seems to be a number that
// belongs elsewhere.
func (p *parser) leftOver() bool {
	word, ok := p.lastNumber(p.fields)
	if !ok {
		return false
	}
	how, _ := formOf(word)
	return len(word) < len(p.fields[len(p.roles)-1].text) || how.mark != 0 || !p.numberTexts
}

// lastNumber returns the first word of the text in the last column, and whether
// it is a number.
func (p *parser) lastNumber(fields []field) (word []byte, ok bool) {
	last := len(p.roles) - 1
	if r := p.roles[last]; len(fields) <= last || fields[last].quoted || r.coordinate() || r == number {
		return nil, false
	}
	word = firstWord(fields[last].text)
	_, ok = formOf(word)
	return word, ok
}

// hasNumberTexts reports whether numbers are usual as texts in the last column:
// a row of the sample that has no halves has one, or no row is without halves.
func (p *parser) hasNumberTexts(samples []sample, header bool) bool {
	without := 0
	for _, s := range samples {
		if isComment(s.text, blanks) || isEmpty(s.text, blanks) {
			continue
		}
		fields, _ := split(nil, s.text, blanks)
		if header {
			header = false
			continue
		}
		if i, _ := halvesIn(fields, p.roles); i >= 0 {
			continue
		}
		without++
		if _, ok := p.lastNumber(fields); ok && len(fields) == len(p.roles) {
			return true
		}
	}
	return without == 0
}
