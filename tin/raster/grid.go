package raster

import (
	"math"

	"github.com/paulmach/orb"

	"barrow/tin"
)

// Grid is levels at the samples of a regular grid: columns from west to east,
// rows from south to north. All lengths are in the units of the file.
type Grid struct {
	Name          string // of the file; for messages
	Columns, Rows int
	Origin        orb.Point // easting and northing of the sample of column 0, row 0, the south-west one
	StepE, StepN  float64   // from a column, a row, to the next; above 0

	// Levels are the levels row by row from the south, each from the west, in
	// VerticalUnit. NaN stands for none.
	Levels []float64

	Unit         tin.Unit // of plan coordinates; 0 where the file does not say
	VerticalUnit tin.Unit // of levels; 0 where the file does not say
	CRS          CRS

	Notes []tin.Problem // what was assumed or left out, with counts
}

// CRS is what a file says of its coordinate system. It is carried, not used.
type CRS struct {
	Name         string // as written in the file; may be empty
	EPSG         int    // of the projected system; 0: not stated
	VerticalEPSG int    // 0: not stated
}

// Place returns the easting and northing of a sample. Where origin and step are
// decimals it is the double nearest to the decimal that paper would give.
func (g *Grid) Place(column, row int) orb.Point {
	return orb.Point{
		Along(g.Origin[0], float64(column), g.StepE),
		Along(g.Origin[1], float64(row), g.StepN),
	}
}

// Level returns the level of a sample, NaN for none.
func (g *Grid) Level(column, row int) float64 { return g.Levels[row*g.Columns+column] }

// TurnRows turns the order of the rows of levels, for readers of files that begin
// in the north.
func (g *Grid) TurnRows() {
	for a, b := 0, len(g.Levels)-g.Columns; a < b; a, b = a+g.Columns, b-g.Columns {
		south, north := g.Levels[a:a+g.Columns], g.Levels[b:b+g.Columns]
		for i := range south {
			south[i], north[i] = north[i], south[i]
		}
	}
}

// Points returns the samples that have a level as spot heights without names,
// row by row from the south, each from the west.
func (g *Grid) Points() []tin.Point {
	points := make([]tin.Point, 0, len(g.Levels)-g.missing())
	eastings := make([]float64, g.Columns)
	for c := range eastings {
		eastings[c] = g.Place(c, 0)[0]
	}
	for r := range g.Rows {
		northing := g.Place(0, r)[1]
		for c, level := range g.Levels[r*g.Columns : (r+1)*g.Columns] {
			if !math.IsNaN(level) {
				points = append(points, tin.Point{E: eastings[c], N: northing, Level: level})
			}
		}
	}
	return points
}

// missing returns the number of samples without a level.
func (g *Grid) missing() int {
	n := 0
	for _, v := range g.Levels {
		if math.IsNaN(v) {
			n++
		}
	}
	return n
}

// Spread returns the number of cells whose four levels do not lie in one plane,
// and by how much the choice of their diagonals can move the volume below the
// grid at most: the sum over those cells of a sixth of the cell's area times
// |SW + NE - SE - NW|, in plan units squared times level units. Cells that lack
// one of their levels are not in it.
func (g *Grid) Spread() (cells int, volume float64) {
	twist := 0.0
	for r := range g.Rows - 1 {
		south, north := g.Levels[r*g.Columns:(r+1)*g.Columns], g.Levels[(r+1)*g.Columns:(r+2)*g.Columns]
		for c := range g.Columns - 1 {
			// From the first level, so that only differences are rounded.
			d := math.Abs((north[c+1] - south[c+1]) - (north[c] - south[c]))
			if d > 0 {
				cells++
				twist += d
			}
		}
	}
	return cells, twist / 6 * g.StepE * g.StepN
}
