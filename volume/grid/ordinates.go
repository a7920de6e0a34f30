package grid

import (
	"fmt"
	"math"

	"barrow/tin"
)

// Ordinates are the two sums over areas at one interval, cubic metres.
type Ordinates struct {
	Trapezoidal float64 // interval x ((first + last) / 2 + those between)
	// Prismoidal is Simpson's rule: interval / 3 x (first + 4 x the even ones +
	// 2 x the odd ones between + last). It wants an odd number of values; of an
	// even number the last strip is a trapezoid.
	Prismoidal float64
	LastStrip  float64 // of Prismoidal, the part that is a trapezoid; 0 if none
}

// Contours sums the areas inside contours, square metres, at levels that rise or
// fall by one interval, metres, to the volume between the first and the last,
// cubic metres. What lies beyond the last contour is not in it.
func Contours(levels, areas []float64) (Ordinates, error) {
	if len(levels) != len(areas) || len(levels) < 2 {
		return Ordinates{}, &tin.InputError{Code: "too_few_values", Message: fmt.Sprintf("%d levels and %d areas", len(levels), len(areas)), Hint: "give as many of each, and at least two"}
	}
	step := (levels[len(levels)-1] - levels[0]) / float64(len(levels)-1)
	if step == 0 || math.IsNaN(step) || math.IsInf(step, 0) {
		return Ordinates{}, &tin.InputError{Code: "bad_interval", Message: fmt.Sprintf("contours from level %v to %v have no interval", levels[0], levels[len(levels)-1]), Hint: "give levels in order"}
	}
	for i := 1; i < len(levels); i++ {
		if d := levels[i] - levels[i-1]; !(math.Abs(d-step) <= 1e-6*math.Abs(step)) {
			return Ordinates{}, &tin.InputError{
				Code: "uneven_contours", Message: fmt.Sprintf("contours %v and %v are %v apart, the others %v", levels[i-1], levels[i], d, step),
				Hint: "give contours at one interval, or sum them in parts",
			}
		}
	}
	for i, a := range areas {
		if math.IsNaN(a) || math.IsInf(a, 0) {
			return Ordinates{}, &tin.InputError{Code: "bad_value", Message: fmt.Sprintf("area %d is %v", i+1, a), Hint: "give finite numbers"}
		}
	}
	return sums(math.Abs(step), areas), nil
}

// sums adds up at least two values at an interval.
func sums(interval float64, values []float64) Ordinates {
	var all, thirds tin.Sum
	last := len(values) - 1
	for i := 1; i <= last; i++ {
		all.Add((values[i-1] + values[i]) / 2)
	}
	for i := 2; i <= last; i += 2 {
		thirds.Add(values[i-2] + 4*values[i-1] + values[i])
	}
	o := Ordinates{Trapezoidal: interval * all.Value()}
	if last%2 == 1 {
		o.LastStrip = interval * (values[last-1] + values[last]) / 2
	}
	o.Prismoidal = interval*thirds.Value()/3 + o.LastStrip
	return o
}
