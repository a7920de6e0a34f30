package grid

import "github.com/paulmach/orb"

// Cell is one cell as measured. Corners are counted from the cell's own row and
// column, then that of the next column, of both next, and of the next row.
type Cell struct {
	Row, Column            int
	Middle                 orb.Point  // of the whole cell, metres
	Area                   float64    // of what is measured, or would be, square metres
	Depth                  [4]float64 // at the corners, metres; NaN where there is none
	Covered                bool       // there were depths to measure it by
	Cut, Fill, CutLessFill float64    // cubic metres
}

// corners are the places of a cell's corners, in cells.
var corners = [4]point{{u: 0, v: 0}, {u: 1, v: 0}, {u: 1, v: 1}, {u: 0, v: 1}}

// triangle is a triangle on which depth is linear, by its corners; a third
// corner of -1 is the cell's middle.
type triangle [3]int

// triangles of each rule.
var triangles = [...][]triangle{
	Square:           {{0, 1, -1}, {1, 2, -1}, {2, 3, -1}, {3, 0, -1}},
	TrianglesRising:  {{0, 1, 2}, {0, 2, 3}},
	TrianglesFalling: {{0, 1, 3}, {1, 2, 3}},
}

// wholeWeights are the shares of a whole cell's area that go to its corners.
var wholeWeights = [...][4]float64{
	Square:           {1. / 4, 1. / 4, 1. / 4, 1. / 4},
	TrianglesRising:  {1. / 3, 1. / 6, 1. / 3, 1. / 6},
	TrianglesFalling: {1. / 6, 1. / 3, 1. / 6, 1. / 3},
}

// at returns a triangle with the depths of its corners.
func (t triangle) at(depth *[4]float64) [3]point {
	var out [3]point
	for i, k := range t {
		if k < 0 {
			out[i] = point{0.5, 0.5, ((depth[0] + depth[1]) + (depth[2] + depth[3])) / 4}
			continue
		}
		out[i] = corners[k]
		out[i].d = depth[k]
	}
	return out
}

// pieces are the rings of a part within a triangle, the whole triangle for a
// whole cell, with the triangle's depths.
func (p *part) pieces(t *[3]point, yield func(polygon)) {
	if p.rings == nil {
		yield(t[:])
		return
	}
	for _, ring := range p.rings {
		for i := range t {
			a, b := &t[i], &t[(i+1)%3]
			ring = clip(nil, ring, func(q *point) float64 { return turn(a, b, q) }, func(*point) {})
		}
		for i := range ring {
			w := barycentric(t, &ring[i])
			ring[i].d = float64(w[0]*t[0].d) + float64(w[1]*t[1].d) + float64(w[2]*t[2].d)
		}
		yield(ring)
	}
}

// barycentric returns the weights of a triangle's corners at a place.
func barycentric(t *[3]point, p *point) [3]float64 {
	whole := turn(&t[0], &t[1], &t[2])
	return [3]float64{turn(&t[1], &t[2], p) / whole, turn(&t[2], &t[0], p) / whole, turn(&t[0], &t[1], p) / whole}
}

// weights returns the areas, in cells, that go to the corners for a part: the
// integral over it of what each corner counts for. They sum to its share.
func (p *part) weights(rule Rule) (w [4]float64) {
	if p.rings == nil {
		return wholeWeights[rule]
	}
	for _, tri := range triangles[rule] {
		t := tri.at(new([4]float64))
		p.pieces(&t, func(r polygon) {
			for i := 2; i < len(r); i++ {
				area := turn(&r[0], &r[i-1], &r[i]) / 2
				centre := point{u: (r[0].u + r[i-1].u + r[i].u) / 3, v: (r[0].v + r[i-1].v + r[i].v) / 3}
				for j, b := range barycentric(&t, &centre) {
					give(&w, tri[j], float64(area*b))
				}
			}
		})
	}
	return w
}

// give adds to the weight of a corner, or of all four what goes to the middle.
func give(w *[4]float64, corner int, area float64) {
	if corner >= 0 {
		w[corner] += area
		return
	}
	for i := range w {
		w[i] += area / 4
	}
}
