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
	l, err := formation.Lay(t.Context(), field(t, 0, 0), pads, formation.Options{})
	require.NoError(t, err)
	return l
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
