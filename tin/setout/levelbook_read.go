package setout

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"barrow/tin"
)

// maxBytes is what a book may have in all.
const maxBytes = 16 << 20

// inverted is the word behind a reading of a staff held upside down.
const inverted = "inverted"

// ReadBook reads a level book: delimited text with a heading (docs/formats.md), in a
// unit that the text does not name. The name is used in messages only. Bad content is
// a [*tin.InputError] with file and line. Whether the sights make a line of levelling
// is looked at by [Book.Reduce].
func ReadBook(r io.Reader, name string, unit tin.Unit) (*Book, error) {
	text, err := io.ReadAll(io.LimitReader(r, maxBytes+1))
	if err != nil {
		return nil, fmt.Errorf("setout: read %s: %w", name, err)
	}
	p := bookReader{book: &Book{Name: name, Unit: unit}}
	if len(text) > maxBytes {
		return nil, p.fail(0, "too_large", fmt.Sprintf("the file has over %d bytes", maxBytes), "split it at a benchmark")
	}
	if err := p.read(text); err != nil {
		return nil, err
	}
	return p.book, nil
}

// bookReader is a book in reading.
type bookReader struct {
	book    *Book
	columns []string
}

func (p *bookReader) fail(line int, code string, message, hint string) *tin.InputError {
	return &tin.InputError{Code: code, File: p.book.Name, Line: line, Message: message, Hint: hint}
}

func (p *bookReader) read(text []byte) error {
	text = bytes.TrimPrefix(text, []byte("\ufeff"))
	if !utf8.Valid(text) {
		text = fromLatin1(text)
		p.book.Notes = append(p.book.Notes, Finding{Problem: tin.Problem{Code: "not_utf8",
			Message: "the file is not UTF-8: its letters were read as ISO 8859-1"}})
	}
	rows := csv.NewReader(bytes.NewReader(text))
	rows.Comma, rows.Comment, rows.FieldsPerRecord = separatorOf(text), '#', -1
	for {
		fields, err := rows.Read()
		if errors.Is(err, io.EOF) {
			return p.finish()
		}
		if e, ok := errors.AsType[*csv.ParseError](err); ok {
			return p.fail(e.Line, "bad_quotes", e.Err.Error(), `a quote inside a field is doubled, and the field is in quotes: "a ""b"""`)
		}
		line, _ := rows.FieldPos(0)
		if err := p.line(line, fields); err != nil {
			return err
		}
	}
}

// line reads one line: the heading, a row, or nothing at all.
func (p *bookReader) line(line int, fields []string) error {
	switch {
	case strings.TrimSpace(strings.Join(fields, "")) == "":
		return nil
	case p.columns == nil:
		columns, why := columnsOf(fields)
		if why != "" {
			return p.fail(line, "bad_columns", why, "the first line names the columns: "+strings.Join(columnWords(), ", "))
		}
		p.columns = columns
		return nil
	case len(p.book.Rows) == maxRows:
		return p.fail(line, "too_large", fmt.Sprintf("the book has over %d rows", maxRows), "split it at a benchmark")
	}
	row := Row{Line: line}
	placed := 0
	for i, field := range fields {
		field = strings.TrimSpace(field)
		if field == "" {
			continue
		}
		if i >= len(p.columns) {
			return p.fail(line, "too_many_fields", fmt.Sprintf("field %d, %q, has no column", i+1, brief(field)),
				"put a text that holds the separator in quotes; a decimal comma is not read")
		}
		isPlace, err := p.field(&row, p.columns[i], field)
		if err != nil {
			return err
		}
		if isPlace {
			placed++
		}
	}
	if placed == 1 {
		return p.fail(line, "half_a_place", "easting or northing is missing beside the other", "give both, or neither")
	}
	row.Placed = placed == 2
	p.book.Rows = append(p.book.Rows, row)
	return nil
}

// field reads one field that is not empty. place tells whether it is an easting or
// northing.
func (p *bookReader) field(row *Row, column, text string) (place bool, err error) {
	bad := func(why string) error {
		return p.fail(row.Line, "bad_number", fmt.Sprintf("%s %q: %s", column, brief(text), why),
			"write it like 1.432; a reading of an inverted staff like -2.956, or 2.956 inverted")
	}
	if to := row.words(column); to != nil {
		if strings.ContainsFunc(text, unicode.IsControl) {
			return false, p.fail(row.Line, "bad_text", fmt.Sprintf("%s %q holds control characters", column, brief(text)), "take them out; a field ends on its line")
		}
		*to = text
		return false, nil
	}
	if to := row.entry(column); to != nil {
		value, places, err := parseReading(text, isSight(column))
		if err != nil {
			return false, bad(err.Error())
		}
		*to = Given(value)
		if isSight(column) || column == "level" {
			p.book.Places = max(p.book.Places, places)
		}
		return false, nil
	}
	to := &row.E
	switch column {
	case "ignored":
		return false, nil
	case "northing":
		to = &row.N
	}
	var ok bool
	if *to, ok = coordinate(text); !ok {
		return true, bad("it is not a number within 1000000000")
	}
	return true, nil
}

// brief shortens a field for a message: what is no text may be as long as its file.
func brief(field string) string {
	const most = 60
	for i := range field {
		if i >= most {
			return field[:i] + "..."
		}
	}
	return field
}

// parseReading reads a number; a sight may be marked as one of an inverted staff.
func parseReading(text string, sight bool) (d Decimal, places int, err error) {
	bare := text
	upside := false
	if n := len(text) - len(inverted); sight && n > 0 && strings.EqualFold(text[n:], inverted) {
		bare, upside = strings.TrimSpace(text[:n]), true
	}
	if d, places, err = ParseDecimal(bare); err != nil {
		return 0, 0, err
	}
	if upside {
		if d < 0 {
			return 0, 0, errors.New("a minus and the word inverted say the same twice")
		}
		d = -d
	}
	return d, places, nil
}

// coordinate reads an easting or northing.
func coordinate(text string) (x float64, ok bool) {
	if strings.Trim(text, "+-.0123456789eE") != "" {
		return 0, false
	}
	x, err := strconv.ParseFloat(text, 64)
	return x, err == nil && math.Abs(x) <= 1e9
}

// finish looks whether there was a book at all.
func (p *bookReader) finish() error {
	if p.columns == nil {
		return p.fail(0, "book_empty", "there is nothing in the file", "the first line names the columns: "+strings.Join(columnWords(), ", "))
	}
	return nil
}

// separatorOf returns what separates the columns of the heading: the first comma,
// semicolon or tab of the first line that has one and is no comment.
func separatorOf(text []byte) rune {
	for line := range bytes.Lines(text) {
		if i := bytes.IndexAny(line, ",;\t"); i >= 0 && line[0] != '#' {
			return rune(line[i])
		}
	}
	return ','
}

// fromLatin1 turns ISO 8859-1 into UTF-8.
func fromLatin1(text []byte) []byte {
	runes := make([]rune, len(text))
	for i, b := range text {
		runes[i] = rune(b)
	}
	return []byte(string(runes))
}
