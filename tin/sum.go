package tin

import "math"

// Sum is a compensated sum: its error does not grow with the number of terms
// (Neumaier 1974, from memory). The zero value is an empty sum.
type Sum struct{ sum, lost float64 }

// Add adds a term.
func (s *Sum) Add(v float64) {
	v = float64(v) // a product of an inlined caller must not be fused into the sum
	t := s.sum + v
	if math.Abs(s.sum) >= math.Abs(v) {
		s.lost += (s.sum - t) + v
	} else {
		s.lost += (v - t) + s.sum
	}
	s.sum = t
}

// Value returns the sum.
func (s *Sum) Value() float64 { return s.sum + s.lost }
