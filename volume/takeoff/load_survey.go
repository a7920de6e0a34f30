package takeoff

import (
	"cmp"
	"fmt"
	"io"
	"strings"

	"barrow/tin"
	"barrow/tin/pointfile"
	"barrow/volume/takeoff/internal/tomltree"
)

// survey reads a survey; alone says that the job has no other.
func (l *loader) survey(n *tomltree.Node, alone bool) {
	var s Survey
	f := l.surveyFile(l.need(n, "points", surveyExample), surveyExample)
	if c := n.Get("columns"); c != nil {
		l.columnsBeside(c, &f, "columns = %q in its [[survey]]")
	}
	s.Name = f.name
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
	read := l.surveyPoints(f, alone)
	s.Points, s.Faces, s.Written = read.points, read.faces, read.units.written
	if b := n.Get("breaklines"); b != nil {
		s.Breaklines = l.breaklines(b, &s.lineFiles)
	}
	s.Breaklines = append(s.Breaklines, read.lines...) // of the survey's own file
	l.limits = append(l.limits, read.limits)
	if unit := read.in.levels(l.job.Units); unit != "" {
		l.withUnit(n, unit)
	}
	l.noCodesOfFaces(n, &s)
	if l.err == nil {
		l.job.Surveys = append(l.job.Surveys, s)
	}
}

// noCodesOfFaces refuses codes that would leave points of triangles out.
func (l *loader) noCodesOfFaces(n *tomltree.Node, s *Survey) {
	for _, key := range []string{"ignore_codes", "line_codes"} {
		if codes := n.Get(key); codes != nil && s.Faces != nil {
			l.fail(codes, codeBadValue, "the survey is a surface with its triangles as built, and none of its points can be left out", `triangulate its points anew: points = { file = "ground.xml", as = "points" }`)
		}
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

const surveyExample = `points = "ground.csv", or points = { file = "ground.csv", units = "ftUS" }`

// columnsBeside takes the order of columns that stands beside a file, not in its table.
// Its place is worded by a format for the order.
func (l *loader) columnsBeside(n *tomltree.Node, f *dataFile, place string) {
	switch {
	case f.columns != nil:
		l.fail(n, codeBadValue, "the columns of the file are stated twice", "leave one of them out")
	case f.kind != pointTable:
		l.fail(n, codeUnknownKey, "columns do not go with "+f.kind.String(), "take them out")
	}
	f.columns = n
	f.state = func(order string) string { return fmt.Sprintf(place, order) }
}

// withUnit refuses bare levels as measured in a survey whose file is in another unit than
// the job: they could be meant in either.
func (l *loader) withUnit(n *tomltree.Node, file string) {
	marks := []*tomltree.Node{n.Get("benchmark")}
	if c := n.Get("check"); c != nil {
		marks = append(marks, c.Items...)
	}
	for _, m := range marks {
		at := m.Get("measured")
		if at == nil || l.err != nil {
			continue
		}
		if _, bare := l.length(at, "measured"); bare {
			l.failWith(at, needsUnit(at.Text, file, l.job.Units))
		}
	}
	if b := n.Get("breaklines"); b != nil {
		for _, item := range b.Items {
			if item.Kind == tomltree.Array && len(item.Items) > 0 && len(item.Items[0].Items) == 3 {
				l.fail(item, codeUnitNeeded, fmt.Sprintf("the survey's file is in %s and the job in %s: levels typed here could be in either", file, l.job.Units),
					`put the line into a file, and say what that is in: { file = "bank.geojson", units = "m" }`)
			}
		}
	}
}

// needsUnit is the error about a bare level as measured.
func needsUnit(level, file string, job tin.Unit) error {
	level = strings.TrimSpace(level)
	return &tin.InputError{Code: codeUnitNeeded,
		Message: fmt.Sprintf("the survey's file is in %s and the rest in %s: the measured level %s could be in either", file, job, level),
		Hint:    fmt.Sprintf(`write it with its unit, "%s %s" or "%s %s"`, level, job, level, file)}
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

// pointFile reads a point file, of a survey or of vertices, within what is left of that
// limit, and keeps what it noticed for the result. Points are in the file's unit; header
// is the unit that its header gives, if it is to be held against what the job states.
func (l *loader) pointFile(r io.Reader, f *dataFile, survey bool) (points []tin.Point, header tin.Unit, err error) {
	left, take := l.budget.left.Vertices, l.budget.vertices
	if survey {
		left, take = l.budget.left.Points, l.budget.points
	}
	order := l.text(f.columns, `columns = "number, easting, northing, level, code"`)
	if l.err != nil {
		return nil, 0, l.err
	}
	read, err := pointfile.Read(l.ctx, r, f.name, pointfile.Options{Columns: order, State: f.state, MaxPoints: max(left, 1)})
	if e := asInputError(err); e != nil && e.Code == "bad_columns" { // they stand in the job file
		unplaced := *e
		unplaced.File = ""
		l.failWith(f.columns, &unplaced)
	}
	if err != nil {
		return nil, 0, whole(err, codeTooManyPoints, func() error { return take(f.name, left+1) })
	}
	l.pointNotes(read, f, survey)
	if f.stated != 0 { // few headers can be relied on where the job says nothing
		header = headerUnit(read.Units)
	}
	return read.Points, header, nil
}

// pointSpots reads a point file of vertices.
func (l *loader) pointSpots(r io.Reader, f *dataFile) (points []tin.Point, in Input, err error) {
	points, header, err := l.pointFile(r, f, false)
	if err != nil {
		return nil, in, err
	}
	in, err = l.takeLines(f, header, []tin.Breakline{{Vertices: points}})
	return points, in, err
}

// headerUnit returns the one unit that the header of a point file gives; 0 if it gives
// none, several or one that is not known.
func headerUnit(units []string) (unit tin.Unit) {
	of := map[string]tin.Unit{
		"m": tin.Metre, "metre": tin.Metre, "metres": tin.Metre, "meter": tin.Metre, "meters": tin.Metre,
		"ft": tin.Foot, "foot": tin.Foot, "feet": tin.Foot, "ftus": tin.SurveyFoot,
	}
	for i, name := range units {
		u, known := of[strings.ToLower(name)]
		if !known || i > 0 && u != unit {
			return 0
		}
		unit = u
	}
	return unit
}

// pointNotes keeps what was noticed of a point file.
func (l *loader) pointNotes(read *pointfile.File, f *dataFile, survey bool) {
	in := cmp.Or(f.stated, l.job.Units)
	for _, note := range read.Notes {
		if note.Code == "plan_only" {
			continue // for a survey there is a note of our own; an outline needs no levels, and where it does they are asked for
		}
		note.Message = fmt.Sprintf("%s: %s", f.name, note.Message)
		switch header := headerUnit(read.Units); {
		case note.Code == "header_units" && header != 0 && sameUnit(header, in):
			// as the job says
		case note.Code == "header_units":
			note.Message = fmt.Sprintf("%s: the header gives units (%s), the job %q: nothing is converted; if the header is right, state units for the file",
				f.name, strings.Join(read.Units, ", "), in)
			l.job.Warnings = append(l.job.Warnings, note)
		case note.Code == "zero_level" && survey:
			l.job.Warnings = append(l.job.Warnings, note)
		default:
			l.job.Notes = append(l.job.Notes, note)
		}
	}
}
