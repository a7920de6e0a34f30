package tin

import (
	"context"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"barrow/tin/internal/mesh"
)

// Coverage says how closely the vertices of a surface cover some cells.
type Coverage struct {
	// Gap is the greatest distance in plan, in metres, from a place of the cells
	// to the vertex nearest to it, 0 without cells. Every vertex counts, those
	// outside boundary, voids and MaxEdge too, and so does every place of a cell,
	// beyond the hull too. It is off by less than 1e-10 of itself, and by
	// rounding.
	Gap float64
	// ThinArea is the plan area, square metres, of the ground in the cells whose
	// triangle has a side over a given length, and ThinAt a place of it.
	ThinArea float64
	ThinAt   orb.Point
}

// Coverage looks at cells of the surface; long is the length of side, in
// metres, over which a triangle is thin ground. If ctx ends its error is
// returned.
//
// The place of the gap is a corner of the Voronoi diagram of the vertices, cut
// by the cells. The corners of a triangle bound the distance within it by the
// radius of its circle; so only the few triangles whose circle is greater than
// the greatest distance found are looked into.
func (s *Surface) Coverage(ctx context.Context, cells []Cell, long float64) (Coverage, error) {
	var c Coverage
	var thin Sum
	g := gap{ctx: ctx, m: s.mesh}
	limit := long / s.frame.Length()
	n := 0
	for i, p := range s.Pieces(cells) {
		if n++; n%4096 == 0 && ctx.Err() != nil {
			break
		}
		if g.piece(p) <= limit*limit || !p.Ground || !cells[i].Ground {
			continue
		}
		if thin.Value() == 0 {
			c.ThinAt = s.frame.Metres(p.Corner[0].X, p.Corner[0].Y)
		}
		thin.Add(p.Area() * s.frame.Area())
	}
	for i := range cells {
		if !s.InHull(&cells[i]) {
			g.beyond(s.hull, cells[i].in(s.frame))
		}
	}
	c.Gap = math.Sqrt(g.most/(s.frame.per*s.frame.per)) * s.frame.unit
	c.ThinArea = thin.Value()
	return c, ctx.Err()
}

// gapSlack is the share of a squared distance below which a search ends: so
// does one among any number of vertices on a circle.
const gapSlack = 1e-10

// gap is a search for the place farthest from all vertices.
type gap struct {
	ctx  context.Context
	m    *mesh.Mesh
	most float64 // the greatest squared distance found, square local units

	seen  map[int32]bool // triangles of one search for the nearest vertex
	stack []int32
}

// share is the part of a convex polygon that is nearer to one vertex than to
// others.
type share struct {
	vertex int32
	place  []mesh.XY // its corners
}

// piece looks at a piece of a triangle and returns the square of the triangle's
// longest side, square local units.
func (g *gap) piece(p Piece) (longest float64) {
	t := int32(p.Triangle)
	v := [3]int32(g.m.V[3*t:])
	a, b, c := g.m.P[v[0]], g.m.P[v[1]], g.m.P[v[2]]
	ab, bc, ca := squared(a, b), squared(b, c), squared(c, a)
	longest = max(ab, bc, ca)
	area2 := cross(b.X-a.X, b.Y-a.Y, c.X-a.X, c.Y-a.Y)
	if ab*bc*ca <= 4*g.most*area2*area2 {
		return longest // the circle's radius is the product of the sides / 4 areas
	}
	polygon := make([]mesh.XY, len(p.Corner))
	for i, c := range p.Corner {
		polygon[i] = mesh.XY{X: c.X, Y: c.Y}
	}
	g.search(polygon, v[:], t)
	return longest
}

// search raises most to what a convex polygon holds. It divides the polygon
// among a few vertices, asks for the vertex nearest to the farthest corner of
// their shares, and lets that one take its share, until the corner's own vertex
// is the nearest. from is a triangle that holds the polygon or, beyond the hull,
// the one nearest to it.
func (g *gap) search(polygon []mesh.XY, vertices []int32, from int32) {
	known := make([]int32, 0, 8)
	var shares []share
	for next := vertices[0]; ; {
		shares = g.divide(shares, polygon, known, next)
		known = append(known, next)
		if len(known) < len(vertices) {
			next = vertices[len(known)]
			continue
		}
		distance, at := g.farthest(shares)
		if distance <= g.most || g.ctx.Err() != nil {
			return
		}
		nearest, least := g.nearest(at, from)
		g.most = max(g.most, min(least, distance))
		if least >= distance*(1-gapSlack) || slices.Contains(known, nearest) {
			return
		}
		next = nearest
	}
}

// divide lets one more vertex take its share of a polygon from those known.
func (g *gap) divide(shares []share, polygon []mesh.XY, known []int32, next int32) []share {
	kept := shares[:0]
	for _, s := range shares {
		s.place = g.nearer(s.place, s.vertex, next)
		if len(s.place) > 0 {
			kept = append(kept, s)
		}
	}
	for _, v := range known {
		polygon = g.nearer(polygon, next, v)
	}
	return append(kept, share{next, polygon})
}

// nearer returns the part of a convex polygon that is nearer to v than to w.
func (g *gap) nearer(polygon []mesh.XY, v, w int32) []mesh.XY {
	p, q := g.m.P[v], g.m.P[w]
	return keep(polygon, mesh.XY{X: (p.X + q.X) / 2, Y: (p.Y + q.Y) / 2}, mesh.XY{X: p.X - q.X, Y: p.Y - q.Y})
}

// farthest returns the greatest squared distance from a corner of a share to
// its vertex.
func (g *gap) farthest(shares []share) (distance float64, at mesh.XY) {
	for _, s := range shares {
		for _, p := range s.place {
			if d := squared(p, g.m.P[s.vertex]); d > distance {
				distance, at = d, p
			}
		}
	}
	return distance, at
}

// nearest returns the vertex nearest to a place and its squared distance. The
// circle round the place through the nearest corner met reaches every nearer
// one over edges that it cuts.
func (g *gap) nearest(p mesh.XY, from int32) (vertex int32, distance float64) {
	m := g.m
	if g.seen == nil {
		g.seen = make(map[int32]bool)
	}
	clear(g.seen)
	distance = math.Inf(1)
	g.seen[from] = true
	g.stack = append(g.stack[:0], from)
	for len(g.stack) > 0 {
		t := g.stack[len(g.stack)-1]
		g.stack = g.stack[:len(g.stack)-1]
		for _, v := range m.V[3*t : 3*t+3] {
			if d := squared(p, m.P[v]); d < distance {
				vertex, distance = v, d
			}
		}
		for e := 3 * t; e < 3*t+3; e++ {
			f := m.N[e]
			if f < 0 || g.seen[f/3] || toSegment(p, m.P[m.V[e]], m.P[m.V[mesh.Next(e)]]) > distance {
				continue
			}
			g.seen[f/3] = true
			g.stack = append(g.stack, f/3)
		}
	}
	return vertex, distance
}

// beyond looks at what of a cell lies beyond the hull. There the nearest place
// of the hull is on one of its edges, in the strip square to it, or is one of
// its vertices, between two strips.
func (g *gap) beyond(hull []int32, cell [3][2]float64) {
	m := g.m
	leaving := make(map[int32]int32, len(hull)) // the hull's edges by their start
	for _, e := range hull {
		leaving[m.V[e]] = e
	}
	var whole []mesh.XY
	for _, c := range cell {
		whole = append(whole, mesh.XY{X: c[0], Y: c[1]})
	}
	for _, e := range hull {
		if g.ctx.Err() != nil {
			return
		}
		va, vb := m.V[e], m.V[mesh.Next(e)]
		a, b, c := m.P[va], m.P[vb], m.P[m.V[mesh.Next(leaving[vb])]]
		along, onward := unit(a, b), unit(b, c)
		strip := keep(keep(keep(whole, a, right(along)), a, along), b, minus(along))
		if len(strip) > 0 {
			g.search(strip, []int32{va, vb}, e/3)
		}
		// Where the edges are in line, the hull's side would count too.
		between := keep(keep(whole, b, along), b, minus(onward))
		outward := mesh.XY{X: right(along).X + right(onward).X, Y: right(along).Y + right(onward).Y}
		for _, p := range keep(between, b, outward) {
			g.most = max(g.most, squared(p, b))
		}
	}
}

// unit returns the direction from a to b.
func unit(a, b mesh.XY) mesh.XY {
	d := math.Sqrt(squared(a, b))
	return mesh.XY{X: (b.X - a.X) / d, Y: (b.Y - a.Y) / d}
}

func right(u mesh.XY) mesh.XY { return mesh.XY{X: u.Y, Y: -u.X} }
func minus(u mesh.XY) mesh.XY { return mesh.XY{X: -u.X, Y: -u.Y} }

// keep returns the part of a convex polygon on the side of the line through at
// that a normal to it points to, the line included.
func keep(polygon []mesh.XY, at, normal mesh.XY) []mesh.XY {
	side := func(p mesh.XY) float64 {
		return float64((p.X-at.X)*normal.X) + float64((p.Y-at.Y)*normal.Y)
	}
	var out []mesh.XY
	for i, p := range polygon {
		q := polygon[(i+1)%len(polygon)]
		sp, sq := side(p), side(q)
		if sp >= 0 {
			out = append(out, p)
		}
		if sp > 0 && sq < 0 || sp < 0 && sq > 0 {
			t := sp / (sp - sq)
			out = append(out, mesh.XY{X: p.X + float64(t*(q.X-p.X)), Y: p.Y + float64(t*(q.Y-p.Y))})
		}
	}
	return out
}

// squared returns the squared distance of two places.
func squared(p, q mesh.XY) float64 {
	dx, dy := q.X-p.X, q.Y-p.Y
	return float64(dx*dx) + float64(dy*dy)
}

// toSegment returns the squared distance from p to the segment from a to b.
func toSegment(p, a, b mesh.XY) float64 {
	ux, uy := b.X-a.X, b.Y-a.Y
	t := (float64((p.X-a.X)*ux) + float64((p.Y-a.Y)*uy)) / squared(a, b)
	t = min(max(t, 0), 1)
	return squared(p, mesh.XY{X: a.X + float64(t*ux), Y: a.Y + float64(t*uy)})
}
