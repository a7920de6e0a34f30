package uncertainty

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/volume"
)

func TestKernelIsASumOfPowers(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 1))
	powers := []power{{0.2, 3}, {0.65, 0.01}, {0.92, 2}, {1.75, 0.5}}
	for _, p := range append(powers, power{1.3, 1}) {
		k := newKernel([]power{p}, 1e8)
		for range 2000 {
			square := math.Exp2(-39 + 65*rng.Float64())
			require.InEpsilon(t, signOf(p.h)*p.c*math.Pow(square, p.h), k.at(square), 1e-9)
		}
	}
	k := newKernel(powers, 1e8)
	want := -3*math.Pow(49, 0.2) - 0.01*math.Pow(49, 0.65) - 2*math.Pow(49, 0.92) + 0.5*math.Pow(49, 1.75)
	require.InEpsilon(t, want, k.at(49), 1e-9)
	require.Zero(t, k.at(0))
	require.NotZero(t, k.at(1e8), "the greatest square")
	require.Zero(t, newKernel(nil, 100).at(9))
}

// Among all three neighbours that hold the spot, those found have no other neighbour
// in their circle.
func TestHoldingIsDelaunay(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 9))
	for range 3000 {
		n := 3 + rng.IntN(8)
		ring := make([]orb.Point, n)
		for i := range ring { // star-shaped round the spot
			turn := 2 * math.Pi * (float64(i) + 0.9*rng.Float64()) / float64(n)
			sin, cos := math.Sincos(turn)
			r := 0.3 + rng.Float64()
			ring[i] = orb.Point{5 + r*cos, 7 + r*sin}
		}
		got, ok := holding(orb.Point{5, 7}, ring)
		if !ok { // three of them may leave the spot out
			require.Less(t, n, 5)
			continue
		}
		a, b, c := ring[got[0]], ring[got[1]], ring[got[2]]
		for i, d := range ring {
			if i != got[0] && i != got[1] && i != got[2] {
				require.False(t, inCircle(a, b, c, d))
			}
		}
		rel := make([]orb.Point, n)
		for i := range ring {
			rel[i] = orb.Point{ring[i][0] - 5, ring[i][1] - 7}
		}
		require.True(t, holds(rel, got))
	}
}

func TestContrastsCancelPlanes(t *testing.T) {
	ground, err := tin.FromPoints(plane(rand.New(rand.NewPCG(1, 5)), 200))
	require.NoError(t, err)
	in := Input{Ground: ground, Sensitivity: volume.Sensitivity{Patches: []volume.Patch{{Corner: []volume.PatchCorner{{X: 50, Y: 50}}}}}}
	list := in.contrasts()
	require.Greater(t, len(list), 150)
	for _, c := range list {
		sum := 0.0
		for _, w := range c.weight {
			sum += w
		}
		require.InDelta(t, 0, sum, 1e-12)
		require.InDelta(t, 0, c.off, 1e-12)
		for _, h := range exponents() {
			require.Positive(t, c.variance(h))
		}
	}
	require.Empty(t, fit(list, make([]float64, len(list))), "a plane has nothing between its spots")
}

func plane(rng *rand.Rand, n int) (points []tin.Point) {
	for range n {
		e, n := math.Round(rng.Float64()*1e5)/1e3, math.Round(rng.Float64()*1e5)/1e3
		points = append(points, tin.Point{E: e, N: n, Level: 3 + 0.25*e - 0.5*n})
	}
	return points
}

// patchesOf are all triangles of a ground, as cut of a depth.
func patchesOf(ground *tin.Surface) (out []volume.Patch) {
	for n := range ground.Triangles() {
		_, corner := ground.LocalTriangle(n)
		p := volume.Patch{Triangle: n}
		for _, c := range corner {
			p.Corner = append(p.Corner, volume.PatchCorner{X: c.X, Y: c.Y, Depth: 5})
		}
		out = append(out, p)
	}
	return out
}

func none(*element, *point) float64 { return 0 }

// The error of the mesh in one triangle, held against double integrals over a fine
// raster of it.
func TestExtensionOfATriangle(t *testing.T) {
	ground, err := tin.FromPoints([]tin.Point{{E: 0, N: 0, Level: 1}, {E: 9, N: 1, Level: 2}, {E: 3, N: 7, Level: 3}})
	require.NoError(t, err)
	for _, h := range []float64{0.35, 0.8, 1.3} {
		k := newKernel([]power{{h, 2}}, 1000)
		s := newSampled(ground, patchesOf(ground))
		for i := range s.elements {
			s.elements[i].weigh(ground, none)
		}
		got := k.extension(s)
		want := rasterOf(orb.Point{0, 0}, orb.Point{9, 1}, orb.Point{3, 7}, func(d float64) float64 { return signOf(h) * 2 * math.Pow(d, 2*h) })
		require.InEpsilon(t, want, got[0][0], 0.02, "H = %v", h)
		require.Zero(t, got[1][1])
	}
}

// rasterOf is the variance of the integral of a field over a triangle less that of its
// plane through the corners, by 1,600 parts, each one as a point.
func rasterOf(a, b, c orb.Point, covariance func(distance float64) float64) (sum float64) {
	const n = 40
	area := ((b[0]-a[0])*(c[1]-a[1]) - (b[1]-a[1])*(c[0]-a[0])) / 2
	var at []orb.Point
	var weight []float64
	add := func(i, j float64) {
		u, v := i/n, j/n
		at = append(at, orb.Point{a[0] + u*(b[0]-a[0]) + v*(c[0]-a[0]), a[1] + u*(b[1]-a[1]) + v*(c[1]-a[1])})
		weight = append(weight, area/(n*n))
	}
	for i := range n {
		for j := range n - i {
			add(float64(i)+1./3, float64(j)+1./3)
			if i+j+1 < n {
				add(float64(i)+2./3, float64(j)+2./3)
			}
		}
	}
	for _, p := range []orb.Point{a, b, c} {
		at, weight = append(at, p), append(weight, -area/3)
	}
	for i := range at {
		for k := range at {
			sum += weight[i] * weight[k] * covariance(math.Hypot(at[i][0]-at[k][0], at[i][1]-at[k][1]))
		}
	}
	return sum
}

// Works of more elements than are paired one with all: those drawn give the same to
// within a few hundredths.
func TestDrawnElementsStandForAll(t *testing.T) {
	ground, err := tin.FromPoints(plane(rand.New(rand.NewPCG(2, 6)), 1000))
	require.NoError(t, err)
	for h, tolerance := range map[float64]float64{0.5: 0.05, 0.8: 0.12, 1.5: 0.25} {
		k := newKernel([]power{{h, 1}}, 1e5)
		s := newSampled(ground, patchesOf(ground))
		require.False(t, s.all)
		require.Len(t, s.drawn, mostElements)
		for i := range s.elements {
			s.elements[i].weigh(ground, none)
		}
		some := k.extension(s)
		s.all = true
		require.InEpsilon(t, k.extension(s)[0][0], some[0][0], tolerance, "H = %v", h)
	}
}

// Of very many patches only those drawn and those near them are looked at.
func TestVeryManyPatches(t *testing.T) {
	ground, err := tin.FromPoints(plane(rand.New(rand.NewPCG(3, 3)), mostPatches*3/4))
	require.NoError(t, err)
	patches := patchesOf(ground)
	require.Greater(t, len(patches), mostPatches)
	s := newSampled(ground, patches)
	require.Len(t, s.drawn, mostElements)
	total, want := 0.0, 0.0
	for _, d := range s.drawn {
		total += d.times * d.area
	}
	for i := range patches {
		want += areaOf(&patches[i], ground.Frame().Length())
	}
	require.InEpsilon(t, want, total, 0.03, "the area they stand for")
}

// What the positive part of a normal depth has over the depth, across a whole slope, is
// half the variance.
func TestMoreAcrossASlope(t *testing.T) {
	const deviation, step = 0.3, 1e-3
	sum := 0.0
	for d := -5.0; d < 5; d += step {
		sum += step * more(d+step/2, deviation)
	}
	require.InEpsilon(t, deviation*deviation/2, sum, 1e-5)
	require.Zero(t, more(0.1, 0))
}

// The covariance of the positive parts of two normal depths, first order and higher,
// against a double integral over their density.
func TestOrdersOfCrossing(t *testing.T) {
	for _, c := range []struct{ u, v, r float64 }{{0, 0, 0.3}, {0.5, -0.4, 0.6}, {-1.5, -1, 0.5}, {1.2, 1, -0.4}, {-2, -2, 0.7}} {
		p, q := newCrossing(nil, 1, c.u, 1), newCrossing(nil, 1, c.v, 1)
		got := c.r*likely(c.u)*likely(c.v) + p.with(&q, c.r)
		const step = 0.02
		var both, one, other float64
		for x := -8.0; x < 8; x += step {
			px := step * math.Exp(-x*x/2) / math.Sqrt(2*math.Pi)
			for y := -8.0; y < 8; y += step {
				w := px * step * math.Exp(-y*y/2) / math.Sqrt(2*math.Pi)
				f, g := max(0, c.u+x), max(0, c.v+c.r*x+math.Sqrt(1-c.r*c.r)*y)
				both, one, other = both+w*f*g, one+w*f, other+w*g
			}
		}
		require.InDelta(t, both-one*other, got, 2e-3, "%+v", c)
	}
}
