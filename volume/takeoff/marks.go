package takeoff

import (
	"fmt"
	"math"

	"barrow/tin"
	"barrow/tin/formation"
)

// checkMarks warns of further marks that are off. Whether one is, formation
// decides; what is said of it is in the job's unit.
func (r *run) checkMarks(s *Survey, checks []MarkCheck) []tin.Problem {
	var warnings []tin.Problem
	shift := 0.0
	if b := s.Benchmark; b != nil {
		shift = addLevels(b.Plan, -b.Measured)
	}
	tolerance := s.CheckTolerance
	if !(tolerance > 0) {
		tolerance = formation.DefaultMarkTolerance / r.unit
	}
	for i, c := range checks {
		mark := formation.Mark{Name: c.Name, Plan: c.Plan * r.unit, Measured: c.Measured * r.unit}
		if len(formation.CheckMarks(shift*r.unit, []formation.Mark{mark}, tolerance*r.unit)) == 0 {
			continue
		}
		name := c.Name
		if name == "" {
			name = fmt.Sprint(i + 1)
		}
		side := "HIGH"
		if c.Off < 0 {
			side = "LOW"
		}
		unit := r.job.units().Length
		warnings = append(warnings, tin.Problem{Code: formation.CodeCheckMarkOff, Message: fmt.Sprintf(
			"%s: check mark %s comes out %.3f %s %s: at %.3f, and at %.3f in the plans (tolerance %.3f)",
			orSurvey(s.Name), name, math.Abs(c.Off), unit, side, addLevels(c.Measured, shift), c.Plan, tolerance)})
	}
	return warnings
}
