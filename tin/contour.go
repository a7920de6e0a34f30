package tin

import (
	"context"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"barrow/tin/internal/mesh"
)

// Contour is a line of one level over a surface.
type Contour struct {
	Level float64
	Line  orb.LineString // metres, higher ground on its left; a closed one ends where it begins
}

// Contours returns the lines at which the surface has given levels, metres: straight in
// each triangle, joined from triangle to triangle, and cut where boundary and voids end
// the ground. Only triangles that share area with a box in metres are looked at, each as
// a whole.
//
// Ground just at a level counts as above it: a contour goes along the lower rim of level
// ground, there and back along a ridge that has just the level, and there is none where
// ground touches a level from above. Levels come in the order given; of each the open
// lines first. The result depends on coordinates only. If ctx ends its error is returned.
func (s *Surface) Contours(ctx context.Context, levels []float64, within orb.Bound) ([]Contour, error) {
	c := contourer{s: s, at: make([]int32, s.mesh.Triangles())}
	crossed, err := c.crossed(ctx, levels, within)
	if err != nil {
		return nil, err
	}
	var out []Contour
	for k, triangles := range crossed {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		c.level = levels[k]
		for _, t := range triangles {
			c.at[t] = int32(k + 1)
		}
		for _, line := range c.lines(triangles, int32(k+1)) {
			for _, part := range c.withinLimits(line) {
				out = append(out, Contour{Level: c.level, Line: c.metres(part)})
			}
		}
	}
	return out, nil
}

// contourer follows contours over a surface, level by level.
type contourer struct {
	s     *Surface
	level float64
	at    []int32 // of each triangle, the number of the level that still has to pass it
}

// crossed returns for each level the triangles within a box that it passes.
func (c *contourer) crossed(ctx context.Context, levels []float64, within orb.Bound) ([][]int32, error) {
	out := make([][]int32, len(levels))
	if !(within.Max[0] > within.Min[0] && within.Max[1] > within.Min[1]) || !isPlace(within.Min) || !isPlace(within.Max) {
		return out, nil
	}
	order := make([]int, len(levels))
	for k := range order {
		order[k] = k
	}
	slices.SortStableFunc(order, func(i, k int) int { return compareLevels(levels[i], levels[k]) })
	area := c.s.frame.boxIn(within)
	around := emptyBox()
	for _, p := range area.corner {
		around.add(box{p.X, p.Y, p.X, p.Y})
	}
	c.s.boxes().visit(&area, func(from, to int, _ bool) bool {
		for t := from; t < to; t++ {
			c.passed(int32(t), &around, order, levels, out)
		}
		return ctx.Err() == nil
	})
	return out, ctx.Err()
}

// compareLevels orders levels; what is no number comes last.
func compareLevels(a, b float64) int {
	switch {
	case a < b || math.IsNaN(b) && !math.IsNaN(a):
		return -1
	case a > b || math.IsNaN(a) && !math.IsNaN(b):
		return 1
	}
	return 0
}

// passed adds a triangle to the levels that pass it; order puts levels upwards.
func (c *contourer) passed(t int32, around *box, order []int, levels []float64, out [][]int32) {
	v := c.s.mesh.V[3*t : 3*t+3]
	if c.s.isPeeled(t) {
		return
	}
	if b := boxOf(c.s.mesh.P[v[0]], c.s.mesh.P[v[1]], c.s.mesh.P[v[2]]); b.apart(around) {
		return
	}
	z := [3]float64{c.s.level[v[0]], c.s.level[v[1]], c.s.level[v[2]]}
	low, high := min(z[0], z[1], z[2]), max(z[0], z[1], z[2])
	first, _ := slices.BinarySearchFunc(order, low, func(k int, low float64) int {
		if levels[k] > low || math.IsNaN(levels[k]) {
			return 1
		}
		return -1
	})
	for _, k := range order[first:] {
		if !(levels[k] <= high) {
			return
		}
		out[k] = append(out[k], t)
	}
}

// boxIn returns a box in metres as a polygon in local units.
func (f Frame) boxIn(b orb.Bound) (p convex) {
	x0, y0 := f.Local(b.Min)
	x1, y1 := f.Local(b.Max)
	p.set([]PieceCorner{{X: x0, Y: y0}, {X: x1, Y: y0}, {X: x1, Y: y1}, {X: x0, Y: y1}})
	return p
}

// lines joins what passes triangles; mark is the number of the level.
func (c *contourer) lines(triangles []int32, mark int32) (out [][][2]float64) {
	for _, t := range triangles {
		if in, _ := c.sides(t); c.at[t] == mark && !c.comesFrom(in, mark) {
			out = appendLine(out, c.follow(t, mark))
		}
	}
	for _, t := range triangles {
		if c.at[t] == mark { // on a closed line
			out = appendLine(out, fromLeast(c.follow(t, mark)))
		}
	}
	return out
}

// appendLine leaves out lines that are no more than a place.
func appendLine(lines [][][2]float64, line [][2]float64) [][][2]float64 {
	if len(line) < 2 {
		return lines
	}
	return append(lines, line)
}

// above reports whether a vertex counts as above the level.
func (c *contourer) above(v int32) bool { return c.s.level[v] >= c.level }

// sides returns the half-edge by which the level comes into a triangle, and that by
// which it leaves: with higher ground on its left, it comes in where a half-edge goes
// down through the level.
func (c *contourer) sides(t int32) (in, out int32) {
	for e := 3 * t; e < 3*t+3; e++ {
		from, to := c.above(c.s.mesh.V[e]), c.above(c.s.mesh.V[mesh.Next(e)])
		switch {
		case from && !to:
			in = e
		case !from && to:
			out = e
		}
	}
	return in, out
}

// comesFrom reports whether the level passes the triangle across a half-edge too.
func (c *contourer) comesFrom(e, mark int32) bool {
	f := c.s.mesh.N[e]
	return f >= 0 && c.at[f/3] == mark
}

// follow returns the line that enters a triangle, and takes its triangles off.
func (c *contourer) follow(t, mark int32) [][2]float64 {
	in, out := c.sides(t)
	line := [][2]float64{c.place(in)}
	for {
		c.at[t] = 0
		if p := c.place(out); p != line[len(line)-1] {
			line = append(line, p)
		}
		f := c.s.mesh.N[out]
		if f < 0 || c.at[f/3] != mark {
			return line
		}
		t = f / 3
		_, out = c.sides(t)
	}
}

// place returns where the level passes an edge: the same from both sides.
func (c *contourer) place(e int32) [2]float64 {
	a, b := c.s.mesh.V[e], c.s.mesh.V[mesh.Next(e)]
	if b < a {
		a, b = b, a
	}
	p, q := c.s.mesh.P[a], c.s.mesh.P[b]
	za, zb := c.s.level[a], c.s.level[b]
	switch c.level {
	case za:
		return [2]float64{p.X, p.Y}
	case zb:
		return [2]float64{q.X, q.Y}
	}
	t := (c.level - za) / (zb - za)
	return [2]float64{p.X + float64(t*(q.X-p.X)), p.Y + float64(t*(q.Y-p.Y))}
}

// fromLeast has a closed line begin at its least place.
func fromLeast(line [][2]float64) [][2]float64 {
	if len(line) < 2 || line[0] != line[len(line)-1] {
		return line
	}
	ring := line[:len(line)-1]
	first := 0
	for i, p := range ring {
		if q := ring[first]; p[0] < q[0] || p[0] == q[0] && p[1] < q[1] {
			first = i
		}
	}
	out := append(slices.Clone(ring[first:]), ring[:first]...)
	return append(out, out[0])
}

func (c *contourer) metres(line [][2]float64) orb.LineString {
	out := make(orb.LineString, len(line))
	for i, p := range line {
		out[i] = c.s.frame.Metres(p[0], p[1])
	}
	return out
}
