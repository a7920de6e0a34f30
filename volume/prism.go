package volume

import (
	"slices"

	"barrow/tin"
)

// corner is a corner of a piece in local units with its depth in metres.
type corner struct{ x, y, depth float64 }

// meter adds up pieces. Areas and volumes are twice and six times the local
// ones until result.
type meter struct {
	frame              tin.Frame
	cut, fill, net     tin.Sum // six times the volume
	cutArea, fillArea  tin.Sum // twice the area
	levelArea          tin.Sum
	uncovered          tin.Sum   // square metres
	covered            []tin.Sum // twice the area of all pieces, by cell
	makeup, makeupArea tin.Sum   // as cut and cutArea
	topsoil            float64   // metres taken off the ground of the piece at hand
	maxCut, maxFill    corner
	zero               zeroLine
	corners, cuts, out []corner // scratch
	made               []corner
}

// piece adds one piece against its plane.
func (m *meter) piece(cell int, p tin.Piece, plane *localPlane) {
	if len(p.Corner) == 3 && p.Ground && m.triangle(cell, (*[3]tin.PieceCorner)(p.Corner), plane) {
		return
	}
	m.topsoil = plane.topsoil
	m.corners = m.corners[:0]
	for _, c := range p.Corner {
		m.corners = append(m.corners, corner{c.X, c.Y, plane.depth(c)})
	}
	area, six := integrate(m.corners)
	m.covered[cell].Add(area)
	if p.Ground {
		m.add(area, six)
	} else {
		m.uncovered.Add(area / 2 * m.frame.Area())
	}
}

// triangle does what piece does, to the bit but without lists of corners, for most
// pieces of a large ground: triangles all cut or all fill. Of any other it reports
// false, and adds nothing.
func (m *meter) triangle(cell int, p *[3]tin.PieceCorner, plane *localPlane) bool {
	a, b, c := plane.depth(p[0]), plane.depth(p[1]), plane.depth(p[2])
	area := float64((p[1].X-p[0].X)*(p[2].Y-p[0].Y)) - float64((p[1].Y-p[0].Y)*(p[2].X-p[0].X))
	six := float64(area * (a + b + c))
	var deep bool
	switch {
	case !(area > 0):
		return false
	case a > 0 && b > 0 && c > 0:
		most := m.maxCut.depth
		deep = a >= most || b >= most || c >= most
		m.cutArea.Add(area)
		m.cut.Add(six)
	case a < 0 && b < 0 && c < 0 && plane.topsoil == 0:
		most := m.maxFill.depth
		deep = a <= most || b <= most || c <= most
		m.fillArea.Add(area)
		m.fill.Add(-six)
	default:
		return false
	}
	m.covered[cell].Add(area)
	m.net.Add(six)
	if deep {
		for i, depth := range [...]float64{a, b, c} {
			m.deepen(&corner{p[i].X, p[i].Y, depth})
		}
	}
	return true
}

// add adds the prism over the corners, given twice its area and six times its
// volume. Where surfaces lie on one another the signs of depths may be nothing
// but rounding, and no one line parts cut from fill: then it goes by triangles, on
// which depth is linear.
func (m *meter) add(area, six float64) {
	lo, hi := m.depths()
	if lo >= 0 || hi <= 0 || m.zeros() == 2 {
		m.addLinear(area, six, lo, hi)
		return
	}
	p := slices.Clone(m.corners)
	for i := 2; i < len(p); i++ {
		m.corners = append(m.corners[:0], p[0], p[i-1], p[i])
		lo, hi := m.depths()
		area, six := integrate(m.corners)
		m.addLinear(area, six, lo, hi)
	}
}

// depths returns the least and the greatest depth of the piece's corners.
func (m *meter) depths() (lo, hi float64) {
	lo, hi = m.corners[0].depth, m.corners[0].depth
	for i := range m.corners {
		d := m.corners[i].depth
		lo, hi = min(lo, d), max(hi, d)
	}
	return lo, hi
}

// zeros returns at how many places round the piece the depth is zero.
func (m *meter) zeros() (n int) {
	last := m.corners[len(m.corners)-1].depth
	for i := range m.corners {
		d := m.corners[i].depth
		if d == 0 || (last < 0 && d > 0) || (last > 0 && d < 0) {
			n++
		}
		last = d
	}
	return n
}

// addLinear adds a piece on which one line at most parts cut from fill, unless its
// area is rounded to nothing or less.
func (m *meter) addLinear(area, six, lo, hi float64) {
	if !(area > 0) {
		return
	}
	if hi >= m.maxCut.depth || lo <= m.maxFill.depth {
		m.deepest()
	}
	m.net.Add(six)
	switch {
	case lo < 0 && hi > 0:
		m.split()
	case hi > 0:
		m.cutArea.Add(area)
		m.cut.Add(six)
		if lo == 0 {
			m.zero.edges(m.corners, 1)
		}
	case lo < 0:
		m.fillArea.Add(area)
		m.fill.Add(-six)
		m.makeUp(m.corners)
		if hi == 0 {
			m.zero.edges(m.corners, 2)
		}
	default:
		m.levelArea.Add(area)
	}
}

// split adds a piece that the zero line crosses, in its two parts.
func (m *meter) split() {
	area, six := integrate(m.part(1))
	m.cutArea.Add(area)
	m.cut.Add(six)
	below := m.part(-1)
	area, six = integrate(below)
	m.fillArea.Add(area)
	m.fill.Add(-six)
	m.makeUp(below)
	if len(m.cuts) == 2 {
		m.zero.add(m.cuts[0], m.cuts[1])
	}
}

// makeUp adds what of a piece in fill only makes up for topsoil: where formation lies
// below the ground as it was, so that the depth is less than the topsoil's.
func (m *meter) makeUp(p []corner) {
	if m.topsoil == 0 {
		return
	}
	m.made = m.made[:0]
	last := p[len(p)-1]
	for _, c := range p {
		a, b := last.depth+m.topsoil, c.depth+m.topsoil
		if (a < 0 && b > 0) || (a > 0 && b < 0) {
			z := zeroBetween(corner{last.x, last.y, a}, corner{c.x, c.y, b})
			m.made = append(m.made, corner{z.x, z.y, -m.topsoil})
		}
		if b >= 0 {
			m.made = append(m.made, c)
		}
		last = c
	}
	if area, six := integrate(m.made); area > 0 {
		m.makeupArea.Add(area)
		m.makeup.Add(-six)
	}
}

// part returns the part of the piece where sign * depth >= 0, and leaves in
// cuts the places where the depth is zero.
func (m *meter) part(sign float64) []corner {
	m.out, m.cuts = m.out[:0], m.cuts[:0]
	last := m.corners[len(m.corners)-1]
	for _, c := range m.corners {
		if (last.depth < 0 && c.depth > 0) || (last.depth > 0 && c.depth < 0) {
			z := zeroBetween(last, c)
			m.out, m.cuts = append(m.out, z), append(m.cuts, z)
		}
		if c.depth == 0 {
			m.cuts = append(m.cuts, c)
		}
		if sign*c.depth >= 0 {
			m.out = append(m.out, c)
		}
		last = c
	}
	return m.out
}

// zeroBetween returns where depth is zero on the edge between two corners of
// different sign, always computed from the lesser by (x, y), so that the
// pieces on both sides find the same place.
func zeroBetween(p, q corner) corner {
	if q.x < p.x || (q.x == p.x && q.y < p.y) {
		p, q = q, p
	}
	t := p.depth / (p.depth - q.depth)
	return corner{p.x + float64(t*(q.x-p.x)), p.y + float64(t*(q.y-p.y)), 0}
}

// integrate returns twice the area of a convex polygon and six times the
// integral of its linear depth: over each triangle of a fan, area times the sum
// of three depths. A triangle's prism has the plan area times the mean of its
// three depths (University of Melbourne, Plane Surveying notes, 8.05.02).
func integrate(p []corner) (area2, volume6 float64) {
	for i := 2; i < len(p); i++ {
		a, b, c := &p[0], &p[i-1], &p[i]
		area := float64((b.x-a.x)*(c.y-a.y)) - float64((b.y-a.y)*(c.x-a.x))
		area2 += area
		volume6 += float64(area * (a.depth + b.depth + c.depth))
	}
	return area2, volume6
}

// deepest keeps the greatest depths of the corners.
func (m *meter) deepest() {
	for i := range m.corners {
		m.deepen(&m.corners[i])
	}
}

// deepen keeps the depth at a corner if it is the greatest; of equal ones the
// first by (x, y).
func (m *meter) deepen(c *corner) {
	switch {
	case c.depth > 0 && deeper(c, &m.maxCut, c.depth, m.maxCut.depth):
		m.maxCut = *c
	case c.depth < 0 && deeper(c, &m.maxFill, -c.depth, -m.maxFill.depth):
		m.maxFill = *c
	}
}

func deeper(c, than *corner, depth, thanDepth float64) bool {
	if depth != thanDepth {
		return depth > thanDepth
	}
	return c.x < than.x || (c.x == than.x && c.y < than.y)
}

func (m *meter) result() CutFill {
	unit := m.frame.Area()
	// What rounding left below nothing is nothing.
	area := func(s tin.Sum) float64 { return max(0, s.Value()/2*unit) }
	volume := func(s tin.Sum) float64 { return max(0, s.Value()/6*unit) }
	r := CutFill{
		Cut: volume(m.cut), Fill: volume(m.fill), CutLessFill: m.net.Value() / 6 * unit,
		CutArea: area(m.cutArea), FillArea: area(m.fillArea), LevelArea: area(m.levelArea),
		MakeupFill: volume(m.makeup), MakeupArea: area(m.makeupArea),
		UncoveredArea: max(0, m.uncovered.Value()),
		ZeroLine:      m.zero.lines(m.frame),
	}
	if m.maxCut.depth > 0 {
		r.MaxCut = Depth{m.maxCut.depth, m.frame.Metres(m.maxCut.x, m.maxCut.y)}
	}
	if m.maxFill.depth < 0 {
		r.MaxFill = Depth{-m.maxFill.depth, m.frame.Metres(m.maxFill.x, m.maxFill.y)}
	}
	return r
}
