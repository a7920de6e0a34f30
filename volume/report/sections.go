package report

import (
	"fmt"
	"io"
	"math"

	"barrow/volume/takeoff"
)

// Sections writes the sections of a job as a sheet: the volumes of each method beside
// those of the prisms, then for each alignment its sections with the volumes between
// them, how the figures came about, and what agreement says and does not say. Lines
// have at most 80 characters as long as volumes stay below a thousand million.
func Sections(w io.Writer, r *takeoff.SectionsResult) error {
	t := newSectionSheet(r)
	t.head()
	for i := range r.Alignments {
		t.methods(&r.Alignments[i])
	}
	t.remarks("WARNINGS", r.Warnings)
	for i := range r.Alignments {
		t.endAreas(i, &r.Alignments[i])
		t.prismoidal(&r.Alignments[i])
		t.haul(&r.Alignments[i])
	}
	t.cameAbout()
	t.remarks("NOTES", r.Notes)
	t.notMeasured(r.NotMeasured)
	t.cautions()
	return t.deliver(w)
}

// SectionsJSON writes the same as one JSON object and a line feed, as [JSON] does.
func SectionsJSON(w io.Writer, r *takeoff.SectionsResult) error { return writeJSON(w, r) }

// sectionSheet is the sheet of sections in the making.
type sectionSheet struct {
	paper
	r *takeoff.SectionsResult
}

func newSectionSheet(r *takeoff.SectionsResult) *sectionSheet {
	return &sectionSheet{paper: paper{n: numbersFor(r.Units, max(r.Prisms.Cut, r.Prisms.Fill), r.Prisms.WorksArea)}, r: r}
}

func (t *sectionSheet) head() {
	t.job(t.r.Job)
	by, u := t.r.Program, t.n.units
	t.put("", fmt.Sprintf("Cut and fill by sections, %s %s. Levels, chainages and offsets in %s, areas in %s, volumes in %s.",
		by.Name, by.Version, u.Length, u.Area, u.Volume))
	t.readWarnings(len(t.r.Warnings))
}

// methods writes where an alignment lies and what each method measures along it.
func (t *sectionSheet) methods(a *takeoff.AlignmentResult) {
	t.title("VOLUMES, " + a.Name)
	t.put("  ", t.whereabouts(a))
	factors := "No factors."
	if a.Haul != nil {
		factors = "No factors but under MASS HAUL."
	}
	t.put("  ", "Cut is bank measure, fill the space to be filled, as dug: margin and batters too. "+factors)
	if a.RunOut == takeoff.RunOutPyramid {
		t.put("  ", "By average end areas an area that runs out to nothing counts as a pyramid: a third of it times the length.")
	}
	least := ""
	if t.r.Prisms.UncoveredArea > 0 || t.r.Prisms.OpenLength > 0 {
		least = "at least "
	}
	volumes := func(what string, cut, fill float64) {
		t.row(4, what, volumeColumns(), least+fixed(cut, t.n.decimals), least+fixed(fill, t.n.decimals))
	}
	t.heads(2, "", volumeColumns(), "cut "+t.n.units.Volume, "fill "+t.n.units.Volume)
	volumes("prisms, as the takeoff", t.r.Prisms.Cut, t.r.Prisms.Fill)
	volumes("average end areas", a.EndArea.Cut, a.EndArea.Fill)
	volumes("prismoidal, middles measured", a.Prismoidal.Cut, a.Prismoidal.Fill)
	for _, m := range []struct {
		name string
		of   *takeoff.MethodVolumes
	}{{"average end areas", &a.EndArea}, {"prismoidal", &a.Prismoidal}} {
		t.put("  ", m.name+" less prisms:")
		t.row(4, "volume", volumeColumns(), signed(m.of.CutDifference.Volume, t.n.decimals), signed(m.of.FillDifference.Volume, t.n.decimals))
		t.row(4, "per cent", volumeColumns(), perCent(&m.of.CutDifference), perCent(&m.of.FillDifference))
		t.row(4, fmt.Sprintf("mean over the works' %s", t.n.area(t.r.Prisms.WorksArea)), volumeColumns(),
			t.meanOf(m.of.CutDifference.Mean), t.meanOf(m.of.FillDifference.Mean))
		if m.of.CutCurvature != 0 || m.of.FillCurvature != 0 {
			t.row(4, "of the volume, for bends", volumeColumns(), signed(m.of.CutCurvature, t.n.decimals), signed(m.of.FillCurvature, t.n.decimals))
		}
	}
}

// whereabouts says where an alignment lies and how it is cut.
func (t *sectionSheet) whereabouts(a *takeoff.AlignmentResult) string {
	words := "Alignment of the job"
	if a.LongAxis {
		words = "No alignment is given: the long axis of the smallest rectangle round the works"
	}
	if n := len(a.Line); n > 0 {
		words += fmt.Sprintf(", chainage %s at %s to %s at %s", t.n.length(a.Start), place(&a.Line[0]), t.n.length(a.End), place(&a.Line[n-1]))
		if n > 2 {
			words += fmt.Sprintf(", with %s", countOf(n-2, "bend", "bends"))
		}
	}
	words += fmt.Sprintf(". %s: every %s %s", countOf(len(a.Sections), "section", "sections"), trimmed(a.Interval), t.n.units.Length)
	if a.Chosen {
		words += " (chosen for at least 20)"
	}
	words += ", where the works begin and end, at corners of the pads, bends and listed chainages"
	if a.Reach > 0 {
		words += fmt.Sprintf("; %s %s to either side", trimmed(a.Reach), t.n.units.Length)
	}
	return words + "."
}

// perCent writes a difference as a share of the prisms.
func perCent(d *takeoff.MethodDifference) string {
	if d.PerCent == nil {
		return "no prisms"
	}
	return signed(*d.PerCent, 3) + " %"
}

// meanOf writes a mean depth with its sign: in millimetres, or in the unit of lengths.
func (t *sectionSheet) meanOf(d float64) string {
	if t.n.metric() {
		return signed(d*1000, 2) + " mm"
	}
	return signed(d, 5) + " " + t.n.units.Length
}

// signed writes x with its sign, but for nothing.
func signed(x float64, decimals int) string {
	s := fixed(x, decimals)
	if x > 0 && s != fixed(0, decimals) {
		return "+" + s
	}
	return s
}

// trimmed writes a length without zeros at its end.
func trimmed(x float64) string { return fmt.Sprintf("%g", math.Round(x*1e6)/1e6) }

// cautions say what sections cannot know.
func (t *sectionSheet) cautions() {
	t.title("CAUTIONS")
	for _, words := range sectionCautions() {
		t.point(words)
	}
}

func sectionCautions() []string {
	return []string{
		"Agreement of methods tests the arithmetic, not the survey: they stand on the same ground and the same works. " +
			"A level that is wrong is wrong in all of them.",
		"Between two sections these methods know nothing of the ground but what the middle section shows. Where they differ " +
			"from the prisms, look first at spans in which the works begin, end or change from cut to fill.",
		"Sections show shapes to measure by, and no statement that a face will stand or a fill hold: that is for a competent " +
			"person to judge on site.",
		"These are quantities for people to agree on, no certificate: the contract's rules of measurement, and the judgement " +
			"of licensed engineers and surveyors, come before this sheet.",
	}
}
