package formation_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin/formation"
)

// Splitting a pad in two changes nothing: the halves are one for margin and
// batters.
func TestPadInTwoHalves(t *testing.T) {
	batter := formation.Batter{Along: 1.5}
	fall := &formation.Fall{Slope: 0.02, Bearing: 70, At: orb.Point{3, 3}}
	for _, overlap := range []float64{0, 1.5} {
		whole := formation.Pad{Name: "whole", Outline: square(10), Finished: 63, Fall: fall, Margin: 0.75, Cut: batter}
		west, east := whole, whole
		west.Outline = orb.Polygon{{{0, 0}, {4 + overlap, 0}, {4 + overlap, 10}, {0, 10}}}
		east.Outline = orb.Polygon{{{4, 0}, {4, 10}, {10, 10}, {10, 0}}}
		one, two := layPads(t, whole), layPads(t, west, east)
		require.Len(t, two.Outlines, 1)
		assert.Equal(t, []int{0, 1}, two.Outlines[0].Pads)
		assert.InDelta(t, outlineArea(t, one.Outlines[0]), outlineArea(t, two.Outlines[0]), 1e-12)
		assert.InDelta(t, one.Pads[0].FormationArea, two.Pads[0].FormationArea+two.Pads[1].FormationArea, 1e-12)
		assert.InDelta(t, volume(one.Pads[0].Margin), volume(two.Pads[0].Margin)+volume(two.Pads[1].Margin), 1e-9)
		assert.InDelta(t, volume(one.Pads[0].Facets), volume(two.Pads[0].Facets)+volume(two.Pads[1].Facets), 1e-9)
		// Sides know their pad: the east side is the second's, the west side the first's.
		for _, c := range two.Outlines[0].Rings[0] {
			assert.Equal(t, batter, c.Cut)
			assert.InDelta(t, one.Pads[0].Plane.LevelAt(c.E, c.N), c.Level, 1e-12)
			switch {
			case c.E < 0 && c.N > 10:
				assert.Equal(t, 0, c.Pad)
			case c.E > 10 && c.N < 0:
				assert.Equal(t, 1, c.Pad)
			}
		}
		var margin float64
		for _, p := range two.Pads {
			margin += area(p.Margin)
		}
		assert.InDelta(t, 11.5*11.5-100, margin, 1e-12)
		for _, n := range two.Notes {
			assert.Equal(t, formation.CodePadsOverlap, n.Code)
		}
	}
}

// Halves along a slanting line that doubles hold only nearly are one all the same.
func TestPadInTwoSlantingHalves(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 3))
	for range 50 {
		at, bearing := orb.Point{rng.Float64() * 10, rng.Float64() * 10}, rng.Float64()*360
		rect, err := formation.Rectangle(at, bearing, 20, 10)
		require.NoError(t, err)
		s := 0.2 + 0.6*rng.Float64()
		between := func(a, b orb.Point) orb.Point { return orb.Point{a[0] + s*(b[0]-a[0]), a[1] + s*(b[1]-a[1])} }
		r := rect[0]
		p, q := between(r[0], r[1]), between(r[3], r[2])
		pad := func(ring orb.Ring) formation.Pad {
			return formation.Pad{Outline: orb.Polygon{ring}, Finished: 63, Margin: 1.25}
		}
		l := layPads(t, pad(orb.Ring{r[0], p, q, r[3]}), pad(orb.Ring{p, r[1], r[2], q}))
		require.Len(t, l.Outlines, 1)
		require.Len(t, l.Outlines[0].Rings, 1)
		assert.InDelta(t, 22.5*12.5, outlineArea(t, l.Outlines[0]), 1e-6)
		assert.InDelta(t, 22.5*12.5, l.Pads[0].FormationArea+l.Pads[1].FormationArea, 1e-6)
		assert.Empty(t, l.Notes)
	}
}

// A gap below a micrometre between pads is none.
func TestPadsNearlyTouch(t *testing.T) {
	const gap = 8e-7
	for _, m := range []float64{0, 1} {
		west := formation.Pad{Outline: square(10), Finished: 63, Margin: m}
		east := formation.Pad{Outline: moved(square(10), 10+gap, 0), Finished: 63, Margin: m}
		l := layPads(t, west, east)
		require.Len(t, l.Outlines, 1)
		require.Len(t, l.Outlines[0].Rings, 1)
		assert.InDelta(t, (20+gap+2*m)*(10+2*m), outlineArea(t, l.Outlines[0]), 1e-5)
	}
}

func TestPadsThatAreNotOne(t *testing.T) {
	base := formation.Pad{Outline: square(10), Finished: 63, Margin: 1}
	next := func(e, n float64, change func(*formation.Pad)) formation.Pad {
		p := base
		p.Outline = moved(base.Outline, e, n)
		if change != nil {
			change(&p)
		}
		return p
	}
	two := 2.0
	for name, p := range map[string]formation.Pad{
		"a corner only":     next(10, 10, nil),
		"apart":             next(10.01, 0, nil),
		"another level":     next(10, 0, func(p *formation.Pad) { p.Finished = 63.001 }),
		"another margin":    next(10, 0, func(p *formation.Pad) { p.Margin = 1.01 }),
		"another batter":    next(10, 0, func(p *formation.Pad) { p.Cut.Along = 1 }),
		"an edge between":   next(10, 0, func(p *formation.Pad) { p.Edges = []formation.Edge{{From: "4", To: "1", Upright: true}} }),
		"a fall":            next(10, 0, func(p *formation.Pad) { p.Fall = &formation.Fall{Slope: 0.01, At: orb.Point{15, 5}} }),
		"levels of its own": next(10, 0, func(p *formation.Pad) { p.Levels = &formation.Levels{Outline: [][]float64{{63, 63, 63, 63}}} }),
	} {
		t.Run(name, func(t *testing.T) {
			assert.Len(t, layPads(t, base, p).Outlines, 2)
		})
	}
	for name, p := range map[string]formation.Pad{
		"a side":            next(10, 3, nil),
		"inside":            next(0, 0, func(p *formation.Pad) { p.Outline = moved(square(2), 4, 4) }),
		"an edge far off":   next(10, 0, func(p *formation.Pad) { p.Edges = []formation.Edge{{From: "2", To: "3", Margin: &two}} }),
		"by layers instead": next(10, 0, func(p *formation.Pad) { p.Finished, p.Layers = 63.5, buildUp(0.5) }),
	} {
		t.Run(name, func(t *testing.T) {
			assert.Len(t, layPads(t, base, p).Outlines, 1)
		})
	}
}

// Four pads round a yard: the hole between them is a hole of the one outline.
func TestPadsRoundAYard(t *testing.T) {
	pad := func(e, n, length, width float64) formation.Pad {
		return formation.Pad{Outline: orb.Polygon{{{e, n}, {e + length, n}, {e + length, n + width}, {e, n + width}}}, Finished: 63, Margin: 0.5}
	}
	l := layPads(t, pad(0, 0, 20, 5), pad(0, 5, 5, 10), pad(15, 5, 5, 10), pad(0, 15, 20, 5))
	require.Len(t, l.Outlines, 1)
	require.Len(t, l.Outlines[0].Rings, 2)
	assert.InDelta(t, 21*21-9*9, outlineArea(t, l.Outlines[0]), 1e-12)
}

// Random pads of one level, many of them touching: what is nearer than the margin
// to a pad is in the outline of its group, what is farther than the definition
// allows is not, and each group has one outer ring.
func TestPadsThatAreOneAtRandom(t *testing.T) {
	rounds := 200
	if testing.Short() {
		rounds = 20
	}
	rng := rand.New(rand.NewPCG(31, 6))
	joined := 0
	for round := range rounds {
		e, n := 312540*float64(round%2), 5812300*float64(round%2)
		margin, bearing := []float64{0, 0.5, 1.7}[rng.IntN(3)], float64(rng.IntN(2))*360*rng.Float64()
		sin, cos := math.Sincos(bearing * math.Pi / 180)
		var pads []formation.Pad
		for range 2 + rng.IntN(4) {
			de, dn := float64(4*rng.IntN(5)), float64(4*rng.IntN(5))
			corner := orb.Point{e + de*sin + dn*cos, n + de*cos - dn*sin}
			outline, err := formation.Rectangle(corner, bearing, float64(4+4*rng.IntN(3)), float64(4+4*rng.IntN(3)))
			require.NoError(t, err)
			if rng.IntN(4) == 0 {
				outline = randomOutline(rng, corner[0], corner[1])
			}
			pads = append(pads, formation.Pad{Outline: outline, Finished: 63, Margin: margin})
		}
		l, err := formation.Lay(t.Context(), field(t, e, n), pads, formation.Options{})
		require.NoError(t, err)
		for _, o := range l.Outlines {
			if len(o.Pads) > 1 {
				joined++
			}
			wide, share := corners(o), 0.0
			for _, i := range o.Pads {
				share += l.Pads[i].FormationArea
			}
			assert.InDelta(t, share, outlineArea(t, o), 1e-6, "round %d", round)
			bound := wide.Bound().Pad(1)
			for range 50 {
				p := orb.Point{bound.Min[0] + rng.Float64()*(bound.Max[0]-bound.Min[0]), bound.Min[1] + rng.Float64()*(bound.Max[1]-bound.Min[1])}
				in, far := false, math.Inf(1)
				for _, i := range o.Pads {
					ring := pads[i].Outline[0]
					in = in || inPolygon(orb.Polygon{ring}, p)
					for k, a := range ring {
						if b := ring[(k+1)%len(ring)]; a != b {
							far = min(far, toSegment(p, a, b))
						}
					}
				}
				got := inPolygon(wide, p)
				assert.True(t, got || !in && far > margin-1e-6, "round %d: %v is left out", round, p)
				assert.True(t, !got || in || far < math.Sqrt(5)*margin+1e-6, "round %d: %v is taken in", round, p)
			}
		}
	}
	assert.Greater(t, joined, rounds/2)
}
