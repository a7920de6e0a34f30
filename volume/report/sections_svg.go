package report

import (
	"fmt"
	"io"
	"math"
	"strings"

	"barrow/volume/takeoff"
)

// SectionSVG draws one section, by its place in the result: ground, stripped ground and
// formation, with cut and fill hatched, the layers of the build-ups with their names, and
// axes of offset and level. Thickenings and backfill are not drawn. The title gives
// chainage and areas, and how many times levels are drawn larger than offsets.
// Nothing depends on colour: lines differ by weight and dash, cut and fill by hatching
// and words.
func SectionSVG(w io.Writer, r *takeoff.SectionsResult, alignment, section int) error {
	a := &r.Alignments[alignment]
	title := append(wrap(r.Job, 56), wrap(sectionName(a, section), 56)...)
	d := sectionDrawing{r: r, s: &a.Sections[section], most: 400}
	d.ids = sectionIDs(alignment, section)
	if _, err := io.WriteString(w, d.draw(title)); err != nil {
		return fmt.Errorf("report: %w", err)
	}
	return nil
}

// sectionIDs is what the ids in the drawing of a section begin with.
func sectionIDs(alignment, section int) string {
	return fmt.Sprintf("section-%d-%d-", alignment, section)
}

// draw draws the section under a title of some lines.
func (d *sectionDrawing) draw(title []string) string {
	d.layOut(len(title))
	d.open(title)
	if !d.empty() {
		d.axes()
		d.works()
		d.layers()
		d.lines()
		d.label("cut", d.cut, -1)
		d.label("fill", d.fill, 1)
		d.layerNames()
		if !d.plain {
			d.legend()
		}
	}
	d.line("</svg>")
	return d.buf.String()
}

// sectionName is how a section is called over its picture.
func sectionName(a *takeoff.AlignmentResult, section int) string {
	s := &a.Sections[section]
	return a.Name + ", " + chainageOf(s, 3) + unlessEmpty(" ", sideWords(s))
}

// sectionDrawing is the picture of a section in the making; places in it are in pixels.
type sectionDrawing struct {
	svg
	r *takeoff.SectionsResult
	s *takeoff.SectionResult

	most  float64 // height of the section's levels
	plain bool    // without a legend

	left, right, top, bottom float64 // the frame of the drawing proper
	least, low               float64 // offset at left, level at bottom
	across, up               float64 // pixels a unit of offset, of level
	exaggeration             float64 // up over across
	offsets, levels          ticks

	cut, fill hatched // the largest part of each

	stacks   []layerStack
	tiers    [stackTiers]float64 // below the top of the frame
	nameless int                 // pads without room for the names of their layers
}

// Sizes in pixels.
const (
	drawingWidth = 960.0
	titleLine    = 22.0
	room         = 34.0 // above and below them, for words
)

func sideWords(s *takeoff.SectionResult) string {
	switch s.Side {
	case takeoff.SideBehind:
		return "(what lies behind it)"
	case takeoff.SideAhead:
		return "(what lies ahead of it)"
	}
	return ""
}

// layOut chooses scales and places: the section fills the width, and levels are drawn
// as many times larger as 1, 2 or 5 times a power of ten allows; a section too deep for
// that keeps its shape and leaves room beside it.
func (d *sectionDrawing) layOut(titles int) {
	d.width, d.right = drawingWidth, drawingWidth-30
	d.top = titleLine*float64(titles+d.facts()) + 48
	least, greatest, low, high := d.extent()
	wide := 1.04 * max(greatest-least, 1e-3)
	tall := max(high-low, wide/1000)
	d.left = 110
	d.across = min((d.right-d.left)/wide, d.most/tall)
	d.exaggeration = roundFactor(d.most / (tall * d.across))
	d.up = d.across * d.exaggeration
	middle := (least + greatest) / 2
	d.least = middle - (d.right-d.left)/2/d.across
	d.low = (low+high)/2 - (tall/2 + room/d.up)
	names := d.nameLayers()
	d.bottom = d.top + names + tall*d.up + 2*room
	d.offsets = ticksOver(d.least, d.least+(d.right-d.left)/d.across, 70/d.across)
	d.levels = ticksOver(d.low, d.low+(d.bottom-d.top-names)/d.up, 30/d.up)
	d.height = d.bottom + 120
	if d.plain {
		d.height = d.bottom + 56
	}
	if d.empty() {
		d.height = d.top
	}
}

// empty reports whether there are no works to draw.
func (d *sectionDrawing) empty() bool { return len(d.s.Profile) == 0 }

// roundFactor returns the greatest of 1, 2 or 5 times a power of ten that is at most x,
// and 1 at least.
func roundFactor(x float64) float64 {
	power := math.Pow10(int(math.Floor(math.Log10(max(x, 1)))))
	for _, k := range []float64{10, 5, 2} {
		if k*power <= x*(1+1e-9) {
			return k * power
		}
	}
	return max(power, 1)
}

// extent returns the least and greatest offset and level of the profile.
func (d *sectionDrawing) extent() (least, greatest, low, high float64) {
	least, greatest, low, high = math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	for i := range d.s.Profile {
		p := &d.s.Profile[i]
		least, greatest = min(least, p.Offset), max(greatest, p.Offset)
		for _, z := range []*float64{p.Ground, p.Stripped, p.Formation} {
			if z != nil {
				low, high = min(low, *z), max(high, *z)
			}
		}
	}
	for _, l := range d.s.Layers {
		for _, p := range l.Points {
			low, high = min(low, p.Underside), max(high, p.Top)
		}
	}
	if math.IsInf(least, 1) || math.IsInf(low, 1) {
		return 0, 0, 0, 0
	}
	return least, greatest, low, high
}

func (d *sectionDrawing) x(offset float64) float64 { return d.left + (offset-d.least)*d.across }
func (d *sectionDrawing) y(level float64) float64  { return d.bottom - (level-d.low)*d.up }

// facts is how many lines of figures stand below the title.
func (d *sectionDrawing) facts() int {
	n := 2
	if d.s.Skew != 0 {
		n++
	}
	if d.s.Uncovered > 0 {
		n++
	}
	return n
}

// open begins the picture with its title and figures.
func (d *sectionDrawing) open(title []string) {
	d.begin(strings.Join(title, " "))
	d.hatching()
	y := titleLine
	put := func(style, words string) {
		d.text(24, y, style, words)
		y += titleLine
	}
	for _, line := range title {
		put(`font-size="16" font-weight="bold"`, line)
	}
	area := func(cut, fill float64) string {
		return fmt.Sprintf("cut %s %s, fill %s %s", fixed(cut, 2), d.r.Units.Area, fixed(fill, 2), d.r.Units.Area)
	}
	put("", area(d.s.Cut, d.s.Fill))
	if d.s.Skew != 0 {
		put("", fmt.Sprintf("turned %s degrees at a bend; square to the alignment %s", fixed(math.Abs(d.s.Skew), 1), area(d.s.SquareCut, d.s.SquareFill)))
	}
	if d.s.Uncovered > 0 {
		put("", fmt.Sprintf("%s %s of formation without ground: areas are at least those given", fixed(d.s.Uncovered, 3), d.r.Units.Length))
	}
	if d.empty() {
		put("", "no works at this chainage")
		return
	}
	scale := "levels and offsets are drawn to one scale"
	if d.exaggeration > 1 {
		scale = fmt.Sprintf("levels are drawn %s times as large as offsets", trimmed(d.exaggeration))
	}
	put("", scale)
}
