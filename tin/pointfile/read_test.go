package pointfile_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"runtime"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/pointfile"
)

const penzd = "number, easting, northing, level, code"

func read(t *testing.T, text, columns string) (*pointfile.File, error) {
	t.Helper()
	return pointfile.Read(t.Context(), strings.NewReader(text), "p.csv", pointfile.Options{Columns: columns})
}

// pt is a point in short form; it compares well where the level is NaN.
func pt(line int32, e, n float64, level, name, code string) string {
	return fmt.Sprintf("%d: %v %v %s %q %q", line, e, n, level, name, code)
}

func flat(points []tin.Point) []string {
	out := []string{}
	for _, p := range points {
		out = append(out, pt(p.Line, p.E, p.N, fmt.Sprint(p.Level), p.Name, p.Code))
	}
	return out
}

func codes(notes []tin.Problem) []string {
	out := []string{}
	for _, n := range notes {
		out = append(out, n.Code)
	}
	return out
}

// The traps of delimited files, one a row: what is read, and which notes say so.
func TestReadTraps(t *testing.T) {
	one := []string{pt(1, 500, 600, "7.5", "1", "GRD")}
	two := []string{pt(2, 500, 600, "7.5", "1", "GRD")}
	tests := []struct {
		name, text, columns string
		want                []string
		notes               []string
	}{
		{"header", "number,easting,northing,level,code\n1,500,600,7.5,GRD\n", "", two, nil},
		{"header in other words and cases", "POINT,East,NORTH,Rl,Description\n1,500,600,7.5,GRD\n", "", two, nil},
		{"header with northing first", "ID;N;E;Z;Code\n1;600;500;7,5;GRD\n", "", two, []string{"decimal_comma"}},
		{"header x y z", "name\tx\ty\theight\tcode\n1\t500\t600\t7.5\tGRD\n", "", two, []string{"x_is_easting"}},
		{"header with units", "no.,E (m),N (m),Elevation [m],code\n1,500,600,7.5,GRD\n", "", two, []string{"header_units"}},
		{"header with columns not read", "number,date,easting,northing,level,,code\n1,2020-01-01,500,600,7.5,x,GRD\n", "", two, []string{"columns_not_read"}},
		{"header with more columns than are stated", "number,easting,northing,level,code,date\n1,500,600,7.5,GRD,x\n", "number,easting,northing,level",
			[]string{pt(2, 500, 600, "7.5", "1", "")}, []string{"columns_not_read"}},
		{"header with blanks and stops", "Pt.No, Reduced_Level,  E.,N\n1,7.5,500,600\n", "", []string{pt(2, 500, 600, "7.5", "1", "")}, nil},
		{"header that agrees with the statement", "p,e,n,z,d\n1,500,600,7.5,GRD\n", "Number; Easting; Northing; Level; Code", two, nil},
		{"header no word of which is known", "nr.;Rechts;Hoch;Kote;Art\n1;500;600;7.5;GRD\n", penzd, two, []string{"header_not_understood"}},
		{"header, level ignored by statement", "number,easting,northing,level,code\n1,500,600,x,GRD\n", "number,easting,northing,ignored,code",
			[]string{pt(2, 500, 600, "NaN", "1", "GRD")}, []string{"plan_only"}},
		{"header, names that are codes", "name,easting,northing\nKB,500,600\nKB,501,600\n", "code,easting,northing",
			[]string{pt(2, 500, 600, "NaN", "", "KB"), pt(3, 501, 600, "NaN", "", "KB")}, []string{"plan_only"}},
		{"no header", "1,500,600,7.5,GRD\n", penzd, one, nil},
		{"P,N,E,Z,D", "1,600,500,7.5,GRD\n", "number, northing, easting, level, description", one, nil},
		{"P,E,N,Z,C,D", "1,500,600,7.5,GRD,wet\n", penzd + ", description", one, []string{"description_not_kept"}},
		{"D before C", "1,500,600,7.5,wet,GRD\n", "number, easting, northing, level, description, code", one, []string{"description_not_kept"}},
		{"code empty, description kept", "1,500,600,7.5,,GRD\n", penzd + ", description", one, nil},
		{"E,N,Z", "500 600 7.5\n", "easting, northing, level", []string{pt(1, 500, 600, "7.5", "", "")}, nil},
		{"N,E,Z,D", "600,500,7.5,GRD\n", "northing, easting, level, code", []string{pt(1, 500, 600, "7.5", "", "GRD")}, nil},
		{"byte order mark", "\xEF\xBB\xBFnumber,easting,northing,level,code\n1,500,600,7.5,GRD\n", "", two, []string{"byte_order_mark"}},
		{"comma and blanks", " 1 , 500 ,\t600,  7.5,  GRD  \n", penzd, one, nil},
		{"semicolon", "1;500;600;7.5;GRD\n", penzd, one, nil},
		{"tab", "1\t500\t600\t7.5\tGRD\n", penzd, one, nil},
		{"blanks", "1 500   600 \t 7.5 GRD\n", penzd, one, nil},
		{"blanks, right-aligned", "    1   500.0   600.0     7.5 GRD  \n", penzd, one, nil},
		{"blanks and decimal comma", "1 500,0 600,0 7,5 GRD\n", penzd, one, []string{"decimal_comma"}},
		{"tab and decimal comma", "1\t500,0\t600,0\t7,5\tGRD\n", penzd, one, []string{"decimal_comma"}},
		{"decimal comma after whole numbers", "1;500;600;7,5;GRD\n", penzd, one, []string{"decimal_comma"}},
		{"decimal comma that alone would be a group", "1;1,234;600,5;7,5;GRD\n", penzd,
			[]string{pt(1, 1.234, 600.5, "7.5", "1", "GRD")}, []string{"decimal_comma"}},
		{"decimal comma in quotes, RFC 4180", "1,\"500,0\",\"600,0\",\"7,5\",GRD\n", penzd, one, []string{"decimal_comma"}},
		{"CRLF", "number,easting,northing,level,code\r\n1,500,600,7.5,GRD\r\n", "", two, nil},
		{"CR only", "number,easting,northing,level,code\r1,500,600,7.5,GRD\r", "", two, nil},
		{"mixed line ends", "1,500,600,7.5,A\r\n2,501,600,7.5,B\n3,502,600,7.5,C\r4,503,600,7.5,D", penzd, []string{
			pt(1, 500, 600, "7.5", "1", "A"), pt(2, 501, 600, "7.5", "2", "B"), pt(3, 502, 600, "7.5", "3", "C"), pt(4, 503, 600, "7.5", "4", "D"),
		}, []string{"mixed_line_ends"}},
		{"no line end at the end", "1,500,600,7.5,GRD", penzd, one, nil},
		{"comments", "# one\n// two\n; three\n  # four\n1,500,600,7.5,GRD\n", penzd, []string{pt(5, 500, 600, "7.5", "1", "GRD")}, nil},
		{"semicolon is no comment where it separates", ";500;600;7.5;GRD\n", penzd, []string{pt(1, 500, 600, "7.5", "", "GRD")}, nil},
		{"points in comments", "#1,500,600,7.5,GRD\n2,500,600,7.5,GRD\n", penzd, []string{pt(2, 500, 600, "7.5", "2", "GRD")}, []string{"points_in_comments"}},
		{"blank lines", "\n  \n1,500,600,7.5,GRD\n\n,,,,\n", penzd, []string{pt(3, 500, 600, "7.5", "1", "GRD")}, nil},
		{"trailing separators", "1,500,600,7.5,GRD,,\n", penzd, one, nil},
		{"trailing blanks", "1,500,600,7.5,GRD  \t\n", penzd, one, nil},
		{"control-Z", "1,500,600,7.5,GRD\r\n\x1a", penzd, one, []string{"end_mark"}},
		{"control-Z on the last line", "1,500,600,7.5,GRD\x1a", penzd, one, []string{"end_mark"}},
		{"description with commas", "1,500,600,7.5,MH, 300 deep, OLD\n", penzd, []string{pt(1, 500, 600, "7.5", "1", "MH, 300 deep, OLD")}, []string{"joined_fields"}},
		{"description with a bare quote", "1,500,600,7.5,3\" PIPE\n", penzd, []string{pt(1, 500, 600, "7.5", "1", `3" PIPE`)}, nil},
		{"description that opens a quote", "1,500,600,7.5,\"PIPE\n", penzd, []string{pt(1, 500, 600, "7.5", "1", `"PIPE`)}, []string{"open_quote"}},
		{"description with bare quotes and commas", "1,500,600,7.5,3\" PIPE, 6\" BED\n", penzd,
			[]string{pt(1, 500, 600, "7.5", "1", `3" PIPE, 6" BED`)}, []string{"joined_fields"}},
		{"text in quotes", "\"1\",\"500\",600,\"7.5\",\"say \"\"MH\"\", 2, 3\"\n", penzd, []string{pt(1, 500, 600, "7.5", "1", `say "MH", 2, 3`)}, nil},
		{"text in quotes between blanks", "\"bank 1\" 500 600 7.5 \"top, wet\"\n", penzd, []string{pt(1, 500, 600, "7.5", "bank 1", "top, wet")}, nil},
		{"text of words between blanks", "1 500.0 600 7.5 2 oak  trees\n", penzd, []string{pt(1, 500, 600, "7.5", "1", "2 oak  trees")}, nil},
		{"whole numbers between blanks", "1 100 200 7.5 GRD\n2 110 200 7 12\n", penzd,
			[]string{pt(1, 100, 200, "7.5", "1", "GRD"), pt(2, 110, 200, "7", "2", "12")}, nil},
		{"codes that are numbers between blanks", "1 100.5 200 7.5 11\n2 110 200 7 12\n", penzd,
			[]string{pt(1, 100.5, 200, "7.5", "1", "11"), pt(2, 110, 200, "7", "2", "12")}, nil},
		{"a level that is missing, and a number for a code", "1 100.5 200.5 -999 123.5\n", penzd,
			[]string{pt(1, 100.5, 200.5, "NaN", "1", "123.5")}, []string{"plan_only"}},
		{"names that are no numbers", "BM1,500,600,7.5,\n1A,501,600,7.5,\n007,502,600,7.5,\n7,503,600,7.5,\n", penzd, []string{
			pt(1, 500, 600, "7.5", "BM1", ""), pt(2, 501, 600, "7.5", "1A", ""), pt(3, 502, 600, "7.5", "007", ""), pt(4, 503, 600, "7.5", "7", ""),
		}, nil},
		{"name twice, same coordinates", "7,500,600,7.5,A\n7,500.0,600.0,7.50,B\n", penzd, []string{
			pt(1, 500, 600, "7.5", "7", "A"), pt(2, 500, 600, "7.5", "7", "B"),
		}, []string{"repeated_name"}},
		{"same place, other name: kept", "1,500,600,7.5,A\n2,500,600,7.7,B\n", penzd, []string{
			pt(1, 500, 600, "7.5", "1", "A"), pt(2, 500, 600, "7.7", "2", "B"),
		}, nil},
		{"levels missing", "1,1,1,,A\n2,2,2,-999,A\n3,3,3,-9999.00,A\n4,4,4,nan,A\n5,5,5,***,A\n6,6,6\n7,7,7,*****\n", penzd, []string{
			pt(1, 1, 1, "NaN", "1", "A"), pt(2, 2, 2, "NaN", "2", "A"), pt(3, 3, 3, "NaN", "3", "A"), pt(4, 4, 4, "NaN", "4", "A"),
			pt(5, 5, 5, "NaN", "5", "A"), pt(6, 6, 6, "NaN", "6", ""), pt(7, 7, 7, "NaN", "7", ""),
		}, []string{"plan_only"}},
		{"level 0 among such", "1,1,1,0,A\n2,2,2,0.5,A\n3,3,3,-0.5,A\n4,4,4,1,A\n", penzd, []string{
			pt(1, 1, 1, "0", "1", "A"), pt(2, 2, 2, "0.5", "2", "A"), pt(3, 3, 3, "-0.5", "3", "A"), pt(4, 4, 4, "1", "4", "A"),
		}, nil},
		{"level 0 far from all others", "1,1,1,0,A\n2,2,2,60.5,A\n3,3,3,61,A\n4,4,4,62,A\n", penzd, []string{
			pt(1, 1, 1, "0", "1", "A"), pt(2, 2, 2, "60.5", "2", "A"), pt(3, 3, 3, "61", "3", "A"), pt(4, 4, 4, "62", "4", "A"),
		}, []string{"zero_level"}},
		{"ways to write a number", "1,5e2,+600.,7.5E0,GRD\n2,.5,-.5,+1.25e+1,GRD\n3,1e-3,0002,-0,GRD\n", penzd, []string{
			pt(1, 500, 600, "7.5", "1", "GRD"), pt(2, 0.5, -0.5, "12.5", "2", "GRD"), pt(3, 0.001, 2, "-0", "3", "GRD"),
		}, nil},
		{"text that is not UTF-8", "1,500,600,7.5,GR\xC4NS\n", penzd, []string{pt(1, 500, 600, "7.5", "1", "GRÄNS")}, []string{"not_utf8"}},
		{"text in UTF-8", "1,500,600,7.5,GRÄNS\n", penzd, []string{pt(1, 500, 600, "7.5", "1", "GRÄNS")}, nil},
		{"a pad of 40 m by 30 m in local coordinates", "1,0,0,7.5,\n2,40,0,7.5,\n3,40,30,7.5,\n", penzd, []string{
			pt(1, 0, 0, "7.5", "1", ""), pt(2, 40, 0, "7.5", "2", ""), pt(3, 40, 30, "7.5", "3", ""),
		}, nil},
		{"numbers like degrees", "1,-1.234567,51.501234,7.5,\n2,-1.234511,51.501299,7.6,\n", penzd, []string{
			pt(1, -1.234567, 51.501234, "7.5", "1", ""), pt(2, -1.234511, 51.501299, "7.6", "2", ""),
		}, []string{"like_degrees"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			f, err := read(t, tt.text, tt.columns)
			require.NoError(t, err)
			assert.Equal(t, tt.want, flat(f.Points))
			if tt.notes == nil {
				tt.notes = []string{}
			}
			assert.Equal(t, tt.notes, codes(f.Notes))
			assertSum(t, f)
		})
	}
}

// assertSum checks that every line is accounted for.
func assertSum(t *testing.T, f *pointfile.File) {
	t.Helper()
	header := 0
	if f.Header {
		header = 1
	}
	assert.Equal(t, f.Lines, len(f.Points)+f.Blank+f.Comments+header, "points + blank + comments + header = lines")
}

func TestReadErrors(t *testing.T) {
	const head = "number,easting,northing,level,code\n"
	tests := []struct {
		name, text, columns string
		code                string
		line, column        int
		says                []string // parts of the message and hint
	}{
		{"order not known", "1,500,600,7.5,GRD\n2,501,600,7.5,KB\n3,502,600,7.5,TB\n4,503,600,7.5,TB\n", "", "unknown_columns", 1, 0,
			[]string{`"1,500,600,7.5,GRD", "2,501,600,7.5,KB", "3,502,600,7.5,TB"`, `as "number, easting, northing, level, code"`}},
		{"order not known, comment tells", "# P N E Z\n1 600 500 7.5\n", "", "unknown_columns", 2, 0,
			[]string{`as "number, northing, easting, level"`, "comment in line 1"}},
		{"title above the header", "Spots of the yard\nname;e;n;z\n1;2;3;4\n", "", "unknown_columns", 1, 0, []string{"line 2 reads like the header: put # before what stands above it"}},
		{"header not understood", "nr,Rechts,Hoch\n1,500,600\n", "", "unknown_columns", 1, 0, []string{"the header does not say", `"nr,Rechts,Hoch"`}},
		{"header names easting twice", "E,N,x,y\n1,2,3,4\n", "", "unknown_columns", 1, 0, []string{"names northing twice"}},
		{"header and statement disagree", "number,northing,easting\n1,2,3\n", "number, easting, northing", "columns_disagree", 1, 0,
			[]string{`"number, northing, easting"`, `"number, easting, northing"`}},
		{"statement leaves out the header's level", "number,easting,northing,level\n1,2,3,4\n", "number, easting, northing", "columns_disagree", 1, 0, nil},
		{"statement does not fit", "a b\nc d\n", "easting, northing, level", "columns_misfit", 1, 0, []string{`"a b", "c d"`}},
		{"unknown word", "", "number, easting, northing, lvl", "bad_columns", 0, 0, []string{`"lvl"`, "number, easting, northing, level, code, description, ignored"}},
		{"word twice", "", "easting, x, northing", "bad_columns", 0, 0, []string{"easting stands there twice"}},
		{"empty word", "", "easting,,northing", "bad_columns", 0, 0, nil},
		{"no northing", "", "easting, level", "bad_columns", 0, 0, []string{"northing is missing"}},
		{"latitude stated", "", "latitude, longitude, level", "bad_columns", 0, 0, []string{"degrees"}},
		{"latitude in the header", "name,lat,lon\n1,51.5,-1.2\n", "", "degrees", 1, 0, []string{"latitude or longitude"}},
		{"latitude in the header, order stated", "name,Latitude,Longitude\n1,51.5,-1.2\n", "number,northing,easting", "degrees", 1, 0, nil},
		{"empty file", "", penzd, "no_points", 0, 0, nil},
		{"only comments", "# a\n; b\n", penzd, "no_points", 0, 0, nil},
		{"only a header", head, "", "no_points", 0, 0, nil},
		{"UTF-16 little endian", "\xFF\xFE1\x00,\x00", penzd, "not_text", 0, 0, []string{"UTF-16"}},
		{"UTF-16 big endian", "\xFE\xFF\x001\x00,", penzd, "not_text", 0, 0, []string{"UTF-16"}},
		{"UTF-16 without a mark", "1\x00,\x005\x00", penzd, "not_text", 0, 0, []string{"zero bytes"}},
		{"no number", head + "1,500,600,7.5,GRD\n2,50o,600,7.5,GRD\n", "", "bad_number", 3, 3, []string{`easting "50o"`}},
		{"no number in the only line", "1,500,6x0,7.5,GRD\n", penzd, "bad_number", 1, 7, []string{`northing "6x0"`}},
		{"column counted in characters", "ä1,500,6x0,7.5,GRD\n", penzd, "bad_number", 1, 8, nil},
		{"level no number", head + "1,500,600,high,GRD\n", "", "bad_number", 2, 11, []string{`level "high"`}},
		{"second header line", head + "-,metres,metres,metres,-\n", "", "bad_number", 2, 3, []string{"only one header line"}},
		{"typo in the first row", head + "1,50o,600,7.5,GRD\n", "", "bad_number", 2, 3, []string{"correct it, or put # before the line"}},
		{"word in the first row", head + "1,500,x,7.5,GRD\n", "", "bad_number", 2, 7, []string{"correct it, or put # before the line"}},
		{"hexadecimal", head + "1,0x10,600,7,GRD\n", "", "bad_number", 2, 3, nil},
		{"underscore", head + "1,1_000,600,7,GRD\n", "", "bad_number", 2, 3, nil},
		{"infinite", head + "1,Inf,600,7,GRD\n", "", "bad_number", 2, 3, nil},
		{"too large for a float", head + "1,1e999,600,7,GRD\n", "", "out_of_range", 2, 3, nil},
		{"absurd", head + "1,500,1000000001,7,GRD\n", "", "out_of_range", 2, 7, []string{"1000000001"}},
		{"absurd level", head + "1,500,600,-1e10,GRD\n", "", "out_of_range", 2, 11, nil},
		{"no easting", head + "1,,600,7,GRD\n", "", "missing_coordinate", 2, 3, []string{"easting is missing"}},
		{"northing NaN", head + "1,500,NaN,7,GRD\n", "", "missing_coordinate", 2, 7, nil},
		{"line cut short", head + "1,500\n", "", "too_few_fields", 2, 6, []string{"before its northing"}},
		{"too many fields", "e,n,z\n1,2,3,4\n", "", "too_many_fields", 2, 7, []string{"4 fields"}},
		{"groups by space", head + "1,500 000.12,600,7,GRD\n", "", "digit_grouping", 2, 3, []string{`"500 000.12"`}},
		{"groups by apostrophe", head + "1,500'000.12,600,7,GRD\n", "", "digit_grouping", 2, 3, nil},
		{"groups by no-break space", head + "1,500\u00a0000.12,600,7,GRD\n", "", "digit_grouping", 2, 3, nil},
		{"groups by comma in quotes", head + "1,\"500,000.12\",600,7,GRD\n", "", "digit_grouping", 2, 3, nil},
		{"groups by comma", "1,500,000.12,6,200,000.50,7.5,GRD\n", penzd, "shifted_fields", 1, 16, []string{"digits in groups"}},
		{"groups by blank between blanks", "1 500 000.12 6 200 000.50 7.5 GRD\n", penzd, "digit_grouping", 1, 3, []string{`easting "500 000.12"`}},
		{"groups by blank, one coordinate", "1 500 000.12 600 7 x\n", penzd, "digit_grouping", 1, 3, []string{`easting "500 000.12"`}},
		{"groups by blank, no 0 in the second", "1 500 123.12 600 7 x\n", penzd, "digit_grouping", 1, 3, []string{`easting "500 123.12"`}},
		{"groups by blank, negative", "1 -500 123.12 600 7 x\n", penzd, "digit_grouping", 1, 3, []string{`easting "-500 123.12"`}},
		{"groups by blank in the northing", "1 500.5 6 200 7.5 3 pipes\n", penzd, "digit_grouping", 1, 9, []string{`northing "6 200"`}},
		{"groups by blank in the level", "1 500.5 600.5 1 234.5 x\n", penzd, "digit_grouping", 1, 15, []string{`level "1 234.5"`}},
		{"groups by blank, no level and no code", "499999.88 600 7\n500 000.12 600\n", "easting, northing, level", "digit_grouping", 2, 1, nil},
		{"groups by blank, level for a code", "1 500 123.12 600 7.5\n", penzd, "digit_grouping", 1, 3, nil},
		{"groups by blank, the only row with a number for a code", "1 499999.12 600 7 GRD\n2 500 123.12 600 7\n", penzd, "digit_grouping", 2, 3, nil},
		{"groups by blank, the only row with a code", "1 499999.12 600 7\n2 500 123.12 600 7\n", penzd, "digit_grouping", 2, 3, nil},
		{"groups by point with decimal comma", "1;500.000,12;6,5;7,5;GRD\n2;500,1;6,5;7,5;GRD\n", penzd, "digit_grouping", 1, 3, nil},
		{"decimal comma between commas", "1,500000,12,6200000,50,12,3,GRD\n", penzd, "shifted_fields", 1, 21, []string{"decimal comma"}},
		{"point, then comma", "1;500.5;600.5;7;A\n2;501,5;600,5;7;A\n", penzd, "mixed_decimal_marks", 2, 3, []string{"line 1"}},
		{"comma that may be a group", "1;1,234;5,678;9;A\n", penzd, "ambiguous_comma", 1, 3, []string{`"1,234"`}},
		{"name twice, other coordinates", head + "7,500,600,7.5,A\n8,0,0,0,A\n7,500,600,7.6,B\n", "", "name_conflict", 4, 1,
			[]string{`"7"`, "line 2", "level 7.5", "level 7.6"}},
		{"name twice, one without a level", head + "7,500,600,7.5,A\n7,500,600,,B\n", "", "name_conflict", 3, 1, []string{"no level"}},
		{"name twice, in a later column", "Ä,A7,500,600\nÖÜ,A7,500,601\n", "code,number,easting,northing", "name_conflict", 2, 4, nil},
		{"name twice, between blanks", "  Ä  A7 500.5 600\n\t ÖÜ  A7 500.5 601\n", "code,number,easting,northing", "name_conflict", 2, 7, nil},
		{"name twice, in quotes", "A7,500,600\n\"A7\",500,601\n", "number,easting,northing", "name_conflict", 2, 1, nil},
		{"long line", head + "1,2,3,4," + strings.Repeat("x", 64<<10) + "\n", "", "line_too_long", 2, 0, nil},
		{"very long line", head + strings.Repeat("x", 1<<20) + "\n", "", "line_too_long", 2, 0, nil},
		{"quoted line break", head + "1,2,3,4,\"a\nb\"\n", "", "too_few_fields", 3, 3, nil},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			f, err := read(t, tt.text, tt.columns)
			assert.Nil(t, f)
			var input *tin.InputError
			require.ErrorAs(t, err, &input)
			assert.Equal(t, tt.code, input.Code, err)
			assert.Equal(t, "p.csv", input.File)
			assert.Equal(t, tt.line, input.Line, err)
			assert.Equal(t, tt.column, input.Column, err)
			assert.NotEmpty(t, input.Hint)
			for _, part := range tt.says {
				assert.Contains(t, err.Error(), part)
			}
		})
	}
}

func TestReadSaysHowItRead(t *testing.T) {
	f, err := read(t, "# survey\n\nPoint;East;North;Height;Remark;Code\n1;500,25;600;7,5;wet;GRD\n2;501;600;;dry;KB\n", "")
	require.NoError(t, err)
	assert.Equal(t, []string{"number", "easting", "northing", "level", "ignored", "code"}, f.Columns)
	assert.True(t, f.Header)
	assert.True(t, f.DecimalComma)
	assert.Equal(t, "semicolon", f.Separator)
	assert.Equal(t, 5, f.Lines)
	assert.Equal(t, 1, f.Blank)
	assert.Equal(t, 1, f.Comments)
	want := []tin.Problem{
		{Code: "columns_not_read", Message: "columns not read: Remark"},
		{Code: "decimal_comma", Message: "numbers are read with a decimal comma"},
		{Code: "plan_only", Message: "1 point without a level, plan only (empty 1), the first in line 5"},
	}
	assert.Equal(t, want, f.Notes)
}

func TestReadLimits(t *testing.T) {
	data := surveyFile(1000)
	read := func(o pointfile.Options) error {
		_, err := pointfile.Read(t.Context(), bytes.NewReader(data), "p.csv", o)
		return err
	}
	var input *tin.InputError
	require.ErrorAs(t, read(pointfile.Options{MaxPoints: 999}), &input)
	assert.Equal(t, "too_many_points", input.Code)
	assert.Equal(t, 1001, input.Line, "the line of the first point too many")
	require.ErrorAs(t, read(pointfile.Options{MaxBytes: int64(len(data)) - 1}), &input)
	assert.Equal(t, "too_many_bytes", input.Code)
	assert.NoError(t, read(pointfile.Options{MaxPoints: 1000, MaxBytes: int64(len(data))}))
}

func TestReadProgressAndCancel(t *testing.T) {
	data := surveyFile(20000)
	var seen []int64
	_, err := pointfile.Read(t.Context(), bytes.NewReader(data), "p.csv", pointfile.Options{Progress: func(n int64) { seen = append(seen, n) }})
	require.NoError(t, err)
	require.Greater(t, len(seen), 3)
	assert.IsIncreasing(t, seen)
	assert.Equal(t, int64(len(data)), seen[len(seen)-1])

	ctx, cancel := context.WithCancel(t.Context())
	_, err = pointfile.Read(ctx, bytes.NewReader(data), "p.csv", pointfile.Options{Progress: func(int64) { cancel() }})
	assert.ErrorIs(t, err, context.Canceled)
}

// The size of the pieces in which bytes arrive must not matter, nor where the
// blocks end.
func TestReadInPieces(t *testing.T) {
	var b strings.Builder
	for i := range 9000 {
		fmt.Fprintf(&b, "%d;%d,5;%d,25;7,5;code %d", i, i, 2*i, i%7)
		b.WriteString([]string{"\r\n", "\n", "\r", "\r\n\r\n"}[i*i%4])
	}
	text := b.String()
	want, err := read(t, text, penzd)
	require.NoError(t, err)
	require.Len(t, want.Points, 9000)
	for name, r := range map[string]io.Reader{
		"bytes":     iotest.OneByteReader(strings.NewReader(text)),
		"halves":    iotest.HalfReader(strings.NewReader(text)),
		"with end":  iotest.DataErrReader(strings.NewReader(text)),
		"shifted":   io.MultiReader(strings.NewReader(text[:5]), strings.NewReader(text[5:])),
		"CR at end": io.MultiReader(strings.NewReader(text)),
	} {
		got, err := pointfile.Read(t.Context(), r, "p.csv", pointfile.Options{Columns: penzd})
		require.NoError(t, err, name)
		assert.Equal(t, want, got, name)
	}
}

// Every line end meets the end of a block at some shift.
func TestReadBlockEnds(t *testing.T) {
	for _, end := range []string{"\r\n", "\r", "\n"} {
		for shift := range 3 {
			line := "1 2 3" + end
			text := "#" + strings.Repeat("x", shift) + end + strings.Repeat(line, 45000)
			f, err := read(t, text, "easting, northing, level")
			require.NoError(t, err)
			assert.Equal(t, 45001, f.Lines, "%q %d", end, shift)
			assert.Zero(t, f.Blank)
		}
	}
}

func TestReadReaderFails(t *testing.T) {
	_, err := pointfile.Read(t.Context(), iotest.TimeoutReader(iotest.OneByteReader(strings.NewReader("1 2 3\n"))), "p.csv", pointfile.Options{})
	assert.ErrorIs(t, err, iotest.ErrTimeout)
	_, err = pointfile.Read(t.Context(), idleReader{}, "p.csv", pointfile.Options{})
	assert.ErrorIs(t, err, io.ErrNoProgress)
}

type idleReader struct{}

func (idleReader) Read([]byte) (int, error) { return 0, nil }

// The size a reader claims must not decide how much is allocated.
func TestReadFalseSize(t *testing.T) {
	r := liar{strings.NewReader("1 2 3\n4 5 6\n")}
	f, err := pointfile.Read(t.Context(), r, "p.csv", pointfile.Options{Columns: "easting, northing, level"})
	require.NoError(t, err)
	assert.Len(t, f.Points, 2)
	assert.LessOrEqual(t, cap(f.Points), 1<<20)
}

type liar struct{ io.Reader }

func (liar) Len() int { return math.MaxInt }

func TestReadNamesInAnyOrder(t *testing.T) {
	// A name far down, equal to one that was out of order, is found too.
	rows := []string{"zz", "10", "9", "11", "a", "9", "12", "a", "zz"}
	var b strings.Builder
	b.WriteString("name,e,n\n")
	for _, r := range rows {
		fmt.Fprintf(&b, "%s,1,1\n", r)
	}
	f, err := read(t, b.String(), "")
	require.NoError(t, err)
	require.Len(t, f.Notes, 2)
	assert.Equal(t, `3 names given again with the same coordinates, the first "9" in lines 4 and 7`, f.Notes[1].Message)
	_, err = read(t, b.String()+"11,1,1\n10,2,1\n", "")
	var input *tin.InputError
	require.ErrorAs(t, err, &input)
	assert.Equal(t, 12, input.Line)
	assert.Contains(t, input.Message, "line 3")
}

func TestReadMemory(t *testing.T) {
	data := surveyFile(200000)
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	f, err := pointfile.Read(t.Context(), bytes.NewReader(data), "p.csv", pointfile.Options{})
	runtime.ReadMemStats(&after)
	require.NoError(t, err)
	require.Len(t, f.Points, 200000)
	// 64 bytes a point and 6 for its name; the rest is the block of 128 KiB and
	// room left over.
	const result = 200000 * (64 + 6)
	assert.Less(t, after.TotalAlloc-before.TotalAlloc, uint64(result*5/4))
	assert.Less(t, after.Mallocs-before.Mallocs, uint64(1000))
}

func TestReadErrorsUnwrap(t *testing.T) {
	_, err := pointfile.Read(t.Context(), iotest.ErrReader(errors.New("disk")), "p.csv", pointfile.Options{})
	assert.EqualError(t, err, "pointfile: p.csv: disk")
}

// A file with many traps at once, from the disk.
func TestReadFieldBook(t *testing.T) {
	r, err := os.Open("testdata/field-book.txt")
	require.NoError(t, err)
	defer r.Close()
	f, err := pointfile.Read(t.Context(), r, "field-book.txt", pointfile.Options{
		Columns: "number, easting, northing, level, code, description",
	})
	require.NoError(t, err)
	assert.Equal(t, []string{
		pt(4, 312540.125, 5812300, "62.5", "001", "GRD"), pt(5, 312550.25, 5812300.5, "62.41", "002", "GRD"),
		pt(7, 312500, 5812290, "NaN", "BM1", "BM"), pt(8, 312545.5, 5812310, "62.38", "", "GRD"),
	}, flat(f.Points))
	assert.Equal(t, []string{
		"byte_order_mark", "end_mark", "decimal_comma", "plan_only", "joined_fields", "description_not_kept",
	}, codes(f.Notes))
	assert.Equal(t, []int{9, 3, 1}, []int{f.Lines, f.Blank, f.Comments})
	assertSum(t, f)
}
