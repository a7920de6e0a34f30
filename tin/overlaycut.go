package tin

import (
	"slices"

	"barrow/tin/internal/mesh"
)

// overlayVisit is one worker of an overlay: it cuts triangles of the second
// surface by polygons of the first. A corner of a common piece has both levels
// from what it is (see clipper), so that all pieces round it share them.
type overlayVisit struct {
	reacher // over the second surface
	o       *Overlay
	cut     cutter // over the first
	first   convex
	edge    []int      // of the first surface's triangle, on which each side of first lies, or -1
	plane   edgedPlane // of that triangle
	clip    clipper
	out     CommonPiece
	gap     float64 // twice the local area, of the triangle of the first, that MaxEdge took from the second
	piece   func(*CommonPiece)
	common  func(t int32, inside bool) (area float64, more bool) // cutSecond
}

func newOverlayVisit(o *Overlay) *overlayVisit {
	v := &overlayVisit{o: o, reacher: newReacher(o.mb, o.b.hull), cut: cutter{s: o.a, frame: o.frame, reacher: reacher{m: o.ma}}}
	v.common = v.cutSecond
	return v
}

// visit cuts one triangle of the first surface, or the part of it in a cell. It
// returns twice the local area that the second surface does not cover.
func (v *overlayVisit) visit(w overlayWork) (gap float64) {
	triangle := v.cut.triangle(w.triangle)
	if w.cell >= 0 {
		v.cut.area.setCell(&v.o.cells[w.cell], v.o.frame)
		v.edge = v.cut.within(w.triangle, &v.first, v.edge)
		if v.sameWithin(w, &triangle) {
			return 0
		}
	} else if v.same(w, &triangle) {
		return 0
	} else {
		v.first.set(triangle[:])
		v.edge = append(v.edge[:0], 0, 1, 2)
	}
	v.plane.set(&triangle)
	v.out.A, v.gap = int(w.triangle), 0
	missing := v.reach(&v.first, v.common)
	return v.gap + missing
}

// cutSecond yields what triangle t of the second surface shares with first, or
// adds it to the gap where MaxEdge took the triangle away. It returns twice the
// area.
func (v *overlayVisit) cutSecond(t int32, _ bool) (area float64, more bool) {
	v.clip.setOf(v.m, v.o.b.level, t)
	ring := v.clip.cutBy(&v.first, &v.sides)
	if len(ring) < 3 {
		return 0, true
	}
	out := slices.Grow(v.out.Corner[:0], len(ring))[:len(ring)]
	for i, k := range ring {
		c, to := &v.clip.corner[k], &out[i]
		to.X, to.Y, to.A, to.B = c.X, c.Y, v.firstLevel(c), c.Level
		if i >= 2 {
			area += cross(out[i-1].X-out[0].X, out[i-1].Y-out[0].Y, to.X-out[0].X, to.Y-out[0].Y)
		}
	}
	v.out.Corner = out
	if v.o.b.isPeeled(t) {
		v.gap += area
	} else {
		v.out.B = int(t)
		v.piece(&v.out)
	}
	return area, true
}

// corners returns the corners of a triangle of the second surface.
func (v *overlayVisit) corners(t int32) [3]PieceCorner { return cornersOf(v.m, v.o.b.level, t) }

// firstLevel returns the first surface's level at a corner.
func (v *overlayVisit) firstLevel(c *clipCorner) float64 {
	switch c.kind {
	case polygonCorner:
		return v.first.corner[c.side].Level
	case crossing:
		if k := int(c.side); k < len(v.edge) && v.edge[k] >= 0 {
			return v.plane.atEdge(v.edge[k], c.X, c.Y)
		}
	}
	return v.plane.at(c.X, c.Y)
}

// same yields the piece at once where the second surface has the same triangle.
func (v *overlayVisit) same(w overlayWork, p *[3]PieceCorner) bool {
	t, q := v.twin(w.triangle, p)
	if t < 0 {
		return false
	}
	v.out = CommonPiece{int(w.triangle), int(t), v.out.Corner[:0]}
	for i := range 3 {
		v.out.Corner = append(v.out.Corner, CommonCorner{p[i].X, p[i].Y, p[i].Level, q[i].Level})
	}
	v.piece(&v.out)
	return true
}

// sameWithin is same for the part of a triangle in a cell. Both triangles are cut
// in the same steps: equal levels stay equal to the bit.
func (v *overlayVisit) sameWithin(w overlayWork, p *[3]PieceCorner) bool {
	if len(v.first.corner) < 3 {
		return false
	}
	t, q := v.twin(w.triangle, p)
	if t < 0 {
		return false
	}
	v.out = CommonPiece{int(w.triangle), int(t), v.out.Corner[:0]}
	v.clip.set(q)
	for i, c := range v.clip.cut(&v.cut.area, false) {
		v.out.Corner = append(v.out.Corner, CommonCorner{c.X, c.Y, v.first.corner[i].Level, c.Level})
	}
	v.piece(&v.out)
	return true
}

// twin returns the triangle of the second surface that has the corners of a
// triangle of the first, with its own corners in the same order, or -1.
func (v *overlayVisit) twin(triangle int32, p *[3]PieceCorner) (t int32, q [3]PieceCorner) {
	// Of the same places both surfaces have the same triangles by number.
	if int(triangle) < v.m.Triangles() && v.shared(triangle, p) == 3 {
		if q, ok := turnedLike(p, v.corners(triangle)); ok {
			v.hint = triangle
			return v.unpeeled(triangle), q
		}
	}
	x, y := p[0].X+((p[1].X-p[0].X)+(p[2].X-p[0].X))/3, p[0].Y+((p[1].Y-p[0].Y)+(p[2].Y-p[0].Y))/3
	t = v.m.Locate(x, y, v.hint)
	if t < 0 {
		return -1, q
	}
	v.hint = t
	if v.shared(t, p) < 2 {
		return -1, q
	}
	if q, ok := turnedLike(p, v.corners(t)); ok {
		return v.unpeeled(t), q
	}
	// The middle of a thin triangle may be rounded into the next one.
	for _, e := range v.m.N[3*t : 3*t+3] {
		if e < 0 {
			continue
		}
		if q, ok := turnedLike(p, v.corners(e/3)); ok {
			return v.unpeeled(e / 3), q
		}
	}
	return -1, q
}

// shared returns how many corners of a triangle of the second surface are at a
// corner of p.
func (v *overlayVisit) shared(t int32, p *[3]PieceCorner) (n int) {
	for _, k := range v.m.V[3*t : 3*t+3] {
		at := &v.m.P[k]
		if p[0].isAt(at) || p[1].isAt(at) || p[2].isAt(at) {
			n++
		}
	}
	return n
}

// unpeeled returns a triangle of the second surface, or -1 where MaxEdge took it
// away.
func (v *overlayVisit) unpeeled(t int32) int32 {
	if v.o.b.isPeeled(t) {
		return -1
	}
	return t
}

// turnedLike returns the corners of a triangle in the order of another's at the
// same places, if they are.
func turnedLike(p *[3]PieceCorner, q [3]PieceCorner) ([3]PieceCorner, bool) {
	for range 2 {
		if q[0].sameplace(p[0]) {
			break
		}
		q[0], q[1], q[2] = q[1], q[2], q[0]
	}
	return q, q[0].sameplace(p[0]) && q[1].sameplace(p[1]) && q[2].sameplace(p[2])
}

func (c PieceCorner) sameplace(d PieceCorner) bool { return c.X == d.X && c.Y == d.Y }

func (c *PieceCorner) isAt(p *mesh.XY) bool { return c.X == p.X && c.Y == p.Y }
