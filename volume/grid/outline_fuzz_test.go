package grid_test

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/volume/grid"
)

// Any outline over any grid: the area and the volume on a plane come out by every
// rule. Corners on whole numbers and quarters meet the grid's lines and corners
// in every way.
func FuzzOutline(f *testing.F) {
	f.Add([]byte{0, 0, 8, 0, 8, 8, 0, 8}, uint8(0), uint8(4))
	f.Add([]byte{0, 0, 16, 0, 16, 16, 8, 4, 0, 16}, uint8(1), uint8(3))
	f.Add([]byte{4, 0, 8, 4, 4, 8, 0, 4}, uint8(2), uint8(1))
	f.Add([]byte{0, 0, 12, 0, 12, 4, 4, 4, 4, 8, 12, 8, 12, 12, 0, 12}, uint8(3), uint8(8))
	f.Fuzz(func(t *testing.T, places []byte, turn, side uint8) {
		if len(places) > 60 {
			return
		}
		ring := orb.Ring{}
		for i := 1; i < len(places); i += 2 {
			ring = append(ring, orb.Point{float64(places[i-1]) / 4, float64(places[i]) / 4})
		}
		outline := orb.Polygon{ring}
		if tin.CheckOutline(outline) != nil {
			return
		}
		g, err := grid.Over(outline, float64(side%16+1)/4, []float64{0, 90, 45, 30}[turn%4])
		require.NoError(t, err)
		plane := tin.Plane{Level: 100, Gradient: [2]float64{0.5, -0.25}}
		area := polygonArea(outline)
		volume := integral(outline, func(p orb.Point) float64 { return plane.LevelAt(p[0], p[1]) })
		for rule := range grid.TrianglesFalling + 1 {
			r, err := grid.Measure(t.Context(), g, grid.Depths(grid.Plane(plane)), grid.Options{Rule: rule, Within: outline})
			require.NoError(t, err)
			require.Zero(t, r.UncoveredArea)
			require.InDelta(t, area, r.Area, 1e-7*(1+area))
			require.InDelta(t, math.Abs(volume), r.Cut, 1e-5*(1+area))
		}
	})
}
