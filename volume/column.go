package volume

import "barrow/tin"

// column is a corner of a body of ground between two surfaces that are linear over one
// convex polygon: its place in local units, the level of the ground in metres, and metres
// below that ground.
type column struct {
	x, y        float64
	level       float64
	top, bottom float64 // of the body
	total       float64 // to the formation; below 0 in fill
	at          float64 // to the horizon at hand
}

// thickness is that of the body.
func (c *column) thickness() float64 { return max(0, c.bottom-c.top) }

// columns is a stack of corners for bodies that are cut again and again.
type columns struct {
	list   []column
	values []float64
}

// value takes down a value of each corner of p for split: linear over p.
func (s *columns) value(p []column, of func(*column) float64) {
	s.values = s.values[:0]
	for i := range p {
		s.values = append(s.values, of(&p[i]))
	}
}

// split returns the parts of p where the value taken down is 0 or more, and where it is
// less; of each nil where there is none.
func (s *columns) split(p []column) (in, out []column) {
	switch less, more := s.signs(); {
	case !less:
		return p, nil
	case !more:
		return nil, p
	}
	return s.where(p, 1), s.where(p, -1)
}

// keep is the first of split.
func (s *columns) keep(p []column) []column {
	switch less, more := s.signs(); {
	case !less:
		return p
	case !more:
		return nil
	}
	return s.where(p, 1)
}

// signs reports which signs the value taken down has.
func (s *columns) signs() (less, more bool) {
	for _, v := range s.values {
		less, more = less || v < 0, more || v > 0
	}
	return less, more
}

// level calls each with p, or with triangles of it: where surfaces lie on one another a
// value between them may be nothing but rounding, and no one line parts p by its sign. On
// triangles it is linear.
func (s *columns) level(p []column, value func(*column) float64, each func(p []column)) {
	s.value(p, value)
	if s.parted() {
		each(p)
		return
	}
	mark := len(s.list)
	for i := 2; i < len(p); i++ {
		s.list = append(s.list[:mark], p[0], p[i-1], p[i])
		part := s.list[mark : mark+3 : mark+3]
		s.value(part, value)
		each(part)
	}
	s.list = s.list[:mark]
}

// parted reports whether the value taken down has one sign, or is 0 at no more than two
// places round the body.
func (s *columns) parted() bool {
	less, more := s.signs()
	zeros, last := 0, s.values[len(s.values)-1]
	for _, v := range s.values {
		if v == 0 || v < 0 && last > 0 || v > 0 && last < 0 {
			zeros++
		}
		last = v
	}
	return !less || !more || zeros <= 2
}

// where puts the part of p where sign * value >= 0 on the stack.
func (s *columns) where(p []column, sign float64) []column {
	from := len(s.list)
	last := len(p) - 1
	for i := range p {
		v, w := s.values[last], s.values[i]
		if v < 0 && w > 0 || v > 0 && w < 0 {
			s.list = append(s.list, columnBetween(&p[last], &p[i], v, w))
		}
		if sign*w >= 0 {
			s.list = append(s.list, p[i])
		}
		last = i
	}
	return s.list[from:len(s.list):len(s.list)]
}

// copied puts a body on the stack, to be changed.
func (s *columns) copied(p []column) []column {
	from := len(s.list)
	s.list = append(s.list, p...)
	return s.list[from:len(s.list):len(s.list)]
}

// columnBetween returns where a value of different sign at two corners is 0, always
// computed from the lesser by (x, y), so that the parts on both sides share it.
func columnBetween(a, b *column, va, vb float64) column {
	if b.x < a.x || b.x == a.x && b.y < a.y {
		a, b, va, vb = b, a, vb, va
	}
	t := va / (va - vb)
	at := func(a, b float64) float64 { return a + float64(t*(b-a)) }
	return column{
		x: at(a.x, b.x), y: at(a.y, b.y), level: at(a.level, b.level),
		top: at(a.top, b.top), bottom: at(a.bottom, b.bottom), total: at(a.total, b.total), at: at(a.at, b.at),
	}
}

// left takes down how far left of a line the corners of p are.
func (s *columns) left(p []column, a, b [2]float64) {
	sign := 1.0
	if b[0] < a[0] || b[0] == a[0] && b[1] < a[1] {
		a, b, sign = b, a, -1
	}
	ux, uy := b[0]-a[0], b[1]-a[1]
	s.value(p, func(c *column) float64 {
		return sign * (float64(ux*(c.y-a[1])) - float64(uy*(c.x-a[0])))
	})
}

// inTriangle returns what of p lies in a triangle.
func (s *columns) inTriangle(p []column, t *tin.SheetTriangle) []column {
	for k := range t.Corner {
		a, b := &t.Corner[k], &t.Corner[(k+1)%3]
		s.left(p, [2]float64{a.X, a.Y}, [2]float64{b.X, b.Y})
		if p = s.keep(p); len(p) < 3 {
			return nil
		}
	}
	return p
}

// planArea2 returns twice the area of p in plan.
func planArea2(p []column) (sum float64) {
	for i := 2; i < len(p); i++ {
		sum += doubleArea(&p[0], &p[i-1], &p[i])
	}
	return sum
}

func doubleArea(a, b, c *column) float64 {
	return float64((b.x-a.x)*(c.y-a.y)) - float64((b.y-a.y)*(c.x-a.x))
}

// body is a volume, its area in plan and its moments about a place: six, two and
// twenty-four times as much, in local units.
type body struct{ area, volume, x, y float64 }

// bodyOf integrates a body over its polygon, about the place (x, y). Over a triangle of
// area T with the thicknesses t and places x at its corners, thickness has the integral
// T/3 (t1+t2+t3), thickness times x has T/12 ((t1+t2+t3)(x1+x2+x3) + t1 x1 + t2 x2 + t3 x3)
// (from the monomials' integrals, worked by hand).
func bodyOf(p []column, x, y float64) (b body) {
	for i := 2; i < len(p); i++ {
		u, v, w := &p[0], &p[i-1], &p[i]
		area := doubleArea(u, v, w)
		t1, t2, t3 := u.thickness(), v.thickness(), w.thickness()
		sum := t1 + t2 + t3
		b.area += area
		b.volume += float64(area * sum)
		b.x += float64(area * moment(sum, t1, t2, t3, u.x-x, v.x-x, w.x-x))
		b.y += float64(area * moment(sum, t1, t2, t3, u.y-y, v.y-y, w.y-y))
	}
	return b
}

func moment(sum, t1, t2, t3, x1, x2, x3 float64) float64 {
	return float64(sum*(x1+x2+x3)) + float64(t1*x1) + float64(t2*x2) + float64(t3*x3)
}
