package robust

import "math"

// inCircleBound times the magnitude of the terms bounds the error of the rounded
// determinant of [inCircleFilter].
//
// Let U be a rounded product of two rounded differences and u its exact value:
// |U-u| <= a|U| with a = 3e + 7e^2, e = 2^-53 (see orientBound). A minor
// p = fl(U ± V) adds one rounding: with P = |U| + |V|, |p-p'| <= bP, b = e + a,
// |p| <= (1+e)P, and |p'| <= (1+a)P. For the rounded product of two minors
//
//	|fl(pq) - p'q'| <= e|pq| + |p||q-q'| + |q'||p-p'|
//	                <= (e(1+e)^2 + b(2+a+e)) PQ < 9.1e PQ
//
// and the determinant is a difference of two such products. The filter compares
// rounded values: det is (l-r)(1±e), and the computed magnitude, itself three
// rounded sums and one product deep, times the bound loses at most (1-e)^5. With
// the bound 10e, |det| greater than it means |l-r| > 10e(1-7e) (PQ+RS), which is
// more than 9.1e (PQ+RS).
const inCircleBound = 10 * ulpHalf

// InCircle returns +1 if d lies strictly inside the circle through a, b, c given
// anticlockwise, -1 if it lies strictly outside and 0 if it lies exactly on the
// circle. If a, b, c turn clockwise the signs are swapped. If they are in line there
// is no circle, and the sign is that of the determinant alone: 0 if d is in line
// too, or if two of the points coincide. It is exact for coordinates within
// [InRange]; the unit is of no account.
//
// Swapping two of the four points swaps the sign. The determinant is taken as a difference of two products,
//
//	(ab x ad)(ac . bc) - (ab x ac)(ad . bd)
//
// with x for the cross and . for the scalar product: move a to the origin; the
// determinant of the three rows (x, y, x^2 + y^2) of b, c, d keeps its value if
// b's x times the first column and b's y times the second are subtracted from the
// third. The entry of row v becomes v . (v - b), which is zero for b itself, and
// expanding along that column leaves the two products.
// (It says that the cotangents of the angles at c and d over ab differ.)
func InCircle(ax, ay, bx, by, cx, cy, dx, dy float64) int {
	if s, ok := inCircleFilter(ax, ay, bx, by, cx, cy, dx, dy); ok {
		return s
	}
	return inCircleSlow(ax, ay, bx, by, cx, cy, dx, dy)
}

// inCircleFilter is stage 1. It never says 0, so ok is false on the circle.
func inCircleFilter(ax, ay, bx, by, cx, cy, dx, dy float64) (s int, ok bool) {
	abx, aby := bx-ax, by-ay
	acx, acy := cx-ax, cy-ay
	adx, ady := dx-ax, dy-ay
	p1, p2 := float64(abx*ady), float64(aby*adx)
	q1, q2 := float64(acx*(cx-bx)), float64(acy*(cy-by))
	r1, r2 := float64(abx*acy), float64(aby*acx)
	s1, s2 := float64(adx*(dx-bx)), float64(ady*(dy-by))
	det := float64((p1-p2)*(q1+q2)) - float64((r1-r2)*(s1+s2))
	size := float64((math.Abs(p1)+math.Abs(p2))*(math.Abs(q1)+math.Abs(q2))) +
		float64((math.Abs(r1)+math.Abs(r2))*(math.Abs(s1)+math.Abs(s2)))
	return signBit(det), math.Abs(det) > inCircleBound*size
}

func inCircleSlow(ax, ay, bx, by, cx, cy, dx, dy float64) int {
	var d differences
	if d.set(ax, ay, bx, by, cx, cy, dx, dy) {
		if s, ok := d.inCircleShort(); ok {
			return s
		}
		return d.inCircleExactDiffs()
	}
	return d.inCircleExpansion()
}

// difference is an exact difference: its rounded value and the tail.
type difference struct{ head, tail float64 }

func subtract(a, b float64) difference {
	d, t := twoDiff(a, b)
	return difference{d, t}
}

func (d difference) neg() difference { return difference{-d.head, -d.tail} }

// differences holds the five vectors of the determinant.
type differences struct {
	abx, aby, acx, acy, adx, ady, bcx, bcy, bdx, bdy difference
}

// set fills in the vectors and reports whether all of them came out exact.
func (d *differences) set(ax, ay, bx, by, cx, cy, dx, dy float64) bool {
	d.abx, d.aby = subtract(bx, ax), subtract(by, ay)
	d.acx, d.acy = subtract(cx, ax), subtract(cy, ay)
	d.adx, d.ady = subtract(dx, ax), subtract(dy, ay)
	d.bcx, d.bcy = subtract(cx, bx), subtract(cy, by)
	d.bdx, d.bdy = subtract(dx, bx), subtract(dy, by)
	return d.abx.tail == 0 && d.aby.tail == 0 && d.acx.tail == 0 && d.acy.tail == 0 &&
		d.adx.tail == 0 && d.ady.tail == 0 && d.bcx.tail == 0 && d.bcy.tail == 0 &&
		d.bdx.tail == 0 && d.bdy.tail == 0
}

// inCircleShort is stage 2 where exact differences are also short: ok if the four
// minors are exact as doubles. It serves grids on whole metres, halves, and the
// like.
func (d *differences) inCircleShort() (s int, ok bool) {
	p, pt := exactMinor(d.abx.head, d.ady.head, -d.aby.head, d.adx.head)
	q, qt := exactMinor(d.acx.head, d.bcx.head, d.acy.head, d.bcy.head)
	r, rt := exactMinor(d.abx.head, d.acy.head, -d.aby.head, d.acx.head)
	t, tt := exactMinor(d.adx.head, d.bdx.head, d.ady.head, d.bdy.head)
	if !(pt && qt && rt && tt) {
		return 0, false
	}
	return compareProducts(p, q, r, t), true
}

// exactMinor returns a*b + c*d and whether that is exact.
func exactMinor(a, b, c, d float64) (m float64, exact bool) {
	l, lt := twoProduct(a, b)
	r, rt := twoProduct(c, d)
	m, t := twoSum(l, r)
	return m, lt == 0 && rt == 0 && t == 0
}

// inCircleExactDiffs is stage 2 for exact differences of any length: each minor is
// the sum of two exact products, four components at most.
func (d *differences) inCircleExactDiffs() int {
	var p, q, r, s minor
	p.setDifference(d.abx.head, d.ady.head, d.aby.head, d.adx.head)
	q.setSum(d.acx.head, d.bcx.head, d.acy.head, d.bcy.head)
	r.setDifference(d.abx.head, d.acy.head, d.aby.head, d.acx.head)
	s.setSum(d.adx.head, d.bdx.head, d.ady.head, d.bdy.head)
	return compareExpansions(compress(p.terms()), compress(q.terms()), compress(r.terms()), compress(s.terms()))
}

// inCircleExpansion is stage 3: differences with tails.
func (d *differences) inCircleExpansion() int {
	var p, q, r, s [16]float64
	return compareExpansions(
		wideMinor(&p, d.abx, d.ady, d.aby.neg(), d.adx),
		wideMinor(&q, d.acx, d.bcx, d.acy, d.bcy),
		wideMinor(&r, d.abx, d.acy, d.aby.neg(), d.acx),
		wideMinor(&s, d.adx, d.bdx, d.ady, d.bdy))
}
