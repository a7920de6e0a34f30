package takeoff_test

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/volume/takeoff"
)

// noisy is ground of spots at random, one to the square metre, or on every whole metre,
// with 0.2 m of noise, and a pad a little above it.
func noisy(r *rand.Rand, side int, pattern bool, finished float64) *takeoff.Job {
	var points []tin.Point
	for i := range side * side {
		e, n := float64(i/side), float64(i%side)
		if !pattern {
			e, n = float64(side-1)*r.Float64(), float64(side-1)*r.Float64()
		}
		points = append(points, spot(e, n, 10+0.2*r.NormFloat64()))
	}
	job := grounded(tin.Metre, points...)
	far := float64(side) - 6
	job.Pads = []takeoff.Pad{{Name: "pad", Outline: ring(5, 5, far, far-20), Finished: finished}}
	return job
}

// Cells wider than the spots lie apart, on ground that is rough about formation: parted
// on the zero line they lost most of the cut, at half the spacing as at the full one, and
// expected a tenth of that.
func TestCrosscheckGridOnRoughGround(t *testing.T) {
	job := noisy(rand.New(rand.NewPCG(1, 1)), 150, false, 10.3)
	for _, spacing := range []float64{0, 5, 1} {
		b := crosscheck(t, job, takeoff.CrosscheckOptions{Spacing: spacing}).Bases[0]
		require.InDelta(t, 18, b.Prism.Cut, 4)
		for _, f := range figures(&b.Methods[2]) {
			assert.False(t, f.Beyond, "%v: %v of at most %v", spacing, f.Difference, f.Expected)
		}
		if spacing < 5 { // of which there are 600 cells only
			assert.Less(t, b.Methods[2].Cut.Expected, 0.5*b.Prism.Cut, "%v", spacing)
		}
	}
}

// Spots in a pattern of 1 m: sections at whole metres lie on lines of spots, where the
// ground is rougher than between them, and so do those half way where the interval is
// even. Where nobody gave an interval they do not.
func TestCrosscheckSectionsOnAPattern(t *testing.T) {
	t.Parallel()
	job := noisy(rand.New(rand.NewPCG(2, 2)), 150, true, 10.2)
	for _, interval := range []float64{0, 2, 4, 5, 8, 20} {
		b := crosscheck(t, job, takeoff.CrosscheckOptions{Interval: interval, Spacing: 2}).Bases[0]
		for _, m := range b.Methods[:2] {
			for _, f := range figures(&m) {
				assert.False(t, f.Beyond, "%v, %s: %v of at most %v", interval, m.Method, f.Difference, f.Expected)
			}
			if interval == 0 {
				assert.InEpsilon(t, b.Prism.Cut, m.Cut.Volume, 0.15, m.Method)
			}
			if interval == 4 {
				assert.Greater(t, m.Cut.Difference, 0.4*b.Prism.Cut, "this one falls on lines of spots")
			}
		}
	}
}

// A trench 1 mm wide, which the corners of cells meet or miss by chance, disagrees with
// nothing.
func TestCrosscheckThinnerThanACell(t *testing.T) {
	r := crosscheck(t, inclined(tin.Metre, takeoff.Pad{Name: "slot", Outline: ring(40, 50, 100, 50.001), Finished: 3}), takeoff.CrosscheckOptions{})
	assert.Empty(t, r.Warnings)
	assert.Greater(t, r.Bases[0].Methods[2].Cut.Expected, 0.1*r.Bases[0].Prism.Cut)
}
