package report

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/paulmach/orb"

	"barrow/tin"
	"barrow/volume/takeoff"
)

// PlanSVG draws the works of a result in plan on one sheet of A4: depths of cut and fill,
// the ground's contours, spots and breaklines, outlines, the zero line and where the
// batters meet the ground, alignments with their sections and pegs where the plan has them,
// with a legend that gives the area of each depth band. The result must have a plan, see
// [takeoff.Options].
//
// Colours are the ColorBrewer PuOr scheme, cut with slanting lines and fill with dots that
// grow closer with depth, so that a black and white print reads too. Labels never lie over
// one another: what has no room is left out. Lines are thinned to what can be seen, and
// the legend says what is left out.
//
// Each kind of thing is a group of its own, for a page that shows and hides them, by these
// ids where there is any of it: plan-uncovered, plan-bands (colours), plan-hatching,
// plan-triangles, plan-contours, plan-breaklines, plan-boundary (voids and the end of the
// triangles too), plan-daylight (crests and toes), plan-outlines (with margins),
// plan-zero, plan-alignments, plan-spots, plan-shots (where further spots would help most),
// plan-pegs, plan-labels with plan-labels-pads, plan-labels-alignments, plan-labels-pegs,
// plan-labels-contours and plan-labels-spots in it, plan-grid, plan-frame, plan-heading and
// plan-legend.
func PlanSVG(w io.Writer, r *takeoff.Result) error {
	if r.Plan == nil {
		return errors.New("report: the result has no plan")
	}
	unit, err := tin.ParseUnit(r.Units.Length)
	if err != nil {
		return fmt.Errorf("report: %w", err)
	}
	d := newPlanDrawing(r, unit)
	d.open()
	d.group("heading", d.heading)
	d.ground()
	d.labels()
	d.rim()
	d.group("legend", d.legend)
	d.line("</svg>")
	if _, err := io.WriteString(w, d.buf.String()); err != nil {
		return fmt.Errorf("report: %w", err)
	}
	return nil
}

// planDrawing is the picture of a plan in the making; places in it are in millimetres on
// paper, from the upper left corner.
type planDrawing struct {
	svg
	r *takeoff.Result
	p *takeoff.PlanResult

	mm            float64 // on paper to a unit of the grid
	left, top     float64 // of the part that shows the ground
	right, bottom float64
	columns       []float64 // left ends of the legend's columns
	legendTop     float64
	taken         []rectangle // by labels
	nameless      int         // pads without room for their name
	numberless    int         // pegs without room for their number
	unnumbered    int         // sections likewise
	unnamed       int         // alignments without room for their name
	coarse        float64     // the greatest tolerance that lines were thinned to, mm
}

// newPlanDrawing lays a plan out, in a unit of lengths.
func newPlanDrawing(r *takeoff.Result, unit tin.Unit) *planDrawing {
	d := planDrawing{r: r, p: r.Plan, mm: 1000 * unit.Metres() / r.Plan.Ratio}
	d.ids = "plan-"
	d.layOut()
	return &d
}

// Millimetres on paper.
const (
	paperMargin = 8.0
	planText    = 2.5 // size of type
	smallText   = 2.1
	legendWide  = 62.0
	legendRow   = 3.9
)

// layOut chooses the way the sheet lies and where its parts are.
func (d *planDrawing) layOut() {
	wide, _ := takeoff.PlanSheets()
	d.left, d.top = 14, 21
	d.right, d.bottom = d.left+d.p.Sheet.Wide, d.top+d.p.Sheet.High
	if d.p.Sheet == wide {
		d.width, d.height = 297, 210
		d.columns, d.legendTop = []float64{d.right + 6}, d.top
		return
	}
	d.width, d.height = 210, 297
	d.columns, d.legendTop = []float64{8, 74, 140}, d.bottom+10
}

// at returns where a place on the grid is drawn.
func (d *planDrawing) at(p orb.Point) orb.Point {
	return orb.Point{d.left + (p[0]-d.p.Frame.Min[0])*d.mm, d.bottom - (p[1]-d.p.Frame.Min[1])*d.mm}
}

// planTones is how many fills there are of cut, and of fill.
const planTones = 4

// cutColours and fillColours are those of depth bands, the shallowest first: ColorBrewer
// PuOr.
func cutColours() [planTones]string  { return [...]string{"#fee0b6", "#fdb863", "#f1a340", "#e08214"} }
func fillColours() [planTones]string { return [...]string{"#d8daeb", "#b2abd2", "#998ec3", "#8073ac"} }

// open begins the sheet with its hatching.
func (d *planDrawing) open() {
	d.line(`<svg xmlns="http://www.w3.org/2000/svg" width="%smm" height="%smm" viewBox="0 0 %[1]s %[2]s" font-family="sans-serif" font-size="%[3]s">`, px(d.width), px(d.height), px(planText))
	d.line(`<title>%s</title>`, escaped(d.r.Job+": plan of cut and fill"))
	d.hatchings()
	d.line(`<rect width="%s" height="%s" fill="white"/>`, px(d.width), px(d.height))
}

// hatchings makes the hatching of depth bands known, and what cuts off at the frame.
func (d *planDrawing) hatchings() {
	d.line(`<defs>`)
	d.line(`<clipPath id="%sground"><rect x="%s" y="%s" width="%s" height="%s"/></clipPath>`, d.ids, px(d.left), px(d.top), px(d.p.Sheet.Wide), px(d.p.Sheet.High))
	for k := range planTones {
		gap := []string{"2.6", "1.8", "1.25", "0.85"}[k]
		d.line(`<pattern id="%scut%d" width="%s" height="%[3]s" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><path d="M0 0V%[3]s" stroke="black" stroke-width="0.16"/></pattern>`, d.ids, k, gap)
		gap = []string{"2.4", "1.7", "1.25", "0.9"}[k]
		d.line(`<pattern id="%sfill%d" width="%s" height="%[3]s" patternUnits="userSpaceOnUse" patternTransform="rotate(30)"><circle cx="0.4" cy="0.4" r="0.17"/></pattern>`, d.ids, k, gap)
	}
	d.line(`<pattern id="%smissing" width="2.5" height="2.5" patternUnits="userSpaceOnUse"><path d="M0 0L2.5 2.5M0 2.5L2.5 0" stroke="black" stroke-width="0.12"/></pattern>`, d.ids)
	d.line(`</defs>`)
}

// heading names the job, and says what the plan is of.
func (d *planDrawing) heading() {
	d.text(paperMargin, 11, `font-size="4" font-weight="bold"`, fitted(d.r.Job, 4.4, d.width-2*paperMargin))
	d.text(paperMargin, 16.5, `font-size="2.8"`, d.subtitle())
}

// subtitle says what the plan is of, and how much cut and fill there is.
func (d *planDrawing) subtitle() string {
	n, t := newNumbers(d.r), &d.r.Total
	least := ""
	if t.UncoveredArea > 0 || t.OpenLength > 0 {
		least = "at least "
	}
	return fmt.Sprintf("Plan of the works, 1:%s on A4. Cut %s%s, fill %s%s as dug.", trimmed(d.p.Ratio), least, n.volume(t.Cut), least, n.volume(t.Fill))
}

// fitted cuts a name to a width.
func fitted(name string, size, wide float64) string {
	name = strings.Join(strings.Fields(Plain(name)), " ")
	if textWidth(name, size) <= wide {
		return name
	}
	room := wide - textWidth("…", size)
	for i, letter := range name {
		if room -= textWidth(string(letter), size); room < 0 {
			return name[:i] + "…"
		}
	}
	return name
}
