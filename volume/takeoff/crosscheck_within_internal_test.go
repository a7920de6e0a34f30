package takeoff

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
	"github.com/stretchr/testify/require"

	"barrow/section"
)

// lobes is a ring of n corners round a place, in and out by a tenth.
func lobes(e, n, radius float64, corners int) (ring orb.Ring) {
	for i := range corners {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(corners))
		r := radius * (1 + 0.1*math.Sin(float64(i)))
		ring = append(ring, orb.Point{e + r*cos, n + r*sin})
	}
	return append(ring, ring[0])
}

// everywhere is a formation at level 3 + offset / 10, in two stretches.
type everywhere struct{}

func (everywhere) Profile(from, to orb.Point, _ section.Side) ([]section.Stretch, error) {
	length := planar.Distance(from, to)
	return []section.Stretch{{From: 0, To: length / 3, Level: 3, Slope: 0.1}, {From: length / 3, To: length, Level: 3 + length/30, Slope: 0.1}}, nil
}

func (everywhere) Bound() orb.Bound { return orb.Bound{Max: orb.Point{100, 100}} }

// Places and profiles within two polygons, one with a hole, against the containment test
// of another library.
func TestWithin(t *testing.T) {
	within := orb.MultiPolygon{{lobes(30, 30, 20, 60), lobes(32, 28, 8, 30)}, {lobes(75, 60, 15, 3)}}
	at := newWithinAt(within)
	r := rand.New(rand.NewPCG(1, 2))
	place := func() orb.Point { return orb.Point{100 * r.Float64(), 100 * r.Float64()} }
	for range 20_000 {
		p := place()
		require.Equal(t, planar.MultiPolygonContains(within, p), at.holds(p), "%v", p)
	}
	require.False(t, at.holds(orb.Point{30, -1e9}))
	for range 500 {
		from, to := place(), place()
		stretches, err := withinProfile{everywhere{}, within}.Profile(from, to, section.Ahead)
		require.NoError(t, err)
		length := planar.Distance(from, to)
		for k := range 40 {
			offset := (float64(k) + r.Float64()) / 40 * length
			count := 0
			for _, s := range stretches {
				require.Less(t, s.From, s.To)
				if offset > s.From && offset < s.To {
					count++
					require.InDelta(t, 3+offset/10, s.LevelAt(offset), 1e-9)
				}
			}
			p := orb.Point{from[0] + offset/length*(to[0]-from[0]), from[1] + offset/length*(to[1]-from[1])}
			require.Equal(t, planar.MultiPolygonContains(within, p), count == 1, "%v", p)
		}
	}
}

// A place within a boundary of many corners costs what lies beside it.
func BenchmarkWithin(b *testing.B) {
	for _, corners := range []int{100, 10_000} {
		b.Run(fmt.Sprintf("corners=%d", corners), func(b *testing.B) {
			at := newWithinAt(orb.MultiPolygon{{lobes(50, 50, 40, corners)}})
			r := rand.New(rand.NewPCG(1, 2))
			for b.Loop() {
				at.holds(orb.Point{100 * r.Float64(), 100 * r.Float64()})
			}
		})
	}
}
