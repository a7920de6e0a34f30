package grid

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"barrow/tin"
)

// Layout is where a grid lies: cells in rows and columns, all of one size. Rows
// count up along Bearing from Origin, columns to the right of it. The zero
// Bearing has rows to the north and columns to the east.
type Layout struct {
	Origin        orb.Point // corner of row 0 and column 0, easting and northing, metres
	Bearing       float64   // degrees from north clockwise
	Along, Across float64   // sides of a cell along the bearing and across it, metres
	Rows, Columns int       // cells; there is one more of corners each way
}

// snap is how near to a line of the grid, in sides of a cell, a corner of an
// outline counts as on it: more than rounding, less than anyone can peg.
const snap = 1e-9

// LeastSide is the least side of a cell, metres.
const LeastSide = 1e-3

// Over lays squares over an outline in metres: the fewest rows and columns of
// that side and bearing that hold it, the first corner at its least extent along
// and across the bearing. So a rectangle with sides of whole cells is met by
// whole cells at its own bearing.
func Over(outline orb.Polygon, side, bearing float64) (Layout, error) {
	if err := tin.CheckOutline(outline); err != nil {
		return Layout{}, err
	}
	g := Layout{Origin: outline[0][0], Bearing: bearing, Along: side, Across: side, Rows: 1, Columns: 1}
	if err := g.check(1); err != nil {
		return Layout{}, err
	}
	lo, hi := [2]float64{}, [2]float64{}
	turned := g
	turned.Along, turned.Across = 1, 1
	for i, c := range leastFirst(outline[0]) {
		if i == 0 {
			turned.Origin = c // so that the ring may start anywhere
		}
		u, v := turned.cells(c)
		lo[0], hi[0] = min(lo[0], u), max(hi[0], u)
		lo[1], hi[1] = min(lo[1], v), max(hi[1], v)
	}
	g.Origin = turned.place(lo[0], lo[1])
	across, along := math.Ceil((hi[0]-lo[0])/side-snap), math.Ceil((hi[1]-lo[1])/side-snap)
	if !(across < math.MaxInt32 && along < math.MaxInt32) {
		return Layout{}, tooManyCells(fmt.Sprintf("%.3g rows and %.3g columns", along, across), math.MaxInt32)
	}
	g.Columns, g.Rows = max(1, int(across)), max(1, int(along))
	return g, nil
}

// leastFirst returns the corners of a ring from the least by easting, then
// northing.
func leastFirst(ring orb.Ring) []orb.Point {
	k := 0
	for i, c := range ring {
		if c[0] < ring[k][0] || c[0] == ring[k][0] && c[1] < ring[k][1] {
			k = i
		}
	}
	return append(append([]orb.Point(nil), ring[k:]...), ring[:k]...)
}

// Corner returns easting and northing of the corner of a row and a column,
// metres.
func (g Layout) Corner(row, column int) orb.Point { return g.place(float64(column), float64(row)) }

// place returns the place at u columns and v rows.
func (g Layout) place(u, v float64) orb.Point {
	sin, cos := sinCos(g.Bearing)
	x, y := u*g.Across, v*g.Along
	return orb.Point{
		g.Origin[0] + (float64(x*cos) + float64(y*sin)),
		g.Origin[1] + (float64(y*cos) - float64(x*sin)),
	}
}

// cells returns how many columns and rows from the origin a place is.
func (g Layout) cells(p orb.Point) (u, v float64) {
	sin, cos := sinCos(g.Bearing)
	e, n := p[0]-g.Origin[0], p[1]-g.Origin[1]
	return (float64(e*cos) - float64(n*sin)) / g.Across, (float64(e*sin) + float64(n*cos)) / g.Along
}

// cellArea returns the area of one cell, square metres.
func (g Layout) cellArea() float64 { return g.Along * g.Across }

// halved returns the grid with four cells in the place of each.
func (g Layout) halved() Layout {
	g.Along, g.Across, g.Rows, g.Columns = g.Along/2, g.Across/2, 2*g.Rows, 2*g.Columns
	return g
}

// doubled returns the grid with one cell in the place of four; an odd row or
// column is left out.
func (g Layout) doubled() Layout {
	g.Along, g.Across, g.Rows, g.Columns = 2*g.Along, 2*g.Across, g.Rows/2, g.Columns/2
	return g
}

// check refuses a grid that is none, or has too many cells.
func (g Layout) check(most int) error {
	if g.Rows < 1 || g.Columns < 1 {
		return &tin.InputError{Code: "grid_empty", Message: fmt.Sprintf("a grid of %d rows and %d columns has no cell", g.Rows, g.Columns), Hint: "give at least one of each"}
	}
	if g.Rows > most/g.Columns {
		return tooManyCells(fmt.Sprintf("%d rows and %d columns", g.Rows, g.Columns), most)
	}
	if !(math.Abs(g.Origin[0]) <= 1e9 && math.Abs(g.Origin[1]) <= 1e9) {
		return &tin.InputError{
			Code: "bad_grid_origin", Message: fmt.Sprintf("the grid's first corner, %v, %v, is not a place", g.Origin[0], g.Origin[1]),
			Hint: "give finite numbers within ±1e9",
		}
	}
	if !(math.Abs(g.Bearing) <= 1e6) {
		return &tin.InputError{Code: "bad_grid_bearing", Message: fmt.Sprintf("the grid's bearing %v is no angle", g.Bearing), Hint: "give degrees from north clockwise"}
	}
	for _, side := range []float64{g.Along, g.Across} {
		if !(side >= LeastSide && side <= 1e6) {
			return &tin.InputError{Code: "bad_grid_spacing", Message: fmt.Sprintf("a cell with a side of %v m is none", side), Hint: "give sides from 1 mm to 1000 km"}
		}
	}
	return nil
}

func tooManyCells(what string, most int) error {
	return &tin.InputError{
		Code: "too_many_cells", Message: fmt.Sprintf("a grid of %s has more than %d cells", what, most),
		Hint: "take a wider spacing, or raise the limit",
	}
}

// sinCos returns sine and cosine of a bearing in degrees, exact at whole quarter
// turns.
func sinCos(bearing float64) (sin, cos float64) {
	switch math.Mod(bearing, 360) {
	case 0:
		return 0, 1
	case 90, -270:
		return 1, 0
	case 180, -180:
		return 0, -1
	case 270, -90:
		return -1, 0
	}
	return math.Sincos(math.Mod(bearing, 360) * math.Pi / 180)
}
