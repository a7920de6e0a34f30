package tintest

import (
	"math"
	"math/big"
)

// plan answers questions about places in plan without rounding. Doubles are
// whole multiples of some power of two, so that all coordinates are held as
// whole numbers of one unit.
type plan struct {
	x, y   []float64
	wx, wy []*big.Int
}

func newPlan(x, y []float64) plan {
	shift := 0
	for _, values := range [][]float64{x, y} {
		for _, v := range values {
			if f := big.NewFloat(v); v != 0 {
				shift = max(shift, int(f.MinPrec())-f.MantExp(nil))
			}
		}
	}
	whole := func(values []float64) []*big.Int {
		out := make([]*big.Int, len(values))
		for i, v := range values {
			f := big.NewFloat(v)
			out[i], _ = f.SetMantExp(f, shift).Int(nil)
		}
		return out
	}
	return plan{x: x, y: y, wx: whole(x), wy: whole(y)}
}

// bound is the relative error that the quick answers below stay well within:
// about 16 roundings of 2^-53 each.
const bound = 1e-14

// sure returns the sign of a rounded value if its terms, of the given size in
// all, leave no doubt.
func sure(value, size float64) (sign int, ok bool) {
	switch limit := bound * size; {
	case size < 1e-200: // products may have lost their tails
	case value > limit:
		return 1, true
	case value < -limit:
		return -1, true
	}
	return 0, false
}

// orient returns the sign of the turn a, b, c, positive if anticlockwise.
func (p *plan) orient(a, b, c int) int {
	l := (p.x[b] - p.x[a]) * (p.y[c] - p.y[a])
	r := (p.y[b] - p.y[a]) * (p.x[c] - p.x[a])
	if s, ok := sure(l-r, math.Abs(l)+math.Abs(r)); ok {
		return s
	}
	return p.area2(a, b, c).Sign()
}

// area2 returns twice the area of a, b, c, in squares of the whole unit.
func (p *plan) area2(a, b, c int) *big.Int {
	ux, uy := p.from(a, b)
	vx, vy := p.from(a, c)
	return ux.Sub(ux.Mul(ux, vy), uy.Mul(uy, vx))
}

// from returns the way from a to b.
func (p *plan) from(a, b int) (dx, dy *big.Int) {
	return new(big.Int).Sub(p.wx[b], p.wx[a]), new(big.Int).Sub(p.wy[b], p.wy[a])
}

// inCircle returns +1 if d lies inside the circle through the anticlockwise
// triangle a, b, c, 0 on it: the determinant of the places lifted to
// x^2 + y^2, from d.
func (p *plan) inCircle(a, b, c, d int) int {
	value, size := 0.0, 0.0
	for _, t := range [3][3]int{{a, b, c}, {b, c, a}, {c, a, b}} {
		x, y := p.x[t[0]]-p.x[d], p.y[t[0]]-p.y[d]
		l := (p.x[t[1]] - p.x[d]) * (p.y[t[2]] - p.y[d])
		r := (p.y[t[1]] - p.y[d]) * (p.x[t[2]] - p.x[d])
		value += (x*x + y*y) * (l - r)
		size += (x*x + y*y) * (math.Abs(l) + math.Abs(r))
	}
	if s, ok := sure(value, size); ok {
		return s
	}
	sum := new(big.Int)
	for _, t := range [3][3]int{{a, b, c}, {b, c, a}, {c, a, b}} {
		x, y := p.from(d, t[0])
		lift := x.Add(x.Mul(x, x), y.Mul(y, y))
		sum.Add(sum, lift.Mul(lift, p.area2(d, t[1], t[2])))
	}
	return sum.Sign()
}
