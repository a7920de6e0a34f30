package volume_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"

	"barrow/tin"
)

// survey is what a surface is built of.
type survey struct {
	points  []tin.Point
	options tin.Options
}

func (s survey) build(t testing.TB) (*tin.Surface, error) {
	return tin.Build(t.Context(), []tin.Source{{Points: s.points}}, s.options)
}

func (s survey) String() string {
	return fmt.Sprintf("points %v, unit %v, boundary %v, voids %v, max_edge %v",
		s.points, s.options.Unit, s.options.Boundary, s.options.Voids, s.options.MaxEdge)
}

// duo is two small surveys of one site with as many coincidences as can be, and
// an outline or none.
type duo struct {
	kind    string
	a, b    survey
	outline orb.Polygon // metres
}

func (d duo) String() string {
	return fmt.Sprintf("%s\na: %v\nb: %v\noutline %v", d.kind, d.a, d.b, d.outline)
}

// spots are spots at the places given, each place once, with coarse levels.
func (c coarse) spots(places []orb.Point) []tin.Point {
	seen := make(map[orb.Point]bool)
	var points []tin.Point
	for _, p := range places {
		if !seen[p] {
			seen[p] = true
			points = append(points, tin.Point{E: p[0], N: p[1], Level: c.level()})
		}
	}
	return points
}

func (c coarse) level() float64 { return 10 + 0.5*float64(c.rng.IntN(5)) }

// places are a few random places, in half of all cases with the corners of a box
// round everything.
func (c coarse) places() []orb.Point {
	var places []orb.Point
	for range 4 + c.rng.IntN(10) {
		places = append(places, c.place())
	}
	if c.rng.IntN(2) == 0 {
		far := 2 * float64(c.side)
		if c.step == 1 {
			// Frames of three decimals, and of none.
			far = []float64{far, far, 5000, 40000}[c.rng.IntN(4)]
		}
		places = append(places, c.at(-far, -far), c.at(far, -far), c.at(far, far), c.at(-far, far))
	}
	return places
}

// second makes the second survey out of the first.
func (c coarse) second(t testing.TB, a survey) (kind string, points []tin.Point) {
	moved := func(by func(orb.Point) orb.Point) []tin.Point {
		var places []orb.Point
		for _, p := range a.points {
			places = append(places, by(orb.Point{p.E, p.N}))
		}
		return c.spots(places)
	}
	points = slices.Clone(a.points)
	kinds := 10
	if c.step < 0.01 || c.unit != 1 {
		kinds = 7 // no hair: it would be a hundredth of the site, or no decimal
	}
	switch c.rng.IntN(kinds) {
	default:
		return "apart", c.spots(c.places())
	case 1:
		return "same places", moved(func(p orb.Point) orb.Point { return p })
	case 2:
		for range 1 + c.rng.IntN(3) {
			points[c.rng.IntN(len(points))].Level = c.level()
		}
		return "dig", points
	case 3:
		return "finer", c.refine(t, a, points)
	case 4:
		points = c.refine(t, a, points)
		points[c.rng.IntN(len(points))].Level -= 0.25
		return "dig in finer", points
	case 5:
		for range len(points) / 3 {
			i := c.rng.IntN(len(points))
			points = slices.Delete(points, i, i+1)
		}
		return "coarser", points
	case 6:
		return "half a step off", moved(func(p orb.Point) orb.Point {
			return orb.Point{p[0] + c.step/2, p[1] + c.step/2}
		})
	case 7:
		return "hair's breadth off", moved(func(p orb.Point) orb.Point {
			return orb.Point{p[0] + 1e-9*c.rng.Float64(), p[1] - 1e-9*c.rng.Float64()}
		})
	case 8:
		return "shifted by a hair", moved(func(p orb.Point) orb.Point { return orb.Point{p[0] + 1e-9, p[1]} })
	case 9:
		return "next doubles", moved(func(p orb.Point) orb.Point {
			for i := range p {
				if c.rng.IntN(2) == 0 {
					p[i] = math.Nextafter(p[i], []float64{-1e9, 1e9}[c.rng.IntN(2)])
				}
			}
			return p
		})
	}
}

// refine adds spots on the edges and in the triangles of a survey, at the level
// there.
func (c coarse) refine(t testing.TB, a survey, points []tin.Point) []tin.Point {
	s, err := survey{a.points, tin.Options{Unit: a.options.Unit}}.build(t)
	if err != nil {
		return points
	}
	unit := a.options.Unit.Metres()
	decimal := func(v float64) float64 {
		if c.ragged {
			return v
		}
		return math.Round(v*1e4) / 1e4
	}
	seen := make(map[orb.Point]bool)
	for _, p := range points {
		seen[orb.Point{p.E, p.N}] = true
	}
	for _, tri := range s.Triangles() {
		if len(points) > 30 || c.rng.IntN(2) == 0 {
			continue
		}
		weight := [][3]float64{{0.5, 0.5, 0}, {0.5, 0.25, 0.25}, {0.75, 0.25, 0}}[c.rng.IntN(3)]
		var p tin.Point
		for i, w := range weight {
			k := tri.Corner[i]
			p.E, p.N, p.Level = p.E+w*k.E/unit, p.N+w*k.N/unit, p.Level+w*k.Level/unit
		}
		p.E, p.N = decimal(p.E), decimal(p.N)
		if q := (orb.Point{p.E, p.N}); !seen[q] {
			seen[q] = true
			points = append(points, p)
		}
	}
	return points
}

// limits are a boundary, a void and a greatest edge, each now and then.
func (c coarse) limits(o *tin.Options) {
	inUnit := func(p orb.Polygon) orb.MultiPolygon {
		q := orb.Polygon{slices.Clone(p[0])}
		for i, corner := range q[0] {
			q[0][i] = orb.Point{corner[0] / c.unit, corner[1] / c.unit}
			if c.unit != 1 {
				for k, v := range q[0][i] {
					q[0][i][k] = math.Round(v*1e4) / 1e4
				}
			}
		}
		return orb.MultiPolygon{q}
	}
	if c.step < 0.01 {
		return // next to nothing would be left
	}
	if c.rng.IntN(5) == 0 {
		o.Boundary = inUnit(c.convex())
	}
	if c.rng.IntN(5) == 0 {
		o.Voids = inUnit(c.convex())
	}
	if c.rng.IntN(5) == 0 {
		o.MaxEdge = c.step * float64(1+c.rng.IntN(2*c.side))
	}
}

// writtenInFeet is a survey in metres written down in a foot, to four decimals.
func writtenInFeet(s survey, foot tin.Unit) survey {
	decimal := func(v float64) float64 { return math.Round(v/float64(foot)*1e4) / 1e4 }
	out := survey{options: s.options}
	out.options.Unit = foot
	seen := make(map[orb.Point]bool)
	for _, p := range s.points {
		q := tin.Point{E: decimal(p.E), N: decimal(p.N), Level: p.Level / float64(foot)}
		if at := (orb.Point{q.E, q.N}); !seen[at] {
			seen[at] = true
			out.points = append(out.points, q)
		}
	}
	for _, l := range []*orb.MultiPolygon{&out.options.Boundary, &out.options.Voids} {
		*l = (*l).Clone()
		for _, p := range *l {
			for i, corner := range p[0] {
				p[0][i] = orb.Point{decimal(corner[0]), decimal(corner[1])}
			}
		}
	}
	out.options.MaxEdge /= float64(foot)
	return out
}

func randomDuo(t testing.TB, rng *rand.Rand) duo {
	c := newCoarse(rng)
	var d duo
	d.a.options.Unit, d.b.options.Unit = tin.Unit(c.unit), tin.Unit(c.unit)
	d.a.points = c.spots(c.places())
	d.kind, d.b.points = c.second(t, d.a)
	c.limits(&d.a.options)
	c.limits(&d.b.options)
	switch k := rng.IntN(8); {
	case k == 0 && c.unit == 1: // one in full mantissas
		p := c.place()
		d.b.points = append(d.b.points, tin.Point{E: p[0] + c.step*rng.Float64(), N: p[1] + c.step*rng.Float64(), Level: c.level()})
		d.kind += ", one in full mantissas"
	case k == 1 && c.unit == 1 && c.step >= 0.01:
		d.b = writtenInFeet(d.b, []tin.Unit{tin.Foot, tin.SurveyFoot}[rng.IntN(2)])
		d.kind += ", one in feet"
	}
	for rng.IntN(4) > 0 {
		d.outline = orb.Polygon{c.ring(c.place())}
		if tin.CheckOutline(d.outline) == nil {
			break
		}
		d.outline = nil
	}
	if rng.IntN(2) == 0 {
		d.a, d.b = d.b, d.a
	}
	return d
}
