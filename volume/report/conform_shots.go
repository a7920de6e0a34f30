package report

import (
	"strconv"
	"strings"
	"unicode/utf8"

	"barrow/tin/setout"
	"barrow/volume/takeoff"
)

// widestName is how many characters a name may have beside its numbers.
const widestName = 12

// shots lists each shot with its deviation in words.
func (t *conformSheet) shots(p *takeoff.ConformPad) {
	if len(p.Shots) == 0 {
		t.put("  ", "no shots on it")
		return
	}
	rows := [][]string{{"shot", "E", "N", "measured"}}
	if p.Level == nil {
		rows[0] = append(rows[0], "asked")
	}
	for i := range p.Shots {
		s := &p.Shots[i]
		row := []string{Plain(shotName(s.Name, s.Line)), fixed(s.At[0], 2), fixed(s.At[1], 2), t.n.level(s.Measured)}
		if p.Level == nil {
			row = append(row, t.n.level(s.Asked))
		}
		rows = append(rows, row)
	}
	widths := make([]int, len(rows[0]))
	for _, row := range rows {
		for k, cell := range row {
			if n := utf8.RuneCountInString(cell); k > 0 || n <= widestName {
				widths[k] = max(widths[k], n)
			}
		}
	}
	t.put(lead(rows[0], widths), "lies")
	for i := range p.Shots {
		if row := rows[i+1]; utf8.RuneCountInString(row[0]) > widestName {
			t.put("  ", row[0])
			row[0] = ""
		}
		t.put(lead(rows[i+1], widths), t.lies(&p.Shots[i]))
	}
}

// lead puts a name to the left and numbers to the right of their columns.
func lead(row []string, widths []int) string {
	line := "  " + row[0] + strings.Repeat(" ", widths[0]-utf8.RuneCountInString(row[0]))
	for k, cell := range row[1:] {
		line += strings.Repeat(" ", 2+widths[k+1]-utf8.RuneCountInString(cell)) + cell
	}
	return line + "  "
}

// lies says how a shot lies to its level, what that means, and how it stands.
func (t *conformSheet) lies(s *takeoff.ConformShot) string {
	words := t.deviation(s.Off)
	if meaning := t.meaning(s); meaning != "" {
		words += ", " + meaning
	}
	switch s.Standing {
	case setout.Out:
		words += ": OUT"
	case setout.Undecided:
		words += ": UNDECIDED"
	}
	return words
}

// deviation writes measured less asked in words.
func (t *conformSheet) deviation(off float64) string {
	switch {
	case t.n.zero(off):
		return "level"
	case off > 0:
		return "HIGH " + t.n.small(off)
	}
	return "LOW " + t.n.small(-off)
}

// meaning says what is still to do at a shot, or was done too much.
func (t *conformSheet) meaning(s *takeoff.ConformShot) string {
	switch high := s.Off > 0; {
	case t.n.zero(s.Off):
		return ""
	case !t.formation() && high:
		return "to take off"
	case !t.formation():
		return "to make up"
	case s.Ground == takeoff.InFill && high:
		return "filled too high"
	case s.Ground == takeoff.InFill:
		return "still to fill"
	case high:
		return "still to cut"
	}
	return "over-dug"
}

// shotName names a shot by its name, or by its line.
func shotName(name string, line int) string {
	switch {
	case name != "":
		return name
	case line > 0:
		return "line " + strconv.Itoa(line)
	}
	return "-"
}
