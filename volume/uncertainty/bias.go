package uncertainty

import (
	"math"

	"github.com/paulmach/orb"

	"barrow/volume"
)

// mostSides is how many stretches of daylight lines are looked at; of more, each of
// those stands for its neighbours.
const mostSides = 20_000

// pointErrors gives the variances of the ground's level at a place, m2.
type pointErrors struct {
	in     *Input
	k      *kernel
	length float64   // metres in a local unit
	vertex []float64 // by the errors of levels, of each vertex asked for so far; below 0: not yet
}

func (in *Input) errorsOf(k *kernel) *pointErrors {
	e := &pointErrors{in: in, k: k, length: in.Ground.Frame().Length(), vertex: make([]float64, in.Ground.Size())}
	for v := range e.vertex {
		e.vertex[v] = -1
	}
	return e
}

// between is the variance by the ground between spots.
func (e *pointErrors) between(el *element, p *point) float64 { return e.betweenAt(el.triangle, p.at) }

func (e *pointErrors) betweenAt(triangle int, at orb.Point) float64 {
	atoms := pointError(e.in.Ground, triangle, at, e.length)
	return max(0, e.k.form(atoms, atoms)[0][0])
}

// levels is the variance by the errors of levels.
func (e *pointErrors) levels(el *element, p *point) float64 { return e.levelsAt(el.triangle, p.share) }

func (e *pointErrors) levelsAt(triangle int, share [3]float64) (sum float64) {
	vertex, _ := e.in.Ground.LocalTriangle(triangle)
	for k, v := range vertex {
		if e.vertex[v] < 0 {
			e.vertex[v] = e.in.variance(v)
		}
		sum += float64(share[k] * share[k] * e.vertex[v])
	}
	return sum
}

// bias works out by how much cut and fill read too high on average. Inside the
// formation outlines a depth d with an error of standard deviation s is worth, as cut
// and as fill, s (phi(u) - u (1 - Phi(u))) more than it seems, where u = |d| / s, phi is
// the normal density and Phi its integral (the mean of the positive part of a normal
// variable, worked by hand). Along a daylight line both sides together come to s^2 / 2
// by its length over the gradient of depth: that integrated across it.
func (e *pointErrors) bias(u *Uncertainty, s *sampled) {
	var levels, between float64
	for _, el := range s.drawn {
		for i := range el.points {
			p := &el.points[i]
			if p.batter {
				continue
			}
			levels += float64(el.times * p.area * more(p.depth, math.Sqrt(e.levels(el.element, p))))
			between += float64(el.times * p.area * more(p.depth, math.Sqrt(e.between(el.element, p))))
		}
	}
	u.LevelsBias, u.BetweenBias = [2]float64{levels, levels}, [2]float64{-between, -between}
	sides := e.in.Sensitivity.Daylight
	every := (len(sides) + mostSides - 1) / mostSides
	for i := 0; i < len(sides); i += every {
		d := &sides[i]
		_, corner := e.in.Ground.LocalTriangle(d.Triangle)
		side := 1 - count(d.Cut)
		width := float64(every) * d.Width / 2
		u.LevelsBias[side] += float64(width * e.levelsAt(d.Triangle, volume.Shares(&corner, d.Middle[0], d.Middle[1])))
		u.BetweenBias[side] -= float64(width * e.betweenAt(d.Triangle, orb.Point{d.Middle[0] * e.length, d.Middle[1] * e.length}))
	}
}

// more is by how much the mean of the positive part of depth and error exceeds that of
// the depth alone.
func more(depth, deviation float64) float64 {
	if !(deviation > 0) {
		return 0
	}
	u := math.Abs(depth) / deviation
	return deviation * (math.Exp(-u*u/2)/math.Sqrt(2*math.Pi) - float64(u*likely(-u)))
}
