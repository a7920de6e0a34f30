package volume_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/volume"
)

// benchSizes is the ladder; its last step is left out under -short.
func benchSizes() []int {
	if testing.Short() {
		return []int{10_000, 100_000}
	}
	return []int{10_000, 100_000, 1_000_000}
}

// groundOf makes n spots about 1 m apart on rolling ground, to the millimetre: at
// random, in clusters, or on an exact grid.
func groundOf(n int, kind string) []tin.Point {
	rng := rand.New(rand.NewPCG(uint64(n), 1))
	width := math.Sqrt(float64(n))
	side := int(math.Ceil(width))
	points := make([]tin.Point, n)
	var centre orb.Point
	for i := range points {
		var e, no float64
		switch kind {
		case "grid":
			e, no = float64(i%side), float64(i/side)
		case "clusters":
			if i%1000 == 0 {
				centre = orb.Point{width * rng.Float64(), width * rng.Float64()}
			}
			e, no = centre[0]+width/50*rng.NormFloat64(), centre[1]+width/50*rng.NormFloat64()
		default:
			e, no = width*rng.Float64(), width*rng.Float64()
		}
		z := 10 + 2*math.Sin(e/40) + 2*math.Cos(no/55) + 0.1*rng.Float64()
		points[i] = tin.Point{E: milli(300000 + e), N: milli(5800000 + no), Level: milli(z)}
	}
	return points
}

func buildBench(b *testing.B, points []tin.Point) *tin.Surface {
	b.Helper()
	s, err := tin.Build(b.Context(), []tin.Source{{Points: points}}, tin.Options{Duplicates: tin.DuplicatesFirst})
	require.NoError(b, err)
	return s
}

func BenchmarkBuild(b *testing.B) {
	for _, kind := range []string{"uniform", "clusters", "grid"} {
		for _, n := range benchSizes() {
			b.Run(fmt.Sprintf("%s/n=%d", kind, n), func(b *testing.B) {
				points := groundOf(n, kind)
				b.ReportAllocs()
				for b.Loop() {
					buildBench(b, points)
				}
				b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n), "ns/point")
			})
		}
	}
}

// BenchmarkAgainstPlane measures the whole hull against the mean level: cut and
// fill, with a long zero line.
func BenchmarkAgainstPlane(b *testing.B) {
	for _, kind := range []string{"uniform", "clusters", "grid"} {
		for _, n := range benchSizes() {
			b.Run(fmt.Sprintf("%s/n=%d", kind, n), func(b *testing.B) {
				s := buildBench(b, groundOf(n, kind))
				outline, _ := beyond(s)
				plane := tin.LevelPlane(s.Stats().LevelMean)
				var r volume.CutFill
				var err error
				b.ReportAllocs()
				for b.Loop() {
					if r, err = volume.AgainstPlane(b.Context(), s, plane, outline); err != nil {
						b.Fatal(err)
					}
				}
				require.Positive(b, r.Cut)
				require.Positive(b, r.Fill)
				b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n), "ns/point")
			})
		}
	}
}

// BenchmarkPad measures a pad of 30 x 20 m in ground of each size: it should not
// cost the whole ground.
func BenchmarkPad(b *testing.B) {
	for _, n := range benchSizes() {
		b.Run(fmt.Sprintf("n=%d", n), func(b *testing.B) {
			s := buildBench(b, groundOf(n, "uniform"))
			outline := box(300030, 5800030, 300060, 5800050)
			b.ReportAllocs()
			for b.Loop() {
				against(b, s, tin.LevelPlane(10), outline)
			}
		})
	}
}
