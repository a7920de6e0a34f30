package formation

import (
	"fmt"
	"math"

	"barrow/tin"
)

// Mark is a point of known level: a benchmark, or a further mark that checks
// the survey. Its levels are in one unit.
type Mark struct {
	Name     string
	Plan     float64 // level in the job's datum
	Measured float64 // level the survey gives it
}

// Shift returns plan less measured level: what is added to every
// level of that survey. Of decimals it is the double nearest to their
// difference, as in [BuildUp.Ladder].
func (m Mark) Shift() float64 { return sumLevels(m.Plan, -m.Measured) }

// DefaultMarkTolerance is how far a check mark may be off, metres, where no
// tolerance is given.
const DefaultMarkTolerance = 0.010

// CheckMarks holds further marks against a survey that is moved by shift. All is
// in the unit, and so are the messages. It returns a warning
// ([CodeCheckMarkOff]) for each mark off by more than tolerance, with by how much
// and in which direction, in the marks' order. A tolerance that is not above 0
// counts as [DefaultMarkTolerance]. A mark whose levels are no numbers is off
// too.
func CheckMarks(shift float64, marks []Mark, tolerance float64, unit tin.Unit) []tin.Problem {
	if !(tolerance > 0) {
		tolerance = DefaultMarkTolerance / unit.Metres()
	}
	var warnings []tin.Problem
	for i, m := range marks {
		off := sumLevels(m.Measured, shift, -m.Plan)
		if math.Abs(off) <= tolerance {
			continue
		}
		name := fmt.Sprintf("check mark %q", m.Name)
		if m.Name == "" {
			name = fmt.Sprintf("check mark %d", i+1)
		}
		side := "HIGH"
		if off < 0 {
			side = "LOW"
		}
		message := fmt.Sprintf("%s comes out %.4g %s %s: at %.3f, and at %.3f in the plans (tolerance %.3g)",
			name, math.Abs(off), unit, side, sumLevels(m.Measured, shift), m.Plan, tolerance)
		if !isFinite(off) {
			message = fmt.Sprintf("%s cannot be checked: plan level %g %s, measured %g, shift %g", name, m.Plan, unit, m.Measured, shift)
		}
		warnings = append(warnings, tin.Problem{Code: CodeCheckMarkOff, Message: message})
	}
	return warnings
}
