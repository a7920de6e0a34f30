package report

import (
	"cmp"
	"fmt"
	"io"
	"math"
	"strings"

	"barrow/volume/takeoff"
)

// Text writes the result as a quantity sheet: the level to dig to first, then
// the build-up, the corners and sides of each pad to hold against the drawing,
// the volumes, how they came about, and what is not in them. Lines have at most
// 80 characters. Numbers are rounded one by one, so a sum may differ from its
// parts in the last place.
func Text(w io.Writer, r *takeoff.Result) error {
	t := text{paper: paper{n: newNumbers(r)}, r: r}
	t.head()
	t.digTo()
	for i := range r.Pads {
		t.pad(&r.Pads[i])
	}
	t.volumes()
	t.howSure()
	t.topsoil()
	t.trim()
	t.thickenings()
	t.backfill()
	t.layers()
	t.materials()
	t.clearances()
	t.remarks("WARNINGS", r.Warnings)
	t.ground()
	t.remarks("NOTES", r.Notes)
	t.notMeasured(r.NotMeasured)
	t.cautions()
	return t.deliver(w)
}

// text is a sheet in the making.
type text struct {
	paper
	r *takeoff.Result
}

// paper is a sheet with numbers on it.
type paper struct {
	sheet
	n numbers
}

func (t *text) head() {
	t.job(t.r.Job)
	t.said("Cut and fill", t.r.Program, len(t.r.Warnings))
}

// job writes the name of a job.
func (t *paper) job(name string) { t.put("", jobName(name)) }

// jobName returns how a job is called.
func jobName(name string) string { return cmp.Or(name, "(job without a name)") }

// said writes what made the sheet, in which units, and how many warnings it has.
func (t *paper) said(what string, by takeoff.Program, warnings int) {
	t.put("", fmt.Sprintf("%s, %s %s. %s", what, by.Name, by.Version, t.inUnits()))
	t.readWarnings(warnings)
}

// inUnits says in which units the figures are.
func (t *paper) inUnits() string {
	u := t.n.units
	return fmt.Sprintf("Levels and lengths in %s, areas in plan in %s, volumes in %s.", u.Length, u.Area, u.Volume)
}

// readWarnings says how many warnings a sheet has.
func (t *paper) readWarnings(warnings int) {
	if warnings > 0 {
		t.put("", fmt.Sprintf("READ THE %s ON THIS SHEET BEFORE USING ITS FIGURES.", countOf(warnings, "WARNING", "WARNINGS")))
	}
}

// digTo begins the sheet proper: what the people digging ask first.
func (t *text) digTo() {
	t.title("LEVEL TO DIG TO")
	for i := range t.r.Pads {
		p := &t.r.Pads[i]
		t.put("  ", p.Name)
		t.padLevel(p)
		t.thickeningLevels(p)
	}
}

// padLevel writes the formation of a pad.
func (t *text) padLevel(p *takeoff.PadResult) {
	const lead = "    "
	if p.FormationLevel != nil && p.Fall == nil {
		t.put(lead, "formation "+t.against(*p.FormationLevel, p.AboveMarks))
		return
	}
	if p.Fall != nil {
		t.put(lead, fmt.Sprintf("formation falls %s towards bearing %s, and is %s at %s",
			slope(p.Fall.Slope), t.n.bearing(p.Fall.Bearing), t.withUnit(*p.FormationLevel), place(&p.Fall.At)))
	} else {
		t.put(lead, "formation follows levels of its own")
	}
	t.put(lead, fmt.Sprintf("high: %s, formation %s", namesAt(p, p.High), t.against(p.High.Formation, p.High.AboveMarks)))
	t.put(lead, fmt.Sprintf("low:  %s, formation %s", namesAt(p, p.Low), t.against(p.Low.Formation, p.Low.AboveMarks)))
}

// sameLevel is how near two formation levels are that count as one, in the
// job's unit: a rounding of coordinates, not a difference to dig.
const sameLevel = 1e-6

// namesAt names the corners whose formation is level with a given one.
func namesAt(p *takeoff.PadResult, at takeoff.Corner) string {
	var names []string
	if at.Ring < 0 {
		names = append(names, at.Name+" (inside)")
	}
	for _, c := range p.Corners {
		if math.Abs(c.Formation-at.Formation) <= sameLevel {
			names = append(names, c.Name)
		}
	}
	return strings.Join(names, ", ")
}

func (t *paper) withUnit(level float64) string { return t.n.level(level) + " " + t.n.units.Length }

// against writes a level and its difference from the benchmarks.
func (t *text) against(level float64, marks []takeoff.Above) string {
	s := t.withUnit(level)
	if above := t.n.above(marks); above != "" {
		s += ", " + above
	}
	return s
}

func countOf(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}
