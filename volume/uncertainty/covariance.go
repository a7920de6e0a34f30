package uncertainty

import "math"

// CoverageFactor turns a standard deviation into the half width of an interval that
// holds the true value with 95 % where errors are normal (GUM, JCGM 100:2008, 6.2 and
// table G.1; clauses from memory).
const CoverageFactor = 1.96

// Covariance is that of cut and fill, m6: of cut and fill with themselves on the
// diagonal.
type Covariance [2][2]float64

// Of returns the standard deviation of a quantity that is linear in cut and fill, from
// how much it changes with each: {1, 0} is the cut, {1, -1} cut less fill, rates after
// factors an amount of money.
func (c Covariance) Of(gradient [2]float64) float64 {
	v := gradient[0]*gradient[0]*c[0][0] + gradient[1]*gradient[1]*c[1][1] + gradient[0]*gradient[1]*(c[0][1]+c[1][0])
	return math.Sqrt(max(0, v))
}

// Plus returns the covariance of the sum of two independent errors.
func (c Covariance) Plus(d Covariance) Covariance {
	for i := range c {
		for k := range c[i] {
			c[i][k] += d[i][k]
		}
	}
	return c
}

// Common returns the covariance that comes of one error of so much, by how much cut and
// fill change with it.
func Common(gradient [2]float64, deviation float64) (c Covariance) {
	for i := range c {
		for k := range c[i] {
			c[i][k] = gradient[i] * gradient[k] * deviation * deviation
		}
	}
	return c
}
