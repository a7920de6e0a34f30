package formation

import (
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
)

func TestNoded(t *testing.T) {
	const off = 1e-9
	polygons := []orb.Polygon{
		{{{0, 0}, {10, 0}, {10, 10}, {0, 10}, {0, 0}}},
		// Along the first's east side, a hair off it; one corner at the first's.
		{{{10 + off, 0}, {20, 0}, {20, 5}, {10 - off, 5}}},
	}
	got := noded(polygons, 1e-8)
	assert.Equal(t, []orb.Polygon{
		{{{0, 0}, {10, 0}, {10 - off, 5}, {10, 10}, {0, 10}}},
		{{{10, 0}, {20, 0}, {20, 5}, {10 - off, 5}}},
	}, got)
	assert.Equal(t, got, noded(got, 1e-8), "done once it is done")
}

// The same places count as one whatever the order of polygons.
func TestOneOfNear(t *testing.T) {
	a, b, c := orb.Polygon{{{1, 1}}}, orb.Polygon{{{1 + 0.5e-8, 1}}}, orb.Polygon{{{1 + 5e-8, 1}}}
	for _, polygons := range [][]orb.Polygon{{a, b, c}, {c, b, a}, {b, c, a}} {
		one, places := oneOfNear(polygons, 1e-8)
		assert.Equal(t, []orb.Point{{1, 1}, {1 + 5e-8, 1}}, places)
		assert.Equal(t, orb.Point{1, 1}, one[b[0][0]])
	}
}

// What is no fault of rounding stays an error.
func TestPartitionKeepsErrors(t *testing.T) {
	ground, err := tin.FromPoints([]tin.Point{{E: 0, N: 0}, {E: 9, N: 0}, {E: 0, N: 9}})
	require.NoError(t, err)
	_, err = partition(ground, []orb.Polygon{{{{0, 0}, {1, 1}, {1, 0}, {0, 1}}}}, nil, 1e-8)
	var in *tin.InputError
	require.ErrorAs(t, err, &in)
	assert.Equal(t, "outline_crosses", in.Code)
}
