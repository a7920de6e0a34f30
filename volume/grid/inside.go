package grid

// counted is how many places along each side of a cell a test is asked at,
// where its corners and centre disagree.
const counted = 16

// inside finds the cells of a test.
type inside struct {
	g     Layout
	test  func(e, n float64) bool
	lower []bool // at the corners of the row's first line
	upper []bool
}

func newInside(g Layout, test func(e, n float64) bool) *inside {
	s := &inside{g: g, test: test, lower: make([]bool, g.Columns+1), upper: make([]bool, g.Columns+1)}
	s.line(s.upper, 0)
	return s
}

func (s *inside) at(u, v float64) bool {
	p := s.g.place(u, v)
	return s.test(p[0], p[1])
}

func (s *inside) line(into []bool, row int) {
	for c := range into {
		into[c] = s.at(float64(c), float64(row))
	}
}

// row yields the cells of a row that lie within. Rows are asked for in order.
func (s *inside) row(row int, yield func(part)) {
	s.lower, s.upper = s.upper, s.lower
	s.line(s.upper, row+1)
	for c := range s.g.Columns {
		in := s.at(float64(c)+0.5, float64(row)+0.5)
		if s.lower[c] == in && s.lower[c+1] == in && s.upper[c] == in && s.upper[c+1] == in {
			if in {
				yield(part{column: c, share: 1})
			}
			continue
		}
		s.count(row, c, yield)
	}
}

// count makes a part of the small squares of a cell whose middles lie within.
func (s *inside) count(row, column int, yield func(part)) {
	const side = 1.0 / counted
	p := part{column: column}
	for i := range counted {
		v := float64(i) * side
		start := -1
		for j := 0; j <= counted; j++ {
			in := j < counted && s.at(float64(column)+(float64(j)+0.5)*side, float64(row)+v+side/2)
			switch {
			case in && start < 0:
				start = j
			case !in && start >= 0:
				p.rings = append(p.rings, rectangle(float64(start)*side, v, float64(j)*side, v+side))
				p.share += float64(j-start) * side * side
				start = -1
			}
		}
	}
	if p.share > 0 { // and where it is 1 still a part: a corner may be outside
		yield(p)
	}
}

func rectangle(u0, v0, u1, v1 float64) polygon {
	return polygon{{u: u0, v: v0}, {u: u1, v: v0}, {u: u1, v: v1}, {u: u0, v: v1}}
}
