package report

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"unicode"
	"unicode/utf8"
)

// width is how many characters a line of the sheet may have.
const width = 80

// sheet gathers lines of at most width characters.
type sheet struct{ buf bytes.Buffer }

// deliver writes the sheet out.
func (s *sheet) deliver(w io.Writer) error {
	if _, err := w.Write(s.buf.Bytes()); err != nil {
		return fmt.Errorf("report: %w", err)
	}
	return nil
}

// line writes one line as it is, less blanks at its end.
func (s *sheet) line(text string) {
	s.buf.WriteString(strings.TrimRight(text, " "))
	s.buf.WriteByte('\n')
}

func (s *sheet) blank() { s.line("") }

// title opens a part of the sheet.
func (s *sheet) title(text string) {
	s.blank()
	s.line(text)
}

// put writes text with lead before it; further lines are indented as far as
// lead reaches. A word too long for a line is broken.
func (s *sheet) put(lead, text string) {
	indent := strings.Repeat(" ", utf8.RuneCountInString(lead))
	for i, line := range wrap(text, width-len(indent)) {
		if i == 0 {
			s.line(lead + line)
		} else {
			s.line(indent + line)
		}
	}
}

// row writes a label from column indent and values right-aligned to the
// columns; a label that reaches into the first value stands on a line of its
// own.
func (s *sheet) row(indent int, label string, columns []int, values ...string) {
	lead := strings.Repeat(" ", indent)
	line := lead + Plain(label)
	if len(values) > 0 && utf8.RuneCountInString(line)+2+utf8.RuneCountInString(values[0]) > columns[0] {
		s.put(lead, label)
		line = ""
	}
	for i, v := range values {
		gap := columns[i] - utf8.RuneCountInString(line) - utf8.RuneCountInString(v)
		line += strings.Repeat(" ", max(gap, 1)) + v
	}
	s.line(line)
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
