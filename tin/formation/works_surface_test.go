package formation_test

import (
	"context"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/formation"
)

// seeds is how many random digs a law is tried on.
func seeds() uint64 {
	if testing.Short() {
		return 6
	}
	return 16
}

func TestSurfacesCoverTheWorks(t *testing.T) {
	for seed := range seeds() {
		_, l, d, _ := randomDig(t, seed, offset)
		surfaces, err := d.Surfaces(context.Background())
		require.NoError(t, err, seed)
		var sum tin.Sum
		for _, s := range surfaces {
			sum.Add(s.Stats().Area)
		}
		require.InEpsilon(t, areaOf(d.Outline), sum.Value(), 1e-9, seed)
		for i := range l.Pads {
			for _, f := range append(l.Pads[i].Facets, l.Pads[i].Margin...) {
				c := f.Cell.Corner
				at := orb.Point{(c[0][0] + c[1][0] + c[2][0]) / 3, (c[0][1] + c[1][1] + c[2][1]) / 3}
				holds := 0
				for _, s := range surfaces {
					if level, ok := s.LevelAt(at[0], at[1]); ok {
						require.InDelta(t, f.Plane.LevelAt(at[0], at[1]), level, 1e-7)
						holds++
					}
				}
				require.Equal(t, 1, holds)
			}
		}
	}
}

// steppedDig is pads at round levels on a square grid with levels of halves: daylight
// runs along edges and through spots, and works touch at places.
func steppedDig(t testing.TB, seed uint64) (*tin.Surface, *formation.Layout, *formation.Dig) {
	rng := rand.New(rand.NewPCG(seed, 77))
	step := float64(1 + rng.IntN(3))
	var points []tin.Point
	for e := -20.0; e <= 20; e += step {
		for n := -20.0; n <= 20; n += step {
			points = append(points, tin.Point{E: offset[0] + e, N: offset[1] + n, Level: 10 + 0.5*float64((rng.IntN(5)-2)*rng.IntN(2))})
		}
	}
	s, err := tin.FromPoints(points)
	require.NoError(t, err)
	batter := func() formation.Batter { return formation.Batter{Along: []float64{0, 0.5, 1, 1, 2}[rng.IntN(5)]} }
	var pads []formation.Pad
	for range 1 + rng.IntN(3) {
		e, n := float64(rng.IntN(20)-14), float64(rng.IntN(20)-14)
		pad := formation.Pad{Finished: 10 + 0.5*float64(rng.IntN(7)-3), Cut: batter(), Fill: batter(), Margin: 0.5 * float64(rng.IntN(2)),
			Outline: orb.Polygon{rect(offset, e, n, e+3+float64(rng.IntN(8)), n+3+float64(rng.IntN(8)))}}
		if rng.IntN(3) == 0 {
			side := batter()
			pad.Edges = []formation.Edge{{From: "1", To: "2", Cut: &side, Fill: &side}}
		}
		pads = append(pads, pad)
	}
	opts := formation.Options{Topsoil: formation.Topsoil{Depth: 0.5, Areas: []formation.TopsoilArea{{Area: orb.Polygon{rect(offset, -30, -2, 30, 30)}, Depth: 0.25}}}}
	l, d := dig(t, s, opts, pads...)
	return s, l, d
}

func TestWorksThatTouchAndEndOnEdges(t *testing.T) {
	for seed := range seeds() {
		s, l, d := steppedDig(t, seed)
		want := areaOfPieces(s, l, d)
		require.InEpsilon(t, want, areaOf(d.Outline), 1e-9, seed)
		surfaces, err := d.Surfaces(context.Background())
		require.NoError(t, err, seed)
		var sum tin.Sum
		for _, s := range surfaces {
			sum.Add(s.Stats().Area)
		}
		require.InEpsilon(t, want, sum.Value(), 1e-9, seed)
		strip, err := d.Strip(context.Background(), 0)
		require.NoError(t, err, seed)
		require.InEpsilon(t, want, strip.Area+strip.Uncovered, 1e-9, seed)
	}
}

func TestNoPadsNoSurface(t *testing.T) {
	_, d := dig(t, field(t, 0, 0), formation.Options{})
	surfaces, err := d.Surfaces(context.Background())
	require.NoError(t, err)
	require.Empty(t, surfaces)
	require.Empty(t, d.Outline)
}
