package daylight

import (
	"math"
	"sort"
)

// gap is how far one face lies above another: linear over the plan. It is found from
// the one of lesser number, so that both see the same line where they cross, and is
// nothing at all where two are one plane but for rounding.
type gap struct{ x, y, level, gx, gy float64 }

func (g *gap) at(x, y float64) float64 {
	return g.level + (float64(g.gx*(x-g.x)) + float64(g.gy*(y-g.y)))
}

// gap returns how far face i lies above face j.
func (s *sheet) gap(i, j int32) gap {
	if i > j {
		g := s.gap(j, i)
		return gap{g.x, g.y, -g.level, -g.gx, -g.gy}
	}
	f, h := &s.faces[i], &s.faces[j]
	g := gap{f.x, f.y, f.level - h.at(f.x, f.y), f.gx - h.gx, f.gy - h.gy}
	if math.Abs(g.level) < onePlane && hypot(g.gx, g.gy)*(s.reach+s.span) < onePlane {
		g.level, g.gx, g.gy = 0, 0, 0
	}
	return g
}

const (
	onePlane = 1e-11 // how near, metres, two faces are one plane
	sliver   = 1e-12 // how far, metres, a part may reach over a line without being cut
	noise    = 1e-13 // metres of level that are rounding
)

// verdict is what of a part of a face rules, it or another unit.
type verdict int

const (
	undecided verdict = iota
	ownRules
	otherRules
)

// compare decides for the whole of a part of a face, where that is quick, whether it
// or a unit rules. The unit's faces taken together are convex: they lie above each of
// their planes, and below a plane wherever they do at the corners of the part.
func (s *sheet) compare(p polygon, l *leaf, face int32, u *unit) verdict {
	if len(u.bands) > 1 {
		return undecided
	}
	lowest := s.gap(face, s.middle(u, p))
	if under(p, func(c corner) float64 { return lowest.at(c.x, c.y) }) {
		return ownRules
	}
	return s.over(p, l, u, func(c corner, other int32) float64 {
		g := s.gap(face, other)
		return g.at(c.x, c.y)
	})
}

// ground decides, where that is quick, whether a part of the ground is wholly outside
// the works under a unit (it rules itself), or in them.
func (s *sheet) ground(p polygon, l *leaf, u *unit) verdict {
	if len(u.bands) > 1 {
		return undecided
	}
	lowest := &s.faces[s.middle(u, p)]
	if under(p, func(c corner) float64 { return s.depth(lowest, c.x, c.y, c.z) }) {
		return ownRules
	}
	return s.over(p, l, u, func(c corner, other int32) float64 { return s.depth(&s.faces[other], c.x, c.y, c.z) })
}

// under reports whether a value is nowhere above 0 on a part, and not 0 all over, but
// for rounding.
func under(p polygon, value func(corner) float64) bool {
	below := false
	for i := range p {
		d := value(p[i].corner)
		if d > noise {
			return false
		}
		below = below || d < -noise
	}
	return below
}

// over reports otherRules if a part lies in a unit's sector and its faces are in the
// leaf there, with a value nowhere below 0, and not 0 all over, but for rounding.
func (s *sheet) over(p polygon, l *leaf, u *unit, value func(c corner, other int32) float64) verdict {
	if u.open > math.Pi {
		return undecided
	}
	above := false
	for i := range p {
		c := p[i].corner
		other, ok := s.holding(u, p, c)
		if !ok || !l.has(s, other) {
			return undecided
		}
		d := value(c, other)
		if d < -noise {
			return undecided
		}
		above = above || d > noise
	}
	if !above {
		return undecided
	}
	return otherRules
}

// middle returns the face of a unit of one band in the direction of a part's middle.
func (s *sheet) middle(u *unit, p polygon) int32 {
	if !u.fan {
		return u.first
	}
	m := p.centre()
	return u.first + u.facet(u.bearing(m.x-u.x, m.y-u.y))
}

// holding returns the face of a unit of one band in whose region a corner of a part is,
// but for rounding.
func (s *sheet) holding(u *unit, p polygon, c corner) (face int32, ok bool) {
	slack := sliver / s.length
	if !u.fan {
		region := s.faces[u.first].region
		for i := range region {
			if region[i].distance(c.x, c.y) < -slack {
				return 0, false
			}
		}
		return u.first, true
	}
	dx, dy := c.x-u.x, c.y-u.y
	r := hypot(dx, dy)
	if r <= slack {
		return s.middle(u, p), true
	}
	b := u.bearing(dx, dy)
	switch {
	case b <= u.open:
	case (b-u.open)*r <= slack:
		b = u.open
	case (2*math.Pi-b)*r <= slack:
		b = 0
	default:
		return 0, false
	}
	return u.first + u.facet(b), true
}

// bearing returns the angle of a direction from a fan's first ray, anticlockwise, 0 to
// 2 pi.
func (u *unit) bearing(dx, dy float64) float64 {
	a := turn(u.start[0], u.start[1], dx, dy)
	if a < 0 {
		a += 2 * math.Pi
	}
	return a
}

// turn returns the angle from one direction to another, -pi to pi.
func turn(ax, ay, bx, by float64) float64 {
	return math.Atan2(float64(ax*by)-float64(ay*bx), float64(ax*bx)+float64(ay*by))
}

// facet returns the number of the facet at an angle from the first ray, or the nearest.
func (u *unit) facet(angle float64) int32 {
	return int32(min(angle/u.step+0.5, float64(len(u.fronts)-1)))
}

// facing returns ranges of facets, first and last, outside which none of a unit shares
// an area with a shape.
func (u *unit) facing(shape polygon) [][2]int32 {
	all := [][2]int32{{0, int32(len(u.fronts) - 1)}}
	if len(u.fronts) < 5 {
		return all
	}
	m := shape.centre()
	mx, my := m.x-u.x, m.y-u.y
	least, most := 0.0, 0.0
	for _, c := range shape {
		a := turn(mx, my, c.x-u.x, c.y-u.y)
		least, most = min(least, a), max(most, a)
	}
	if most-least > 3 {
		return all // round the corner itself
	}
	var out [][2]int32
	for _, whole := range []float64{0, -2 * math.Pi} {
		b := u.bearing(mx, my) + whole
		from, to := b+least-u.step, b+most+u.step
		if to >= 0 && from <= u.open {
			out = append(out, [2]int32{u.facet(max(from, 0)), u.facet(min(to, u.open))})
		}
	}
	if len(out) == 2 && out[1][1] >= out[0][0] {
		return all
	}
	return out
}

// crossing returns the first and the last of a facet's faces outside which none shares
// an area with a shape.
func (u *unit) crossing(facet int32, shape polygon, slack float64) (first, last int32) {
	n := len(u.bands)
	base := u.first + facet*int32(n)
	if n == 1 {
		return base, base
	}
	near, far := math.Inf(1), math.Inf(-1)
	for _, c := range shape {
		d := u.fronts[facet].distance(c.x, c.y)
		near, far = min(near, (d-slack)/u.out), max(far, (d+slack)/u.out)
	}
	lo := sort.Search(n-1, func(i int) bool { return u.bands[i].to >= near })
	hi := lo + sort.Search(n-1-lo, func(i int) bool { return u.bands[lo+1+i].from > far })
	return base + int32(lo), base + int32(hi)
}
