package formation_test

import (
	"context"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/formation"
)

func TestSurfacesCoverTheWorks(t *testing.T) {
	for seed := range uint64(16) {
		_, l, d, _ := randomDig(t, seed, offset)
		surfaces, err := d.Surfaces(context.Background())
		require.NoError(t, err, seed)
		var sum tin.Sum
		for _, s := range surfaces {
			sum.Add(s.Stats().Area)
		}
		require.InEpsilon(t, areaOf(d.Outline), sum.Value(), 1e-9, seed)
		for i := range l.Pads {
			for _, f := range append(l.Pads[i].Facets, l.Pads[i].Margin...) {
				c := f.Cell.Corner
				at := orb.Point{(c[0][0] + c[1][0] + c[2][0]) / 3, (c[0][1] + c[1][1] + c[2][1]) / 3}
				holds := 0
				for _, s := range surfaces {
					if level, ok := s.LevelAt(at[0], at[1]); ok {
						require.InDelta(t, f.Plane.LevelAt(at[0], at[1]), level, 1e-7)
						holds++
					}
				}
				require.Equal(t, 1, holds)
			}
		}
	}
}

func TestNoPadsNoSurface(t *testing.T) {
	_, d := dig(t, field(t, 0, 0), formation.Options{})
	surfaces, err := d.Surfaces(context.Background())
	require.NoError(t, err)
	require.Empty(t, surfaces)
	require.Empty(t, d.Outline)
}
