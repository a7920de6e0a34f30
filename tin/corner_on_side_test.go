package tin_test

import (
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"barrow/tin"
)

// The second pad's corner is the midpoint of the first one's side, as computed
// in doubles: within a rounding of the side.
func TestPartitionCornerOnSide(t *testing.T) {
	g, err := tin.FromPoints([]tin.Point{{E: 0, N: 0}, {E: 100, N: 0}, {E: 100, N: 100}, {E: 0, N: 100}})
	require.NoError(t, err)
	cells, err := g.Partition([]orb.Polygon{
		{{{32.11, 53.469}, {66.672, 24.719}, {55.925, 55.92}}},
		{{{46.563, 61.162}, {61.2985, 40.319500000000005}, {55.925, 55.92}}},
	}, nil)
	require.NoError(t, err)
	require.NotEmpty(t, cells)
}

// The same with many random pads: a corner computed as a place on the
// neighbour's side never tangles.
func TestPartitionManyCornersOnSides(t *testing.T) {
	g, err := tin.FromPoints([]tin.Point{{E: 0, N: 0}, {E: 100, N: 0}, {E: 100, N: 100}, {E: 0, N: 100}})
	require.NoError(t, err)
	rng := rand.New(rand.NewPCG(41, 42))
	place := func() orb.Point { return orb.Point{100 * rng.Float64(), 100 * rng.Float64()} }
	for range 5000 {
		a, b, c, d := place(), place(), place(), place()
		k := rng.Float64()
		on := orb.Point{a[0] + k*(b[0]-a[0]), a[1] + k*(b[1]-a[1])}
		pads := []orb.Polygon{{{a, b, c}}, {{on, d, place()}}}
		cells, err := g.Partition(pads, nil)
		require.NoError(t, err, "%v", pads)
		require.NotEmpty(t, cells)
	}
}
