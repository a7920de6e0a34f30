package report

import (
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"barrow/volume/takeoff"
)

// cornerRoom is how far coordinates stay from the corners, where they would meet, mm.
const cornerRoom = 9

// rim draws crosses of the grid, and the frame with ticks at their coordinates.
func (d *planDrawing) rim() {
	f := d.p.Frame
	e, n := ticksOver(f.Min[0], f.Max[0], 35/d.mm), ticksOver(f.Min[1], f.Max[1], 35/d.mm)
	crosses := ""
	for _, x := range e.at {
		for _, y := range n.at {
			c := d.at(orb.Point{x, y})
			crosses += fmt.Sprintf("M%s %sh2m-1 -1v2", px(c[0]-1), px(c[1]))
		}
	}
	d.group("grid", func() {
		d.path(crosses, fmt.Sprintf(`stroke="black" stroke-width="0.12" clip-path="url(#%sground)"`, d.ids))
	})
	d.group("frame", func() { d.frame(e, n) })
}

// frame draws the frame, with ticks and the coordinates there.
func (d *planDrawing) frame(e, n ticks) {
	f := d.p.Frame
	ticks := ""
	for _, x := range e.at {
		c := d.at(orb.Point{x, f.Min[1]})
		ticks += fmt.Sprintf("M%s %sv1.5", px(c[0]), px(c[1]))
		if min(c[0]-d.left, d.right-c[0]) > cornerRoom {
			d.text(c[0], c[1]+4, `text-anchor="middle"`, "E "+e.write(x))
		}
	}
	for _, y := range n.at {
		c := d.at(orb.Point{f.Min[0], y})
		ticks += fmt.Sprintf("M%s %sh-1.5", px(c[0]), px(c[1]))
		if min(c[1]-d.top, d.bottom-c[1]) > cornerRoom {
			d.text(0, 0, fmt.Sprintf(`text-anchor="middle" transform="translate(%s %s) rotate(-90)"`, px(c[0]-2.3), px(c[1])), "N "+n.write(y))
		}
	}
	d.path(ticks, `stroke="black" stroke-width="0.2"`)
	d.line(`<rect x="%s" y="%s" width="%s" height="%s" fill="none" stroke="black" stroke-width="0.3"/>`, px(d.left), px(d.top), px(d.right-d.left), px(d.bottom-d.top))
}

// legendEntry is a line of the legend, or several that stay together.
type legendEntry struct {
	high float64
	draw func(x, y float64) // from its upper left corner
}

// legend explains all that is drawn: beside the ground in one column, below it in three.
func (d *planDrawing) legend() {
	scale, depths, lines := d.scaleEntries(), d.depthEntries(), d.lineEntries()
	words := slices.Concat(d.shotEntries(), d.noteEntries())
	lines = append(lines, d.pegEntries()...)
	columns := [][]legendEntry{depths, lines, slices.Concat(scale, words)}
	if len(d.columns) == 1 {
		columns = [][]legendEntry{slices.Concat(scale, depths, lines, words)}
	}
	for i, entries := range columns {
		y := d.legendTop
		for _, e := range entries {
			e.draw(d.columns[i], y)
			y += e.high
		}
	}
}

// words is a line of the legend that is nothing but words.
func (d *planDrawing) words(style, words string) legendEntry {
	return legendEntry{legendRow, func(x, y float64) { d.text(x, y+2.8, style, words) }}
}

func (d *planDrawing) headline(words string) legendEntry {
	return legendEntry{legendRow + 1.6, func(x, y float64) { d.text(x, y+4.4, `font-weight="bold"`, words) }}
}

// scaleEntries are the north arrow and the bar scale.
func (d *planDrawing) scaleEntries() []legendEntry {
	return []legendEntry{{17, func(x, y float64) {
		d.text(x, y+3, `font-weight="bold"`, fmt.Sprintf("1:%s on A4", trimmed(d.p.Ratio)))
		d.bar(x, y+8.5)
		d.text(x, y+13.4, "", "on other paper use this bar")
		d.north(x+legendWide-6, y+15)
	}}}
}

// north draws the north arrow by its foot.
func (d *planDrawing) north(x, y float64) {
	d.path(fmt.Sprintf("M%s %sV%s", px(x), px(y), px(y-10.5)), `stroke="black" stroke-width="0.3"`)
	d.path(fmt.Sprintf("M%s %sl-1.4 4h2.8Z", px(x), px(y-12)), "")
	d.text(x, y-12.6, `text-anchor="middle" font-weight="bold"`, "N")
}

// bar draws the bar scale, lengths on the ground, with its left end at a place.
func (d *planDrawing) bar(x, y float64) {
	unit := d.mm * d.r.Scale // mm to a unit on the ground
	length, power := 0.0, math.Pow10(int(math.Floor(math.Log10(46/unit))))
	parts := 5
	for _, k := range []int{1, 2, 4, 5} {
		if l := float64(k) * power; l*unit <= 46 {
			length, parts = l, max(k, 2)
		}
	}
	if length == power {
		parts = 5
	}
	part := length * unit / float64(parts)
	for k := range parts {
		colour := []string{"black", "white"}[k%2]
		d.line(`<rect x="%s" y="%s" width="%s" height="1.6" fill="%s" stroke="black" stroke-width="0.2"/>`, px(x+0.5+float64(k)*part), px(y), px(part), colour)
	}
	d.text(x, y-0.9, "", "0")
	d.text(x+0.5+length*unit, y-0.9, `text-anchor="middle"`, trimmed(length)+" "+d.r.Units.Length)
}

// depthEntries are the depth bands with their areas in plan, and all works together.
func (d *planDrawing) depthEntries() (out []legendEntry) {
	n := newNumbers(d.r)
	out = append(out, d.headline(d.depthTitle()), d.words("", fmt.Sprintf("in %s, with the area in plan", d.r.Units.Length)))
	for _, k := range d.depthKeys() {
		out = append(out, d.swatch(k, n.area(k.area)))
	}
	return append(out, legendEntry{legendRow, func(x, y float64) {
		d.text(x+10, y+2.8, "", "all works")
		d.text(x+legendWide-1, y+2.8, `text-anchor="end"`, n.area(d.r.Total.WorksArea))
	}})
}

func (d *planDrawing) depthTitle() string {
	if d.r.StripRule != nil {
		return "Depth from stripped ground"
	}
	return "Depth of the ground over formation"
}

// depthKey says how a depth band is filled, and how large it is.
type depthKey struct {
	colour, pattern, words string
	area                   float64
}

func (d *planDrawing) depthKeys() (keys []depthKey) {
	for i := range d.p.Bands {
		b := &d.p.Bands[i]
		colour, pattern := d.style(b)
		keys = append(keys, depthKey{colour, pattern, d.bandWords(b), b.Area})
	}
	if d.p.Level.Area > 0 {
		keys = append(keys, depthKey{"#f7f7f7", "", "at formation", d.p.Level.Area})
	}
	if u := d.r.Total.UncoveredArea; u > 0 {
		keys = append(keys, depthKey{"white", "missing", "no ground", u})
	}
	return keys
}

func (d *planDrawing) bandWords(b *takeoff.PlanBand) string {
	word, low, high, n := "cut", b.From, b.To, decimalsOf(d.p.CutStep)
	if b.To <= 0 {
		word, low, high, n = "fill", -b.To, -b.From, decimalsOf(d.p.FillStep)
	}
	return fmt.Sprintf("%s %s to %s", word, fixed(low, n), fixed(high, n))
}

func (d *planDrawing) swatch(k depthKey, area string) legendEntry {
	return legendEntry{legendRow, func(x, y float64) {
		d.depthSwatch(k, x, y+0.3)
		d.text(x+10, y+2.8, "", k.words)
		d.text(x+legendWide-1, y+2.8, `text-anchor="end"`, area)
	}}
}

// depthSwatch fills a small rectangle like a depth band.
func (d *planDrawing) depthSwatch(k depthKey, x, y float64) {
	d.line(`<rect x="%s" y="%s" width="8" height="3.1" fill="%s"/>`, px(x), px(y), k.colour)
	fill := `fill="none"`
	if k.pattern != "" {
		fill = d.hatched(k.pattern)
	}
	d.line(`<rect x="%s" y="%s" width="8" height="3.1" %s stroke="black" stroke-width="0.15"/>`, px(x), px(y), fill)
}

// lineEntries explain the lines that are drawn.
func (d *planDrawing) lineEntries() (out []legendEntry) {
	out = append(out, d.headline("Lines"))
	for _, k := range d.lineKeys() {
		out = append(out, legendEntry{legendRow, func(x, y float64) {
			d.lineSwatch(k, x, y)
			d.text(x+10, y+2.8, "", k.words)
		}})
	}
	return out
}

// lineKey says what a line of the plan is, and in which group it is drawn.
type lineKey struct {
	group, style, words string
}

// lineSwatch draws a short piece of a line, or the mark of a spot.
func (d *planDrawing) lineSwatch(k lineKey, x, y float64) {
	path := fmt.Sprintf("M%s %sh8", px(x), px(y+1.9))
	switch k.group {
	case "spots":
		path = spotMark(orb.Point{x + 4, y + 1.9})
	case "alignments":
		path += "m-2 -1.3v2.6"
	}
	d.path(path, k.style)
}

// lineKeys lists the lines that are drawn.
func (d *planDrawing) lineKeys() (keys []lineKey) {
	add := func(drawn bool, group, style, words string) {
		if drawn {
			keys = append(keys, lineKey{group, style, words})
		}
	}
	some := func(has func(*takeoff.PadResult) bool) bool {
		for i := range d.r.Pads {
			if has(&d.r.Pads[i]) {
				return true
			}
		}
		return false
	}
	add(true, "outlines", planOutline, "outline")
	add(some(func(p *takeoff.PadResult) bool { return len(p.FormationOutline) > 0 && p.FormationArea > p.OutlineArea }), "outlines", planMargin, "outline with its margin")
	add(some(func(p *takeoff.PadResult) bool { return len(p.Crest) > 0 }), "daylight", planCrest, "crest: cut batter meets the ground")
	add(some(func(p *takeoff.PadResult) bool { return len(p.Toe) > 0 }), "daylight", planToe, "toe: fill batter meets the ground")
	add(some(func(p *takeoff.PadResult) bool { return len(p.ZeroLines) > 0 }), "zero", planZero, "zero line: cut turns to fill")
	c := d.p
	if len(c.Contours) > 0 {
		words := fmt.Sprintf("contours of the ground, each %s %s", trimmed(c.ContourInterval), d.r.Units.Length)
		add(true, "contours", planContour, words)
		add(len(contourLines(c, true)) > 0, "contours", planIndex, "each fifth of them")
	}
	add(len(c.Breaklines) > 0, "breaklines", planBreakline, "breakline")
	add(len(c.Boundary) > 0, "boundary", planBoundary, "boundary of the survey")
	add(len(c.Rim) > 0, "boundary", planRim, "end of the triangles")
	add(len(c.Voids) > 0, "boundary", planVoid, "void of the survey")
	add(len(c.Triangles) > 0, "triangles", planTriangle, "triangles of the ground")
	add(len(c.Alignments) > 0, "alignments", planAlignment, "alignment, sections by number")
	add(len(c.Spots) > 0, "spots", planSpot, "spot or vertex, with its level")
	return keys
}

// shotEntries list where further spots would help most.
func (d *planDrawing) shotEntries() (out []legendEntry) {
	shots := d.planShots()
	if len(shots) == 0 {
		return nil
	}
	out = append(out, d.headline("Further spots would help most at"))
	for i, s := range shots {
		words := fmt.Sprintf("%d. %s", i+1, place(&s.At))
		if !d.p.Frame.Contains(orb.Point(s.At)) {
			words += ", off plan"
		}
		out = append(out, d.words("", words))
	}
	return out
}

const planLabelsLeftOut = "Levels without room are left out."

// noteEntries say what is left out.
func (d *planDrawing) noteEntries() (out []legendEntry) {
	notes := append(d.notes(), planLabelsLeftOut+" Set out from the figures, not from this drawing. It does not say that a face stands.")
	if len(d.r.Warnings) > 0 {
		notes = append([]string{fmt.Sprintf("Read the %s on this job's sheet.", countOf(len(d.r.Warnings), "WARNING", "WARNINGS"))}, notes...)
	}
	out = append(out, legendEntry{2, func(_, _ float64) {}})
	for _, n := range notes {
		for _, row := range wrap(n, 42) {
			out = append(out, legendEntry{3.1, func(x, y float64) { d.text(x, y+2.4, fmt.Sprintf(`font-size="%s"`, px(smallText)), row) }})
		}
	}
	return out
}

func (d *planDrawing) notes() (notes []string) {
	add := func(when bool, format string, args ...any) {
		if when {
			notes = append(notes, fmt.Sprintf(format, args...))
		}
	}
	add(d.r.Total.OpenLength > 0, "Batters run off the surveyed ground along %s %s: how far they go on is not known.", fixed(d.r.Total.OpenLength, 1), d.r.Units.Length)
	add(d.p.SpotsLeftOut > 0, "%s not drawn.", countOf(d.p.SpotsLeftOut, "further spot is", "further spots are"))
	add(d.p.EdgesLeftOut > 0, "The %d edges of triangles are too many to draw.", d.p.EdgesLeftOut)
	add(d.nameless > 0, "%s no room.", countOf(d.nameless, "name of a pad had", "names of pads had"))
	add(d.numberless > 0, "%s no room.", countOf(d.numberless, "number of a peg had", "numbers of pegs had"))
	add(d.unnumbered > 0, "%s no room.", countOf(d.unnumbered, "number of a section had", "numbers of sections had"))
	add(d.unnamed > 0, "%s no room.", countOf(d.unnamed, "name of an alignment had", "names of alignments had"))
	add(d.coarse > planTooCoarse, "Lines are drawn to %s mm on paper.", fixed(d.coarse, 1))
	return notes
}
