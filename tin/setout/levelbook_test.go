package setout_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/setout"
)

func read(t *testing.T, text string, unit tin.Unit) *setout.Book {
	t.Helper()
	b, err := setout.ReadBook(strings.NewReader(text), "book.csv", unit)
	require.NoError(t, err)
	return b
}

func reduce(t *testing.T, text string, opts setout.BookOptions) *setout.Reduction {
	t.Helper()
	r, err := read(t, text, tin.Metre).Reduce(opts)
	require.NoError(t, err)
	return r
}

// dec reads a decimal that a test is written with.
func dec(text string) setout.Decimal {
	d, _, err := setout.ParseDecimal(text)
	if err != nil {
		panic(err)
	}
	return d
}

func entry(text string) setout.Entry {
	if text == "" {
		return setout.Entry{}
	}
	return setout.Given(dec(text))
}

// holds asks for all arithmetic checks to hold.
func holds(t *testing.T, r *setout.Reduction) {
	t.Helper()
	for _, c := range r.Checks {
		assert.True(t, c.Holds(), "%s: %s, %s", c.What, c.Left, c.Right)
	}
}

// codes lists warnings as "line code".
func codes(list []setout.Finding) (out []string) {
	for _, f := range list {
		out = append(out, fmt.Sprintf("%d %s", f.Line, f.Code))
	}
	return out
}

// LEV-1: Papua New Guinea University of Technology, Department of Surveying and Land
// Studies, Lecture Two, Level Books and Arithmetic Checks. Rises and falls worked by
// hand.
const lev1 = `point,backsight,intermediate,foresight,level,remark
BM1,6.482,,,40.000,
CP1,5.844,,2.159,,
C,,3.141,,,
D,,-2.956,,,underside of bridge
E,,5.6,,,
CP2,4.298,,7.318,,
F,,3.015,,,
BM2,,,4.264,,
`

func TestLev1(t *testing.T) {
	r := reduce(t, lev1, setout.BookOptions{})
	want := []struct{ collimation, level, rise, fall string }{
		{"46.482", "40.000", "", ""},
		{"50.167", "44.323", "4.323", ""},
		{"", "47.026", "2.703", ""},
		{"", "53.123", "6.097", ""},
		{"", "44.567", "", "8.556"},
		{"47.147", "42.849", "", "1.718"},
		{"", "44.132", "1.283", ""},
		{"", "42.883", "", "1.249"},
	}
	require.Len(t, r.Rows, len(want))
	for i, w := range want {
		got := r.Rows[i]
		assert.Equal(t, dec(w.level), got.ByCollimation, "row %d", i)
		assert.Equal(t, dec(w.level), got.ByRiseAndFall, "row %d", i)
		assert.Equal(t, dec(w.level), got.Level, "row %d", i)
		assert.Equal(t, entry(w.collimation), got.Collimation, "row %d", i)
		assert.Equal(t, entry(w.rise), got.Rise, "row %d", i)
		assert.Equal(t, entry(w.fall), got.Fall, "row %d", i)
	}
	assert.Equal(t, "16.624", r.Sums.Backsights.Text(3))
	assert.Equal(t, "13.741", r.Sums.Foresights.Text(3))
	assert.Equal(t, "2.883", (r.Sums.Backsights - r.Sums.Foresights).Text(3))
	assert.Equal(t, "2.883", (r.Sums.Rises - r.Sums.Falls).Text(3))
	assert.Len(t, r.Checks, 5)
	holds(t, r)
	assert.Empty(t, r.Warnings)
	assert.True(t, r.Sound())
	assert.Equal(t, []string{"0 inverted_staff", "0 intermediates_unchecked", "0 not_closed"}, codes(r.Notes))
	assert.Contains(t, r.Notes[0].Message, "line 5, D")
}

// The word inverted stands for the minus.
func TestInvertedByWord(t *testing.T) {
	word := reduce(t, strings.Replace(lev1, "-2.956", "2.956 inverted", 1), setout.BookOptions{})
	assert.Equal(t, reduce(t, lev1, setout.BookOptions{}).Rows, word.Rows)
}

// LEV-3: differential leveling lecture notes, BM Rock.
func TestLev3(t *testing.T) {
	b := read(t, "point,backsight,foresight,level\nBM Rock,8.42,,820.00\nX,,1.20,\n", tin.Foot)
	r, err := b.Reduce(setout.BookOptions{})
	require.NoError(t, err)
	assert.Equal(t, "828.42", r.SetUps[0].Collimation.String())
	assert.Equal(t, "827.22", r.Rows[1].Level.String())
	assert.Equal(t, 827.22, r.Rows[1].Level.Float())
	holds(t, r)
}

// Ground below formation is fill; what an inverted staff stood against is no ground.
func TestDepths(t *testing.T) {
	r := reduce(t, lev1, setout.BookOptions{Formation: entry("45")})
	assert.Equal(t, entry("-0.677"), r.Rows[1].Cut)
	assert.Equal(t, entry("2.026"), r.Rows[2].Cut)
	assert.False(t, r.Rows[3].Cut.Given)
	assert.Equal(t, entry("5.167"), r.SetUps[1].ToFormation)
}

// LEV-4 and the level notes of GRID-1: surveying textbook, Example Noteforms, Plate
// B.2, p. 890 (believed to be Ghilani and Wolf, Elementary Surveying; attribution
// from memory): 21 staff readings, levels and cuts.
func TestLev4(t *testing.T) {
	points := strings.Fields("A0 B0 C0 D0 E0 A1 B1 C1 D1 E1 A2 B2 C2 D2 A3 B3 C3 D3 A4 B4 C4")
	readings := strings.Fields("5.2 5.4 5.7 5.9 6.2 4.7 4.8 5.2 5.5 5.8 4.2 4.7 4.8 5.0 3.8 4.0 4.6 4.6 3.4 3.7 4.2")
	levels := strings.Fields("359.5 359.3 359.0 358.8 358.5 360.0 359.9 359.5 359.2 358.9 360.5 360.0 359.9 359.7 360.9 360.7 360.1 360.1 361.3 361.0 360.5")
	cuts := strings.Fields("1.5 1.3 1.0 0.8 0.5 2.0 1.9 1.5 1.2 0.9 2.5 2.0 1.9 1.7 2.9 2.7 2.1 2.1 3.3 3.0 2.5")
	text := "point,backsight,intermediate,foresight,level\nBM,4.22,,,360.48\n"
	for i, p := range points {
		text += p + ",," + readings[i] + ",,\n"
	}
	text += "BM,,,4.22,\n"
	b := read(t, text, tin.Foot)
	r, err := b.Reduce(setout.BookOptions{Formation: entry("358.0"), Allowance: setout.Allowance{Constant: dec("0.02"), Per: setout.PerSetUp}})
	require.NoError(t, err)
	assert.Equal(t, dec("364.70"), r.SetUps[0].Collimation)
	assert.Equal(t, entry("6.70"), r.SetUps[0].ToFormation)
	for i := range points {
		assert.Equal(t, dec(levels[i]), r.Rows[i+1].Level, points[i])
		assert.Equal(t, entry(cuts[i]), r.Rows[i+1].Cut, points[i])
	}
	holds(t, r)
	require.Len(t, r.Closures, 1, "a point named again is known")
	assert.Zero(t, r.Closures[0].Misclosure)
	assert.True(t, r.Distributed)
}

// A made-up line of four set-ups between two benchmarks, worked by hand: it comes 8 mm
// too high over 0.4 km.
const line4 = `point,backsight,intermediate,foresight,distance,level,easting,northing,code
BM1,1.500,,,0,50.000,100,200,BM
P1,,1.200,,,,110,200,GL
C1,1.600,,1.000,100,,120,200,
C2,1.400,,1.100,150,,130,200,
P2,,1.300,,,,140,200,GL
C3,1.700,,1.900,300,,150,200,
BM2,,,1.192,400,51.000,160,200,BM
`

func TestDistribution(t *testing.T) {
	levels := func(r *setout.Reduction) (out []string) {
		for i := range r.Rows {
			out = append(out, r.Rows[i].Level.Text(3))
		}
		return out
	}
	raw := []string{"50.000", "50.300", "50.500", "51.000", "51.100", "50.500", "51.008"}
	for _, tt := range []struct {
		name  string
		allow setout.Allowance
		want  []string
		ok    bool
	}{
		{"by distance", setout.Allowance{Constant: dec("0.013"), Per: setout.PerKilometre},
			[]string{"50.000", "50.300", "50.498", "50.997", "51.097", "50.494", "51.000"}, true},
		{"by set-ups", setout.Allowance{Constant: dec("0.004"), Per: setout.PerSetUp}, // 4 mm x 2, exactly 8 mm
			[]string{"50.000", "50.300", "50.498", "50.996", "51.096", "50.494", "51.000"}, true},
		{"by miles", setout.Allowance{Constant: dec("0.017"), Per: setout.PerMile},
			[]string{"50.000", "50.300", "50.498", "50.997", "51.097", "50.494", "51.000"}, true},
		{"a little less", setout.Allowance{Constant: dec("0.003999"), Per: setout.PerSetUp}, raw, false},
		{"beyond, by distance", setout.Allowance{Constant: dec("0.0126"), Per: setout.PerKilometre}, raw, false}, // 7.97 mm
		{"none stated", setout.Allowance{}, raw, false},
	} {
		t.Run(tt.name, func(t *testing.T) {
			r := reduce(t, line4, setout.BookOptions{Allowance: tt.allow})
			holds(t, r)
			require.Len(t, r.Closures, 1)
			c := r.Closures[0]
			assert.Equal(t, "0.008", c.Misclosure.Text(3))
			assert.Equal(t, 4, c.SetUps)
			assert.Equal(t, entry("400"), c.Distance)
			assert.Equal(t, tt.ok, c.Within)
			assert.Equal(t, tt.ok, r.Distributed)
			assert.Equal(t, tt.want, levels(r))
			switch {
			case tt.ok:
				assert.Empty(t, r.Warnings)
			case tt.allow.Per == setout.NotStated:
				assert.Equal(t, []string{"8 misclosure_unjudged"}, codes(r.Warnings))
				assert.True(t, r.Sound(), "nobody said that it is too much")
			default:
				assert.Equal(t, []string{"8 misclosure"}, codes(r.Warnings))
				assert.False(t, r.Sound())
			}
		})
	}
}

// Two stretches, each with a misclosure of its own: 4 mm, then -2 mm; what follows the
// last known level keeps its correction. A benchmark sighted between is a check.
func TestStretches(t *testing.T) {
	r := reduce(t, `point,backsight,intermediate,foresight,level
BM1,1.000,,,10.000
C1,1.000,,1.000,
BM2,1.000,,0.996,10.000
BM4,,0.902,,10.100
C2,1.000,,1.002,
BM3,1.000,,1.000,10.000
P,,0.500,,
C4,,,1.000,
`, setout.BookOptions{Allowance: setout.Allowance{Constant: dec("0.003"), Per: setout.PerSetUp}})
	require.Empty(t, r.Warnings)
	require.Len(t, r.Closures, 3)
	var off, correction []string
	for _, c := range r.Closures {
		off = append(off, c.Misclosure.Text(3))
	}
	for _, row := range r.Rows {
		correction = append(correction, row.Correction.Text(3))
	}
	assert.Equal(t, []string{"0.004", "-0.002", "-0.002"}, off)
	assert.Equal(t, []string{"0.000", "-0.002", "-0.004", "-0.004", "-0.003", "-0.002", "-0.002", "-0.002"}, correction)
	assert.True(t, r.Closures[1].Intermediate)
	assert.Equal(t, 1, r.Closures[1].SetUps)
	assert.Equal(t, "10.000", r.Rows[5].Level.Text(3))
}

// What does not make a line of levelling is an error that names the line.
func TestBookErrors(t *testing.T) {
	const head = "point,backsight,intermediate,foresight,distance,level,easting,northing\n"
	for _, tt := range []struct {
		name, rows, code string
		line             int
	}{
		{"missing foresight at a change point", "A,1,,,,10\nC1,1,,,,\nB,,,1,,\n", "foresight_missing", 3},
		{"missing last foresight", "A,1,,,,10\nC1,1,,1,,\nB,,,,,\n", "reading_missing", 4},
		{"ends with a backsight", "A,1,,,,10\nB,1,,1,,\n", "foresight_missing", 3},
		{"ends between", "A,1,,,,10\nB,,1,,,\n", "foresight_missing", 3},
		{"missing backsight", "A,1,,,,10\nC1,,,1,,\nB,,,1,,\n", "backsight_missing", 3},
		{"begins with a foresight", "A,,,1,,10\nB,,,1,,\n", "backsight_missing", 2},
		{"three sights", "A,1,,,,10\nC1,1,1,1,,\nB,,,1,,\n", "readings_clash", 3},
		{"no level to begin with", "A,1,,,,\nB,,,1,,\n", "level_missing", 2},
		{"one row", "A,1,,,,10\n", "book_short", 0},
		{"two levels of one benchmark", "A,1,,,,10\nA,,,1,,11\n", "levels_differ", 3},
		{"not a number", "A,1,,,,10\nB,,,1.2.3,,\n", "bad_number", 3},
		{"exponent", "A,1,,,,10\nB,,,1e2,,\n", "bad_number", 3},
		{"in millimetres", "A,1500,,,,10\nB,,,1,,\n", "bad_number", 2},
		{"seven decimals", "A,1.0000001,,,,10\nB,,,1,,\n", "bad_number", 2},
		{"inverted twice", "A,1,,,,10\nB,,,-1 inverted,,\n", "bad_number", 3},
		{"decimal comma", "A,1,5,,,,,,10\nB,,,1,,\n", "too_many_fields", 2},
		{"half a place", "A,1,,,,10,5\nB,,,1,,\n", "half_a_place", 2},
		{"a quote", "\"A,1,,,,10\n", "bad_quotes", 2},
		{"a quote in a field", "A\"B,1,,,,10\n", "bad_quotes", 2},
	} {
		t.Run(tt.name, func(t *testing.T) {
			b, err := setout.ReadBook(strings.NewReader(head+tt.rows), "book.csv", tin.Metre)
			if err == nil {
				_, err = b.Reduce(setout.BookOptions{})
			}
			var e *tin.InputError
			require.ErrorAs(t, err, &e)
			assert.Equal(t, tt.code, e.Code, e.Error())
			assert.Equal(t, tt.line, e.Line, e.Error())
			assert.NotEmpty(t, e.Hint)
			assert.Equal(t, "book.csv", e.File)
		})
	}
	for text, code := range map[string]string{
		"": "book_empty", "\n\n": "book_empty", "point,backsight,foresight\n": "bad_columns",
		"point,backsight,foresight,level,sky\n": "bad_columns", "bs,backsight,foresight,level\n": "bad_columns",
	} {
		_, err := setout.ReadBook(strings.NewReader(text), "book.csv", tin.Metre)
		var e *tin.InputError
		require.ErrorAs(t, err, &e)
		assert.Equal(t, code, e.Code, text)
	}
	_, err := read(t, strings.Replace(line4, ",150,", ",,", 1), tin.Metre).Reduce(setout.BookOptions{
		Allowance: setout.Allowance{Constant: dec("0.012"), Per: setout.PerKilometre}})
	var e *tin.InputError
	require.ErrorAs(t, err, &e)
	assert.Equal(t, "distance_missing", e.Code)
	assert.Equal(t, 5, e.Line)
}

// Semicolons and tabs, comments, a byte order mark and ISO 8859-1 are read.
func TestBookText(t *testing.T) {
	want := reduce(t, lev1, setout.BookOptions{}).Rows
	for name, text := range map[string]string{
		"semicolons":  strings.ReplaceAll(lev1, ",", ";"),
		"tabs":        strings.ReplaceAll(lev1, ",", "\t"),
		"comments":    "# a; book\n\n" + strings.Replace(lev1, "C,,", "# moved the level\nC,,", 1),
		"mark, CRLF":  "\ufeff" + strings.ReplaceAll(lev1, "\n", "\r\n"),
		"other words": strings.Replace(lev1, "point,backsight,intermediate,foresight", "Name,BS,IS,FS", 1),
	} {
		assert.Equal(t, want, reduce(t, text, setout.BookOptions{}).Rows, name)
	}
	b := read(t, strings.Replace(lev1, "underside", "unters\xe4ite", 1), tin.Metre)
	assert.Equal(t, "untersäite of bridge", b.Rows[3].Remark)
	assert.Equal(t, []string{"0 not_utf8"}, codes(b.Notes))
}

// Points are what has a place; no inverted staff, no point twice.
func TestPoints(t *testing.T) {
	r := reduce(t, strings.Replace(line4, "P2,,1.300", "P2,,-1.300", 1), setout.BookOptions{})
	points, left := r.Points()
	require.Len(t, points, 6)
	assert.Equal(t, tin.Point{E: 110, N: 200, Level: 50.3, Name: "P1", Code: "GL", Line: 3}, points[1])
	assert.Equal(t, setout.LeftOut{Inverted: 1}, left)
	_, left = reduce(t, lev1, setout.BookOptions{}).Points()
	assert.Equal(t, setout.LeftOut{Unplaced: 8}, left)
	loop := reduce(t, "point,backsight,foresight,level,easting,northing\nA,1,,10,5,5\nB,1,2,,6,6\nA,,0,,5,5\n", setout.BookOptions{})
	points, left = loop.Points()
	assert.Len(t, points, 2)
	assert.Equal(t, setout.LeftOut{Again: 1}, left)
}

// An allowance of 12 in a book in metres was meant in millimetres: twelve metres would
// spread any slip over the book as if it were none.
func TestAllowanceWithoutItsUnit(t *testing.T) {
	b, err := setout.ReadBook(strings.NewReader("point,backsight,foresight,level\nA,1,,10\nB,,1,12\n"), "book.csv", tin.Metre)
	require.NoError(t, err)
	_, err = b.Reduce(setout.BookOptions{Allowance: setout.Allowance{Constant: dec("12"), Per: setout.PerSetUp}})
	var e *tin.InputError
	require.ErrorAs(t, err, &e)
	assert.Equal(t, "bad_option", e.Code)
	_, err = b.Reduce(setout.BookOptions{Allowance: setout.Allowance{Constant: dec("1"), Per: setout.PerSetUp}})
	assert.NoError(t, err)
}

// What is no level book is not repeated in the message.
func TestBookMessagesAreShort(t *testing.T) {
	long := strings.Repeat("9", 1_000_000)
	for _, text := range []string{
		strings.Repeat("\x00", 1_000_000), "point,backsight,foresight,level\nA," + long + ",,10\n", "point,backsight,foresight,level\nA\x01" + long + ",1,,10\n",
		"point,backsight,foresight,level\nA,1,,10," + long + "\n",
	} {
		_, err := setout.ReadBook(strings.NewReader(text), "book.csv", tin.Metre)
		require.Error(t, err)
		assert.Less(t, len(err.Error()), 600)
	}
}
