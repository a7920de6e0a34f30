package grid_test

import (
	"fmt"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/volume/grid"
)

// BenchmarkMeasure measures a million cells over grounds of each size, within an
// outline turned against the grid.
func BenchmarkMeasure(b *testing.B) {
	sizes := []int{10_000, 1_000_000}
	if testing.Short() {
		sizes = sizes[:1]
	}
	for _, n := range sizes {
		s := roughGround(b, n, 1)
		bound := s.Bound()
		middle, quarter := bound.Center(), (bound.Max[0]-bound.Min[0])/4
		outline := around(box(middle[0]-quarter, middle[1]-quarter, middle[0]+quarter, middle[1]+quarter), middle, 20)
		depths := grid.Between(s.LevelAt, 0.2, grid.Plane(tin.LevelPlane(s.Stats().LevelMean)))
		for _, split := range []grid.Split{grid.ZeroLine, grid.CornerSums} {
			b.Run(fmt.Sprintf("ground=%d/split=%d", n, split), func(b *testing.B) {
				g, err := grid.Over(outline, quarter/500, 20)
				require.NoError(b, err)
				require.InDelta(b, 1e6, float64(g.Rows*g.Columns), 2100)
				var r grid.Result
				b.ReportAllocs()
				for b.Loop() {
					if r, err = grid.Measure(b.Context(), g, depths, grid.Options{Split: split, Within: outline}); err != nil {
						b.Fatal(err)
					}
				}
				require.Positive(b, r.Cut)
				require.Positive(b, r.Fill)
			})
		}
	}
}

// BenchmarkOutline measures a pad of many corners on a level, so that what is
// timed is the cells and their parts.
func BenchmarkOutline(b *testing.B) {
	for _, n := range []int{4, 1000, 100_000} {
		b.Run(fmt.Sprintf("corners=%d", n), func(b *testing.B) {
			outline := box(0, 0, 500, 500)
			if n > 4 {
				outline = orb.Polygon{toothed(n)}
			}
			g, err := grid.Over(outline, 1, 30)
			require.NoError(b, err)
			b.ReportAllocs()
			for b.Loop() {
				if _, err := grid.Measure(b.Context(), g, flat, grid.Options{Within: outline}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// toothed is a square of 500 m whose north side has teeth.
func toothed(n int) orb.Ring {
	ring := orb.Ring{{0, 0}, {500, 0}}
	for i := range n {
		ring = append(ring, orb.Point{500 - 500*(float64(i)+0.5)/float64(n), 500 - 5*float64(i%2)})
	}
	return ring
}
