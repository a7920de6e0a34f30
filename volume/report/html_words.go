package report

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"barrow/volume/takeoff"
)

// mostLetters is how many characters of one text a page shows; a longer one says how many
// are left out.
const mostLetters = 2000

// lastLetters is how many of those are the last ones: what is said of a name stands behind it.
const lastLetters = 400

// printed makes words fit for a page: without what could steer a screen, cut to
// mostLetters, with signs for plus or minus, squares and cubes where a figure stands
// before them, and a figure kept beside its unit.
func printed(text string) string {
	text = Plain(text)
	if n := utf8.RuneCountInString(text); n > mostLetters {
		letters := []rune(text)
		text = fmt.Sprintf("%s… (%d characters left out) …%s", string(letters[:mostLetters-lastLetters]), n-mostLetters, string(letters[n-lastLetters:]))
	}
	var b strings.Builder
	figure := false
	for i, word := range strings.Fields(text) {
		bare := strings.TrimRight(word, ".,;:)")
		switch {
		case i == 0:
		case figure && isUnit(bare):
			b.WriteString("\u00a0")
			word = raised(bare) + word[len(bare):]
		default:
			b.WriteByte(' ')
		}
		figure = word[len(word)-1] >= '0' && word[len(word)-1] <= '9' || word == "per"
		if word == "+/-" {
			word = "±"
		}
		b.WriteString(word)
	}
	return b.String()
}

// printedCell is printed for a cell of a table, which may be no more than a unit.
func printedCell(text string) string {
	text = printed(text)
	if unit, rest, _ := strings.Cut(text, " "); isUnit(unit) {
		return strings.TrimSpace(raised(unit) + " " + rest)
	}
	return text
}

// isUnit reports whether a word behind a figure is its unit.
func isUnit(word string) bool {
	switch word {
	case "mm", "m", "m2", "m3", "ft", "ft2", "ftUS", "ftUS2", "yd3", "t", "h", "deg", "%":
		return true
	}
	return false
}

// raised writes squares and cubes of units as such.
func raised(unit string) string {
	if n := len(unit) - 1; n > 0 && (unit[n] == '2' || unit[n] == '3') {
		return unit[:n] + map[byte]string{'2': "²", '3': "³"}[unit[n]]
	}
	return unit
}

// raisedUnits are units for the headings of a page.
func raisedUnits(u takeoff.Units) takeoff.Units {
	u.Area, u.Volume = raised(u.Area), raised(u.Volume)
	return u
}

// cut shortens a name to so many characters.
func cut(name string, most int) string {
	name = strings.Join(strings.Fields(Plain(name)), " ")
	if letters := []rune(name); len(letters) > most {
		return string(letters[:most]) + "…"
	}
	return name
}
