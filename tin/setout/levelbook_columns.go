package setout

import (
	"fmt"
	"slices"
	"strings"
)

// columnWords are the columns of a book, in the order in which they are listed.
func columnWords() []string {
	return []string{"point", "backsight", "intermediate", "foresight", "distance", "level", "easting", "northing",
		"code", "remark", "rise", "fall", "collimation", "reduced", "ignored"}
}

// columnOf returns the column that a heading names.
func columnOf(heading string) (column string, ok bool) {
	word := strings.ToLower(strings.Join(strings.FieldsFunc(heading, func(r rune) bool {
		return r == ' ' || r == '_' || r == '.' || r == '\t'
	}), " "))
	switch word {
	case "number", "name", "station":
		word = "point"
	case "bs":
		word = "backsight"
	case "is", "intermediate sight":
		word = "intermediate"
	case "fs":
		word = "foresight"
	case "known level":
		word = "level"
	case "e":
		word = "easting"
	case "n":
		word = "northing"
	case "remarks":
		word = "remark"
	case "height of collimation", "height of instrument":
		word = "collimation"
	case "reduced level", "rl":
		word = "reduced"
	}
	return word, slices.Contains(columnWords(), word)
}

// columnsOf reads the heading of a book: the column of each field. why says what is
// wrong with it, "" if nothing is.
func columnsOf(fields []string) (columns []string, why string) {
	for i, field := range fields {
		column, ok := columnOf(field)
		switch {
		case !ok && strings.TrimSpace(field) == "":
			column = "ignored"
		case !ok:
			return nil, fmt.Sprintf("the column %q is not known", brief(strings.TrimSpace(field)))
		case column != "ignored" && slices.Contains(columns, column):
			return nil, fmt.Sprintf("column %d is a second one for %s", i+1, column)
		}
		columns = append(columns, column)
	}
	for _, need := range []string{"backsight", "foresight", "level"} {
		if !slices.Contains(columns, need) {
			return nil, fmt.Sprintf("there is no column %s", need)
		}
	}
	return columns, ""
}

// entry returns where the number of a column goes; nil if it holds none.
func (r *Row) entry(column string) *Entry {
	switch column {
	case "backsight":
		return &r.Backsight
	case "intermediate":
		return &r.Intermediate
	case "foresight":
		return &r.Foresight
	case "distance":
		return &r.Distance
	case "level":
		return &r.Known
	case "rise":
		return &r.Booked.Rise
	case "fall":
		return &r.Booked.Fall
	case "collimation":
		return &r.Booked.Collimation
	case "reduced":
		return &r.Booked.Reduced
	}
	return nil
}

// words returns where the text of a column goes; nil if it holds none.
func (r *Row) words(column string) *string {
	switch column {
	case "point":
		return &r.Point
	case "code":
		return &r.Code
	case "remark":
		return &r.Remark
	}
	return nil
}

// isSight reports whether a column holds readings of the staff.
func isSight(column string) bool {
	return column == "backsight" || column == "intermediate" || column == "foresight"
}
