package volume

import (
	"math"

	"barrow/tin"
)

// Spread is how the level difference of two surfaces is spread over an area,
// every square metre of it counted alike.
type Spread struct {
	Area              float64 // in plan, square metres; 0: all else is 0 too
	Mean              float64 // metres, as are all below
	StandardDeviation float64
	Least, Greatest   float64 // with their signs
}

// spread adds up pieces. Depths count from that of the first corner, so that a
// difference of datums does not swamp the spread.
type spread struct {
	any             bool
	from            float64
	area            tin.Sum // twice the area, square local units
	first, second   tin.Sum // 6 and 24 times the integral of depth less from, and of its square
	least, greatest float64
}

// add adds the prism over a convex polygon, given twice its area, unless that is
// rounded to nothing or less.
//
// Over a triangle of area T with the corner values u, v, w, a linear value has the
// integral T/3 s and its square T/12 (s^2 + u^2 + v^2 + w^2), where s is their sum:
// the square is of second degree, and the rule of the three corners and the middle
// is exact for that (from the monomials' integrals, worked by hand).
func (s *spread) add(p []corner, area2 float64) {
	if !(area2 > 0) {
		return
	}
	if !s.any {
		*s = spread{any: true, from: p[0].depth, least: p[0].depth, greatest: p[0].depth}
	}
	s.area.Add(area2)
	for i := range p {
		s.least, s.greatest = min(s.least, p[i].depth), max(s.greatest, p[i].depth)
	}
	var first, second float64
	a := &p[0]
	u := a.depth - s.from
	for i := 2; i < len(p); i++ {
		b, c := &p[i-1], &p[i]
		area := float64((b.x-a.x)*(c.y-a.y)) - float64((b.y-a.y)*(c.x-a.x))
		v, w := b.depth-s.from, c.depth-s.from
		sum := u + v + w
		first += float64(area * sum)
		second += float64(area * (float64(sum*sum) + float64(u*u) + float64(v*v) + float64(w*w)))
	}
	s.first.Add(first)
	s.second.Add(second)
}

// spreadOf returns the spread over all parts, whose local units have so many
// square metres: the squares of each are brought from its own origin to the mean
// of all.
func spreadOf(parts []*spread, unit float64) Spread {
	var area, integral, square tin.Sum
	out := Spread{Least: math.Inf(1), Greatest: math.Inf(-1)}
	for _, p := range parts {
		if !p.any {
			continue
		}
		area.Add(p.area.Value() / 2)
		integral.Add(p.first.Value() / 6)
		integral.Add(p.area.Value() / 2 * p.from)
		out.Least, out.Greatest = min(out.Least, p.least), max(out.Greatest, p.greatest)
	}
	if !(area.Value() > 0) {
		return Spread{}
	}
	out.Area, out.Mean = area.Value()*unit, integral.Value()/area.Value()
	for _, p := range parts {
		off := out.Mean - p.from
		square.Add(p.second.Value() / 24)
		square.Add(float64(off*p.first.Value()) / -3)
		square.Add(float64(off*off) * (p.area.Value() / 2))
	}
	out.StandardDeviation = math.Sqrt(max(0, square.Value()/area.Value()))
	return out
}

// reversed is the spread of the difference taken the other way round.
func (s Spread) reversed() Spread {
	s.Mean, s.Least, s.Greatest = 0-s.Mean, 0-s.Greatest, 0-s.Least
	return s
}
