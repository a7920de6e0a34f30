package takeoff

import (
	"barrow/tin"
	"barrow/tin/formation"
)

// checkMarks warns of further marks that are off once the survey is shifted.
func (s *Survey) checkMarks(shift float64, unit tin.Unit) []tin.Problem {
	var marks []formation.Mark
	for _, m := range s.Checks {
		marks = append(marks, formation.Mark(m))
	}
	warnings := formation.CheckMarks(shift, marks, s.CheckTolerance, unit)
	for i := range warnings {
		warnings[i].Message = orSurvey(s.Name) + ": " + warnings[i].Message
	}
	return warnings
}
