package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"barrow/volume/takeoff"
)

// Lines of a plan differ by weight and dash.
const (
	planTriangle   = `fill="none" stroke="black" stroke-width="0.05" stroke-opacity="0.6"`
	planContour    = `fill="none" stroke="black" stroke-width="0.09" stroke-linejoin="round"`
	planIndex      = `fill="none" stroke="black" stroke-width="0.22" stroke-linejoin="round"`
	planBreakline  = `fill="none" stroke="black" stroke-width="0.3" stroke-dasharray="0.3 0.9"`
	planBoundary   = `fill="none" stroke="black" stroke-width="0.35" stroke-dasharray="5 1 0.8 1 0.8 1"`
	planVoid       = `fill="none" stroke="black" stroke-width="0.35" stroke-dasharray="1.6 1"`
	planRim        = `fill="none" stroke="black" stroke-width="0.2" stroke-dasharray="5 1"`
	planMargin     = `fill="none" stroke="black" stroke-width="0.25" stroke-dasharray="1.2 0.6"`
	planOutline    = `fill="none" stroke="black" stroke-width="0.75" stroke-linejoin="round"`
	planCrest      = `fill="none" stroke="black" stroke-width="0.4"`
	planToe        = `fill="none" stroke="black" stroke-width="0.4" stroke-dasharray="2.6 0.9"`
	planZero       = `fill="none" stroke="black" stroke-width="0.5" stroke-dasharray="4 0.9 0.5 0.9"`
	planSpot       = `stroke="black" stroke-width="0.18"`
	planHalo       = `stroke="white" stroke-width="0.7" stroke-linejoin="round" paint-order="stroke"`
	mostPoints     = 12000 // of one kind of line, or one depth band
	planTolerance  = 0.04  // mm that a thinned line is off at most
	planSpotArm    = 0.4
	planTooCoarse  = 0.3 // a tolerance that is worth a word, mm
	planShotRadius = 2.0
)

// ground draws all that is at its place on the grid, but for labels.
func (d *planDrawing) ground() {
	p, bands := d.p, d.bandPaths()
	d.line(`<g clip-path="url(#%sground)">`, d.ids)
	d.group("uncovered", d.uncovered)
	d.group("bands", func() { d.bands(bands) })
	d.group("hatching", func() { d.hatchBands(bands) })
	d.group("triangles", func() { d.path(pathOf(d.onPaper(p.Triangles), false), planTriangle) })
	d.group("contours", func() {
		d.lines(planContour, false, contourLines(p, false))
		d.lines(planIndex, false, contourLines(p, true))
	})
	d.group("breaklines", func() { d.lines(planBreakline, false, p.Breaklines) })
	d.group("boundary", func() {
		d.lines(planBoundary, false, p.Boundary)
		d.lines(planRim, false, p.Rim)
		d.lines(planVoid, false, p.Voids)
	})
	d.group("daylight", d.daylight)
	d.group("outlines", d.outlines)
	d.group("zero", d.zeroLines)
	d.group("alignments", d.alignments)
	d.group("spots", d.spots)
	d.line(`</g>`)
}

func contourLines(p *takeoff.PlanResult, index bool) (out []orb.LineString) {
	for _, c := range p.Contours {
		if c.Index == index {
			out = append(out, c.Line)
		}
	}
	return out
}

// uncovered shows the formation where it has no ground; what has is drawn over.
func (d *planDrawing) uncovered() {
	if d.r.Total.UncoveredArea == 0 {
		return
	}
	for i := range d.r.Pads {
		d.lines(d.hatched("missing")+` fill-rule="evenodd" stroke="none"`, true, inPlans(d.r.Pads[i].FormationOutline))
	}
}

// bandPath is the name of a depth band's path, and how it is filled.
type bandPath struct{ id, colour, pattern string }

// bandPaths makes the paths of the depth bands known, each to be filled twice.
func (d *planDrawing) bandPaths() (bands []bandPath) {
	d.line(`<defs>`)
	add := func(id string, b *takeoff.PlanBand, colour, pattern string) {
		var rings []orb.LineString
		for _, r := range b.Rings {
			rings = append(rings, orb.LineString(r))
		}
		if path := d.thinned(rings, true); path != "" {
			d.line(`<path id="%s%s" d="%s"/>`, d.ids, id, path)
			bands = append(bands, bandPath{d.ids + id, colour, pattern})
		}
	}
	add("level", &d.p.Level, "#f7f7f7", "")
	for i := range d.p.Bands {
		colour, pattern := d.style(&d.p.Bands[i])
		add(fmt.Sprintf("band%d", i), &d.p.Bands[i], colour, pattern)
	}
	d.line(`</defs>`)
	return bands
}

func (d *planDrawing) bands(bands []bandPath) {
	for _, b := range bands {
		d.line(`<use href="#%s" fill="%s" stroke="%[2]s" stroke-width="0.1"/>`, b.id, b.colour)
	}
}

func (d *planDrawing) hatchBands(bands []bandPath) {
	for _, b := range bands {
		if b.pattern != "" {
			d.line(`<use href="#%s" %s/>`, b.id, d.hatched(b.pattern))
		}
	}
}

// style returns colour and hatching of a band.
func (d *planDrawing) style(b *takeoff.PlanBand) (colour, pattern string) {
	if b.To <= 0 {
		k := min(int(math.Round(-b.To/d.p.FillStep)), planTones-1)
		return fillColours()[k], fmt.Sprintf("fill%d", k)
	}
	k := min(int(math.Round(b.From/d.p.CutStep)), planTones-1)
	return cutColours()[k], fmt.Sprintf("cut%d", k)
}

// daylight draws where batters meet the ground.
func (d *planDrawing) daylight() {
	for i := range d.r.Pads {
		d.lines(planCrest, false, inPlans(d.r.Pads[i].Crest))
		d.lines(planToe, false, inPlans(d.r.Pads[i].Toe))
	}
}

// outlines draws them over their margins.
func (d *planDrawing) outlines() {
	for i := range d.r.Pads {
		d.lines(planMargin, true, inPlans(d.r.Pads[i].FormationOutline))
	}
	for _, o := range d.p.Outlines {
		d.lines(planOutline, true, ringLines(o))
	}
}

func (d *planDrawing) zeroLines() {
	for i := range d.r.Pads {
		d.lines(planZero, false, d.r.Pads[i].ZeroLines)
	}
}

// spots marks the spots with slanting crosses.
func (d *planDrawing) spots() {
	var marks strings.Builder
	for _, s := range d.p.Spots {
		marks.WriteString(spotMark(d.at(s)))
	}
	d.path(marks.String(), planSpot)
}

func spotMark(c orb.Point) string {
	const arm = planSpotArm
	return fmt.Sprintf("M%s %sl%[3]s %[3]sm0-%[3]sl-%[3]s %[3]s", px(c[0]-arm), px(c[1]-arm), px(2*arm))
}

func (d *planDrawing) lines(style string, closed bool, lines []orb.LineString) {
	d.path(d.thinned(lines, closed), style)
}

// thinned writes lines as a path, so far thinned that they are not too much to draw.
func (d *planDrawing) thinned(lines []orb.LineString, closed bool) string {
	onPaper := d.onPaper(lines)
	for i, l := range onPaper {
		if n := len(l); closed && n > 0 && l[0] != l[n-1] {
			onPaper[i] = append(l, l[0])
		}
	}
	path, tolerance := thinnedPath(onPaper, closed)
	d.coarse = max(d.coarse, tolerance)
	return path
}

func (d *planDrawing) onPaper(lines []orb.LineString) []orb.LineString {
	out := make([]orb.LineString, len(lines))
	for i, l := range lines {
		out[i] = make(orb.LineString, len(l))
		for k, p := range l {
			out[i][k] = d.at(p)
		}
	}
	return out
}

func inPlan(l takeoff.LevelLine) (out orb.LineString) {
	for _, v := range l {
		out = append(out, orb.Point{v[0], v[1]})
	}
	return out
}

func inPlans(lines []takeoff.LevelLine) (out []orb.LineString) {
	for _, l := range lines {
		out = append(out, inPlan(l))
	}
	return out
}

func ringLines(p orb.Polygon) (out []orb.LineString) {
	for _, r := range p {
		out = append(out, orb.LineString(slices.Clone(r)))
	}
	return out
}
