package formation_test

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/formation"
)

// scattered is spots about every step metres over a square round a place, their levels
// by a function of the distance from it.
func scattered(t testing.TB, rng *rand.Rand, at orb.Point, half, step float64, level func(e, n float64) float64, opts tin.Options) *tin.Surface {
	t.Helper()
	var points []tin.Point
	for e := -half; e <= half; e += step {
		for n := -half; n <= half; n += step {
			x, y := e+0.4*step*rng.Float64(), n+0.4*step*rng.Float64()
			x, y = math.Round(x*1000)/1000, math.Round(y*1000)/1000
			points = append(points, tin.Point{E: at[0] + x, N: at[1] + y, Level: level(x, y)})
		}
	}
	s, err := tin.Build(context.Background(), []tin.Source{{Points: points}}, opts)
	require.NoError(t, err)
	return s
}

func level(l float64) func(e, n float64) float64 { return func(e, n float64) float64 { return l } }

func rect(at orb.Point, w, s, e, n float64) orb.Ring {
	return orb.Ring{{at[0] + w, at[1] + s}, {at[0] + e, at[1] + s}, {at[0] + e, at[1] + n}, {at[0] + w, at[1] + n}}
}

func dig(t testing.TB, ground *tin.Surface, opts formation.Options, pads ...formation.Pad) (*formation.Layout, *formation.Dig) {
	t.Helper()
	l, err := formation.Lay(t.Context(), ground, pads, opts)
	require.NoError(t, err)
	d, err := l.Dig(context.Background(), ground, opts)
	require.NoError(t, err)
	return l, d
}

var offset = orb.Point{312540, 5812300}

// areaOf is the area of polygons, outer rings less holes, from a near origin.
func areaOf(m orb.MultiPolygon) float64 {
	var sum tin.Sum
	for _, p := range m {
		for _, r := range p {
			moved := make(orb.Ring, len(r))
			for i, v := range r {
				moved[i] = orb.Point{v[0] - m[0][0][0][0], v[1] - m[0][0][0][1]}
			}
			sum.Add(planar.Area(moved))
		}
	}
	return sum.Value()
}

// areaOfPieces is the area of batters and formation as pieces, without overlaps.
func areaOfPieces(s *tin.Surface, l *formation.Layout, d *formation.Dig) float64 {
	var sum tin.Sum
	for i := range l.Pads {
		for _, list := range [][]tin.Facet{l.Pads[i].Facets, l.Pads[i].Margin} {
			for _, f := range list {
				sum.Add(f.Cell.Area)
			}
		}
		for _, p := range d.Pads[i].Faces {
			a := p.Corner[0]
			for k := 2; k < len(p.Corner); k++ {
				b, c := p.Corner[k-1], p.Corner[k]
				sum.Add(((b.X-a.X)*(c.Y-a.Y) - (b.Y-a.Y)*(c.X-a.X)) / 2 * s.Frame().Area())
			}
		}
	}
	return sum.Value()
}

func TestOutlineOfASquarePit(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for _, at := range []orb.Point{{}, offset} {
		s := scattered(t, rng, at, 30, 3, level(12), tin.Options{})
		const n, d = 1.5, 2.0
		pad := formation.Pad{Outline: orb.Polygon{rect(at, -5, -5, 5, 5)}, Finished: 10,
			Cut: formation.Batter{Along: n}, Fill: formation.Batter{Along: n}}
		l, works := dig(t, s, formation.Options{}, pad)
		require.Len(t, works.Outline, 1)
		require.Len(t, works.Outline[0], 1)
		want := 100 + 40*n*d + math.Pi*n*n*d*d
		got := areaOf(works.Outline)
		require.InEpsilon(t, want, got, 1e-6)
		require.Greater(t, got, want, "facets never take away")
		require.InEpsilon(t, areaOfPieces(s, l, works), got, 1e-9)
		require.Len(t, works.Pads[0].Crest, 1)
		require.Empty(t, works.Pads[0].Toe)
		crest := works.Pads[0].Crest[0]
		require.Equal(t, crest[0], crest[len(crest)-1])
		require.InEpsilon(t, 40+2*math.Pi*n*d, crest.Length(), 1e-6)
		for _, v := range crest {
			require.InDelta(t, 12, v.Level, 1e-9)
		}
	}
}

// randomDig is a rolling ground with one to three pads of different kinds on it.
func randomDig(t testing.TB, seed uint64, at orb.Point) (*tin.Surface, *formation.Layout, *formation.Dig, formation.Options) {
	rng := rand.New(rand.NewPCG(seed, 7))
	wave := func(e, n float64) float64 {
		return 10 + 0.06*e - 0.03*n + 0.8*math.Sin(e/5+float64(seed)) + 0.7*math.Cos(n/4)
	}
	opts := tin.Options{}
	if seed%4 == 1 {
		opts.Voids = orb.MultiPolygon{{rect(at, 8, -3, 11, 2)}}
	}
	s := scattered(t, rng, at, 40, 1+3*rng.Float64(), wave, opts)
	batter := formation.Batter{Along: 0.5 + 2*rng.Float64()}
	shapes := []orb.Polygon{
		{rect(at, -6, -5, 5, 4)},
		{{{at[0] - 8, at[1] - 7}, {at[0] + 6, at[1] - 6}, {at[0] + 5, at[1] - 1}, {at[0], at[1]}, {at[0] - 1, at[1] + 6}, {at[0] - 9, at[1] + 5}}},
		{rect(at, -9, -9, 9, 9), rect(at, -5, -4, 4, 5)},
	}
	pads := []formation.Pad{{Outline: shapes[rng.IntN(3)], Finished: 9 + 2*rng.Float64(), Cut: batter, Fill: formation.Batter{Along: 1.5}, Margin: float64(rng.IntN(2)) * 0.6}}
	if rng.IntN(2) == 0 {
		pads[0].Fall = &formation.Fall{Slope: 0.05 * rng.Float64(), Bearing: 360 * rng.Float64(), At: at}
	}
	if rng.IntN(2) == 0 {
		pads = append(pads, formation.Pad{Outline: orb.Polygon{rect(at, 9, -4, 16, 6)}, Finished: 9 + 2*rng.Float64(), Cut: batter, Fill: batter})
	}
	if rng.IntN(3) == 0 {
		pads = append(pads, formation.Pad{Outline: orb.Polygon{rect(at, -20, -4, -12, 6)}, Finished: 9 + 2*rng.Float64()})
	}
	var f formation.Options
	if rng.IntN(2) == 0 {
		f.Topsoil = formation.Topsoil{Depth: 0.2, Areas: []formation.TopsoilArea{{Area: orb.Polygon{rect(at, -30, -2, 30, 30)}, Depth: 0.35}}}
	}
	l, d := dig(t, s, f, pads...)
	return s, l, d, f
}

func TestOutlineHoldsAllPieces(t *testing.T) {
	for seed := range uint64(30) {
		s, l, d, _ := randomDig(t, seed, offset)
		require.InEpsilon(t, areaOfPieces(s, l, d), areaOf(d.Outline), 1e-9, seed)
		for _, p := range d.Outline {
			for k, r := range p {
				require.Equal(t, r[0], r[len(r)-1])
				require.Equal(t, k == 0, ringArea(r[:len(r)-1]) > 0)
				require.NoError(t, tin.CheckOutline(orb.Polygon{r}), seed)
			}
		}
		for i, p := range d.Pads {
			for _, line := range append(p.Crest, p.Toe...) {
				require.GreaterOrEqual(t, len(line), 2)
				for k, v := range line {
					require.False(t, k > 0 && v == line[k-1], "pad %d", i)
				}
			}
		}
	}
}

func TestCrestAndToeLieOnTheGround(t *testing.T) {
	for seed := range uint64(20) {
		s, _, d, opts := randomDig(t, seed, orb.Point{})
		if len(opts.Topsoil.Areas) > 0 {
			continue
		}
		lines := 0
		for _, p := range d.Pads {
			for _, line := range append(p.Crest, p.Toe...) {
				for _, v := range line {
					ground, ok := s.LevelAt(v.E, v.N)
					if ok { // else it is rounded off the rim
						require.InDelta(t, ground, v.Level, 1e-5)
						lines++
					}
				}
			}
		}
		require.Positive(t, lines)
	}
}

func TestOutlineDoesNotDependOnStart(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	s := scattered(t, rng, offset, 30, 2, func(e, n float64) float64 { return 10 + 0.1*e + 0.5*math.Sin(n/3) }, tin.Options{})
	ring := orb.Ring{{-8, -7}, {6, -6}, {5, -1}, {0, 0}, {-1, 6}, {-9, 5}}
	pad := func(ring orb.Ring) formation.Pad {
		return formation.Pad{Outline: moved(orb.Polygon{ring}, offset[0], offset[1]), Finished: 10.2, Cut: formation.Batter{Along: 1}, Fill: formation.Batter{Along: 2}}
	}
	_, want := dig(t, s, formation.Options{}, pad(ring))
	require.NotEmpty(t, want.Pads[0].Toe)
	turned := append(ring[2:].Clone(), ring[:2]...)
	turned.Reverse()
	_, got := dig(t, s, formation.Options{}, pad(turned))
	require.Equal(t, want.Outline, got.Outline)
	require.Equal(t, want.Pads, got.Pads)
}
