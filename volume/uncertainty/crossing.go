package uncertainty

import "math"

const (
	// mostCrossing is how many points the higher orders are worked out over.
	mostCrossing = 250
	// lastOrder is the last of them.
	lastOrder = 8
)

// crossing is a point where the ground may be on the other side of the formation than
// the mesh is.
type crossing struct {
	atoms     []atom
	deviation float64            // of the level there, metres
	order     [lastOrder]float64 // coefficients of the orders from 2, times area, m3
}

// newCrossing expands the positive part of a normal depth of mean u and standard
// deviation 1: its coefficient of order n is the density phi(u) by Hermite's
// polynomial He of degree n-2, with the sign of its parity.
func newCrossing(atoms []atom, area, u, deviation float64) crossing {
	c := crossing{atoms: atoms, deviation: deviation}
	scale := area * deviation * math.Exp(-u*u/2) / math.Sqrt(2*math.Pi)
	before, he := 0.0, 1.0 // of degree n-3 and n-2, in -u
	for n := 2; n < lastOrder; n++ {
		c.order[n] = float64(scale * he)
		before, he = he, -float64(u*he)-float64(float64(n-2)*before)
	}
	return c
}

// with is the covariance of two positive parts beyond the first order: the sum over n
// of r^n / n! by both coefficients, r the correlation of the depths.
func (c *crossing) with(d *crossing, covariance float64) (sum float64) {
	r := min(max(-1, covariance/(c.deviation*d.deviation)), 1)
	power := r
	for n := 2; n < lastOrder; n++ {
		power *= r / float64(n)
		sum += float64(power * c.order[n] * d.order[n])
	}
	return sum
}

// higherOrders returns the variance that the zero line adds by wandering: the same to
// cut, to fill, and to their covariance, as cut less fill does not change with it. Cut
// and fill are positive parts of a depth and of its negative, whose covariances over
// pairs of points expand in Hermite's polynomials of the depths (Mehler's formula, from
// memory; checked by simulation). The first order is that of the weights.
func (e *pointErrors) higherOrders(s *sampled) float64 {
	var list []crossing
	for _, el := range s.drawn {
		for i := range el.points {
			p := &el.points[i]
			deviation := math.Sqrt(e.between(el.element, p) + e.levels(el.element, p))
			if p.batter || !(deviation > 0) || math.Abs(p.depth) > 5*deviation {
				continue
			}
			atoms := pointError(e.in.Ground, el.triangle, p.at, e.length)
			list = append(list, newCrossing(atoms, el.times*p.area, p.depth/deviation, deviation))
		}
	}
	every := (len(list) + mostCrossing - 1) / mostCrossing
	sum := 0.0
	for i := 0; i < len(list); i += every {
		for j := 0; j <= i; j += every {
			v := list[i].with(&list[j], e.k.form(list[i].atoms, list[j].atoms)[0][0])
			if j < i {
				v *= 2
			}
			sum += v
		}
	}
	return max(0, sum) * float64(every*every)
}
