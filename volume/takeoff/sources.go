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
	use := s.uses()
	main := tin.Source{Name: s.Name}
	// A survey that is all ground as it stands needs no copy.
	asIs := p.result.Shift == 0 && !slices.ContainsFunc(s.Points, func(q tin.Point) bool {
		return !q.HasLevel() || use(q.Code) != UseSpot
	})
	if asIs {
		main.Points = slices.Clip(s.Points)
	} else {
		main.Points = make([]tin.Point, 0, len(s.Points))
	}
	counts := map[string]int{}
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
		counts[q.Code]++
		what := use(q.Code)
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
			if !asIs {
				main.Points = append(main.Points, q)
			}
		default:
			p.noLevel(q)
		}
	}
	endRun()
	p.codeNotes(s, main.Breaklines, counts, unit)
	p.sources = s.linesTo(main, lift)
	for _, src := range p.sources {
		p.result.Breaklines += len(src.Breaklines)
	}
	p.result.Used = len(s.Points) - p.result.LeftOut - p.result.NoLevel
	for _, code := range slices.Sorted(maps.Keys(counts)) {
		p.result.Codes = append(p.result.Codes, CodeCount{code, counts[code], use(code)})
	}
	for _, c := range s.Checks {
		p.result.Checks = append(p.result.Checks, MarkCheck{c.Name, c.Plan, c.Measured,
			addLevels(addLevels(c.Measured, p.result.Shift), -c.Plan)})
	}
	return p
}

// uses returns what is made of points of a code.
func (s *Survey) uses() func(code string) string {
	has := func(list []string, code string) bool {
		return slices.ContainsFunc(list, func(c string) bool { return strings.EqualFold(c, code) })
	}
	known := map[string]string{}
	return func(code string) string {
		u, ok := known[code]
		if !ok {
			switch u = UseSpot; {
			case has(s.IgnoreCodes, code):
				u = UseLeftOut
			case has(s.LineCodes, code):
				u = UseLine
			}
			known[code] = u
		}
		return u
	}
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
func (p *prepared) codeNotes(s *Survey, lines []tin.Breakline, counts map[string]int, unit string) {
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
			for c := range counts {
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
