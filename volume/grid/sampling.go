package grid

import (
	"math"

	"barrow/tin"
)

// Order is the order of the rules on smooth ground, which [Sampling] takes for
// granted: half the spacing, a quarter of the error.
const Order = 2

// Sampling says how far the volumes of a grid may be off because it sees the
// ground at its corners only: from a second grid of half the spacing or, where
// there are no more depths, of twice the spacing.
//
// Not in it is what [ZeroLine] and [FourPoint] lose of cut and of fill alike where ground
// near formation is rough within a cell, at half the spacing too: [CornerSums] does not.
type Sampling struct {
	Factor                 float64 // spacing of the second grid over that of the first: 0.5 or 2
	Share                  float64 // of the area measured, what both grids measure; the figures are raised to the whole
	Cut, Fill, CutLessFill Estimate
}

// Estimate is what two spacings tell of one volume V, cubic metres.
//
// Error is the greater of two figures. Where the cells' differences d between
// both grids are all alike, as on smooth ground, it is Richardson's |V - V*|,
// which is 4/3 of the sum of d (of twice the spacing: a third). Where they are of
// both signs, as on broken ground, the sum may be small by chance; then it is
// twice the root of the sum of d^2, times 4/3 (of twice the spacing: a half).
// The factors of the second figure are judgement, tried on random ground
// (docs/methods.md).
type Estimate struct {
	Extrapolated float64 // V* (L. F. Richardson 1911, from memory)
	Error        float64
}

// pair measures two grids, the second of them for the error of the first.
func pair(first, second Layout, factor float64, o *Options, m func(Layout, *Options, *differences) (Result, error)) (Result, error) {
	wide, d := second, newDifferences(second)
	if factor < 1 {
		wide, d = first, newDifferences(first)
	}
	d.next(first, 1)
	r, err := m(first, o, d)
	if err != nil {
		return Result{}, err
	}
	quiet := *o
	quiet.Cell = nil
	d.next(second, -1)
	if _, err := m(second, &quiet, d); err != nil {
		return Result{}, err
	}
	r.Sampling = d.sampling(&r, factor, wide.cellArea())
	return r, nil
}

// differences holds for each cell of the wider of two grids its volumes by the
// first less those by the second, and what share of it the first measured, all
// in cells of the wider grid.
type differences struct {
	rows, columns int
	per           int     // cells each way, of the grid being measured, in one of these
	sign          float64 // 1 for the first, -1 for the second
	cells         []difference
}

type difference struct {
	volumes
	share float64
	left  bool // one of the grids has no depths here
}

func newDifferences(wide Layout) *differences {
	return &differences{rows: wide.Rows, columns: wide.Columns, cells: make([]difference, wide.Rows*wide.Columns)}
}

// next says which grid is measured next.
func (d *differences) next(g Layout, sign float64) {
	d.sign, d.per = sign, 1
	if g.Rows >= 2*d.rows && g.Columns >= 2*d.columns {
		d.per = 2
	}
}

func (d *differences) add(row, column int, v volumes, share float64, ok bool) {
	row, column = row/d.per, column/d.per
	if row >= d.rows || column >= d.columns {
		return // an odd one, with no cell of the wider grid
	}
	to := &d.cells[row*d.columns+column]
	to.left = to.left || !ok
	small := 1 / float64(d.per*d.per)
	to.cut += float64(d.sign * small * v.cut)
	to.fill += float64(d.sign * small * v.fill)
	to.net += float64(d.sign * small * v.net)
	if d.sign > 0 {
		to.share += float64(small * share)
	}
}

// sampling returns what the differences tell, nil if both grids measure nothing.
func (d *differences) sampling(r *Result, factor, cell float64) *Sampling {
	var both tin.Sum
	for i := range d.cells {
		if !d.cells[i].left {
			both.Add(d.cells[i].share)
		}
	}
	if !(both.Value() > 0) {
		return nil
	}
	s := &Sampling{Factor: factor, Share: min(1, both.Value()*cell/r.Area)}
	s.Cut = d.estimate(r.Cut, s, cell, func(v *volumes) float64 { return v.cut })
	s.Fill = d.estimate(r.Fill, s, cell, func(v *volumes) float64 { return v.fill })
	s.CutLessFill = d.estimate(r.CutLessFill, s, cell, func(v *volumes) float64 { return v.net })
	return s
}

func (d *differences) estimate(volume float64, s *Sampling, cell float64, of func(*volumes) float64) Estimate {
	var sum, squares tin.Sum
	for i := range d.cells {
		if !d.cells[i].left {
			v := of(&d.cells[i].volumes) * cell
			sum.Add(v)
			squares.Add(v * v)
		}
	}
	smooth := sum.Value() / s.Share / (1 - math.Pow(s.Factor, Order))
	chance := 2 * math.Sqrt(squares.Value()/s.Share) * 4 / 3
	if s.Factor > 1 {
		chance = 2 * math.Sqrt(squares.Value()/s.Share) / 2
	}
	return Estimate{Extrapolated: volume - smooth, Error: max(math.Abs(smooth), chance)}
}
