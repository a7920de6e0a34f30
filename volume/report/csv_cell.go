package report

import "strings"

// harmless makes a text fit for a cell of CSV that somebody opens in a spreadsheet: one
// that begins like a formula there, with =, +, - or @ (or a wide form of them), blanks
// before them or not, gets an apostrophe before it, which stays when the cell is read
// back. What moves a cursor, tabs and line ends too, becomes a blank. It is for texts:
// numbers stay as they are.
func harmless(text string) string {
	text = Plain(text)
	if strings.IndexAny(strings.TrimSpace(text), "=+-@＝＋－＠") == 0 {
		return "'" + text
	}
	return text
}

// inComment makes a name fit for a comment of a CSV file: in one piece, however a
// spreadsheet takes cells apart.
func inComment(name string) string {
	return strings.NewReplacer(",", " ", ";", " ", `"`, " ").Replace(Plain(name))
}
