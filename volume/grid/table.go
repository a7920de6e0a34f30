package grid

import (
	"context"
	"fmt"
	"math"

	"barrow/tin"
)

// Table is a grid with depths at its corners, as out of a level book.
type Table struct {
	Layout  Layout
	Corners []Corner
}

// Corner is a corner with its depth.
type Corner struct {
	Row, Column int     // from 0
	Depth       float64 // ground less formation, metres: cut where positive
	Line        int     // of its file, from 1; 0 for none
}

// Measure measures the cells of a table that have a depth at all four corners,
// or what of them lies within [Options].Within or Inside. Cells with fewer are
// counted as Incomplete. With Halve, Sampling is found from every other row and
// column of corners; it is nil where no cell of twice the spacing is complete.
//
// A corner beyond the grid, given twice, or without a finite depth is a
// [*tin.InputError], and so is a table without a complete cell.
func (t Table) Measure(ctx context.Context, o Options) (Result, error) {
	if err := o.check(); err != nil {
		return Result{}, err
	}
	if err := t.Layout.check(o.maxCells()); err != nil {
		return Result{}, err
	}
	depth, err := t.depths()
	if err != nil {
		return Result{}, err
	}
	columns := t.Layout.Columns + 1
	m := func(g Layout, o *Options, d *differences) (Result, error) {
		step := 1
		if g != t.Layout {
			step = 2
		}
		return measure(ctx, g, source{
			corner: func(row, column int) (float64, bool) {
				z := depth[step*row*columns+step*column]
				return z, !math.IsNaN(z)
			},
			place: func(u, v float64) (float64, bool) { return 0, false },
		}, o, d)
	}
	wide := t.Layout.doubled()
	if !o.Halve || wide.Rows == 0 || wide.Columns == 0 {
		return m(t.Layout, &o, nil)
	}
	return pair(t.Layout, wide, 2, &o, m)
}

// depths puts the corners in order, row by row; NaN for none.
func (t Table) depths() ([]float64, error) {
	g := t.Layout
	columns := g.Columns + 1
	depth := make([]float64, (g.Rows+1)*columns)
	for i := range depth {
		depth[i] = math.NaN()
	}
	for _, c := range t.Corners {
		if c.Row < 0 || c.Row > g.Rows || c.Column < 0 || c.Column > g.Columns {
			return nil, &tin.InputError{
				Code: "corner_beyond", Line: c.Line, Message: fmt.Sprintf("row %d, column %d lies beyond the grid of %d rows and %d columns", c.Row, c.Column, g.Rows, g.Columns),
				Hint: "corners are counted from 0",
			}
		}
		if math.IsNaN(c.Depth) || math.Abs(c.Depth) > 1e9 {
			return nil, &tin.InputError{Code: "bad_depth", Line: c.Line, Message: fmt.Sprintf("row %d, column %d: %v is no depth", c.Row, c.Column, c.Depth), Hint: "leave out a corner that has none"}
		}
		at := &depth[c.Row*columns+c.Column]
		if !math.IsNaN(*at) {
			return nil, &tin.InputError{Code: "corner_twice", Line: c.Line, Message: fmt.Sprintf("row %d, column %d is given twice", c.Row, c.Column), Hint: "take one out"}
		}
		*at = c.Depth
	}
	if !complete(depth, g) {
		return nil, &tin.InputError{Code: "no_complete_cell", Message: "no cell has a depth at all four corners", Hint: "see that rows, columns and spacing are right"}
	}
	return depth, nil
}

func complete(depth []float64, g Layout) bool {
	columns := g.Columns + 1
	for row := range g.Rows {
		for c := range g.Columns {
			i := row*columns + c
			if !math.IsNaN(depth[i] + depth[i+1] + depth[i+columns] + depth[i+columns+1]) {
				return true
			}
		}
	}
	return false
}
