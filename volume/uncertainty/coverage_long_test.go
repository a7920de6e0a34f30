//go:build long

package uncertainty_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"sync"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/formation"
)

// site is the ground of the simulations: 94 m wide, on places 2 m apart, with a pad of
// 40 m by 30 m in the middle at level 0, and batters.
func sitePad() []formation.Pad {
	return []formation.Pad{{
		Outline: orb.Polygon{{{27, 32}, {67, 32}, {67, 62}, {27, 62}}},
		Cut:     formation.Batter{Along: 1}, Fill: formation.Batter{Along: 2},
	}}
}

const (
	sitePlaces = 48
	siteStep   = 2.0
	levelError = 0.02 // standard deviation of a level, metres
)

// middle is the level drawn for the middle of the site: grounds are brought to 0 there,
// so that works are in cut and in fill.
func middle(levels []float64) float64 { return levels[sitePlaces*sitePlaces/2+sitePlaces/2] }

// trials runs simulated surveys on as many processors as there are; each has a seed of
// its own. survey makes one.
func trials(t *testing.T, n int, survey func(rng *rand.Rand) trial) (figures [3]outcome) {
	var each sync.WaitGroup
	const lanes = 4
	var part [lanes][3]outcome
	for lane := range lanes {
		each.Go(func() {
			for i := lane; i < n; i += lanes {
				survey(rand.New(rand.NewPCG(uint64(i), 2026))).run(t, sitePad(), &part[lane])
			}
		})
	}
	each.Wait()
	for _, p := range part {
		for i := range p {
			figures[i].join(p[i])
		}
	}
	return figures
}

func (o *outcome) join(p outcome) {
	o.trials += p.trials
	o.held += p.held
	o.square += p.square
	o.mean += p.mean
	o.stated += p.stated
}

func logged(t *testing.T, name string, figures [3]outcome) {
	line := name
	for i, what := range []string{"cut", "fill", "cut less fill"} {
		o := &figures[i]
		line += fmt.Sprintf("; %s: held %.3f, error / stated sd %.2f, mean error %.1f, mean sd %.1f m3",
			what, o.coverage(), o.rms(), o.mean/float64(o.trials), o.stated/float64(o.trials))
	}
	t.Log(line)
}

func falling(p orb.Point) float64 { return 0.04 * (p[0] - 47) }

// On grounds drawn from rough stationary models, spots placed without regard to levels,
// the stated 95 % interval holds the true volume in 93 to 97 of 100 surveys.
func TestCoverage(t *testing.T) {
	for _, ground := range []struct {
		name  string
		model func(p, q orb.Point) float64
	}{{"exponential, sill 0.25 m2, range 25 m", exponential(0.25, 25)}, {"power law H = 0.7", powerLaw(0.01, 0.7)}} {
		f := newField(t, sitePlaces, siteStep, ground.model)
		for _, spots := range []int{120, 40} {
			figures := trials(t, 1000, func(rng *rand.Rand) trial {
				levels := f.draw(rng)
				return f.newTrial(rng, levels, func(p orb.Point) float64 { return falling(p) - middle(levels) }, spots, levelError)
			})
			name := fmt.Sprintf("%s, %d spots", ground.name, spots)
			logged(t, name, figures)
			for i := range figures {
				require.InDelta(t, 0.95, figures[i].coverage(), 0.02, "%s: figure %d", name, i)
			}
		}
	}
}

// Where the interval cannot hold as often as it says, or holds more often: figures for
// the documentation, with what they must at least be like.
func TestCoverageElsewhere(t *testing.T) {
	f := newField(t, sitePlaces, siteStep, smooth(0.25, 20))
	at := func(levels []float64) func(p orb.Point) float64 {
		return func(p orb.Point) float64 { return falling(p) - middle(levels) }
	}
	for _, spots := range []int{120, 40} {
		figures := trials(t, 300, func(rng *rand.Rand) trial {
			levels := f.draw(rng)
			return f.newTrial(rng, levels, at(levels), spots, levelError)
		})
		logged(t, fmt.Sprintf("very smooth ground, %d spots", spots), figures)
		require.Less(t, figures[2].rms(), 1.1, "no wider than stated")
	}
	bank := func(p orb.Point) float64 { // 1.2 m high, 4 m wide
		return 1.2 * math.Min(1, math.Max(0, (p[0]-46)/4))
	}
	banked := func(rng *rand.Rand, spots int) (trial, []tin.Point, []tin.Point) {
		levels := f.draw(rng)
		tr := f.newTrial(rng, levels, func(p orb.Point) float64 { return 0.3*at(levels)(p) + bank(p) - 0.6 }, spots, levelError)
		var crest, toe []tin.Point
		for _, p := range tr.truth {
			p.Level += levelError * rng.NormFloat64()
			switch {
			case math.Mod(p.N, 6) != 0:
			case p.E == 50:
				crest = append(crest, p)
			case p.E == 46:
				toe = append(toe, p)
			}
		}
		return tr, crest, toe
	}
	figures := trials(t, 300, func(rng *rand.Rand) trial { tr, _, _ := banked(rng, 120); return tr })
	logged(t, "a bank that nobody surveyed, 120 spots", figures)
	require.Greater(t, figures[2].rms(), 0.9, "what no spot sees is in no interval")
	figures = trials(t, 300, func(rng *rand.Rand) trial {
		tr, crest, toe := banked(rng, 120)
		tr.survey = withNew(tr.survey, append(crest, toe...))
		return tr
	})
	logged(t, "spots along crest and toe, as plain spots", figures)
	require.Less(t, figures[2].rms(), 0.9, "spots on breaks make it too wide")
	figures = trials(t, 300, func(rng *rand.Rand) trial {
		tr, crest, toe := banked(rng, 120)
		tr.lines = []tin.Breakline{{Vertices: crest}, {Vertices: toe}}
		tr.survey = apartFrom(tr.survey, append(crest, toe...))
		return tr
	})
	logged(t, "crest and toe as breaklines", figures)
	require.Less(t, figures[2].rms(), 1.1, "no wider than stated")
}

// withNew adds points at places that have none yet.
func withNew(points, more []tin.Point) []tin.Point { return append(apartFrom(points, more), more...) }

// apartFrom leaves out points at the places of others, and on their lines.
func apartFrom(points, others []tin.Point) (out []tin.Point) {
	columns := map[float64]bool{}
	for _, q := range others {
		columns[q.E] = true
	}
	for _, p := range points {
		if !columns[p.E] {
			out = append(out, p)
		}
	}
	return out
}
