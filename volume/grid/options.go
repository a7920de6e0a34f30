package grid

import (
	"fmt"

	"github.com/paulmach/orb"

	"barrow/tin"
)

// Rule says what the ground does between the corners of a cell.
type Rule int

// The rules for cells.
const (
	// Square takes the mean depth of the four corners times the area: corner
	// weights 1 to 4. It is the four triangles between the sides and the cell's
	// middle at the mean depth.
	Square Rule = iota
	// TrianglesRising cuts each cell in two from its first corner to that of
	// the next row and column: each half has the mean depth of its three.
	TrianglesRising
	// TrianglesFalling cuts it along the other diagonal.
	TrianglesFalling
)

// Split says how a cell with both cut and fill is parted. Cut less fill is the
// same by all of them.
type Split int

// The ways to part mixed cells.
const (
	// ZeroLine parts a cell where depth is zero, in line along its sides and on
	// its triangles, each with a linear depth. The point of no cut or fill on a
	// side is that of GRID-6 in docs/checks.md; the rest is common practice, no
	// source.
	ZeroLine Split = iota
	// CornerSums adds up the corners in cut and those in fill apart, each over
	// the whole cell (GRID-4 in docs/checks.md). It overstates both.
	CornerSums
	// FourPoint takes, with C and F the sums of the corner cuts and fills,
	// area/4 C^2 / (C + F) as cut and area/4 F^2 / (C + F) as fill (FOUR-1 in
	// docs/checks.md).
	FourPoint
)

// Parts says what becomes of cells that the works fill in part.
type Parts int

// The rules for part cells.
const (
	// ClipParts counts the part of the cell that lies within, with the depths
	// of the cell's corners there.
	ClipParts Parts = iota
	// WholeByCentre counts the whole cell if its centre lies within, else
	// nothing: squares counted on a plan. Its error is of the first order.
	WholeByCentre
)

// DefaultMaxCells is the limit of cells where [Options] give none.
const DefaultMaxCells = 4_000_000

// Options say how a grid is measured. The zero value is the square rule, mixed
// cells parted on the zero line, part cells clipped, over all cells that have a
// depth at each corner.
type Options struct {
	Rule  Rule
	Split Split
	Parts Parts
	// Within is the outline of what is measured, metres. Its area without a
	// depth, or beyond the grid, is told as uncovered.
	Within orb.Polygon
	// Inside is a test in place of the outline, in metres. It is asked at the
	// corners and the centre of each cell and, where they disagree, at 256
	// places of the cell, which then stand for their surroundings. What lies
	// between five places that agree is not seen.
	Inside func(e, n float64) bool
	// Halve measures once more at half the spacing (a [Table]: at twice), for
	// [Result].Sampling.
	Halve bool
	// MaxCells is the most cells of a grid, DefaultMaxCells if 0. The grid of
	// half the spacing has four times as many.
	MaxCells int
	// Cell, if set, is told of every cell within, row by row.
	Cell func(Cell)
}

func (o *Options) maxCells() int {
	if o.MaxCells == 0 {
		return DefaultMaxCells
	}
	return o.MaxCells
}

// check refuses options that are none.
func (o *Options) check() error {
	if o.Rule < Square || o.Rule > TrianglesFalling || o.Split < ZeroLine || o.Split > FourPoint || o.Parts < ClipParts || o.Parts > WholeByCentre {
		return &tin.InputError{
			Code: "bad_grid_rule", Message: fmt.Sprintf("rule %d, split %d, parts %d: one of them is none", o.Rule, o.Split, o.Parts),
			Hint: "use the constants",
		}
	}
	if o.MaxCells < 0 || o.MaxCells > 1<<30 {
		return &tin.InputError{Code: "bad_grid_limit", Message: fmt.Sprintf("a limit of %d cells is none", o.MaxCells), Hint: "give 1 to 2^30, or 0 for the default"}
	}
	if o.Within != nil && o.Inside != nil {
		return &tin.InputError{Code: "two_areas", Message: "the works have both an outline and a test", Hint: "give one of them"}
	}
	if o.Within != nil {
		return tin.CheckOutline(o.Within)
	}
	return nil
}
