package setout

import (
	"errors"
	"fmt"
	"math"
	"math/big"
	"strings"
)

// Decimal is a decimal number of a level book, in millionths of the book's unit of
// length. Sums and differences of them are exact.
type Decimal int64

const (
	decimalPlaces = 6
	millionths    = 1_000_000
)

// greatest is what a number of a book may be, in its unit; readings and levels have
// narrower limits of their own, so that no sum over a book can overflow.
const greatest = 1_000_000 * millionths

// ParseDecimal reads a number such as 1.432, -2.956 or .5, without an exponent and
// with at most 6 decimals. places is how many decimals are written.
func ParseDecimal(text string) (d Decimal, places int, err error) {
	digits, negative := strings.CutPrefix(text, "-")
	if !negative {
		digits = strings.TrimPrefix(text, "+")
	}
	whole, fraction, _ := strings.Cut(digits, ".")
	switch {
	case whole+fraction == "" || strings.Trim(whole+fraction, "0123456789") != "":
		return 0, 0, errors.New("it is not a decimal number")
	case len(fraction) > decimalPlaces:
		return 0, 0, fmt.Errorf("it has more than %d decimals", decimalPlaces)
	}
	if whole = strings.TrimLeft(whole, "0"); len(whole) > 7 {
		return 0, 0, errors.New("it is beyond 1000000")
	}
	for _, digit := range whole + fraction + strings.Repeat("0", decimalPlaces-len(fraction)) {
		d = 10*d + Decimal(digit-'0')
	}
	if d > greatest {
		return 0, 0, errors.New("it is beyond 1000000")
	}
	if negative {
		d = -d
	}
	return d, len(fraction), nil
}

// DecimalOf returns the decimal nearest to x; a number that is not finite or is
// beyond 1,000,000 is an error.
func DecimalOf(x float64) (Decimal, error) {
	if !(math.Abs(x) <= greatest/millionths) {
		return 0, fmt.Errorf("setout: %v is not finite or beyond 1000000", x)
	}
	return Decimal(math.Round(x * millionths)), nil
}

// Float returns the float64 nearest to d, up to 9e9.
func (d Decimal) Float() float64 { return float64(d) / millionths }

// Text writes d with so many decimals, or as many more as it has.
func (d Decimal) Text(places int) string {
	sign, magnitude := "", uint64(d)
	if d < 0 {
		sign, magnitude = "-", -magnitude
	}
	fraction := fmt.Sprintf("%0*d", decimalPlaces, magnitude%millionths)
	has := len(strings.TrimRight(fraction, "0"))
	fraction = fraction[:min(max(places, has), decimalPlaces)]
	if fraction != "" {
		fraction = "." + fraction
	}
	return fmt.Sprintf("%s%d%s", sign, magnitude/millionths, fraction)
}

// String writes d with the decimals it has.
func (d Decimal) String() string { return d.Text(0) }

// MarshalJSON writes d as a JSON number, exactly.
func (d Decimal) MarshalJSON() ([]byte, error) { return []byte(d.String()), nil }

func (d Decimal) abs() Decimal { return max(d, -d) }

func (d Decimal) rat() *big.Rat { return big.NewRat(int64(d), millionths) }

// share returns d x part / whole to so many decimals, halves away from zero; whole is
// not 0.
func (d Decimal) share(part, whole Decimal, places int) Decimal {
	quantum := int64(math.Pow10(decimalPlaces - places))
	product := new(big.Int).Mul(big.NewInt(int64(d)), big.NewInt(int64(part)))
	divisor := new(big.Int).Mul(big.NewInt(int64(whole)), big.NewInt(quantum))
	up := product.Sign()*divisor.Sign() >= 0
	product.Abs(product)
	divisor.Abs(divisor)
	product.Lsh(product, 1).Add(product, divisor)
	units := Decimal(product.Quo(product, divisor.Lsh(divisor, 1)).Int64() * quantum)
	if up {
		return units
	}
	return -units
}

// Entry is a number in a field of a book, or an empty field.
type Entry struct {
	Value Decimal
	Given bool
}

// Given returns an entry that holds a number.
func Given(d Decimal) Entry { return Entry{d, true} }
