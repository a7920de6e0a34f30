package formation

import (
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
)

// A crack between two polygons is closed; a needle across open ground is not.
func TestWithoutCracks(t *testing.T) {
	const off = 1e-9
	ground, err := tin.FromPoints([]tin.Point{{E: 0.5, N: 0.123456789}, {E: 90, N: 0}, {E: 0, N: 90}})
	require.NoError(t, err)
	area := func(polygons ...orb.Polygon) (sum float64, closed int) {
		cells, err := ground.Partition(append(polygons, box(polygons)), nil)
		require.NoError(t, err)
		for i, solid := range withoutCracks(cells, 1e-8) {
			if solid {
				sum += cells[i].Area
			}
			if solid && len(cells[i].In) == 1 {
				closed++
			}
		}
		return sum, closed
	}
	left := orb.Polygon{{{0, 0}, {10, 0}, {10, 10}, {0, 10}}}
	sum, closed := area(left, orb.Polygon{{{10 + off, 0}, {20, 0}, {20, 10}, {10 + off, 10}}})
	assert.InDelta(t, 200, sum, 1e-7)
	assert.Equal(t, 2, closed)
	// Two corners a hair apart, seen from the corner of another across open ground.
	sum, closed = area(left, orb.Polygon{{{15, 4}, {15 + off, 4 - off}, {20, 3}, {20, 5}}})
	assert.InDelta(t, 105, sum, 1e-7)
	assert.Zero(t, closed)
}
