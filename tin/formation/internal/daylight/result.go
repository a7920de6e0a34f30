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
	Corner   []tin.FaceCorner
	Topsoil  float64 // metres that were taken off the ground
	Side     []Label // of the side from each corner to the next
	Rim      []bool  // the side lies where the ground ends
	part     int32
	sheet    *sheet
	face     int32
	fan      *unit // nil under a strip
}

// FaceAt returns the level of the plane of its face, local units in, metres out.
func (p *Piece) FaceAt(x, y float64) float64 { return p.sheet.sign * p.sheet.faces[p.face].at(x, y) }

// collect returns the pieces of all works: of cuts the lowest face, of fills the
// highest, and where both are the cut. clash is told of cut that takes fill's place.
func (f *flood) collect(clash func(cutPad, fillPad int32, p polygon)) []Piece {
	var pieces []Piece
	for _, t := range f.sorted() {
		for j := range t.leaves {
			l := &t.leaves[j]
			if len(l.nodes) == 0 || l.pads != nil {
				continue
			}
			slices.SortFunc(l.nodes, func(a, b int32) int {
				n, m := &f.nodes[a], &f.nodes[b]
				return cmp.Or(cmp.Compare(m.sheet.sign, n.sheet.sign), cmp.Compare(n.face, m.face))
			})
			for _, n := range l.nodes {
				for _, p := range f.ruled(l, n, clash) {
					pieces = append(pieces, f.piece(t, l, n, p))
				}
			}
		}
	}
	return pieces
}

// ruled returns the parts of a node where no other rules.
func (f *flood) ruled(l *leaf, n int32, clash func(cutPad, fillPad int32, p polygon)) []polygon {
	own := &f.nodes[n]
	face := &own.sheet.faces[own.face]
	unit := &own.sheet.units[face.unit]
	parts := []polygon{own.shape}
	if len(own.shape.corner) < 3 {
		return nil
	}
	for _, m := range l.nodes {
		other := &f.nodes[m]
		if m == n || len(other.shape.corner) < 3 {
			continue
		}
		otherFace := &other.sheet.faces[other.face]
		same := other.sheet == own.sheet
		if same && !slices.Contains(unit.overlaps, otherFace.unit) {
			continue
		}
		if !same && own.sheet.sign > 0 {
			continue // cut rules
		}
		var rest []polygon
		for _, p := range parts {
			gone, left := without(p, other.sheet, other.face, func(c corner) float64 {
				if !same {
					return other.sheet.depth(otherFace, c.x, c.y, c.z)
				}
				d := face.at(c.x, c.y) - otherFace.at(c.x, c.y)
				return d
			}, same && other.face > own.face)
			rest = append(rest, left...)
			if !same && gone.area2() > 0 {
				clash(other.sheet.units[otherFace.unit].pad, unit.pad, gone)
			}
		}
		parts = rest
	}
	return parts
}

// without takes from p the part in the region of a face where value is above 0, or 0
// or more unless strict, and returns that part and the rest, in convex parts.
func without(p polygon, s *sheet, face int32, value func(corner) float64, strict bool) (gone polygon, rest []polygon) {
	gone = p
	part := func(label Label, value func(corner) float64, strict bool) {
		if len(gone.corner) == 0 {
			return
		}
		v, minus := make([]float64, len(gone.corner)), make([]float64, len(gone.corner))
		above, below := false, false
		for i, c := range gone.corner {
			v[i] = value(c)
			minus[i] = -v[i]
			above, below = above || v[i] > 0, below || v[i] < 0
		}
		switch {
		case !above && (below || strict):
			rest, gone = append(rest, gone), polygon{}
		case !below:
		default:
			rest = append(rest, gone.keep(minus, label))
			gone = gone.keep(v, label)
		}
	}
	region := s.faces[face].region
	for i := range region {
		part(Crease, func(c corner) float64 { return region[i].distance(c.x, c.y) }, true)
	}
	part(Crease, value, strict)
	if len(gone.corner) == 0 {
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
		Triangle: t.t, Place: Place{int(u.pad), u.ring, u.side}, Cut: own.sheet.sign > 0, Side: p.side, Topsoil: l.topsoil,
		Rim: make([]bool, len(p.side)), part: own.part, sheet: own.sheet, face: own.face,
	}
	if u.fan {
		out.fan = u
	}
	for i, c := range p.corner {
		out.Corner = append(out.Corner, tin.FaceCorner{X: c.x, Y: c.y, Ground: c.z, Face: own.sheet.sign * face.at(c.x, c.y)})
		out.Rim[i] = f.rimAt(t, l, p.side[i], segment{c, p.corner[(i+1)%len(p.corner)]})
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
					for _, c := range own.shape.corner {
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
