package grid

import (
	"fmt"
	"math"

	"barrow/tin"
)

// Ordinates are the two sums over values at one interval: an area over offsets
// from a line, or a volume over areas.
type Ordinates struct {
	Trapezoidal float64 // interval x ((first + last) / 2 + those between)
	// Prismoidal is Simpson's rule: interval / 3 x (first + 4 x the even ones +
	// 2 x the odd ones between + last). It wants an odd number of values; of an
	// even number the last strip is a trapezoid.
	Prismoidal float64
	LastStrip  float64 // of Prismoidal, the part that is a trapezoid; 0 if none
}

// Offsets sums offsets from a straight line, metres, at one interval along it,
// to the area between, square metres.
func Offsets(interval float64, offsets []float64) (Ordinates, error) {
	if !(interval > 0) || math.IsInf(interval, 0) {
		return Ordinates{}, &tin.InputError{Code: "bad_interval", Message: fmt.Sprintf("an interval of %v is none", interval), Hint: "give a length greater than 0"}
	}
	return sums(interval, offsets)
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
	return sums(math.Abs(step), areas)
}

func sums(interval float64, values []float64) (Ordinates, error) {
	if len(values) < 2 {
		return Ordinates{}, &tin.InputError{Code: "too_few_values", Message: fmt.Sprintf("%d of at least two values", len(values)), Hint: "give at least two"}
	}
	for i, v := range values {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return Ordinates{}, &tin.InputError{Code: "bad_value", Message: fmt.Sprintf("value %d is %v", i+1, v), Hint: "give finite numbers"}
		}
	}
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
	return o, nil
}
