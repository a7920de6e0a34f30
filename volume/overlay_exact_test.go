package volume_test

import (
	"math"
	"math/big"

	"github.com/paulmach/orb"

	"barrow/tin"
)

// The arithmetic of the overlay's oracle: rational places as homogeneous whole
// numbers. Every corner that comes about in clipping is the crossing of two
// given lines and is computed from them, so that numbers stay short and every
// sign is exact. Only the sums of areas and volumes are rounded, to sumBits.

const sumBits = 256

// place is (x/w, y/w), w positive.
type place struct{ x, y, w *big.Int }

// form is a*x + b*y + c*w: of a line, positive on its left; of a depth, its
// value.
type form struct{ a, b, c *big.Int }

func minus(a, b *big.Int) *big.Int { return new(big.Int).Sub(a, b) }
func plus(a, b *big.Int) *big.Int  { return new(big.Int).Add(a, b) }
func times(a, b *big.Int) *big.Int { return new(big.Int).Mul(a, b) }

// at is the value at a place, times its w.
func (f *form) at(p *place) *big.Int {
	var t big.Int
	v := times(f.a, p.x)
	v.Add(v, t.Mul(f.b, p.y))
	return v.Add(v, t.Mul(f.c, p.w))
}

// lineOf runs from p to q, both whole.
func lineOf(p, q *place) form {
	a, b := minus(p.y, q.y), minus(q.x, p.x)
	c := plus(times(a, p.x), times(b, p.y))
	return form{a, b, c.Neg(c)}
}

// crossing is where two lines that are not parallel meet.
func crossing(l, m *form) place {
	p := place{
		minus(times(l.b, m.c), times(m.b, l.c)),
		minus(times(m.a, l.c), times(l.a, m.c)),
		minus(times(l.a, m.b), times(m.a, l.b)),
	}
	if p.w.Sign() < 0 {
		p = place{p.x.Neg(p.x), p.y.Neg(p.y), p.w.Neg(p.w)}
	}
	return p
}

// area is a polygon, its lines from each corner to the next.
type area struct {
	corner []place
	line   []form
}

// areaOf is the polygon of whole corners.
func areaOf(corner []place) area {
	r := area{corner: corner}
	for i := range corner {
		r.line = append(r.line, lineOf(&corner[i], &corner[(i+1)%len(corner)]))
	}
	return r
}

func (r *area) add(p place, along form) {
	r.corner, r.line = append(r.corner, p), append(r.line, along)
}

// clip keeps what is on the left of a line. A polygon that is not convex may
// keep bridges of no area, which signed sums ignore.
func (r *area) clip(keep *form) area {
	n := len(r.corner)
	signs := make([]int, n)
	out := false
	for i := range r.corner {
		signs[i] = keep.at(&r.corner[i]).Sign()
		out = out || signs[i] < 0
	}
	if !out {
		return *r
	}
	var left area
	for i, s := range signs {
		next := signs[(i+1)%n]
		switch {
		case s > 0 && next < 0:
			left.add(r.corner[i], r.line[i])
			left.add(crossing(&r.line[i], keep), *keep)
		case s == 0 && next < 0:
			left.add(r.corner[i], *keep)
		case s >= 0:
			left.add(r.corner[i], r.line[i])
		case next > 0:
			left.add(crossing(&r.line[i], keep), r.line[i])
		}
	}
	return left
}

// within cuts a polygon by a convex one, anticlockwise.
func (r area) within(convex *area) area {
	for i := range convex.line {
		if len(r.corner) == 0 {
			break
		}
		r = r.clip(&convex.line[i])
	}
	return r
}

func float() *big.Float { return new(big.Float).SetPrec(sumBits) }

func quotient(a, b *big.Int) *big.Float {
	return float().Quo(float().SetInt(a), float().SetInt(b))
}

// twice returns twice the signed area and, for a depth, six times the integral
// of the depth.
func (r *area) twice(depth *form) (area2, volume6 *big.Float) {
	area2, volume6 = float(), float()
	n := len(r.corner)
	if n < 3 {
		return area2, volume6
	}
	x, y, z := make([]*big.Float, n), make([]*big.Float, n), make([]*big.Float, n)
	for i := range r.corner {
		p := &r.corner[i]
		x[i], y[i] = quotient(p.x, p.w), quotient(p.y, p.w)
		if depth != nil {
			z[i] = quotient(depth.at(p), p.w)
		}
		if i > 0 {
			x[i].Sub(x[i], x[0])
			y[i].Sub(y[i], y[0])
		}
	}
	for i := 2; i < n; i++ {
		a := float().Mul(x[i-1], y[i])
		a.Sub(a, float().Mul(y[i-1], x[i]))
		area2.Add(area2, a)
		if depth != nil {
			s := float().Add(z[0], z[i-1])
			volume6.Add(volume6, a.Mul(a, s.Add(s, z[i])))
		}
	}
	return area2, volume6
}

// exactFrame is a frame whose local coordinates stand for rational numbers of
// metres: v = (x + x0) / per * unit.
type exactFrame struct {
	of           tin.Frame
	x0, y0       *big.Rat
	per, metres  *big.Rat
	decimal      bool
	squareMetres *big.Rat // in one square local unit
}

func newExactFrame(f tin.Frame, unit tin.Unit) exactFrame {
	x, y := f.Local(orb.Point{0, 0})
	per := math.Round(unit.Metres() / f.Length())
	e := exactFrame{of: f, x0: rat(-x), y0: rat(-y), per: rat(per), metres: rat(unit.Metres()), decimal: per > 1}
	e.squareMetres = quo(e.metres, e.per)
	e.squareMetres.Mul(e.squareMetres, e.squareMetres)
	return e
}

// length is the metres in a local unit.
func (f exactFrame) length() float64 {
	square, _ := f.squareMetres.Float64()
	return math.Sqrt(square)
}

// take is a place in metres as it comes from a survey in frame g. A frame of
// another unit, or in decimals where g is not, takes it as it takes any place in
// metres; else it is moved exactly.
func (f exactFrame) take(g exactFrame, p orb.Point) ratPoint {
	x, y := g.of.Local(p)
	if f.metres.Cmp(g.metres) != 0 || (f.decimal && !g.decimal) {
		x, y = f.of.Local(g.of.Metres(x, y))
		return ratPoint{rat(x), rat(y)}
	}
	r := quo(f.per, g.per)
	return ratPoint{sub(mul(add(rat(x), g.x0), r), f.x0), sub(mul(add(rat(y), g.y0), r), f.y0)}
}

// scale turns rational coordinates into whole numbers of one unit.
type scale struct{ per *big.Int }

func newScale() scale { return scale{big.NewInt(1)} }

func (s *scale) take(values ...*big.Rat) {
	for _, v := range values {
		d := v.Denom()
		s.per = times(s.per, new(big.Int).Div(d, new(big.Int).GCD(nil, nil, s.per, d)))
	}
}

func (s *scale) whole(v *big.Rat) *big.Int {
	return times(v.Num(), new(big.Int).Div(s.per, v.Denom()))
}

// flat is how thin a triangle is whose levels are interpolated without rounding,
// about.
const flat = 1e7

// facet is a triangle of a surface with its plane: level times size.
type facet struct {
	area
	level form
	size  *big.Int // twice the area
	thin  int64    // the longest side squared over twice the area, 1 at least
	near  orb.Bound
}

func newFacet(corner [3]place, level [3]*big.Int) facet {
	f := facet{area: areaOf(corner[:])}
	f.size = f.line[0].at(&corner[2])
	f.level = form{new(big.Int), new(big.Int), new(big.Int)}
	for i := range 3 {
		l := &f.line[(i+1)%3]
		f.level.a.Add(f.level.a, times(l.a, level[i]))
		f.level.b.Add(f.level.b, times(l.b, level[i]))
		f.level.c.Add(f.level.c, times(l.c, level[i]))
	}
	f.near = f.box()
	longest := new(big.Int)
	for i := range 3 {
		dx, dy := minus(corner[i].x, corner[(i+1)%3].x), minus(corner[i].y, corner[(i+1)%3].y)
		if square := plus(dx.Mul(dx, dx), dy.Mul(dy, dy)); square.Cmp(longest) > 0 {
			longest = square
		}
	}
	f.thin = 1
	if f.size.Sign() > 0 {
		f.thin += min(longest.Div(longest, f.size).Int64(), flat)
	}
	return f
}

// steep bounds the rise of the level, times size.
func (f *facet) steep() *big.Int {
	return plus(new(big.Int).Abs(f.level.a), new(big.Int).Abs(f.level.b))
}

// box is a box round the polygon, a little wide.
func (r *area) box() orb.Bound {
	b := orb.Bound{Min: orb.Point{math.Inf(1), math.Inf(1)}, Max: orb.Point{math.Inf(-1), math.Inf(-1)}}
	for _, p := range r.corner {
		x, _ := quotient(p.x, p.w).Float64()
		y, _ := quotient(p.y, p.w).Float64()
		for _, to := range []float64{math.Inf(-1), math.Inf(1)} {
			b = b.Extend(orb.Point{math.Nextafter(x, to), math.Nextafter(y, to)})
		}
	}
	return b
}

// less is the depth of f over g, times the product of their sizes.
func (f *facet) less(g *facet) (depth form, size *big.Int) {
	d := func(a, b *big.Int) *big.Int { return minus(times(a, g.size), times(b, f.size)) }
	return form{d(f.level.a, g.level.a), d(f.level.b, g.level.b), d(f.level.c, g.level.c)}, times(f.size, g.size)
}
