package takeoff

import (
	"fmt"
	"math"
	"math/big"
	"regexp"
	"strings"

	"barrow/tin"
)

// lengthUnits are the units a length may be written with, in metres, exactly. It
// is a table, never written to.
var lengthUnits = map[string]*big.Rat{
	"mm":   big.NewRat(1, 1000),
	"cm":   big.NewRat(1, 100),
	"m":    big.NewRat(1, 1),
	"in":   big.NewRat(254, 10000),
	"ft":   big.NewRat(3048, 10000),
	"ftUS": big.NewRat(1200, 3937),
}

// plainDecimal has no exponent: "1e999999999" would be a small text and an
// endless number.
var plainDecimal = regexp.MustCompile(`^([+-]?(?:[0-9]{1,20}(?:\.[0-9]{0,20})?|\.[0-9]{1,20}))\s*([A-Za-z]*)$`)

// ParseLength reads a length such as "175 mm", "6in", "0.2 ft" or, in the unit
// given, a bare "0.175", and returns it in that unit, as the float64 nearest
// to the exact value. unit tells whether the text named one.
func ParseLength(text string, in tin.Unit) (length float64, unit bool, err error) {
	m := plainDecimal.FindStringSubmatch(strings.TrimSpace(text))
	if m == nil {
		return 0, false, fmt.Errorf("takeoff: %q is not a length: write it like \"175 mm\", \"6 in\" or \"0.2 ft\"", text)
	}
	r, ok := new(big.Rat).SetString(m[1])
	if !ok {
		return 0, false, fmt.Errorf("takeoff: %q is not a length", text)
	}
	if m[2] != "" {
		from, ok := lengthUnits[m[2]]
		if !ok {
			return 0, false, fmt.Errorf("takeoff: unknown unit %q in %q: use mm, cm, m, in, ft or ftUS", m[2], text)
		}
		r.Mul(r, from).Quo(r, metresExactly(in))
	}
	length, _ = r.Float64()
	return length, m[2] != "", nil
}

// lengthLimit is a length above which a bare number was hardly meant.
type lengthLimit struct {
	what   string
	metres float64
}

// Common practice, no source. Never written to.
var (
	layerLimit     = lengthLimit{"a layer", 1.5}
	topsoilLimit   = lengthLimit{"topsoil", 1}
	deviationLimit = lengthLimit{"a standard deviation", 1}
	toleranceLimit = lengthLimit{"a tolerance", 0.25}
	marginLimit    = lengthLimit{"a margin", 10}
	widthLimit     = lengthLimit{"a thickening's width", 10}
	depthLimit     = lengthLimit{"a thickening's depth", 10}
)

// unlikely returns what to say about a bare number over the limit, and "" if
// it is not.
func (l lengthLimit) unlikely(length float64, unit tin.Unit) (message, hint string) {
	if math.IsNaN(length) || length*unit.Metres() <= l.metres {
		return "", ""
	}
	small := "mm"
	if unit != tin.Metre && unit != 0 {
		small = "in"
	}
	number := formatNumber(length)
	return fmt.Sprintf("%s of %s %s is unlikely: did you mean \"%s %s\"?", l.what, number, unit, number, small),
		fmt.Sprintf("a bare number is in the job's unit; over %s write it with its unit, \"%s %s\"", l.text(unit), number, unit)
}

// text writes the limit in a unit, as briefly as it may be read.
func (l lengthLimit) text(unit tin.Unit) string {
	return fmt.Sprintf("%.3g %s", l.metres/unit.Metres(), unit)
}
