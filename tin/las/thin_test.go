package las_test

import (
	"math"
	"math/big"
	"math/rand/v2"
	"slices"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/las"
)

// thinned is what thinning must keep, found with exact arithmetic and by looking
// at all points of each cell.
func thinned(s spec, cell float64, keep las.Keep) []tin.Point {
	at := func(axis int, x int32) *big.Rat {
		v := new(big.Rat).Mul(decimalOf(s.scale[axis]), new(big.Rat).SetInt64(int64(x)))
		return v.Add(v, decimalOf(s.offset[axis]))
	}
	type place struct{ i, j string }
	groups := map[place][]raw{}
	side := decimalOf(cell)
	index := func(v *big.Rat) *big.Int {
		q := new(big.Rat).Quo(v, side)
		return new(big.Int).Div(q.Num(), q.Denom()) // Euclid's division: rounds down, the divisor being above 0
	}
	fromCentre := func(p raw) *big.Rat {
		sum := new(big.Rat)
		for axis, x := range []int32{p.x, p.y} {
			v := at(axis, x)
			centre := new(big.Rat).Add(new(big.Rat).SetInt(index(v)), big.NewRat(1, 2))
			d := v.Sub(v, centre.Mul(centre, side))
			sum.Add(sum, d.Mul(d, d))
		}
		return sum
	}
	for _, p := range s.points {
		k := place{index(at(0, p.x)).String(), index(at(1, p.y)).String()}
		groups[k] = append(groups[k], p)
	}
	var out []tin.Point
	for _, g := range groups {
		best := slices.MinFunc(g, func(a, b raw) int {
			if keep == las.KeepNearest {
				if c := fromCentre(a).Cmp(fromCentre(b)); c != 0 {
					return c
				}
			}
			return slices.Compare([]int32{a.z, a.x, a.y}, []int32{b.z, b.x, b.y})
		})
		var v [3]float64
		for axis, x := range []int32{best.x, best.y, best.z} {
			v[axis], _ = at(axis, x).Float64()
		}
		out = append(out, tin.Point{E: v[0], N: v[1], Level: v[2], Code: "class 2"})
	}
	slices.SortFunc(out, func(a, b tin.Point) int { return slices.Compare([]float64{a.E, a.N}, []float64{b.E, b.N}) })
	return out
}

// decimalOf is the shortest decimal that gives v again.
func decimalOf(v float64) *big.Rat {
	r, ok := new(big.Rat).SetString(strconv.FormatFloat(v, 'g', -1, 64))
	if !ok {
		panic(v)
	}
	return r
}

func TestThinning(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 5))
	for _, c := range []struct {
		name          string
		scale, offset [3]float64
		cell          float64
	}{
		{"millimetres, metres", [3]float64{0.001, 0.001, 0.001}, [3]float64{500000, 4200000, 0}, 1},
		{"hundredths, no offset", [3]float64{0.01, 0.01, 0.01}, [3]float64{}, 0.3},
		{"a cell of one step", [3]float64{0.01, 0.01, 0.01}, [3]float64{5, 5, 5}, 0.01},
		{"steps of two kinds", [3]float64{0.0005, 0.002, 0.1}, [3]float64{0.25, -0.125, 1}, 0.7},
		{"a cell with more decimals than the points", [3]float64{0.1, 0.1, 0.1}, [3]float64{12.5, 3.2, 0}, 0.30048006},
		{"all in one cell", [3]float64{0.001, 0.001, 0.001}, [3]float64{10, 10, 10}, 1e6},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := site(6)
			s.scale, s.offset = c.scale, c.offset
			for range 2000 { // few places and levels, so that ties and sides of cells are met
				s.points = append(s.points, raw{x: int32(rng.IntN(81) - 40), y: int32(rng.IntN(81) - 40), z: int32(rng.IntN(5)), class: 2})
			}
			if c.cell == 1 { // and far apart
				for i := range s.points {
					s.points[i].x, s.points[i].y = 250*s.points[i].x, 250*s.points[i].y
				}
			}
			for _, keep := range []las.Keep{las.KeepLowest, las.KeepNearest} {
				opts := las.Options{Thin: &las.Thinning{Cell: c.cell, Keep: keep}}
				want := thinned(s, c.cell, keep)
				for range 3 {
					f := mustRead(t, s.bytes(), opts)
					require.Equal(t, want, f.Points)
					assert.EqualValues(t, len(s.points)-len(want), f.Counts.Thinned)
					rng.Shuffle(len(s.points), func(i, j int) { s.points[i], s.points[j] = s.points[j], s.points[i] })
				}
			}
		})
	}
}

// Scales that are no decimals: cells are found with doubles, and still in any
// order the same points are kept, one a cell.
func TestThinningOddScales(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 2))
	s := site(1)
	s.scale = [3]float64{9.2319547e-8 * math.Pi, 8.13e-8 * math.E, 4.1e-8 / 3}
	s.offset = [3]float64{1.0 / 3, -2.0 / 7, 10}
	for range 5000 {
		s.points = append(s.points, raw{x: int32(rng.Uint32()), y: int32(rng.Uint32()), z: int32(rng.Uint32()), class: 2})
	}
	for _, keep := range []las.Keep{las.KeepLowest, las.KeepNearest} {
		opts := las.Options{Thin: &las.Thinning{Cell: 7.5, Keep: keep}}
		want := mustRead(t, s.bytes(), opts).Points
		cells := map[[2]float64]bool{}
		for _, p := range want {
			k := [2]float64{math.Floor(p.E / 7.5), math.Floor(p.N / 7.5)}
			assert.False(t, cells[k], "two points in cell %v", k)
			cells[k] = true
		}
		all := mustRead(t, s.bytes(), las.Options{}).Points
		for _, p := range all {
			assert.True(t, cells[[2]float64{math.Floor(p.E / 7.5), math.Floor(p.N / 7.5)}], "no point in the cell of %v", p)
		}
		rng.Shuffle(len(s.points), func(i, j int) { s.points[i], s.points[j] = s.points[j], s.points[i] })
		assert.Equal(t, want, mustRead(t, s.bytes(), opts).Points)
	}
}

// The side of a cell belongs to the cell east and north of it, decimals or not:
// 848935.2 is a whole multiple of 0.1, which its double divided by that of 0.1 does
// not say for all of them.
func TestThinningSides(t *testing.T) {
	s := site(1)
	s.scale, s.offset = [3]float64{0.1, 0.1, 0.1}, [3]float64{}
	for x := range int32(5000) {
		s.points = append(s.points, raw{x: 8489352 + x, class: 2})
	}
	f := mustRead(t, s.bytes(), las.Options{Thin: &las.Thinning{Cell: 0.3, Keep: las.KeepLowest}})
	for i, p := range f.Points[:len(f.Points)-1] { // 8489352 is a multiple of 3
		require.Equal(t, float64(8489352+3*i)/10, p.E)
	}
}

func TestThinningRefused(t *testing.T) {
	data := site(1, ground(10)...).bytes()
	for _, thin := range []las.Thinning{
		{Cell: 0}, {Cell: -1}, {Cell: math.NaN()}, {Cell: math.Inf(1)},
		{Cell: 0.0005}, // below the steps of the file
		{Cell: 5e-324}, {Cell: 1, Keep: 7},
	} {
		_, err := read(data, las.Options{Thin: &thin})
		assert.Equal(t, "bad_cell", codeOf(err), "%v", thin)
	}
	_, err := read(data, las.Options{Thin: &las.Thinning{Cell: 1e300}})
	assert.NoError(t, err)
}
