package tin

import (
	"math"

	"barrow/tin/internal/mesh"
)

// box is a rectangle along the axes, in local units.
type box struct{ minX, minY, maxX, maxY float64 }

// emptyBox is the box round nothing.
func emptyBox() box { return box{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)} }

// boxes finds the triangles of a mesh that reach into a convex polygon. Level 0
// holds the box round each run of boxFan triangles, by number; every further
// level the box round each run of boxFan boxes of the one below. As triangles
// are numbered along a curve that fills the plane, a run of them lies close
// together.
type boxes struct {
	triangles int
	level     [][]box
}

const boxFan = 16

func newBoxes(m *mesh.Mesh) *boxes {
	b := &boxes{triangles: m.Triangles()}
	runs := make([]box, 0, b.triangles/boxFan+1)
	for from := 0; from < len(m.V); from += 3 * boxFan {
		run := emptyBox()
		for v := m.V[from:min(from+3*boxFan, len(m.V))]; len(v) >= 3; v = v[3:] {
			run.add(boxOf(m.P[v[0]], m.P[v[1]], m.P[v[2]]))
		}
		runs = append(runs, run)
	}
	b.level = append(b.level, runs)
	for len(runs) > boxFan {
		above := make([]box, 0, len(runs)/boxFan+1)
		for from := 0; from < len(runs); from += boxFan {
			run := emptyBox()
			for _, r := range runs[from:min(from+boxFan, len(runs))] {
				run.add(r)
			}
			above = append(above, run)
		}
		b.level = append(b.level, above)
		runs = above
	}
	return b
}

// boxOf returns the box round a triangle.
func boxOf(a, b, c mesh.XY) box {
	return box{min(a.X, b.X, c.X), min(a.Y, b.Y, c.Y), max(a.X, b.X, c.X), max(a.Y, b.Y, c.Y)}
}

// add widens the box to hold another.
func (b *box) add(c box) {
	*b = box{min(b.minX, c.minX), min(b.minY, c.minY), max(b.maxX, c.maxX), max(b.maxY, c.maxY)}
}

// visit calls run with runs of triangles, from and to before end, in ascending
// order: together they hold every triangle that may share an area with p. inside
// says that all triangles of the run lie within p; of the others each is to be
// looked at. run returns false to stop.
func (b *boxes) visit(p *convex, run func(from, to int, inside bool) bool) {
	around := emptyBox()
	for _, c := range p.corner {
		around.add(box{c.X, c.Y, c.X, c.Y})
	}
	top := len(b.level) - 1
	b.visitRun(p, &around, top, 0, len(b.level[top]), run)
}

// visitRun is visit for some of the boxes of a level.
func (b *boxes) visitRun(p *convex, around *box, level, from, to int, run func(from, to int, inside bool) bool) bool {
	triangles := boxFan // in a box of the level
	for range level {
		triangles *= boxFan
	}
	for i := from; i < to; i++ {
		r := &b.level[level][i]
		if r.apart(around) {
			continue
		}
		more := true
		switch in, out := p.sidesOf(r); {
		case out:
		case in || level == 0:
			more = run(i*triangles, min((i+1)*triangles, b.triangles), in)
		default:
			more = b.visitRun(p, around, level-1, i*boxFan, min((i+1)*boxFan, len(b.level[level-1])), run)
		}
		if !more {
			return false
		}
	}
	return true
}

// apart reports whether two boxes share no area.
func (b *box) apart(c *box) bool {
	return b.maxX <= c.minX || c.maxX <= b.minX || b.maxY <= c.minY || c.maxY <= b.minY
}

// sidesOf reports whether every place in a box is inside of all sides of p, and
// whether every place in it is on or outside of one.
func (p *convex) sidesOf(b *box) (in, out bool) {
	in = true
	for k := range len(p.side) + len(p.rest) {
		least, most := p.line(k).over(b)
		if most <= 0 {
			return false, true
		}
		in = in && least > 0
	}
	return in, false
}

// sidesOfTriangle is sidesOf for a triangle, by its corners.
func (p *convex) sidesOfTriangle(t *[3]PieceCorner) (in, out bool) {
	in = true
	for k := range len(p.side) + len(p.rest) {
		h := p.line(k)
		a, b, c := h.distance(t[0].X, t[0].Y), h.distance(t[1].X, t[1].Y), h.distance(t[2].X, t[2].Y)
		if a <= 0 && b <= 0 && c <= 0 {
			return false, true
		}
		in = in && a > 0 && b > 0 && c > 0
	}
	return in, false
}

// over returns the least and the greatest distance of the places in a box, as
// [halfPlane.distance] computes them: it never falls, or never rises, along
// either axis, rounding included.
func (h *halfPlane) over(b *box) (least, most float64) {
	// Its left is where y is greater if it runs towards greater x, and where x is
	// less if it runs towards greater y.
	nearX, farX, nearY, farY := b.minX, b.maxX, b.minY, b.maxY
	if h.uy > 0 {
		nearX, farX = farX, nearX
	}
	if h.ux < 0 {
		nearY, farY = farY, nearY
	}
	return h.distance(nearX, nearY), h.distance(farX, farY)
}
