package robust

import "math"

const (
	// ulpHalf is the greatest relative error e of one rounding, 2^-53.
	ulpHalf = 1.0 / (1 << 53)

	// orientBound times the sum of the two products' magnitudes bounds the error
	// of the rounded cross product.
	//
	// Let l and r be the rounded products, l' and r' their exact values. A
	// product holds three roundings (two differences, one product), each a factor
	// between 1-e and 1+e, so
	//
	//	|l - l'| <= |l| (1/(1-e)^3 - 1) <= (3e + 6e^2 + 11e^3) |l|
	//
	// and the same for r. The sign of l' - r' is that of l - r if
	// |l - r| > (3e + 6e^2 + 11e^3)(|l| + |r|). What is compared are rounded
	// values: det = (l-r)(1±e), the sum of magnitudes and its product with the
	// bound lose at most (1-e)^2. So the bound K has to fulfil
	// K (1-e)^2/(1+e) >= 3e + 6e^2 + 11e^3, and K = 3e + 16e^2 does, with nearly
	// e^2 to spare: K (1-e)^2/(1+e) >= K (1-3e) = 3e + 7e^2 - 48e^3. (The same K as
	// in Shewchuk 1997, from memory.) Nothing underflows within [InRange].
	orientBound = (3 + 16*ulpHalf) * ulpHalf

	smallest = 1e-50 // least and greatest magnitude of [InRange]
	greatest = 1e50
)

// InRange reports whether [Orient] and [InCircle] are proved for a coordinate:
// x is zero or 1e-50 <= |x| <= 1e50. It is false for NaN and infinities.
//
// Proof: such numbers are whole multiples of u = 2^-219, the last place of
// 1e-50, and below 2^167. Differences are multiples of u below 2^168, rounded
// or not, and so are their tails. A determinant of four factors and all its
// intermediate values, rounded or not, are multiples of u^4 = 2^-876 and below
// 2^(4*168+5). Both ends are far from the limits of doubles, 2^-1074 and 2^1024,
// also after multiplying by an error bound (above 2^-52). So no product
// underflows or overflows, each rounding has a relative error of at most 2^-53,
// and the tail of each product is a double.
func InRange(x float64) bool {
	x = math.Abs(x)
	return x == 0 || smallest <= x && x <= greatest
}

// Orient returns +1 if a, b, c turn anticlockwise, -1 if they turn clockwise and
// 0 if they are exactly in line (or two of them coincide). It is exact for
// coordinates within [InRange]; the unit is of no account.
func Orient(ax, ay, bx, by, cx, cy float64) int {
	if s, ok := orientFilter(ax, ay, bx, by, cx, cy); ok {
		return s
	}
	return orientSlow(ax, ay, bx, by, cx, cy)
}

// orientFilter is stage 1. It never says 0, so ok is false for points in line.
func orientFilter(ax, ay, bx, by, cx, cy float64) (s int, ok bool) {
	l := float64((ax - cx) * (by - cy))
	r := float64((ay - cy) * (bx - cx))
	det := l - r
	bound := orientBound * (math.Abs(l) + math.Abs(r))
	return signBit(det), math.Abs(det) > bound
}

// signBit returns -1 or +1 by the sign bit of x, which is not zero.
func signBit(x float64) int {
	return 1 | int(int64(math.Float64bits(x))>>63)
}

func orientSlow(ax, ay, bx, by, cx, cy float64) int {
	if s, ok := orientExactDiffs(ax, ay, bx, by, cx, cy); ok {
		return s
	}
	return orientExpansion(ax, ay, bx, by, cx, cy)
}

// orientExactDiffs is stage 2: ok if all four differences are exact.
func orientExactDiffs(ax, ay, bx, by, cx, cy float64) (s int, ok bool) {
	ux, uxt := twoDiff(ax, cx)
	uy, uyt := twoDiff(ay, cy)
	vx, vxt := twoDiff(bx, cx)
	vy, vyt := twoDiff(by, cy)
	if uxt != 0 || uyt != 0 || vxt != 0 || vyt != 0 {
		return 0, false
	}
	return compareProducts(ux, vy, uy, vx), true
}

// compareProducts returns the sign of a*b - c*d. Rounding never turns the order
// of two numbers round, so if the rounded products differ they are in the order
// of the exact ones; if they are equal, their tails decide.
func compareProducts(a, b, c, d float64) int {
	l, lt := twoProduct(a, b)
	r, rt := twoProduct(c, d)
	if l == r {
		l, r = lt, rt
	}
	return sign(l - r)
}

// orientExpansion is stage 3. The six products of coordinates are exact as pairs:
// (ax by - ay bx) + (bx cy - by cx) + (cx ay - cy ax). Written in coordinates, not
// in differences with tails, the sum has twelve components at most instead of
// sixteen.
func orientExpansion(ax, ay, bx, by, cx, cy float64) int {
	var ab, bc, ca minor
	ab.setDifference(ax, by, ay, bx)
	bc.setDifference(bx, cy, by, cx)
	ca.setDifference(cx, ay, cy, ax)
	var h8 [8]float64
	var h12 [12]float64
	return signOf(sum(h12[:], sum(h8[:], ab.terms(), bc.terms()), ca.terms()))
}
