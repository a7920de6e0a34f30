package las

import (
	"cmp"
	"math"
	"slices"
)

// Thinning keeps one point of each cell of a square grid. The sides of the cells
// lie at whole multiples of Cell; a cell holds its west and south sides. Where
// scale, offset and Cell are decimals that is decided exactly.
type Thinning struct {
	Cell float64 // side of a cell, in the file's unit
	Keep Keep
}

// Keep says which point of a cell is kept. What is kept does not depend on the
// order of the file.
type Keep int

// Of points that are alike in what counts first, the lowest is kept, of these
// the one with the least easting, then the least northing. The lowest points lie
// below the ground on the whole: a cut from them comes out small.
const (
	KeepLowest  Keep = iota // the lowest
	KeepNearest             // the nearest to the centre of the cell
)

// thinner keeps the best point of each cell.
type thinner struct {
	cells cells
	rule  Keep
	best  bestOf
}

func (t *thinner) keep(r record, _ int32) {
	i, j := t.cells.of(r)
	cell := uint64(uint32(i-t.cells.first[0]))<<32 | uint64(uint32(j-t.cells.first[1]))
	if best, ok := t.best.of(cell); !ok || t.better(r, best, i, j) {
		t.best.set(r)
	}
}

// better reports whether point a of a cell is to be kept rather than b.
func (t *thinner) better(a, b record, i, j int64) bool {
	if t.rule == KeepNearest {
		if c := cmp.Compare(t.cells.fromCentre(a, i, j), t.cells.fromCentre(b, i, j)); c != 0 {
			return c < 0
		}
	}
	return cmp.Or(cmp.Compare(a.at[2], b.at[2]), cmp.Compare(a.at[0], b.at[0]),
		cmp.Compare(a.at[1], b.at[1]), cmp.Compare(a.class, b.class)) < 0
}

func (t *thinner) kept() int { return len(t.best.cells) }

func (t *thinner) each(f func(record, int32) error) error {
	t.best.flush()
	kept := make([]record, 0, len(t.best.cells))
	for _, r := range t.best.cells {
		kept = append(kept, r)
	}
	t.best = bestOf{}
	slices.SortFunc(kept, func(a, b record) int { return cmp.Compare(a.place(), b.place()) })
	for _, r := range kept {
		if err := f(r, 0); err != nil {
			return err
		}
	}
	return nil
}

// place orders records by easting, then northing. No two that are kept are at one
// place: they would share a cell.
func (r record) place() uint64 {
	const up = 1 << 31 // turns the order of int32 into that of uint32
	return uint64(uint32(r.at[0])^up)<<32 | uint64(uint32(r.at[1])^up)
}

// cells is a grid of square cells, numbered east and north from the origin of
// the coordinates.
type cells struct {
	axes  [2]axis
	side  float64
	whole int64    // the side in units of the axes' last decimal; 0: not exact
	first [2]int64 // the cells of the least whole numbers there can be
}

// newCells is not ok where the side is no length, or there are too many cells to number.
func newCells(side float64, east, north axis) (c cells, ok bool) {
	if !(side > 0) || math.IsInf(side, 1) {
		return c, false
	}
	c = cells{axes: [2]axis{east, north}, side: side}
	if digits := max(decimals(side), east.digits, north.digits); east.decimal && north.decimal {
		e, n := east.to(digits), north.to(digits)
		if w, ok := whole(side, digits); ok && e.decimal && n.decimal {
			c.axes, c.whole = [2]axis{e, n}, w
		}
	}
	for k := range c.axes {
		low, high := c.index(k, math.MinInt32), c.index(k, math.MaxInt32)
		if !(high-low <= math.MaxUint32 && math.Abs(low) < 1<<53 && math.Abs(high) < 1<<53) {
			return c, false
		}
		c.first[k] = int64(low)
	}
	return c, true
}

// index is the number of the cell of a whole number along one axis, as a float64
// so that any result can be looked at.
func (c *cells) index(k int, x int32) float64 {
	if c.whole > 0 {
		return float64(floorDiv(c.axes[k].whole(x), c.whole))
	}
	return math.Floor(c.axes[k].at(x) / c.side)
}

// of is the cell of a point.
func (c *cells) of(r record) (i, j int64) {
	if c.whole > 0 {
		return floorDiv(c.axes[0].whole(r.at[0]), c.whole), floorDiv(c.axes[1].whole(r.at[1]), c.whole)
	}
	return int64(c.index(0, r.at[0])), int64(c.index(1, r.at[1]))
}

// fromCentre is the square of twice the distance of a point from the centre of
// its cell, in units that are the same for all points.
func (c *cells) fromCentre(r record, i, j int64) float64 {
	de, dn := c.offCentre(0, r.at[0], i), c.offCentre(1, r.at[1], j)
	return float64(de*de) + float64(dn*dn)
}

func (c *cells) offCentre(k int, x int32, i int64) float64 {
	if c.whole > 0 {
		return float64(2*(c.axes[k].whole(x)-i*c.whole) - c.whole)
	}
	return math.FMA(-(2*float64(i) + 1), c.side, 2*c.axes[k].at(x))
}

// floorDiv is a / b rounded down, for b above 0.
func floorDiv(a, b int64) int64 {
	q := a / b
	if a%b < 0 {
		q--
	}
	return q
}
