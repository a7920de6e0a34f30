package robust

import "math"

// An expansion is a sum of doubles that is not carried out: components of rising
// magnitude, none of them zero, whose bits do not overlap. The empty expansion is
// zero. The sign of an expansion is the sign of its last component.
//
// "Nonadjacent" below means that between two components at least one bit is
// free. Sums and products here start from nonadjacent ones, which is what the
// theorems ask for.

// twoSum returns the rounded sum and its error: a + b = sum + tail exactly
// (Shewchuk 1997, theorem 7, after Knuth).
func twoSum(a, b float64) (sum, tail float64) {
	sum = a + b
	bv := sum - a
	av := sum - bv
	return sum, (a - av) + (b - bv)
}

// twoDiff returns the rounded difference and its error: a - b = diff + tail.
func twoDiff(a, b float64) (diff, tail float64) {
	diff = a - b
	bv := a - diff
	av := diff + bv
	return diff, (a - av) + (bv - b)
}

// fastTwoSum is twoSum for |a| >= |b| or a = 0 (theorem 6, after Dekker).
func fastTwoSum(a, b float64) (sum, tail float64) {
	sum = a + b
	return sum, b - (sum - a)
}

// twoProduct returns the rounded product and its error: a * b = prod + tail.
// The error of a product is a double unless it underflows, so that the fused
// multiply-add, which rounds once, gives it exactly.
func twoProduct(a, b float64) (prod, tail float64) {
	prod = float64(a * b)
	return prod, math.FMA(a, b, -prod)
}

// appendTwoTwo adds to h, which is empty, the components of
// (a1 + a0) + (b1 + b0), where each pair is as twoProduct gives it. At most four,
// nonadjacent (theorem 12, expansion sum).
func appendTwoTwo(h *minor, a1, a0, b1, b0 float64) {
	s, x0 := twoSum(a0, b0)
	s1, s0 := twoSum(a1, s)
	t, x1 := twoSum(s0, b1)
	x3, x2 := twoSum(s1, t)
	h.push(x0)
	h.push(x1)
	h.push(x2)
	h.push(x3)
}

// sum writes e + f to h and returns its components (theorem 13, fast expansion
// sum, with zeros left out). h must hold len(e)+len(f) and must not overlap them.
func sum(h, e, f []float64) []float64 {
	if len(e) == 0 {
		return h[:copy(h, f)]
	}
	if len(f) == 0 {
		return h[:copy(h, e)]
	}
	n, i, j := 0, 0, 0
	next := func() float64 {
		if j == len(f) || i < len(e) && math.Abs(e[i]) < math.Abs(f[j]) {
			i++
			return e[i-1]
		}
		j++
		return f[j-1]
	}
	q := next()
	for i < len(e) || j < len(f) {
		var tail float64
		q, tail = twoSum(q, next())
		if tail != 0 {
			h[n] = tail
			n++
		}
	}
	if q != 0 {
		h[n] = q
		n++
	}
	return h[:n]
}

// scale writes e * b to h and returns its components (theorem 19, scale
// expansion, with zeros left out). h must hold 2*len(e) and must not overlap e.
func scale(h, e []float64, b float64) []float64 {
	if len(e) == 0 {
		return h[:0]
	}
	n := 0
	q, tail := twoProduct(e[0], b)
	if tail != 0 {
		h[n] = tail
		n++
	}
	for _, c := range e[1:] {
		p1, p0 := twoProduct(c, b)
		var s float64
		s, tail = twoSum(q, p0)
		if tail != 0 {
			h[n] = tail
			n++
		}
		q, tail = fastTwoSum(p1, s)
		if tail != 0 {
			h[n] = tail
			n++
		}
	}
	if q != 0 {
		h[n] = q
		n++
	}
	return h[:n]
}

// compress rewrites e in place with as few components as its bits allow,
// nonadjacent (theorem 23). The last one is then the whole to within one unit of
// its last place.
func compress(e []float64) []float64 {
	m := len(e)
	if m < 2 {
		return e
	}
	bottom := m - 1
	q := e[bottom]
	for i := m - 2; i >= 0; i-- {
		s, tail := fastTwoSum(q, e[i])
		if tail != 0 {
			e[bottom] = s
			bottom--
			q = tail
		} else {
			q = s
		}
	}
	top := 0
	for i := bottom + 1; i < m; i++ {
		s, tail := fastTwoSum(e[i], q)
		if tail != 0 {
			e[top] = tail
			top++
		}
		q = s
	}
	e[top] = q
	return e[:top+1]
}

// signOf returns the sign of an expansion.
func signOf(e []float64) int {
	if len(e) == 0 {
		return 0
	}
	return sign(e[len(e)-1])
}

// sign returns -1, 0 or +1, without a jump: the signs a mesh asks for follow no
// pattern a processor could guess.
func sign(x float64) int {
	var above, below int
	if x > 0 {
		above = 1
	}
	if x < 0 {
		below = 1
	}
	return above - below
}
