package takeoff

import (
	"fmt"
	"math"
	"slices"

	"barrow/tin"
)

// checkGround refuses what would make no ground.
func (j *Job) checkGround() error {
	switch scale := j.scale(); {
	case len(j.Surveys) == 0:
		return badJob(codeNoSurvey, "survey", "the job has no survey", "give it spot heights")
	case !(scale >= leastScale && scale <= greatestScale):
		return badJob(codeBadValue, "scale", fmt.Sprintf("a scale of %g", j.Scale), "scale is grid distance / ground distance, close to 1")
	case !slices.Contains([]tin.Unit{0, tin.Metre, tin.Foot, tin.SurveyFoot}, j.Units):
		return badJob(codeBadValue, "units", fmt.Sprintf("a unit of %g m", float64(j.Units)), "use metres, feet or survey feet")
	case !(j.Ground.MaxEdge >= 0) || math.IsInf(j.Ground.MaxEdge, 0):
		return badJob(codeBadValue, "ground.max_edge", fmt.Sprintf("a longest edge of %g", j.Ground.MaxEdge), "give a length, or 0 for none")
	}
	for i, s := range j.Surveys {
		if s.Faces != nil && len(s.IgnoreCodes)+len(s.LineCodes) > 0 {
			return badJob(codeBadValue, fmt.Sprintf("survey[%d]", i), "none of the points of triangles as built can be left out by their codes", "take the codes out, or the faces")
		}
		marks := s.Checks
		if s.Benchmark != nil {
			marks = append([]Mark{*s.Benchmark}, marks...)
		}
		for _, m := range marks {
			if !finite(m.Plan) || !finite(m.Measured) {
				return badJob(codeBadValue, fmt.Sprintf("survey[%d].benchmark", i),
					fmt.Sprintf("mark %q has levels %g and %g", m.Name, m.Plan, m.Measured), "give both as finite numbers")
			}
		}
	}
	if err := j.checkDeviations(); err != nil {
		return err
	}
	return j.checkAreas()
}

func badJob(code, key, message, hint string) error {
	return &tin.InputError{Code: code, Key: key, Message: message, Hint: hint}
}
