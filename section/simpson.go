package section

import "barrow/tin"

// Trapezoidal returns the area between a line and a boundary from offsets at equal
// spacing: the mean of the first and the last and all between, times the spacing, in
// the square of its unit; 0 of fewer than two (AREA-1 in docs/checks.md).
func Trapezoidal(spacing float64, offsets []float64) float64 {
	if len(offsets) < 2 {
		return 0
	}
	var sum tin.Sum
	for i, o := range offsets {
		if i == 0 || i == len(offsets)-1 {
			o /= 2
		}
		sum.Add(o)
	}
	return spacing * sum.Value()
}

// Simpson returns the same by Simpson's rule, offsets weighted 1, 4, 2, 4, ..., 4, 1.
// Of an even number the last strip is a trapezium. With areas in the place of
// offsets it is the prismoidal rule over sections at equal spacing.
func Simpson(spacing float64, offsets []float64) float64 {
	n := len(offsets)
	if n%2 == 0 && n > 1 {
		return Simpson(spacing, offsets[:n-1]) + Trapezoidal(spacing, offsets[n-2:])
	}
	if n < 3 {
		return 0
	}
	var sum tin.Sum
	for i, o := range offsets {
		weight := 2.0
		switch {
		case i == 0 || i == n-1:
			weight = 1
		case i%2 == 1:
			weight = 4
		}
		sum.Add(weight * o)
	}
	return spacing * sum.Value() / 3
}
