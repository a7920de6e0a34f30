package daylight

import (
	"iter"
	"slices"

	"github.com/paulmach/orb"
)

// seed starts the flood wherever the ground lies above the outline.
func (q *queue) seed(p *Pad) error {
	for r, ring := range p.Rings {
		for i, a := range ring {
			b := ring[(i+1)%len(ring)]
			if p.profile(r, i, q.sheet.sign).Upright() && !q.sheet.mixed[q.pad] {
				continue
			}
			for t := range q.along(a, b) {
				if err := q.ctx.Err(); err != nil {
					return err
				}
				q.start(t, a, b, r, i)
			}
		}
	}
	return nil
}

// along returns the triangles that the stretch from a to b runs through or touches.
func (f *flood) along(a, b Vertex) iter.Seq[*tile] {
	return func(yield func(*tile) bool) {
		seen := make(map[int]bool)
		var stack []int
		push := func(t int) {
			if !seen[t] {
				seen[t] = true
				stack = append(stack, t)
			}
		}
		// The stretch may leave the ground and come back: begin wherever it may.
		for _, t := range f.entries(a, b) {
			push(t)
		}
		for len(stack) > 0 {
			t := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			tile := f.tile(t)
			s := segment{corner{x: a.X, y: a.Y}, corner{x: b.X, y: b.Y}}
			sp := span{0, 1}
			s.clip(&sp, tile.edge[:], f.touch)
			if sp.lo > sp.hi {
				continue
			}
			if !yield(tile) {
				return
			}
			for i := range 3 {
				if u, _, ok := f.ground.Across(t, i); ok {
					push(u)
				}
			}
		}
	}
}

// entries returns triangles from which every one that a stretch runs through is
// reached through others that it runs through: those at its ends and at the rim.
func (f *flood) entries(a, b Vertex) []int {
	var out []int
	for _, v := range []Vertex{a, b} {
		if t, ok := f.ground.At(v.X, v.Y); ok {
			out = append(out, t)
		}
	}
	s := segment{corner{x: a.X, y: a.Y}, corner{x: b.X, y: b.Y}}
	for i := range f.rim {
		sp := span{0, 1}
		if s.clip(&sp, f.rim[i].side[:], f.touch); sp.lo <= sp.hi {
			out = append(out, f.rim[i].t)
		}
	}
	return out
}

// rimTriangle is a triangle at the rim of the ground.
type rimTriangle struct {
	t    int
	side [3]line
}

// start enters the strip of a side, and whatever other face meets it, where the
// ground lies above it in a triangle.
func (q *queue) start(t *tile, a, b Vertex, ring, side int) {
	s := segment{corner{x: a.X, y: a.Y}, corner{x: b.X, y: b.Y}}
	inside := span{0, 1}
	s.clip(&inside, t.edge[:], q.slack)
	if !(inside.lo < inside.hi) {
		return
	}
	p, r := s.at(inside.lo), s.at(inside.hi)
	la, lb := at(a.Level, b.Level, inside.lo), at(a.Level, b.Level, inside.hi)
	s = segment{corner{p[0], p[1], t.level(p)}, corner{r[0], r[1], t.level(r)}}
	for j := range t.leaves {
		l := &t.leaves[j]
		if q.blocked(l) {
			continue
		}
		sp := span{0, 1}
		s.clip(&sp, l.lines, q.slack)
		d0, d1 := q.sheet.sign*(s.a.z-l.topsoil-la), q.sheet.sign*(s.b.z-l.topsoil-lb)
		sp.clip(d0, d1, 0)
		if depth, place, ok := q.joined(&s, sp, d0, d1); ok {
			for face := range q.sheet.meeting(q.pad, ring, side, &s, sp, l.topsoil, q.slack, q.least) {
				q.link(t, j, face, depth, place)
			}
		}
	}
}

// meeting returns the faces of a pad that hold a stretch of one of its sides: the
// strip there, and others where the batter is steeper than the strip or the rules
// of sides differ.
func (s *sheet) meeting(pad int32, ring, side int, seg *segment, stretch span, topsoil, slack, least float64) iter.Seq[int32] {
	return func(yield func(int32) bool) {
		own := s.strips[Place{int(pad), ring, side}]
		if own.bands != nil && !yield(own.first) {
			return
		}
		if own.bands != nil && !s.mixed[pad] {
			return
		}
		length := hypot(seg.b.x-seg.a.x, seg.b.y-seg.a.y)
		for i := range s.facesAt(pad, seg) {
			f := &s.faces[i]
			if own.bands != nil && i == own.first {
				continue
			}
			sp := stretch
			seg.clip(&sp, f.region, slack)
			if d0, d1 := seg.clipDepth(&sp, s, f, topsoil); !(float64((sp.hi-sp.lo)*length) > least) || !(max(at(d0, d1, sp.lo), at(d0, d1, sp.hi)) > noDepth) {
				continue
			}
			if !yield(i) {
				return
			}
		}
	}
}

// facesAt returns the faces of a pad that may hold some of a segment, ascending.
func (s *sheet) facesAt(pad int32, seg *segment) iter.Seq[int32] {
	return func(yield func(int32) bool) {
		var units []int
		box := orb.MultiPoint{{seg.a.x, seg.a.y}, {seg.b.x, seg.b.y}}.Bound().Pad(touchMetre / s.length)
		s.tree.Meeting(box, func(i int) {
			if s.units[i].pad == pad {
				units = append(units, i)
			}
		})
		slices.Sort(units)
		for _, i := range units {
			for face := s.units[i].first; face <= s.units[i].last; face++ {
				if !yield(face) {
					return
				}
			}
		}
	}
}
