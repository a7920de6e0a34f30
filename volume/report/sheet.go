package report

import (
	"fmt"
	"io"
	"strings"
	"unicode"
	"unicode/utf8"
)

// width is how many characters a line of the sheet may have.
const width = 80

// sheet gathers what stands on a sheet, piece by piece: [layout] makes lines of it, and
// [blocksOf] parts of a page.
type sheet struct{ pieces []piece }

// piece is a part of a sheet.
type piece struct {
	kind    pieceKind
	indent  int    // columns to its left
	lead    string // before the words: further lines are indented as far as it reaches
	words   string // of a row its label
	columns []int  // of a row: where its values end
	values  []string
	rows    [][]string // of a table, its heading first
}

type pieceKind int

const (
	aLine  pieceKind = iota // as it is
	aTitle                  // opens a part of the sheet
	aParagraph
	aPoint   // of a list
	anItem   // a paragraph with its subject before it
	aHeading // of rows: its values name their columns
	aRow
	aTotal
	aTable
)

// line puts down one line as it is.
func (s *sheet) line(text string) { s.add(piece{kind: aLine, words: text}) }

func (s *sheet) blank() { s.line("") }

// title opens a part of the sheet.
func (s *sheet) title(text string) { s.add(piece{kind: aTitle, words: text}) }

// put puts text down with lead before it; further lines are indented as far as lead
// reaches.
func (s *sheet) put(lead, text string) {
	s.add(piece{kind: aParagraph, lead: lead, words: text})
}

// point puts down a point of a list.
func (s *sheet) point(text string) { s.add(piece{kind: aPoint, words: text}) }

// item puts down a paragraph with its subject before it; without one it goes on about
// that before.
func (s *sheet) item(subject, words string) {
	s.add(piece{kind: anItem, lead: subject, words: words})
}

// row puts down a label at a column and values that end at columns.
func (s *sheet) row(indent int, label string, columns []int, values ...string) {
	s.add(piece{kind: aRow, indent: indent, words: label, columns: columns, values: values})
}

// total is a row of what those above it come to.
func (s *sheet) total(indent int, label string, columns []int, values ...string) {
	s.add(piece{kind: aTotal, indent: indent, words: label, columns: columns, values: values})
}

// heads is the row that names the columns of those below it.
func (s *sheet) heads(indent int, label string, columns []int, values ...string) {
	s.add(piece{kind: aHeading, indent: indent, words: label, columns: columns, values: values})
}

// table puts down rows under a heading, their first column to the left and the others to
// the right, each as wide as it must be.
func (s *sheet) table(indent int, rows [][]string) {
	s.add(piece{kind: aTable, indent: indent, rows: rows})
}

func (s *sheet) add(p piece) { s.pieces = append(s.pieces, p) }

// deliver writes the sheet out in lines.
func (s *sheet) deliver(w io.Writer) error {
	if _, err := w.Write(layoutOf(s.pieces)); err != nil {
		return fmt.Errorf("report: %w", err)
	}
	return nil
}

// wrap breaks text at blanks into lines of at most n characters.
func wrap(text string, n int) []string {
	n = max(n, 8)
	var lines []string
	line, length := "", 0
	for _, field := range strings.Fields(Plain(text)) {
		word := []rune(field)
		if length > 0 && length+1+len(word) > n {
			lines = append(lines, line)
			line, length = "", 0
		}
		for ; len(word) > n; word = word[n:] {
			lines = append(lines, string(word[:n]))
		}
		if length > 0 {
			line, length = line+" ", length+1
		}
		line, length = line+string(word), length+len(word)
	}
	if length > 0 || len(lines) == 0 {
		lines = append(lines, line)
	}
	return lines
}

// Plain turns what would move the cursor or colour the screen into blanks:
// names come from files of strangers.
func Plain(text string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == utf8.RuneError:
			return '?'
		case unicode.IsControl(r), unicode.Is(unicode.Cf, r), unicode.Is(unicode.Zl, r), unicode.Is(unicode.Zp, r):
			return ' '
		}
		return r
	}, text)
}
