package takeoff

import (
	"math"
	"math/big"
	"strconv"

	"barrow/tin"
)

// converter turns lengths of one unit into another. A number is taken for the
// decimal that a file had in its place, of up to [mostPlaces] places; the product of
// that decimal and the exact ratio of the units (1200/3937 m in a US survey foot) is
// rounded once, to the nearest float64. The zero value is for units that are one: numbers
// keep their bits.
type converter struct {
	ratio    *big.Rat // of the units; nil: they are one
	num, den float64  // of ratio, where both are exact; else num is 0
}

// mostPlaces is more than any survey has: of coordinates below 1,000 km, nine places
// are all that a float64 tells apart.
const mostPlaces = 9

// whole53 is where whole numbers cease to be all float64.
const whole53 = 1 << 53

func newConverter(from, to tin.Unit) converter {
	if sameUnit(from, to) {
		return converter{}
	}
	c := converter{ratio: new(big.Rat).Quo(metresExactly(from), metresExactly(to))}
	num, exactNum := new(big.Float).SetInt(c.ratio.Num()).Float64()
	den, exactDen := new(big.Float).SetInt(c.ratio.Denom()).Float64()
	if exactNum == big.Exact && exactDen == big.Exact {
		c.num, c.den = num, den
	}
	return c
}

func sameUnit(a, b tin.Unit) bool { return a.Metres() == b.Metres() }

// of converts a length; what is no number stays as it is.
func (c converter) of(v float64) float64 {
	if c.ratio == nil || v == 0 || math.IsNaN(v) || math.IsInf(v, 0) {
		return v
	}
	digits, power := decimal(v)
	if den := c.den * power; c.num != 0 && den < whole53 {
		if x, sure := quotient(digits, c.num, den); sure {
			return x
		}
	}
	exact := new(big.Rat).SetFloat64(digits)
	exact.Mul(exact, c.ratio).Quo(exact, new(big.Rat).SetFloat64(power))
	x, _ := exact.Float64()
	return x
}

// decimal takes a number apart into digits / power with a whole number of digits and a
// power of ten, the smallest that does. Where there is none within mostPlaces, power is
// 1 and the number itself is taken for exact.
func decimal(v float64) (digits, power float64) {
	power = 1
	for range mostPlaces + 1 {
		digits = math.Round(v * power)
		if math.Abs(digits) >= whole53 {
			break
		}
		if digits/power == v {
			return digits, power
		}
		power *= 10
	}
	return v, 1
}

// quotient returns the float64 nearest to a b / d, and whether it surely is. The
// product and the remainder of the division are exact by fused operations, and what is
// left is added as a correction.
func quotient(a, b, d float64) (x float64, sure bool) {
	high := a * b
	low := math.FMA(a, b, -high)
	x = high / d
	rest := math.FMA(-x, d, high) // exact, as of every rounded quotient
	correction := (rest + low) / d
	slack := math.Abs(correction) * 0x1p-50 // four times what its two roundings can make
	least, most := x+(correction-slack), x+(correction+slack)
	return least, least == most
}

// metresExactly returns the metres in one unit; those with a name are not binary
// fractions, others are taken as the decimal they are written with.
func metresExactly(u tin.Unit) *big.Rat {
	if r, ok := lengthUnits[u.String()]; ok {
		return r
	}
	r, _ := new(big.Rat).SetString(strconv.FormatFloat(u.Metres(), 'g', -1, 64))
	return r
}
