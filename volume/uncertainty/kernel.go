package uncertainty

import "math"

// kernel is a generalised covariance by the square of the distance: a sum of powers,
// each with a sign that makes it one for errors in which planes cancel: minus
// h^(2 H) for 0 < H < 1, plus for 1 < H < 2.
//
// It is tabled over the leading bits of the square, and between by Hermite's cubics: a
// sum over pairs asks millions of times. The error is below 1e-9 of the value.
type kernel struct {
	value, slope []float64 // at the nodes; slope by the share of the way to the next
	first        int       // the exponent of the first octave
}

// Nodes per octave, and the bits of a double that number them.
const (
	octaveBits  = 7
	octaveNodes = 1 << octaveBits
	nodeShift   = 52 - octaveBits
)

// power is one of the powers of a kernel.
type power struct{ h, c float64 }

// signOf is the sign that makes a power of h a generalised covariance.
func signOf(h float64) float64 {
	if h < 1 {
		return -1
	}
	return 1
}

// leastSquare is the square of a distance, m2, below which places are one.
const leastSquare = 0x1p-40

// newKernel tables a sum of powers for squares of distances up to most.
func newKernel(powers []power, most float64) *kernel {
	_, last := math.Frexp(max(most, 1))
	k := &kernel{first: -41}
	n := (last - k.first + 1) * octaveNodes
	k.value, k.slope = make([]float64, n), make([]float64, n)
	for _, p := range powers {
		var mantissa [octaveNodes]float64
		for i := range mantissa {
			mantissa[i] = math.Pow(1+float64(i)/octaveNodes, p.h)
		}
		for i := range n {
			octave, j := i/octaveNodes, i%octaveNodes
			v := signOf(p.h) * p.c * mantissa[j] * math.Exp2(float64(octave+k.first)*p.h)
			k.value[i] += v
			k.slope[i] += v * p.h / float64(octaveNodes+j)
		}
	}
	return k
}

// at returns the covariance at a distance, given its square.
func (k *kernel) at(square float64) float64 {
	if square < leastSquare {
		return 0
	}
	bits := math.Float64bits(square)
	i := int(bits>>nodeShift) - (1023+k.first)<<octaveBits
	t := float64(bits&(1<<nodeShift-1)) * (1.0 / (1 << nodeShift))
	// The nodes of an octave are twice as far apart as those of the one before.
	a, b, m, n := k.value[i], k.value[i+1], k.slope[i], k.slope[i+1]
	if i%octaveNodes == octaveNodes-1 {
		n /= 2
	}
	d := b - a
	return a + float64(t*(m+float64(t*((3*d-2*m-n)+float64(t*(m+n-2*d))))))
}

// atom is a point of two measures: a place in metres, and its weights.
type atom struct {
	x, y float64
	w    [2]float64
}

// form returns the sums over all pairs of atoms, one of each list, of their weights by
// the covariance at their distance: of each measure of the one with each of the other.
func (k *kernel) form(p, q []atom) (c Covariance) {
	for i := range p {
		var row [2]float64
		for j := range q {
			dx, dy := p[i].x-q[j].x, p[i].y-q[j].y
			v := k.at(float64(dx*dx) + float64(dy*dy))
			row[0] += float64(q[j].w[0] * v)
			row[1] += float64(q[j].w[1] * v)
		}
		c.add(p[i].w, row, 1)
	}
	return c
}

// add adds the products of two pairs, so many times.
func (c *Covariance) add(p, q [2]float64, times float64) {
	for i := range c {
		for k := range c[i] {
			c[i][k] += float64(p[i] * q[k] * times)
		}
	}
}

// pair returns the covariance of the errors of two elements, of cut and fill with cut
// and fill.
func (k *kernel) pair(e, f *element) Covariance {
	c := k.form(e.atoms, f.atoms)
	if e == f {
		for i := range e.points { // a part with itself is no distance 0
			d := e.points[i].self
			c.add(e.atoms[i].w, e.atoms[i].w, k.at(d*d))
		}
	}
	return c
}
