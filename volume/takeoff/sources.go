package takeoff

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"barrow/tin"
	"barrow/tin/formation"
)

// prepared is a survey on its way into the ground.
type prepared struct {
	sources []tin.Source // the first holds the points of the survey, as spots and as lines of their codes
	result  SurveyResult
	notes   []tin.Problem
}

// prepare leaves out what is not ground, forms the lines of the line codes and
// lifts all levels by the benchmark's shift.
//
// A point whose code is ignored, or that has another code, ends a line. The
// points of a line are its vertices; a single point makes a spot.
func (s *Survey) prepare(unit string) prepared {
	p := prepared{result: SurveyResult{Name: s.Name, Points: len(s.Points), Stripped: s.Stripped}}
	lift := func(level float64) float64 { return level }
	if b := s.Benchmark; b != nil {
		p.result.Benchmark = &MarkResult{b.Name, b.Plan, b.Measured}
		p.result.Shift = addLevels(b.Plan, -b.Measured)
		if shift := p.result.Shift; shift != 0 {
			lift = func(level float64) float64 { return addLevels(level, shift) }
		}
	}
	main := tin.Source{Name: s.Name, Faces: s.Faces}
	codes, plain := s.codes()
	switch {
	case (plain || s.Faces != nil) && p.result.Shift == 0: // all ground as it stands, and needs no copy
		main.Points = slices.Clip(s.Points)
	case s.Faces != nil: // by the numbers of its points
		main.Points = slices.Clone(s.Points)
		for i := range main.Points {
			main.Points[i].Level = lift(main.Points[i].Level)
		}
	default:
		s.sortOut(&p, &main, codes, lift)
	}
	p.codeNotes(s, main.Breaklines, codes, unit)
	p.sources = s.linesTo(main, lift)
	for _, src := range p.sources {
		p.result.Breaklines += len(src.Breaklines)
	}
	p.result.Used = len(s.Points) - p.result.LeftOut - p.result.NoLevel
	for _, code := range slices.Sorted(maps.Keys(codes)) {
		p.result.Codes = append(p.result.Codes, *codes[code])
	}
	for _, c := range s.Checks {
		p.result.Checks = append(p.result.Checks, MarkCheck{c.Name, c.Plan, c.Measured,
			addLevels(addLevels(c.Measured, p.result.Shift), -c.Plan)})
	}
	return p
}

// sortOut puts the points where they belong, lifted: spots and the lines of line
// codes into main, the rest is counted.
func (s *Survey) sortOut(p *prepared, main *tin.Source, codes map[string]*CodeCount, lift func(float64) float64) {
	main.Points = make([]tin.Point, 0, len(s.Points))
	var run []tin.Point
	endRun := func() {
		switch {
		case len(run) == 1 && run[0].HasLevel():
			main.Points = append(main.Points, run[0])
		case len(run) == 1:
			p.noLevel(run[0])
		case len(run) > 1:
			main.Breaklines = append(main.Breaklines, tin.Breakline{Name: runName(run), Vertices: run})
		}
		run = nil
	}
	for _, q := range s.Points {
		what := codes[q.Code].Use
		if len(run) > 0 && (what != UseLine || !strings.EqualFold(q.Code, run[0].Code)) {
			endRun()
		}
		if what == UseLeftOut {
			p.result.LeftOut++
			continue
		}
		q.Level = lift(q.Level)
		switch {
		case what == UseLine:
			run = append(run, q)
		case q.HasLevel():
			main.Points = append(main.Points, q)
		default:
			p.noLevel(q)
		}
	}
	endRun()
}

// codes counts the codes and says what is made of the points of each. plain
// says that every point is a spot with a level.
func (s *Survey) codes() (codes map[string]*CodeCount, plain bool) {
	codes, plain = map[string]*CodeCount{}, true
	for i := range s.Points {
		q := &s.Points[i]
		c := codes[q.Code]
		if c == nil {
			c = &CodeCount{Code: q.Code, Use: s.use(q.Code)}
			codes[q.Code] = c
		}
		c.Count++
		plain = plain && c.Use == UseSpot && q.HasLevel()
	}
	return codes, plain
}

// use returns what is made of points of a code.
func (s *Survey) use(code string) string {
	is := func(c string) bool { return strings.EqualFold(c, code) }
	switch {
	case slices.ContainsFunc(s.IgnoreCodes, is):
		return UseLeftOut
	case slices.ContainsFunc(s.LineCodes, is):
		return UseLine
	}
	return UseSpot
}

// linesTo adds the survey's own breaklines, lifted, as further sources: those
// from a file under its name, others under the survey's.
func (s *Survey) linesTo(main tin.Source, lift func(float64) float64) []tin.Source {
	lifted := make([]tin.Breakline, len(s.Breaklines))
	for i, b := range s.Breaklines {
		lifted[i] = tin.Breakline{Name: b.Name, Vertices: slices.Clone(b.Vertices)}
		for j := range lifted[i].Vertices {
			v := &lifted[i].Vertices[j]
			v.Level = lift(v.Level) // NaN stays NaN
		}
	}
	files := slices.Clone(s.lineFiles)
	slices.SortFunc(files, func(a, b lineFile) int { return cmp.Compare(a.from, b.from) })
	sources, next := []tin.Source{main}, 0
	var own []tin.Breakline
	for _, f := range files {
		if f.from < next || f.to > len(lifted) {
			continue // the caller changed the lines after loading
		}
		own = append(own, lifted[next:f.from]...)
		sources = append(sources, tin.Source{Name: f.name, Breaklines: lifted[f.from:f.to]})
		next = f.to
	}
	if own = append(own, lifted[next:]...); len(own) > 0 {
		sources = slices.Insert(sources, 1, tin.Source{Name: s.Name, Breaklines: own})
	}
	return sources
}

func (p *prepared) noLevel(q tin.Point) {
	if p.result.NoLevel++; p.result.NoLevel == 1 {
		p.notes = append(p.notes, tin.Problem{Code: NoteNoLevel, Message: lineOf(q)})
	}
}

// codeNotes writes the notes about codes and points without a level.
func (p *prepared) codeNotes(s *Survey, lines []tin.Breakline, codes map[string]*CodeCount, unit string) {
	name := s.Name
	if name == "" {
		name = "the survey"
	}
	for i := range p.notes { // so far the one made by noLevel
		p.notes[i].Message = fmt.Sprintf("%s: %s without a level left out, the first %s", name, countOf(p.result.NoLevel, "spot"), p.notes[i].Message)
	}
	for _, list := range [][]string{s.IgnoreCodes, s.LineCodes} {
		for _, code := range list {
			met := false
			for c := range codes {
				met = met || strings.EqualFold(c, code)
			}
			if !met {
				p.notes = append(p.notes, tin.Problem{Code: NoteCodeUnmet,
					Message: fmt.Sprintf("%s: no point has the code %q", name, code)})
			}
		}
	}
	if len(lines) == 0 {
		return
	}
	vertices, longest := 0, 0.0
	var from, to tin.Point
	for _, b := range lines {
		vertices += len(b.Vertices)
		for i := 1; i < len(b.Vertices); i++ {
			u, v := b.Vertices[i-1], b.Vertices[i]
			if d := math.Hypot(v.E-u.E, v.N-u.N); d > longest {
				longest, from, to = d, u, v
			}
		}
	}
	p.notes = append(p.notes, tin.Problem{Code: NoteCodeLines, Message: fmt.Sprintf(
		"%s: %s formed from %d points with the codes %s; the longest stretch, %.2f %s, is from %s to %s",
		name, countOf(len(lines), "breakline"), vertices, strings.Join(s.LineCodes, ", "), longest, unit, lineOf(from), lineOf(to))})
}

// runName names a line formed by codes.
func runName(run []tin.Point) string {
	first, last := run[0], run[len(run)-1]
	if first.Line == 0 {
		return first.Code
	}
	return fmt.Sprintf("%s, lines %d to %d", first.Code, first.Line, last.Line)
}

// lineOf says where a point came from.
func lineOf(p tin.Point) string {
	var what string
	switch {
	case p.Name != "":
		what = "point " + p.Name
	default:
		what = fmt.Sprintf("the point at %s, %s", formatNumber(p.E), formatNumber(p.N))
	}
	if p.Line > 0 {
		return fmt.Sprintf("%s in line %d", what, p.Line)
	}
	return what
}

func countOf(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}

// addLevels adds two levels so that decimals give the float64 nearest to their
// decimal sum: 10.134 + 52.366 is 62.5.
func addLevels(a, b float64) float64 { return formation.Mark{Plan: a, Measured: -b}.Shift() }
