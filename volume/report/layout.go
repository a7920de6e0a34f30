package report

import (
	"bytes"
	"fmt"
	"strings"
	"unicode/utf8"
)

// layout is a sheet in lines of at most width characters, in the making.
type layout struct{ buf bytes.Buffer }

func layoutOf(pieces []piece) []byte {
	var l layout
	for i := range pieces {
		p := &pieces[i]
		switch p.kind {
		case aLine:
			l.line(p.words)
		case aTitle:
			l.line("")
			l.put("", p.words)
		case aParagraph:
			l.put(p.lead, p.words)
		case aPoint:
			l.put("  - ", p.words)
		case anItem:
			l.put(fmt.Sprintf("  %-11s", p.lead), p.words)
		case aHeading, aRow, aTotal:
			l.row(p.indent, p.words, p.columns, p.values)
		case aTable:
			l.table(p.indent, p.rows)
		}
	}
	return l.buf.Bytes()
}

// line writes one line as it is, less blanks at its end.
func (l *layout) line(text string) {
	l.buf.WriteString(strings.TrimRight(text, " "))
	l.buf.WriteByte('\n')
}

// put writes text with lead before it; further lines are indented as far as
// lead reaches. A word too long for a line is broken.
func (l *layout) put(lead, text string) {
	indent := strings.Repeat(" ", utf8.RuneCountInString(lead))
	for i, line := range wrap(text, width-len(indent)) {
		if i == 0 {
			l.line(lead + line)
		} else {
			l.line(indent + line)
		}
	}
}

// row writes a label from column indent and values right-aligned to the
// columns; a label that reaches into the first value stands on a line of its
// own.
func (l *layout) row(indent int, label string, columns []int, values []string) {
	lead := strings.Repeat(" ", indent)
	line := lead + Plain(label)
	if len(values) > 0 && utf8.RuneCountInString(line)+2+utf8.RuneCountInString(values[0]) > columns[0] {
		l.put(lead, label)
		line = ""
	}
	for i, v := range values {
		gap := columns[i] - utf8.RuneCountInString(line) - utf8.RuneCountInString(v)
		line += strings.Repeat(" ", max(gap, 1)) + v
	}
	l.line(line)
}

// table writes rows under a heading, their first column to the left and the others to
// the right, each as wide as it must be. A first column that does not fit beside the
// rest stands on a line of its own.
func (l *layout) table(indent int, rows [][]string) {
	columns := make([]int, len(rows[0])-1)
	label, wide := 0, 0
	for _, row := range rows {
		label = max(label, utf8.RuneCountInString(Plain(row[0])))
		for i, v := range row[1:] {
			columns[i] = max(columns[i], utf8.RuneCountInString(v))
		}
	}
	for _, c := range columns {
		wide += c + 1
	}
	gap := 1
	if indent+label+wide+len(columns) <= width {
		gap = 2
	}
	label = max(min(label, width-indent-wide), utf8.RuneCountInString(rows[0][0]))
	lead := strings.Repeat(" ", indent)
	for _, row := range rows {
		name := Plain(row[0])
		if utf8.RuneCountInString(name) > label {
			l.put(lead, strings.TrimLeft(name, " "))
			name = ""
		}
		line := lead + name + strings.Repeat(" ", label-utf8.RuneCountInString(name))
		for i, v := range row[1:] {
			line += strings.Repeat(" ", columns[i]-utf8.RuneCountInString(v)+gap) + v
		}
		l.line(line)
	}
}
