package daylight

import (
	"context"
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"barrow/tin"
)

// lawCase is rough ground and a pad with an inward corner, given so that both can be
// moved, turned and shuffled.
type lawCase struct {
	points    []tin.Point
	rings     [][]orb.Point
	levels    []float64 // of the first ring's corners
	cut, fill Profile
}

func newLawCase(seed uint64) lawCase {
	rng := rand.New(rand.NewPCG(seed, 41))
	c := lawCase{cut: Profile{Along: 0.6 + 1.5*rng.Float64()}, fill: Profile{Along: 0.6 + 1.5*rng.Float64()}}
	milli := func(x float64) float64 { return math.Round(x*1000) / 1000 }
	for range 500 {
		e, n := milli(60*rng.Float64()-30), milli(60*rng.Float64()-30)
		c.points = append(c.points, tin.Point{E: e, N: n, Level: milli(10 + 0.07*e + math.Sin(n/5) + 0.3*rng.NormFloat64())})
	}
	c.rings = [][]orb.Point{{{-7, -6}, {6, -7.5}, {8, 1}, {1, 0.5}, {0, 7}, {-8, 5.25}}}
	for _, p := range c.rings[0] {
		c.levels = append(c.levels, 10+0.05*p[0])
	}
	return c
}

func (c lawCase) find(t testing.TB, topsoil float64) (*tin.Surface, *Works) {
	s, err := tin.Build(context.Background(), []tin.Source{{Points: c.points}}, tin.Options{})
	require.NoError(t, err)
	p := pad(s, c.rings, flat(0), c.cut, c.fill)
	for i := range p.Rings[0] {
		p.Rings[0][i].Level = c.levels[i]
	}
	w, err := Find(context.Background(), Input{Ground: s, Pads: []Pad{p}, Topsoil: topsoil, Bound: 1e-6})
	require.NoError(t, err)
	return s, w
}

func (c lawCase) volumes(t testing.TB) (cut, fill float64) { return volumes(c.find(t, 0)) }

// moved returns the case with every place and level passed through functions.
func (c lawCase) moved(place func(e, n float64) (float64, float64), level func(float64) float64) lawCase {
	out := c
	out.points, out.rings, out.levels = nil, nil, nil
	for _, p := range c.points {
		e, n := place(p.E, p.N)
		out.points = append(out.points, tin.Point{E: e, N: n, Level: level(p.Level)})
	}
	for _, r := range c.rings {
		var ring []orb.Point
		for _, p := range r {
			e, n := place(p[0], p[1])
			ring = append(ring, orb.Point{e, n})
		}
		out.rings = append(out.rings, ring)
	}
	for _, z := range c.levels {
		out.levels = append(out.levels, level(z))
	}
	return out
}

func same(z float64) float64 { return z }

func TestVolumesStandStillUnderShiftsTurnsAndLifts(t *testing.T) {
	for seed := range uint64(6) {
		c := newLawCase(seed)
		cut, fill := c.volumes(t)
		require.Positive(t, cut+fill)
		for name, m := range map[string]lawCase{
			"shift": c.moved(func(e, n float64) (float64, float64) {
				return math.Round((e+312540.125)*1000) / 1000, math.Round((n+5812300.375)*1000) / 1000
			}, same),
			"quarter turn": c.moved(func(e, n float64) (float64, float64) { return -n, e }, same),
			"lift":         c.moved(func(e, n float64) (float64, float64) { return e, n }, func(z float64) float64 { return z + 64 }),
		} {
			a, b := m.volumes(t)
			require.InEpsilon(t, cut+1, a+1, 1e-8, name)
			require.InEpsilon(t, fill+1, b+1, 1e-8, name)
		}
	}
}

func TestTurnedOverCutIsFill(t *testing.T) {
	for seed := range uint64(4) {
		c := newLawCase(seed)
		c.fill = c.cut
		cut, fill := c.volumes(t)
		a, b := c.moved(func(e, n float64) (float64, float64) { return e, n }, func(z float64) float64 { return -z }).volumes(t)
		require.Equal(t, cut, b)
		require.Equal(t, fill, a)
	}
}

func TestHigherPadsAndFlatterBatters(t *testing.T) {
	for seed := range uint64(4) {
		c := newLawCase(seed)
		lastCut, lastFill := math.Inf(1), 0.0
		for lift := -1.5; lift <= 1.5; lift += 0.25 {
			up := c
			up.levels = nil
			for _, z := range c.levels {
				up.levels = append(up.levels, z+lift)
			}
			cut, fill := up.volumes(t)
			require.LessOrEqual(t, cut, lastCut*(1+2e-6))
			require.GreaterOrEqual(t, fill, lastFill*(1-2e-6))
			lastCut, lastFill = cut, fill
		}
		lastCut, lastFill = 0, 0
		for n := 0.25; n < 4; n *= 1.3 {
			c.cut.Along, c.fill.Along = n, n
			cut, fill := c.volumes(t)
			require.GreaterOrEqual(t, cut, lastCut*(1-2e-6), "1V:%gH", n)
			require.GreaterOrEqual(t, fill, lastFill*(1-2e-6), "1V:%gH", n)
			lastCut, lastFill = cut, fill
		}
	}
}

func TestASurveyAfterTheStripGivesTheSame(t *testing.T) {
	c := newLawCase(3)
	cut, fill := volumes(c.find(t, 0.25))
	after := c
	after.points = slices.Clone(c.points)
	for i := range after.points {
		after.points[i].Level -= 0.25
	}
	a, b := after.volumes(t)
	require.InEpsilon(t, cut, a, 1e-9)
	require.InEpsilon(t, fill, b, 1e-9)
}

// bits is a result without what it points into.
func bits(w *Works) []Piece {
	out := slices.Clone(w.Pieces)
	for i := range out {
		out[i].sheet, out[i].fan = nil, nil
	}
	return out
}

func TestSameBitsInAnyOrder(t *testing.T) {
	c := newLawCase(5)
	_, want := c.find(t, 0.1)
	require.NotEmpty(t, want.Pieces)
	for _, threads := range []int{1, 2, 8} {
		old := runtime.GOMAXPROCS(threads)
		_, got := c.find(t, 0.1)
		runtime.GOMAXPROCS(old)
		require.Equal(t, bits(want), bits(got))
	}
	shuffled := c
	shuffled.points = slices.Clone(c.points)
	rand.New(rand.NewPCG(1, 1)).Shuffle(len(c.points), func(i, j int) {
		shuffled.points[i], shuffled.points[j] = shuffled.points[j], shuffled.points[i]
	})
	_, got := shuffled.find(t, 0.1)
	require.Equal(t, bits(want), bits(got))
}

// Where the outline starts is no matter for the volumes; pieces that rule by their
// number may change hands where faces are equal.
func TestAnotherStartOfTheOutline(t *testing.T) {
	c := newLawCase(5)
	cut, fill := c.volumes(t)
	for k := 1; k < len(c.levels); k++ {
		turned := c
		turned.rings = [][]orb.Point{append(slices.Clone(c.rings[0][k:]), c.rings[0][:k]...)}
		turned.levels = append(slices.Clone(c.levels[k:]), c.levels[:k]...)
		a, b := turned.volumes(t)
		require.InEpsilon(t, cut, a, 1e-12)
		require.InEpsilon(t, fill, b, 1e-12)
	}
}

func TestACancelledFindEnds(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	s := ground(t, 40, 4, 1.5, flat(12), tin.Options{})
	_, err := Find(ctx, Input{Ground: s, Pads: []Pad{pad(s, square, flat(10), Profile{Along: 1}, Profile{Along: 1})}, Bound: 1e-6})
	require.ErrorIs(t, err, context.Canceled)
}
