package report

import (
	"fmt"
	"io"
	"strings"

	"barrow/volume/takeoff"
)

// Book writes a measured cross-section book as a sheet: volumes, sections with the volumes
// between them, spans by the prismoidal rule where there are middle sections, how the
// figures came about. Lines have at most 80 characters as long as volumes stay below a
// thousand million.
func Book(w io.Writer, r *takeoff.BookResult) error {
	t := bookSheet{sectionSheet: sectionSheet{paper: paper{n: numbersFor(r.Units, max(r.EndArea.Cut, r.EndArea.Fill), 1000)}}, b: r}
	t.put("", r.Name)
	t.put("", fmt.Sprintf("Cut and fill by typed sections, %s %s. Levels, chainages and offsets in %s, areas in %s, volumes in %s.",
		r.Program.Name, r.Program.Version, r.Units.Length, r.Units.Area, r.Units.Volume))
	t.readWarnings(len(r.Warnings))
	t.bookVolumes()
	t.remarks("WARNINGS", r.Warnings)
	t.bookSections()
	t.bookPrismoidal()
	t.bookCameAbout()
	t.remarks("NOTES", r.Notes)
	t.bookCautions()
	return t.deliver(w)
}

// BookJSON writes the same as one JSON object and a line feed, as [JSON] does.
func BookJSON(w io.Writer, r *takeoff.BookResult) error { return writeJSON(w, r) }

// BookSectionCSV writes a section of a book, by its place in it, as [SectionCSV] does.
func BookSectionCSV(w io.Writer, r *takeoff.BookResult, section int) error {
	return SectionCSV(w, drawable(r, section), 0, 0)
}

// BookSectionSVG draws a section of a book, by its place in it, as [SectionSVG] does.
func BookSectionSVG(w io.Writer, r *takeoff.BookResult, section int) error {
	return SectionSVG(w, drawable(r, section), 0, 0)
}

// drawable returns what of a section a picture shows, as the only one of a result.
func drawable(r *takeoff.BookResult, section int) *takeoff.SectionsResult {
	s := &r.Sections[section]
	return &takeoff.SectionsResult{Job: r.Name, Units: r.Units, Alignments: []takeoff.AlignmentResult{{Name: "typed section", Sections: []takeoff.SectionResult{{
		Chainage: s.Chainage, Cut: s.Cut, Fill: s.Fill, SquareCut: s.Cut, SquareFill: s.Fill,
		From: s.From, To: s.To, Uncovered: s.Uncovered, Profile: s.Profile}}}}}
}

// bookSheet is the sheet of a book in the making.
type bookSheet struct {
	sectionSheet
	b *takeoff.BookResult
}

func (t *bookSheet) bookVolumes() {
	t.title("VOLUMES")
	t.put("  ", "Cut is bank measure, fill the space to be filled. No factors.")
	t.heads(2, "", volumeColumns(), "cut "+t.n.units.Volume, "fill "+t.n.units.Volume)
	least := ""
	if len(t.b.Warnings) > 0 {
		least = "at least "
	}
	row := func(what string, v *takeoff.BookVolumes) {
		t.row(4, what, volumeColumns(), least+fixed(v.Cut, t.n.decimals), least+fixed(v.Fill, t.n.decimals))
	}
	row("average end areas", &t.b.EndArea)
	if t.b.Prismoidal == nil {
		return
	}
	what := map[string]string{takeoff.MiddlesAlternate: "prismoidal, alternate sections", takeoff.MiddlesLike: "prismoidal, between like sections"}[t.b.Middles]
	row(what, t.b.Prismoidal)
	t.row(4, "prismoidal correction", volumeColumns(), signed(t.b.Correction.Cut, t.n.decimals), signed(t.b.Correction.Fill, t.n.decimals))
}

func (t *bookSheet) bookSections() {
	t.title("SECTIONS: average end areas")
	t.put("  ", "Volumes are from the section above.")
	t.tableHead("no", "chainage", "")
	for i := range t.b.Sections {
		s := &t.b.Sections[i]
		values := []string{SectionNumber(i), t.n.length(s.Chainage), "", fixed(s.Cut, 2), fixed(s.Fill, 2)}
		if i > 0 {
			values = append(values, t.spanVolumes(&t.b.Spans[i-1].SpanVolume)...)
		}
		t.row(0, "", sectionColumns(), values...)
		if s.Uncovered > 0 {
			t.put(strings.Repeat(" ", 7), fmt.Sprintf("%s %s of formation without ground: areas are at least those given", t.n.length(s.Uncovered), t.n.units.Length))
		}
	}
}

func (t *bookSheet) bookPrismoidal() {
	if t.b.Prismoidal == nil {
		return
	}
	t.title("SPANS: prismoidal")
	t.put("  ", "Areas are those half way from the chainage above to this one.")
	t.tableHead("", "to", "")
	for i := range t.b.PrismoidalSpans {
		s := &t.b.PrismoidalSpans[i]
		values := []string{"", t.n.length(s.To), "", fixed(*s.MiddleCut, 2), fixed(*s.MiddleFill, 2)}
		t.row(0, "", sectionColumns(), append(values, t.spanVolumes(&s.SpanVolume)...)...)
	}
}

func (t *bookSheet) bookCameAbout() {
	t.title("HOW THE FIGURES CAME ABOUT")
	t.item("Sections", "ground and formation go straight between their typed levels, and are split where they cross. The works lie where the formation does")
	out := "it counts like any other"
	if t.b.RunOut == takeoff.RunOutPyramid {
		out = "it counts as a pyramid, a third of it times the length"
	}
	t.item("End areas", "the mean of the two areas times the length between them; where an area runs out to nothing "+out)
	switch t.b.Middles {
	case takeoff.MiddlesAlternate:
		t.item("Prismoidal", "the length over 6, times the two areas and 4 times that of the section half way: every second one of the book is a middle one")
	case takeoff.MiddlesLike:
		t.item("Prismoidal", "the length over 6, times the two areas and 4 times that half way, where each point lies half way between its like in both sections: nobody measured it")
	}
	t.sources(1, t.b.Inputs)
}

func (t *bookSheet) bookCautions() {
	t.title("CAUTIONS")
	for _, words := range []string{
		"There is no surface here, and nothing to hold these volumes against. Between two sections a book knows nothing of the ground.",
		"Sections show shapes to measure by, and no statement that a face will stand or a fill hold: that is for a competent person to judge on site.",
		"These are quantities for people to agree on, no certificate: the contract's rules of measurement, and the judgement " +
			"of licensed engineers and surveyors, come before this sheet.",
	} {
		t.point(words)
	}
}
