package tin

import (
	"context"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"barrow/tin/internal/mesh"
)

// AsFaces returns the surface as it was built: its triangles as faces over points, in
// the unit of the survey, those at the boundary and round voids cut there. [Build] makes
// the same surface of it: to the last bit where boundary, voids and MaxEdge took nothing
// away, but for crossings of breaklines between coordinates that are no decimals, and for
// levels in feet that are means.
//
// Triangles thinner than the rounding of coordinates can be left out, with no loss of area
// beyond that. Points have neither names nor lines. If ctx ends its error is returned.
func (s *Surface) AsFaces(ctx context.Context) (Source, error) {
	return s.AsFacesIn(ctx, Unit(s.frame.unit))
}

// AsFacesIn is AsFaces in another unit, to which all coordinates are rounded.
func (s *Surface) AsFacesIn(ctx context.Context, unit Unit) (Source, error) {
	if !s.limits.any() {
		f := newFaceList(s, unit)
		for t := range int32(s.mesh.Triangles()) {
			if !s.isPeeled(t) {
				f.add(0, [3]int32(s.mesh.V[3*t:]))
			}
		}
		return f.source(0)
	}
	parts, err := s.facesWithin(ctx, unit, nil, func([]int) int { return 0 })
	if err != nil || len(parts) == 0 {
		return Source{}, err
	}
	return parts[0], nil
}

// FacesWithin cuts the surface by polygons, in metres, and returns its parts as
// [Surface.AsFaces] does: a place with ground belongs to the part with the number, from 0,
// that of returns for the polygons that hold it, ascending; below 0 it belongs to none.
// Parts without faces are empty.
//
// Where a side passes a corner or an edge of a triangle by less than 1e-7 m it is led
// through it. Polygons that are no simple outlines are an error of [CheckOutline].
func (s *Surface) FacesWithin(ctx context.Context, polygons []orb.Polygon, of func(in []int) int) ([]Source, error) {
	return s.facesWithin(ctx, Unit(s.frame.unit), polygons, of)
}

func (s *Surface) facesWithin(ctx context.Context, unit Unit, polygons []orb.Polygon, of func(in []int) int) ([]Source, error) {
	c, err := s.newFaceCut(unit, polygons, of)
	if err != nil {
		return nil, err
	}
	if err := c.findCut(ctx); err != nil {
		return nil, err
	}
	c.whole()
	if err := c.parts(ctx); err != nil {
		return nil, err
	}
	var out []Source
	for part := range c.faces.face {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		source, err := c.faces.source(part)
		if err != nil {
			return nil, err
		}
		out = append(out, source)
	}
	return out, ctx.Err()
}

// faceNear is the distance, metres, within which a side is led through a corner or an
// edge of a triangle, so that what is cut off is no thinner than coordinates can hold.
const faceNear = 1e-7

// faceCut cuts a surface into parts.
type faceCut struct {
	s     *Surface
	near  float64    // local units
	plan  *mesh.Mesh // of the polygons and limits
	part  []int      // of each of its triangles
	out   int        // the part beyond its hull
	rims  []partRim
	cut   []bool // triangles of the surface near a rim
	faces *faceList
}

// partRim is an edge between two parts, and the triangles near it.
type partRim struct {
	from, to [2]float64
	parts    [2]int // -1: none
	near     []int32
}

func (s *Surface) newFaceCut(unit Unit, polygons []orb.Polygon, of func(in []int) int) (*faceCut, error) {
	c := &faceCut{s: s, near: faceNear / s.frame.Length(), cut: make([]bool, s.mesh.Triangles()), faces: newFaceList(s, unit)}
	p := newPartition(s.frame)
	for i, poly := range polygons {
		if err := CheckOutline(poly); err != nil {
			return nil, inPolygon(err, i, len(polygons))
		}
		p.polygon(s.frame.polygon(poly, s.frame.Local))
	}
	asked := p.polygons
	p.limit(s.limits)
	partOf := func(in []int32) int {
		if !p.limits[0].ground(in) {
			return -1
		}
		var held []int
		for _, k := range in {
			if k < asked {
				held = append(held, int(k))
			}
		}
		return max(of(held), -1)
	}
	c.out = partOf(nil)
	if p.polygons == 0 {
		return c, nil
	}
	m, labels, err := p.triangulate()
	if err != nil {
		return nil, err
	}
	c.plan = m
	for _, in := range labels {
		c.part = append(c.part, partOf(in))
	}
	c.findRims()
	return c, nil
}

// findRims finds the edges between parts.
func (c *faceCut) findRims() {
	m := c.plan
	for e, f := range m.N {
		if f > int32(e) { // the other side's turn
			continue
		}
		left, right := c.part[e/3], c.out
		if f >= 0 {
			right = c.part[f/3]
		}
		if left != right {
			a, b := m.P[m.V[e]], m.P[m.V[mesh.Next(int32(e))]]
			c.rims = append(c.rims, partRim{from: [2]float64{a.X, a.Y}, to: [2]float64{b.X, b.Y}, parts: [2]int{left, right}})
		}
	}
}

// findCut finds the triangles near each rim. Those that are led elsewhere move by less
// than twice the distance that counts as near.
func (c *faceCut) findCut(ctx context.Context) error {
	b := c.s.boxes()
	top := len(b.level) - 1
	reach := 4 * c.near
	for i := range c.rims {
		if err := ctx.Err(); err != nil {
			return err
		}
		r := &c.rims[i]
		around := box{
			min(r.from[0], r.to[0]) - reach, min(r.from[1], r.to[1]) - reach,
			max(r.from[0], r.to[0]) + reach, max(r.from[1], r.to[1]) + reach,
		}
		b.reach(&around, top, 0, len(b.level[top]), func(t int) bool {
			if !c.s.isPeeled(int32(t)) && c.isNear(int32(t), r, reach) {
				c.cut[t] = true
				r.near = append(r.near, int32(t))
			}
			return true
		})
	}
	return nil
}

// isNear reports whether a triangle may lie within a distance of a rim: no side of it,
// nor the rim's line, has the one well apart from the other.
func (c *faceCut) isNear(t int32, r *partRim, reach float64) bool {
	v := c.corners(t)
	for i, a := range v {
		if p := newOffLine(a, v[(i+1)%3]); p.of(r.from) < -reach && p.of(r.to) < -reach {
			return false
		}
	}
	p := newOffLine(r.from, r.to)
	d := [3]float64{p.of(v[0]), p.of(v[1]), p.of(v[2])}
	return min(d[0], d[1], d[2]) <= reach && max(d[0], d[1], d[2]) >= -reach
}

func (c *faceCut) corners(t int32) (out [3][2]float64) {
	for i, v := range c.s.mesh.V[3*t : 3*t+3] {
		out[i] = [2]float64{c.s.mesh.P[v].X, c.s.mesh.P[v].Y}
	}
	return out
}

// whole adds the triangles that no rim comes near: all of a connected set of them lie in
// one part.
func (c *faceCut) whole() {
	m := c.s.mesh
	seen := make([]bool, m.Triangles())
	var stack []int32
	for seed := range int32(len(seen)) {
		if seen[seed] || c.cut[seed] || c.s.isPeeled(seed) {
			continue
		}
		part := c.partAt(m.P[m.V[3*seed]])
		seen[seed] = true
		for stack = append(stack, seed); len(stack) > 0; {
			t := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			c.faces.add(part, [3]int32(m.V[3*t:]))
			for _, f := range m.N[3*t : 3*t+3] {
				if u := f / 3; f >= 0 && !seen[u] && !c.cut[u] && !c.s.isPeeled(u) {
					seen[u] = true
					stack = append(stack, u)
				}
			}
		}
	}
}

// partAt returns the part that holds a place away from all rims.
func (c *faceCut) partAt(p mesh.XY) int {
	if c.plan == nil {
		return c.out
	}
	if t := c.plan.Locate(p.X, p.Y, -1); t >= 0 {
		return c.part[t]
	}
	return c.out
}

// parts cuts the triangles near rims. The plan is partitioned by the rims and by the
// triangles: an edge that both share with a neighbour is in it once for each, so that
// what it bounds tells the triangle, and a rim tells the parts beside it.
func (c *faceCut) parts(ctx context.Context) error {
	p := newPartition(c.s.frame)
	parts := int32(c.out + 1)
	for _, k := range c.part {
		parts = max(parts, int32(k+1))
	}
	moved := c.moved()
	onEdge := make(map[[2]int32][][2]float64) // places that an edge is led through
	for i := range c.rims {
		r := &c.rims[i]
		from, to := moved.of(r.from), moved.of(r.to)
		for _, part := range r.parts {
			if part >= 0 {
				p.through(from, to, c.cornersOn(r, from, to), int32(part))
			}
		}
		if err := ctx.Err(); err != nil {
			return err
		}
		for _, t := range r.near {
			c.leadEdges(t, from, onEdge)
			c.leadEdges(t, to, onEdge)
		}
	}
	var cut []int32 // the triangles, by the number of their line
	for t, is := range c.cut {
		if !is {
			continue
		}
		v := c.s.mesh.V[3*t : 3*t+3]
		for i, a := range v {
			b := v[(i+1)%3]
			p.through(c.place(a), c.place(b), onEdge[[2]int32{min(a, b), max(a, b)}], parts+int32(len(cut)))
		}
		cut = append(cut, int32(t))
	}
	if err := ctx.Err(); err != nil || len(cut) == 0 {
		return err
	}
	if err := ctx.Err(); err != nil {
		return err
	}
	m, labels, err := p.triangulate()
	if err == nil {
		err = ctx.Err()
	}
	if err != nil {
		return err
	}
	c.collect(m, labels, parts, cut)
	return nil
}

func (c *faceCut) place(v int32) [2]float64 { return [2]float64{c.s.mesh.P[v].X, c.s.mesh.P[v].Y} }

// collect adds the triangles of a partition that lie in a triangle and in a part.
func (c *faceCut) collect(m *mesh.Mesh, labels [][]int32, parts int32, cut []int32) {
	number := make(map[mesh.XY]int32) // of the surface's vertices
	for _, t := range cut {
		for _, v := range c.s.mesh.V[3*t : 3*t+3] {
			number[c.s.mesh.P[v]] = v
		}
	}
	vertex := make([]int32, len(m.P))
	for i := range vertex {
		vertex[i] = -1
	}
	for t, in := range labels {
		k, _ := slices.BinarySearch(in, parts)
		part := c.partOf(in[:k])
		if part < 0 || k == len(in) {
			continue
		}
		var plane trianglePlane
		corner := cornersOf(c.s.mesh, c.s.level, cut[in[k]-parts])
		plane.set(&corner[0], &corner[1], &corner[2])
		var face [3]int32
		for i, v := range m.V[3*t : 3*t+3] {
			if vertex[v] < 0 {
				at := m.P[v]
				known, ok := number[at]
				if !ok {
					known = c.faces.place(at, plane.at(at.X, at.Y))
				}
				vertex[v] = known
			}
			face[i] = vertex[v]
		}
		c.faces.add(part, face)
	}
}

// partOf returns the part of a place, given the parts whose rims lie between it and what
// is beyond the hull an odd number of times.
func (c *faceCut) partOf(odd []int32) int {
	part := c.out
	for _, k := range odd {
		if int(k) != c.out {
			return int(k)
		}
		part = -1
	}
	return part
}

// through adds a line led through places, in whatever order, and some given again.
func (p *partition) through(from, to [2]float64, places [][2]float64, line int32) {
	along := slices.SortedFunc(slices.Values(places), func(a, b [2]float64) int { return compareAlong(from, to, a, b) })
	for _, q := range slices.Compact(along) {
		p.segment(from, q, line)
		from = q
	}
	p.segment(from, to, line)
	p.polygons = max(p.polygons, line+1)
}

func compareAlong(from, to, a, b [2]float64) int {
	along := func(q [2]float64) float64 {
		return float64((q[0]-from[0])*(to[0]-from[0])) + float64((q[1]-from[1])*(to[1]-from[1]))
	}
	switch d := along(a) - along(b); {
	case d < 0:
		return -1
	case d > 0:
		return 1
	}
	return slices.Compare(a[:], b[:])
}

// leads is where ends of rims are moved to.
type leads map[[2]float64][2]float64

func (l leads) of(p [2]float64) [2]float64 {
	if q, ok := l[p]; ok {
		return q
	}
	return p
}

// moved finds the ends of rims that lie near a vertex: they are moved there.
func (c *faceCut) moved() leads {
	l := make(leads)
	for _, r := range c.rims {
		for _, p := range [2][2]float64{r.from, r.to} {
			best := c.near
			for _, t := range r.near {
				for _, q := range c.corners(t) {
					d := math.Hypot(q[0]-p[0], q[1]-p[1])
					if known, ok := l[p]; d < best || d == best && (!ok || slices.Compare(q[:], known[:]) < 0) {
						best, l[p] = d, q
					}
				}
			}
		}
	}
	return l
}

// cornersOn returns the corners of triangles near a rim that it is led through, each as
// often as there are such triangles.
func (c *faceCut) cornersOn(r *partRim, from, to [2]float64) (on [][2]float64) {
	for _, t := range r.near {
		for _, q := range c.corners(t) {
			if c.passes(from, to, q) {
				on = append(on, q)
			}
		}
	}
	return on
}

// leadEdges leads the edges of a triangle through a place near them.
func (c *faceCut) leadEdges(t int32, p [2]float64, on map[[2]int32][][2]float64) {
	v := c.s.mesh.V[3*t : 3*t+3]
	if at := (mesh.XY{X: p[0], Y: p[1]}); at == c.s.mesh.P[v[0]] || at == c.s.mesh.P[v[1]] || at == c.s.mesh.P[v[2]] {
		return
	}
	for i, a := range v {
		b := v[(i+1)%3]
		key := [2]int32{min(a, b), max(a, b)}
		if c.passes(c.place(key[0]), c.place(key[1]), p) {
			on[key] = append(on[key], p)
		}
	}
}

// passes reports whether a place lies near a line between its ends, but not on its ends.
func (c *faceCut) passes(from, to, p [2]float64) bool {
	if p == from || p == to || from == to {
		return false
	}
	l := newOffLine(from, to)
	return math.Abs(l.of(p)) <= c.near && l.along(p) > 0 && l.along(p) < l.length
}

// offLine measures how far a place is to the left of a line, and how far along it.
type offLine struct {
	at     [2]float64
	ux, uy float64
	length float64
}

func newOffLine(a, b [2]float64) offLine {
	length := math.Hypot(b[0]-a[0], b[1]-a[1])
	return offLine{a, (b[0] - a[0]) / length, (b[1] - a[1]) / length, length}
}

func (l *offLine) of(p [2]float64) float64 { return cross(l.ux, l.uy, p[0]-l.at[0], p[1]-l.at[1]) }

func (l *offLine) along(p [2]float64) float64 {
	return float64(l.ux*(p[0]-l.at[0])) + float64(l.uy*(p[1]-l.at[1]))
}
