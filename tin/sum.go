package tin

// Sum is a compensated sum: its error does not grow with the number of terms
// (Kahan and Babuska's sum as mended by Neumaier 1974; what an addition loses is
// found without a branch by Knuth's two-sum; from memory). The zero value is an
// empty sum.
type Sum struct{ sum, lost float64 }

// Add adds a term.
func (s *Sum) Add(v float64) {
	v = float64(v) // a product of an inlined caller must not be fused into the sum
	t := s.sum + v
	part := t - s.sum // what arrived of v
	s.lost += (s.sum - (t - part)) + (v - part)
	s.sum = t
}

// Value returns the sum.
func (s *Sum) Value() float64 { return s.sum + s.lost }
