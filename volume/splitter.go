package volume

import (
	"context"
	"math"

	"github.com/paulmach/orb"

	"barrow/tin"
)

// splitter splits works.
type splitter struct {
	ctx    context.Context
	bodies int       // cut by triangles of sheets so far
	late   bool      // ctx has ended
	frame  tin.Frame // of the ground
	depths DepthsFrom

	rules []rule // of the parts
	zones *tin.Sheet
	owner []int  // of each polygon of zones, its part
	held  []bool // the parts in whose area the body at hand lies

	columns columns
	soil    float64 // how much less than depths as the parts have them those below the ground are
	cut     []partSums
	total   tin.Sum // six times the cut
	fill    tin.Sum
	grid    *grid // nil: no cells
	cell    *cellSums
}

// partSums adds up a part: six times its volume, twice its area.
type partSums struct{ volume, area tin.Sum }

// rule is what a part asks for.
type rule struct {
	within   bool
	from, to float64 // to is infinite without end
	by       DepthBy
	horizons []heldTo
}

// heldTo is a horizon that a part lies under or over.
type heldTo struct {
	sheets []*tin.Sheet // nil: level
	level  float64
	below  bool
}

// The places of what belongs to no part, from the end of the sums.
func (s *splitter) rest() int         { return len(s.rules) }
func (s *splitter) undetermined() int { return len(s.rules) + 1 }

// all splits all pieces of the works.
func (s *splitter) all(works Works) error {
	return works.each(s.ctx, func(p []column, topsoil float64) error {
		s.soil = 0
		if s.depths == FromOriginal {
			s.soil = topsoil
		}
		s.columns.list = s.columns.list[:0]
		if s.grid == nil {
			s.piece(p)
			return nil
		}
		return s.grid.cut(&s.columns, p, func(c *cellSums, p []column) {
			s.cell = c
			s.piece(p)
		})
	})
}

// piece adds a piece of the works: its fill, and its cut by parts.
func (s *splitter) piece(p []column) {
	s.columns.level(p, func(c *column) float64 { return c.bottom }, func(p []column) {
		mark := len(s.columns.list)
		cut, fill := s.columns.split(p)
		if len(fill) > 2 {
			s.addFill(fill)
		}
		if len(cut) > 2 {
			s.total.Add(bodyOf(cut, 0, 0).volume)
			s.zone(cut)
		}
		s.columns.list = s.columns.list[:mark]
	})
}

// zone parts a body of cut by the areas of the parts.
func (s *splitter) zone(p []column) {
	if s.zones == nil {
		s.rule(0, p)
		return
	}
	s.over(s.zones, p, func(p []column, t *tin.SheetTriangle) {
		clear(s.held)
		if t != nil {
			for _, k := range t.In {
				s.held[s.owner[k]] = true
			}
		}
		s.rule(0, p)
	})
}

func (s *splitter) addFill(p []column) {
	p = s.columns.copied(p)
	for i := range p {
		p[i].top, p[i].bottom = p[i].bottom, 0
	}
	s.fill.Add(bodyOf(p, 0, 0).volume)
	if s.cell != nil {
		s.cell.fill.add(bodyOf(p, s.cell.x, s.cell.y))
	}
}

// add adds a body to a part.
func (s *splitter) add(part int, p []column) {
	b := bodyOf(p, 0, 0)
	if !(b.volume > 0) {
		return
	}
	s.cut[part].volume.Add(b.volume)
	s.cut[part].area.Add(b.area)
	if s.cell != nil {
		s.cell.parts[part].Add(b.volume)
		s.cell.cut.add(bodyOf(p, s.cell.x, s.cell.y))
	}
}

// rule gives a body to the first part from r on that holds it, cutting it where the part
// ends.
func (s *splitter) rule(r int, p []column) {
	for r < len(s.rules) && s.rules[r].within && !s.held[r] {
		r++
	}
	if r == len(s.rules) {
		s.add(s.rest(), p)
		return
	}
	s.byDepth(r, p)
}

// byDepth goes on with what of a body lies between the depths of part r.
func (s *splitter) byDepth(r int, p []column) {
	u := &s.rules[r]
	if u.by == Slices {
		s.slice(r, p)
		return
	}
	next := func(p []column) { s.rule(r+1, p) }
	s.deeper(p, u.from, func(p []column) {
		s.deeper(p, u.to, next, func(p []column) { s.horizon(r, 0, p, false) })
	}, next)
}

// deeper parts a body where the total depth is a limit or more, and where it is less.
func (s *splitter) deeper(p []column, limit float64, more, less func([]column)) {
	if math.IsInf(limit, 1) {
		less(p)
		return
	}
	s.columns.level(p, func(c *column) float64 { return c.total - (limit - s.soil) }, func(p []column) {
		mark := len(s.columns.list)
		deep, shallow := s.columns.split(p)
		if len(deep) > 2 {
			more(deep)
		}
		if len(shallow) > 2 {
			less(shallow)
		}
		s.columns.list = s.columns.list[:mark]
	})
}

// slice is byDepth for slices.
func (s *splitter) slice(r int, p []column) {
	u := &s.rules[r]
	next := func(p []column) { s.rule(r+1, p) }
	to := func(p []column) {
		if math.IsInf(u.to, 1) {
			s.horizon(r, 0, p, false)
			return
		}
		s.part(p, func(*column) float64 { return u.to - s.soil }, func(p []column) { s.horizon(r, 0, p, false) }, next)
	}
	if u.from == 0 && s.soil == 0 {
		to(p)
		return
	}
	s.part(p, func(*column) float64 { return u.from - s.soil }, next, to)
}

// horizon goes on with what of a body lies on the right side of the horizons of part r
// from the k-th on; unsure says that one before had no data.
func (s *splitter) horizon(r, k int, p []column, unsure bool) {
	u := &s.rules[r]
	if k == len(u.horizons) {
		if unsure {
			r = s.undetermined()
		}
		s.add(r, p)
		return
	}
	h := &u.horizons[k]
	over, under := func(p []column) { s.rule(r+1, p) }, func(p []column) { s.horizon(r, k+1, p, unsure) }
	if !h.below {
		over, under = under, over
	}
	if h.sheets == nil {
		s.part(p, func(c *column) float64 { return c.level - h.level }, over, under)
		return
	}
	s.onSurface(h.sheets, p, func(p []column, t *tin.SheetTriangle) {
		if t == nil {
			s.horizon(r, k+1, p, true)
			return
		}
		s.part(p, func(c *column) float64 { return c.level - t.LevelAt(c.x, c.y) }, over, under)
	})
}

// onSurface cuts a body by a surface's triangles; each gets nil where it has none.
func (s *splitter) onSurface(sheets []*tin.Sheet, p []column, each func([]column, *tin.SheetTriangle)) {
	s.over(sheets[0], p, func(p []column, t *tin.SheetTriangle) {
		switch {
		case t == nil && !sheets[0].KnownBeyond(), t != nil && !t.Known:
			each(p, nil)
		case len(sheets) > 1:
			s.onSurface(sheets[1:], p, each)
		default:
			each(p, t)
		}
	})
}

// part parts a body at a horizon, given how far below the ground it is at each corner.
func (s *splitter) part(p []column, depth func(*column) float64, over, under func([]column)) {
	mark := len(s.columns.list)
	p = s.columns.copied(p)
	for i := range p {
		p[i].at = depth(&p[i])
	}
	s.columns.level(p, func(c *column) float64 { return c.at - c.top }, func(p []column) {
		mark := len(s.columns.list)
		p, above := s.columns.split(p)
		if len(above) > 2 { // the horizon lies above the body
			under(above)
		}
		if len(p) > 2 {
			s.columns.level(p, func(c *column) float64 { return c.at - c.bottom }, func(p []column) { s.within(p, over, under) })
		}
		s.columns.list = s.columns.list[:mark]
	})
	s.columns.list = s.columns.list[:mark]
}

// within is part for a body whose top the horizon does not pass; how far it lies below
// the bottom is taken down.
func (s *splitter) within(p []column, over, under func([]column)) {
	mark := len(s.columns.list)
	below, within := s.columns.split(p)
	if len(below) > 2 {
		over(below)
	}
	if len(within) > 2 {
		upper := s.columns.copied(within)
		for i := range upper {
			upper[i].bottom = upper[i].at
		}
		over(upper)
		lower := s.columns.copied(within)
		for i := range lower {
			lower[i].top = lower[i].at
		}
		under(lower)
	}
	s.columns.list = s.columns.list[:mark]
}

// lostToRounding is the share of a body's area that rounding can lose where a sheet cuts it.
const lostToRounding = 1e-13

// over cuts a body by the triangles of a sheet; each gets nil for what lies outside its
// hull.
func (s *splitter) over(sheet *tin.Sheet, p []column, each func([]column, *tin.SheetTriangle)) {
	mark := len(s.columns.list)
	whole := planArea2(p)
	left := whole
	sheet.Reach(boundOf(p), func(t *tin.SheetTriangle) bool {
		part := s.columns.inTriangle(p, t)
		if len(part) > 2 {
			left -= planArea2(part)
			each(part, t)
		}
		s.columns.list = s.columns.list[:mark]
		return left > 0 && !s.ended()
	})
	switch {
	case left == whole:
		each(p, nil)
	case left > lostToRounding*whole:
		s.beyond(sheet, p, func(p []column) { each(p, nil) })
	}
	s.columns.list = s.columns.list[:mark]
}

// ended looks every so often whether the context has ended: one piece of the works may lie
// over a whole surface. What was added up then does not count.
func (s *splitter) ended() bool {
	if s.bodies++; s.bodies%contextEvery == 0 && s.ctx.Err() != nil {
		s.late = true
	}
	return s.late
}

// beyond cuts off what of a body lies outside the hull of a sheet, edge by edge.
func (s *splitter) beyond(sheet *tin.Sheet, p []column, each func([]column)) {
	for _, e := range sheet.Rim() {
		s.columns.left(p, e.From, e.To)
		in, out := s.columns.split(p)
		if len(out) > 2 {
			each(out)
		}
		if p = in; len(p) < 3 {
			return
		}
	}
}

func boundOf(p []column) orb.Bound {
	b := orb.Bound{Min: orb.Point{p[0].x, p[0].y}, Max: orb.Point{p[0].x, p[0].y}}
	for i := range p {
		b.Min[0], b.Min[1] = min(b.Min[0], p[i].x), min(b.Min[1], p[i].y)
		b.Max[0], b.Max[1] = max(b.Max[0], p[i].x), max(b.Max[1], p[i].y)
	}
	return b
}
