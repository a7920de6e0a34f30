package daylight

import (
	"cmp"
	"slices"

	"github.com/paulmach/orb"

	"barrow/tin"
)

// Joint is where a part of the works is held by no joint deeper than 10 mm.
type Joint struct {
	Pad    int
	Cut    bool
	At     orb.Point // local
	Depth  float64   // of the joint, metres
	Volume float64   // of the part behind it, cubic metres
	Deep   float64   // greatest depth behind it, metres
}

// Piece is a part of the works outside all formation outlines, in one triangle of the
// ground and under one face.
type Piece struct {
	Triangle int
	Place    Place // the side whose face it is, or that starts at the corner whose face it is
	Cut      bool
	Face     int // its number: of the pieces of cut, or of fill, those with one number lie in one plane
	Corner   []tin.FaceCorner
	Topsoil  float64 // metres that were taken off the ground
	Side     []Label // of the side from each corner to the next
	Rim      []bool  // the side lies where the ground ends
	part     int32
	sheet    *sheet
	fan      *unit // nil under a strip
}

// FaceAt returns the level of the plane of its face, local units in, metres out.
func (p *Piece) FaceAt(x, y float64) float64 { return p.sheet.sign * p.sheet.faces[p.Face].at(x, y) }

// collect returns the pieces of all works: of cuts the lowest face, of fills the
// highest, and where both are the cut; none if the context has ended. clash is told of
// cut that takes fill's place.
func (f *flood) collect(clash func(cutPad, fillPad int32, p polygon)) []Piece {
	var pieces []Piece
	for _, t := range f.sorted() {
		if f.ctx.Err() != nil {
			return nil
		}
		for j := range t.leaves {
			l := &t.leaves[j]
			if len(l.nodes) == 0 || l.pads != nil {
				continue
			}
			slices.SortFunc(l.nodes, func(a, b int32) int {
				n, m := &f.nodes[a], &f.nodes[b]
				return cmp.Or(cmp.Compare(m.sheet.sign, n.sheet.sign), cmp.Compare(n.face, m.face))
			})
			groups := f.groups(l.nodes)
			for _, n := range l.nodes {
				for _, p := range f.ruled(l, n, groups, clash) {
					pieces = append(pieces, f.piece(t, l, n, p))
				}
			}
		}
	}
	return pieces
}

// ruled returns the parts of a node where no other rules.
func (f *flood) ruled(l *leaf, n int32, groups []group, clash func(cutPad, fillPad int32, p polygon)) []polygon {
	own := &f.nodes[n]
	if len(own.shape) < 3 {
		return nil
	}
	parts := []polygon{own.shape}
	for _, g := range groups {
		if g.sheet == own.sheet && !f.overlap(own, g.unit) {
			continue
		}
		var rest []polygon
		switch {
		case g.sheet == own.sheet:
			for _, p := range parts {
				rest = f.lowest(rest, p, l, own, g.unit)
			}
		case own.sheet.sign > 0:
			continue // cut rules
		default:
			for _, p := range parts {
				rest = f.uncut(rest, p, l, own, g, clash)
			}
		}
		if parts = rest; len(parts) == 0 {
			return nil
		}
	}
	return parts
}

// group is a unit some of whose faces have nodes in a leaf.
type group struct {
	sheet *sheet
	unit  int32
}

// overlap reports whether a node's unit shares an area with another of its sheet.
func (f *flood) overlap(n *node, unit int32) bool {
	_, found := slices.BinarySearch(n.sheet.units[n.sheet.faces[n.face].unit].overlaps, unit)
	return found
}

// groups returns the units of nodes, which are sorted.
func (f *flood) groups(nodes []int32) (out []group) {
	for _, n := range nodes {
		s := f.nodes[n].sheet
		if g := (group{s, s.faces[f.nodes[n].face].unit}); len(out) == 0 || out[len(out)-1] != g {
			out = append(out, g)
		}
	}
	return out
}

// lowest adds to rest the parts of p that no face of another unit of the sheet rules.
func (f *flood) lowest(rest []polygon, p polygon, l *leaf, own *node, unit int32) []polygon {
	s := own.sheet
	u := &s.units[unit]
	switch s.compare(p, l, own.face, u) {
	case ownRules:
		return append(rest, p)
	case otherRules:
		return rest
	}
	parts := []polygon{p}
	for other := range s.near(u, p, func(i int32) bool { return !f.wet(l, s, i) }) {
		d := s.gap(own.face, other)
		var left []polygon
		for _, p := range parts {
			if beyond(s.faces[other].region, p, sliver/s.length) {
				left = append(left, p)
				continue
			}
			_, more := without(p, s, other, func(c corner) float64 { return d.at(c.x, c.y) }, other > own.face)
			left = append(left, more...)
		}
		parts = left
	}
	return append(rest, parts...)
}

// wet reports whether a face has a node of some area in a leaf.
func (f *flood) wet(l *leaf, s *sheet, face int32) bool {
	n, ok := l.faces[s.key(face)]
	return ok && len(f.nodes[n].shape) > 2
}

// uncut adds to rest the parts of p, of a fill, that are in no cut of a unit.
func (f *flood) uncut(rest []polygon, p polygon, l *leaf, own *node, g group, clash func(cutPad, fillPad int32, p polygon)) []polygon {
	s := g.sheet
	u := &s.units[g.unit]
	pad := own.sheet.units[own.sheet.faces[own.face].unit].pad
	switch s.ground(p, l, u) {
	case ownRules:
		return append(rest, p)
	case otherRules:
		clash(u.pad, pad, p)
		return rest
	}
	parts := []polygon{p}
	for other := range s.near(u, p, func(i int32) bool { return !f.wet(l, s, i) }) {
		var left []polygon
		for _, p := range parts {
			gone, more := without(p, s, other, func(c corner) float64 { return s.depth(&s.faces[other], c.x, c.y, c.z) }, false)
			left = append(left, more...)
			if gone.area2() > 0 {
				clash(u.pad, pad, gone)
			}
		}
		parts = left
	}
	return append(rest, parts...)
}

// without takes from p the part in the region of a face where value is above 0, or 0
// or more unless strict, and returns that part and the rest, in convex parts. What
// reaches over a line by no more than rounding is not cut there: parts that meet at one
// corner would be cut to slivers, and those again, without end.
func without(p polygon, s *sheet, face int32, value func(corner) float64, strict bool) (gone polygon, rest []polygon) {
	gone = p
	part := func(label Label, value func(corner) float64, slack float64, strict bool) {
		var room, turned some
		v := gone.values(room[:0], value)
		above, below := beyondSlack(v, slack)
		switch {
		case !above && (below || strict):
			rest, gone = append(rest, gone), nil
		case !below:
		default:
			rest = append(rest, gone.keep(negated(turned[:0], v), label))
			gone = gone.keep(v, label)
		}
	}
	region := s.faces[face].region
	for i := range region {
		part(Crease, func(c corner) float64 { return region[i].distance(c.x, c.y) }, sliver/s.length, true)
	}
	part(Crease, value, noise, strict)
	if len(gone) == 0 {
		return gone, []polygon{p}
	}
	return gone, rest
}

// piece makes the result of a part of a node.
func (f *flood) piece(t *tile, l *leaf, n int32, p polygon) Piece {
	own := &f.nodes[n]
	face := &own.sheet.faces[own.face]
	u := &own.sheet.units[face.unit]
	out := Piece{
		Triangle: t.t, Place: Place{int(u.pad), u.ring, u.side}, Cut: own.sheet.sign > 0, Face: int(own.face), Topsoil: l.topsoil,
		Corner: make([]tin.FaceCorner, len(p)), Side: make([]Label, len(p)), Rim: make([]bool, len(p)),
		part: own.part, sheet: own.sheet,
	}
	if u.fan {
		out.fan = u
	}
	for i, c := range p {
		out.Corner[i] = tin.FaceCorner{X: c.x, Y: c.y, Ground: c.z, Face: own.sheet.sign * face.at(c.x, c.y)}
		out.Side[i], out.Rim[i] = c.label, f.rimAt(t, l, c.label, p.segment(i))
	}
	return out
}

// rimAt reports whether a stretch of a leaf's side lies where the ground ends.
func (f *flood) rimAt(t *tile, l *leaf, label Label, s segment) bool {
	switch {
	case label >= 0:
		return f.plan.isLimit(int(label)) && f.outsideBeside(t, l, s)
	case label >= Edge2:
		u, _, ok := f.ground.Across(t.t, int(Edge0-label))
		return !ok || (f.plan.limited() && f.outsideBeside(f.tile(u), nil, s))
	}
	return false
}

// outsideBeside reports whether a leaf of a triangle, other than one, has no ground
// and lies along a stretch.
func (f *flood) outsideBeside(t *tile, but *leaf, s segment) bool {
	for j := range t.leaves {
		m := &t.leaves[j]
		if m == but || !m.outside {
			continue
		}
		sp := span{0, 1}
		s.clip(&sp, m.lines, f.slack)
		if float64((sp.hi-sp.lo)*hypot(s.b.x-s.a.x, s.b.y-s.a.y)) > f.least {
			return true
		}
	}
	return false
}

// standing finds where pads stand above the cut batters of others.
func (f *flood) standing(pads []Pad) (out []Standing) {
	found := make(map[[2]int32]*Standing)
	for _, t := range f.sorted() {
		for j := range t.leaves {
			l := &t.leaves[j]
			for _, n := range l.nodes {
				own := &f.nodes[n]
				if own.sheet.sign < 0 || l.pads == nil {
					continue
				}
				face := &own.sheet.faces[own.face]
				for i, in := range l.pads {
					if !in || pads[i].Plane == nil {
						continue
					}
					for _, c := range own.shape {
						m := f.ground.Frame().Metres(c.x, c.y)
						height := pads[i].Plane.LevelAt(m[0], m[1]) - face.at(c.x, c.y)
						k := [2]int32{own.sheet.units[face.unit].pad, int32(i)}
						if height > weakJoint && (found[k] == nil || height > found[k].Height) {
							found[k] = &Standing{int(k[0]), i, height, orb.Point{c.x, c.y}}
						}
					}
				}
			}
		}
	}
	for i := range pads {
		for j := range pads {
			if s := found[[2]int32{int32(i), int32(j)}]; s != nil {
				out = append(out, *s)
			}
		}
	}
	return out
}
