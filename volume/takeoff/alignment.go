package takeoff

import (
	"fmt"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"barrow/section"
)

// Alignment is a line in plan along which sections are cut. Its chainages, and the
// lengths below, are on the ground.
type Alignment struct {
	Name     string
	Line     orb.LineString
	Start    float64   // chainage of the line's first vertex
	Interval float64   // between sections, which lie at its whole multiples; 0: chosen for at least 20 of them
	At       []float64 // chainages of further sections
	Reach    float64   // how far sections go to either side; 0: as far as the works
	RunOut   string    // RunOutAveraged, RunOutPyramid; empty: averaged
	Haul     *Haul     // of cut along it into fill; nil: without factors nothing is hauled
}

// checkAlignments refuses alignments that cannot be told apart or cut along.
func (j *Job) checkAlignments() error {
	for i := range j.Alignments {
		if err := j.checkAlignment(i); err != nil {
			return err
		}
	}
	return nil
}

// sameChainage is how near two chainages are, in the job's unit, that are one.
const sameChainage = 1e-6

// checkAlignment checks one alignment, also against those before it.
func (j *Job) checkAlignment(i int) error {
	a, key := &j.Alignments[i], fmt.Sprintf("alignment[%d].", i)
	if strings.TrimSpace(a.Name) == "" {
		return badJob(codeBadValue, key+"name", "an alignment without a name", "name it: sheets and files say which one they are of")
	}
	if k := slices.IndexFunc(j.Alignments, func(b Alignment) bool { return b.Name == a.Name }); k < i {
		return badJob(codeAlignmentName, key+"name", fmt.Sprintf("alignment[%d] is named %q too", k, a.Name), "give each alignment a name of its own")
	}
	for _, l := range []struct {
		key   string
		value float64
	}{{"interval", a.Interval}, {"reach", a.Reach}} {
		if !(l.value >= 0) || !finite(l.value) {
			return badJob(codeBadValue, key+l.key, fmt.Sprintf("%s is %s", l.key, formatNumber(l.value)), "give a length above 0, or leave it out")
		}
	}
	if !known(a.RunOut, RunOutAveraged, RunOutPyramid) {
		return badJob(codeBadValue, key+"run_out", fmt.Sprintf("unknown word %q", a.RunOut), `use "averaged" or "pyramid"`)
	}
	if a.Haul != nil {
		if e := asInputError(a.Haul.check()); e != nil {
			return badJob(e.Code, key+e.Key, e.Message, e.Hint)
		}
	}
	// In the job's unit first, so that what is said is in that unit too.
	unit, scale := j.Units.Metres(), j.scale()
	if _, err := a.metric(1, 1); err != nil {
		return withKey(err, key+"line")
	}
	line, err := a.metric(unit, scale)
	if err != nil {
		return withKey(err, key+"line")
	}
	for k, c := range a.At {
		end := line.End() / (unit * scale)
		if !(c >= a.Start-sameChainage && c <= end+sameChainage) {
			return badJob(codeChainageOutside, fmt.Sprintf("%sat[%d]", key, k),
				fmt.Sprintf("chainage %s is not on the alignment, which goes from %.3f to %.3f", formatNumber(c), a.Start, end),
				"give chainages on the ground, counted from start")
		}
	}
	return nil
}

// metric returns the line in metres on the grid.
func (a *Alignment) metric(unit, scale float64) (*section.Alignment, error) {
	return section.NewAlignment(scaleLineString(a.Line, unit), a.Start*unit*scale)
}

func (j *Job) alignmentNamed(name string) int {
	return slices.IndexFunc(j.Alignments, func(a Alignment) bool { return a.Name == name })
}
