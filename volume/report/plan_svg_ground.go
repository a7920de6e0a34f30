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
	d.line(`<g clip-path="url(#ground)">`)
	d.depths()
	p := d.p
	d.path(pathOf(d.onPaper(p.Triangles), false), planTriangle)
	d.lines(planContour, false, contourLines(p, false))
	d.lines(planIndex, false, contourLines(p, true))
	d.lines(planBreakline, false, p.Breaklines)
	d.lines(planBoundary, false, p.Boundary)
	d.lines(planRim, false, p.Rim)
	d.lines(planVoid, false, p.Voids)
	d.works()
	d.spots()
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

// depths fills the depth bands, and before them the formation where it has no ground.
func (d *planDrawing) depths() {
	if d.r.Total.UncoveredArea > 0 {
		for i := range d.r.Pads {
			d.lines(`fill="url(#missing)" fill-rule="evenodd" stroke="none"`, true, inPlans(d.r.Pads[i].FormationOutline))
		}
	}
	d.band("level", &d.p.Level, "#f7f7f7", "")
	for i := range d.p.Bands {
		colour, pattern := d.style(&d.p.Bands[i])
		d.band(fmt.Sprintf("band%d", i), &d.p.Bands[i], colour, pattern)
	}
}

func (d *planDrawing) band(id string, b *takeoff.PlanBand, colour, pattern string) {
	var rings []orb.LineString
	for _, r := range b.Rings {
		rings = append(rings, orb.LineString(r))
	}
	path := d.thinned(rings, true)
	if path == "" {
		return
	}
	d.line(`<defs><path id="%s" d="%s"/></defs>`, id, path)
	d.line(`<use href="#%s" fill="%s" stroke="%[2]s" stroke-width="0.1"/>`, id, colour)
	if pattern != "" {
		d.line(`<use href="#%s" fill="url(#%s)"/>`, id, pattern)
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

// works draws outlines, and where batters meet the ground.
func (d *planDrawing) works() {
	for i := range d.r.Pads {
		pad := &d.r.Pads[i]
		d.lines(planMargin, true, inPlans(pad.FormationOutline))
		d.lines(planCrest, false, inPlans(pad.Crest))
		d.lines(planToe, false, inPlans(pad.Toe))
	}
	for _, o := range d.p.Outlines {
		d.lines(planOutline, true, ringLines(o))
	}
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
