package grid

// point is a place in a cell, or in the grid, in sides of a cell, with a depth
// where one is known.
type point struct{ u, v, d float64 }

// polygon is a ring of a part, anticlockwise, or clockwise round a hole. A ring
// that clipping has made may run along one side of its window to and fro; what
// is integrated over it is right all the same.
type polygon []point

// clip keeps what of a ring has side(p) >= 0, for a linear side (I. E.
// Sutherland, G. W. Hodgman 1974, from memory), and appends it to out. Where the
// ring crosses, settle may put right what is known of the crossing.
func clip(out, ring polygon, side func(*point) float64, settle func(*point)) polygon {
	if len(ring) == 0 {
		return out
	}
	if out == nil {
		out = make(polygon, 0, len(ring)+1)
	}
	last := &ring[len(ring)-1]
	before := side(last)
	for i := range ring {
		p := &ring[i]
		now := side(p)
		if before < 0 && now > 0 || before > 0 && now < 0 {
			c := crossing(last, p, before, now)
			settle(&c)
			out = append(out, c)
		}
		if now >= 0 {
			out = append(out, *p)
		}
		last, before = p, now
	}
	return out
}

// crossing is where a side from a to b is zero, from its end in front: the same
// to the bit in both directions.
func crossing(a, b *point, fa, fb float64) point {
	if fa < 0 {
		a, b, fa, fb = b, a, fb, fa
	}
	t := fa / (fa - fb)
	return point{a.u + float64(t*(b.u-a.u)), a.v + float64(t*(b.v-a.v)), a.d + float64(t*(b.d-a.d))}
}

// clipColumns and clipRows keep what of a ring lies at or above a line of the
// grid, or with way -1 at or below it.
func clipColumns(ring polygon, at, way float64) polygon {
	return clip(nil, ring, func(p *point) float64 { return way * (p.u - at) }, func(p *point) { p.u = at })
}

func clipRows(ring polygon, at, way float64) polygon {
	return clip(nil, ring, func(p *point) float64 { return way * (p.v - at) }, func(p *point) { p.v = at })
}

// area is the area of a ring, in cells.
func (r polygon) area() float64 {
	twice := 0.0
	for i := 2; i < len(r); i++ {
		twice += turn(&r[0], &r[i-1], &r[i])
	}
	return twice / 2
}

// integral is the integral of a linear depth over a ring: depth times cells.
func (r polygon) integral() float64 {
	sum := 0.0
	for i := 2; i < len(r); i++ {
		sum += float64(turn(&r[0], &r[i-1], &r[i]) * (r[0].d + r[i-1].d + r[i].d))
	}
	return sum / 6
}

// turn is twice the area of a triangle, positive anticlockwise.
func turn(a, b, c *point) float64 {
	return float64((b.u-a.u)*(c.v-a.v)) - float64((b.v-a.v)*(c.u-a.u))
}
