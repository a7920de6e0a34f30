package raster

import "math"

// Along returns from + steps*step. If both lengths are decimals of up to nine
// places and steps is a multiple of a half, it is the double nearest to the exact
// sum, so that 0.1 + 2 x 0.1 is 0.3; else the product and the sum are rounded one
// after the other.
func Along(from, steps, step float64) float64 {
	for per := 1.0; per <= 1e9; per *= 10 {
		a, b := math.Round(from*per), math.Round(step*per)
		if a/per != from || b/per != step {
			continue
		}
		// Doubled, all are whole numbers: the sum is exact, and rounded once.
		if sum := 2*a + float64(2*steps*b); math.Abs(2*a) < 1<<52 && math.Abs(sum) < 1<<52 {
			return sum / (2 * per)
		}
		break
	}
	return from + float64(steps*step)
}
