package volume_test

import (
	"math"
	"math/big"

	"github.com/paulmach/orb"

	"barrow/tin"
)

// The oracle's arithmetic: plan geometry and integrals in rational numbers,
// exact from the coordinates on.

type ratPoint struct{ x, y *big.Rat }

func rat(v float64) *big.Rat     { return new(big.Rat).SetFloat64(v) }
func add(a, b *big.Rat) *big.Rat { return new(big.Rat).Add(a, b) }
func sub(a, b *big.Rat) *big.Rat { return new(big.Rat).Sub(a, b) }
func mul(a, b *big.Rat) *big.Rat { return new(big.Rat).Mul(a, b) }
func quo(a, b *big.Rat) *big.Rat { return new(big.Rat).Quo(a, b) }

// linear is a value over the plane: a*x + b*y + c.
type linear struct{ a, b, c *big.Rat }

func (l linear) at(p ratPoint) *big.Rat { return add(add(mul(l.a, p.x), mul(l.b, p.y)), l.c) }

func (l linear) less(m linear) linear {
	return linear{sub(l.a, m.a), sub(l.b, m.b), sub(l.c, m.c)}
}

func (l linear) negative() linear {
	zero := new(big.Rat)
	return linear{zero, zero, zero}.less(l)
}

func (l linear) isZero() bool { return l.a.Sign() == 0 && l.b.Sign() == 0 && l.c.Sign() == 0 }

// side is positive to the left of the line from p to q.
func side(p, q ratPoint) linear {
	a, b := sub(p.y, q.y), sub(q.x, p.x)
	return linear{a, b, new(big.Rat).Neg(add(mul(a, p.x), mul(b, p.y)))}
}

// through is the linear value that is z at the corners of a triangle.
func through(p [3]ratPoint, z [3]*big.Rat) linear {
	total := side(p[0], p[1]).at(p[2])
	sum := linear{new(big.Rat), new(big.Rat), new(big.Rat)}
	for i := range 3 {
		s, w := side(p[(i+1)%3], p[(i+2)%3]), quo(z[i], total)
		sum = linear{add(sum.a, mul(s.a, w)), add(sum.b, mul(s.b, w)), add(sum.c, mul(s.c, w))}
	}
	return sum
}

// clip cuts a polygon by a half-plane. One that is not convex may keep bridges
// of no area, which signed sums ignore.
func clip(p []ratPoint, keep linear) []ratPoint {
	if len(p) == 0 {
		return nil
	}
	var out []ratPoint
	last := p[len(p)-1]
	d := keep.at(last)
	for _, q := range p {
		e := keep.at(q)
		if d.Sign()*e.Sign() < 0 {
			t := quo(d, sub(d, e))
			out = append(out, ratPoint{add(last.x, mul(t, sub(q.x, last.x))), add(last.y, mul(t, sub(q.y, last.y)))})
		}
		if e.Sign() >= 0 {
			out = append(out, q)
		}
		last, d = q, e
	}
	return out
}

// within cuts a polygon by a convex one, anticlockwise.
func within(p, convex []ratPoint) []ratPoint {
	for i, q := range convex {
		if len(p) == 0 {
			break
		}
		p = clip(p, side(q, convex[(i+1)%len(convex)]))
	}
	return p
}

// integral returns the signed area of p and the integral of v over it.
func integral(p []ratPoint, v linear) (area, volume *big.Rat) {
	area, volume = new(big.Rat), new(big.Rat)
	for i := 2; i < len(p); i++ {
		a := side(p[0], p[i-1]).at(p[i])
		area.Add(area, mul(a, big.NewRat(1, 2)))
		volume.Add(volume, mul(mul(a, big.NewRat(1, 6)), add(add(v.at(p[0]), v.at(p[i-1])), v.at(p[i]))))
	}
	return area, volume
}

// bound is a box round a polygon, a little wide.
func bound(p []ratPoint) orb.Bound {
	b := orb.Bound{Min: orb.Point{math.Inf(1), math.Inf(1)}, Max: orb.Point{math.Inf(-1), math.Inf(-1)}}
	for _, q := range p {
		x, _ := q.x.Float64()
		y, _ := q.y.Float64()
		b = b.Extend(orb.Point{math.Nextafter(x, math.Inf(-1)), math.Nextafter(y, math.Inf(-1))})
		b = b.Extend(orb.Point{math.Nextafter(x, math.Inf(1)), math.Nextafter(y, math.Inf(1))})
	}
	return b
}

// part is a polygon of a formation, anticlockwise in local coordinates, counted
// sign times, and the plane that rules in it.
type part struct {
	polygon []ratPoint
	sign    int64
	plane   linear
}

// exact is what the parts of a formation measure, in metres.
type exact struct{ cut, fill, cutArea, fillArea, levelArea, uncovered *big.Rat }

// rational measures the same triangles as the package under test by another
// road: each whole polygon is clipped by each triangle (not the triangle by
// cells of the polygon), then by the sign of the depth.
type rational struct{ frame tin.Frame }

func (r rational) local(p orb.Point) ratPoint {
	x, y := r.frame.Local(p)
	return ratPoint{rat(x), rat(y)}
}

// ring is a ring without its closing point, anticlockwise.
func (r rational) ring(ring orb.Ring) []ratPoint {
	var out []ratPoint
	for i, c := range ring {
		if i > 0 && i == len(ring)-1 && c == ring[0] {
			break
		}
		out = append(out, r.local(c))
	}
	if area, _ := integral(out, linear{new(big.Rat), new(big.Rat), new(big.Rat)}); area.Sign() < 0 {
		for i, j := 0, len(out)-1; i < j; i, j = i+1, j-1 {
			out[i], out[j] = out[j], out[i]
		}
	}
	return out
}

// formation is the plane over local coordinates. The place it goes through is
// taken as the frame takes it: a decimal, where the survey is in decimals.
func (r rational) formation(p tin.Plane) linear {
	at, unit := r.local(p.At), rat(r.frame.Length())
	gx, gy := mul(rat(p.Gradient[0]), unit), mul(rat(p.Gradient[1]), unit)
	return linear{gx, gy, sub(rat(p.Level), add(mul(gx, at.x), mul(gy, at.y)))}
}

// measure adds up the parts. Ground is the triangles within the boundary and
// outside the voids, which are convex or nil.
func (r rational) measure(ground *tin.Surface, boundary, void []ratPoint, parts []part) exact {
	e := exact{new(big.Rat), new(big.Rat), new(big.Rat), new(big.Rat), new(big.Rat), new(big.Rat)}
	var on []part // the parts that are on the ground but for its rim
	for _, p := range parts {
		area, _ := integral(p.polygon, p.plane)
		e.uncovered.Add(e.uncovered, mul(big.NewRat(p.sign, 1), area))
		if boundary != nil {
			p.polygon = within(p.polygon, boundary)
		}
		on = append(on, p)
		if void != nil {
			on = append(on, part{within(p.polygon, void), -p.sign, p.plane})
		}
	}
	around := make([]orb.Bound, len(on))
	for i, p := range on {
		around[i] = bound(p.polygon)
	}
	for _, t := range ground.Triangles() {
		var corner [3]ratPoint
		var z [3]*big.Rat
		for i, c := range t.Corner {
			corner[i], z[i] = r.local(orb.Point{c.E, c.N}), rat(c.Level)
		}
		near := bound(corner[:])
		for i, p := range on {
			if !near.Intersects(around[i]) {
				continue
			}
			poly := within(p.polygon, corner[:])
			if len(poly) == 0 {
				continue
			}
			depth, sign := through(corner, z).less(p.plane), big.NewRat(p.sign, 1)
			area, _ := integral(poly, depth)
			e.uncovered.Sub(e.uncovered, mul(sign, area))
			if depth.isZero() {
				e.levelArea.Add(e.levelArea, mul(sign, area))
				continue
			}
			a, v := integral(clip(poly, depth), depth)
			e.cut.Add(e.cut, mul(sign, v))
			e.cutArea.Add(e.cutArea, mul(sign, a))
			a, v = integral(clip(poly, depth.negative()), depth)
			e.fill.Sub(e.fill, mul(sign, v))
			e.fillArea.Add(e.fillArea, mul(sign, a))
		}
	}
	unit := rat(r.frame.Area())
	for _, v := range []*big.Rat{e.cut, e.fill, e.cutArea, e.fillArea, e.levelArea, e.uncovered} {
		v.Mul(v, unit)
	}
	return e
}
