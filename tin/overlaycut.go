package tin

import "math"

// overlayVisit is one worker of an overlay: it cuts triangles of the second
// surface by polygons of the first.
//
// Every corner of a common piece is one of three: a vertex of the second
// surface, a corner of the first's polygon, or the crossing of an edge of one
// with a side of the other. It is computed from those, however it came about in
// the cutting, so that all pieces round it share it to the bit, levels too.
type overlayVisit struct {
	reacher // over the second surface
	o       *Overlay
	cut     cutter // over the first
	first   convex
	plane   trianglePlane // of the first surface's triangle
	poly    [2][]overlayCorner
	out     CommonPiece
	piece   func(*CommonPiece)
}

func newOverlayVisit(o *Overlay) *overlayVisit {
	return &overlayVisit{o: o, reacher: newReacher(o.mb, o.b.hull), cut: cutter{s: o.a, reacher: reacher{m: o.ma}}}
}

// trianglePlane interpolates the levels of one triangle.
type trianglePlane struct {
	x, y, z [3]float64
	area    float64
}

func (p *trianglePlane) set(c []PieceCorner) {
	for i := range 3 {
		p.x[i], p.y[i], p.z[i] = c[i].X, c[i].Y, c[i].Level
	}
	p.area = cross(p.x[1]-p.x[0], p.y[1]-p.y[0], p.x[2]-p.x[0], p.y[2]-p.y[0])
}

// at returns the level at a place in the triangle, at a corner the corner's, and
// never outside the range of the corners' levels.
func (p *trianglePlane) at(x, y float64) float64 {
	for i := range 3 {
		if p.x[i] == x && p.y[i] == y {
			return p.z[i]
		}
	}
	w1 := cross(x-p.x[0], y-p.y[0], p.x[2]-p.x[0], p.y[2]-p.y[0]) / p.area
	w2 := cross(p.x[1]-p.x[0], p.y[1]-p.y[0], x-p.x[0], y-p.y[0]) / p.area
	z := p.z[0] + float64(w1*(p.z[1]-p.z[0])) + float64(w2*(p.z[2]-p.z[0]))
	return max(min(p.z[0], p.z[1], p.z[2]), min(z, max(p.z[0], p.z[1], p.z[2])))
}

// overlayCorner is a corner of a piece under construction, and the line that
// the piece follows from there: an edge of the second surface's triangle (0 to
// 2), or side k of the first's polygon (3+k).
type overlayCorner struct {
	CommonCorner
	line int
}

// visit cuts one triangle of the first surface, or the part of it in a cell. It
// returns twice the local area that the second surface does not cover.
func (v *overlayVisit) visit(w overlayWork) (gap float64) {
	p := v.cut.corners(w.triangle)
	v.plane.set(p)
	if w.cell >= 0 {
		v.cut.area.setCell(&v.o.cells[w.cell])
		p = v.cut.clip(p, &v.cut.area)
	} else if v.same(w, p) {
		return 0
	}
	v.first.set(p)
	v.out.A = int(w.triangle)
	var covered, all float64
	beyond := v.reach(&v.first, func(t int32, inside bool) (float64, bool) {
		c := v.second(t)
		if !inside {
			c = v.clip(c)
		}
		if len(c) < 3 {
			return 0, true
		}
		v.levels(c, t)
		area := commonArea2(v.out.Corner)
		all += area
		if !v.o.b.isPeeled(t) {
			covered += area
			v.out.B = int(t)
			v.piece(&v.out)
		}
		return area, true
	})
	if beyond {
		return area2(v.first.corner) - covered
	}
	return all - covered
}

// same yields the piece at once where the second surface has the same triangle.
func (v *overlayVisit) same(w overlayWork, p []PieceCorner) bool {
	t := v.m.Locate((p[0].X+p[1].X+p[2].X)/3, (p[0].Y+p[1].Y+p[2].Y)/3, v.hint)
	if t < 0 {
		return false
	}
	v.hint = t
	if v.o.b.isPeeled(t) {
		return false
	}
	i := int32(0)
	for ; i < 3; i++ {
		if b := v.m.V[3*t+i]; v.m.P[b].X == p[0].X && v.m.P[b].Y == p[0].Y {
			break
		}
	}
	if i == 3 {
		return false
	}
	v.out = CommonPiece{int(w.triangle), int(t), v.out.Corner[:0]}
	for k := range int32(3) {
		b := v.m.V[3*t+(i+k)%3]
		if v.m.P[b].X != p[k].X || v.m.P[b].Y != p[k].Y {
			return false
		}
		v.out.Corner = append(v.out.Corner, CommonCorner{p[k].X, p[k].Y, p[k].Level, v.o.b.level[b]})
	}
	v.piece(&v.out)
	return true
}

// second returns the corners of a triangle of the second surface.
func (v *overlayVisit) second(t int32) []overlayCorner {
	c := v.poly[0][:0]
	for i, b := range v.m.V[3*t : 3*t+3] {
		c = append(c, overlayCorner{CommonCorner{v.m.P[b].X, v.m.P[b].Y, math.NaN(), v.o.b.level[b]}, i})
	}
	v.poly[0] = c
	return c
}

// clip returns the part of a triangle of the second surface in the first's
// polygon. A corner of the polygon has no level B yet.
func (v *overlayVisit) clip(c []overlayCorner) []overlayCorner {
	triangle := [3]CommonCorner{c[0].CommonCorner, c[1].CommonCorner, c[2].CommonCorner}
	for k := range v.first.side {
		out := v.poly[1][:0]
		if len(c) == 0 {
			return c
		}
		h := &v.first.side[k]
		last := c[len(c)-1]
		dLast := h.distance(last.X, last.Y)
		for i, corner := range c {
			d := h.distance(corner.X, corner.Y)
			switch {
			case dLast < 0 && d > 0: // comes in, and follows the same line
				out = append(out, overlayCorner{v.crossing(k, &triangle, last, corner, dLast, d), last.line})
			case dLast > 0 && d < 0: // goes out, and follows the side
				out = append(out, overlayCorner{v.crossing(k, &triangle, last, corner, dLast, d), 3 + k})
			case dLast == 0 && d < 0 && i > 0: // went out at a corner
				out[len(out)-1].line = 3 + k
			}
			if d >= 0 {
				out = append(out, corner)
			}
			last, dLast = corner, d
		}
		if first := c[0]; dLast == 0 && h.distance(first.X, first.Y) < 0 {
			out[len(out)-1].line = 3 + k
		}
		v.poly[0], v.poly[1] = out, v.poly[0]
		c = out
	}
	return c
}

// crossing returns where the line from corner p to q meets side k of the first
// surface's polygon.
func (v *overlayVisit) crossing(k int, triangle *[3]CommonCorner, p, q overlayCorner, dp, dq float64) CommonCorner {
	n := len(v.first.side)
	if p.line >= 3 {
		// Two sides of the polygon meet at its corner.
		switch j := p.line - 3; {
		case (j+1)%n == k:
			return v.polygonCorner(k)
		case (k+1)%n == j:
			return v.polygonCorner(j)
		}
		t := dp / (dp - dq) // sides that do not meet but for rounding
		return CommonCorner{p.X + float64(t*(q.X-p.X)), p.Y + float64(t*(q.Y-p.Y)), math.NaN(), math.NaN()}
	}
	a, b := triangle[p.line], triangle[(p.line+1)%3]
	if b.X < a.X || (b.X == a.X && b.Y < a.Y) {
		a, b = b, a
	}
	h := &v.first.side[k]
	da, db := h.distance(a.X, a.Y), h.distance(b.X, b.Y)
	t := da / (da - db)
	if !(t >= 0 && t <= 1) {
		t = 0 // the whole edge is on the side but for rounding
	}
	c := CommonCorner{X: a.X + float64(t*(b.X-a.X)), Y: a.Y + float64(t*(b.Y-a.Y)), B: a.B + float64(t*(b.B-a.B))}
	c.A = v.levelOnSide(k, c.X, c.Y)
	return c
}

func (v *overlayVisit) polygonCorner(k int) CommonCorner {
	p := v.first.corner[k]
	return CommonCorner{p.X, p.Y, p.Level, math.NaN()}
}

// levelOnSide returns the first surface's level on side k of its polygon,
// computed from the lesser end.
func (v *overlayVisit) levelOnSide(k int, x, y float64) float64 {
	p, q := v.first.corner[k], v.first.corner[(k+1)%len(v.first.corner)]
	if q.before(p) {
		p, q = q, p
	}
	var t float64
	if math.Abs(q.X-p.X) >= math.Abs(q.Y-p.Y) {
		t = (x - p.X) / (q.X - p.X)
	} else {
		t = (y - p.Y) / (q.Y - p.Y)
	}
	return p.Level + float64(min(max(t, 0), 1)*(q.Level-p.Level))
}

// levels fills in the levels that corners still lack and leaves the piece in
// out.
func (v *overlayVisit) levels(c []overlayCorner, t int32) {
	v.out.Corner = v.out.Corner[:0]
	var second trianglePlane
	for _, corner := range c {
		if math.IsNaN(corner.A) {
			corner.A = v.plane.at(corner.X, corner.Y)
		}
		if math.IsNaN(corner.B) {
			if second.area == 0 {
				var p [3]PieceCorner
				for i, b := range v.m.V[3*t : 3*t+3] {
					p[i] = PieceCorner{v.m.P[b].X, v.m.P[b].Y, v.o.b.level[b]}
				}
				second.set(p[:])
			}
			corner.B = second.at(corner.X, corner.Y)
		}
		v.out.Corner = append(v.out.Corner, corner.CommonCorner)
	}
}

// commonArea2 returns twice the plan area of a piece.
func commonArea2(p []CommonCorner) float64 {
	sum := 0.0
	for i := 2; i < len(p); i++ {
		sum += cross(p[i-1].X-p[0].X, p[i-1].Y-p[0].Y, p[i].X-p[0].X, p[i].Y-p[0].Y)
	}
	return sum
}
