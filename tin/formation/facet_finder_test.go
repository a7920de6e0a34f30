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

// hummocks is a pad with levels of its own at spots a metre apart.
func hummocks() formation.Pad {
	levels := formation.Levels{Outline: [][]float64{{63, 63, 63, 63}}}
	for e := 1.5; e < 19; e++ {
		for n := 1.5; n < 19; n++ {
			levels.Spots = append(levels.Spots, tin.Point{E: e, N: n, Level: 63 + 0.1*math.Sin(e)*math.Cos(n)})
		}
	}
	return formation.Pad{Name: "lawn", Outline: square(20), Margin: 0.5, Levels: &levels}
}

// A finder gives the level that looking at every facet gives: on the pad, on its margin,
// and beside both.
func TestLevelFinder(t *testing.T) {
	pad := layOne(t, hummocks()).Pads[0]
	require.Greater(t, len(pad.Facets), 500)
	find := pad.LevelFinder()
	random := rand.New(rand.NewPCG(7, 1))
	for range 2000 {
		at := orb.Point{random.Float64()*24 - 2, random.Float64()*24 - 2}
		want, known := pad.LevelAt(at)
		got, ok := find(at)
		assert.Equal(t, known, ok)
		assert.InDelta(t, want, got, 1e-9, at)
	}
	level := formation.Pad{Outline: square(20), Finished: 63}
	got, ok := layOne(t, level).Pads[0].LevelFinder()(orb.Point{5, 5})
	assert.True(t, ok)
	assert.Equal(t, 63.0, got)
}

// What is near a place is every facet whose box is, in order.
func TestFacetFinder(t *testing.T) {
	facets := layOne(t, hummocks()).Pads[0].Facets
	finder := formation.NewFacetFinder(facets)
	at := orb.Point{7.3, 11.8}
	var want []*tin.Facet
	for i := range facets {
		if orb.MultiPoint(facets[i].Cell.Corner[:]).Bound().Pad(0.4).Contains(at) {
			want = append(want, &facets[i])
		}
	}
	require.NotEmpty(t, want)
	near := finder.Near(at, 0.4)
	require.Len(t, near, len(want))
	for i := range want {
		assert.Same(t, want[i], near[i])
	}
	assert.Empty(t, finder.Near(orb.Point{-50, 0}, 1))
}
