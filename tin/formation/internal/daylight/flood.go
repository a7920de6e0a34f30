package daylight

import (
	"context"
	"slices"

	"github.com/paulmach/orb"

	"barrow/tin"
	"barrow/tin/formation/internal/boxtree"
)

// node is the part of a leaf where a face lies below the ground (above it in a fill):
// convex.
type node struct {
	face  int32
	sheet *sheet
	part  int32 // 0: joined to the outline by joints of some depth; else the number of a part that is not
	shape polygon
}

// sheet is the faces of one sign of all pads that stand for themselves, with what the
// flood over them found.
type sheet struct {
	builder
	tree   *boxtree.Tree // of the units within reach
	joints []Joint       // of parts 1, 2, ...
}

// key is where a node is.
type key struct {
	tile *tile
	leaf int
	node int32
}

// flood finds the works: the nodes that reach a pad's outline.
type flood struct {
	ctx    context.Context
	ground *tin.Surface
	plan   *plan
	slack  float64 // how near counts as touching, local units
	least  float64 // shortest joint, local units
	touch  float64 // how far from a side triangles are looked at, local units
	rim    []rimTriangle
	sheets []*sheet
	tiles  map[int]*tile
	nodes  []node
	count  int
}

// weakJoint is the depth, metres, below which a joint may not be there in another
// survey.
const weakJoint = 0.010

// noDepth is the depth, metres, up to which a joint is rounding: contact at no depth
// joins nothing.
const noDepth = 1e-9

func (f *flood) tile(t int) *tile {
	if got := f.tiles[t]; got != nil {
		return got
	}
	made := f.plan.tile(f.ground, t, f.slack)
	f.tiles[t] = made
	return made
}

// run floods the faces of one pad of a sheet.
func (f *flood) run(s *sheet, pad int32, p *Pad) error {
	q := queue{flood: f, sheet: s, pad: pad, around: make(map[*leaf][]int32)}
	if err := q.seed(p); err != nil {
		return err
	}
	for {
		for len(q.strong) > 0 {
			if f.count++; f.count%1024 == 0 && f.ctx.Err() != nil {
				return f.ctx.Err()
			}
			k := q.strong[len(q.strong)-1]
			q.strong = q.strong[:len(q.strong)-1]
			q.spread(k)
		}
		if len(q.weak) == 0 {
			return nil
		}
		j := q.weak[0]
		q.weak = q.weak[1:]
		if j.tile.leaves[j.leaf].has(s, j.face) {
			continue
		}
		s.joints = append(s.joints, Joint{Pad: int(pad), Cut: s.sign > 0, At: j.at, Depth: j.depth})
		q.part = int32(len(s.joints))
		q.enter(j.tile, j.leaf, j.face)
	}
}

// queue is the flood over the faces of one pad.
type queue struct {
	*flood
	sheet  *sheet
	pad    int32
	part   int32
	around map[*leaf][]int32 // units, see sheet.around
	strong []key
	weak   []joint
}

// joint is a link too shallow to be sure of.
type joint struct {
	tile  *tile
	leaf  int
	face  int32
	at    orb.Point // local
	depth float64
}

func (l *leaf) has(s *sheet, face int32) bool {
	_, ok := l.faces[s.key(face)]
	return ok
}

// key tells the faces of cut and fill apart.
func (s *sheet) key(face int32) int32 {
	if s.sign < 0 {
		return ^face
	}
	return face
}

// blocked reports whether the works of the pad cannot be in a leaf.
func (q *queue) blocked(l *leaf) bool {
	return l.outside || (l.pads != nil && l.pads[q.pad])
}

// enter adds a node and spreads from it later.
func (q *queue) enter(t *tile, leaf int, face int32) {
	l := &t.leaves[leaf]
	n := int32(len(q.nodes))
	q.nodes = append(q.nodes, node{face: face, sheet: q.sheet, part: q.part, shape: q.sheet.shape(l.polygon, face)})
	l.nodes = append(l.nodes, n)
	if l.faces == nil {
		l.faces = make(map[int32]int32)
	}
	l.faces[q.sheet.key(face)] = n
	q.strong = append(q.strong, key{t, leaf, n})
}

// link is called with a joint to a node: how deep it is at its deepest, and where.
func (q *queue) link(t *tile, leaf int, face int32, depth float64, at orb.Point) {
	switch {
	case t.leaves[leaf].has(q.sheet, face):
	case depth < weakJoint:
		q.weak = append(q.weak, joint{t, leaf, face, at, depth})
	default:
		q.enter(t, leaf, face)
	}
}

// shape returns the part of a leaf where a face is its region's and below the ground.
func (s *sheet) shape(p polygon, face int32) polygon {
	f := &s.faces[face]
	p = p.within(f.region)
	var room some
	return p.keep(p.values(room[:0], func(c corner) float64 { return s.depth(f, c.x, c.y, c.z) }), Daylight)
}

// depth returns how far the ground lies above the face, or below that of a fill.
func (s *sheet) depth(f *face, x, y, z float64) float64 { return float64(s.sign*z) - f.at(x, y) }

// spread links a node to all that it joins.
func (q *queue) spread(k key) {
	face := q.nodes[k.node].face
	q.acrossEdges(k, face)
	q.acrossBorders(k, face)
	q.acrossCuts(k, face)
	q.overlaps(k, face)
}

// segment is a straight stretch in a triangle, with the ground's level at its ends.
type segment struct{ a, b corner }

// segment returns side i.
func (p polygon) segment(i int) segment { return segment{p[i].corner, p[(i+1)%len(p)].corner} }

func (s *segment) at(t float64) orb.Point { return orb.Point{at(s.a.x, s.b.x, t), at(s.a.y, s.b.y, t)} }

// clip takes off what lies beyond lines.
func (s *segment) clip(sp *span, lines []line, slack float64) {
	for i := range lines {
		sp.clip(lines[i].distance(s.a.x, s.a.y), lines[i].distance(s.b.x, s.b.y), slack)
	}
}

// clipDepth takes off where the face is not below the ground, less topsoil.
func (s *segment) clipDepth(sp *span, sheet *sheet, f *face, topsoil float64) (d0, d1 float64) {
	d0, d1 = sheet.depth(f, s.a.x, s.a.y, s.a.z-topsoil), sheet.depth(f, s.b.x, s.b.y, s.b.z-topsoil)
	sp.clip(d0, d1, 0)
	return d0, d1
}

// joined reports whether what is left of a segment joins what lies beside it, and
// where it is deepest.
func (q *queue) joined(s *segment, sp span, d0, d1 float64) (depth float64, place orb.Point, ok bool) {
	length := hypot(s.b.x-s.a.x, s.b.y-s.a.y)
	if !(float64((sp.hi-sp.lo)*length) > q.least) {
		return 0, place, false
	}
	lo, hi := at(d0, d1, sp.lo), at(d0, d1, sp.hi)
	if lo > hi {
		return lo, s.at(sp.lo), lo > noDepth
	}
	return hi, s.at(sp.hi), hi > noDepth
}

// edge returns side i of a triangle, from its lesser end by (x, y), so that both
// triangles at it compute the same.
func (t *tile) edgeSegment(i int) segment {
	p, q := t.triangle[i], t.triangle[(i+1)%3]
	if q.X < p.X || (q.X == p.X && q.Y < p.Y) {
		p, q = q, p
	}
	return segment{corner{p.X, p.Y, p.Level}, corner{q.X, q.Y, q.Level}}
}

func (q *queue) acrossEdges(k key, face int32) {
	f := &q.sheet.faces[face]
	l := &k.tile.leaves[k.leaf]
	for i := range 3 {
		u, _, ok := q.ground.Across(k.tile.t, i)
		if !ok {
			continue
		}
		s := k.tile.edgeSegment(i)
		sp := span{0, 1}
		s.clip(&sp, l.lines, q.slack)
		s.clip(&sp, f.region, q.slack)
		d0, d1 := s.clipDepth(&sp, q.sheet, f, l.topsoil)
		if _, _, ok := q.joined(&s, sp, d0, d1); !ok {
			continue
		}
		next := q.tile(u)
		for j := range next.leaves {
			m := &next.leaves[j]
			if q.blocked(m) {
				continue
			}
			sp, d0, d1 := sp, d0, d1
			s.clip(&sp, m.lines, q.slack)
			if m.topsoil > l.topsoil {
				d0, d1 = s.clipDepth(&sp, q.sheet, f, m.topsoil)
			}
			if depth, place, ok := q.joined(&s, sp, d0, d1); ok {
				q.link(next, j, face, depth, place)
			}
		}
	}
}

func (q *queue) acrossBorders(k key, face int32) {
	l := &k.tile.leaves[k.leaf]
	for _, n := range q.sheet.faces[face].borders {
		b := &q.sheet.borders[n]
		other := b.a
		if other == face {
			other = b.b
		}
		s := segment{
			corner{x: b.x + float64(b.from*b.dx), y: b.y + float64(b.from*b.dy)},
			corner{x: b.x + float64(b.to*b.dx), y: b.y + float64(b.to*b.dy)},
		}
		sp := span{0, 1}
		s.clip(&sp, k.tile.edge[:], q.slack)
		s.clip(&sp, l.lines, q.slack)
		if !(sp.lo < sp.hi) {
			continue
		}
		p, r := s.at(sp.lo), s.at(sp.hi)
		s = segment{corner{p[0], p[1], k.tile.level(p)}, corner{r[0], r[1], k.tile.level(r)}}
		sp = span{0, 1}
		d0, d1 := s.clipDepth(&sp, q.sheet, &q.sheet.faces[face], l.topsoil)
		e0, e1 := s.clipDepth(&sp, q.sheet, &q.sheet.faces[other], l.topsoil)
		if !(float64((sp.hi-sp.lo)*hypot(s.b.x-s.a.x, s.b.y-s.a.y)) > q.least) {
			continue
		}
		depth, t := peak(at(d0, d1, sp.lo), at(d0, d1, sp.hi), at(e0, e1, sp.lo), at(e0, e1, sp.hi))
		if depth > noDepth {
			q.link(k.tile, k.leaf, other, depth, s.at(at(sp.lo, sp.hi, t)))
		}
	}
}

// level returns the ground's level at a place in the triangle, never outside the
// range of its corners'.
func (t *tile) level(p orb.Point) float64 {
	a, b, c := t.triangle[0], t.triangle[1], t.triangle[2]
	ux, uy, vx, vy := b.X-a.X, b.Y-a.Y, c.X-a.X, c.Y-a.Y
	area := float64(ux*vy) - float64(uy*vx)
	dx, dy := p[0]-a.X, p[1]-a.Y
	w1 := (float64(dx*vy) - float64(dy*vx)) / area
	w2 := (float64(ux*dy) - float64(uy*dx)) / area
	z := a.Level + float64(w1*(b.Level-a.Level)) + float64(w2*(c.Level-a.Level))
	return min(max(z, min(a.Level, b.Level, c.Level)), max(a.Level, b.Level, c.Level))
}

// acrossCuts links to the other leaves of the triangle that a cut parts from this one.
func (q *queue) acrossCuts(k key, face int32) {
	if len(k.tile.leaves) == 1 {
		return
	}
	f := &q.sheet.faces[face]
	l := &k.tile.leaves[k.leaf]
	for i, beside := range q.beside(k.tile, k.leaf) {
		s := l.segment(i)
		s.a.z, s.b.z = s.a.z+l.topsoil, s.b.z+l.topsoil
		for _, j := range beside {
			m := &k.tile.leaves[j]
			if q.blocked(m) {
				continue
			}
			sp := span{0, 1}
			s.clip(&sp, m.lines, q.slack)
			s.clip(&sp, f.region, q.slack)
			d0, d1 := s.clipDepth(&sp, q.sheet, f, max(l.topsoil, m.topsoil))
			if depth, place, ok := q.joined(&s, sp, d0, d1); ok {
				q.link(k.tile, j, face, depth, place)
			}
		}
	}
}

// beside returns, for each side of a leaf, the other leaves of its triangle along it.
func (f *flood) beside(t *tile, leaf int) [][]int {
	l := &t.leaves[leaf]
	if l.beside != nil {
		return l.beside
	}
	l.beside = make([][]int, len(l.polygon))
	for i := range l.polygon {
		if l.polygon[i].label < 0 {
			continue
		}
		s := l.segment(i)
		length := hypot(s.b.x-s.a.x, s.b.y-s.a.y)
		for j := range t.leaves {
			sp := span{0, 1}
			s.clip(&sp, t.leaves[j].lines, f.slack)
			if j != leaf && float64((sp.hi-sp.lo)*length) > f.least {
				l.beside[i] = append(l.beside[i], j)
			}
		}
	}
	return l.beside
}

// overlaps links to faces of other units that share an area with the node.
func (q *queue) overlaps(k key, face int32) {
	u := &q.sheet.units[q.sheet.faces[face].unit]
	l := &k.tile.leaves[k.leaf]
	shape := q.nodes[k.node].shape
	if len(u.overlaps) == 0 || len(shape) < 3 {
		return
	}
	around, ok := q.around[l]
	if !ok {
		around = q.sheet.around(l.polygon, q.pad)
		q.around[l] = around
	}
	for _, o := range around {
		other := &q.sheet.units[o]
		if _, found := slices.BinarySearch(u.overlaps, o); !found {
			continue
		}
		for face := range q.sheet.near(other, shape, func(i int32) bool { return l.has(q.sheet, i) }) {
			common := q.sheet.shape(shape, face)
			if !(common.area2() > 0) {
				continue
			}
			own := q.nodes[k.node].face
			if depth, place := q.sheet.deepest(common, &q.sheet.faces[own], &q.sheet.faces[face]); depth > noDepth {
				q.link(k.tile, k.leaf, face, depth, place)
			}
		}
	}
}

// deepest returns how deep the shallower of two faces lies at most within a shape, and
// where: at a corner, or on a side where they cross.
func (s *sheet) deepest(p polygon, f, g *face) (depth float64, place orb.Point) {
	for i := range p {
		a, b := &p[i], &p[(i+1)%len(p)]
		d, t := peak(s.depth(f, a.x, a.y, a.z), s.depth(f, b.x, b.y, b.z), s.depth(g, a.x, a.y, a.z), s.depth(g, b.x, b.y, b.z))
		if d > depth {
			depth, place = d, orb.Point{at(a.x, b.x, t), at(a.y, b.y, t)}
		}
	}
	return depth, place
}

// peak returns the greatest that the lesser of two values is along a stretch, and
// where: the one runs from d0 to d1, the other from e0 to e1.
func peak(d0, d1, e0, e1 float64) (value, t float64) {
	value, t = min(d0, e0), 0
	if v := min(d1, e1); v > value {
		value, t = v, 1
	}
	if a, b := d0-e0, d1-e1; (a < 0) != (b < 0) {
		c := a / (a - b)
		if v := min(at(d0, d1, c), at(e0, e1, c)); v > value {
			value, t = v, c
		}
	}
	return value, t
}

// sorted returns the tiles that hold nodes, in the order of their triangles.
func (f *flood) sorted() []*tile {
	var out []*tile
	for _, t := range f.tiles {
		if slices.ContainsFunc(t.leaves, func(l leaf) bool { return len(l.nodes) > 0 }) {
			out = append(out, t)
		}
	}
	slices.SortFunc(out, func(a, b *tile) int { return a.t - b.t })
	return out
}
