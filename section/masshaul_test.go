package section_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"barrow/section"
)

func haul(t testing.TB, spans []section.Volume, h section.Haulage) *section.MassHaulCurve {
	t.Helper()
	c, err := section.MassHaul(spans, h)
	require.NoError(t, err)
	return c
}

// 100 m3 of cut over the first 100 m fill the next 100 m: the mean haul is 100 m, the
// nearest goes no way and the farthest 200 m.
func TestMassHaulTriangle(t *testing.T) {
	run := []section.Volume{{From: 0, To: 100, Cut: 100}, {From: 100, To: 200, Fill: 100}}
	c := haul(t, run, section.Haulage{FreeHaul: 50})
	require.Equal(t, []float64{200}, c.Balance)
	require.InDelta(t, 100, c.Hauled, 1e-12)
	require.InDelta(t, 100*100, c.Moment, 1e-9)
	require.Len(t, c.Moves, 1)
	require.Equal(t, [2]float64{100, 0}, c.Moves[0].From)
	require.Equal(t, [2]float64{100, 200}, c.Moves[0].To)
	require.InDelta(t, 100, c.Moves[0].Distance(), 1e-12)
	// Three quarters of it go beyond 50 m, on average 75 m beyond.
	require.InDelta(t, 75, c.OverhaulVolume, 1e-12)
	require.InDelta(t, 75*75, c.Overhaul, 1e-9)
	require.Equal(t, section.Ordinate{Chainage: 100, Cut: 100, Ordinate: 100}, c.Ordinates[1])
	// With a longest haul of 120 m, 40 m3 are wasted and 40 m3 brought in.
	c = haul(t, run, section.Haulage{Longest: 120})
	require.InDelta(t, 60, c.Hauled, 1e-12)
	require.InDelta(t, 40, c.Waste, 1e-12)
	require.InDelta(t, 40, c.Import, 1e-12)
	require.InDelta(t, 60*60, c.Moment, 1e-9)
	// The cut makes four fifths: 20 m3 of fill are brought in.
	c = haul(t, run, section.Haulage{CompactedPerBank: 0.8})
	require.InDelta(t, 20, c.Import, 1e-12)
	require.InDelta(t, -20, c.Ordinates[2].Ordinate, 1e-12)
	require.InDeltaSlice(t, []float64{180}, c.Balance, 1e-12)
}

// Cut and fill between the same two sections go across, not along.
func TestMassHaulAcross(t *testing.T) {
	c := haul(t, []section.Volume{{From: 0, To: 20, Cut: 30, Fill: 12}, {From: 20, To: 40, Cut: 5, Fill: 23}}, section.Haulage{})
	require.InDelta(t, 17, c.Across, 1e-12)
	require.InDelta(t, 18, c.Hauled, 1e-12)
	require.InDelta(t, 18*20, c.Moment, 1e-9)
	require.Zero(t, c.Waste+c.Import)
}

// area is the area between the curve and the balance line.
func area(c *section.MassHaulCurve) float64 {
	sum := 0.0
	for i := 1; i < len(c.Ordinates); i++ {
		p, q := c.Ordinates[i-1], c.Ordinates[i]
		d, e, w := p.Ordinate, q.Ordinate, q.Chainage-p.Chainage
		if d*e < 0 {
			sum += w * (d*d + e*e) / (2 * math.Abs(d-e))
			continue
		}
		sum += w * math.Abs(d+e) / 2
	}
	return sum
}

// On random curves that come back to 0, the moment of all hauls is the area between
// curve and balance line; run backwards it is the same; nothing is lost.
func TestMassHaulLaws(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 9))
	for range 200 {
		var run, back []section.Volume
		at, net, factor := 0.0, 0.0, 0.7+0.5*r.Float64()
		for range 3 + r.IntN(30) {
			s := section.Volume{From: at, To: at + 1 + 9*r.Float64(), Cut: 100 * r.Float64(), Fill: 80 * r.Float64()}
			at, net = s.To, net+s.Cut*factor-s.Fill
			run = append(run, s)
		}
		last := section.Volume{From: at, To: at + 10, Fill: max(net, 0), Cut: max(-net, 0) / factor}
		run, at = append(run, last), at+10
		for i := range run {
			s := run[len(run)-1-i]
			s.From, s.To = at-s.To, at-s.From
			if i > 0 {
				s.From = back[i-1].To
			}
			back = append(back, s)
		}
		h := section.Haulage{CompactedPerBank: factor, FreeHaul: 15 * r.Float64()}
		c, d := haul(t, run, h), haul(t, back, h)
		require.InDelta(t, 0, c.Waste+c.Import, 1e-9)
		require.InEpsilon(t, area(c), c.Moment, 1e-9)
		require.InEpsilon(t, c.Moment, d.Moment, 1e-9)
		require.InDelta(t, c.Overhaul, d.Overhaul, 1e-6)
		require.InDelta(t, c.OverhaulVolume, d.OverhaulVolume, 1e-7)
		made, filled := 0.0, 0.0
		for _, s := range run {
			made, filled = made+s.Cut*factor, filled+s.Fill
		}
		require.InEpsilon(t, made, c.Across+c.Hauled+c.Waste, 1e-12)
		require.InEpsilon(t, filled, c.Across+c.Hauled+c.Import, 1e-12)
		short := haul(t, run, section.Haulage{CompactedPerBank: factor, Longest: 12})
		require.InEpsilon(t, made, short.Across+short.Hauled+short.Waste, 1e-12)
		require.InEpsilon(t, filled, short.Across+short.Hauled+short.Import, 1e-12)
		for _, m := range short.Moves {
			require.LessOrEqual(t, math.Abs(m.To[1]-m.From[1]), 12+1e-9)
		}
	}
}
