package takeoff

import (
	"fmt"
	"io"

	"barrow/tin/pointfile"
	"barrow/volume/takeoff/internal/tomltree"
)

func (l *loader) survey(n *tomltree.Node) {
	var s Survey
	name := l.path(l.need(n, "points", `points = "ground.csv"`), `points = "ground.csv"`)
	columns := l.text(n.Get("columns"), `columns = "number, easting, northing, level, code"`)
	s.Name = name
	s.Stripped = l.word(n.Get("state"), "original", "stripped") == "stripped"
	s.IgnoreCodes = l.texts(n.Get("ignore_codes"), `ignore_codes = ["BM", "TREE"]`)
	s.LineCodes = l.texts(n.Get("line_codes"), `line_codes = ["TB", "BB"]`)
	if b := n.Get("benchmark"); b != nil {
		m := l.mark(b, `benchmark = { name = "BM1", plan = 62.500, measured = 10.134 }`)
		s.Benchmark = &m
	}
	if c := n.Get("check"); c != nil {
		const example = `check = [ { name = "BM2", plan = 63.210, measured = 10.846 } ]`
		for _, item := range l.tables(c, example) {
			s.Checks = append(s.Checks, l.mark(item, example))
		}
	}
	if t := n.Get("check_tolerance"); t != nil {
		s.CheckTolerance = l.tolerance(t, `check_tolerance = "10 mm"`)
	}
	l.read(n.Get("points"), name, func(r io.Reader) (int, error) {
		f, err := l.pointFile(r, name, columns, true)
		if err != nil {
			return 0, err
		}
		s.Points = f.Points
		return len(f.Points), l.budget.points(name, len(f.Points))
	})
	if b := n.Get("breaklines"); b != nil {
		s.Breaklines = l.breaklines(b, &s.lineFiles)
	}
	if l.err == nil {
		l.job.Surveys = append(l.job.Surveys, s)
	}
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

// pointFile reads a point file, of a survey or of vertices, within what is left
// of that limit, and keeps what it noticed for the result.
func (l *loader) pointFile(r io.Reader, name, columns string, survey bool) (*pointfile.File, error) {
	left := l.budget.left.Vertices
	if survey {
		left = l.budget.left.Points
	}
	f, err := pointfile.Read(l.ctx, r, name, pointfile.Options{Columns: columns, MaxPoints: max(left, 1)})
	if err != nil {
		if e := asInputError(err); e != nil && e.Code == codeTooManyPoints && !survey {
			renamed := *e
			renamed.Code = codeTooManyVertices
			return nil, &renamed
		}
		return nil, err
	}
	for _, note := range f.Notes {
		if note.Code == "plan_only" && !survey {
			continue // an outline needs no levels, and where it does they are asked for
		}
		note.Message = fmt.Sprintf("%s: %s", name, note.Message)
		l.job.Notes = append(l.job.Notes, note)
	}
	return f, nil
}
