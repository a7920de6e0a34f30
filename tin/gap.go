package tin

import (
	"context"

	"barrow/tin/internal/mesh"
)

// gapSlack is the share of a squared distance below which one vertex is taken to
// be as near as another.
const gapSlack = 1e-10

// gap returns the square of the greatest distance from a place of the cells to
// the vertex nearest to it, in square local units. If ctx ends it is too small.
//
// The place is a corner of the Voronoi diagram of the vertices or lies on the
// rim of the cells, where the diagram's edges cross it or at a corner. The
// diagram's corners are the centres of the circles of Delaunay triangles.
func (s *Surface) gap(ctx context.Context, cells []Cell) float64 {
	if len(cells) == 0 {
		return 0
	}
	g := gap{ctx: ctx, m: s.mesh.Unforced()}
	for _, c := range cells {
		g.cells = append(g.cells, newGapCell(c.in(s.frame)))
	}
	g.rim()
	g.centres()
	return g.most
}

// gap is a search for the place farthest from all vertices.
type gap struct {
	ctx   context.Context
	m     *mesh.Mesh // Delaunay
	cells []gapCell
	most  float64 // the greatest squared distance found
}

// gapCell is a cell, with the box round it.
type gapCell struct {
	corner [3]mesh.XY
	lo, hi mesh.XY
}

func newGapCell(corners [3][2]float64) gapCell {
	var c gapCell
	for i, p := range corners {
		c.corner[i] = mesh.XY{X: p[0], Y: p[1]}
	}
	a, b, d := c.corner[0], c.corner[1], c.corner[2]
	c.lo = mesh.XY{X: min(a.X, b.X, d.X), Y: min(a.Y, b.Y, d.Y)}
	c.hi = mesh.XY{X: max(a.X, b.X, d.X), Y: max(a.Y, b.Y, d.Y)}
	return c
}

func (c *gapCell) holds(p mesh.XY) bool {
	if p.X < c.lo.X || p.X > c.hi.X || p.Y < c.lo.Y || p.Y > c.hi.Y {
		return false
	}
	for i, a := range c.corner {
		b := c.corner[(i+1)%3]
		if cross(b.X-a.X, b.Y-a.Y, p.X-a.X, p.Y-a.Y) < 0 {
			return false
		}
	}
	return true
}

// rim looks along the sides of cells that no other cell lies across.
func (g *gap) rim() {
	type side struct{ from, to mesh.XY }
	sides := make(map[side]bool)
	for _, c := range g.cells {
		for i, p := range c.corner {
			sides[side{p, c.corner[(i+1)%3]}] = true
		}
	}
	near := int32(0)
	for _, c := range g.cells {
		for i, p := range c.corner {
			if q := c.corner[(i+1)%3]; !sides[side{q, p}] {
				near = g.along(p, q, near)
			}
		}
	}
}

// stretch is a part of a side, with half-edges that leave the vertices nearest
// to its ends.
type stretch struct {
	p, q mesh.XY
	u, v int32
}

// along looks at the places where the side from p to q crosses from one
// vertex's part of the plane into another's: it halves the side where two
// vertices are equally near, until no third is nearer. The search for a vertex
// starts from half-edge near; it returns one at q.
func (g *gap) along(p, q mesh.XY, near int32) int32 {
	u := g.nearest(p, near)
	v := g.nearest(q, u)
	todo := []stretch{{p, q, u, v}}
	for len(todo) > 0 && g.ctx.Err() == nil {
		s := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		a, b := g.m.P[g.m.V[s.u]], g.m.P[g.m.V[s.v]]
		bound := min(max(squared(s.p, a), squared(s.q, a)), max(squared(s.p, b), squared(s.q, b)))
		if a == b || bound <= g.most {
			continue
		}
		from, to := nearer(s.p, b, a), nearer(s.q, a, b)
		t := from / (from + to)
		m := mesh.XY{X: s.p.X + float64(t*(s.q.X-s.p.X)), Y: s.p.Y + float64(t*(s.q.Y-s.p.Y))}
		if !(t > 0 && t < 1) || m == s.p || m == s.q {
			continue
		}
		w := g.nearest(m, s.u)
		if c := g.m.P[g.m.V[w]]; c == a || c == b || squared(m, c) >= squared(m, a)*(1-gapSlack) {
			continue
		}
		todo = append(todo, stretch{m, s.q, w, s.v}, stretch{s.p, m, s.u, w})
	}
	return v
}

// centres looks at the centres of the circles of the triangles that are greater
// than what was found.
func (g *gap) centres() {
	lo, hi := g.cells[0].lo, g.cells[0].hi
	for _, c := range g.cells {
		lo = mesh.XY{X: min(lo.X, c.lo.X), Y: min(lo.Y, c.lo.Y)}
		hi = mesh.XY{X: max(hi.X, c.hi.X), Y: max(hi.Y, c.hi.Y)}
	}
	m := g.m
	for t := range int32(m.Triangles()) {
		if t%4096 == 0 && g.ctx.Err() != nil {
			return
		}
		v := [3]int32(m.V[3*t:])
		a, b, c := m.P[v[0]], m.P[v[1]], m.P[v[2]]
		ux, uy, vx, vy := b.X-a.X, b.Y-a.Y, c.X-a.X, c.Y-a.Y
		uu, vv := float64(ux*ux)+float64(uy*uy), float64(vx*vx)+float64(vy*vy)
		area2 := cross(ux, uy, vx, vy)
		// The radius is the product of the sides / 4 areas.
		if uu*vv*squared(b, c) <= 4*g.most*area2*area2 {
			continue
		}
		p := mesh.XY{X: a.X + cross(uu, vv, uy, vy)/(2*area2), Y: a.Y + cross(ux, vx, uu, vv)/(2*area2)}
		if p.X < lo.X || p.X > hi.X || p.Y < lo.Y || p.Y > hi.Y {
			continue
		}
		for i := range g.cells {
			if g.cells[i].holds(p) {
				g.nearest(p, 3*t)
				break
			}
		}
	}
}

// nearest returns a half-edge that leaves the vertex nearest to a place of the
// cells, and counts its distance. It goes from vertex to vertex, from half-edge
// e on, always to the nearest: in a Delaunay triangulation only the nearest of
// all has none nearer beside it.
func (g *gap) nearest(p mesh.XY, e int32) int32 {
	m := g.m
	for range m.P { // rounding could lead it in a circle
		at := m.P[m.V[e]]
		best, most := e, 0.0
		for f := range m.Around(e) {
			for _, next := range [2]int32{mesh.Next(f), mesh.Prev(f)} {
				if by := nearer(p, at, m.P[m.V[next]]); by > most {
					best, most = next, by
				}
			}
		}
		if best == e {
			break
		}
		e = best
	}
	g.most = max(g.most, squared(p, m.P[m.V[e]]))
	return e
}

// nearer returns by how much w is nearer to p than v is, in squared distances:
// from differences, so that vertices side by side are told apart too.
func nearer(p, v, w mesh.XY) float64 {
	return float64((w.X-v.X)*((p.X-v.X)+(p.X-w.X))) + float64((w.Y-v.Y)*((p.Y-v.Y)+(p.Y-w.Y)))
}

// squared returns the squared distance of two places.
func squared(p, q mesh.XY) float64 {
	dx, dy := q.X-p.X, q.Y-p.Y
	return float64(dx*dx) + float64(dy*dy)
}
