package volume_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/volume"
)

// BenchmarkSplitWorks splits a cut over the whole ground, 3 m deep or so, in each of the
// ways there are. The rock has as many triangles as the ground, at other places.
func BenchmarkSplitWorks(b *testing.B) {
	for _, n := range benchSizes() {
		points := groundOf(n, "uniform")
		ground := buildBench(b, points)
		for i := range points {
			points[i].E, points[i].N = milli(points[i].E+0.35), milli(points[i].N+0.41)
			points[i].Level -= 1
		}
		rock := []volume.Horizon{{Surface: buildBench(b, points)}}
		outline, _ := beyond(ground)
		w := worksOn(b, ground, tin.LevelPlane(8), outline)
		var ring orb.Ring
		centre := ground.Bound().Center()
		for k := range 64 {
			sin, cos := math.Sincos(2 * math.Pi * float64(k) / 64)
			r := math.Sqrt(float64(n)) * (0.3 + 0.1*float64(k%2))
			ring = append(ring, orb.Point{milli(centre[0] + r*cos), milli(centre[1] + r*sin)})
		}
		area := orb.Polygon{append(ring, ring[0])}
		for _, job := range []struct {
			name  string
			split volume.Split
		}{
			{"slices", volume.Split{Parts: []volume.Part{{To: 1}, {From: 1, To: 2}, {From: 2}}}},
			{"total depth", volume.Split{Parts: []volume.Part{{To: 1, By: volume.TotalDepth}, {From: 1, To: 2, By: volume.TotalDepth}, {From: 2, By: volume.TotalDepth}}}},
			{"rock", volume.Split{Parts: []volume.Part{{Below: rock}}}},
			{"area", volume.Split{Parts: []volume.Part{{Within: orb.MultiPolygon{area}}}}},
			{"cells", volume.Split{CellSize: math.Sqrt(float64(n)) / 100}},
			{"all", volume.Split{CellSize: math.Sqrt(float64(n)) / 100, Parts: []volume.Part{
				{Within: orb.MultiPolygon{area}, To: 1}, {Below: rock, Above: []volume.Horizon{{Level: 10}}}, {Below: rock}, {To: 1.2},
			}}},
		} {
			b.Run(fmt.Sprintf("%s/n=%d", job.name, n), func(b *testing.B) {
				b.ReportAllocs()
				for b.Loop() {
					_, err := volume.SplitWorks(b.Context(), w, job.split)
					require.NoError(b, err)
				}
				b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n), "ns/point")
			})
		}
	}
}
