package report

import (
	"fmt"
	"strconv"
	"strings"

	"barrow/volume/takeoff"
)

// sectionColumns are where the columns of a table of sections end: number, chainage,
// side, areas, volumes, cumulative volumes.
func sectionColumns() []int { return []int{6, 17, 24, 34, 43, 52, 61, 70, 80} }

// SectionNumber is how a section is called in sheets and files: by its place along its
// alignment, from 1.
func SectionNumber(section int) string { return fmt.Sprintf("%03d", section+1) }

// endAreas writes the sections of an alignment, and the volumes between them by average
// end areas.
func (t *sectionSheet) endAreas(number int, a *takeoff.AlignmentResult) {
	t.title(fmt.Sprintf("SECTIONS, %s: average end areas", a.Name))
	if len(t.r.Alignments) > 1 {
		t.put("  ", fmt.Sprintf("Alignment %d of the files.", number+1))
	}
	t.put("  ", "Areas are square to the alignment; volumes are from the section above. Where the works change at once a "+
		"section stands twice, with what lies behind it and what lies ahead.")
	t.tableHead("no", "chainage", "side")
	for i := range a.Sections {
		s := &a.Sections[i]
		values := []string{SectionNumber(i), t.n.length(s.Chainage), s.Side, fixed(s.SquareCut, 2), fixed(s.SquareFill, 2)}
		if i > 0 {
			values = append(values, t.spanVolumes(&a.Spans[i-1].EndArea)...)
		}
		t.row(0, "", sectionColumns(), values...)
		if s.Uncovered > 0 {
			t.put(strings.Repeat(" ", 7), fmt.Sprintf("%s %s of formation without ground: areas are at least those given", t.n.length(s.Uncovered), t.n.units.Length))
		}
	}
}

// prismoidal writes the volumes between sections with the middle ones as measured.
func (t *sectionSheet) prismoidal(a *takeoff.AlignmentResult) {
	t.title(fmt.Sprintf("SPANS, %s: prismoidal", a.Name))
	t.put("  ", "Areas are those half way from the section above to this one, square to the alignment.")
	t.tableHead("to", "half way", "")
	for i := range a.Spans {
		s := &a.Spans[i]
		values := []string{SectionNumber(i + 1), t.n.length(s.From + (s.To-s.From)/2), "", fixed(s.MiddleCut, 2), fixed(s.MiddleFill, 2)}
		t.row(0, "", sectionColumns(), append(values, t.spanVolumes(&s.Prismoidal)...)...)
	}
}

func (t *sectionSheet) tableHead(number, chainage, side string) {
	u := t.n.units
	t.heads(0, "", sectionColumns(), "", "", "", "cut", "fill", "cut", "fill", "cut", "fill")
	t.heads(0, "", sectionColumns(), number, chainage, side, u.Area, u.Area, u.Volume, u.Volume, "in all", "in all")
}

func (t *sectionSheet) spanVolumes(v *takeoff.SpanVolume) (words []string) {
	for _, x := range []float64{v.Cut, v.Fill} {
		words = append(words, fitting(x, t.n.decimals, 8))
	}
	for _, x := range []float64{v.CumulativeCut, v.CumulativeFill} {
		words = append(words, fitting(x, t.n.decimals, 9))
	}
	return words
}

// fitting writes x with so many decimals, or fewer where it would be wider than a
// column; one that is still wider has a power of ten.
func fitting(x float64, decimals, wide int) string {
	for ; decimals >= 0; decimals-- {
		if s := fixed(x, decimals); len(s) <= wide {
			return s
		}
	}
	return strconv.FormatFloat(x, 'e', 1, 64)
}

// cameAbout writes how the figures came about.
func (t *sectionSheet) cameAbout() {
	t.title("HOW THE FIGURES CAME ABOUT")
	for i := range t.r.Surveys {
		t.survey(&t.r.Surveys[i])
	}
	t.rules()
	t.sources(t.r.Scale, t.r.Inputs)
}

// rules writes by which rules the figures came about.
func (t *sectionSheet) rules() {
	t.item("Sections", "vertical cuts across the alignment, at a bend on the bisector. Ground and formation go straight "+
		"between the offsets at which one of them changes slope, and are split where they cross; the areas add up these strips")
	if t.r.StripRule != nil {
		t.item("", "depths are from stripped ground, the ground less its topsoil")
	}
	t.item("End areas", "the mean of the two areas times the length between them; where an area runs out to nothing "+t.runsOut())
	t.item("Prismoidal", "the length over 6, times the two areas and 4 times the one measured half way")
	t.item("Bends", "for both, the length is shorter on the inside of a bend and longer outside: the areas' moments about the alignment count it")
	t.item("Prisms", "the takeoff's own volumes, triangle by triangle: sections and prisms share the ground and the works, and nothing else")
}

// runsOut says how areas that run out to nothing count.
func (t *sectionSheet) runsOut() string {
	pyramids := 0
	for i := range t.r.Alignments {
		if t.r.Alignments[i].RunOut == takeoff.RunOutPyramid {
			pyramids++
		}
	}
	switch pyramids {
	case 0:
		return "it counts like any other"
	case len(t.r.Alignments):
		return "it counts as a pyramid, a third of it times the length"
	}
	return "it counts like any other, or as a pyramid where that is said above"
}
