package robust

import "cmp"

// WholeLimit is the bound for [OrientWhole] and [InCircleWhole]: coordinates are
// whole numbers, and the difference of any two eastings, or any two northings, of
// one call is below it in magnitude. In units of 0.1 mm that is a site of 6.7 km,
// in millimetres one of 67 km.
const WholeLimit = 1 << 26

// OrientWhole is [Orient] for whole numbers within [WholeLimit].
//
// It needs one rounded cross product and no filter: differences are exact and
// below 2^26 in magnitude, their products are whole numbers below 2^52, and the
// difference of those is a whole number below 2^53. Doubles hold all of these
// exactly, so that nothing is rounded.
func OrientWhole(ax, ay, bx, by, cx, cy float64) int {
	return sign(wholeCross(ax, ay, bx, by, cx, cy))
}

// InCircleWhole is [InCircle] for whole numbers within [WholeLimit].
//
// The two cross and two scalar products of [InCircle] are exact, for the reason
// given at [OrientWhole]; what is left is the sign of p*q - r*s for whole numbers
// below 2^53. Rounding never turns the order of two numbers round: if the rounded
// products differ, they are in the order of the exact ones. If they are equal, to
// a double of magnitude 2^106 at most, both exact products lie within half a unit
// in its last place, so that they differ by at most 2^53; then their difference is
// what 64-bit arithmetic gives, since overflow wraps round modulo 2^64.
func InCircleWhole(ax, ay, bx, by, cx, cy, dx, dy float64) int {
	p := wholeCross(ax, ay, bx, by, dx, dy)
	q := wholeScalar(ax, ay, bx, by, cx, cy)
	r := wholeCross(ax, ay, bx, by, cx, cy)
	s := wholeScalar(ax, ay, bx, by, dx, dy)
	if sign, ok := compareRounded(p, q, r, s); ok {
		return sign
	}
	return cmp.Compare(int64(p)*int64(q)-int64(r)*int64(s), 0)
}

// wholeCross returns ab x ac, exact.
func wholeCross(ax, ay, bx, by, cx, cy float64) float64 {
	return float64((bx-ax)*(cy-ay)) - float64((by-ay)*(cx-ax))
}

// wholeScalar returns ac . bc, exact.
func wholeScalar(ax, ay, bx, by, cx, cy float64) float64 {
	return float64((cx-ax)*(cx-bx)) + float64((cy-ay)*(cy-by))
}

// compareRounded returns the sign of p*q - r*s where the rounded products differ.
func compareRounded(p, q, r, s float64) (det int, ok bool) {
	left, right := float64(p*q), float64(r*s)
	return sign(left - right), left != right
}
