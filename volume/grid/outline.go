package grid

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// part is what of a cell lies within, in cells from the cell's first corner.
// Whole cells have no rings.
type part struct {
	column int
	share  float64 // of the cell's area
	rings  []polygon
}

// dust is the share of a cell below which a part is rounding.
const dust = 1e-12

// outline is an outline in cells of a grid.
type outline struct {
	area    float64 // in cells, beyond the grid too
	columns int
	rows    [][]polygon // what of it lies in each row of the grid
}

// newOutline brings an outline into the cells of a grid. It is the same wherever
// the rings start, whichever way they run, and whatever the order of holes.
func newOutline(g Layout, p orb.Polygon) *outline {
	o := &outline{columns: g.Columns, rows: make([][]polygon, g.Rows)}
	var rings []polygon
	for i, ring := range p {
		rings = append(rings, canonical(inCells(g, ring), i == 0))
	}
	slices.SortFunc(rings[1:], func(a, b polygon) int { return slices.CompareFunc(a, b, comparePoints) })
	for _, r := range rings {
		o.area += r.area()
	}
	o.cut(clipAll(rings, func(r polygon) polygon {
		r = clipRows(clipRows(r, 0, 1), float64(g.Rows), -1)
		return clipColumns(clipColumns(r, 0, 1), float64(g.Columns), -1)
	}), 0, g.Rows)
	return o
}

// cut halves the rows from one up to another, and what lies in them, down to
// single rows.
func (o *outline) cut(rings []polygon, from, to int) {
	if len(rings) == 0 {
		return
	}
	if to-from == 1 {
		o.rows[from] = rings
		return
	}
	middle := (from + to) / 2
	at := float64(middle)
	o.cut(clipAll(rings, func(r polygon) polygon { return clipRows(r, at, -1) }), from, middle)
	o.cut(clipAll(rings, func(r polygon) polygon { return clipRows(r, at, 1) }), middle, to)
}

func inCells(g Layout, ring orb.Ring) polygon {
	var out polygon
	for _, c := range ring {
		u, v := g.cells(c)
		p := point{u: onLine(u), v: onLine(v)}
		if len(out) == 0 || out[len(out)-1] != p {
			out = append(out, p)
		}
	}
	for len(out) > 1 && out[0] == out[len(out)-1] {
		out = out[:len(out)-1]
	}
	return out
}

// onLine puts what is all but on a line of the grid onto it.
func onLine(x float64) float64 {
	if line := math.Round(x); math.Abs(x-line) < snap {
		return line
	}
	return x
}

// canonical returns a ring from its least corner, anticlockwise or clockwise.
func canonical(r polygon, anticlockwise bool) polygon {
	if (r.area() > 0) != anticlockwise {
		slices.Reverse(r)
	}
	k := 0
	for i := range r {
		if comparePoints(r[i], r[k]) < 0 {
			k = i
		}
	}
	return append(append(polygon(nil), r[k:]...), r[:k]...)
}

func comparePoints(a, b point) int { return cmp.Or(cmp.Compare(a.u, b.u), cmp.Compare(a.v, b.v)) }

// row yields the cells of a row that the outline reaches.
func (o *outline) row(row int, yield func(part)) {
	b := band{row: float64(row), yield: yield}
	b.cut(o.rows[row], 0, o.columns)
	o.rows[row] = nil // no longer needed, and its rings are cut up
}

func clipAll(rings []polygon, keep func(polygon) polygon) []polygon {
	var out []polygon
	for _, r := range rings {
		if r = keep(r); len(r) > 0 {
			out = append(out, r)
		}
	}
	return out
}

// band is what of an outline lies in one row.
type band struct {
	row   float64
	yield func(part)
}

// cut yields the cells from column from up to column to, and halves that stretch
// until a cell is left or nothing of the outline runs through it.
func (b *band) cut(rings []polygon, from, to int) {
	lo, hi := float64(from), float64(to)
	area, through := 0.0, false
	for _, r := range rings {
		area += r.area()
		for i := range r {
			through = through || (r[i].u != lo && r[i].u != hi) || (r[i].v != b.row && r[i].v != b.row+1)
		}
	}
	switch {
	case !through && area == 0 || len(rings) == 0:
	case !through && area == hi-lo:
		for c := from; c < to; c++ {
			b.yield(part{column: c, share: 1})
		}
	case to-from == 1:
		b.leaf(rings, area, from)
	default:
		middle := (from + to) / 2
		at := float64(middle)
		b.cut(clipAll(rings, func(r polygon) polygon { return clipColumns(r, at, -1) }), from, middle)
		b.cut(clipAll(rings, func(r polygon) polygon { return clipColumns(r, at, 1) }), middle, to)
	}
}

// leaf yields one cell.
func (b *band) leaf(rings []polygon, share float64, column int) {
	switch {
	case share < dust:
	case share > 1-dust:
		b.yield(part{column: column, share: 1})
	default:
		for _, r := range rings {
			for i := range r {
				r[i].u -= float64(column)
				r[i].v -= b.row
			}
		}
		b.yield(part{column, share, rings})
	}
}

// holds reports whether a place of the cell lies in the part. Of two parts side
// by side just one holds a place on their common line.
func (p *part) holds(u, v float64) bool {
	in := p.rings == nil
	at := point{u: u, v: v}
	for _, r := range p.rings {
		for i := range r {
			a, b := &r[i], &r[(i+1)%len(r)]
			if (a.v > v) == (b.v > v) {
				continue
			}
			if a.v > b.v {
				a, b = b, a
			}
			if turn(a, b, &at) > 0 {
				in = !in
			}
		}
	}
	return in
}

// middle is the centroid of the part.
func (p *part) middle() (u, v float64) {
	if p.rings == nil {
		return 0.5, 0.5
	}
	for _, r := range p.rings {
		for i := 2; i < len(r); i++ {
			twice := turn(&r[0], &r[i-1], &r[i])
			u += float64(twice * (r[0].u + r[i-1].u + r[i].u))
			v += float64(twice * (r[0].v + r[i-1].v + r[i].v))
		}
	}
	return u / (6 * p.share), v / (6 * p.share)
}
