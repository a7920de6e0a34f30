package formation_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin/formation"
)

func TestFormationLevel(t *testing.T) {
	for _, c := range []struct {
		name     string
		finished float64
		layers   []float64
		want     float64
	}{
		{"no build-up", 63.15, nil, 63.15},
		{"slab and sand", 63.15, []float64{0.175, 0.05}, 62.925},
		{"below zero", -1.2, []float64{0.1, 0.2}, -1.5},
		{"down to nothing", 0.3, []float64{0.1, 0.2}, 0},
		{"tenths", 10, []float64{0.1, 0.1, 0.1, 0.1, 0.1, 0.1, 0.1, 0.1, 0.1, 0.1}, 9},
		{"feet, converted", 63.13932, []float64{0.1524, 0.0508}, 62.93612},
		// Common practice, no source: a 200 mm slab on 50 mm of sand puts
		// formation 250 mm below finished level.
		{"200 mm slab on 50 mm sand", 100, []float64{0.200, 0.050}, 99.750},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := buildUp(c.layers...)
			assert.Equal(t, c.want, formation.FormationLevel(c.finished, b))
			if rungs := b.Ladder(c.finished); assert.Len(t, rungs, len(c.layers)) && len(rungs) > 0 {
				assert.Equal(t, c.finished, rungs[0].Top)
				assert.Equal(t, c.want, rungs[len(rungs)-1].Underside)
				for i := 1; i < len(rungs); i++ {
					assert.Equal(t, rungs[i-1].Underside, rungs[i].Top, "rung %d", i)
				}
			}
		})
	}
	assert.NotEqual(t, 62.925, plainSum(63.15, -0.175, -0.05), "plain doubles would do as well, and this test shows nothing")
}

// plainSum keeps the compiler from adding the constants exactly.
func plainSum(terms ...float64) (sum float64) {
	for _, x := range terms {
		sum += x
	}
	return sum
}

func TestFormationLevelNotDecimal(t *testing.T) {
	third := 1.0 / 3
	got := formation.FormationLevel(1, buildUp(third, third))
	assert.InDelta(t, third, got, 1e-16)
	got = formation.FormationLevel(1e7+third, buildUp(0.1))
	assert.InDelta(t, 1e7+third-0.1, got, 2e-9)
	assert.True(t, math.IsNaN(formation.FormationLevel(math.NaN(), buildUp(0.1))))
	assert.True(t, math.IsNaN(formation.FormationLevel(math.Inf(1), buildUp(0.1))))
}

// Every rung of random build-ups in whole tenths of a millimetre is the double
// that the decimal text reads as.
func TestLadderIsDecimal(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	read := func(tenths int64) float64 {
		s := fmt.Sprintf("%de-4", tenths)
		x, err := strconv.ParseFloat(s, 64)
		require.NoError(t, err)
		return x
	}
	for range 2000 {
		at := r.Int64N(40_000_000) - 5_000_000
		finished := read(at)
		var b formation.BuildUp
		want := []int64{at}
		for range r.IntN(8) + 1 {
			k := r.Int64N(15_000) + 1
			b = append(b, formation.Layer{Thickness: read(k)})
			at -= k
			want = append(want, at)
		}
		for i, rung := range b.Ladder(finished) {
			require.Equal(t, read(want[i]), rung.Top)
			require.Equal(t, read(want[i+1]), rung.Underside)
		}
		require.Equal(t, read(at), formation.FormationLevel(finished, b))
		require.Equal(t, read(want[0]-at), b.Thickness())
	}
}

func TestThickness(t *testing.T) {
	assert.Equal(t, 0.3, buildUp(0.1, 0.2).Thickness())
	assert.Equal(t, 0.0, formation.BuildUp(nil).Thickness())
	assert.Nil(t, formation.BuildUp(nil).Ladder(1))
}

// The level notes of "Borrow-pit leveling", Example Noteforms, Plate B.2, p.
// 890 of a surveying textbook (believed to be Ghilani and Wolf, Elementary
// Surveying): backsight 4.22 on a benchmark at 360.48, formation 358; all
// printed levels and cuts, in feet.
func TestBorrowPitNotes(t *testing.T) {
	const backsight, toFormation = 4.22, 358.0
	height := formation.Mark{Plan: 360.48, Measured: -backsight}.Shift() // height of instrument
	assert.Equal(t, 364.70, height)
	level := func(reading float64) float64 {
		return formation.FormationLevel(height, buildUp(reading))
	}
	assert.Equal(t, 360.48, level(4.22), "closing sight")
	assert.Equal(t, 6.70, formation.Mark{Plan: height, Measured: toFormation}.Shift(), "staff reading to formation")
	for _, c := range []struct {
		point               string
		reading, level, cut float64
	}{
		{"A0", 5.2, 359.5, 1.5}, {"B0", 5.4, 359.3, 1.3}, {"C0", 5.7, 359.0, 1.0}, {"D0", 5.9, 358.8, 0.8}, {"E0", 6.2, 358.5, 0.5},
		{"A1", 4.7, 360.0, 2.0}, {"B1", 4.8, 359.9, 1.9}, {"C1", 5.2, 359.5, 1.5}, {"D1", 5.5, 359.2, 1.2}, {"E1", 5.8, 358.9, 0.9},
		{"A2", 4.2, 360.5, 2.5}, {"B2", 4.7, 360.0, 2.0}, {"C2", 4.8, 359.9, 1.9}, {"D2", 5.0, 359.7, 1.7},
		{"A3", 3.8, 360.9, 2.9}, {"B3", 4.0, 360.7, 2.7}, {"C3", 4.6, 360.1, 2.1}, {"D3", 4.6, 360.1, 2.1},
		{"A4", 3.4, 361.3, 3.3}, {"B4", 3.7, 361.0, 3.0}, {"C4", 4.2, 360.5, 2.5},
	} {
		got := level(c.reading)
		assert.Equal(t, c.level, got, c.point)
		assert.InDelta(t, c.cut, got-toFormation, 1e-9, c.point)
	}
}

func buildUp(thicknesses ...float64) formation.BuildUp {
	var b formation.BuildUp
	for i, x := range thicknesses {
		b = append(b, formation.Layer{Name: fmt.Sprintf("layer %d", i+1), Thickness: x})
	}
	return b
}
