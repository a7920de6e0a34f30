//go:build long

package takeoff_test

import (
	"math/rand/v2"
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/volume/takeoff"
)

// Real ground, surveyed densely from the air (testdata/autzen-pad), surveyed again by
// some of its spots only: how often the stated interval holds the volumes over all of
// them. The spots are drawn without regard to levels, with those of the hull's corners.
func TestUncertaintyOnThinnedGround(t *testing.T) {
	job, err := takeoff.Load(t.Context(), os.DirFS("../../testdata/autzen-pad"), "job.toml", takeoff.Limits{})
	require.NoError(t, err)
	all := job.Surveys[0].Points
	truth := run(t, job).Total
	for _, spots := range []int{400, 150} {
		rng := rand.New(rand.NewPCG(1, uint64(spots)))
		stated := 0
		var held [3]int
		for range 100 {
			job.Surveys[0].Points = nil
			for _, i := range rng.Perm(len(all))[:spots] {
				job.Surveys[0].Points = append(job.Surveys[0].Points, all[i])
			}
			job.Surveys[0].Points = append(job.Surveys[0].Points, outermost(all)...)
			job.Ground.Duplicates = tin.DuplicatesMean
			r := run(t, job)
			u := r.Uncertainty
			if u.NotStated != "" {
				continue
			}
			stated++
			for i, v := range [3][3]float64{
				{r.Total.Cut, truth.Cut, *u.Cut}, {r.Total.Fill, truth.Fill, *u.Fill}, {r.Total.CutLessFill, truth.CutLessFill, *u.CutLessFill},
			} {
				if v[0]-v[2] <= v[1] && v[1] <= v[0]+v[2] {
					held[i]++
				}
			}
		}
		require.Greater(t, stated, 75)
		share := func(n int) float64 { return float64(n) / float64(stated) }
		t.Logf("%d of %d spots: of %d surveys the interval held the cut in %.3f, the fill in %.3f, the difference in %.3f",
			spots, len(all), stated, share(held[0]), share(held[1]), share(held[2]))
		for _, n := range held {
			require.Greater(t, share(n), 0.85)
		}
	}
}

// outermost are the spots farthest out in eight directions.
func outermost(points []tin.Point) (out []tin.Point) {
	for _, d := range [][2]float64{{1, 0}, {1, 1}, {0, 1}, {-1, 1}, {-1, 0}, {-1, -1}, {0, -1}, {1, -1}} {
		best := points[0]
		for _, p := range points {
			if (p.E-best.E)*d[0]+(p.N-best.N)*d[1] > 0 {
				best = p
			}
		}
		out = append(out, best)
	}
	return out
}
