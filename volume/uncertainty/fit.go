package uncertainty

import "math"

// exponents are the H that a fit weighs, from rough to smooth.
func exponents() []float64 {
	return []float64{0.2, 0.35, 0.5, 0.65, 0.8, 0.92, 1.1, 1.3, 1.5, 1.75}
}

const (
	// leastSpots is how few spots left out in turn tell too little: judgement, no
	// source.
	leastSpots = 15
	// leastOff is the mean of residuals, metres, below which the ground is plane.
	leastOff = 1e-7
	// leastVariance keeps the logarithm of a likelihood finite, m2.
	leastVariance = 1e-20
)

// fit returns the powers of the generalised covariance that residuals tell of, each
// exponent with its own factor, weighed by its profile likelihood; noise is the
// variance of each residual that errors of levels alone would give it, m2. None means
// a plane.
func fit(list []contrast, noise []float64) []power {
	square := 0.0
	for i := range list {
		square += float64(list[i].off * list[i].off)
	}
	if math.Sqrt(square/float64(len(list))) < leastOff {
		return nil
	}
	var powers []power
	var lack []float64
	least := math.Inf(1)
	v := make([]float64, len(list))
	for _, h := range exponents() {
		for i := range list {
			v[i] = list[i].variance(h)
		}
		c := factor(list, v, noise)
		l := 0.0
		for i := range list {
			d := max(float64(c*v[i])+noise[i], leastVariance)
			l += math.Log(d) + float64(list[i].off*list[i].off)/d
		}
		powers, lack, least = append(powers, power{h, c}), append(lack, l), min(least, l)
	}
	sum := 0.0
	for i, l := range lack {
		lack[i] = math.Exp(-(l - least) / 2)
		sum += lack[i]
	}
	kept := powers[:0]
	for i, p := range powers {
		if share := lack[i] / sum; share > 1e-6 && p.c > 0 {
			kept = append(kept, power{p.h, p.c * share})
		}
	}
	return kept
}

// variance returns the variance of a residual under a power with factor 1.
func (c *contrast) variance(h float64) (v float64) {
	for i := range c.at {
		for k := range i {
			dx, dy := c.at[i][0]-c.at[k][0], c.at[i][1]-c.at[k][1]
			v += float64(c.weight[i] * c.weight[k] * math.Pow(float64(dx*dx)+float64(dy*dy), h))
		}
	}
	return max(0, 2*signOf(h)*v)
}

// factor fits c of c v + noise to the squares of residuals, weighed by what their
// variances come to: iterated until it rests.
func factor(list []contrast, v, noise []float64) (c float64) {
	for i := range list {
		if v[i] > 0 {
			c += float64(list[i].off*list[i].off) / v[i] / float64(len(list))
		}
	}
	for range 50 {
		up, down := 0.0, 0.0
		for i := range list {
			d := max(float64(c*v[i])+noise[i], leastVariance)
			w := v[i] / d / d
			up += float64(w * (float64(list[i].off*list[i].off) - noise[i]))
			down += float64(w * v[i])
		}
		if !(down > 0) {
			return c
		}
		next := max(0, up/down)
		if math.Abs(next-c) <= 1e-12*c {
			return next
		}
		c = next
	}
	return c
}
