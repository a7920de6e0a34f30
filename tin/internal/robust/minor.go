package robust

import (
	"math"
	"slices"
)

// minor is an expansion of at most four components: the sum of two products of
// doubles.
type minor struct {
	c [4]float64
	n int
}

func (m *minor) push(x float64) {
	if x != 0 {
		m.c[m.n] = x
		m.n++
	}
}

func (m *minor) terms() []float64 { return m.c[:m.n] }

// setSum sets the empty m to a*b + c*d.
func (m *minor) setSum(a, b, c, d float64) {
	l, lt := twoProduct(a, b)
	r, rt := twoProduct(c, d)
	appendTwoTwo(m, l, lt, r, rt)
}

// setDifference sets the empty m to a*b - c*d.
func (m *minor) setDifference(a, b, c, d float64) { m.setSum(a, b, -c, d) }

// wideMinor writes a*b + c*d to h and returns its components, compressed. Each
// product of two pairs has eight components at most.
func wideMinor(h *[16]float64, a, b, c, d difference) []float64 {
	var l, r [8]float64
	return compress(sum(h[:], pairProduct(&l, a, b), pairProduct(&r, c, d)))
}

// pairProduct writes a*b to h and returns its components.
func pairProduct(h *[8]float64, a, b difference) []float64 {
	var pair [2]float64
	n := 0
	if a.tail != 0 {
		pair[0] = a.tail
		n = 1
	}
	if a.head != 0 {
		pair[n] = a.head
		n++
	}
	if b.tail == 0 {
		return scale(h[:], pair[:n], b.head)
	}
	var low, high [4]float64
	return sum(h[:], scale(low[:], pair[:n], b.tail), scale(high[:], pair[:n], b.head))
}

// compareExpansions returns the sign of p*q - r*s for compressed expansions of at
// most sixteen components.
func compareExpansions(p, q, r, s []float64) int {
	left, right := signOf(p)*signOf(q), signOf(r)*signOf(s)
	if left != right {
		return sign(float64(left - right))
	}
	if left == 0 {
		return 0
	}
	// A rectangle with ab for a side has equal minors, to the bit.
	if slices.Equal(p, r) && slices.Equal(q, s) {
		return 0
	}
	// The last component is the whole to within a factor 1 ± 2e, e = 2^-53. With
	// the rounding of the product that makes 5e and terms of e^2, so 8e is safe.
	l := float64(p[len(p)-1] * q[len(q)-1])
	t := float64(r[len(r)-1] * s[len(s)-1])
	if det := l - t; math.Abs(det) > 8*ulpHalf*(math.Abs(l)+math.Abs(t)) {
		return signBit(det)
	}
	if len(p)*len(q)+len(r)*len(s) <= smallProduct {
		var a, b [2 * smallProduct]float64
		return signOf(crossTerms(a[:], b[:], p, q, r, s))
	}
	return compareWide(p, q, r, s)
}

// smallProduct is the number of products of components up to which compareExpansions
// keeps its own arrays: minors of coordinates of like magnitude have three
// components at most, so twice 3*3.
const smallProduct = 18

// compareWide keeps the large arrays out of the frame of compareExpansions, where
// clearing them would cost more than the sums.
//
//go:noinline
func compareWide(p, q, r, s []float64) int {
	var a, b [4 * 16 * 16]float64
	return signOf(crossTerms(a[:], b[:], p, q, r, s))
}

// crossTerms returns p*q - r*s, kept in a or b by turns. Each holds twice as many
// components as there are products of components.
func crossTerms(a, b, p, q, r, s []float64) []float64 {
	var row [32]float64
	total := a[:0]
	for _, c := range q {
		total = sum(b, total, scale(row[:], p, c))
		a, b = b, a
	}
	for _, c := range s {
		total = sum(b, total, scale(row[:], r, -c))
		a, b = b, a
	}
	return total
}
