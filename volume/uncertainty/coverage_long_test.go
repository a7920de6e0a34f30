//go:build long

package uncertainty_test

import (
	"fmt"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"
	"time"

	"github.com/paulmach/orb"

	"barrow/tin/formation"
)

func TestScratchCoverage(t *testing.T) {
	n, _ := strconv.Atoi(os.Getenv("N"))
	for _, m := range []struct {
		name string
		cov  func(p, q orb.Point) float64
	}{{"exponential", exponential(0.25, 25)}, {"power", powerLaw(0.01, 0.7)}, {"smooth", smooth(0.25, 20)}} {
		f := newField(t, 48, 2, m.cov)
		for _, spots := range []int{120, 40} {
			rng := rand.New(rand.NewPCG(11, 12))
			pad := formation.Pad{Outline: orb.Polygon{{{27, 32}, {67, 32}, {67, 62}, {27, 62}}}, Cut: formation.Batter{Along: 1}, Fill: formation.Batter{Along: 2}}
			var figures [3]outcome
			var bias [2]float64
			start := time.Now()
			for range n {
				levels := f.draw(rng)
				mean := 0.0
				for i, z := range levels {
					if p := f.at(i); p[0] >= 27 && p[0] <= 67 && p[1] >= 32 && p[1] <= 62 {
						mean += z / 300
					}
				}
				_ = mean
				tr := f.newTrial(rng, levels, func(p orb.Point) float64 { return 0.04*(p[0]-47) - levels[48*24+24] }, spots, 0.02)
				u := tr.run(t, []formation.Pad{pad}, &figures)
				bias[0] += (u.BetweenBias[0] + u.LevelsBias[0]) / float64(n)
				bias[1] += (u.BetweenBias[1] + u.LevelsBias[1]) / float64(n)
			}
			fmt.Printf("%s %d: ", m.name, spots)
			for i := range figures {
				o := &figures[i]
				fmt.Printf(" cov %.3f rms %.2f mean %.1f sd %.1f |", o.coverage(), o.rms(), o.meanOff(), o.meanStated())
			}
			fmt.Printf(" bias %.1f %.1f %v\n", bias[0], bias[1], time.Since(start)/time.Duration(n))
		}
	}
}
