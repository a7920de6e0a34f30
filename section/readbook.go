package section

import (
	"bufio"
	"cmp"
	"context"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"barrow/tin"
)

// BookSection is a typed section: levels of ground and of formation, each from left to
// right.
type BookSection struct {
	Chainage          float64
	Ground, Formation []Level
	Line              int // of its first row in the file, from 1; 0 for none
}

// BookLimits bound what [ReadBook] reads; the zero value is good.
type BookLimits struct {
	Rows int // 0: 1,000,000. A file may have 256 bytes for each
}

// ReadBook reads a cross-section book from comma-separated text (RFC 4180) with a header.
// It has a row for each point: the columns chainage, offset, ground and formation, in any
// order and any one unit. Ground and formation are levels; either may be empty in a row,
// so that each has its own offsets. Rows go by rising chainage, and in each section ground
// and formation from left to right, offsets to the left of the line negative; two rows of
// one offset are an upright step. Columns called number, code, description or ignored are
// not read; nor are lines that begin with #.
//
// What cannot be used is a [*tin.InputError] with the line and the column of the text, in
// bytes. The name is that of the file, for errors.
func ReadBook(ctx context.Context, r io.Reader, name string, limits BookLimits) ([]BookSection, error) {
	b := newBookReader(r, cmp.Or(max(limits.Rows, 0), 1_000_000))
	err := b.read(ctx)
	if e, ok := errors.AsType[*tin.InputError](err); ok && e.File == "" {
		named := *e
		named.File = name
		err = &named
	}
	if err != nil {
		return nil, err
	}
	return b.sections, nil
}

// bookReader reads a book row by row.
type bookReader struct {
	in       *csv.Reader
	limited  *io.LimitedReader
	most     int
	at       map[string]int // which field a word stands for
	words    int            // of the header
	fields   []string
	sections []BookSection
}

func newBookReader(r io.Reader, most int) *bookReader {
	b := &bookReader{limited: &io.LimitedReader{R: r, N: 256*int64(most) + 4096}, most: most, at: map[string]int{}}
	text := bufio.NewReader(b.limited)
	if mark, err := text.Peek(3); err == nil && string(mark) == "\ufeff" {
		_, _ = text.Discard(3) // cannot fail: it was peeked
	}
	b.in = csv.NewReader(text)
	b.in.Comment, b.in.TrimLeadingSpace, b.in.FieldsPerRecord, b.in.ReuseRecord = '#', true, -1, true
	return b
}

func (b *bookReader) read(ctx context.Context) error {
	if err := b.header(); err != nil {
		return err
	}
	for n := 1; ; n++ {
		if n%4096 == 0 && ctx.Err() != nil {
			return ctx.Err()
		}
		more, err := b.next()
		if err != nil {
			return err
		}
		if !more {
			break
		}
		if n > b.most {
			return b.fail("too_many_rows", 0, "split the book, or raise the limit", "more than %d rows", b.most)
		}
		if err := b.row(); err != nil {
			return err
		}
	}
	if len(b.sections) == 0 {
		return fail("too_few_sections", "give at least two", "the book has no sections")
	}
	return nil
}

// fail is an error at a field of the row in hand.
func (b *bookReader) fail(code string, field int, hint, format string, args ...any) error {
	e := &tin.InputError{Code: code, Message: fmt.Sprintf(format, args...), Hint: hint}
	if field < len(b.fields) {
		e.Line, e.Column = b.in.FieldPos(field)
	}
	return e
}

// next reads a row into fields. It reports false at the end.
func (b *bookReader) next() (bool, error) {
	fields, err := b.in.Read()
	switch bad, isBad := errors.AsType[*csv.ParseError](err); {
	case b.limited.N <= 0:
		return false, fail("too_many_bytes", "split the book, or raise the limit of rows", "the file is too long")
	case isBad:
		return false, &tin.InputError{Code: "bad_csv", Line: bad.Line, Column: bad.Column, Message: bad.Err.Error(), Hint: "separate fields by commas; quotes only round a whole field", Err: err}
	case errors.Is(err, io.EOF):
		return false, nil
	case err != nil:
		return false, fmt.Errorf("section: reading a book: %w", err)
	}
	b.fields = fields
	return true, nil
}

const bookWords = "chainage, offset, ground, formation, with commas between; not read: number, code, description, ignored"

// header reads the words of the first line.
func (b *bookReader) header() error {
	more, err := b.next()
	if err != nil {
		return err
	}
	if !more {
		return fail("no_header", "begin with a line of words: chainage,offset,ground,formation", "the file is empty")
	}
	for i, word := range b.fields {
		word = strings.ToLower(strings.TrimSpace(word))
		switch word {
		case "number", "code", "description", "ignored":
			continue
		case "chainage", "offset", "ground", "formation":
		default:
			return b.fail("bad_columns", i, "the words are "+bookWords, "the word %q is not known", word)
		}
		if _, twice := b.at[word]; twice {
			return b.fail("bad_columns", i, "keep one", "%s stands there twice", word)
		}
		b.at[word] = i
	}
	for _, word := range [...]string{"chainage", "offset", "ground", "formation"} {
		if _, ok := b.at[word]; !ok {
			return b.fail("bad_columns", 0, "the words are "+bookWords, "there is no column %s", word)
		}
	}
	b.words = len(b.fields)
	return nil
}

// row takes in a point.
func (b *bookReader) row() error {
	if len(b.fields) != b.words {
		return b.fail("bad_fields", 0, "give every field; write decimal points, not commas", "fields in the row: %d, in the header: %d", len(b.fields), b.words)
	}
	chainage, err := b.number("chainage")
	if err != nil {
		return err
	}
	offset, err := b.number("offset")
	if err != nil {
		return err
	}
	n := len(b.sections)
	switch {
	case n > 0 && chainage < b.sections[n-1].Chainage:
		return b.fail("chainages_order", b.at["chainage"], "sort the sections, and keep the rows of each together", "chainage %v comes after %v", chainage, b.sections[n-1].Chainage)
	case n == 0 || chainage > b.sections[n-1].Chainage:
		line, _ := b.in.FieldPos(0)
		b.sections = append(b.sections, BookSection{Chainage: chainage, Line: line})
		n++
	}
	s := &b.sections[n-1]
	ground, err := b.level("ground", offset, &s.Ground)
	if err != nil {
		return err
	}
	formation, err := b.level("formation", offset, &s.Formation)
	if err != nil {
		return err
	}
	if !ground && !formation {
		return b.fail("level_missing", b.at["ground"], "give one of them, or take the row out", "the row has a level neither of ground nor of formation")
	}
	return nil
}

// level adds a level to a profile, if the row has one.
func (b *bookReader) level(word string, offset float64, to *[]Level) (bool, error) {
	if strings.TrimSpace(b.fields[b.at[word]]) == "" {
		return false, nil
	}
	level, err := b.number(word)
	if err != nil {
		return false, err
	}
	if n := len(*to); n > 0 && offset < (*to)[n-1].Offset {
		return false, b.fail("offsets_order", b.at["offset"], "go from left to right, offsets to the left negative", "offset %v of the %s comes after %v", offset, word, (*to)[n-1].Offset)
	}
	*to = append(*to, Level{offset, level})
	return true, nil
}

func (b *bookReader) number(word string) (float64, error) {
	i := b.at[word]
	v, err := strconv.ParseFloat(strings.TrimSpace(b.fields[i]), 64)
	if err != nil || !isLength(v) || strings.ContainsAny(b.fields[i], "xX_") { // 0x10 and 1_0 are numbers of programs
		return 0, b.fail("bad_number", i, "correct it; only ground or formation may be empty", "%s %q is no number within ±1e9", word, b.fields[i])
	}
	return v, nil
}

// Section measures a typed section, see [FromLevels].
func (b *BookSection) Section() (*Section, error) {
	s, err := FromLevels(b.Chainage, b.Ground, b.Formation)
	if e, ok := errors.AsType[*tin.InputError](err); ok && b.Line > 0 {
		placed := *e
		placed.Line = b.Line
		return nil, &placed
	}
	return s, err
}

// Like returns the section half way between two that have as many points of ground, and of
// formation: each point the mean of its like. Between three-level sections that makes the
// prismoidal rule take off [ThreeLevelCorrection]. It reports false where the two are not
// alike.
func Like(a, b *BookSection) (middle BookSection, ok bool) {
	middle = BookSection{Chainage: a.Chainage + (b.Chainage-a.Chainage)/2}
	var alike [2]bool
	middle.Ground, alike[0] = meanLevels(a.Ground, b.Ground)
	middle.Formation, alike[1] = meanLevels(a.Formation, b.Formation)
	return middle, !slices.Contains(alike[:], false)
}

func meanLevels(a, b []Level) (out []Level, ok bool) {
	if len(a) != len(b) {
		return nil, false
	}
	for i := range a {
		out = append(out, Level{(a[i].Offset + b[i].Offset) / 2, (a[i].Level + b[i].Level) / 2})
	}
	return out, true
}
