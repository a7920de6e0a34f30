package formation

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/paulmach/orb"

	"barrow/tin"
)

// Fall is the fall of a pad: its formation and its finished surface go down at
// one slope in one direction.
type Fall struct {
	Slope   float64   // fall per length along, 0.01 for 1:100; in [0, 1]
	Bearing float64   // in which it goes down, degrees from north clockwise
	At      orb.Point // where [Pad].Finished holds, metres
}

// A bare number above this is refused: 0.5 may mean 0.5 % or 50 %.
const steepestBareSlope = 0.25

const slopeHint = `write a fall as "1:80", "1.25 %" or "0.0125"`

// ParseSlope reads a fall and returns it as fall per metre along, in [0, 1]:
// "1:80", "1.25 %", "1.25%" and "0.0125" are all 0.0125. Blanks around the parts
// do not matter. A ratio starts with 1. A bare number above 0.25 is refused,
// since it may be meant in per cent. A batter's form, "1V:80H", is refused, and
// so are signs: a fall goes down towards its bearing.
//
// An error is a *tin.InputError with [CodeBadSlope] and no key.
func ParseSlope(text string) (float64, error) {
	bad := func(message, hint string) (float64, error) {
		return 0, &tin.InputError{Code: CodeBadSlope, Message: fmt.Sprintf("fall %.40q %s", text, message), Hint: hint}
	}
	t := strings.TrimSpace(text)
	switch {
	case t == "":
		return bad("is empty", slopeHint)
	case strings.HasPrefix(t, "-"):
		return bad("has a sign", "a fall goes down towards its bearing: turn the bearing by 180 degrees instead")
	case strings.Contains(t, ","):
		return bad("has a comma", "write decimals with a point")
	}
	if left, right, ok := strings.Cut(t, ":"); ok {
		a, okA := plainNumber(left)
		b, okB := plainNumber(right)
		_, letterA, _ := letteredNumber(left)
		_, letterB, _ := letteredNumber(right)
		switch {
		case letterA+letterB != "":
			return bad("has the letters of a batter", slopeHint)
		case !okA || !okB:
			return bad("is not a ratio of two numbers", slopeHint)
		case a != 1 && a > 0 && b >= a:
			return bad("does not start with 1", fmt.Sprintf("write it as \"1:%.6g\"", b/a))
		case a != 1 && a > b && b > 0:
			return bad("does not start with 1", fmt.Sprintf("did you mean \"1:%.6g\"?", a/b))
		case a != 1:
			return bad("does not start with 1", slopeHint)
		case b < 1:
			return bad("is steeper than 1:1", slopeHint)
		}
		return 1 / b, nil
	}
	if percent, ok := strings.CutSuffix(t, "%"); ok {
		percent = strings.TrimSpace(percent)
		if _, ok := plainNumber(percent); !ok {
			return bad("is not a number before its per cent sign", slopeHint)
		}
		// Moving the point in the text gives the double nearest to the decimal.
		slope, err := strconv.ParseFloat(percent+"e-2", 64)
		switch {
		case err != nil:
			return bad("is not a number before its per cent sign", slopeHint)
		case slope > 1:
			return bad("is steeper than 100 %", slopeHint)
		}
		return slope, nil
	}
	slope, ok := plainNumber(t)
	switch {
	case !ok:
		return bad("cannot be read", slopeHint)
	case slope > 1:
		return bad("is steeper than 1:1", fmt.Sprintf("did you mean \"%[1]s %%\" or \"1:%[1]s\"?", clip(t)))
	case slope > steepestBareSlope:
		return bad("may be meant in per cent", fmt.Sprintf("write \"%s %%\" or \"%.6g %%\"", clip(t), slope*100))
	}
	return slope, nil
}

const batterHint = `write a batter as "1V:2H", one up for two along`

// ParseBatter reads a batter "1V:nH" and returns n, the metres along for each
// metre up, 0 or more. Letters may be small, and blanks around the parts do not
// matter. A bare "1:2" is refused: in some countries it is one up for two
// along, in others one along for two up.
//
// An error is a *tin.InputError with [CodeBadBatter] and no key.
func ParseBatter(text string) (n float64, err error) {
	bad := func(message, hint string) (float64, error) {
		return 0, &tin.InputError{Code: CodeBadBatter, Message: fmt.Sprintf("batter %.40q %s", text, message), Hint: hint}
	}
	if strings.TrimSpace(text) == "" {
		return bad("is empty", batterHint)
	}
	if strings.Contains(text, ",") {
		return bad("has a comma", "write decimals with a point")
	}
	left, right, ok := strings.Cut(text, ":")
	a, letterA, okA := letteredNumber(left)
	b, letterB, okB := letteredNumber(right)
	switch letters := letterA + letterB; {
	case !ok || !okA || !okB:
		return bad("cannot be read", batterHint)
	case letters == "VH" && a == 1:
		return b, nil
	case letters == "VH" && a > 0:
		return bad("does not start with 1V", fmt.Sprintf("write \"1V:%.6gH\"", b/a))
	case letters == "HV" && b > 0:
		return bad("does not start with 1V", fmt.Sprintf("write \"1V:%.6gH\"", a/b))
	case letters == "" && a > 0 && a == b:
		return bad("has no letters", `write "1V:1H"`)
	case letters == "" && a > 0 && b > 0:
		return bad("has no letters, and means different things in different countries",
			fmt.Sprintf("write \"1V:%.6gH\" or \"1V:%.6gH\"", b/a, a/b))
	}
	return bad("cannot be read", batterHint)
}

// letteredNumber splits "2H" into 2 and "H"; the letter may be missing.
func letteredNumber(s string) (n float64, letter string, ok bool) {
	s = strings.TrimSpace(s)
	if s != "" {
		if l := strings.ToUpper(s[len(s)-1:]); l == "V" || l == "H" {
			letter, s = l, s[:len(s)-1]
		}
	}
	n, ok = plainNumber(s)
	return n, letter, ok
}

// plainNumber reads digits with at most one decimal point, and nothing else: no
// sign, exponent, hexadecimals, underscores or "inf".
func plainNumber(s string) (float64, bool) {
	s = strings.TrimSpace(s)
	digits, points := 0, 0
	for i := range len(s) {
		switch c := s[i]; {
		case c >= '0' && c <= '9':
			digits++
		case c == '.':
			points++
		default:
			return 0, false
		}
	}
	if digits == 0 || points > 1 {
		return 0, false
	}
	x, err := strconv.ParseFloat(s, 64)
	return x, err == nil
}

// clip shortens what a message quotes.
func clip(s string) string {
	if len(s) > 40 {
		return s[:40] + "..."
	}
	return s
}
