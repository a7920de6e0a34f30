package volume_test

import (
	"context"
	"math"
	"math/big"
	"math/rand/v2"
	"runtime"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/volume"
)

func compare(t testing.TB, a, b *tin.Surface, within ...orb.Polygon) volume.Difference {
	t.Helper()
	d, err := volume.Compare(t.Context(), a, b, within)
	require.NoError(t, err)
	return d
}

// corners is a surface over a box with these levels at its corners, anticlockwise
// from the lower left.
func corners(t testing.TB, e0, n0, e1, n1 float64, z ...float64) *tin.Surface {
	t.Helper()
	s, err := tin.FromPoints([]tin.Point{
		{E: e0, N: n0, Level: z[0]}, {E: e1, N: n0, Level: z[1]}, {E: e1, N: n1, Level: z[2]}, {E: e0, N: n1, Level: z[3]},
	})
	require.NoError(t, err)
	return s
}

// Two planes whose difference is 0.1 e - 1 over 40 m by 30 m. Uniform over a
// range of 4 it has the standard deviation 4 / sqrt 12.
func TestCompareTwoPlanes(t *testing.T) {
	a, b := corners(t, 0, 0, 40, 30, 10, 14, 14, 10), corners(t, -5, -5, 45, 35, 11, 11, 11, 11)
	for _, within := range [][]orb.Polygon{nil, {box(0, 0, 40, 30)}} {
		d := compare(t, a, b, within...)
		near := func(want, got float64) { t.Helper(); require.InDelta(t, want, got, 1e-12*max(1, math.Abs(want))) }
		near(1350, d.Cut)
		near(150, d.Fill)
		near(1200, d.CutLessFill)
		near(900, d.CutArea)
		near(300, d.FillArea)
		near(1200, d.Area)
		near(1, d.Mean)
		near(4/math.Sqrt(12), d.StandardDeviation)
		require.Equal(t, []float64{-1, 3}, []float64{d.Least, d.Greatest})
		require.Zero(t, d.UncoveredArea)
	}
}

// A cone of four sides: depth falls from 3 at the middle to 0 at the rim. Over a
// triangle with corner values 3, 0, 0 the mean is 1 and the mean square 9/6.
func TestComparePyramid(t *testing.T) {
	points := []tin.Point{{E: 0, N: 0, Level: 5}, {E: 20, N: 0, Level: 5}, {E: 20, N: 20, Level: 5}, {E: 0, N: 20, Level: 5}, {E: 10, N: 10, Level: 8}}
	a, err := tin.FromPoints(points)
	require.NoError(t, err)
	d := compare(t, a, corners(t, 0, 0, 20, 20, 5, 5, 5, 5))
	require.InDelta(t, 400, d.Cut, 1e-10)
	require.InDelta(t, 1, d.Mean, 1e-14)
	require.InDelta(t, math.Sqrt(0.5), d.StandardDeviation, 1e-14)
}

// On one triangulation the sums are those over its triangles, here in rational
// numbers by the rule of the sides' middles, another than the code's.
func TestCompareSpreadAgainstRationals(t *testing.T) {
	onSites(t, 40, func(t *testing.T, rng *rand.Rand, s site) {
		s.options.Boundary, s.options.Voids = nil, nil
		a, _, c := s.trio(t, rng)
		area, first, square := new(big.Rat), new(big.Rat), new(big.Rat)
		for i, tri := range a.Triangles() {
			var p [3]ratPoint
			var z [3]*big.Rat
			other := c.Triangle(i)
			require.Equal(t, tri.Vertex, other.Vertex)
			for k, v := range tri.Corner {
				p[k], z[k] = ratPoint{rat(v.E), rat(v.N)}, sub(rat(v.Level), rat(other.Corner[k].Level))
			}
			twice := side(p[0], p[1]).at(p[2])
			area.Add(area, quo(twice, big.NewRat(2, 1)))
			for k := range 3 {
				middle := quo(add(z[k], z[(k+1)%3]), big.NewRat(2, 1))
				first.Add(first, mul(quo(twice, big.NewRat(6, 1)), middle))
				square.Add(square, mul(quo(twice, big.NewRat(6, 1)), mul(middle, middle)))
			}
		}
		mean := quo(first, area)
		variance, _ := sub(quo(square, area), mul(mean, mean)).Float64()
		want, _ := mean.Float64()
		d := compare(t, a, c)
		require.InDelta(t, want, d.Mean, 1e-12)
		require.InEpsilon(t, math.Sqrt(variance), d.StandardDeviation, 1e-9)
	})
}

// The two the other way round: cut for fill to the last bit.
func TestCompareSwapped(t *testing.T) {
	onSites(t, 60, func(t *testing.T, rng *rand.Rand, s site) {
		a, b, c := s.limited(rng).trio(t, rng)
		for _, pair := range [][2]*tin.Surface{{a, b}, {b, c}, {a, c}, {a, a}} {
			for _, within := range [][]orb.Polygon{nil, {s.outline}} {
				want, got := compare(t, pair[0], pair[1], within...), compare(t, pair[1], pair[0], within...)
				require.Equal(t, quantities(want.CutFill), quantities(exchanged(got.CutFill)))
				require.Equal(t, want.Spread, volume.Spread{Area: got.Area, Mean: 0 - got.Mean, StandardDeviation: got.StandardDeviation,
					Least: 0 - got.Greatest, Greatest: 0 - got.Least})
			}
		}
	})
}

// Volumes are those of Between, and the mean is their difference over the area.
func TestCompareAgreesWithBetween(t *testing.T) {
	onSites(t, 40, func(t *testing.T, rng *rand.Rand, s site) {
		a, b, _ := s.limited(rng).trio(t, rng)
		want, got := between(t, a, b, s.outline), compare(t, a, b, s.outline)
		alike(t, want, got.CutFill, 1e-12)
		require.InDelta(t, got.CutLessFill, got.Mean*got.Area, 1e-12*(got.Cut+got.Fill))
		require.InDelta(t, got.Area, got.CutArea+got.FillArea+got.LevelArea, 1e-9*got.Area)
		require.LessOrEqual(t, got.Least, got.Mean)
		require.LessOrEqual(t, got.Mean, got.Greatest)
	})
}

// A shift by whole metres changes no bit, one by a decimal nothing but rounding,
// and one of levels the mean: datums far apart leave the spread as it is.
func TestCompareShifted(t *testing.T) {
	onSites(t, 40, func(t *testing.T, rng *rand.Rand, s site) {
		second := randomSite(rng).points
		moved := func(e, n, z float64) volume.Difference {
			to := func(p orb.Point) orb.Point { return orb.Point{milli(p[0] + e), milli(p[1] + n)} }
			a, b := s.moved(to), site{points: second, outline: s.outline}.moved(to)
			for i := range a.points {
				a.points[i].Level = milli(a.points[i].Level + z)
			}
			return compare(t, a.surface(t), b.surface(t), a.outline)
		}
		want := moved(0, 0, 0)
		require.Positive(t, want.StandardDeviation)
		whole := moved(312000, 5812000, 0)
		require.Equal(t, quantities(want.CutFill), quantities(whole.CutFill))
		require.Equal(t, want.Spread, whole.Spread)
		part := moved(312000.125, 5812000.5, 0)
		alike(t, want.CutFill, part.CutFill, 1e-12)
		require.InDelta(t, want.StandardDeviation, part.StandardDeviation, 1e-12)
		lifted := moved(0, 0, 52.366)
		require.InDelta(t, want.Mean+52.366, lifted.Mean, 1e-12)
		require.InDelta(t, want.StandardDeviation, lifted.StandardDeviation, 1e-12)
	})
}

// Several polygons are one area, in whichever order.
func TestCompareWithinSeveral(t *testing.T) {
	onSites(t, 40, func(t *testing.T, rng *rand.Rand, s site) {
		a, b, _ := s.around(rng).trio(t, rng)
		p, q := box(5, 8, 30, 91), box(41.5, 8, 97, 60)
		one, other, both := compare(t, a, b, p), compare(t, a, b, q), compare(t, a, b, p, q)
		alike(t, sum(one.CutFill, other.CutFill), both.CutFill, 1e-12)
		area := one.Area + other.Area
		require.InEpsilon(t, area, both.Area, 1e-12)
		mean := (one.Mean*one.Area + other.Mean*other.Area) / area
		square := func(s volume.Spread) float64 {
			return (s.StandardDeviation*s.StandardDeviation + s.Mean*s.Mean) * s.Area / area
		}
		require.InDelta(t, mean, both.Mean, 1e-12)
		require.InDelta(t, math.Sqrt(square(one.Spread)+square(other.Spread)-mean*mean), both.StandardDeviation, 1e-10)
		require.Equal(t, both, compare(t, a, b, q, p))
	})
}

// The same bits on one processor and on many, with polygons and without.
func TestCompareThreads(t *testing.T) {
	build := func(points []tin.Point) *tin.Surface {
		s, err := tin.Build(t.Context(), []tin.Source{{Points: points}}, tin.Options{Duplicates: tin.DuplicatesMean})
		require.NoError(t, err)
		return s
	}
	a, b := build(groundOf(6000, "uniform")), build(groundOf(6001, "clusters"))
	for _, within := range [][]orb.Polygon{nil, {box(300010, 5800010, 300060, 5800070), box(300060.5, 5800010, 300070, 5800070)}} {
		procs := runtime.GOMAXPROCS(1)
		one := compare(t, a, b, within...)
		runtime.GOMAXPROCS(8)
		many := compare(t, a, b, within...)
		runtime.GOMAXPROCS(procs)
		require.Equal(t, one, many)
		require.Positive(t, one.Area)
	}
}

func TestCompareApart(t *testing.T) {
	d := compare(t, corners(t, 0, 0, 10, 10, 1, 1, 1, 1), corners(t, 20, 20, 30, 30, 1, 1, 1, 1))
	require.Equal(t, volume.Difference{}, d)
	d = compare(t, corners(t, 0, 0, 10, 10, 1, 1, 1, 1), corners(t, 0, 0, 10, 10, 1, 1, 1, 1), box(5, 5, 15, 10))
	require.InDelta(t, 25, d.Area, 1e-12)
	require.InDelta(t, 25, d.UncoveredArea, 1e-12)
	require.Zero(t, d.Mean+d.StandardDeviation+d.Cut+d.Fill)
}

func TestCompareRefuses(t *testing.T) {
	a := corners(t, 0, 0, 10, 10, 1, 1, 1, 1)
	for _, bad := range []orb.Polygon{{}, {{{0, 0}, {1, 1}}}, {{{0, 0}, {1, 1}, {1, 0}, {0, 1}}}, {{{0, 0}, {math.NaN(), 1}, {1, 0}}}} {
		_, err := volume.Compare(t.Context(), a, a, orb.MultiPolygon{bad})
		var input *tin.InputError
		require.ErrorAs(t, err, &input, "%v", bad)
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	_, err := volume.Compare(ctx, a, a, nil)
	require.ErrorIs(t, err, context.Canceled)
}
