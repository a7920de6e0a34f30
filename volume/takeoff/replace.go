package takeoff

import (
	"fmt"

	"github.com/paulmach/orb"

	"barrow/tin"
)

// SurveyArea is the area in which a survey took the place of those before it.
type SurveyArea struct {
	Survey   int  // index into Job.Surveys
	Stripped bool // that survey was taken after the topsoil was stripped
	Area     orb.MultiPolygon
}

// ReplacedAreas returns the areas in which surveys replace earlier ones, in the
// job's order: where areas overlap the last rules. Outside all of them the
// ground is that of the surveys that are merged.
func (j *Job) ReplacedAreas() []SurveyArea {
	var areas []SurveyArea
	for i, s := range j.Surveys {
		if len(s.ReplacesWithin) > 0 {
			areas = append(areas, SurveyArea{i, s.Stripped, s.ReplacesWithin})
		}
	}
	return areas
}

// checkAreas refuses areas that are none, and one with nothing before it.
func (j *Job) checkAreas() error {
	for _, a := range j.ReplacedAreas() {
		key := replacesKey(a.Survey)
		for _, p := range a.Area {
			if err := j.checkOutline(p); err != nil {
				return withKey(err, key)
			}
		}
		if a.Survey == 0 {
			return &tin.InputError{Code: codeReplacesFirst, Key: key,
				Message: "the first survey has none before it to replace",
				Hint:    "the order of the surveys is that of time: put it after those it replaces, or take the key out"}
		}
	}
	return nil
}

func replacesKey(survey int) string { return fmt.Sprintf("survey[%d].replaces_within", survey) }

// sourcesOf returns the sources of surveys in their order.
func sourcesOf(surveys []prepared) (sources []tin.Source) {
	for _, s := range surveys {
		sources = append(sources, s.sources...)
	}
	return sources
}

// replace takes out of each survey what later ones replace.
func (r *run) replace() error {
	all := sourcesOf(r.surveys)
	for _, a := range r.job.ReplacedAreas() {
		r.tell("replacing surveys", a.Survey, len(r.surveys))
		area, err := tin.NewArea(a.Area, all)
		if err != nil {
			return withKey(err, replacesKey(a.Survey))
		}
		own := &r.surveys[a.Survey]
		if !holdsAny(area, own.sources) {
			return &tin.InputError{Code: codeReplacesEmpty, Key: replacesKey(a.Survey),
				Message: fmt.Sprintf("the area holds no point of its own survey, %s", orSurvey(own.result.Name)),
				Hint:    "check the coordinates of both: a survey replaces others only where it has points of its own"}
		}
		own.result.Replaces = &ReplaceResult{}
		if err := r.compareEdge(a, area); err != nil {
			return err
		}
		if err := r.takeOut(a.Survey, area); err != nil {
			return err
		}
	}
	return nil
}

// holdsAny reports whether a point of the sources lies in the area or on its
// rim.
func holdsAny(area *tin.Area, sources []tin.Source) bool {
	holds := func(points []tin.Point) bool {
		for _, p := range points {
			if area.Side(p.E, p.N) >= 0 {
				return true
			}
		}
		return false
	}
	for _, s := range sources {
		if holds(s.Points) {
			return true
		}
		for _, l := range s.Breaklines {
			if holds(l.Vertices) {
				return true
			}
		}
	}
	return false
}

// takeOut takes what lies in the area out of the surveys before one.
func (r *run) takeOut(survey int, area *tin.Area) error {
	kept, taken, err := area.TakeOut(r.ctx, sourcesOf(r.surveys[:survey]))
	if err != nil {
		return err
	}
	of := r.surveys[survey].result.Replaces
	for i := range r.surveys[:survey] {
		s := &r.surveys[i]
		n := len(s.sources)
		for k, t := range taken[:n] {
			points, vertices := t.Spots, t.Vertices
			if k == 0 { // its lines are made of the survey's points
				points, vertices = t.Spots+t.Vertices, 0
			}
			s.result.Replaced += points
			s.result.Used -= points
			s.result.ReplacedVertices += vertices
			s.result.ReplacedStretches += t.Stretches
			of.Points += points
			of.Vertices += vertices
			of.Stretches += t.Stretches
		}
		s.sources = kept[:n:n]
		kept, taken = kept[n:], taken[n:]
	}
	return nil
}

// noteReplaced says how much each survey replaced.
func (r *run) noteReplaced() error {
	for _, a := range r.job.ReplacedAreas() {
		cells, err := r.ground.Partition(scaleMultiPolygon(a.Area, r.unit), nil)
		if err != nil {
			return withKey(err, replacesKey(a.Survey))
		}
		var sum tin.Sum
		for _, c := range cells {
			sum.Add(c.Area)
		}
		s := &r.surveys[a.Survey].result
		p := s.Replaces
		p.Area = sum.Value() / r.areaUnit()
		if p.Points+p.Vertices+p.Stretches == 0 {
			r.notes = append(r.notes, tin.Problem{Code: NoteReplacesNone, Message: fmt.Sprintf(
				"%s replaces nothing: no point or breakline of an earlier survey lies inside its area of %s", orSurvey(s.Name), r.area(sum.Value()))})
			continue
		}
		r.notes = append(r.notes, tin.Problem{Code: NoteReplaces, Message: fmt.Sprintf(
			"%s replaces earlier surveys inside its area of %s: %s, %s and %s of breaklines are left out",
			orSurvey(s.Name), r.area(sum.Value()), countOf(p.Points, "point"), verticesOf(p.Vertices), stretchesOf(p.Stretches))})
	}
	return nil
}

func verticesOf(n int) string {
	if n == 1 {
		return "1 vertex"
	}
	return fmt.Sprintf("%d vertices", n)
}

func stretchesOf(n int) string {
	if n == 1 {
		return "1 stretch"
	}
	return fmt.Sprintf("%d stretches", n)
}

// noteStates says where it cannot be known which ground was stripped.
func (r *run) noteStates() {
	var original, stripped *Survey
	for i := range r.job.Surveys {
		switch s := &r.job.Surveys[i]; {
		case len(s.ReplacesWithin) > 0:
		case s.Stripped:
			stripped = s
		default:
			original = s
		}
	}
	if original == nil || stripped == nil {
		return
	}
	r.notes = append(r.notes, tin.Problem{Code: NoteStatesMixed, Message: fmt.Sprintf(
		"%s (original) and %s (stripped) are merged: between their spots the ground is part stripped, part not; give the later one replaces_within to keep them apart",
		orSurvey(original.Name), orSurvey(stripped.Name))})
}

// atRim adds to an error about levels that do not agree that a breakline may
// have been cut off at the rim of an area.
func (j *Job) atRim(err error) error {
	e := asInputError(err)
	if e == nil || len(j.ReplacedAreas()) == 0 || (e.Code != "crossing_levels" && e.Code != "breakline_level") {
		return err
	}
	out := *e
	out.Hint += "; where an earlier line is cut off at the rim of a replaces_within, draw the rim a little outside the later survey's lines, so that the step has room"
	return &out
}
