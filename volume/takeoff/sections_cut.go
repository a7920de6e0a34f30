package takeoff

import (
	"cmp"
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/paulmach/orb"

	"barrow/section"
	"barrow/tin"
)

// mostSections is how many sections there may be where nothing else is said.
const mostSections = 5000

// cutSections cuts the works along every alignment asked for.
func (r *run) cutSections(opts SectionsOptions) ([]sectioned, error) {
	cuts := r.alignments(opts)
	dug, err := r.dug()
	if err != nil {
		return nil, err
	}
	left := cmp.Or(max(opts.Most, 0), mostSections)
	for i := range cuts {
		s := &cuts[i]
		err := r.layAlignment(s, dug.places, left)
		if err == nil {
			err = r.cutAlong(s, &dug, left)
		}
		if err != nil {
			return nil, r.atAlignment(err, s)
		}
		left -= len(s.cut.Sections)
		r.findMissed(s, dug.places)
	}
	return cuts, nil
}

// alignments returns those to cut along, before they are laid.
func (r *run) alignments(opts SectionsOptions) (cuts []sectioned) {
	for _, a := range r.job.Alignments {
		if opts.Alignment == "" || a.Name == opts.Alignment {
			cuts = append(cuts, sectioned{of: a})
		}
	}
	if len(cuts) == 0 {
		cuts = []sectioned{{of: Alignment{Name: longAxis}, chosen: true}}
	}
	for i := range cuts {
		cuts[i].of.Interval = cmp.Or(opts.Interval, cuts[i].of.Interval)
		cuts[i].of.RunOut = cmp.Or(opts.RunOut, cuts[i].of.RunOut, RunOutAveraged)
	}
	return cuts
}

// checkAlignmentName refuses a name that no alignment has; empty is none.
func (j *Job) checkAlignmentName(name string) error {
	if name == "" || j.alignmentNamed(name) >= 0 {
		return nil
	}
	return badJob(codeNoAlignment, "alignment", fmt.Sprintf("no alignment of the job is named %q", name), j.alignmentNames())
}

// alignmentNames is a hint that names them.
func (j *Job) alignmentNames() string {
	if len(j.Alignments) == 0 {
		return "the job has none: leave the name out to cut along the long axis of the works, or add an [[alignment]]"
	}
	var names []string
	for _, a := range j.Alignments[:min(len(j.Alignments), mostListed)] {
		names = append(names, strconv.Quote(a.Name))
	}
	return "it has " + strings.Join(names, ", ")
}

// layAlignment makes the line and its interval: where none is given, so that at least
// 20 sections lie between the ends of the works. A line that has no room among the
// sections left, at its bends, is refused before it is measured.
func (r *run) layAlignment(s *sectioned, places []orb.Point, left int) (err error) {
	if max(len(s.of.Line), 2) > left {
		return badJob(codeTooManySections, "", fmt.Sprintf("%d sections are left of those allowed, and it has %d bends", max(left, 0), max(len(s.of.Line)-2, 0)),
			"take wider intervals, one alignment at a time, or a line with fewer vertices")
	}
	if s.chosen {
		s.line, err = section.Default(places)
	} else {
		s.line, err = s.of.metric(r.unit, r.scale)
	}
	if err != nil {
		return err
	}
	s.interval = s.of.Interval * r.lengthUnit()
	if s.interval > 0 {
		return nil
	}
	ends, err := s.line.Marks(section.Plan{Works: places, Most: math.MaxInt})
	if err != nil {
		return err
	}
	s.interval = section.Interval((ends[len(ends)-1].Chainage-ends[0].Chainage)/r.scale, r.job.Units) * r.scale
	return nil
}

// cutAlong cuts the sections of one alignment and sums over them.
func (r *run) cutAlong(s *sectioned, dug *dugFaces, most int) error {
	plan := section.Plan{Interval: s.interval, Corners: dug.corners, Works: dug.places, Most: most}
	for _, c := range s.of.At {
		plan.At = append(plan.At, c*r.lengthUnit())
	}
	if s.isRing() {
		plan.Works = nil // round a ring works may go on past its ends
	}
	marks, err := s.line.Marks(plan)
	if err != nil {
		return err
	}
	r.noteUnmarked(s, marks)
	s.cut, err = section.Cut(r.ctx, r.ground, dug.profile, s.line, marks, section.Options{
		Reach: s.of.Reach * r.lengthUnit(), Beyond: beside(s.line, dug.places), Middles: true, Unit: r.job.Units, Scale: r.scale,
		Progress: func(done, total int) { r.tell("cutting sections", done, total) },
	})
	if err != nil {
		return err
	}
	s.warnings = append(s.warnings, s.cut.Notes...)
	for i := range s.cut.Sections {
		layers, err := r.layersOf(&s.cut.Sections[i], dug.layers)
		if err != nil {
			return err
		}
		s.layers = append(s.layers, layers)
	}
	s.spans = s.cut.Spans()
	out := section.Averaged
	if s.of.RunOut == RunOutPyramid {
		out = section.AsPyramid
	}
	s.endArea = section.AverageEndArea(s.spans, out)
	s.prismoidal, err = section.Prismoidal(s.spans)
	return err
}

// isRing reports whether the line ends where it begins.
func (s *sectioned) isRing() bool {
	line := s.line.Line()
	return line[0] == line[len(line)-1]
}

// beside returns how much ground to show beside the works, metres: a tenth of their
// greatest offset, and a metre at least.
func beside(a *section.Alignment, places []orb.Point) float64 {
	widest := 0.0
	for _, p := range places {
		_, offset, _ := a.Locate(p)
		widest = max(widest, math.Abs(offset))
	}
	return max(1, widest/10)
}

// mostListed is how many chainages or names a message lists.
const mostListed = 10

// noteUnmarked tells of listed chainages at which there are no works, and so no section.
func (r *run) noteUnmarked(s *sectioned, marks []section.Mark) {
	from, to := marks[0].Chainage/r.lengthUnit(), marks[len(marks)-1].Chainage/r.lengthUnit()
	var off []string
	for _, c := range s.of.At {
		if c < from-sameChainage || c > to+sameChainage {
			off = append(off, formatNumber(c))
		}
	}
	if len(off) == 0 {
		return
	}
	more := ""
	if n := len(off) - mostListed; n > 0 {
		off, more = off[:mostListed], fmt.Sprintf(" and %d more", n)
	}
	s.notes = append(s.notes, tin.Problem{Code: NoteNoSection, Message: fmt.Sprintf(
		"no section at %s%s: the works go from chainage %.3f to %.3f", strings.Join(off, ", "), more, from, to)})
}

// missedLeast is how far works must lie past an alignment to be worth a warning, metres.
const missedLeast = 0.001

// findMissed warns of works that no section can meet: past the ends of the alignment,
// or beyond its reach.
func (r *run) findMissed(s *sectioned, places []orb.Point) {
	reach := s.of.Reach * r.lengthUnit()
	var past, beyond farthest
	for _, p := range places {
		_, offset, end := s.line.Locate(p)
		past.see(end, p)
		if reach > 0 {
			beyond.see(math.Abs(offset)-reach, p)
		}
	}
	tell := func(f *farthest, where, remedy string) {
		if f.by > missedLeast {
			s.warnings = append(s.warnings, tin.Problem{Code: WarnNotInSections, At: &f.at, Message: fmt.Sprintf(
				"works lie up to %s %s: they are in the prisms, and in no section; %s", r.groundLength(f.by), where, remedy)})
		}
	}
	tell(&past, "past an end of the alignment", "draw the line on")
	tell(&beyond, "beyond its reach", "take the reach out, or make it longer")
}

// farthest is the greatest distance seen, and its place; of places as far, the first by
// easting and northing.
type farthest struct {
	by float64
	at orb.Point
}

func (f *farthest) see(by float64, at orb.Point) {
	if by > f.by || by == f.by && by > 0 && Place(at).before(Place(f.at)) {
		f.by, f.at = by, at
	}
}

// atAlignment has an error name the alignment it is about.
func (r *run) atAlignment(err error, s *sectioned) error {
	e := asInputError(err)
	if e == nil || s.chosen {
		return err
	}
	keyed := *e
	keyed.Key = fmt.Sprintf("alignment[%d]", r.job.alignmentNamed(s.of.Name))
	keyed.Message = fmt.Sprintf("alignment %q: %s", s.of.Name, e.Message)
	return &keyed
}
