package daylight

import (
	"context"
	"fmt"
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"barrow/tin"
)

// twelve is an outline of twelve corners, three of them inward.
var twelve = [][]orb.Point{{
	{-30, -20}, {0, -25}, {30, -20}, {34, 0}, {20, 4}, {20, 20}, {8, 24}, {4, 12}, {-8, 12}, {-12, 24}, {-28, 22}, {-34, 4},
}}

// rolling is ground that rolls by a metre.
func rolling(e, n float64) float64 { return 12 + math.Sin(e/9) + math.Cos(n/13) }

// circle is an outline of n sides about a circle, with seventeen waves.
func circle(n int, radius, wave float64) [][]orb.Point {
	var ring []orb.Point
	for i := range n {
		a := 2 * math.Pi * float64(i) / float64(n)
		r := radius + wave*math.Sin(17*a)
		ring = append(ring, orb.Point{math.Round(1e4*r*math.Cos(a)) / 1e4, math.Round(1e4*r*math.Sin(a)) / 1e4})
	}
	return [][]orb.Point{ring}
}

// BenchmarkFind measures a pad some 4 m deep with 1V:2H batters on spots a metre
// apart, of twelve corners and of two thousand.
func BenchmarkFind(b *testing.B) {
	half := 500.0
	if testing.Short() {
		half = 100
	}
	s := ground(b, half, 1, 0.4, rolling, tin.Options{})
	for _, c := range []struct {
		name  string
		rings [][]orb.Point
	}{
		{"12 corners", twelve},
		{"2000 round", circle(2000, 30, 0)},
		{"2000 waves", circle(2000, 30, 2)},
	} {
		p := pad(s, c.rings, flat(8), Profile{Along: 2}, Profile{Along: 2})
		b.Run(c.name, func(b *testing.B) {
			b.ReportAllocs()
			for range b.N {
				w, err := Find(context.Background(), Input{Ground: s, Pads: []Pad{p}, Bound: 1e-6})
				require.NoError(b, err)
				b.ReportMetric(float64(len(w.Pieces)), "pieces")
			}
		})
	}
}

// BenchmarkBerms measures the twelve corners with 10, 20 and 40 berms.
func BenchmarkBerms(b *testing.B) {
	s := ground(b, 100, 1, 0.4, rolling, tin.Options{})
	for _, berms := range []float64{10, 20, 40} {
		batter := Profile{Along: 1, Every: 8 / berms, Berm: 8 / berms}
		p := pad(s, twelve, flat(4), batter, batter)
		b.Run(fmt.Sprint(berms), func(b *testing.B) {
			b.ReportAllocs()
			for range b.N {
				w, err := Find(context.Background(), Input{Ground: s, Pads: []Pad{p}, Bound: 1e-6})
				require.NoError(b, err)
				b.ReportMetric(float64(len(w.Pieces)), "pieces")
			}
		})
	}
}
