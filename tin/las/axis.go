package las

import (
	"math"
	"strconv"
)

// axis turns the whole numbers of one coordinate into lengths.
type axis struct {
	scale, offset float64

	// Where scale and offset are decimals that allow it, the length is
	// (x * step + base) / unit, in whole numbers and exactly.
	decimal    bool
	step, base int64
	digits     int
	unit       float64 // 10^digits
}

const (
	maxDigits = 22      // 10^22 is the greatest power of ten that a float64 holds exactly
	maxWhole  = 1 << 61 // of step, base and their sums, with room for doubling
)

func newAxis(scale, offset float64) axis {
	a := axis{scale: scale, offset: offset}
	return a.to(max(decimals(scale), decimals(offset)))
}

// to is the axis with so many decimals, or without any if they are too many.
func (a axis) to(digits int) axis {
	step, ok1 := whole(a.scale, digits)
	base, ok2 := whole(a.offset, digits)
	a.decimal = ok1 && ok2 && step <= (maxWhole-abs(base))>>31
	if a.decimal {
		a.step, a.base, a.digits, a.unit = step, base, digits, math.Pow10(digits)
	}
	return a
}

// at is the length of a whole number: the float64 nearest to the decimal, or,
// where scale and offset are no decimals, to their product and sum.
func (a *axis) at(x int32) float64 {
	if !a.decimal {
		return math.FMA(float64(x), a.scale, a.offset)
	}
	n := a.whole(x)
	if abs(n) < 1<<53 {
		return float64(n) / a.unit // both exact: rounded once
	}
	return nearest(n, a.digits)
}

// whole is the length in units of the last decimal.
func (a *axis) whole(x int32) int64 { return int64(x)*a.step + a.base }

// nearest is the float64 nearest to n / 10^digits.
func nearest(n int64, digits int) float64 {
	v, _ := strconv.ParseFloat(strconv.FormatInt(n, 10)+"e-"+strconv.Itoa(digits), 64) // a number in range
	return v
}

// decimals is the number of decimals in the shortest text that gives v again.
func decimals(v float64) int {
	_, exponent := shortest(v)
	return max(0, -exponent)
}

// whole is v in units of the last of so many decimals. It is not ok if that is
// no whole number of moderate size.
func whole(v float64, digits int) (n int64, ok bool) {
	n, exponent := shortest(v)
	if digits > maxDigits || exponent+digits < 0 {
		return 0, false
	}
	for range exponent + digits {
		if n == 0 {
			return 0, true
		}
		if n *= 10; abs(n) > maxWhole/10 {
			return 0, false
		}
	}
	return n, true
}

// shortest is v as digits times a power of ten: the shortest that give v again.
// Those of a finite v are at most 17, and fit.
func shortest(v float64) (digits int64, exponent int) {
	text := strconv.FormatFloat(v, 'e', -1, 64)
	decimals := -1 // before the point
	for i := range len(text) {
		switch c := text[i]; {
		case c == 'e':
			exponent, _ = strconv.Atoi(text[i+1:])
			if decimals > 0 {
				exponent -= decimals
			}
			if v < 0 {
				digits = -digits
			}
			return digits, exponent
		case c == '.':
			decimals = 0
		case c >= '0':
			digits = 10*digits + int64(c-'0')
			if decimals >= 0 {
				decimals++
			}
		}
	}
	return digits, exponent
}

func abs(n int64) int64 { return max(n, -n) }
