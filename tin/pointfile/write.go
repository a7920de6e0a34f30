package pointfile

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"barrow/tin"
)

// Write writes points as [Read] reads them: a header, commas, line feeds,
// decimal points, UTF-8, and the shortest decimals that give the same bits
// again. A point without a level has an empty field. Lines of points are
// not written. Texts are exact, also what a spreadsheet would run as a formula.
// What Read could not give back is an error that names the point:
// a coordinate or level that is not finite or beyond 1e9, a level of -999 or
// -9999 (which stand for none), a name or code with control characters or that
// is not UTF-8.
func Write(w io.Writer, points []tin.Point) error {
	b := bufio.NewWriter(w)
	b.WriteString("number,easting,northing,level,code\n")
	var line []byte
	for i, p := range points {
		if why := unwritable(p); why != "" {
			return fmt.Errorf("pointfile: write point %d %q: %s", i+1, p.Name, why)
		}
		line = appendText(line[:0], p.Name)
		line = append(line, ',')
		line = strconv.AppendFloat(line, p.E, 'f', -1, 64)
		line = append(line, ',')
		line = strconv.AppendFloat(line, p.N, 'f', -1, 64)
		line = append(line, ',')
		if p.HasLevel() {
			line = strconv.AppendFloat(line, p.Level, 'f', -1, 64)
		}
		line = append(line, ',')
		line = appendText(line, p.Code)
		if len(line) > maxLine {
			return fmt.Errorf("pointfile: write point %d: its line is longer than %d bytes", i+1, maxLine)
		}
		line = append(line, '\n')
		if _, err := b.Write(line); err != nil {
			return fmt.Errorf("pointfile: write: %w", err)
		}
	}
	if err := b.Flush(); err != nil {
		return fmt.Errorf("pointfile: write: %w", err)
	}
	return nil
}

// unwritable says why a point cannot be written; empty if it can.
func unwritable(p tin.Point) string {
	for _, v := range []struct {
		what  string
		value float64
	}{{"easting", p.E}, {"northing", p.N}, {"level", p.Level}} {
		if v.what == "level" && math.IsNaN(v.value) {
			continue
		}
		if !(math.Abs(v.value) <= maxCoordinate) {
			return fmt.Sprintf("%s %v is not finite or beyond %.0f", v.what, v.value, float64(maxCoordinate))
		}
	}
	if p.Level == -999 || p.Level == -9999 {
		return fmt.Sprintf("level %v stands for a missing one", p.Level)
	}
	for _, s := range []string{p.Name, p.Code} {
		if !utf8.ValidString(s) {
			return fmt.Sprintf("the text %q is not UTF-8", s)
		}
		if strings.ContainsFunc(s, unicode.IsControl) {
			return fmt.Sprintf("the text %q holds control characters", s)
		}
	}
	return ""
}

// appendText writes a text, in quotes where it would not be read back without.
func appendText(dst []byte, s string) []byte {
	if s == "" || !strings.ContainsAny(s, `,"`) && s == strings.Trim(s, " ") && !isComment([]byte(s), ',') {
		return append(dst, s...)
	}
	dst = append(dst, '"')
	dst = append(dst, strings.ReplaceAll(s, `"`, `""`)...)
	return append(dst, '"')
}

func shortest(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
