package formation

import (
	"fmt"
	"math"

	"barrow/tin"
)

// Mark is a point of known level: a benchmark, or a further mark that checks
// the survey.
type Mark struct {
	Name     string
	Plan     float64 // level in the job's datum, metres
	Measured float64 // level the survey gives it, metres
}

// Shift returns plan less measured level in metres: what is added to every
// level of that survey. Of decimals it is the double nearest to their
// difference, as in [BuildUp.Ladder].
func (m Mark) Shift() float64 { return sumLevels(m.Plan, -m.Measured) }

// DefaultMarkTolerance is how far a check mark may be off, metres, where no
// tolerance is given.
const DefaultMarkTolerance = 0.010

// CheckMarks holds further marks against a survey that is moved by shift
// metres. It returns a warning ([CodeCheckMarkOff]) for each mark off by more
// than tolerance metres, with by how much and in which direction, in the marks'
// order. A tolerance that is not above 0 counts as [DefaultMarkTolerance]. A
// mark whose levels are no numbers is off too.
func CheckMarks(shift float64, marks []Mark, tolerance float64) []tin.Problem {
	if !(tolerance > 0) {
		tolerance = DefaultMarkTolerance
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
		var message string
		switch {
		case math.IsNaN(off) || math.IsInf(off, 0):
			message = fmt.Sprintf("%s cannot be checked: plan level %g m, measured %g m, shift %g m", name, m.Plan, m.Measured, shift)
		default:
			direction := "high"
			if off < 0 {
				direction = "low"
			}
			message = fmt.Sprintf("%s: the survey puts it at %.3f m, %.4g m too %s (plan level %.3f m, tolerance %.3f m)",
				name, sumLevels(m.Measured, shift), math.Abs(off), direction, m.Plan, tolerance)
		}
		warnings = append(warnings, tin.Problem{Code: CodeCheckMarkOff, Message: message})
	}
	return warnings
}
