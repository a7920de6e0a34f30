package takeoff

import (
	"slices"

	"barrow/section"
)

// sameOffset is how near two offsets are, in metres, that are one in a profile.
const sameOffset = 1e-6

// profile returns the levels of a section wherever one of them changes slope, and
// where stripped ground crosses the formation.
func (r *run) profile(s *section.Section) []ProfilePoint {
	points := []ProfilePoint{}
	add := func(p ProfilePoint) {
		if n := len(points); n == 0 || !samePoint(&points[n-1], &p) {
			points = append(points, p)
		}
	}
	offsets := breaksOf(s)
	ground, formation := stretchCursor{list: s.Ground}, stretchCursor{list: s.Formation}
	for i := range len(offsets) - 1 {
		from, to := offsets[i], offsets[i+1]
		g, f := ground.over(from, to), formation.over(from, to)
		add(r.profilePoint(from, g, f))
		if at, ok := crossingOf(from, to, g, f); ok {
			add(r.profilePoint(at, g, f))
		}
		add(r.profilePoint(to, g, f))
	}
	return points
}

// breaksOf returns the offsets at which ground or formation begin, end or change slope.
func breaksOf(s *section.Section) (offsets []float64) {
	for _, list := range [][]section.Stretch{s.Ground, s.Formation} {
		for _, t := range list {
			offsets = append(offsets, t.From, t.To)
		}
	}
	slices.Sort(offsets)
	return slices.CompactFunc(offsets, func(a, b float64) bool { return max(b-a, a-b) <= sameOffset })
}

// stretchCursor goes along stretches from left to right.
type stretchCursor struct {
	list []section.Stretch
	next int
}

// over returns the stretch that holds what lies between two offsets, nil where there
// is none.
func (c *stretchCursor) over(from, to float64) *section.Stretch {
	middle := from + (to-from)/2
	for c.next < len(c.list) && c.list[c.next].To < middle {
		c.next++
	}
	if c.next == len(c.list) || c.list[c.next].From > middle {
		return nil
	}
	return &c.list[c.next]
}

// crossingOf returns where stripped ground crosses the formation between two offsets.
func crossingOf(from, to float64, g, f *section.Stretch) (at float64, ok bool) {
	if g == nil || f == nil {
		return 0, false
	}
	depth := func(offset float64) float64 { return g.LevelAt(offset) - f.Topsoil - f.LevelAt(offset) }
	d, e := depth(from), depth(to)
	if !(d < 0 && e > 0 || d > 0 && e < 0) {
		return 0, false
	}
	at = from + float64((to-from)*(d/(d-e)))
	return at, at-from > sameOffset && to-at > sameOffset
}

// profilePoint returns the levels of the stretches at an offset, in the job's unit.
func (r *run) profilePoint(offset float64, g, f *section.Stretch) ProfilePoint {
	p := ProfilePoint{Offset: offset / r.lengthUnit()}
	level := func(m float64) *float64 {
		z := m / r.unit
		return &z
	}
	if g != nil {
		p.Ground = level(g.LevelAt(offset))
	}
	if f != nil {
		p.Formation = level(f.LevelAt(offset))
	}
	if g != nil && f != nil {
		p.Stripped = level(g.LevelAt(offset) - f.Topsoil)
	}
	return p
}

// samePoint reports whether two points are one, but for the rounding of levels.
func samePoint(a, b *ProfilePoint) bool {
	same := func(u, v *float64) bool {
		return u == nil && v == nil || u != nil && v != nil && max(*u-*v, *v-*u) <= sameOffset
	}
	return a.Offset == b.Offset && same(a.Ground, b.Ground) && same(a.Stripped, b.Stripped) && same(a.Formation, b.Formation)
}
