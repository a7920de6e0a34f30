package takeoff

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"barrow/section"
	"barrow/tin"
)

// placeSections chooses the alignment, and where sections are cut along it: the job's
// alignment asked for, or its first, if sections along it meet all of the works once;
// else the long axis of the works.
func (x *crossing) placeSections(extent []orb.Point) error {
	a, err := x.jobAlignment()
	if err != nil {
		return err
	}
	if a != nil {
		if taken, err := x.placeAlong(a, extent); taken || err != nil {
			return err
		}
	}
	x.alignment, x.along = x.axis, Alignment{Name: longAxis}
	x.interval = x.opts.Interval * x.run.lengthUnit()
	if x.interval == 0 {
		x.interval = offPattern * section.Interval(x.alignment.Length(), x.run.job.Units)
	}
	x.marks, err = x.alignment.Marks(section.Plan{Interval: x.interval, Corners: x.corners(extent), Works: extent})
	if err != nil {
		return under("interval", err)
	}
	x.markParted()
	return nil
}

// offPattern is by what a round interval is multiplied where nobody gave one: the golden
// section, short enough to read, so that sections do not all fall on lines of spots
// (docs/decisions/0007-sections-off-the-pattern.md).
const offPattern = 0.618

// markParted puts a mark between any two.
func (x *crossing) markParted() {
	for i, m := range x.marks {
		if i > 0 {
			before := x.marks[i-1].Chainage
			x.parted = append(x.parted, section.Mark{Chainage: before + float64(partedAt(i-1)*(m.Chainage-before))})
		}
		x.parted = append(x.parted, m)
	}
}

// partedAt returns where a span is parted to estimate its error, as a share of its
// length: from a third to two thirds, spread from span to span by the golden section.
// Spots in lines square to the alignment would have all sections alike fall on the lines
// again where every span is halved, and show no error.
func partedAt(span int) float64 {
	_, spread := math.Modf(float64(span) * (math.Phi - 1))
	return (1 + spread) / 3
}

// jobAlignment returns the job's alignment asked for, or its first; nil without any.
func (x *crossing) jobAlignment() (*Alignment, error) {
	job, name := x.run.job, x.opts.Alignment
	if x.run.layout == nil { // of surveys the works are the ground's own
		if name != "" {
			return nil, badJob(codeBadValue, "alignment", "an alignment goes with a job", "leave it out: between two surveys sections lie along the long axis")
		}
		return nil, nil
	}
	if name == "" {
		if len(job.Alignments) == 0 {
			return nil, nil
		}
		return &job.Alignments[0], nil
	}
	if err := job.checkAlignmentName(name); err != nil {
		return nil, err
	}
	return &job.Alignments[job.alignmentNamed(name)], nil
}

// placeAlong lays sections along an alignment of the job. It reports false, with a
// remark that says why, where they would miss works or meet some twice: the methods
// could not agree then.
func (x *crossing) placeAlong(a *Alignment, extent []orb.Point) (taken bool, err error) {
	r := x.run
	s := sectioned{of: *a}
	s.of.Interval = cmp.Or(x.opts.Interval, a.Interval)
	if err := r.layAlignment(&s, extent, math.MaxInt); err != nil {
		return x.notTaken(&s, err)
	}
	if s.of.Interval == 0 {
		s.interval *= offPattern
	}
	if r.findMissed(&s, extent); len(s.warnings) > 0 {
		x.remarkNotTaken(&s, s.warnings[0])
		return false, nil
	}
	plan := section.Plan{Interval: s.interval, Corners: x.corners(extent), Works: extent}
	for _, c := range a.At {
		plan.At = append(plan.At, c*r.lengthUnit())
	}
	if s.isRing() {
		plan.Works = nil // round a ring works may go on past its ends
	}
	marks, err := s.line.Marks(plan)
	if err != nil {
		return x.notTaken(&s, err)
	}
	missed, err := x.missedAlong(&s, marks, extent)
	if err != nil {
		return false, err
	}
	if missed != nil {
		x.remarkNotTaken(&s, *missed)
		return false, nil
	}
	x.alignment, x.along, x.interval, x.marks = s.line, *a, s.interval, marks
	x.markParted()
	return true, nil
}

// notTaken tells works off the alignment from an error in what was asked for.
func (x *crossing) notTaken(s *sectioned, err error) (taken bool, _ error) {
	e := asInputError(err)
	switch {
	case e == nil:
		return false, err
	case e.Code == "works_off_alignment":
		x.remarkNotTaken(s, tin.Problem{Message: e.Message + "; " + e.Hint})
		return false, nil
	case x.opts.Interval > 0:
		return false, under("interval", err)
	}
	return false, x.run.job.placed(x.run.atAlignment(err, s))
}

// remarkNotTaken says why an alignment is not taken, and what to do: a note, or a
// warning where the alignment was asked for by name.
func (x *crossing) remarkNotTaken(s *sectioned, why tin.Problem) {
	p := tin.Problem{Code: NoteAlignmentNotTaken, At: why.At, Message: fmt.Sprintf(
		"the sections lie along the long axis of the works, and not along alignment %q: %s", s.of.Name, why.Message)}
	if x.opts.Alignment == "" {
		x.notes = append(x.notes, p)
	} else {
		x.warnings = append(x.warnings, p)
	}
}

// missedAlong cuts the sections once, to see whether they cross within the works and
// whether the works go on past a bend at which the first or the last one lies.
func (x *crossing) missedAlong(s *sectioned, marks []section.Mark, extent []orb.Point) (*tin.Problem, error) {
	r := x.run
	trial, err := section.Cut(r.ctx, r.ground, x.works[0].formation, s.line, marks, x.cutting(&s.of, false))
	if err != nil {
		return nil, err
	}
	for i := range trial.Notes {
		if trial.Notes[i].Code == "sections_cross" {
			return &trial.Notes[i], nil
		}
	}
	if s.isRing() {
		return nil, nil
	}
	first, last := acrossAt(&trial.Sections[0]), acrossAt(&trial.Sections[len(trial.Sections)-1])
	var past farthest
	for _, p := range extent {
		chainage, _, _ := s.line.Locate(p)
		if chainage <= marks[0].Chainage+sameChainage {
			past.see(-first.ahead(p), p)
		}
		if chainage >= marks[len(marks)-1].Chainage-sameChainage {
			past.see(last.ahead(p), p)
		}
	}
	if past.by <= missedLeast {
		return nil, nil
	}
	return &tin.Problem{At: &past.at, Message: fmt.Sprintf("works lie up to %s past a bend at which they end; draw the line on, or give the bend more vertices", r.groundLength(past.by))}, nil
}

// cutting is how sections along an alignment are cut.
func (x *crossing) cutting(a *Alignment, middles bool) section.Options {
	return section.Options{Reach: a.Reach * x.run.lengthUnit(), Middles: middles, Unit: x.run.job.Units, Scale: x.run.scale}
}

// crossLine is a section in plan.
type crossLine struct{ at, right orb.Point }

func acrossAt(s *section.Section) crossLine { return crossLine{s.At, s.Right} }

// ahead returns how far ahead of the line a place is, metres; below 0 behind it.
func (l *crossLine) ahead(p orb.Point) float64 {
	return float64(l.right[0]*(p[1]-l.at[1])) - float64(l.right[1]*(p[0]-l.at[0]))
}

// crossLeg is a leg of the alignment with the stretches on it.
type crossLeg struct {
	line  crossLine // across its beginning, square to it
	from  float64   // chainage there
	parts []crossPart
}

// legs gives each leg its stretches, which are in order of chainage.
func (x *crossing) legs(parts []crossPart) (legs []crossLeg) {
	line, starts := x.alignment.Line(), append([]float64{x.alignment.Start()}, x.alignment.Bends()...)
	for i, from := range starts {
		n := len(parts)
		if i+1 < len(starts) {
			n, _ = slices.BinarySearchFunc(parts, starts[i+1], func(p crossPart, c float64) int { return cmp.Compare(p.from, c) })
		}
		if n > 0 {
			length := math.Hypot(line[i+1][0]-line[i][0], line[i+1][1]-line[i][1])
			right := orb.Point{(line[i+1][1] - line[i][1]) / length, (line[i][0] - line[i+1][0]) / length}
			legs = append(legs, crossLeg{crossLine{line[i], right}, from, parts[:n]})
		}
		parts = parts[n:]
	}
	return legs
}

// alongSpans gives every stretch what the prisms have between its two sections, within
// the reach.
func (x *crossing) alongSpans(w *crossWorks, parts []crossPart) error {
	legs, reach := x.legs(parts), x.along.Reach*x.run.lengthUnit()
	return w.pieces(func(piece depthPiece) {
		for i := range legs {
			legs[i].add(piece, reach)
		}
	})
}

// add gives the stretches of a leg their parts of a prism. At the ends of the leg the
// sections may be turned: there every prism is tried.
func (l *crossLeg) add(piece depthPiece, reach float64) {
	if reach > 0 {
		right := func(c *depthCorner) float64 {
			return float64((c.at[0]-l.line.at[0])*l.line.right[0]) + float64((c.at[1]-l.line.at[1])*l.line.right[1])
		}
		piece = piece.clip(func(c *depthCorner) float64 { return reach - right(c) }).
			clip(func(c *depthCorner) float64 { return reach + right(c) })
	}
	if len(piece) < 3 {
		return
	}
	least, greatest := piece.span(func(p orb.Point) float64 { return l.from + l.line.ahead(p) })
	last := len(l.parts) - 1
	l.parts[0].addBetween(piece)
	if last > 0 {
		l.parts[last].addBetween(piece)
	}
	i, _ := slices.BinarySearchFunc(l.parts, least, func(p crossPart, c float64) int {
		if p.to <= c {
			return -1
		}
		return 1
	})
	for i = max(i, 1); i < last && l.parts[i].from < greatest; i++ {
		l.parts[i].addBetween(piece)
	}
}

// addBetween adds what of a prism lies between the two sections of a stretch. Where the
// two cross, beside a bend, what lies behind the first and ahead of the second is taken
// off, as it is in the sums over sections: the next stretch has it too.
func (p *crossPart) addBetween(piece depthPiece) {
	first := func(c *depthCorner) float64 { return p.lines[0].ahead(c.at) }
	second := func(c *depthCorner) float64 { return p.lines[1].ahead(c.at) }
	less := func(of func(*depthCorner) float64) func(*depthCorner) float64 {
		return func(c *depthCorner) float64 { return -of(c) }
	}
	p.addPrism(piece.clip(first).clip(less(second)).volumes())
	over := piece.clip(less(first)).clip(second).volumes()
	for q := range over {
		over[q] = -over[q]
	}
	p.addPrism(over)
}
