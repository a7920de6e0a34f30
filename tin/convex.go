package tin

import "barrow/tin/internal/mesh"

// convex is a convex polygon in local units, anticlockwise. A side's line is that of
// a triangle or a cell, not the one through what is left of it: a side may be so
// short that its ends give no direction.
type convex struct {
	corner []PieceCorner
	side   []halfPlane // side i starts at corner i
	// rest are half-planes that hold all of the polygon and have no side left.
	// Of a polygon without area, the sides alone need not bound it.
	rest []halfPlane
}

// halfPlane is what lies on or to the left of a side. Its line starts at the
// lesser of the side's ends by (x, y), so that polygons on both sides of it
// compute the same but for the sign.
type halfPlane struct {
	x, y   float64
	ux, uy float64 // to the other end, turned round if that is where the side starts
}

func newHalfPlane(a, b PieceCorner) halfPlane {
	ux, uy := b.X-a.X, b.Y-a.Y
	if b.before(a) {
		a = b
	}
	return halfPlane{a.X, a.Y, ux, uy}
}

// before is the order of (x, y).
func (c PieceCorner) before(d PieceCorner) bool { return c.X < d.X || (c.X == d.X && c.Y < d.Y) }

// distance is positive inside: the distance from the line times its length.
func (h *halfPlane) distance(x, y float64) float64 {
	return cross(h.ux, h.uy, x-h.x, y-h.y)
}

// set makes p the polygon with these corners.
func (p *convex) set(corners []PieceCorner) {
	p.corner = append(p.corner[:0], corners...)
	p.side, p.rest = p.side[:0], p.rest[:0]
	for i, a := range p.corner {
		p.side = append(p.side, newHalfPlane(a, p.corner[(i+1)%len(p.corner)]))
	}
}

// area2 returns twice the plan area of a polygon, from differences.
func area2(p []PieceCorner) float64 {
	sum := 0.0
	for i := 2; i < len(p); i++ {
		sum += cross(p[i-1].X-p[0].X, p[i-1].Y-p[0].Y, p[i].X-p[0].X, p[i].Y-p[0].Y)
	}
	return sum
}

// reacher finds the triangles of a mesh that reach into one convex polygon
// after another.
type reacher struct {
	m      *mesh.Mesh
	border []int32 // half-edges of the hull
	mark   []int32 // the last polygon that reached each triangle
	id     int32
	hint   int32
	stack  []int32
	rim    bool  // the flood met an edge of the hull that reaches into the polygon
	sides  sides // of the triangle visited
}

func newReacher(m *mesh.Mesh, border []int32) reacher {
	return reacher{m: m, border: border, mark: make([]int32, m.Triangles()), hint: -1}
}

// reach calls visit with each triangle that may share an area with p; inside
// says that all of the triangle lies in p. visit returns twice the area shared,
// and false to stop. reach returns twice the area of p that no triangle shares
// because it lies outside the hull: 0 where no corner does.
//
// It floods over the mesh from the triangle at p's centroid, across edges that no
// side of p keeps out and that do not keep p out. Where the areas found do not make
// up p (too thin for its centroid, or partly outside), it goes on from p's corners
// and from the hull.
func (r *reacher) reach(p *convex, visit func(t int32, inside bool) (area2 float64, more bool)) (missing float64) {
	if len(p.corner) < 3 {
		return 0
	}
	r.id++
	r.stack = r.stack[:0]
	x, y := 0.0, 0.0
	for _, c := range p.corner {
		x, y = x+(c.X-p.corner[0].X), y+(c.Y-p.corner[0].Y)
	}
	k := float64(len(p.corner))
	if t := r.m.Locate(p.corner[0].X+x/k, p.corner[0].Y+y/k, r.hint); t >= 0 {
		r.hint = t
		r.push(t)
	}
	r.rim = false
	found, more := r.flood(p, visit)
	if !more {
		return 0
	}
	want := area2(p.corner)
	// A flood that met no rim of the hull saw all of p there is.
	whole := want-found <= 1e-9*want
	if whole && !r.rim {
		return 0
	}
	beyond := false
	for _, c := range p.corner {
		if !r.pushAround(c.X, c.Y) {
			beyond = true
		}
	}
	if whole && !beyond {
		return 0
	}
	if beyond {
		for _, e := range r.border {
			a, b := r.m.V[e], r.m.V[mesh.Next(e)]
			if p.outside(&r.m.P[a])&p.outside(&r.m.P[b]) == 0 {
				r.push(e / 3)
			}
		}
	}
	rest, _ := r.flood(p, visit)
	if !beyond {
		return 0
	}
	return max(0, want-found-rest)
}

func (r *reacher) push(t int32) {
	if r.mark[t] != r.id {
		r.mark[t] = r.id
		r.stack = append(r.stack, t)
	}
}

// pushAround starts from every triangle that holds a point, borders included.
// It reports whether the point lies in the hull.
func (r *reacher) pushAround(x, y float64) bool {
	t := r.m.Locate(x, y, r.hint)
	if t < 0 {
		return false
	}
	r.push(t)
	for e := 3 * t; e < 3*t+3; e++ {
		switch v := r.m.V[e]; {
		case r.m.P[v].X == x && r.m.P[v].Y == y:
			for f := range r.m.Around(e) {
				r.push(f / 3)
			}
		case r.m.N[e] >= 0 && r.m.OnLine(e, x, y):
			r.push(r.m.N[e] / 3)
		}
	}
	return true
}

func (r *reacher) flood(p *convex, visit func(t int32, inside bool) (float64, bool)) (found float64, more bool) {
	m := r.m
	for len(r.stack) > 0 {
		t := r.stack[len(r.stack)-1]
		r.stack = r.stack[:len(r.stack)-1]
		v := m.V[3*t : 3*t+3 : 3*t+3]
		r.sides.set(p, &m.P[v[0]], &m.P[v[1]], &m.P[v[2]])
		area, more := visit(t, r.sides.cuts() == 0)
		if !more {
			return found, false
		}
		found += area
		out, n := &r.sides.out, m.N[3*t:3*t+3:3*t+3]
		for i := range 3 {
			j := after(i)
			if out[i]&out[j] != 0 {
				continue
			}
			switch f := n[i] / 3; {
			case n[i] < 0:
				r.rim = true
			case r.mark[f] != r.id && p.reaches(&m.P[v[i]], &m.P[v[j]]):
				r.push(f)
			}
		}
	}
	return found, true
}
