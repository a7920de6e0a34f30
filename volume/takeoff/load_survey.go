package takeoff

import (
	"fmt"
	"io"
	"strings"

	"barrow/tin"
	"barrow/tin/pointfile"
	"barrow/volume/takeoff/internal/tomltree"
)

func (l *loader) survey(n *tomltree.Node) {
	var s Survey
	name := l.path(l.need(n, "points", `points = "ground.csv"`), `points = "ground.csv"`)
	columns := n.Get("columns")
	s.Name = name
	s.Stripped = l.word(n.Get("state"), "original", "stripped") == "stripped"
	s.IgnoreCodes = l.texts(n.Get("ignore_codes"), `ignore_codes = ["BM", "TREE"]`)
	s.LineCodes = l.texts(n.Get("line_codes"), `line_codes = ["TB", "BB"]`)
	if b := n.Get("benchmark"); b != nil {
		m := l.mark(b, `benchmark = { name = "BM1", plan = 62.500, measured = 10.134 }`)
		s.Benchmark = &m
		s.BenchmarkDeviation = l.deviation(b)
	}
	if c := n.Get("check"); c != nil {
		const example = `check = [ { name = "BM2", plan = 63.210, measured = 10.846 } ]`
		for _, item := range l.tables(c, example) {
			s.Checks = append(s.Checks, l.mark(item, example))
		}
	}
	s.SpotDeviation = l.deviation(n)
	if t := n.Get("check_tolerance"); t != nil {
		s.CheckTolerance = l.tolerance(t, `check_tolerance = "10 mm"`)
	}
	if t := n.Get("step_tolerance"); t != nil {
		s.StepTolerance = l.tolerance(t, `step_tolerance = "50 mm"`)
		if l.err == nil && n.Get("replaces_within") == nil {
			l.fail(t, codeBadValue, "a tolerance of steps for a survey that replaces nothing", `it goes with replaces_within = "strip.geojson"`)
		}
	}
	s.Points = l.surveyPoints(n.Get("points"), name, columns, func(order string) string { return fmt.Sprintf("columns = %q in its [[survey]]", order) })
	if b := n.Get("breaklines"); b != nil {
		s.Breaklines = l.breaklines(b, &s.lineFiles)
	}
	if l.err == nil {
		l.job.Surveys = append(l.job.Surveys, s)
	}
}

// replaces reads the areas in which surveys replace earlier ones, once the spots
// of all surveys can be named.
func (l *loader) replaces(surveys []*tomltree.Node) {
	for i, n := range surveys {
		if l.err != nil {
			return
		}
		l.job.Surveys[i].ReplacesWithin = l.area(n.Get("replaces_within"))
	}
}

// surveyPoints reads the point file of a survey for the value at n. columns states
// the order of its columns, nil for none; state words how to.
func (l *loader) surveyPoints(n *tomltree.Node, name string, columns *tomltree.Node, state func(order string) string) (points []tin.Point) {
	l.read(n, name, func(r io.Reader) (int, error) {
		f, err := l.pointFile(r, name, columns, state, true)
		if err != nil {
			return 0, err
		}
		points = f.Points
		return len(f.Points), l.budget.points(name, len(f.Points))
	})
	return points
}

func (l *loader) mark(n *tomltree.Node, example string) Mark {
	if !l.want(n, tomltree.Table, example) {
		return Mark{}
	}
	m := Mark{Name: l.text(n.Get("name"), example)}
	m.Plan, _ = l.length(l.need(n, "plan", example), example)
	m.Measured, _ = l.length(l.need(n, "measured", example), example)
	return m
}

// sameUnits reports whether the units of a header are the job's.
func (l *loader) sameUnits(units []string) bool {
	of := map[string]tin.Unit{
		"m": tin.Metre, "metre": tin.Metre, "metres": tin.Metre, "meter": tin.Metre, "meters": tin.Metre,
		"ft": tin.Foot, "foot": tin.Foot, "feet": tin.Foot, "ftus": tin.SurveyFoot,
	}
	for _, u := range units {
		if unit, known := of[strings.ToLower(u)]; !known || unit.Metres() != l.job.Units.Metres() {
			return false
		}
	}
	return true
}

// pointFile reads a point file, of a survey or of vertices, within what is left
// of that limit, and keeps what it noticed for the result. columns states the
// order of its columns, nil for none; state words how to.
func (l *loader) pointFile(r io.Reader, name string, columns *tomltree.Node, state func(order string) string, survey bool) (*pointfile.File, error) {
	left, take := &l.budget.left.Vertices, l.budget.vertices
	if survey {
		left, take = &l.budget.left.Points, l.budget.points
	}
	order := l.text(columns, `columns = "number, easting, northing, level, code"`)
	if l.err != nil {
		return nil, l.err
	}
	f, err := pointfile.Read(l.ctx, r, name, pointfile.Options{Columns: order, State: state, MaxPoints: max(*left, 1)})
	if e := asInputError(err); e != nil && e.Code == "bad_columns" { // they stand in the job file
		unplaced := *e
		unplaced.File = ""
		l.failWith(columns, &unplaced)
	}
	if err != nil {
		return nil, whole(err, codeTooManyPoints, func() error { return take(name, *left+1) })
	}
	for _, note := range f.Notes {
		if note.Code == "plan_only" {
			continue // for a survey there is a note of our own; an outline needs no levels, and where it does they are asked for
		}
		note.Message = fmt.Sprintf("%s: %s", name, note.Message)
		switch {
		case note.Code == "header_units" && l.sameUnits(f.Units):
			// as the job says
		case note.Code == "header_units":
			note.Message = fmt.Sprintf("%s: the header gives units (%s), the job %q: nothing is converted", name, strings.Join(f.Units, ", "), l.job.Units)
			l.job.Warnings = append(l.job.Warnings, note)
		case note.Code == "zero_level" && survey:
			l.job.Warnings = append(l.job.Warnings, note)
		default:
			l.job.Notes = append(l.job.Notes, note)
		}
	}
	return f, nil
}
