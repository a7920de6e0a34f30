package pointfile

import (
	"bytes"
	"strconv"
)

// pow10 holds the powers of ten that a float64 holds exactly. It is a table,
// never written to.
var pow10 = [...]float64{
	1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11,
	1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22,
}

// decimal reads a plain decimal number that starts at b[i] and returns its
// value, where it ends, and its number of decimals. It stops at the first byte
// that is not part of it. next is -1 for whatever is not plain, such
// as .5 or 1e3: then [formOf] and [slowDecimal] decide.
//
// The digits make a whole number m; with d decimals the value is m / 10^d. For
// m < 2^53 and d <= 22 both are exact in float64, so the one division rounds
// once, and to the same bits as strconv.ParseFloat (W. D. Clinger, How to read
// floating point numbers accurately, PLDI 1990, section 3).
func decimal(b []byte, i int, mark byte) (value float64, next, decimals int) {
	neg := false
	if i < len(b) {
		switch b[i] {
		case '-':
			neg = true
			i++
		case '+':
			i++
		}
	}
	start := i
	var m uint64
	for i < len(b) {
		d := b[i] - '0'
		if d > 9 {
			break
		}
		m = m*10 + uint64(d)
		i++
	}
	digits := i - start
	if i < len(b) && b[i] == mark {
		i++
		start = i
		for i < len(b) {
			d := b[i] - '0'
			if d > 9 {
				break
			}
			m = m*10 + uint64(d)
			i++
		}
		decimals = i - start
		if decimals == 0 || digits == 0 {
			return 0, -1, 0
		}
		digits += decimals
	}
	// 18 digits cannot overflow m.
	if digits == 0 || digits > 18 || m >= 1<<53 {
		return 0, -1, 0
	}
	value = float64(m)
	if decimals > 0 {
		value /= pow10[decimals]
	}
	if neg {
		value = -value
	}
	return value, i, decimals
}

// form is how a number is written.
type form struct {
	mark     byte // '.', ',' or 0 if it has neither
	whole    int  // digits before the mark
	decimals int  // digits after it
	lead     byte // first digit
}

// fitsCommaOnly reports whether a number with a comma cannot be a grouped whole
// number such as 1,234.
func (f form) fitsCommaOnly() bool {
	return f.decimals != 3 || f.whole > 3 || f.lead == '0'
}

// formOf reports how a number is written, and whether s is one: an optional
// sign, digits with at most one mark (5. and .5 are numbers, 5, and ,5 are
// not), an optional exponent of ten.
func formOf(s []byte) (f form, ok bool) {
	i := 0
	if i < len(s) && (s[i] == '+' || s[i] == '-') {
		i++
	}
	digits := func() int {
		from := i
		for i < len(s) && '0' <= s[i] && s[i] <= '9' {
			i++
		}
		return i - from
	}
	if i < len(s) {
		f.lead = s[i]
	}
	f.whole = digits()
	if i < len(s) && (s[i] == '.' || s[i] == ',') {
		f.mark = s[i]
		i++
		f.decimals = digits()
	}
	if f.whole+f.decimals == 0 || f.mark == ',' && (f.whole == 0 || f.decimals == 0) {
		return form{}, false
	}
	if i < len(s) && (s[i] == 'e' || s[i] == 'E') {
		i++
		if i < len(s) && (s[i] == '+' || s[i] == '-') {
			i++
		}
		if digits() == 0 {
			return form{}, false
		}
	}
	return f, i == len(s)
}

// slowDecimal gives the value of a number of a form that [formOf] accepts. One
// too large for a float64 is infinite.
func slowDecimal(s []byte, f form) float64 {
	text := string(s)
	if f.mark == ',' {
		text = string(bytes.Replace(s, []byte{','}, []byte{'.'}, 1))
	}
	v, _ := strconv.ParseFloat(text, 64) // the form is checked; out of range gives an infinity
	return v
}
