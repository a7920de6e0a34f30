package report

import (
	"strconv"
	"strings"

	"barrow/volume/takeoff"
)

// levels writes the levels to work to.
func (p *pages) levels() {
	t := p.sheet
	p.begin("Levels to work to")
	for _, words := range t.instrument() {
		p.words(pageLeft, letter, false, words)
	}
	for i := range t.r.Pads {
		pad := &t.r.Pads[i]
		p.levelsOf(pad)
	}
}

// levelsOf writes the levels of a pad. What is said of one place stays on one page.
func (p *pages) levelsOf(pad *takeoff.SetOutPad) {
	t := p.sheet
	for i, set := range pad.Sets {
		differences := t.differences(set.Levels)
		p.need(min(float64(len(set.Levels)+2*len(differences)+4)*pitch, pageFoot-pageTop))
		if i == 0 {
			p.heading("LEVELS OF PAD " + pad.Name)
		}
		if set.Corner != "" {
			p.words(pageLeft, letter, true, "at corner "+set.Corner+" of pad "+pad.Name)
		}
		p.levelRows(set.Levels)
		for _, words := range differences {
			p.words(pageLeft, letter, false, words)
		}
		p.y += 2
	}
	if len(pad.Dug) > 0 {
		p.words(pageLeft, letter, true, "Dug below formation of pad "+pad.Name+t.where(pad))
		p.levelRows(pad.Dug)
	}
	if falls := t.falls(pad); len(falls) > 0 {
		p.need(float64(min(len(falls)+1, 20)) * pitch)
		p.words(pageLeft, letter, true, fallTitle)
		for _, words := range falls {
			p.words(pageLeft, letter, false, words)
		}
	}
}

func (p *pages) levelRows(levels []takeoff.SetLevel) {
	columns := []column{{pageLeft, "start", false, 84, "FORMATION"}, {118, "end", true, 20, ""}, {154, "end", true, 34, ""}, {pageRight, "end", true, 40, ""}}
	heading := []string{"", "level", "staff reading", "receiver on staff"}
	if p.sheet.r.Instrument == nil {
		columns, heading = columns[:2], heading[:2]
	}
	var rows [][]string
	for _, l := range levels {
		row := []string{l.Name, p.sheet.n.level(l.Level)}
		if s := l.Sight; s != nil {
			row = append(row, reading(s.Reading), p.sheet.receiver(s))
		}
		rows = append(rows, row)
	}
	p.rows(columns, heading, rows)
}

// pegs writes the pegs of all pads.
func (p *pages) pegs() {
	t := p.sheet
	for i := range t.r.Pads {
		pad := t.r.Pads[i].Name
		p.begin("Pegs of pad " + cutShort(pad, 24))
		p.words(pageLeft, letter, false, t.aboutPegs())
		for _, words := range t.slopesOf(pad) {
			p.words(pageLeft, letter, false, words)
		}
		p.y += 2
		var rows [][]string
		for k := range t.r.Pegs {
			if peg := &t.r.Pegs[k]; peg.Pad == pad {
				rows = append(rows, []string{shortNumber(peg), fixed(peg.At[0], 3), fixed(peg.At[1], 3), t.optional(peg.Ground), t.n.level(peg.Formation),
					t.depth(peg), t.n.length(peg.ToEdge), batterOf(peg)})
			}
		}
		p.rows([]column{{pageLeft, "start", true, 36, ""}, {72, "end", false, 24, ""}, {100, "end", false, 26, ""}, {117, "end", false, 15, ""},
			{136, "end", false, 16, ""}, {162, "end", true, 25, ""}, {177, "end", false, 14, ""}, {pageRight, "end", false, 20, ""}},
			[]string{"number", "easting", "northing", "ground", "formation", "depth", "to edge", "batter"}, rows)
		p.readings(pad)
	}
}

// readings writes the staff readings at the pegs of a pad whose formation is not the same
// everywhere; on a level pad they are those of its levels.
func (p *pages) readings(pad string) {
	t := p.sheet
	if t.r.Instrument == nil || t.oneSet(pad) {
		return
	}
	p.heading("STAFF READINGS")
	p.legend = t.aboutReadings(pad)
	p.words(pageLeft, letter, false, p.legend)
	var rows [][]string
	others := 0
	for k := range t.r.Pegs {
		if peg := &t.r.Pegs[k]; peg.Pad == pad {
			formation, rest := readingsAt(peg)
			others = len(rest)
			rows = append(rows, append([]string{shortNumber(peg), formation}, rest...))
		}
	}
	columns, heading := []column{{pageLeft, "start", true, 36, ""}, {76, "end", true, 24, ""}}, []string{"number", "FORMATION"}
	step := min((pageRight-80)/float64(max(others, 1)), 24)
	for i := range others {
		columns = append(columns, column{76 + float64(i+1)*step, "end", false, step - 2, ""})
		heading = append(heading, strconv.Itoa(i+1))
	}
	p.rows(columns, heading, rows)
	p.legend = ""
}

// tops writes how far down from measured peg tops the levels are.
func (p *pages) tops() {
	t := p.sheet
	if len(t.r.PegTops) == 0 {
		return
	}
	p.begin("From peg tops")
	for _, top := range t.r.PegTops {
		p.need(4 * pitch)
		p.words(pageLeft, letter, true, top.Number+", top "+t.n.level(top.Top))
		for _, d := range top.Down {
			p.words(pageLeft+6, letter, false, t.down(&d))
		}
		p.y += 2
	}
}

// site draws boxes to fill in by hand.
func (p *pages) site() {
	p.begin("To fill in on site")
	for _, b := range siteBoxes() {
		p.heading(b.title)
		p.box(b.columns, 8)
	}
}

// box draws an empty table.
func (p *pages) box(columns []string, lines int) {
	const high = 8.0
	p.need(float64(lines+1) * high)
	step := (pageRight - pageLeft) / float64(len(columns))
	top := p.y - 4.5
	for i, c := range columns {
		p.page.text(pageLeft+float64(i)*step+1, p.y, style(3.4, "start", false), strings.TrimSpace(c))
	}
	bottom := top + float64(lines+1)*high
	for i := range lines + 2 {
		p.page.line(`<path d="M%s %sH%s" stroke="black" stroke-width="0.25"/>`, px(pageLeft), px(top+float64(i)*high), px(pageRight))
	}
	for i := range len(columns) + 1 {
		p.page.line(`<path d="M%s %sV%s" stroke="black" stroke-width="0.25"/>`, px(pageLeft+float64(i)*step), px(top), px(bottom))
	}
	p.y = bottom + 6
}

// cautions writes warnings, clearances and cautions.
func (p *pages) cautions() {
	t := p.sheet
	p.begin("Warnings and cautions")
	list := func(title string, items []string) {
		if len(items) == 0 {
			return
		}
		p.heading(title)
		for _, words := range items {
			p.words(pageLeft+3, letter, false, words)
			p.y += 1.5
		}
	}
	var warnings []string
	for _, w := range t.r.Warnings {
		words := w.Message
		if w.At != nil {
			words += " (at " + place(w.At) + ")"
		}
		warnings = append(warnings, words)
	}
	list("WARNINGS", warnings)
	list("CLEARANCES", t.clearanceWords())
	list("CAUTIONS", t.cautions())
}
