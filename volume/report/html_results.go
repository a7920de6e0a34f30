package report

import (
	"fmt"
	"html/template"
	"slices"

	"barrow/volume/takeoff"
)

// mostPictures is how many sections of an alignment a page draws, and allPictures how
// many of all alignments, but for one of each.
const (
	mostPictures = 8
	allPictures  = 24
)

// sections are the volumes by sections, some of them drawn, and the areas of all.
func (m *pageMaker) sections() (list []block) {
	if m.r.Sections == nil {
		return nil
	}
	r := *m.r.Sections
	r.Units = raisedUnits(r.Units)
	for i := range r.Alignments {
		if i == mostParts {
			list = append(list, further(len(r.Alignments)-i, "alignment", "alignments"))
			break
		}
		a := &r.Alignments[i]
		t := newSectionSheet(&r)
		t.methods(a)
		list = append(list, block{Heading: printed(a.Name)})
		list = append(list, blocksOf(a.Name+": volumes", without(t.pieces, aTitle))...)
		list = append(list, pictures(&r, i, max(1, min(mostPictures, allPictures/len(r.Alignments))))...)
		t = newSectionSheet(&r)
		t.endAreas(i, a)
		list = append(list, blocksOf(a.Name+": sections, average end areas, chainages in "+r.Units.Length, without(t.pieces, aTitle))...)
		t = newSectionSheet(&r)
		t.prismoidal(a)
		list = append(list, blocksOf(a.Name+": spans, prismoidal, chainages in "+r.Units.Length, without(t.pieces, aTitle))...)
		t = newSectionSheet(&r)
		t.haul(a)
		list = append(list, blocksOf(a.Name+": mass haul, chainages in "+r.Units.Length, without(t.pieces, aTitle))...)
	}
	if len(list) > 0 {
		list = append(list, block{Heading: "Cautions about sections"})
		list = append(list, points(sectionCautions(), asIs)...)
	}
	return list
}

// pictures draws sections of an alignment, all or a choice of no more than most.
func pictures(r *takeoff.SectionsResult, alignment, most int) (list []block) {
	a := &r.Alignments[alignment]
	chosen, works := chosenSections(a, most)
	if len(chosen) < works {
		list = append(list, block{Words: printed(fmt.Sprintf("%d of the %d sections with works %s drawn here: the most cut, the most fill, and others evenly along the alignment, as far as there is room. "+
			"The table below has the areas of all; \"barrow sections JOB.toml --out DIR\" draws each.", len(chosen), works, map[bool]string{true: "is", false: "are"}[len(chosen) == 1]))})
	}
	for i, k := range chosen {
		d := sectionDrawing{r: r, s: &a.Sections[k], most: 220, plain: i > 0}
		d.ids = sectionIDs(alignment, k)
		list = append(list, block{Picture: &htmlPicture{
			Caption: printed(fmt.Sprintf("Section %s: %s", SectionNumber(k), sectionName(a, k))),
			Drawing: template.HTML(d.draw(nil)),
		}})
	}
	return list
}

// chosenSections are the places of those that are drawn, and how many have works: all, or
// the greatest in cut and in fill and others evenly along the alignment.
func chosenSections(a *takeoff.AlignmentResult, most int) (chosen []int, works int) {
	var all []int
	cut, fill := -1, -1
	for i := range a.Sections {
		s := &a.Sections[i]
		if len(s.Profile) == 0 {
			continue
		}
		all = append(all, i)
		if s.Cut > 0 && (cut < 0 || s.Cut > a.Sections[cut].Cut) {
			cut = i
		}
		if s.Fill > 0 && (fill < 0 || s.Fill > a.Sections[fill].Fill) {
			fill = i
		}
	}
	if len(all) <= most {
		return all, len(all)
	}
	for _, i := range []int{cut, fill} {
		if i >= 0 {
			chosen = append(chosen, i)
		}
	}
	chosen = chosen[:min(most, len(chosen))]
	even := most - len(chosen)
	for k := range even {
		chosen = append(chosen, all[(2*k+1)*len(all)/(2*even)])
	}
	slices.Sort(chosen)
	return slices.Compact(chosen), len(all)
}

// setOut is the levels to work to, and the pegs.
func (m *pageMaker) setOut() (list []block) {
	if m.r.SetOut == nil {
		return nil
	}
	t := newSetOutSheet(m.r.SetOut)
	for _, words := range t.instrument() {
		t.put("", words)
	}
	list = blocksOf("", t.pieces)
	for i := range m.r.SetOut.Pads {
		if i == mostParts {
			return append(list, further(len(m.r.SetOut.Pads)-i, "pad", "pads"))
		}
		p := &m.r.SetOut.Pads[i]
		t := newSetOutSheet(m.r.SetOut)
		t.pad(p)
		list = append(list, block{Heading: printed(p.Name)})
		list = append(list, blocksOf(p.Name+": levels to work to, in "+m.r.SetOut.Units.Length, without(t.pieces, aTitle))...)
		list = append(list, m.pegs(p.Name)...)
	}
	t = newSetOutSheet(m.r.SetOut)
	t.pegTops()
	return append(list, blocksOf("", t.pieces)...)
}

// pegs are those of a pad in one table: a page is as wide as both of the sheet's.
func (m *pageMaker) pegs(pad string) []block {
	t := newSetOutSheet(m.r.SetOut)
	rows, more := t.pegTables(pad)
	for i := range rows {
		rows[i] = append(rows[i], more[i][1:]...)
	}
	t.put("", t.aboutPegs())
	t.put("", t.aboutReadings(pad))
	t.table(0, rows)
	for _, words := range t.slopesOf(pad) {
		t.put("", words)
	}
	return blocksOf(pad+": pegs, lengths and levels in "+m.r.SetOut.Units.Length, t.pieces)
}

// htmlFigure is a figure of the summary.
type htmlFigure struct {
	Label, Value, Unit string
	Under              []string
	Kind               string // "cut", "fill" or nothing
}

// mostLevels is how many pads have their level in the summary.
const mostLevels = 3

// figures are what is asked first.
func (m *pageMaker) figures() (list []htmlFigure) {
	add := func(f htmlFigure) {
		for i, u := range f.Under {
			f.Under[i] = printed(u)
		}
		f.Label = printed(f.Label)
		list = append(list, f)
	}
	r, t := m.takeoff, m.sheet
	if len(r.Pads) <= mostLevels {
		for i := range r.Pads {
			add(m.level(&r.Pads[i]))
		}
	}
	u, sure := &r.Total, r.Uncertainty
	volume := func(kind string, dug, net float64, half func() *float64) htmlFigure {
		f := htmlFigure{Label: kind + " as dug", Value: t.atLeast(dug, t.runsOff()), Unit: r.Units.Volume, Kind: kind}
		if sure != nil && sure.NotStated == "" {
			f.Under = append(f.Under, fmt.Sprintf("± %s %s (%s %%, %s)", fixed(*half(), t.n.decimals), r.Units.Volume, fixed(100*sure.Coverage, 0), sureOf(sure.Parts)))
		}
		f.Under = append(f.Under, "net void "+t.atLeast(net, u.UncoveredArea > 0)+" "+r.Units.Volume)
		return f
	}
	cut := volume("cut", u.Cut, u.OutlineCut, func() *float64 { return sure.Cut })
	fill := volume("fill", u.Fill, u.OutlineFill, func() *float64 { return sure.Fill })
	greater := &cut
	if u.Fill > u.Cut {
		greater = &fill
	}
	greater.Under = append(greater.Under, t.difference(u.CutLessFill))
	add(cut)
	add(fill)
	if u.Topsoil > 0 {
		add(htmlFigure{Label: "topsoil, bank measure", Value: t.atLeast(u.Topsoil, t.runsOff()), Unit: r.Units.Volume,
			Under: []string{"off " + t.atLeastArea(u.StripArea, t.runsOff()) + ", beside the cut"}})
	}
	if c := m.r.Crosscheck; c != nil {
		add(m.agreement(c))
	}
	if m.r.Price != nil {
		add(m.bill().figure())
	}
	return list
}

// figure is the total of a bill.
func (t *billSheet) figure() htmlFigure {
	f := htmlFigure{Label: "total before tax", Value: t.b.Currency.Text(t.b.Total), Unit: t.b.Currency.Code}
	if len(t.b.NotPriced) > 0 {
		f.Under = append(f.Under, "NOT in it: what has no rate")
	}
	if len(t.b.Provisional) > 0 {
		f.Under = append(f.Under, "without provisional items "+t.b.Currency.Text(t.b.Firm))
	}
	if u := t.r.Uncertainty; u != nil && u.NotStated == "" {
		half, what := t.sureTo(u)
		f.Under = append(f.Under, fmt.Sprintf("± %s%s (%s %%, %s)", half, what, fixed(100*u.Coverage, 0), sureOf(u.Parts)))
	}
	return f
}

// level is the level that a pad is dug to.
func (m *pageMaker) level(p *takeoff.PadResult) htmlFigure {
	n := m.sheet.n
	f := htmlFigure{Label: "formation, " + cut(p.Name, 60), Unit: n.units.Length}
	switch {
	case p.FormationLevel != nil && p.Fall == nil:
		f.Value = n.level(*p.FormationLevel)
		f.Under = []string{n.above(p.AboveMarks)}
	default:
		f.Value = n.level(p.Low.Formation) + " to " + n.level(p.High.Formation)
		if p.Fall != nil {
			f.Under = []string{"falls " + slope(p.Fall.Slope)}
		}
	}
	return f
}

// agreement says whether the methods agree as well as they are expected to.
func (m *pageMaker) agreement(c *takeoff.CrosscheckResult) htmlFigure {
	beyond := 0
	for i := range c.Bases {
		for k := range c.Bases[i].Methods {
			x := &c.Bases[i].Methods[k]
			for _, f := range []*takeoff.CrosscheckFigure{&x.Cut, &x.Fill, &x.CutLessFill} {
				if f.Beyond {
					beyond++
				}
			}
		}
	}
	f := htmlFigure{Label: "cross-check by three methods", Value: "as expected", Under: []string{"no difference is beyond what its method is expected to differ by"}}
	if beyond > 0 {
		f.Value = "BEYOND"
		f.Under = []string{countOf(beyond, "difference is", "differences are") + " beyond what is expected: see the warnings"}
	}
	return f
}
