package takeoff

import (
	"math"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"

	"barrow/section"
	"barrow/tin"
	"barrow/volume/grid"
)

// crossing is a crosscheck on its way to its result. Metres on the grid but where said.
type crossing struct {
	run    *run // of the job; between two surveys, of the one before
	opts   *CrosscheckOptions
	within orb.MultiPolygon // of two surveys

	works     []crossWorks
	axis      *section.Alignment // the long axis of the works
	along     Alignment          // of the job, that sections are cut along; else of the long axis' name
	alignment *section.Alignment // its line
	interval  float64
	marks     []section.Mark
	parted    []section.Mark // the same, and one between any two
	grid      grid.Layout

	held            []heldWorks // in the order of works
	claim           *ClaimResult
	shots           *ShotsResult
	notes, warnings []tin.Problem
}

// mostExtent is how many corners of what lies between two surveys are gathered before
// only the hull round them is kept.
const mostExtent = 1 << 16

// leastCells is how many cells a grid has over the works if nobody says otherwise.
const leastCells = 10_000

// layOut finds the works and lays sections and a grid over the first of them, which
// holds the others.
func (x *crossing) layOut(find func() ([]crossWorks, error)) (err error) {
	x.run.tell("laying out sections and grid", 0, 1)
	if x.works, err = find(); err != nil {
		return err
	}
	extent, err := x.extent()
	if err != nil {
		return err
	}
	if err := x.run.ctx.Err(); err != nil {
		return err
	}
	if x.axis, err = section.Default(extent); err != nil {
		return err
	}
	if err := x.run.ctx.Err(); err != nil {
		return err
	}
	if err := x.placeSections(extent); err != nil {
		return err
	}
	return x.placeGrid(extent)
}

// extent returns corners of the first works that hold all of them: of a job, to which an
// alignment may be laid that bends, all corners, hardly any of them twice; of what lies
// between two surveys the hull round them.
func (x *crossing) extent() (places []orb.Point, err error) {
	seen := make([]int32, 1<<16) // by a hash of its coordinates the last place met with it
	room := mostExtent
	err = x.works[0].pieces(func(p depthPiece) {
		for _, c := range p {
			k := &seen[(math.Float64bits(c.at[0])*0x9e3779b97f4a7c15^math.Float64bits(c.at[1])*0xc2b2ae3d27d4eb4f)>>48]
			if i := int(*k); i < len(places) && places[i] == c.at {
				continue // the corner of a neighbour
			}
			*k = int32(len(places))
			places = append(places, c.at)
		}
		if x.run.layout == nil && len(places) >= room { // a straight line is laid along them
			places = section.Hull(places)
			room = max(mostExtent, 2*len(places))
		}
	})
	return places, err
}

// corners are places where the works may change at once: corners of pads or of a
// boundary; of what lies between two surveys without one, of the hull round it.
func (x *crossing) corners(extent []orb.Point) (list []orb.Point) {
	switch {
	case x.run.layout != nil:
		return x.run.padCorners()
	case len(x.within) == 0:
		return section.Hull(extent)
	}
	for _, p := range x.within {
		for _, ring := range p {
			list = append(list, ring...)
		}
	}
	return list
}

// gridTurn is by how many degrees a grid is turned from the long axis: its tangent is
// the golden section. Lines of the grid that run along a face of the works all meet it
// alike, or all miss it; so turned they meet faces along and across the alignment in
// steps as even as can be, and halving the spacing tells the error
// (docs/decisions/0005-turned-grid.md).
const gridTurn = 31.7174744114610

// placeGrid lays squares over the works, turned from their long axis.
func (x *crossing) placeGrid(extent []orb.Point) (err error) {
	bearing := math.Mod(bearingOf(x.axis)+gridTurn, 360)
	box := boxAt(bearing, extent)
	spacing := x.opts.Spacing * x.run.lengthUnit()
	if spacing == 0 {
		spacing = x.chosenSpacing(box)
	}
	x.grid, err = grid.Over(box, spacing, bearing)
	if err != nil {
		return under("spacing", err)
	}
	return nil
}

// chosenSpacing returns the side of the cells where nobody gave one, metres: for
// leastCells over the works, and no finer than the box round them has room for, as
// where they are long and thin or far apart, nor than a grid can be.
func (x *crossing) chosenSpacing(box orb.Polygon) float64 {
	unit, room := x.run.lengthUnit(), math.Sqrt(planar.Area(box)/grid.DefaultMaxCells)
	spacing := roundedDown(math.Sqrt(x.works[0].area/leastCells)/unit) * unit
	if least := max(room, grid.LeastSide); spacing < least {
		// Rounding down takes up to 2.5 off, and cells stick out of the box.
		spacing = roundedDown(2.6*least/unit) * unit
	}
	return spacing
}

// bearingOf returns that of an alignment from its beginning to its end, degrees from
// grid north clockwise.
func bearingOf(a *section.Alignment) float64 {
	line := a.Line()
	from, to := line[0], line[len(line)-1]
	return math.Mod(math.Atan2(to[0]-from[0], to[1]-from[1])*180/math.Pi+360, 360)
}

// roundedDown returns the greatest of 1, 2 or 5 times a power of ten that is not above
// l, which is above 0.
func roundedDown(l float64) float64 {
	const slack = 1 + 1e-9 // an area that is round but for rounding has the round side
	power := math.Pow(10, math.Floor(math.Log10(l)))
	for _, digit := range [...]float64{10, 5, 2, 1} {
		if digit*power <= l*slack {
			return digit * power
		}
	}
	return power / 2 // the power was rounded up
}

// boxAt returns the smallest rectangle round places with a side at a bearing.
func boxAt(bearing float64, places []orb.Point) orb.Polygon {
	sin, cos := math.Sincos(bearing * math.Pi / 180)
	first := places[0]
	var least, most [2]float64
	for _, p := range places {
		e, n := p[0]-first[0], p[1]-first[1]
		along, right := float64(e*sin)+float64(n*cos), float64(e*cos)-float64(n*sin)
		least = [2]float64{min(least[0], along), min(least[1], right)}
		most = [2]float64{max(most[0], along), max(most[1], right)}
	}
	at := func(along, right float64) orb.Point {
		return orb.Point{
			first[0] + (float64(along*sin) + float64(right*cos)),
			first[1] + (float64(along*cos) - float64(right*sin)),
		}
	}
	return orb.Polygon{{at(least[0], least[1]), at(least[0], most[1]), at(most[0], most[1]), at(most[0], least[1])}}
}
