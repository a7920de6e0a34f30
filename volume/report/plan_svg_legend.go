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
		d.bar(x, y)
		nx, ny := x+legendWide-6, y+15
		d.path(fmt.Sprintf("M%s %sV%s", px(nx), px(ny), px(ny-10.5)), `stroke="black" stroke-width="0.3"`)
		d.path(fmt.Sprintf("M%s %sl-1.4 4h2.8Z", px(nx), px(ny-12)), "")
		d.text(nx, ny-12.6, `text-anchor="middle" font-weight="bold"`, "N")
	}}}
}

// bar draws the bar scale: lengths on the ground.
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
	d.text(x, y+3, `font-weight="bold"`, fmt.Sprintf("1:%s on A4", trimmed(d.p.Ratio)))
	for k := range parts {
		colour := []string{"black", "white"}[k%2]
		d.line(`<rect x="%s" y="%s" width="%s" height="1.6" fill="%s" stroke="black" stroke-width="0.2"/>`, px(x+0.5+float64(k)*part), px(y+8.5), px(part), colour)
	}
	d.text(x, y+7.6, "", "0")
	d.text(x+0.5+length*unit, y+7.6, `text-anchor="middle"`, trimmed(length)+" "+d.r.Units.Length)
	d.text(x, y+13.4, "", "on other paper use this bar")
}

// depthEntries are the depth bands with their areas in plan, and all works together.
func (d *planDrawing) depthEntries() (out []legendEntry) {
	from := "Depth of the ground over formation"
	if d.r.StripRule != nil {
		from = "Depth from stripped ground"
	}
	n := newNumbers(d.r)
	out = append(out, d.headline(from), d.words("", fmt.Sprintf("in %s, with the area in plan", d.r.Units.Length)))
	for i := range d.p.Bands {
		b := &d.p.Bands[i]
		colour, pattern := d.style(b)
		out = append(out, d.swatch(colour, pattern, d.bandWords(b), n.area(b.Area)))
	}
	if d.p.Level.Area > 0 {
		out = append(out, d.swatch("#f7f7f7", "", "at formation", n.area(d.p.Level.Area)))
	}
	if u := d.r.Total.UncoveredArea; u > 0 {
		out = append(out, d.swatch("white", "missing", "no ground", n.area(u)))
	}
	return append(out, legendEntry{legendRow, func(x, y float64) {
		d.text(x+10, y+2.8, "", "all works")
		d.text(x+legendWide-1, y+2.8, `text-anchor="end"`, n.area(d.r.Total.WorksArea))
	}})
}

func (d *planDrawing) bandWords(b *takeoff.PlanBand) string {
	word, low, high, n := "cut", b.From, b.To, decimalsOf(d.p.CutStep)
	if b.To <= 0 {
		word, low, high, n = "fill", -b.To, -b.From, decimalsOf(d.p.FillStep)
	}
	return fmt.Sprintf("%s %s to %s", word, fixed(low, n), fixed(high, n))
}

func (d *planDrawing) swatch(colour, pattern, words, area string) legendEntry {
	return legendEntry{legendRow, func(x, y float64) {
		d.line(`<rect x="%s" y="%s" width="8" height="3.1" fill="%s"/>`, px(x), px(y+0.3), colour)
		fill := `fill="none"`
		if pattern != "" {
			fill = d.hatched(pattern)
		}
		d.line(`<rect x="%s" y="%s" width="8" height="3.1" %s stroke="black" stroke-width="0.15"/>`, px(x), px(y+0.3), fill)
		d.text(x+10, y+2.8, "", words)
		d.text(x+legendWide-1, y+2.8, `text-anchor="end"`, area)
	}}
}

// lineEntries explain the lines that are drawn.
func (d *planDrawing) lineEntries() (out []legendEntry) {
	add := func(drawn bool, style, words string) {
		if drawn {
			out = append(out, legendEntry{legendRow, func(x, y float64) {
				d.path(fmt.Sprintf("M%s %sh8", px(x), px(y+1.9)), style)
				d.text(x+10, y+2.8, "", words)
			}})
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
	out = append(out, d.headline("Lines"))
	add(true, planOutline, "outline")
	add(some(func(p *takeoff.PadResult) bool { return len(p.FormationOutline) > 0 && p.FormationArea > p.OutlineArea }), planMargin, "outline with its margin")
	add(some(func(p *takeoff.PadResult) bool { return len(p.Crest) > 0 }), planCrest, "crest: cut batter meets the ground")
	add(some(func(p *takeoff.PadResult) bool { return len(p.Toe) > 0 }), planToe, "toe: fill batter meets the ground")
	add(some(func(p *takeoff.PadResult) bool { return len(p.ZeroLines) > 0 }), planZero, "zero line: cut turns to fill")
	c := d.p
	if len(c.Contours) > 0 {
		words := fmt.Sprintf("contours of the ground, each %s %s", trimmed(c.ContourInterval), d.r.Units.Length)
		add(true, planContour, words)
		add(len(contourLines(c, true)) > 0, planIndex, "each fifth of them")
	}
	add(len(c.Breaklines) > 0, planBreakline, "breakline")
	add(len(c.Boundary) > 0, planBoundary, "boundary of the survey")
	add(len(c.Rim) > 0, planRim, "end of the triangles")
	add(len(c.Voids) > 0, planVoid, "void of the survey")
	add(len(c.Triangles) > 0, planTriangle, "triangles of the ground")
	if len(c.Spots) > 0 {
		out = append(out, legendEntry{legendRow, func(x, y float64) {
			d.path(spotMark(orb.Point{x + 4, y + 1.9}), planSpot)
			d.text(x+10, y+2.8, "", "spot or vertex, with its level")
		}})
	}
	return out
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

// noteEntries say what is left out.
func (d *planDrawing) noteEntries() (out []legendEntry) {
	var notes []string
	add := func(when bool, format string, args ...any) {
		if when {
			notes = append(notes, fmt.Sprintf(format, args...))
		}
	}
	add(len(d.r.Warnings) > 0, "Read the %s on this job's sheet.", countOf(len(d.r.Warnings), "WARNING", "WARNINGS"))
	add(d.r.Total.OpenLength > 0, "Batters run off the surveyed ground along %s %s: how far they go on is not known.", fixed(d.r.Total.OpenLength, 1), d.r.Units.Length)
	add(d.p.SpotsLeftOut > 0, "%s not drawn.", countOf(d.p.SpotsLeftOut, "further spot is", "further spots are"))
	add(d.p.EdgesLeftOut > 0, "The %d edges of triangles are too many to draw.", d.p.EdgesLeftOut)
	add(d.nameless > 0, "%s no room.", countOf(d.nameless, "name of a pad had", "names of pads had"))
	add(d.coarse > planTooCoarse, "Lines are drawn to %s mm on paper.", fixed(d.coarse, 1))
	notes = append(notes, "Levels without room are left out. Set out from the figures, not from this drawing. It does not say that a face stands.")
	out = append(out, legendEntry{high: 2})
	out[0].draw = func(_, _ float64) {}
	for _, n := range notes {
		for _, row := range wrap(n, 42) {
			out = append(out, legendEntry{3.1, func(x, y float64) { d.text(x, y+2.4, fmt.Sprintf(`font-size="%s"`, px(smallText)), row) }})
		}
	}
	return out
}
