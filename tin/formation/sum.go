package formation

import (
	"math"

	"barrow/tin"
)

// Levels and thicknesses are written as decimals, but 63.15 - 0.175 - 0.05 in
// doubles is 62.925000000000004. levelSum therefore adds in whole nanometres as
// long as every term is the double nearest to a decimal of at most nine places
// (three places of a foot take seven), and divides once at the end: one
// rounding, so the result is the double nearest to the decimal sum. Other terms
// turn it into a compensated sum. Taking a double for the decimal it is nearest
// to moves it by less than its own rounding, so a term that is such a decimal
// by chance does no harm.
type levelSum struct {
	whole int64 // nanometres
	plain bool  // a term was no such decimal, or the sum grew too great
	terms tin.Sum
}

const (
	nanometres     = 1e9
	greatestTerm   = 1e6     // metres; above it doubles are too coarse to tell nanometres apart
	greatestWholes = 1 << 53 // beyond it a whole number is no longer exact in a double
)

func (s *levelSum) add(x float64) {
	s.terms.Add(x)
	k, ok := wholeNanometres(x)
	if !ok {
		s.plain = true
	}
	if s.plain {
		return
	}
	s.whole += k
	s.plain = s.whole < -greatestWholes || s.whole > greatestWholes
}

func (s *levelSum) value() float64 {
	if s.plain {
		return s.terms.Value()
	}
	return float64(s.whole) / nanometres
}

// wholeNanometres returns k where x is the double nearest to k * 10^-9.
func wholeNanometres(x float64) (k int64, ok bool) {
	if !(math.Abs(x) <= greatestTerm) {
		return 0, false
	}
	r := math.Round(x * nanometres)
	if r/nanometres != x {
		return 0, false
	}
	return int64(r), true
}

// sumLevels adds levels as [levelSum] does.
func sumLevels(terms ...float64) float64 {
	var s levelSum
	for _, x := range terms {
		s.add(x)
	}
	return s.value()
}
