package uncertainty

import (
	"github.com/paulmach/orb"

	"barrow/tin"
	"barrow/volume"
)

// Shot is a place where a further spot would help.
type Shot struct {
	At    orb.Point  // metres
	After Covariance // of cut and fill from all parts, with this and those before it
}

const (
	mostShots  = 5
	candidates = 100 // elements in whose middle a shot may be
)

// candidate is a place for a shot: what it would differ from the mesh.
type candidate struct {
	at    orb.Point // metres from the local origin
	atoms []atom
	v     float64    // variance of the difference, m2; given what is known already
	least float64    // m2: below it the difference tells nothing but rounding
	with  [2]float64 // its covariance with the error of cut and of fill, m4
	to    []float64  // and with the differences of the candidates before it
}

// shots finds, one after the other, the places whose levels would tell most about the
// errors of cut and fill: of each candidate the sum of both variances that its
// difference from the mesh explains (a linear regression, one rank at a time).
func (k *kernel) shots(ground *tin.Surface, s *sampled, noise float64, total Covariance) []Shot {
	places := k.candidates(ground, s.elements, noise)
	for i := range places {
		p := &places[i]
		for _, e := range s.drawn {
			for side, v := range k.form(p.atoms, e.atoms)[0] {
				p.with[side] += float64(e.times * v)
			}
		}
		for j := range i {
			p.to = append(p.to, k.form(p.atoms, places[j].atoms)[0][0])
		}
	}
	frame := ground.Frame()
	var out []Shot
	for range mostShots {
		best, most := -1, 0.0
		for i := range places {
			if gain := places[i].gain(); gain > most {
				best, most = i, gain
			}
		}
		if best < 0 {
			break
		}
		b := places[best]
		for i := range total {
			for j := range total[i] {
				total[i][j] -= float64(b.with[i]*b.with[j]) / b.v
			}
		}
		total = total.symmetric()
		condition(places, best)
		out = append(out, Shot{At: frame.Metres(b.at[0]/frame.Length(), b.at[1]/frame.Length()), After: total})
	}
	return out
}

// gain is the sum of both variances that a shot would explain, m6.
func (c *candidate) gain() float64 {
	if !(c.v > c.least) {
		return 0
	}
	return (float64(c.with[0]*c.with[0]) + float64(c.with[1]*c.with[1])) / c.v
}

// candidates are the middles of the largest elements.
func (k *kernel) candidates(ground *tin.Surface, list []element, noise float64) (out []candidate) {
	length := ground.Frame().Length()
	for _, e := range largest(list, candidates) {
		c := candidate{at: e.centre, atoms: pointError(ground, e.triangle, e.centre, length)}
		for _, a := range c.atoms {
			c.v += float64(noise * a.w[0] * a.w[0])
		}
		c.v += k.form(c.atoms, c.atoms)[0][0]
		c.least = 1e-6 * c.v
		out = append(out, c)
	}
	return out
}

// pointError is the error of the mesh at a place of a triangle, metres from the local
// origin, as the first of two measures.
func pointError(ground *tin.Surface, triangle int, at orb.Point, length float64) []atom {
	_, corner := ground.LocalTriangle(triangle)
	out := []atom{{at[0], at[1], [2]float64{1}}}
	for k, h := range volume.Shares(&corner, at[0]/length, at[1]/length) {
		out = append(out, atom{corner[k].X * length, corner[k].Y * length, [2]float64{-h}})
	}
	return out
}

// condition takes out of all candidates what one of them tells; that one has nothing
// left to tell.
func condition(places []candidate, best int) {
	b := places[best]
	cov := make([]float64, len(places))
	for i := range places {
		cov[i] = between(places, i, best)
	}
	for i := range places {
		p := &places[i]
		f := cov[i] / b.v
		p.with[0] -= float64(f * b.with[0])
		p.with[1] -= float64(f * b.with[1])
		p.v -= float64(f * cov[i])
		for j := range p.to {
			p.to[j] -= float64(f * cov[j])
		}
	}
	places[best].v = 0
}

// between is the covariance of two candidates.
func between(places []candidate, i, j int) float64 {
	switch {
	case i == j:
		return places[i].v
	case j < i:
		return places[i].to[j]
	}
	return places[j].to[i]
}
