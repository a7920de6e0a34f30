package formation_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/formation"
)

func layPads(t testing.TB, pads ...formation.Pad) *formation.Layout {
	t.Helper()
	l, err := formation.Lay(field(t, 0, 0), pads, formation.Options{})
	require.NoError(t, err)
	return l
}

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

// An outline rules over a margin, whatever their order and levels.
func TestOutlineRulesOverMargin(t *testing.T) {
	a := formation.Pad{Name: "a", Outline: square(10), Finished: 62, Margin: 2}
	b := formation.Pad{Name: "b", Outline: moved(square(10), 11, 0), Finished: 63}
	for _, pads := range [][]formation.Pad{{a, b}, {b, a}} {
		l := layPads(t, pads...)
		i := 0
		if pads[0].Name == "b" {
			i = 1
		}
		// 1 m of a's margin, 14 m high where b is 10 m, is b's.
		assert.InDelta(t, 14*14-100-10, area(l.Pads[i].Margin), 1e-12)
		assert.InDelta(t, 14*14, l.Pads[i].FormationArea, 1e-12)
		assert.InDelta(t, 100, area(l.Pads[1-i].Facets), 1e-12)
		assert.Equal(t, []string{formation.CodeMarginsOverlap}, codes(l.Notes))
		assert.Equal(t, `the margin of pad "a" overlaps pad "b" by 10.00 m2; pad "b" rules there`, l.Notes[0].Message)
	}
}

func TestLowerMarginRules(t *testing.T) {
	a := formation.Pad{Name: "a", Outline: square(10), Finished: 62, Margin: 2}
	b := formation.Pad{Name: "b", Outline: moved(square(10), 13, 0), Finished: 63, Margin: 2}
	for _, pads := range [][]formation.Pad{{a, b}, {b, a}} {
		l := layPads(t, pads...)
		i := 0
		if pads[0].Name == "b" {
			i = 1
		}
		assert.InDelta(t, 14*14-100, area(l.Pads[i].Margin), 1e-12)
		assert.InDelta(t, 14*14-100-14, area(l.Pads[1-i].Margin), 1e-12)
		assert.Equal(t, []string{formation.CodeMarginsOverlap}, codes(l.Notes))
		assert.Equal(t, `the margins of pad "b" and pad "a" overlap by 14.00 m2; that of pad "a" rules there`, l.Notes[0].Message)
	}
}

// Where the planes of two margins meet, the plan is cut along that line.
func TestMarginsMeetAlongALine(t *testing.T) {
	// The first falls 1:10 to the north through 63 at N = 4; the second is level at 63.
	a := formation.Pad{Name: "a", Outline: square(10), Finished: 63, Margin: 2, Fall: &formation.Fall{Slope: 0.1, At: orb.Point{0, 4}}}
	b := formation.Pad{Name: "b", Outline: moved(square(10), 13, 0), Finished: 63, Margin: 2}
	l := layPads(t, a, b)
	// They share E 11 to 12, N -2 to 12: a rules north of 4, b south of it.
	assert.InDelta(t, 14*14-100-6, area(l.Pads[0].Margin), 1e-12)
	assert.InDelta(t, 14*14-100-8, area(l.Pads[1].Margin), 1e-12)
	assert.Equal(t, []string{formation.CodeMarginsOverlap, formation.CodeMarginsOverlap}, codes(l.Notes))
	for i, south := range []bool{false, true} {
		for _, f := range l.Pads[i].Margin {
			for _, v := range f.Cell.Corner {
				if c := f.Cell.Corner; min(c[0][0], c[1][0], c[2][0]) >= 11 && max(c[0][0], c[1][0], c[2][0]) <= 12 {
					assert.True(t, south == (v[1] <= 4) || math.Abs(v[1]-4) < 1e-9, "pad %d has %v", i, v)
				}
			}
		}
	}
}

// Random pads: every place within the formation outlines is one pad's, by the
// rules.
func TestRulersAtRandom(t *testing.T) {
	rng := rand.New(rand.NewPCG(19, 4))
	rounds := 60
	if testing.Short() {
		rounds = 6
	}
	for range rounds {
		var pads []formation.Pad
		for range 2 + rng.IntN(4) {
			p := formation.Pad{Outline: moved(randomOutline(rng, 0, 0), rng.Float64()*30-15, rng.Float64()*30-15),
				Finished: 62 + rng.Float64(), Margin: 3 * rng.Float64()}
			if rng.IntN(2) == 0 {
				p.Fall = &formation.Fall{Slope: 0.2 * rng.Float64(), Bearing: 360 * rng.Float64(), At: p.Outline[0][0]}
			}
			pads = append(pads, p)
		}
		l := layPads(t, pads...)
		require.Len(t, l.Outlines, len(pads))
		ruler := func(p orb.Point) (pad int, margin bool) {
			for i, laid := range l.Pads {
				for k, facets := range [][]tin.Facet{laid.Facets, laid.Margin} {
					for _, f := range facets {
						c := f.Cell.Corner
						if inPolygon(orb.Polygon{{c[0], c[1], c[2]}}, p) {
							return i, k == 1
						}
					}
				}
			}
			return -1, false
		}
		for range 200 {
			p := orb.Point{rng.Float64()*60 - 30, rng.Float64()*60 - 30}
			want, margin, lowest := -1, false, math.Inf(1)
			for i := range pads {
				if inPolygon(pads[i].Outline, p) {
					want = i
				}
			}
			for i := range pads {
				if want >= 0 && !margin || !inPolygon(corners(l.Outlines[i]), p) {
					continue
				}
				if z := l.Pads[i].Plane.LevelAt(p[0], p[1]); z < lowest {
					want, margin, lowest = i, true, z
				}
			}
			got, gotMargin := ruler(p)
			assert.Equal(t, want, got, "at %v", p)
			assert.Equal(t, margin, gotMargin, "at %v", p)
		}
	}
}

// A margin of a pad with its own levels takes them from the nearest points of the
// outline.
func TestMarginOfOwnLevels(t *testing.T) {
	p := formation.Pad{Outline: square(10), Margin: 2, Levels: &formation.Levels{Outline: [][]float64{{63, 63, 64, 64}}}}
	l := layPads(t, p)
	level := map[orb.Point]float64{}
	for _, c := range l.Outlines[0].Rings[0] {
		level[orb.Point{c.E, c.N}] = c.Level
	}
	assert.Equal(t, map[orb.Point]float64{{-2, -2}: 63, {12, -2}: 63, {12, 12}: 64, {-2, 12}: 64}, level)
	// Level strips to the south and north; to the east and west the mean is 63.5 by symmetry.
	assert.InDelta(t, 14*14-100, area(l.Pads[0].Margin), 1e-12)
	assert.InDelta(t, 100*63.5, volume(l.Pads[0].Facets), 1e-9)
	for _, f := range l.Pads[0].Margin {
		for _, v := range f.Cell.Corner {
			if v[1] <= 0 && v[0] >= 0 && v[0] <= 10 {
				assert.InDelta(t, 63, f.Plane.LevelAt(v[0], v[1]), 1e-12)
			}
		}
	}
	assert.InDelta(t, 96*63.5, volume(l.Pads[0].Margin), 24*0.5)
	assert.Empty(t, l.Notes)
}

// Levels on a plane make the margin's corners level with the nearest points, and
// all of it is covered, inward corners, holes and kinks on sides included.
func TestMarginOfOwnLevelsCoversAll(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 8))
	rounds := 100
	if testing.Short() {
		rounds = 10
	}
	for round := range rounds {
		e, n := 0.0, 0.0
		if round%2 == 1 {
			e, n = 312540, 5812300
		}
		outline := randomOutline(rng, e, n)
		levels := make([]float64, len(outline[0]))
		low, high := math.Inf(1), math.Inf(-1)
		for i := range levels {
			levels[i] = 63 + rng.Float64()
			low, high = min(low, levels[i]), max(high, levels[i])
		}
		zero := 0.0
		p := formation.Pad{Outline: outline, Margin: 0.1 + 3*rng.Float64(), Levels: &formation.Levels{Outline: [][]float64{levels}}}
		if rng.IntN(2) == 0 {
			p.Edges = []formation.Edge{{From: "1", To: "2", Margin: &zero}}
		}
		l, err := formation.Lay(field(t, e, n), []formation.Pad{p}, formation.Options{})
		require.NoError(t, err, "round %d", round)
		assert.InDelta(t, outlineArea(t, l.Outlines[0]), l.Pads[0].FormationArea, 1e-6)
		for _, ring := range l.Outlines[0].Rings {
			for _, c := range ring {
				best, want := math.Inf(1), 0.0
				for i, a := range outline[0] {
					b := outline[0][(i+1)%len(outline[0])]
					de, dn := b[0]-a[0], b[1]-a[1]
					s := min(max(((c.E-a[0])*de+(c.N-a[1])*dn)/(de*de+dn*dn), 0), 1)
					z := levels[i] + s*(levels[(i+1)%len(levels)]-levels[i])
					d := toSegment(orb.Point{c.E, c.N}, a, b)
					if d < best-1e-6 || d < best+1e-6 && z < want {
						best, want = d, z
					}
				}
				assert.InDelta(t, want, c.Level, 1e-5, "round %d", round)
			}
		}
		for _, f := range l.Pads[0].Margin {
			for _, v := range f.Cell.Corner {
				z := f.Plane.LevelAt(v[0], v[1])
				assert.True(t, z > low-1e-4 && z < high+1e-4, "round %d: level %g at %v", round, z, v)
			}
		}
	}
}

func TestSteps(t *testing.T) {
	a := formation.Pad{Name: "a", Outline: square(10), Finished: 63}
	b := formation.Pad{Name: "b", Outline: moved(square(10), 10, 2), Finished: 63, Fall: &formation.Fall{Slope: 0.01, Bearing: 0, At: orb.Point{10, 2}}}
	l := layPads(t, a, b)
	require.Equal(t, []string{formation.CodePadsStep}, codes(l.Notes))
	// b is level with a at N = 2, and 80 mm lower at N = 10.
	assert.Equal(t, `pad "a" is up to 0.080 m above pad "b" where they meet, most at (10.000, 10.000)`, l.Notes[0].Message)
	assert.Equal(t, orb.Point{10, 10}, *l.Notes[0].At)

	b.Outline = moved(square(10), 10, 10)
	assert.Empty(t, layPads(t, a, b).Notes, "a corner is no stretch")
}
