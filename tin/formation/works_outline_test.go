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

func rectangle(at orb.Point, w, s, e, n float64) orb.Ring {
	return orb.Ring{{at[0] + w, at[1] + s}, {at[0] + e, at[1] + s}, {at[0] + e, at[1] + n}, {at[0] + w, at[1] + n}}
}

func dig(t testing.TB, ground *tin.Surface, opts formation.Options, pads ...formation.Pad) (*formation.Layout, *formation.Dig) {
	t.Helper()
	l, err := formation.Lay(ground, pads, opts)
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
		pad := formation.Pad{Outline: orb.Polygon{rectangle(at, -5, -5, 5, 5)}, Finished: 10,
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
