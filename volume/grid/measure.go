package grid

import (
	"context"
	"math"
)

// Measure measures cut and fill by the depths at the corners of a grid.
//
// A whole cell whose corners have no depth, or not all of them, is left out and
// its area told as uncovered. Of a part cell a corner may lie outside the works,
// where a formation has no level: such a part has the depth at its own middle,
// if there is one, else it is uncovered too. A corner that rounding has put just
// outside has the depth just inside.
//
// A grid, options or an outline that cannot be used are a [*tin.InputError].
func Measure(ctx context.Context, g Layout, depths Depths, o Options) (Result, error) {
	if err := o.check(); err != nil {
		return Result{}, err
	}
	if err := g.check(o.maxCells()); err != nil {
		return Result{}, err
	}
	m := func(g Layout, o *Options, d *differences) (Result, error) {
		place := func(u, v float64) (float64, bool) {
			p := g.place(u, v)
			return known(depths(p[0], p[1]))
		}
		corner := func(row, column int) (float64, bool) { return place(float64(column), float64(row)) }
		return measure(ctx, g, source{corner, place}, o, d)
	}
	if !o.Halve {
		return m(g, &o, nil)
	}
	return pair(g, g.halved(), 0.5, &o, m)
}

// known leaves out a depth that is no number.
func known(depth float64, ok bool) (float64, bool) {
	return depth, ok && !math.IsNaN(depth) && !math.IsInf(depth, 0)
}

// source is where depths come from: at corners, and at any other place.
type source struct {
	corner func(row, column int) (float64, bool)
	place  func(u, v float64) (float64, bool)
}

// meter measures a grid row by row.
type meter struct {
	g            Layout
	from         source
	o            *Options
	lower, upper []float64 // depths at both lines of corners of the row; NaN for none
	differences  *differences
	total
}

func measure(ctx context.Context, g Layout, from source, o *Options, d *differences) (Result, error) {
	m := meter{g: g, from: from, o: o, differences: d, lower: make([]float64, g.Columns+1), upper: make([]float64, g.Columns+1)}
	parts, rim := m.parts()
	if err := m.line(ctx, 0); err != nil {
		return Result{}, err
	}
	for row := range g.Rows {
		m.lower, m.upper = m.upper, m.lower
		if err := m.line(ctx, row+1); err != nil {
			return Result{}, err
		}
		parts(row, func(p part) { m.cell(row, &p) })
	}
	return m.result(g, rim), nil
}

// parts returns what yields the parts of a row, and the outline if there is one.
func (m *meter) parts() (row func(int, func(part)), rim *outline) {
	switch {
	case m.o.Within != nil:
		rim = newOutline(m.g, m.o.Within)
		return rim.row, rim
	case m.o.Inside != nil:
		return newInside(m.g, m.o.Inside).row, nil
	}
	return func(_ int, yield func(part)) {
		for c := range m.g.Columns {
			yield(part{column: c, share: 1})
		}
	}, nil
}

// line finds the depths at the upper line of corners of a row.
func (m *meter) line(ctx context.Context, row int) error {
	for c := range m.upper {
		if c%4096 == 0 && ctx.Err() != nil {
			return ctx.Err()
		}
		m.upper[c] = math.NaN()
		if d, ok := m.from.corner(row, c); ok {
			m.upper[c] = d
		}
	}
	return nil
}

// cell measures one cell, or what of it lies within.
func (m *meter) cell(row int, p *part) {
	m.within.Add(p.share)
	if m.o.Parts == WholeByCentre {
		if !p.holds(0.5, 0.5) {
			return
		}
		p = &part{column: p.column, share: 1}
	}
	c := p.column
	cell := Cell{
		Row: row, Column: c, Middle: m.g.place(float64(c)+0.5, float64(row)+0.5), Area: p.share * m.g.cellArea(),
		Depth: [4]float64{m.lower[c], m.lower[c+1], m.upper[c+1], m.upper[c]},
	}
	v, ok := m.volumes(row, p, &cell.Depth)
	if ok {
		m.add(v, p.share)
		area := m.g.cellArea()
		cell.Covered, cell.Cut, cell.Fill, cell.CutLessFill = true, v.cut*area, v.fill*area, v.net*area
	} else if m.o.Within != nil || m.o.Inside != nil {
		m.uncovered.Add(p.share)
	}
	if m.differences != nil {
		m.differences.add(row, c, v, p.share, ok)
	}
	if m.o.Cell != nil && (ok || m.o.Within != nil || m.o.Inside != nil) {
		m.o.Cell(cell)
	}
}

// volumes finds the volumes of a part. It reports false if there are no depths
// to go by.
func (m *meter) volumes(row int, p *part, depth *[4]float64) (volumes, bool) {
	missing := countNaN(depth)
	if missing > 0 && p.rings == nil {
		m.nudge(row, p.column, depth)
		if left := countNaN(depth); left > 0 {
			if left < 4 {
				m.Incomplete++
			}
			return volumes{}, false
		}
	} else if missing > 0 {
		return m.byMiddle(row, p)
	}
	weights := p.weights(m.o.Rule)
	m.greatest(row, p, depth)
	return p.split(m.o, depth, &weights), true
}

func countNaN(depth *[4]float64) (n int) {
	for _, d := range depth {
		if math.IsNaN(d) {
			n++
		}
	}
	return n
}

// nudge looks for the missing depths of a whole cell a millionth of its side
// inside its corners.
func (m *meter) nudge(row, column int, depth *[4]float64) {
	const in = 1e-6
	for i, d := range depth {
		if !math.IsNaN(d) {
			continue
		}
		u, v := max(in, min(corners[i].u, 1-in)), max(in, min(corners[i].v, 1-in))
		if d, ok := m.from.place(float64(column)+u, float64(row)+v); ok {
			depth[i] = d
		}
	}
}

// byMiddle measures a part by the depth at its middle.
func (m *meter) byMiddle(row int, p *part) (volumes, bool) {
	u, v := p.middle()
	u, v = u+float64(p.column), v+float64(row)
	d, ok := m.from.place(u, v)
	if !ok {
		return volumes{}, false
	}
	m.deepest(&m.g, d, u, v)
	return volumes{cut: p.share * max(d, 0), fill: p.share * max(-d, 0), net: p.share * d}, true
}

// greatest looks for the greatest depths at the corners of a part.
func (m *meter) greatest(row int, p *part, depth *[4]float64) {
	if p.rings == nil {
		for i, d := range depth {
			m.deepest(&m.g, d, float64(p.column)+corners[i].u, float64(row)+corners[i].v)
		}
		return
	}
	for _, tri := range triangles[m.o.Rule] {
		t := tri.at(depth)
		p.pieces(&t, func(r polygon) {
			for _, q := range r {
				m.deepest(&m.g, q.d, float64(p.column)+q.u, float64(row)+q.v)
			}
		})
	}
}
