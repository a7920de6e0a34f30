package tintest

import (
	"context"
	"fmt"

	"github.com/paulmach/orb"

	"barrow/tin"
)

// Solid is ground over an outline, with its volumes against a level known in
// closed form. The triangulated ground has exactly these volumes, not only the
// solid it stands for.
type Solid struct {
	Name       string
	Points     []tin.Point
	Breaklines []tin.Breakline
	Outline    orb.Polygon // closed, anticlockwise, metres; the hull of the ground
	Level      float64     // of the plane the volumes are measured against, metres
	Cut        float64     // cubic metres of ground above Level within Outline
	Fill       float64     // cubic metres missing below Level within Outline
}

// Surface builds the ground.
func (s Solid) Surface() (*tin.Surface, error) {
	source := tin.Source{Name: s.Name, Points: s.Points, Breaklines: s.Breaklines}
	return tin.Build(context.Background(), []tin.Source{source}, tin.Options{})
}

// Moved returns the solid shifted by easting, northing and level. Volumes stay.
func (s Solid) Moved(e, n, level float64) Solid {
	shift := func(points []tin.Point) []tin.Point {
		moved := make([]tin.Point, len(points))
		for i, p := range points {
			p.E, p.N, p.Level = p.E+e, p.N+n, p.Level+level
			moved[i] = p
		}
		return moved
	}
	s.Points = shift(s.Points)
	lines := make([]tin.Breakline, len(s.Breaklines))
	for i, l := range s.Breaklines {
		lines[i] = tin.Breakline{Name: l.Name, Vertices: shift(l.Vertices)}
	}
	s.Breaklines = lines
	s.Outline = s.Outline.Clone()
	for _, ring := range s.Outline {
		for i := range ring {
			ring[i] = orb.Point{ring[i][0] + e, ring[i][1] + n}
		}
	}
	s.Level += level
	return s
}

// Solids returns one of each solid, in sizes whose volumes are easily checked.
func Solids() []Solid {
	return []Solid{
		Prism(10, 10, 0.5),
		Prism(20, 5, -0.4),
		Wedge(30, 10, 0, 2),
		Wedge(30, 10, -1, 2),
		Pyramid(12, 12, 3),
		Pyramid(20, 6, -1.5),
		Frustum([2]float64{20, 12}, [2]float64{14, 6}, 2),
		Frustum([2]float64{20, 12}, [2]float64{14, 6}, -2),
		Frustum([2]float64{10, 10}, [2]float64{9, 1}, -1),
		Bowl(0.01, 20, 8),
	}
}

// Prism is level ground, length x width, at a height above (below, if
// negative) level 0: volume l w h.
func Prism(length, width, height float64) Solid {
	s := Wedge(length, width, height, height)
	s.Name = fmt.Sprintf("prism %g x %g x %g", length, width, height)
	return s
}

// Wedge is a plane that goes from level from at easting 0 to level to at
// easting length. Its end areas are a trapezium or, where it passes level 0,
// two triangles:
//
//	V = l w (from + to) / 2
//	cut = l w to^2 / 2(to - from), fill = l w from^2 / 2(to - from), if from < 0 < to
func Wedge(length, width, from, to float64) Solid {
	s := Solid{
		Name: fmt.Sprintf("wedge %g x %g from %g to %g", length, width, from, to),
		Points: []tin.Point{
			{N: 0, E: 0, Level: from}, {E: length, N: 0, Level: to},
			{E: length, N: width, Level: to}, {E: 0, N: width, Level: from},
		},
		Outline: rectangle(0, 0, length, width),
	}
	plan := length * width
	switch {
	case from < 0 && to > 0:
		s.Cut, s.Fill = plan*to*to/(2*(to-from)), plan*from*from/(2*(to-from))
	case from > 0 && to < 0:
		s.Cut, s.Fill = plan*from*from/(2*(from-to)), plan*to*to/(2*(from-to))
	default:
		s.measure(plan * (from + to) / 2)
	}
	return s
}

// Pyramid is one spot at a height over the middle of a rectangle at level 0:
// V = l w h / 3.
func Pyramid(length, width, height float64) Solid {
	s := Solid{
		Name:    fmt.Sprintf("pyramid %g x %g x %g", length, width, height),
		Outline: rectangle(0, 0, length, width),
	}
	s.Points = append(corners(s.Outline, 0), tin.Point{E: length / 2, N: width / 2, Level: height})
	s.measure(length * width * height / 3)
	return s
}

// Frustum is a bank with a level top or, where height is negative, a pit with a
// level floor: two rectangles (length, width) with one centre, the rim at level
// 0 and the smaller inner one at height, joined by four planes. The rims and
// the four hips are breaklines. By the prismoidal rule, with the mean of the
// rectangles as middle area:
//
//	V = h/6 (l0 w0 + (l0 + l1)(w0 + w1) + l1 w1)
func Frustum(rim, inner [2]float64, height float64) Solid {
	s := Solid{
		Name:    fmt.Sprintf("frustum %g x %g to %g x %g, %g high", rim[0], rim[1], inner[0], inner[1], height),
		Outline: rectangle(0, 0, rim[0], rim[1]),
	}
	e, n := (rim[0]-inner[0])/2, (rim[1]-inner[1])/2
	outer := corners(s.Outline, 0)
	level := corners(rectangle(e, n, e+inner[0], n+inner[1]), height)
	s.Points = append(outer, level...)
	ring := func(name string, p []tin.Point) tin.Breakline {
		return tin.Breakline{Name: name, Vertices: append(p[:len(p):len(p)], p[0])}
	}
	s.Breaklines = []tin.Breakline{ring("rim", outer[:4]), ring("inner rim", level)}
	for i := range 4 {
		s.Breaklines = append(s.Breaklines, tin.Breakline{
			Name: fmt.Sprintf("hip %d", i+1), Vertices: []tin.Point{outer[i], level[i]},
		})
	}
	middle := (rim[0] + inner[0]) * (rim[1] + inner[1])
	s.measure(height / 6 * (rim[0]*rim[1] + middle + inner[0]*inner[1]))
	return s
}

// Bowl is ground at level k (x^2 + y^2) on a square of half side a, with spots
// on a grid of n x n squares of side h = 2a/n. The four corners of each square
// lie in one plane, since x^2 + y^2 has no mixed term, so that the choice of
// diagonals is of no account: the volume is the sum of squares times mean
// corner, by the trapezoidal rule
//
//	V = 4/3 k a^2 (2 a^2 + h^2)
//
// which the smooth bowl, 8/3 k a^4, falls short of by the h^2 term.
func Bowl(k, a float64, n int) Solid {
	h := 2 * a / float64(n)
	s := Solid{Name: fmt.Sprintf("bowl %g on ±%g, %d squares a side", k, a, n), Outline: rectangle(-a, -a, a, a)}
	for i := range n + 1 {
		for j := range n + 1 {
			x, y := float64(i)*h-a, float64(j)*h-a
			s.Points = append(s.Points, tin.Point{E: x, N: y, Level: k * (x*x + y*y)})
		}
	}
	s.measure(4.0 / 3 * k * a * a * (2*a*a + h*h))
	return s
}

// measure takes over the volume of ground that lies on one side of the level.
func (s *Solid) measure(volume float64) { s.Cut, s.Fill = max(volume, 0), max(-volume, 0) }

func rectangle(e0, n0, e1, n1 float64) orb.Polygon {
	return orb.Polygon{{{e0, n0}, {e1, n0}, {e1, n1}, {e0, n1}, {e0, n0}}}
}

// corners returns a spot at each corner of the outline's outer ring.
func corners(p orb.Polygon, level float64) []tin.Point {
	var points []tin.Point
	for _, c := range p[0][:len(p[0])-1] {
		points = append(points, tin.Point{E: c[0], N: c[1], Level: level})
	}
	return points
}
