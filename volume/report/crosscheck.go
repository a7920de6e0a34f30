package report

import (
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"barrow/volume/takeoff"
)

// Crosscheck writes works by all methods as a sheet to be signed: for each basis the
// volumes, their differences and what was expected of them, then someone else's figures
// and the check shots where there are any, how the figures came about, and what
// agreement does not show. Lines have at most 80 characters.
func Crosscheck(w io.Writer, c *takeoff.CrosscheckResult) error {
	t := newCrosscheck(c)
	t.head()
	t.bases()
	t.claim()
	t.shots()
	t.remarks("WARNINGS", c.Warnings)
	t.cameAbout()
	t.remarks("NOTES", c.Notes)
	t.title("WHAT AGREEMENT DOES NOT SHOW")
	for _, o := range c.NotMeasured {
		t.point(o.Message)
	}
	t.blank()
	t.line("Checked by ______________________________   Date ______________________")
	return t.deliver(w)
}

// CrosscheckJSON writes the same as one JSON object and a line feed, as [JSON] does.
func CrosscheckJSON(w io.Writer, c *takeoff.CrosscheckResult) error { return writeJSON(w, c) }

// crosscheck is the sheet of a crosscheck in the making.
type crosscheck struct {
	paper
	c *takeoff.CrosscheckResult
}

const crosscheckSays = "Agreement of the methods tests the arithmetic, not the survey. Cut is bank measure, fill the space to be filled. No factors."

func newCrosscheck(c *takeoff.CrosscheckResult) *crosscheck {
	greatest, area := 0.0, 0.0
	for _, b := range c.Bases {
		greatest, area = max(greatest, b.Prism.Cut, b.Prism.Fill), max(area, b.Area)
	}
	return &crosscheck{paper: paper{n: numbersFor(c.Units, greatest, area)}, c: c}
}

func (t *crosscheck) head() {
	switch {
	case len(t.c.Surveys) == 2:
		t.put("A, before: ", t.c.Surveys[0])
		t.put("B, after:  ", t.c.Surveys[1])
	default:
		t.job(t.c.Job)
	}
	t.said("The same works by four methods", t.c.Program, len(t.c.Warnings))
	t.put("", crosscheckSays)
}

// crossColumns are where volume, difference, per cent, mean height and expected
// difference end.
func crossColumns() []int { return []int{40, 51, 60, 69, 80} }

func (t *crosscheck) bases() {
	for i := range t.c.Bases {
		b := &t.c.Bases[i]
		t.title(t.basis(b))
		for _, q := range []struct {
			what   string
			prisms float64
			of     func(*takeoff.CrosscheckMethod) *takeoff.CrosscheckFigure
		}{
			{"cut", b.Prism.Cut, func(m *takeoff.CrosscheckMethod) *takeoff.CrosscheckFigure { return &m.Cut }},
			{"fill", b.Prism.Fill, func(m *takeoff.CrosscheckMethod) *takeoff.CrosscheckFigure { return &m.Fill }},
			{"cut less fill", b.Prism.CutLessFill, func(m *takeoff.CrosscheckMethod) *takeoff.CrosscheckFigure { return &m.CutLessFill }},
		} {
			t.heads(2, q.what, crossColumns(), t.c.Units.Volume, "differs by", "%", t.heightUnit(), "expected")
			t.row(4, "prisms", crossColumns(), fixed(q.prisms, t.n.decimals))
			for k := range b.Methods {
				t.method(&b.Methods[k], q.of(&b.Methods[k]))
			}
		}
	}
}

// basis is the title of a basis.
func (t *crosscheck) basis(b *takeoff.CrosscheckBasis) string {
	words := map[string]string{
		takeoff.BasisAsDug: "AS DUG, margin and batters too", takeoff.BasisNetVoid: "NET VOID, the outlines with upright faces",
		takeoff.BasisSurveys: "FROM A TO B",
	}[b.Basis]
	if b.TopsoilIn {
		words += ", from the ground before the strip"
	}
	words += ": " + t.n.area(b.Area) + " in plan"
	if b.AtLeast {
		words += ". Works reach beyond the ground: volumes are at least those given"
	}
	return words
}

func (t *crosscheck) method(m *takeoff.CrosscheckMethod, f *takeoff.CrosscheckFigure) {
	label := methodName(m.Method)
	if f.Beyond {
		label += ", BEYOND"
	}
	share := "-"
	if f.Percent != nil {
		share = signed(*f.Percent, 2)
	}
	t.row(4, label, crossColumns(), fixed(f.Volume, t.n.decimals), signed(f.Difference, t.n.decimals+1), share,
		t.height(f.Height), fixed(f.Expected, t.n.decimals+1))
	if w := f.Where; w != nil {
		t.put("      ", fmt.Sprintf("%s %s of it %s", signed(w.Difference, t.n.decimals+1), t.c.Units.Volume, t.where(w)))
	}
}

func methodName(method string) string {
	return map[string]string{
		takeoff.MethodEndArea: "average end areas", takeoff.MethodPrismoidal: "prismoidal rule", takeoff.MethodGrid: "unit-area grid",
	}[method]
}

func (t *crosscheck) where(w *takeoff.CrosscheckWhere) string {
	at := ", round " + place(&w.At)
	switch {
	case w.Chainage != nil:
		return fmt.Sprintf("between chainages %s and %s", t.n.length(w.Chainage[0]), t.n.length(w.Chainage[1])) + at
	case w.Rows != nil && w.Columns != nil:
		return fmt.Sprintf("in rows %d to %d, columns %d to %d of the grid", w.Rows[0], w.Rows[1], w.Columns[0], w.Columns[1]) + at
	}
	return strings.TrimPrefix(at, ", ")
}

func (t *crosscheck) heightUnit() string {
	if t.n.metric() {
		return "mm"
	}
	return t.c.Units.Length
}

// height writes a mean height over the works in heightUnit.
func (t *crosscheck) height(h float64) string {
	if t.n.metric() {
		return signed(1000*h, 1)
	}
	return signed(h, 4)
}

func (t *crosscheck) claim() {
	c := t.c.Claim
	if c == nil {
		return
	}
	t.title("SOMEONE ELSE'S FIGURES")
	if c.Name != "" {
		t.put("  ", c.Name)
	}
	t.put("  ", t.claimBasis(c))
	t.claimed("cut", c.Cut, c.Factor)
	t.claimed("fill", c.Fill, c.FillFactor)
	t.put("  ", t.claimRange(c.Survey)+" Inside it a figure is supported by survey and methods, which does not make it right.")
}

// claimRange says what the range of a claim holds.
func (t *crosscheck) claimRange(u *takeoff.UncertaintyResult) string {
	switch {
	case u == nil && len(t.c.Surveys) > 0:
		return "The range is the spread of the methods alone: how sure the two surveys are is not in it."
	case u == nil || u.NotStated != "":
		return "The range is the spread of the methods alone: how sure the survey is cannot be stated."
	}
	return fmt.Sprintf("The range is the spread of the methods and, either way, what the survey may be off: cut %s, fill %s %s (%s %%, %s).",
		fixed(*u.Cut, t.n.decimals), fixed(*u.Fill, t.n.decimals), t.c.Units.Volume, fixed(100*u.Coverage, 0), sureOf(u.Parts))
}

// claimBasis says what was claimed, and how it was restated.
func (t *crosscheck) claimBasis(c *takeoff.ClaimResult) string {
	basis := map[string]string{takeoff.BasisAsDug: ", as dug", takeoff.BasisNetVoid: ", net void"}[c.Basis]
	topsoil := ", from stripped ground"
	if c.TopsoilIn {
		topsoil = ", from the ground before the strip"
	}
	if c.Basis == takeoff.BasisSurveys {
		topsoil = ""
	}
	measure := map[string]string{
		takeoff.MeasureBank: "bank measure", takeoff.MeasureLoose: "loose measure", takeoff.MeasureCompacted: "compacted measure",
		takeoff.MeasureLoads: "loads of " + number(c.Load) + " " + t.c.Units.Volume + " loose",
	}[c.Measure]
	return "Claimed in " + measure + basis + topsoil + ". Restated here as bank measure of cut and the space to be filled."
}

// number writes a factor as briefly as it can be read back.
func number(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }

func (t *crosscheck) claimed(what string, f *takeoff.ClaimFigure, factor float64) {
	if f == nil {
		return
	}
	unit := t.c.Units.Volume
	if t.c.Claim.Measure == takeoff.MeasureLoads {
		unit = "loads"
	}
	verdict := "INSIDE"
	if !f.Inside {
		verdict = "OUTSIDE"
	}
	restated := t.n.volume(f.Restated)
	if factor != 0 {
		restated += ", divided by " + number(factor)
	}
	t.row(2, what+" claimed", volumeColumns(), number(f.Claimed)+" "+unit)
	t.row(2, what+" restated", volumeColumns(), restated)
	t.row(2, "survey and methods support", volumeColumns(), fixed(f.Least, t.n.decimals)+" to "+t.n.volume(f.Greatest))
	share := ""
	if f.Percent != nil {
		share = signed(*f.Percent, 1) + " %, "
	}
	t.row(2, "restated less prisms", volumeColumns(), signed(f.Difference, t.n.decimals)+" "+t.c.Units.Volume)
	t.put("    ", share+t.height(f.Height)+" "+t.heightUnit()+" over the works")
	t.put("    ", verdict+" the range that survey and methods support")
}

func (t *crosscheck) shots() {
	s := t.c.Shots
	if s == nil {
		return
	}
	t.title("CHECK SHOTS")
	ground := "the ground as it was measured"
	if s.Against != "" {
		ground = "the ground " + s.Against
	}
	t.put("  ", s.Name+": points shot apart from the survey, against "+ground)
	if s.Shift != nil {
		t.put("  ", fmt.Sprintf("%s %s added to the level of each, by their benchmark", signed(*s.Shift, 3), t.n.units.Length))
	}
	count := strconv.Itoa(s.Count)
	if left := s.OffGround + s.NoLevel; left > 0 {
		count += fmt.Sprintf(", and %d off the ground, %d without a level", s.OffGround, s.NoLevel)
	}
	t.row(2, "shots", volumeColumns(), count)
	t.row(2, "mean", volumeColumns(), t.off(s.Mean))
	if s.StandardDeviation != nil {
		t.row(2, "standard deviation", volumeColumns(), t.n.small(*s.StandardDeviation))
	}
	t.row(2, "worst", volumeColumns(), t.off(s.Worst))
	name := ""
	if s.WorstName != "" {
		name = "shot " + s.WorstName + ", "
	}
	t.put("    ", name+place(&s.WorstAt))
	t.row(2, "mean times the area of the works", volumeColumns(), t.n.volume(math.Abs(s.Volume)))
	switch {
	case s.Volume > 0:
		t.put("    ", "by so much cut less fill is too great, if the shots are right")
	case s.Volume < 0:
		t.put("    ", "by so much cut less fill is too small, if the shots are right")
	}
}

// off says how the ground lies to a shot.
func (t *crosscheck) off(d float64) string {
	switch {
	case t.n.zero(d):
		return "ground level with shots"
	case d > 0:
		return "ground HIGH by " + t.n.small(d)
	}
	return "ground LOW by " + t.n.small(-d)
}

func (t *crosscheck) cameAbout() {
	t.title("HOW THE FIGURES CAME ABOUT")
	t.rules()
	t.sources(t.c.Scale, t.c.Inputs)
}

// rules writes by which rules the figures came about.
func (t *crosscheck) rules() {
	a, g, u := &t.c.Alignment, &t.c.Grid, t.c.Units.Length
	t.item("Prisms", "exact on the triangles of the ground, split where cut turns to fill; the figures of record")
	t.item("Sections", t.along(a))
	cells, uncovered := 0, 0.0
	for _, b := range t.c.Bases {
		for _, m := range b.Methods {
			cells, uncovered = max(cells, m.Cells), max(uncovered, m.Uncovered)
		}
	}
	t.item("Grid", fmt.Sprintf("squares of %s %s from %s at bearing %s, %d rows and %d columns; %d cells over the works",
		number(g.Spacing), u, place(&g.Origin), t.n.bearing(g.Bearing), g.Rows, g.Columns, cells))
	if uncovered > 0 {
		t.item("", fmt.Sprintf("of the works, %s have no depth on the grid and are not measured by it", t.n.area(uncovered)))
	}
	t.item("Expected", "what a method may differ from the prisms either way, since it does not see what lies between its sections "+
		"or corners: found by parting the intervals and halving the spacing. A difference beyond that is a warning")
}

// along says where the sections lie.
func (t *crosscheck) along(a *takeoff.CrosscheckAlignment) string {
	u := t.c.Units.Length
	corners := "the pads"
	if len(t.c.Surveys) > 0 {
		corners = "the boundary, or the hull"
	}
	at := fmt.Sprintf("%d sections, at whole multiples of %s %s, at the ends of the works and at each corner of %s", a.Sections, number(a.Interval), u, corners)
	if a.LongAxis {
		return fmt.Sprintf("along the long axis of the works, from %s to %s, %s %s at bearing %s; %s",
			place(&a.From), place(&a.To), t.n.length(a.Length), u, t.n.bearing(a.Bearing), at)
	}
	words := fmt.Sprintf("along the job's alignment %q, chainage %s at %s to %s at %s", a.Name,
		t.n.length(a.Start), place(&a.From), t.n.length(a.Start+a.Length), place(&a.To))
	if n := len(a.Line) - 2; n > 0 {
		words += ", with " + countOf(n, "bend", "bends")
	}
	if a.Reach > 0 {
		words += fmt.Sprintf(", %s %s to either side", number(a.Reach), u)
	}
	return words + "; " + at + ", at bends and at listed chainages"
}
