package tin_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"barrow/tin"
)

// querySurface is n spots about 1 m apart over a square of width metres.
func querySurface(b *testing.B, n int) (s *tin.Surface, width float64) {
	b.Helper()
	rng := rand.New(rand.NewPCG(61, uint64(n)))
	width = math.Sqrt(float64(n))
	points := make([]tin.Point, n)
	for i := range points {
		points[i] = tin.Point{
			E: math.Round(1000*width*rng.Float64()) / 1000, N: math.Round(1000*width*rng.Float64()) / 1000, Level: 10 + rng.Float64(),
		}
	}
	s, err := tin.Build(b.Context(), []tin.Source{{Points: points}}, tin.Options{Duplicates: tin.DuplicatesFirst})
	require.NoError(b, err)
	return s, width
}

func querySizes() []int {
	if testing.Short() {
		return []int{10_000, 100_000}
	}
	return []int{10_000, 100_000, 1_000_000}
}

// BenchmarkLevelAt is one query: at random places, and at places 0.1 m apart
// along a line. It should grow with the square root of the spots at worst.
func BenchmarkLevelAt(b *testing.B) {
	for _, n := range querySizes() {
		s, width := querySurface(b, n)
		rng := rand.New(rand.NewPCG(62, 1))
		random := make([]orb.Point, 1<<16)
		along := make([]orb.Point, 1<<16)
		for i := range random {
			random[i] = orb.Point{width * (0.02 + 0.96*rng.Float64()), width * (0.02 + 0.96*rng.Float64())}
			t := math.Mod(0.1*float64(i), 0.9*width)
			along[i] = orb.Point{0.05*width + t, 0.05*width + 0.9*t}
		}
		for _, c := range []struct {
			name   string
			places []orb.Point
		}{{"random", random}, {"neighbouring", along}} {
			b.Run(fmt.Sprintf("%s/n=%d", c.name, n), func(b *testing.B) {
				i := 0
				for b.Loop() {
					p := c.places[i&(1<<16-1)]
					if _, ok := s.LevelAt(p[0], p[1]); !ok {
						b.Fatal("no ground", p)
					}
					i++
				}
			})
		}
	}
}

// BenchmarkProfile is one profile: across the whole surface, and of 30 m at
// random. The first meets about the square root of the edges.
func BenchmarkProfile(b *testing.B) {
	for _, n := range querySizes() {
		s, width := querySurface(b, n)
		rng := rand.New(rand.NewPCG(63, 1))
		for _, name := range []string{"across", "30m"} {
			b.Run(fmt.Sprintf("%s/n=%d", name, n), func(b *testing.B) {
				stations := 0
				for b.Loop() {
					line := orb.LineString{{0.01 * width, 0.3 * width}, {0.99 * width, (0.3 + 0.4*rng.Float64()) * width}}
					if name == "30m" {
						p := orb.Point{40 + (width-80)*rng.Float64(), 40 + (width-80)*rng.Float64()}
						sin, cos := math.Sincos(2 * math.Pi * rng.Float64())
						line = orb.LineString{p, {p[0] + 30*cos, p[1] + 30*sin}}
					}
					profile, err := s.Profile(line)
					if err != nil {
						b.Fatal(err)
					}
					stations += len(profile)
				}
				b.ReportMetric(float64(stations)/float64(b.N), "stations")
				b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(stations), "ns/station")
			})
		}
	}
}
