package report

import (
	"strings"
	"unicode/utf8"
)

// table writes rows under a heading, their first column to the left and the others to
// the right, each as wide as it must be. A first column that does not fit beside the
// rest stands on a line of its own.
func (s *sheet) table(indent int, rows [][]string) {
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
			s.put(lead, strings.TrimLeft(name, " "))
			name = ""
		}
		line := lead + name + strings.Repeat(" ", label-utf8.RuneCountInString(name))
		for i, v := range row[1:] {
			line += strings.Repeat(" ", columns[i]-utf8.RuneCountInString(v)+gap) + v
		}
		s.line(line)
	}
}
