package uncertainty_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"

	"barrow/tin"
	"barrow/tin/formation"
	"barrow/volume"
	"barrow/volume/uncertainty"
)

// waves is uneven ground over a square.
func waves(spots int, side float64) []tin.Point {
	rng := rand.New(rand.NewPCG(3, 9))
	points := make([]tin.Point, spots)
	for i := range points {
		e, n := math.Round(rng.Float64()*side*1000)/1000, math.Round(rng.Float64()*side*1000)/1000
		points[i] = tin.Point{E: e, N: n, Level: math.Sin(e/9) + math.Cos(n/7) + 0.02*rng.NormFloat64()}
	}
	return points
}

// BenchmarkEstimate: how sure the works of one pad in the middle are, batters included,
// after they are found.
func BenchmarkEstimate(b *testing.B) {
	for _, size := range []struct {
		spots int
		half  float64 // of the pad's side, metres, on ground 1,000 m wide
	}{{1000, 150}, {1_000_000, 20}, {1_000_000, 150}, {1_000_000, 450}} {
		b.Run(fmt.Sprintf("spots=%d/pad=%.0fm", size.spots, 2*size.half), func(b *testing.B) {
			ground, err := tin.FromPoints(waves(size.spots, 1000))
			if err != nil {
				b.Fatal(err)
			}
			lo, hi := 500-size.half, 500+size.half
			pad := formation.Pad{Outline: orb.Polygon{{{lo, lo}, {hi, lo}, {hi, hi}, {lo, hi}}}, Cut: formation.Batter{Along: 1}, Fill: formation.Batter{Along: 2}}
			layout, err := formation.Lay(b.Context(), ground, []formation.Pad{pad}, formation.Options{})
			if err != nil {
				b.Fatal(err)
			}
			dig, err := layout.Dig(b.Context(), ground, formation.Options{})
			if err != nil {
				b.Fatal(err)
			}
			for b.Loop() {
				sensor := volume.NewSensor(ground)
				if err := sensor.Facets(b.Context(), layout.Pads[0].Facets); err != nil {
					b.Fatal(err)
				}
				sensor.Faces(dig.Pads[0].Faces)
				u, err := uncertainty.Estimate(b.Context(), uncertainty.Input{
					Ground: ground, Sensitivity: sensor.Result(), Surveys: []uncertainty.Survey{{Spot: 0.02}}, SurveyOf: []int{0},
				})
				if err != nil || u.NotStated != "" {
					b.Fatal(err, u.NotStated)
				}
			}
		})
	}
}
