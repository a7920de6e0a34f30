package report

import (
	"fmt"
	"io"
	"math"

	"barrow/volume/takeoff"
)

// Comparison writes what lies between two surfaces as a sheet: the volumes first,
// then who covers what, how the level difference is spread, what the stable ground
// says of it, how the figures came about, and what is not in them. Lines have at
// most 80 characters.
func Comparison(w io.Writer, c *takeoff.Compared) error {
	t := compared{paper: paper{n: numbersFor(c.Units, max(c.Total.Cut, c.Total.Fill), c.Total.CommonArea)}, c: c}
	t.head()
	t.volumes()
	t.areas()
	t.spread()
	t.stable()
	t.remarks("WARNINGS", c.Warnings)
	t.cameAbout()
	t.remarks("NOTES", c.Notes)
	t.notMeasured(c.NotMeasured)
	t.cautions()
	return t.deliver(w)
}

// ComparisonJSON writes the same as one JSON object and a line feed, as [JSON]
// does.
func ComparisonJSON(w io.Writer, c *takeoff.Compared) error { return writeJSON(w, c) }

// compared is the sheet of a comparison in the making.
type compared struct {
	paper
	c *takeoff.Compared
}

func (t *compared) head() {
	for _, s := range []struct{ what, name string }{{"A, before: ", t.c.A.Name}, {"B, after:  ", t.c.B.Name}} {
		name := s.name
		if name == "" {
			name = "surface in memory"
		}
		t.put(s.what, name)
	}
	t.said("Cut and fill from A to B", t.c.Program, len(t.c.Warnings))
}

func (t *compared) volumes() {
	u := &t.c.Total
	t.title("VOLUMES")
	t.put("  ", "Depth is A less B: cut is where the ground went down from A to B, fill where it went up. "+
		"Cut is bank measure, as it lay in A; fill is the space it takes up in B. No factors.")
	atLeast := ""
	if u.UncoveredArea != nil && *u.UncoveredArea > 0 {
		atLeast = "at least "
	}
	where := "where both are"
	if u.BoundaryArea != nil {
		where = "within the boundary"
	}
	t.heads(2, "", volumeColumns(), "cut "+t.n.units.Volume, "fill "+t.n.units.Volume)
	t.row(4, where, volumeColumns(), atLeast+fixed(u.Cut, t.n.decimals), atLeast+fixed(u.Fill, t.n.decimals))
	t.row(4, "area in plan, "+t.n.units.Area, volumeColumns(), fixed(u.CutArea, t.n.areas), fixed(u.FillArea, t.n.areas))
	t.put("    ", t.difference(u.CutLessFill))
	t.greatest("deepest cut", u.MaxCutDepth, u.MaxCutAt)
	t.greatest("highest fill", u.MaxFillDepth, u.MaxFillAt)
}

func (t *compared) areas() {
	u := &t.c.Total
	inside := ""
	if u.BoundaryArea != nil {
		inside = " of the boundary"
	}
	t.title("AREAS IN PLAN")
	area := func(what string, a float64) { t.row(2, what, volumeColumns(), t.n.area(a)) }
	if u.BoundaryArea != nil {
		area("boundary", *u.BoundaryArea)
	}
	area("covered by both A and B: measured", u.CommonArea)
	if u.LevelArea > 0 {
		area("of it, with no difference at all", u.LevelArea)
	}
	area("only A covers"+inside, u.OnlyAArea)
	area("only B covers"+inside, u.OnlyBArea)
	if u.UncoveredArea != nil && *u.UncoveredArea > 0 {
		area("not covered by both, NOT MEASURED", *u.UncoveredArea)
	}
}

func (t *compared) spread() {
	t.title("LEVEL DIFFERENCE, A LESS B")
	t.put("  ", "Over the area measured, every square "+t.unitWord()+" counted alike.")
	t.levels(&t.c.Difference)
}

// unitWord is the unit of lengths in full.
func (t *compared) unitWord() string {
	if t.n.metric() {
		return "metre"
	}
	return "foot"
}

// levels writes a difference of levels.
func (t *compared) levels(d *takeoff.LevelDifference) {
	t.row(2, "mean", volumeColumns(), t.off(d.Mean))
	t.row(2, "standard deviation", volumeColumns(), t.n.small(d.StandardDeviation))
	t.row(2, "least", volumeColumns(), t.off(d.Least))
	t.row(2, "greatest", volumeColumns(), t.off(d.Greatest))
}

// off says in words how A lies to B.
func (t *compared) off(d float64) string {
	switch {
	case t.n.zero(d):
		return "A level with B"
	case d > 0:
		return "A ABOVE B by " + t.n.small(d)
	}
	return "A BELOW B by " + t.n.small(-d)
}

func (t *compared) stable() {
	s := t.c.Stable
	if s == nil {
		return
	}
	t.title("STABLE GROUND")
	t.put("  ", "Ground that nobody touched between A and B. What differs there is no work.")
	t.row(2, "area covered by both", volumeColumns(), t.n.area(s.Area))
	if s.UncoveredArea > 0 {
		t.row(2, "not covered by both", volumeColumns(), t.n.area(s.UncoveredArea))
	}
	t.levels(&s.LevelDifference)
	share := ""
	if s.Share != nil {
		share = fmt.Sprintf(", %s %% of cut plus fill", fixed(100**s.Share, 1))
	}
	t.put("  ", fmt.Sprintf("That mean over the %s measured is %s%s. It is in the figures above, not taken off.",
		t.n.area(s.WorksArea), t.n.volume(math.Abs(s.Volume)), share))
}

// cameAbout writes how the figures came about.
func (t *compared) cameAbout() {
	t.title("HOW THE FIGURES CAME ABOUT")
	for _, s := range []struct {
		name string
		of   *takeoff.SurfaceResult
	}{{"A", &t.c.A}, {"B", &t.c.B}} {
		g := &s.of.Ground
		merged := ""
		if g.Merged > 0 {
			merged = fmt.Sprintf(" (%d at the place of another)", g.Merged)
		}
		t.item("Surface "+s.name, fmt.Sprintf("%s%s, %s; %s; %s; levels %s to %s; half of its edges are shorter than %s %s",
			countOf(g.Points, "spot or vertex", "spots and vertices"), merged, countOf(g.LeftOut, "left out", "left out"),
			countOf(g.Triangles, "triangle", "triangles"), t.n.area(g.Area), t.n.level(g.LevelMin), t.withUnit(g.LevelMax),
			fixed(g.EdgeMedian, 1), t.n.units.Length))
		for i := range s.of.Surveys {
			t.survey(&s.of.Surveys[i])
		}
	}
	t.item("Volumes", "each surface is a plane on each triangle between its spots. Each common piece of a triangle of A and "+
		"one of B is a prism, split where cut turns to fill, and the prisms are added up; mean and standard deviation are "+
		"integrals over the same pieces")
	t.sources(t.c.Scale, t.c.Inputs)
}

// cautions say what a comparison cannot know.
func (t *compared) cautions() {
	t.title("CAUTIONS")
	for _, words := range []string{
		"A level error shared by a whole survey looks like work. See that both surveys stand on one benchmark, and hold " +
			"ground that nobody touched against itself: it is the error to fear here.",
		"Cut is measured as it lay and fill as it lies: neither is what trucks carried. Bulking and compaction are not in it.",
		"Two surveys show two days. What came and went between them leaves no trace.",
		"Ground between spots is a straight line here. Where one survey took an edge that the other missed, the difference " +
			"is the surveys', not the work's.",
		"These are quantities for people to agree on, no certificate: the contract's rules of measurement, and the judgement " +
			"of licensed surveyors, come before this sheet.",
	} {
		t.point(words)
	}
}
