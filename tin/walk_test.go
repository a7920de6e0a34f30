package tin_test

import (
	"context"
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
)

// comb is a square of nine spots two metres apart and one 30 m away.
func comb(t testing.TB, opts tin.Options) *tin.Surface {
	t.Helper()
	var points []tin.Point
	for i := range 9 {
		points = append(points, tin.Point{E: float64(2 * (i % 3)), N: float64(2 * (i / 3)), Level: float64(i)})
	}
	points = append(points, tin.Point{E: 34, N: 2})
	s, err := tin.Build(context.Background(), []tin.Source{{Points: points}}, opts)
	require.NoError(t, err)
	return s
}

// rimLength is the length of the rim, metres.
func rimLength(s *tin.Surface) (sum float64) {
	for t, side := range s.Rim() {
		a, b := s.Corners(t)[side], s.Corners(t)[(side+1)%3]
		sum += math.Hypot(b.X-a.X, b.Y-a.Y) * s.Frame().Length()
	}
	return sum
}

func TestRimIsTheHullOrWhatMaxEdgeLeaves(t *testing.T) {
	assert.InDelta(t, 12+2*math.Hypot(30, 2), rimLength(comb(t, tin.Options{})), 1e-9)
	assert.InDelta(t, 16, rimLength(comb(t, tin.Options{MaxEdge: 10})), 1e-9)
}

// The sides at the rim are those that have nothing across, and across from across is
// the side itself, between the same two corners.
func TestAcrossIsMutualAndEndsAtTheRim(t *testing.T) {
	for _, opts := range []tin.Options{{}, {MaxEdge: 10}} {
		s := comb(t, opts)
		rim := make(map[[2]int]bool)
		for t, side := range s.Rim() {
			rim[[2]int{t, side}] = true
		}
		seen := map[int]bool{}
		start, ok := s.At(s.Frame().Local(orb.Point{1, 0.5}))
		require.True(t, ok)
		for todo := []int{start}; len(todo) > 0; todo = todo[1:] {
			if seen[todo[0]] {
				continue
			}
			seen[todo[0]] = true
			for i := range 3 {
				u, j, ok := s.Across(todo[0], i)
				require.Equal(t, rim[[2]int{todo[0], i}], !ok)
				if !ok {
					continue
				}
				back, k, ok := s.Across(u, j)
				require.True(t, ok)
				require.Equal(t, [2]int{todo[0], i}, [2]int{back, k})
				require.Equal(t, s.Corners(todo[0])[i], s.Corners(u)[(j+1)%3])
				todo = append(todo, u)
			}
		}
		if opts.MaxEdge > 0 {
			require.Len(t, seen, 8)
		}
	}
}

func TestAtIsWhereTheGroundIs(t *testing.T) {
	whole, cut := comb(t, tin.Options{}), comb(t, tin.Options{MaxEdge: 10})
	for _, c := range []struct {
		place         orb.Point
		inHull, uncut bool
	}{
		{orb.Point{1, 0.5}, true, true}, {orb.Point{4, 1}, true, true},
		{orb.Point{20, 2}, true, false}, {orb.Point{20, 20}, false, false}, {orb.Point{-1, 1}, false, false},
	} {
		_, ok := whole.At(whole.Frame().Local(c.place))
		assert.Equal(t, c.inHull, ok, "%v", c.place)
		_, ok = cut.At(cut.Frame().Local(c.place))
		assert.Equal(t, c.uncut, ok, "%v, cut", c.place)
	}
}

func TestLocalLimitsAreThoseGiven(t *testing.T) {
	square := func(from, to float64) orb.Polygon {
		return orb.Polygon{{{from, from}, {to, from}, {to, to}, {from, to}, {from, from}}}
	}
	s := comb(t, tin.Options{Boundary: orb.MultiPolygon{square(0.5, 3.5)}, Voids: orb.MultiPolygon{square(1, 2)}})
	boundary, voids := s.LocalLimits()
	for _, c := range []struct {
		limits   orb.MultiPolygon
		from, to float64
	}{{boundary, 0.5, 3.5}, {voids, 1, 2}} {
		require.Len(t, c.limits, 1)
		require.Len(t, c.limits[0], 1)
		require.Len(t, c.limits[0][0], 4)
		box := c.limits[0][0].Bound()
		low, high := s.Frame().Metres(box.Min[0], box.Min[1]), s.Frame().Metres(box.Max[0], box.Max[1])
		assert.InDeltaSlice(t, []float64{c.from, c.from, c.to, c.to}, []float64{low[0], low[1], high[0], high[1]}, 1e-12)
	}
	none, _ := comb(t, tin.Options{}).LocalLimits()
	assert.Empty(t, none)
}
