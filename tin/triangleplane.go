package tin

import (
	"math"
	"math/big"
)

// trianglePlane interpolates the levels of one triangle.
type trianglePlane struct {
	corner [3]PieceCorner
	lo, hi float64 // of the levels
	area   float64 // twice
	flat   bool    // three corners nearly in line: rounding would show in levels
}

// flatTriangle is the area of a triangle, relative to the products it is the
// difference of, below which it counts as flat.
const flatTriangle = 1e-6

func (p *trianglePlane) set(a, b, c *PieceCorner) {
	p.corner[0].X, p.corner[0].Y, p.corner[0].Level = a.X, a.Y, a.Level
	p.corner[1].X, p.corner[1].Y, p.corner[1].Level = b.X, b.Y, b.Level
	p.corner[2].X, p.corner[2].Y, p.corner[2].Level = c.X, c.Y, c.Level
	ux, uy, vx, vy := b.X-a.X, b.Y-a.Y, c.X-a.X, c.Y-a.Y
	p.area = cross(ux, uy, vx, vy)
	p.flat = p.area < flatTriangle*(math.Abs(ux*vy)+math.Abs(uy*vx))
	p.lo, p.hi = min(a.Level, b.Level, c.Level), max(a.Level, b.Level, c.Level)
}

// at returns the level at a place in the triangle: at a corner the corner's, and
// never outside the range of the corners' levels.
func (p *trianglePlane) at(x, y float64) float64 {
	c := &p.corner
	for i := range c {
		if c[i].X == x && c[i].Y == y {
			return c[i].Level
		}
	}
	if p.flat {
		return min(max(p.exact(x, y), p.lo), p.hi)
	}
	w1 := cross(x-c[0].X, y-c[0].Y, c[2].X-c[0].X, c[2].Y-c[0].Y) / p.area
	w2 := cross(c[1].X-c[0].X, c[1].Y-c[0].Y, x-c[0].X, y-c[0].Y) / p.area
	z := c[0].Level + float64(w1*(c[1].Level-c[0].Level)) + float64(w2*(c[2].Level-c[0].Level))
	return min(max(z, p.lo), p.hi)
}

// exact is at in rationals: of three corners nearly in line the rounded area
// may be 0 or negative.
func (p *trianglePlane) exact(x, y float64) float64 {
	rat := func(v float64) *big.Rat { return new(big.Rat).SetFloat64(v) }
	less := func(a, b float64) *big.Rat { return new(big.Rat).Sub(rat(a), rat(b)) }
	cross := func(ax, ay, bx, by *big.Rat) *big.Rat {
		l, r := new(big.Rat).Mul(ax, by), new(big.Rat).Mul(ay, bx)
		return l.Sub(l, r)
	}
	c := &p.corner
	ux, uy := less(c[1].X, c[0].X), less(c[1].Y, c[0].Y)
	vx, vy := less(c[2].X, c[0].X), less(c[2].Y, c[0].Y)
	wx, wy := less(x, c[0].X), less(y, c[0].Y)
	area := cross(ux, uy, vx, vy)
	if area.Sign() == 0 {
		return p.lo // not a triangle of a mesh: one in another frame, flat there
	}
	rise := cross(wx, wy, vx, vy)
	rise.Mul(rise, less(c[1].Level, c[0].Level))
	second := cross(ux, uy, wx, wy)
	rise.Add(rise, second.Mul(second, less(c[2].Level, c[0].Level)))
	rise.Quo(rise, area)
	level, _ := rise.Add(rise, rat(c[0].Level)).Float64()
	return level
}
