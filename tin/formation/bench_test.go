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
				l, err := formation.Lay(b.Context(), ground, []formation.Pad{p}, formation.Options{})
				require.NoError(b, err)
				require.NotEmpty(b, l.Pads[0].Facets)
			}
		})
	}
}

// millionDig is a pad of 12 corners with batters on a million spots.
func millionDig(b *testing.B) (*tin.Surface, *formation.Layout, formation.Options) {
	rng := rand.New(rand.NewPCG(1, 2))
	s := scattered(b, rng, offset, 500, 1, func(e, n float64) float64 {
		return 10 + 0.02*e + 0.8*math.Sin(e/9) + 0.7*math.Cos(n/7)
	}, tin.Options{})
	var ring orb.Ring
	for i := range 12 {
		sin, cos := math.Sincos(float64(i) * math.Pi / 6)
		r := 30 - 8*float64(i%2)
		ring = append(ring, orb.Point{offset[0] + math.Round(r*cos*1000)/1000, offset[1] + math.Round(r*sin*1000)/1000})
	}
	opts := formation.Options{Topsoil: formation.Topsoil{Depth: 0.2}}
	batter := formation.Batter{Along: 2}
	l, err := formation.Lay(b.Context(), s, []formation.Pad{{Outline: orb.Polygon{ring}, Finished: 8, Cut: batter, Fill: batter}}, opts)
	require.NoError(b, err)
	return s, l, opts
}

func BenchmarkWorks(b *testing.B) {
	s, l, opts := millionDig(b)
	d, err := l.Dig(b.Context(), s, opts)
	require.NoError(b, err)
	for _, bench := range []struct {
		name string
		do   func() error
	}{
		{"dig", func() error { _, err := l.Dig(b.Context(), s, opts); return err }},
		{"strip", func() error { _, err := d.Strip(b.Context(), 1); return err }},
		{"surfaces", func() error { _, err := d.Surfaces(b.Context()); return err }},
	} {
		b.Run(bench.name, func(b *testing.B) {
			for b.Loop() {
				require.NoError(b, bench.do())
			}
		})
	}
}
