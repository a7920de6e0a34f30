package formation_test

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/formation"
)

func TestStripOfASquarePit(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	const n, d, beyond = 1.5, 2.0, 1.25
	want := func(b float64) float64 { return 100 + 40*(n*d+b) + math.Pi*(n*d+b)*(n*d+b) }
	for _, at := range []orb.Point{{}, offset} {
		s := scattered(t, rng, at, 30, 3, level(12.25), tin.Options{})
		opts := formation.Options{Topsoil: formation.Topsoil{Depth: 0.25}}
		pad := formation.Pad{Outline: orb.Polygon{rect(at, -5, -5, 5, 5)}, Finished: 10,
			Cut: formation.Batter{Along: n}, Fill: formation.Batter{Along: n}}
		_, works := dig(t, s, opts, pad)
		for _, b := range []float64{0, beyond} {
			strip, err := works.Strip(context.Background(), b)
			require.NoError(t, err)
			assert.InEpsilon(t, want(b), strip.Area, 1e-6)
			assert.GreaterOrEqual(t, strip.Area, want(b)*(1-1e-12))
			rim := 0.0 // of the works, whose own round corners have facets too
			for r, i := works.Outline[0][0], 1; i < len(r); i++ {
				rim += math.Hypot(r[i][0]-r[i-1][0], r[i][1]-r[i-1][1])
			}
			exact := areaOf(works.Outline) + rim*b + math.Pi*b*b
			assert.InDelta(t, exact+strip.Bound/2, strip.Area, strip.Bound/2+1e-8)
			assert.LessOrEqual(t, strip.Bound, 1e-6*want(b))
			assert.InDelta(t, 0.25*strip.Area, strip.Volume, 1e-12*strip.Volume)
			assert.Equal(t, []formation.StripDepth{{Depth: 0.25, Area: strip.Area, Volume: strip.Volume}}, strip.Depths)
			assert.InEpsilon(t, strip.Area, areaOf(strip.Outline), 1e-9)
		}
	}
}

func TestStripOfAnUprightPad(t *testing.T) {
	s := field(t, 0, 0)
	ell := orb.Polygon{{{-5, -5}, {5, -5}, {5, 0}, {0, 0}, {0, 5}, {-5, 5}}}
	opts := formation.Options{Topsoil: formation.Topsoil{Depth: 0.2, Areas: []formation.TopsoilArea{
		{Area: orb.Polygon{rect(orb.Point{}, -50, -50, 0, 50)}, Depth: 0.3},
		{Area: orb.Polygon{rect(orb.Point{}, -50, -50, -3, 0)}},
	}}}
	_, d := dig(t, s, opts, formation.Pad{Outline: ell, Finished: 60})
	strip, err := d.Strip(context.Background(), 0)
	require.NoError(t, err)
	require.Len(t, strip.Depths, 2)
	for i, want := range []formation.StripDepth{{0.2, 25, 5}, {0.3, 40, 12}} { // 10 m2 have none
		assert.InDelta(t, want.Depth, strip.Depths[i].Depth, 0)
		assert.InDelta(t, want.Area, strip.Depths[i].Area, 1e-9)
		assert.InDelta(t, want.Volume, strip.Depths[i].Volume, 1e-9)
	}
	assert.InDelta(t, 17, strip.Volume, 1e-9)
	strip, err = d.Strip(context.Background(), 1)
	require.NoError(t, err)
	// Five outward corners make round ones; at the inward one two strips overlap.
	require.InEpsilon(t, 75+40-1+5*math.Pi/4, areaOf(strip.Outline), 1e-6)
}

func TestStripEndsWithTheGround(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 2))
	at := offset
	s := scattered(t, rng, at, 30, 3, level(12), tin.Options{
		Boundary: orb.MultiPolygon{{rect(at, -20, -20, 6, 20)}}, Voids: orb.MultiPolygon{{rect(at, -7, -1, -6, 1)}},
	})
	opts := formation.Options{Topsoil: formation.Topsoil{Depth: 0.25}}
	_, d := dig(t, s, opts, formation.Pad{Outline: orb.Polygon{rect(at, -5, -5, 5, 5)}, Finished: 11})
	strip, err := d.Strip(context.Background(), 2)
	require.NoError(t, err)
	// A round corner is cut off where the boundary is 1 m from its middle.
	corner := math.Pi*4/4 - (4*math.Acos(0.5)-1*math.Sqrt(3))/2
	want := 10*10 + 3*20 + 10 + 2*math.Pi + 2*corner - 2
	require.InEpsilon(t, want, strip.Area, 1e-6)
	require.InEpsilon(t, 100+80+4*math.Pi-want, strip.Uncovered, 1e-5)
}

func TestStripOfStatedAreas(t *testing.T) {
	s := field(t, 0, 0)
	topsoil := formation.Topsoil{Depth: 0.2}
	strip, err := topsoil.StripOf(context.Background(), s, orb.MultiPolygon{
		{rect(orb.Point{}, -5, -5, 5, 5), rect(orb.Point{}, -1, -1, 1, 1)}, {rect(orb.Point{}, 0, 0, 8, 3)},
	})
	require.NoError(t, err)
	assert.InDelta(t, 96+9+1, strip.Area, 1e-9, "what two areas hold counts once")
	areas, err := formation.GroundAreas(context.Background(), s, []orb.MultiPolygon{
		{{rect(orb.Point{}, -5, -5, 5, 5)}}, {{rect(orb.Point{}, 0, 0, 8, 3)}}, {{rect(orb.Point{}, 500, 0, 600, 3)}},
	})
	require.NoError(t, err)
	for i, want := range []formation.Covered{{Ground: 85}, {Ground: 24}, {Uncovered: 300}} {
		assert.InDelta(t, want.Ground, areas[i].Ground, 1e-9)
		assert.InDelta(t, want.Uncovered, areas[i].Uncovered, 1e-9)
	}
}

func TestStripRefusesWhatIsNoDistance(t *testing.T) {
	_, d := dig(t, field(t, 0, 0), formation.Options{}, formation.Pad{Outline: orb.Polygon{rect(orb.Point{}, -5, -5, 5, 5)}, Finished: 60})
	for _, b := range []float64{-1, math.NaN(), math.Inf(1)} {
		_, err := d.Strip(context.Background(), b)
		require.ErrorContains(t, err, "beyond the works")
	}
}

// Places at random, each asked by itself how far it is from the works.
func TestStripHoldsWhatIsWithinItsDistance(t *testing.T) {
	for seed := range seeds() {
		_, _, d, _ := randomDig(t, seed, orb.Point{})
		rng := rand.New(rand.NewPCG(seed, 9))
		beyond := 0.3 + 3*rng.Float64()
		strip, err := d.Strip(context.Background(), beyond)
		require.NoError(t, err, seed)
		bound := strip.Outline.Bound().Pad(1)
		within := 0
		for range 250 {
			p := orb.Point{bound.Min[0] + rng.Float64()*(bound.Max[0]-bound.Min[0]), bound.Min[1] + rng.Float64()*(bound.Max[1]-bound.Min[1])}
			holds := reached(strip.Outline, p, 0)
			if reached(d.Outline, p, beyond-1e-5) {
				require.True(t, holds, "seed %d, %v", seed, p)
				within++
			}
			if !reached(d.Outline, p, beyond+2e-5) {
				require.False(t, holds, "seed %d, %v", seed, p)
			}
		}
		require.Positive(t, within)
	}
}

// reached reports whether a place lies within a distance of polygons.
func reached(m orb.MultiPolygon, p orb.Point, far float64) bool {
	for _, polygon := range m {
		in := false
		for _, r := range polygon {
			for i := range len(r) - 1 {
				a, b := r[i], r[i+1]
				if (a[1] > p[1]) != (b[1] > p[1]) && p[0] < a[0]+(p[1]-a[1])*(b[0]-a[0])/(b[1]-a[1]) {
					in = !in
				}
				dx, dy := b[0]-a[0], b[1]-a[1]
				k := min(1, max(0, ((p[0]-a[0])*dx+(p[1]-a[1])*dy)/(dx*dx+dy*dy)))
				if math.Hypot(a[0]+k*dx-p[0], a[1]+k*dy-p[1]) < far {
					return true
				}
			}
		}
		if in {
			return true
		}
	}
	return false
}
