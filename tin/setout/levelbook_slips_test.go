package setout_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin/setout"
)

// LEV-1 as a whole book: its printed collimations and levels, and the rises and falls.
const lev1Booked = `point,backsight,intermediate,foresight,level,rise,fall,collimation,reduced
BM1,6.482,,,40.000,,,46.482,40.000
CP1,5.844,,2.159,,4.323,,50.167,44.323
C,,3.141,,,2.703,,,47.026
D,,-2.956,,,6.097,,,53.123
E,,5.600,,,,8.556,,44.567
CP2,4.298,,7.318,,,1.718,47.147,42.849
F,,3.015,,,1.283,,,44.132
BM2,,,4.264,,,1.249,,42.883
`

// without empties columns of a book, by their number.
func without(text string, columns ...int) string {
	lines := strings.Split(strings.TrimSpace(text), "\n")
	for i := 1; i < len(lines); i++ {
		fields := strings.Split(lines[i], ",")
		for _, c := range columns {
			fields[c] = ""
		}
		lines[i] = strings.Join(fields, ",")
	}
	return strings.Join(lines, "\n") + "\n"
}

func TestBookedFiguresAgree(t *testing.T) {
	for _, text := range []string{lev1Booked, without(lev1Booked, 7), without(lev1Booked, 5, 6), without(lev1Booked, 7, 8)} {
		r := reduce(t, text, setout.BookOptions{})
		assert.Empty(t, r.Warnings)
		assert.Greater(t, len(r.Checks), 5, "the booked figures have sums of their own")
		holds(t, r)
	}
}

// A digit transposed in one place of a booked book is found in its line, and what
// changed places is said.
func TestTransposedDigitInABookedBook(t *testing.T) {
	steps, collimation, reduced := []int{7, 8}, []int{5, 6}, []int{5, 6, 7}
	for _, tt := range []struct {
		name, old, new string
		empty          []int
		want           []string
		says           string
	}{
		{"intermediate, levels", "C,,3.141", "C,,3.411", collimation, []string{"4 booked_differs"}, "intermediate sight 3.141 in place of 3.411 in line 4"},
		{"intermediate, levels alone", "C,,3.141", "C,,3.411", reduced, []string{"4 booked_differs"}, "3.141 in place of 3.411 in line 4"},
		{"intermediate, steps", "C,,3.141", "C,,3.411", steps, []string{"4 booked_differs"}, "3.141 in place of 3.411 in line 4"},
		{"foresight, levels", "2.159", "2.195", collimation, []string{"3 booked_differs", "9 arithmetic_check"}, "foresight 2.159 in place of 2.195 in line 3"},
		{"foresight, steps", "2.159", "2.195", steps, []string{"3 booked_differs", "9 arithmetic_check"}, "foresight 2.159 in place of 2.195 in line 3"},
		{"backsight, collimation", "5.844", "8.544", collimation, []string{"3 booked_differs", "9 arithmetic_check"}, "backsight 5.844 in place of 8.544 in line 3"},
		{"backsight, levels alone", "5.844", "8.544", reduced, []string{"3 booked_differs", "9 arithmetic_check"}, "backsight 5.844 in place of 8.544 in line 3"},
		{"backsight, steps", "5.844", "8.544", steps, []string{"4 booked_differs", "9 arithmetic_check"}, "backsight 5.844 in place of 8.544 in line 3"},
		{"booked level", "47.026", "47.062", collimation, []string{"4 booked_differs"}, "two digits of the booked figure changed places"},
		{"booked collimation", "50.167", "51.067", collimation, []string{"3 booked_differs"}, "two digits of the booked figure changed places"},
		{"no transposition", "C,,3.141", "C,,3.151", collimation, []string{"4 booked_differs"}, "the reading or the booked figure is wrong"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			text := strings.Replace(without(lev1Booked, tt.empty...), tt.old, tt.new, 1)
			r := reduce(t, text, setout.BookOptions{})
			assert.Equal(t, tt.want, codes(r.Warnings), "%v", r.Warnings)
			assert.Contains(t, r.Warnings[0].Message, tt.says)
			assert.False(t, r.Sound())
		})
	}
}

// Where only readings are booked, the misclosure shows a transposed digit in a sight of
// the line of change points; the readings that would explain it are named, as a hint.
func TestTransposedDigitInAMisclosure(t *testing.T) {
	closed := strings.Replace(lev1, "BM2,,,4.264,,", "BM2,,,4.264,42.883,", 1)
	allow := setout.BookOptions{Allowance: setout.Allowance{Constant: dec("0.005"), Per: setout.PerSetUp}}
	require.Empty(t, reduce(t, closed, allow).Warnings)
	for _, tt := range []struct {
		name, old, new string
		line           string
		says           string
	}{
		{"foresight", "2.159", "2.195", "3 transposed_digits", "foresight 2.159 in place of 2.195"},
		{"backsight", "6.482", "6.842", "2 transposed_digits", "backsight 6.482 in place of 6.842"},
		{"last foresight", "4.264", "2.464", "9 transposed_digits", "foresight 4.264 in place of 2.464"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			text := strings.Replace(closed, tt.old, tt.new, 1)
			for _, opts := range []setout.BookOptions{allow, {}} {
				r := reduce(t, text, opts)
				assert.False(t, r.Distributed)
				assert.False(t, r.Sound())
				assert.Contains(t, codes(r.Warnings), tt.line)
				var said string
				for _, w := range r.Warnings {
					said += w.Message + "\n"
				}
				assert.Contains(t, said, tt.says)
				assert.Contains(t, said, "it is no proof")
				holds(t, r)
			}
		})
	}
	// A slip in an intermediate sight is in no sum: that is said.
	r := reduce(t, strings.Replace(closed, "3.141", "3.411", 1), allow)
	assert.Empty(t, r.Warnings)
	assert.Contains(t, codes(r.Notes), "0 intermediates_unchecked")
}

// All that is wrong in one book is found, each with its line.
func TestStaffAndDistances(t *testing.T) {
	text := strings.Replace(strings.Replace(line4, "P2,,1.300", "P2,,-5.300", 1), ",150,", ",90,", 1)
	r := reduce(t, text, setout.BookOptions{Staff: entry("5"), Allowance: setout.Allowance{Constant: dec("0.02"), Per: setout.PerKilometre}})
	assert.Equal(t, []string{"5 distance_decreases", "6 reading_over_staff"}, codes(r.Warnings))
	assert.Contains(t, r.Warnings[0].Message, "distance 90 is less than that of line 4, 100")
	assert.Contains(t, r.Warnings[1].Message, "intermediate sight -5.300 is over the staff's length of 5.000 m")
	assert.True(t, r.Closures[0].Within)
	assert.False(t, r.Distributed, "nothing is spread over a book with a warning")
	assert.False(t, r.Sound())
	exact := reduce(t, line4, setout.BookOptions{Staff: entry("1.9")})
	assert.NotContains(t, codes(exact.Warnings), "7 reading_over_staff", "as long as the staff is not over it")
}

// Of the checks by intermediate sights in one stretch the first that is off is searched
// for slips: a book that sights one mark a thousand times is not searched as often.
func TestOneSearchAStretch(t *testing.T) {
	text := "point,backsight,intermediate,foresight,level\nBM1,1.500,,,10.000\nC,1.320,,1.100,\n" +
		strings.Repeat("BM2,,1.000,,10.630\n", 1000) + "BM1,,,1.720,\n"
	r := reduce(t, text, setout.BookOptions{})
	found := 0
	for _, w := range r.Warnings {
		if w.Code == "transposed_digits" {
			found++
		}
	}
	assert.Len(t, r.Closures, 1001)
	assert.Len(t, r.Warnings, 1000+found)
	assert.Equal(t, 1, found)
	assert.Contains(t, r.Warnings[0].Message, "line 3, C: perhaps two digits changed places: backsight 1.230 in place of 1.320")
}
