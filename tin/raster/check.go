package raster

import (
	"fmt"
	"math"

	"barrow/tin"
)

const (
	maxCoordinate = 1e9  // as in package tin
	fineStep      = 0.02 // a step below this is that of degrees, or of a model on a table
)

// Check is the last step of a reader. It refuses a grid that cannot be ground,
// and adds the notes on samples without a level and on free diagonals.
func (g *Grid) Check(opts Options) error {
	if err := g.checkPlan(opts); err != nil {
		return err
	}
	if err := g.checkLevels(); err != nil {
		return err
	}
	g.noteMissing()
	g.noteDiagonals()
	return nil
}

func (g *Grid) fail(code, message, hint string) error {
	return &tin.InputError{Code: code, File: g.Name, Message: message, Hint: hint}
}

func (g *Grid) checkPlan(opts Options) error {
	if g.Columns < 1 || g.Rows < 1 || len(g.Levels) != g.Columns*g.Rows {
		return g.fail("bad_grid", fmt.Sprintf("%d columns and %d rows with %d levels are no grid", g.Columns, g.Rows, len(g.Levels)), "export the file again")
	}
	if !(g.StepE > 0 && g.StepN > 0) {
		return g.fail("bad_grid", fmt.Sprintf("the steps %v and %v are not both above 0", g.StepE, g.StepN), "export the file again")
	}
	low, high := g.Origin, g.Place(g.Columns-1, g.Rows-1)
	for axis, n := range []int{g.Columns, g.Rows} {
		if !(math.Abs(low[axis]) <= maxCoordinate && math.Abs(high[axis]) <= maxCoordinate) {
			return g.fail("bad_grid", fmt.Sprintf("the grid reaches from %v to %v, beyond 1e9", low, high), "correct its place and step")
		}
		if span := high[axis] - low[axis]; n > 1 && span/float64(n-1) < 4*ulp(max(math.Abs(low[axis]), math.Abs(high[axis]))) {
			return g.fail("bad_grid", fmt.Sprintf("at %v the steps %v and %v are too small to tell samples apart", low, g.StepE, g.StepN), "correct place and step")
		}
	}
	degrees := math.Abs(low[0]) <= 180 && math.Abs(high[0]) <= 180 && math.Abs(low[1]) <= 90 && math.Abs(high[1]) <= 90
	if degrees && min(g.StepE, g.StepN) < fineStep && g.Unit == 0 && !opts.SiteGrid {
		return g.fail("like_degrees", fmt.Sprintf("the grid reaches from %v to %v in steps of %v and %v: these could be longitude and latitude", low, high, g.StepE, g.StepN),
			"project it to the grid of the site, in metres or feet")
	}
	return nil
}

// ulp returns the distance from v, at least 0, to the next double.
func ulp(v float64) float64 { return math.Nextafter(v, math.Inf(1)) - v }

// NoData reports whether a floating-point number as stored is the one that the file
// states for no data. Many files hold single precision on one side and a decimal, or
// double precision, on the other: equal in single precision is equal.
func NoData(stored, stated float64) bool {
	return stored == stated || float32(stored) == float32(stated)
}

// DropMarks takes levels of -9999, -32767 and -32768, which programs write where
// they have none, as none, with a note. Readers call it on the numbers as stored,
// once those that the file itself gives as no data are NaN.
func (g *Grid) DropMarks() {
	marked := 0
	for i, v := range g.Levels {
		if v == -9999 || v == -32767 || v == -32768 {
			g.Levels[i] = math.NaN()
			marked++
		}
	}
	if marked > 0 {
		g.note("marked_level", fmt.Sprintf("levels of -9999, -32767 or -32768 were taken as none at %d samples, although the file does not say so", marked))
	}
}

func (g *Grid) checkLevels() error {
	levels := 0
	for i, v := range g.Levels {
		switch {
		case math.IsNaN(v):
		case math.Abs(v) > maxCoordinate:
			c, r := i%g.Columns, i/g.Columns
			return g.fail("bad_level", fmt.Sprintf("the level %v at %v (column %d, row %d from the north-west, from 1) is beyond 1e9", v, g.Place(c, r), c+1, g.Rows-r),
				"state the value that stands for no data when you export the file")
		default:
			levels++
		}
	}
	if levels == 0 {
		return g.fail("no_levels", fmt.Sprintf("none of the %d samples has a level", len(g.Levels)), "check that it is the right file")
	}
	return nil
}

func (g *Grid) note(code, message string) {
	g.Notes = append(g.Notes, tin.Problem{Code: code, Message: message})
}

func (g *Grid) noteMissing() {
	if n := g.missing(); n > 0 {
		g.note("no_data", fmt.Sprintf("%d of the %d samples have no level and are no ground", n, len(g.Levels)))
	}
}

func (g *Grid) noteDiagonals() {
	if cells, volume := g.Spread(); cells > 0 {
		g.note("free_diagonals", fmt.Sprintf("%d of the grid's cells have four levels that lie in no plane: each is cut from its upper left to its lower right corner; "+
			"the other diagonals would move the volume below the whole grid by up to %.6g (plan unit squared x level unit)", cells, volume))
	}
}
