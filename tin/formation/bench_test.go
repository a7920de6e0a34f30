package formation_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/formation"
)

// A round pad with levels of its own at n corners and n spots.
func BenchmarkLayOwnLevels(b *testing.B) {
	for _, n := range []int{100, 1000, 10000} {
		b.Run(fmt.Sprintf("n=%d", n), func(b *testing.B) {
			r := rand.New(rand.NewPCG(9, 10))
			p := formation.Pad{Levels: &formation.Levels{Outline: [][]float64{nil}}, Layers: buildUp(0.175, 0.05)}
			var ring orb.Ring
			for i := range n {
				sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
				d := 80 + r.Float64()
				ring = append(ring, orb.Point{d * cos, d * sin})
				p.Levels.Outline[0] = append(p.Levels.Outline[0], 60+r.Float64())
				sin, cos = math.Sincos(2 * math.Pi * r.Float64())
				d = 75 * math.Sqrt(r.Float64())
				p.Levels.Spots = append(p.Levels.Spots, tin.Point{E: d * cos, N: d * sin, Level: 60 + r.Float64()})
			}
			p.Outline = orb.Polygon{ring}
			ground := field(b, 0, 0)
			b.ReportAllocs()
			for b.Loop() {
				l, err := formation.Lay(ground, []formation.Pad{p}, formation.Options{})
				require.NoError(b, err)
				require.NotEmpty(b, l.Pads[0].Facets)
			}
		})
	}
}
