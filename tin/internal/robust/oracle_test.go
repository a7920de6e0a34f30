package robust

import (
	"math"
	"math/big"
	"math/rand/v2"
)

// The oracle is exact rational arithmetic, written from the determinants and not
// from the formulae of the package.

func rats(q ...float64) []*big.Rat {
	r := make([]*big.Rat, len(q))
	for i, x := range q {
		r[i] = new(big.Rat).SetFloat64(x)
	}
	return r
}

func rsub(a, b *big.Rat) *big.Rat { return new(big.Rat).Sub(a, b) }
func radd(a, b *big.Rat) *big.Rat { return new(big.Rat).Add(a, b) }
func rmul(a, b *big.Rat) *big.Rat { return new(big.Rat).Mul(a, b) }

func cross2(a, b, c, d *big.Rat) *big.Rat { return rsub(rmul(a, d), rmul(b, c)) }

func ratOrient(ax, ay, bx, by, cx, cy float64) int {
	r := rats(ax, ay, bx, by, cx, cy)
	return cross2(rsub(r[2], r[0]), rsub(r[3], r[1]), rsub(r[4], r[0]), rsub(r[5], r[1])).Sign()
}

// ratInCircle is the 3 x 3 determinant of (x, y, x^2+y^2), with d as origin.
func ratInCircle(ax, ay, bx, by, cx, cy, dx, dy float64) int {
	r := rats(ax, ay, bx, by, cx, cy, dx, dy)
	var x, y, w [3]*big.Rat
	for i := range 3 {
		x[i], y[i] = rsub(r[2*i], r[6]), rsub(r[2*i+1], r[7])
		w[i] = radd(rmul(x[i], x[i]), rmul(y[i], y[i]))
	}
	det := rmul(w[0], cross2(x[1], y[1], x[2], y[2]))
	det.Add(det, rmul(w[1], cross2(x[2], y[2], x[0], y[0])))
	det.Add(det, rmul(w[2], cross2(x[0], y[0], x[1], y[1])))
	return det.Sign()
}

// nudge moves x by k units in its last place.
func nudge(x float64, k int) float64 {
	for ; k > 0; k-- {
		x = math.Nextafter(x, math.Inf(1))
	}
	for ; k < 0; k++ {
		x = math.Nextafter(x, math.Inf(-1))
	}
	return x
}

// nudged moves some coordinates by a few units in the last place. Zeros stay, since
// their neighbours are out of range.
func nudged(q four, r *rand.Rand) four {
	for i := range q {
		if q[i] != 0 && r.IntN(3) == 0 {
			q[i] = nudge(q[i], r.IntN(5)-2)
		}
	}
	return q
}

// wide returns a number with a full mantissa between 1e-50 and 1e50.
func wide(r *rand.Rand) float64 {
	x := math.Ldexp(1+r.Float64(), r.IntN(330)-165)
	if r.IntN(2) == 0 {
		return -x
	}
	return x
}

// family is a way of making four points; nearly all of them are ties or near-ties.
type family struct {
	name string
	make func(r *rand.Rand) four
}

// on65 holds whole points of the circle of radius 65, less their mirror images
// (16^2 + 63^2 = 33^2 + 56^2 = 25^2 + 60^2 = 39^2 + 52^2 = 65^2).
var on65 = [][2]float64{{16, 63}, {63, 16}, {33, 56}, {56, 33}, {25, 60}, {60, 25}, {39, 52}, {52, 39}, {65, 0}, {0, 65}}

func circle65(e, n, scale float64) func(r *rand.Rand) four {
	return func(r *rand.Rand) (q four) {
		for k := range 4 {
			p := on65[r.IntN(len(on65))]
			x, y := p[0], p[1]
			if r.IntN(2) == 0 {
				x = -x
			}
			if r.IntN(2) == 0 {
				y = -y
			}
			q[2*k], q[2*k+1] = e+scale*x, n+scale*y
		}
		return q
	}
}

// trapezium has the y axis for its mirror line, so that it is exactly cocircular
// whatever its numbers are.
func trapezium(number func(r *rand.Rand) float64) func(r *rand.Rand) four {
	return func(r *rand.Rand) four {
		s, t, y0, y1 := number(r), number(r), number(r), number(r)
		p := [4][2]float64{{-s, y0}, {s, y0}, {t, y1}, {-t, y1}}
		r.Shuffle(4, func(i, j int) { p[i], p[j] = p[j], p[i] })
		return four{p[0][0], p[0][1], p[1][0], p[1][1], p[2][0], p[2][1], p[3][0], p[3][1]}
	}
}

func families() []family {
	near := func(f func(r *rand.Rand) four) func(r *rand.Rand) four {
		return func(r *rand.Rand) four { return nudged(f(r), r) }
	}
	return []family{
		{"random", randomFour},
		{"whole", wholeFour},
		{"small whole", func(r *rand.Rand) (q four) {
			for i := range q {
				q[i] = float64(r.IntN(7) - 3)
			}
			return q
		}},
		{"mixed magnitudes", func(r *rand.Rand) (q four) {
			for i := range q {
				q[i] = wide(r)
			}
			return q
		}},
		{"near line", near(nearLine)},
		{"line at map offset", near(lineFour(456789.1, 5678901.3, 0.1))},
		{"line 6e6", near(lineFour(6e6, 6e6, 0.1))},
		{"line through origin", func(r *rand.Rand) (q four) {
			x, y := wide(r), wide(r)
			for k := range 4 {
				s := math.Ldexp(1, r.IntN(9)-4)
				q[2*k], q[2*k+1] = s*x, s*y
			}
			for i := range q {
				q[i] = min(max(q[i], -greatest), greatest)
				if math.Abs(q[i]) < smallest {
					q[i] = 0
				}
			}
			if r.IntN(2) == 0 {
				q[4] *= 1 - ulpHalf
			}
			return q
		}},
		{"grid", gridFour(0, 0, 5)},
		{"grid, nudged", near(gridFour(0, 0, 5))},
		{"grid at map offset", gridFour(456789.1, 5678901.3, 0.1)},
		{"grid at map offset, nudged", near(gridFour(456789.1, 5678901.3, 0.1))},
		{"grid 6e6, nudged", near(gridFour(6e6, 6e6, 5))},
		{"decimal grid near zero", gridFour(0.1, 0.3, 0.1)},
		{"decimal grid near zero, nudged", near(gridFour(0.1, 0.3, 0.1))},
		{"circle", circle65(0, 0, 1)},
		{"circle, nudged", near(circle65(0, 0, 1))},
		{"circle at map offset, nudged", near(circle65(456789, 5678901, 0.25))},
		{"circle of doubles", circleFour(0.1, 0.2, 10)},
		{"circle of doubles at map offset", circleFour(456789.1, 5678901.3, 10)},
		{"trapezium", trapezium(func(r *rand.Rand) float64 { return 1 + r.Float64() })},
		{"trapezium, nudged", near(trapezium(func(r *rand.Rand) float64 { return 1 + r.Float64() }))},
		{"trapezium, mixed magnitudes", trapezium(wide)},
		{"trapezium, mixed magnitudes, nudged", near(trapezium(func(r *rand.Rand) float64 {
			return math.Ldexp(1+r.Float64(), r.IntN(120)-60)
		}))},
	}
}
