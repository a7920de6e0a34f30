package uncertainty

import "math"

// mostCrossing is how many points the second order is worked out over.
const mostCrossing = 250

// crossing is a point where the ground may be on the other side of the formation than
// the mesh is.
type crossing struct {
	atoms []atom
	w     float64 // area by the density of depth 0, m
}

// secondOrder returns the variance that the zero line adds by wandering, the same to
// cut, to fill and, as it takes from neither what it gives to the other, to their
// covariance: the second term of the expansion of the covariance of max(d, 0) of two
// normal depths by that of their errors C,
//
//	1/2 sum over pairs of (phi(u) / s) (phi(u') / s') C^2
//
// for points of the works by their areas, u = depth / s (Hermite's expansion; from
// memory, checked by simulation).
func (e *pointErrors) secondOrder(s *sampled) float64 {
	var list []crossing
	for _, el := range s.drawn {
		for i := range el.points {
			p := &el.points[i]
			variance := e.between(el.element, p)
			deviation := math.Sqrt(variance + e.levels(el.element, p))
			if p.batter || !(deviation > 0) || math.Abs(p.depth) > 4*deviation {
				continue
			}
			u := p.depth / deviation
			w := el.times * p.area * math.Exp(-u*u/2) / math.Sqrt(2*math.Pi) / deviation
			list = append(list, crossing{pointError(e.in.Ground, el.triangle, p.at, e.length), w})
		}
	}
	every := (len(list) + mostCrossing - 1) / mostCrossing
	sum := 0.0
	for i := 0; i < len(list); i += every {
		for j := 0; j <= i; j += every {
			c := e.k.form(list[i].atoms, list[j].atoms)[0][0]
			term := float64(list[i].w * list[j].w * c * c)
			if j < i {
				term *= 2
			}
			sum += term
		}
	}
	return sum / 2 * float64(every*every)
}
