package daylight

import (
	"context"
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"barrow/tin"
)

// quadrature is the volume of works round a level square pad of half side a at level 0
// on the plane z0 + g e: over strips and quarter cones of distance r from the outline,
// the depth integrated along r in closed form and by the trapezoid rule round the pad,
// which is periodic only by parts: Simpson's rule on each.
func quadrature(a, z0, g, n, sign float64) float64 {
	// along is the integral over r of (depth + slope r) r^power, out to daylight, of a
	// depth of ground over the outline and a slope of ground less batter.
	along := func(depth, slope float64, cone bool) float64 {
		if depth <= 0 || slope >= 0 {
			return 0
		}
		r := -depth / slope
		if cone {
			return depth*r*r/2 + slope*r*r*r/3
		}
		return depth*r + slope*r*r/2
	}
	simpson := func(from, to float64, f func(float64) float64) float64 {
		const parts = 20000
		sum, h := 0.0, (to-from)/parts
		for i := range parts {
			x := from + float64(i)*h
			sum += (f(x) + 4*f(x+h/2) + f(x+h)) * h / 6
		}
		return sum
	}
	total := 0.0
	for _, side := range []float64{-1, 1} {
		total += 2 * a * along(sign*(z0+g*side*a), sign*g*side-1/n, false)
		total += simpson(-a, a, func(e float64) float64 { return along(sign*(z0+g*e), -1/n, false) })
		total += 2 * simpson(0, math.Pi/2, func(t float64) float64 {
			return along(sign*(z0+g*side*a), sign*g*side*math.Cos(t)-1/n, true)
		})
	}
	return total
}

func TestSquarePadsOnASlope(t *testing.T) {
	const a, n = 5.0, 1.5
	for _, c := range []struct {
		name  string
		z0, g float64
	}{
		{"pit on a slope", 3, 0.2}, {"embankment on a slope", -3, 0.2}, {"cut and fill on a side slope", 0, 0.25},
		{"mostly cut", 0.5, 0.2}, {"level embankment", -2, 0},
	} {
		s := ground(t, 40, 3.1, 1.2, func(e, n float64) float64 { return c.z0 + c.g*e }, tin.Options{})
		p := pad(s, [][]orb.Point{{{-a, -a}, {a, -a}, {a, a}, {-a, a}}}, flat(0), Profile{Along: n}, Profile{Along: n})
		w, err := Find(context.Background(), Input{Ground: s, Pads: []Pad{p}, Bound: 1e-6})
		require.NoError(t, err)
		cut, fill := volumes(s, w)
		wantCut, wantFill := quadrature(a, c.z0, c.g, n, 1), quadrature(a, c.z0, c.g, n, -1)
		slack := 1e-8 * (wantCut + wantFill)
		t.Logf("%s: cut %.6f (%+.1e) fill %.6f (%+.1e), bound %.1e", c.name, cut, cut-wantCut, fill, fill-wantFill, w.Bound)
		require.GreaterOrEqual(t, cut, wantCut-slack)
		require.GreaterOrEqual(t, fill, wantFill-slack)
		require.LessOrEqual(t, cut+fill, wantCut+wantFill+w.Bound+slack)
	}
}

// A pit with berms on level ground: over a square of half side a the works at a rise h
// above the floor reach r(h) out, so that the volume outside the square is the
// integral of perimeter * r + pi r^2 over h.
func TestABermedPit(t *testing.T) {
	const a, depth, n, every, berm = 6.0, 3.2, 0.8, 1.0, 1.5
	s := ground(t, 40, 3.1, 1.2, flat(depth), tin.Options{})
	profile := Profile{Along: n, Every: every, Berm: berm}
	p := pad(s, [][]orb.Point{{{-a, -a}, {a, -a}, {a, a}, {-a, a}}}, flat(0), profile, profile)
	w, err := Find(context.Background(), Input{Ground: s, Pads: []Pad{p}, Bound: 1e-6})
	require.NoError(t, err)
	want := 0.0
	for from := 0.0; from < depth; from += every {
		to := min(from+every, depth)
		r0 := from / every * (n*every + berm)
		r1 := r0 + n*(to-from)
		want += (to - from) * (8*a*(r0+r1)/2 + math.Pi*(r0*r0+r0*r1+r1*r1)/3)
	}
	cut, fill := volumes(s, w)
	t.Log(cut, want, w.Bound)
	require.Zero(t, fill)
	require.GreaterOrEqual(t, cut, want*(1-1e-9))
	require.LessOrEqual(t, cut, want+w.Bound)
}
