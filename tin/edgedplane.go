package tin

import "math"

// edgedPlane is the plane of a triangle with the levels along its edges, which
// the triangles on both sides share.
type edgedPlane struct {
	trianglePlane
	edge   [3]levelEdge
	gx, gy float64 // the gradient, rounded
	stout  bool    // far from flat: rounding of the gradient is of no account to edgeSlack
}

// levelEdge is the level along an edge, from its lesser end by (x, y).
type levelEdge struct {
	axis        int     // along x, 0, or y, 1, whichever is longer
	from, span  float64 // on that axis
	level, rise float64
}

func (p *edgedPlane) set(c *[3]PieceCorner) {
	p.trianglePlane.set(&c[0], &c[1], &c[2])
	for i := range p.edge {
		p.edge[i].set(&c[i], &c[after(i)])
	}
	ux, uy, uz := c[1].X-c[0].X, c[1].Y-c[0].Y, c[1].Level-c[0].Level
	vx, vy, vz := c[2].X-c[0].X, c[2].Y-c[0].Y, c[2].Level-c[0].Level
	p.gx, p.gy = cross(uz, uy, vz, vy)/p.area, cross(ux, uz, vx, vz)/p.area
	long := max(math.Abs(ux), math.Abs(uy), math.Abs(vx), math.Abs(vy))
	p.stout = p.area > 1000*flatTriangle*(math.Abs(float64(ux*vy))+math.Abs(float64(uy*vx))) &&
		(math.Abs(p.gx)+math.Abs(p.gy))*long <= 1000*(p.hi-p.lo)
}

func (e *levelEdge) set(p, q *PieceCorner) {
	if q.before(*p) {
		p, q = q, p
	}
	e.level, e.rise = p.Level, q.Level-p.Level
	e.axis, e.from, e.span = 0, p.X, q.X-p.X
	if dy := q.Y - p.Y; !(math.Abs(e.span) >= math.Abs(dy)) {
		e.axis, e.from, e.span = 1, p.Y, dy
	}
}

func (e *levelEdge) at(x, y float64) float64 {
	t := ([2]float64{x, y}[e.axis&1] - e.from) / e.span
	switch {
	case t < 0:
		t = 0
	case t > 1:
		t = 1
	}
	return e.level + float64(t*e.rise)
}

// edgeSlack is how far from the plane, of the range of its levels, the level of an
// edge may be: further from it, a place is on the edge's line only for rounding,
// in a piece as good as without area.
const edgeSlack = 1e-9

// atEdge returns the level at a place on an edge: the edge's own, but for places
// that are not there.
func (p *edgedPlane) atEdge(e int, x, y float64) float64 {
	level := p.edge[e].at(x, y)
	slack := edgeSlack * (p.hi - p.lo)
	// Half the slack makes up for the rounded gradient; mostly that is all.
	rough := p.corner[0].Level + (float64(p.gx*(x-p.corner[0].X)) + float64(p.gy*(y-p.corner[0].Y)))
	if p.stout && math.Abs(level-rough) <= slack/2 {
		return level
	}
	if plane := p.at(x, y); !(math.Abs(level-plane) <= slack) {
		return plane
	}
	return level
}
