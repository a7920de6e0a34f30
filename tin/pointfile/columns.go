package pointfile

import (
	"fmt"
	"slices"
	"strings"

	"barrow/tin"
)

// role is what a column holds.
type role uint8

const (
	ignored role = iota
	number
	easting
	northing
	level
	code
	description
	degrees // latitude or longitude: never read
)

const columnWords = "number, easting, northing, level, code, description, ignored"

func (r role) String() string {
	switch r {
	case number:
		return "number"
	case easting:
		return "easting"
	case northing:
		return "northing"
	case level:
		return "level"
	case code:
		return "code"
	case description:
		return "description"
	case degrees:
		return "degrees"
	}
	return "ignored"
}

// coordinate reports whether the column holds numbers that are read.
func (r role) coordinate() bool { return r == easting || r == northing || r == level }

// roleOf returns what a column's heading says it holds.
func roleOf(word string) (role, bool) {
	word, _ = splitUnit(word)
	switch strings.ToLower(strings.Join(strings.FieldsFunc(word, func(r rune) bool {
		return r == ' ' || r == '_' || r == '.' || r == '\t'
	}), " ")) {
	case "number", "point", "id", "name", "p", "pt", "no", "nr",
		"point number", "point no", "point id", "point name",
		"pt number", "pt no", "pt id", "pt name":
		return number, true
	case "easting", "east", "e", "x":
		return easting, true
	case "northing", "north", "n", "y":
		return northing, true
	case "level", "elevation", "elev", "height", "rl", "reduced level", "z":
		return level, true
	case "code", "c":
		return code, true
	case "description", "desc", "d":
		return description, true
	case "latitude", "longitude", "lat", "long", "lon", "lng":
		return degrees, true
	case "ignored", "ignore":
		return ignored, true
	}
	return ignored, false
}

// splitUnit takes a unit in brackets off a heading: "E (m)", "level [ft]".
func splitUnit(word string) (rest, unit string) {
	word = strings.TrimSpace(word)
	for _, pair := range []string{"()", "[]"} {
		i := strings.IndexByte(word, pair[0])
		if i > 0 && strings.HasSuffix(word, pair[1:]) {
			return strings.TrimSpace(word[:i]), strings.TrimSpace(word[i+1 : len(word)-1])
		}
	}
	return word, ""
}

// parseColumns reads a stated order of columns; nil for none.
func parseColumns(s string) ([]role, *tin.InputError) {
	if strings.TrimSpace(s) == "" {
		return nil, nil
	}
	bad := func(format string, args ...any) ([]role, *tin.InputError) {
		return nil, &tin.InputError{
			Code:    "bad_columns",
			Message: fmt.Sprintf("columns %q: ", s) + fmt.Sprintf(format, args...),
			Hint:    "the words are " + columnWords,
		}
	}
	var roles []role
	for i, word := range strings.Split(strings.ReplaceAll(s, ";", ","), ",") {
		r, ok := roleOf(word)
		switch {
		case !ok:
			return bad("the word %q is not known", strings.TrimSpace(word))
		case r == degrees:
			return bad("column %d is in degrees, and only plan coordinates can be read", i+1)
		case r != ignored && slices.Contains(roles, r):
			return bad("%s stands there twice", r)
		}
		roles = append(roles, r)
	}
	for _, r := range []role{easting, northing} {
		if !slices.Contains(roles, r) {
			return bad("%s is missing", r)
		}
	}
	return roles, nil
}

// heading is a header line as understood.
type heading struct {
	roles   []role
	words   []string
	known   []bool // whether the word says what the column holds
	units   []string
	unread  []string // headings of columns that are not read
	xy      bool     // easting and northing are called x and y
	degrees bool     // a column is in degrees
	twice   string   // a coordinate that two columns claim
}

// readHeading takes the fields of a line for the names of columns.
func readHeading(fields []field) heading {
	var h heading
	for _, f := range fields {
		word := string(f.text)
		r, known := roleOf(word)
		if r == degrees {
			h.degrees = true
			r = ignored
		}
		if r != ignored && slices.Contains(h.roles, r) {
			if r.coordinate() {
				h.twice = r.String()
			}
			r, known = ignored, false
		}
		if bare, unit := splitUnit(word); r != ignored {
			if unit != "" && !slices.Contains(h.units, unit) {
				h.units = append(h.units, unit)
			}
			if r == easting && strings.EqualFold(bare, "x") {
				h.xy = true
			}
		} else if word != "" && !strings.HasPrefix(strings.ToLower(word), "ignore") {
			h.unread = append(h.unread, word)
		}
		h.roles = append(h.roles, r)
		h.words = append(h.words, word)
		h.known = append(h.known, known)
	}
	return h
}

// placed reports whether the heading says where easting and northing are.
func (h heading) placed() bool {
	return slices.Contains(h.roles, easting) && slices.Contains(h.roles, northing)
}

// agree lays a stated order over the heading, as [Options.Columns] describes.
func (h heading) agree(stated []role) ([]role, bool) {
	out := slices.Clone(stated)
	for i, r := range h.roles {
		if i >= len(stated) {
			if r.coordinate() {
				return nil, false
			}
			out = append(out, ignored)
			continue
		}
		switch s := stated[i]; {
		case s == ignored, s == r, !h.known[i]:
		case s.coordinate() || r.coordinate():
			return nil, false
		}
	}
	return out, true
}

func columnNames(roles []role) []string {
	names := make([]string, len(roles))
	for i, r := range roles {
		names[i] = r.String()
	}
	return names
}
