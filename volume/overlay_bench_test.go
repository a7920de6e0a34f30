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

// BenchmarkBetween measures two surfaces of n spots each: with other plan
// points ("apart"), and with the same but for the levels in a dig of a fifth of
// the width ("dig"), each over all the ground and, for n = 10,000, in an
// outline.
func BenchmarkBetween(b *testing.B) {
	for _, kind := range []string{"apart", "dig"} {
		for _, n := range []int{10_000, 100_000} {
			first := groundOf(n, "uniform")
			second := secondOf(n)
			if kind == "dig" {
				w := math.Sqrt(float64(n))
				second = dug(first, orb.Point{300000 + w/2, 5800000 + w/2}, 0.1*w)
			}
			ground, formation := buildBench(b, first), buildBench(b, second)
			for _, within := range []string{"all", "outline"} {
				var outline orb.Polygon
				if within == "outline" {
					if n > 10_000 {
						continue
					}
					outline = starIn(n)
				}
				b.Run(fmt.Sprintf("%s/%s/n=%d", kind, within, n), func(b *testing.B) {
					var r volume.CutFill
					var err error
					b.ReportAllocs()
					for b.Loop() {
						if r, err = volume.Between(b.Context(), ground, formation, outline); err != nil {
							b.Fatal(err)
						}
					}
					require.Positive(b, r.Cut)
					if kind == "dig" {
						require.Zero(b, r.Fill)
						require.Greater(b, r.LevelArea, r.CutArea)
					}
					b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(2*n), "ns/point")
				})
			}
		}
	}
}

// BenchmarkOverlay is the walk over both surfaces alone, its pieces counted.
func BenchmarkOverlay(b *testing.B) {
	for _, n := range []int{10_000, 100_000} {
		b.Run(fmt.Sprintf("n=%d", n), func(b *testing.B) {
			ground, formation := buildBench(b, groundOf(n, "uniform")), buildBench(b, secondOf(n))
			pieces := 0
			for b.Loop() {
				o, err := tin.NewOverlay(ground, formation, nil)
				if err != nil {
					b.Fatal(err)
				}
				counts := make([]int, o.Parts())
				if err := o.Visit(b.Context(), func(part int, _ *tin.CommonPiece) { counts[part]++ }, func(int, float64) {}); err != nil {
					b.Fatal(err)
				}
				pieces = 0
				for _, c := range counts {
					pieces += c
				}
			}
			b.ReportMetric(float64(pieces), "pieces")
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(pieces), "ns/piece")
		})
	}
}
