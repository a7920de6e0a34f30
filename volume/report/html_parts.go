package report

import (
	"cmp"
	"fmt"
	"slices"

	"barrow/volume/takeoff"
)

// points lists words.
func points[T any](list []T, words func(*T) string) []block {
	var k block
	for i := range list {
		k.Points = append(k.Points, htmlPoint{Words: printed(words(&list[i]))})
	}
	if k.Points == nil {
		return nil
	}
	return []block{k}
}

func asIs(words *string) string { return *words }

// mostParts is how many pads, or alignments, have a part of their own.
const mostParts = 100

// further says how many have none.
func further(n int, one, more string) block {
	return block{Words: fmt.Sprintf("%s left out of this page: it shows %d one by one.", countOf(n, "further "+one+" is", "further "+more+" are"), mostParts)}
}

// levels says to which level each pad is dug, with its build-up and what can be held
// against the drawing.
func (m *pageMaker) levels() (list []block) {
	for i := range m.takeoff.Pads {
		if i == mostParts {
			return append(list, further(len(m.takeoff.Pads)-i, "pad", "pads"))
		}
		p := &m.takeoff.Pads[i]
		list = append(list, block{Heading: printed(p.Name)})
		t := m.text()
		t.padLevel(p)
		t.thickeningLevels(p)
		list = append(list, blocksOf("", t.pieces)...)
		list = append(list, m.ladder(p)...)
		if p.Fall != nil || p.OwnLevels {
			t = m.text()
			t.corners(p)
			list = append(list, blocksOf(p.Name+": levels at corners, in "+m.takeoff.Units.Length, t.pieces)...)
		}
		t = m.text()
		t.sides(p)
		list = append(list, blocksOf(p.Name+": sides, bearings in degrees", t.pieces)...)
	}
	return list
}

// ladder is the build-up of a pad: levels, with the layers between them.
func (m *pageMaker) ladder(p *takeoff.PadResult) []block {
	table := &htmlTable{Caption: printed(buildUpTitle(p)), Columns: 2, Heads: []htmlRow{{Label: "level " + m.takeoff.Units.Length, Cells: []string{"build-up"}}}}
	group := htmlGroup{}
	for _, r := range m.sheet.ladder(p) {
		group.Rows = append(group.Rows, htmlRow{Label: r.level, Cells: []string{printed(r.words)}, Deep: r.layer, Total: r.words == "FORMATION"})
	}
	table.Groups = []htmlGroup{group}
	table.Words = true
	return []block{{Table: table}}
}

// quantities are all volumes and areas of the takeoff.
func (m *pageMaker) quantities() []block {
	t := m.text()
	t.volumes()
	list := quiet(blocksOf("Cut and fill", without(t.pieces, aTitle)))
	for _, part := range []struct {
		title string
		write func(*text)
	}{
		{"Topsoil", (*text).topsoil}, {"Area to trim and roll", (*text).trim}, {"Thickenings and trenches", (*text).thickenings},
		{"Backfill", (*text).backfill}, {"Layers", (*text).layers}, {"Materials", (*text).materials}, {"Clearances", (*text).clearances},
	} {
		t := m.text()
		if part.write(t); len(t.pieces) > 0 {
			list = append(list, block{Heading: part.title})
			list = append(list, quiet(blocksOf(part.title, without(t.pieces, aTitle)))...)
		}
	}
	return list
}

// quiet hides the captions of tables that a heading over them says already, and has them
// say what the last one of them does.
func quiet(list []block) []block {
	heading := ""
	for i := range list {
		heading = cmp.Or(list[i].Heading, heading)
		if t := list[i].Table; t != nil {
			t.Quiet, t.Caption = true, cmp.Or(heading, t.Caption)
		}
	}
	return list
}

// sure says how sure cut and fill are.
func (m *pageMaker) sure() []block {
	u := m.takeoff.Uncertainty
	if u == nil {
		return nil
	}
	t := m.text()
	if u.NotStated != "" {
		t.put("", "cut and fill: not stated: "+t.notStated(u))
	}
	list := append(blocksOf("", t.pieces), block{Table: m.intervals(u)})
	t = m.text()
	t.biased(u)
	t.missing(u)
	t.shots(u)
	return append(list, blocksOf("", t.pieces)...)
}

// intervals are cut and fill as dug with their intervals, and what these are made of.
func (m *pageMaker) intervals(u *takeoff.UncertaintyResult) *htmlTable {
	total, t := &m.takeoff.Total, m.sheet
	row := func(label, sign string, cut, fill, difference float64) htmlRow {
		r := htmlRow{Label: printed(label)}
		for _, v := range []float64{cut, fill, difference} {
			r.Cells = append(r.Cells, sign+fixed(v, t.n.decimals))
		}
		return r
	}
	table := &htmlTable{
		Caption: printed("As dug, in " + t.n.units.Volume), Columns: 4,
		Heads:  []htmlRow{{Cells: []string{"cut", "fill", "cut less fill"}}},
		Groups: []htmlGroup{{Rows: []htmlRow{row("measured", "", total.Cut, total.Fill, total.CutLessFill)}}},
	}
	if u.NotStated == "" {
		half := row(fmt.Sprintf("sure to, %s %%: %s", fixed(100*u.Coverage, 0), sureOf(u.Parts)), "± ", *u.Cut, *u.Fill, *u.CutLessFill)
		half.Total = true
		table.Groups[0].Rows = append(table.Groups[0].Rows, half)
	}
	if len(u.Parts) > 0 {
		parts := htmlGroup{Name: "Standard deviations"}
		for _, p := range u.Parts {
			parts.Rows = append(parts.Rows, row(partWords(p), "", p.Cut, p.Fill, p.CutLessFill))
		}
		table.Groups = append(table.Groups, parts)
	}
	return table
}

// crosscheck holds the works by all methods side by side.
func (m *pageMaker) crosscheck() []block {
	if m.r.Crosscheck == nil {
		return nil
	}
	c := *m.r.Crosscheck
	c.Units = raisedUnits(c.Units)
	t := newCrosscheck(&c)
	t.put("", crosscheckSays)
	t.bases()
	t.claim()
	t.shots()
	t.title("WHAT AGREEMENT DOES NOT SHOW")
	for _, o := range c.NotMeasured {
		t.point(o.Message)
	}
	return blocksOf("Volumes in "+c.Units.Volume+"; differences from the prisms in "+c.Units.Volume+", in per cent, and as a mean height over the works", t.pieces)
}

// bill is an empty sheet of the bill.
func (m *pageMaker) bill() *billSheet {
	return &billSheet{paper: paper{n: m.sheet.n}, r: m.r.Price, b: m.r.Price.Bill}
}

// price is the bill, if there is one.
func (m *pageMaker) price() (list []block) {
	if m.r.Price == nil {
		return nil
	}
	t := m.bill()
	t.put("", t.inMoney())
	t.notPriced()
	list = quiet(blocksOf("Not priced", t.pieces))
	for i := range t.b.Groups {
		g := &t.b.Groups[i]
		if t := m.bill(); len(g.Lines) > 0 {
			t.group(g)
			list = append(list, block{Heading: printed(t.groupName(g))})
			list = append(list, quiet(blocksOf(t.groupName(g), without(t.pieces, aTitle)))...)
		}
	}
	t = m.bill()
	t.sums()
	t.alone()
	t.title("CAUTIONS ABOUT THE BILL")
	for _, words := range billCautions() {
		t.point(words)
	}
	return append(list, quiet(blocksOf("Sums", t.pieces))...)
}

// cameAbout says how the figures came about, and from which files.
func (m *pageMaker) cameAbout() []block {
	list := []block{m.inputs()}
	add := func(title string, pieces []piece) {
		list = append(list, block{Heading: title})
		list = append(list, blocksOf("", pieces)...)
	}
	t := m.text()
	t.rules()
	t.scaled(t.r.Scale)
	t.rounding()
	add("Takeoff", t.pieces)
	if m.r.Crosscheck != nil {
		c := newCrosscheck(m.r.Crosscheck)
		c.rules()
		add("Cross-check", c.pieces)
	}
	if m.r.Sections != nil {
		s := newSectionSheet(m.r.Sections)
		s.rules()
		add("Sections", s.pieces)
	}
	if m.r.Price != nil {
		b := m.bill()
		b.rules()
		add("Price", b.pieces)
	}
	return list
}

// inputs are the files with their checksums.
func (m *pageMaker) inputs() block {
	all := slices.Clone(m.takeoff.Inputs)
	if m.r.Price != nil {
		all = append(all, m.r.Price.Inputs...)
	}
	table := &htmlTable{Caption: "Files the figures are from", Columns: 3, Heads: []htmlRow{{Label: "file", Cells: []string{"points", "sha256"}}}, Groups: []htmlGroup{{}}}
	seen := map[takeoff.Input]bool{}
	for _, in := range all {
		if seen[in] {
			continue
		}
		seen[in] = true
		points := ""
		if in.Points > 0 {
			points = fmt.Sprint(in.Points)
		}
		table.Groups[0].Rows = append(table.Groups[0].Rows, htmlRow{Label: printed(in.Path), Cells: []string{points, in.SHA256}})
	}
	return block{Table: table}
}

// leftOut is the work that is in no figure, and parts that could not be made.
func (m *pageMaker) leftOut() []block {
	var omitted []takeoff.Omission
	for _, o := range m.r.NotMeasured {
		if m.r.Crosscheck == nil || !slices.Contains(m.r.Crosscheck.NotMeasured, o) { // those stand with the cross-check
			omitted = append(omitted, o)
		}
	}
	list := points(omitted, func(o *takeoff.Omission) string { return o.Message })
	if len(m.r.Left) > 0 {
		list = append(list, block{Heading: "Parts of this report that could not be made"})
		list = append(list, points(m.r.Left, func(o *takeoff.Omission) string { return o.Message })...)
	}
	return list
}

// cautions are those of the takeoff, and what a set-out adds.
func (m *pageMaker) cautions() []block {
	list := m.sheet.cautionList()
	if m.r.SetOut != nil {
		list = append(list, levelCaution)
	}
	return points(list, asIs)
}
