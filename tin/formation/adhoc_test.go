package formation_test

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/formation"
)

func BenchmarkDigMillion(b *testing.B) {
	rng := rand.New(rand.NewPCG(1, 2))
	s := scattered(b, rng, offset, 500, 1, func(e, n float64) float64 { return 10 + 0.02*e + 0.8*math.Sin(e/9) + 0.7*math.Cos(n/7) }, tin.Options{})
	var ring orb.Ring
	for i := range 12 {
		a := float64(i) * math.Pi / 6
		r := 30.0
		if i%2 == 1 {
			r = 22
		}
		ring = append(ring, orb.Point{offset[0] + math.Round(r*math.Cos(a)*1000)/1000, offset[1] + math.Round(r*math.Sin(a)*1000)/1000})
	}
	pads := []formation.Pad{{Outline: orb.Polygon{ring}, Finished: 8, Cut: formation.Batter{Along: 2}, Fill: formation.Batter{Along: 2}}}
	l, err := formation.Lay(s, pads, formation.Options{})
	require.NoError(b, err)
	for b.Loop() {
		d, err := l.Dig(context.Background(), s, formation.Options{})
		require.NoError(b, err)
		n := 0
		for _, r := range d.Outline[0] {
			n += len(r)
		}
		b.ReportMetric(float64(len(d.Pads[0].Faces)), "pieces")
		b.ReportMetric(float64(n), "corners")
	}
}
