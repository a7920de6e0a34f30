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
		l, err := formation.Lay(t.Context(), field(t, e, n), []formation.Pad{p}, formation.Options{})
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
