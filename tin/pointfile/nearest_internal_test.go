package pointfile

import (
	"cmp"
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

// The tree against looking at every pair, on sets where ties are the rule.
func TestNearest(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 8))
	sets := map[string]func(i int) (e, n float64){
		"random":    func(int) (float64, float64) { return rng.Float64(), rng.Float64() },
		"grid":      func(i int) (float64, float64) { return float64(i % 20), float64(i / 20) },
		"line":      func(i int) (float64, float64) { return float64(i), 0 },
		"far apart": func(i int) (float64, float64) { return float64(i%7) * 1e8, float64(i / 7) },
		"clusters":  func(i int) (float64, float64) { return float64(i%3)*1e6 + rng.Float64(), rng.Float64() },
	}
	for name, set := range sets {
		for _, n := range []int{2, 5, 9, 10, 17, 400} {
			t.Run(fmt.Sprintf("%s/%d", name, n), func(t *testing.T) {
				sites := make([]site, n)
				for i := range sites {
					e, n := set(i)
					sites[i] = site{e, n, 0, int32(i)}
				}
				rng.Shuffle(n, func(i, j int) { sites[i], sites[j] = sites[j], sites[i] })
				tr := newTree(sites)
				var q near
				for i, s := range sites {
					want := make([]int32, 0, n)
					for j := range sites {
						if j != i {
							want = append(want, int32(j))
						}
					}
					dist := func(j int32) float64 {
						de, dn := sites[j].e-s.e, sites[j].n-s.n
						return float64(de*de) + float64(dn*dn)
					}
					slices.SortFunc(want, func(a, b int32) int {
						return cmp.Or(cmp.Compare(dist(a), dist(b)), cmp.Compare(sites[a].e, sites[b].e), cmp.Compare(sites[a].n, sites[b].n))
					})
					tr.nearest(i, &q)
					require.Equal(t, want[:min(neighbours, n-1)], q.site[:q.count])
				}
			})
		}
	}
}

// However soon it gives up choosing pivots, what is at k has rank k.
func TestSelectNth(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 10))
	for rounds := range 12 {
		for _, n := range []int{1, 2, 3, 10, 100, 1000} {
			sites := make([]site, n)
			for i, at := range rng.Perm(n) {
				sites[i] = site{e: float64(at / 3), n: float64(at % 3)}
			}
			for _, north := range []bool{false, true} {
				k := rng.IntN(n)
				want := slices.Clone(sites)
				slices.SortFunc(want, func(a, b site) int { return compareSites(&a, &b, north) })
				selectNth(sites, k, north, rounds)
				require.Equal(t, want[k], sites[k])
				for i := range sites {
					require.Equal(t, i < k, compareSites(&sites[i], &sites[k], north) < 0)
				}
			}
		}
	}
}
