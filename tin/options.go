package tin

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"
)

// Duplicates says what becomes of spots at one place with different levels.
// Spots at one place with equal levels are merged with a note.
type Duplicates int

// The policies for duplicates.
const (
	DuplicatesError Duplicates = iota // an error that names both lines
	DuplicatesMean                    // the mean of their levels
	DuplicatesFirst                   // the first in the order given
	DuplicatesLast                    // the last in the order given
)

// Options say how [Build] reads its sources. The zero value is a survey in
// metres without boundary, voids or greatest edge.
type Options struct {
	// Unit is the unit of all coordinates and levels given to Build, of the
	// boundary, the voids and MaxEdge.
	Unit Unit
	// Written is the unit that plan coordinates were written in, where they were
	// converted to Unit since: straight lines and ties are then those of the decimals
	// in Written, which the rounding of a conversion would bend and break. 0: Unit.
	Written Unit
	// Boundary is where the surveyed ground ends: inside any of its polygons
	// is ground. Empty: the convex hull.
	Boundary orb.MultiPolygon
	// Voids are holes in the survey.
	Voids orb.MultiPolygon
	// MaxEdge takes away triangles reached from the hull over edges longer
	// than this, never across a breakline, and none of Source.Faces. 0 takes none
	// away.
	MaxEdge float64
	// Duplicates says what becomes of spots at one place with different
	// levels.
	Duplicates Duplicates
	// CrossingTolerance is how far levels may differ, in metres, where
	// breaklines cross or pass through a spot. 0 counts as 0.02 m.
	CrossingTolerance float64
	// Progress, if set, is told from time to time how many of the steps of
	// the build are done.
	Progress func(done, total int)
}

// check refuses options that are no lengths.
func (o Options) check() error {
	for _, unit := range []Unit{o.Unit, o.Written} {
		if u := float64(unit); u != 0 && !(u >= 1e-3 && u <= 1e3) {
			return &InputError{Code: "bad_unit", Message: fmt.Sprintf("a unit of %v metres is none", u), Hint: "use Metre, Foot or SurveyFoot"}
		}
	}
	if !(o.CrossingTolerance >= 0) || math.IsInf(o.CrossingTolerance, 1) {
		return &InputError{
			Code: "bad_crossing_tolerance", Message: fmt.Sprintf("crossing_tolerance %v is not a length", o.CrossingTolerance),
			Hint: "give metres, or 0 for the default of 0.02 m",
		}
	}
	if !isFinite(o.MaxEdge) || o.MaxEdge < 0 {
		return &InputError{Code: "bad_max_edge", Message: fmt.Sprintf("max_edge %v is not a length", o.MaxEdge), Hint: "give a length greater than 0"}
	}
	if o.Duplicates < DuplicatesError || o.Duplicates > DuplicatesLast {
		return &InputError{Code: "bad_duplicates", Message: fmt.Sprintf("duplicates %d is no policy", o.Duplicates), Hint: "use one of the constants"}
	}
	return nil
}

func (o Options) crossingTolerance() float64 {
	if o.CrossingTolerance == 0 {
		return 0.02
	}
	return o.CrossingTolerance
}
