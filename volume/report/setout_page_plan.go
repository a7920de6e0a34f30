package report

import (
	"fmt"
	"math"
	"strings"

	"github.com/paulmach/orb"

	"barrow/tin/setout"
	"barrow/volume/takeoff"
)

// plan draws outlines, daylight lines and pegs, north up.
func (p *pages) plan() {
	p.begin("Plan of the pegs, north up")
	d := &plan{pages: p}
	d.fit()
	for i := range p.sheet.r.Takeoff.Pads {
		d.pad(&p.sheet.r.Takeoff.Pads[i])
	}
	for i := range p.sheet.r.Pegs {
		d.peg(&p.sheet.r.Pegs[i])
	}
	d.names()
	d.key()
}

// plan is a plan in the making: places go to millimetres of the page.
type plan struct {
	*pages
	west, north, scale, left, top float64
	taken                         [][4]float64 // boxes of names that are written
}

// The part of the page for the plan.
const (
	planTop    = 30.0
	planBottom = 240.0
)

// fit finds the scale at which all pegs fit.
func (d *plan) fit() {
	west, south, east, north := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, p := range d.sheet.r.Pegs {
		west, east = min(west, p.At[0]), max(east, p.At[0])
		south, north = min(south, p.At[1]), max(north, p.At[1])
	}
	const rim = 12 // for names
	wide, high := pageRight-pageLeft-2*rim, planBottom-planTop-2*rim
	d.scale = min(wide/max(east-west, 1e-3), high/max(north-south, 1e-3))
	d.west, d.north = west, north
	d.left = pageLeft + rim + (wide-(east-west)*d.scale)/2
	d.top = planTop + rim + (high-(north-south)*d.scale)/2
}

func (d *plan) at(e, n float64) (x, y float64) {
	return d.left + (e-d.west)*d.scale, d.top + (d.north-n)*d.scale
}

// line draws a line through places.
func (d *plan) line(places [][2]float64, style string) {
	var b strings.Builder
	for i, q := range places {
		command := "L"
		if i == 0 {
			command = "M"
		}
		x, y := d.at(q[0], q[1])
		fmt.Fprintf(&b, "%s%s %s", command, px(x), px(y))
	}
	d.page.path(b.String(), `fill="none" stroke="black" `+style)
}

// pad draws an outline and the daylight lines of its batters.
func (d *plan) pad(p *takeoff.PadResult) {
	rings := map[int][][2]float64{}
	last := 0
	for _, c := range p.Corners {
		rings[c.Ring] = append(rings[c.Ring], [2]float64(c.At))
		last = max(last, c.Ring)
	}
	for i := range last + 1 {
		if ring := rings[i]; len(ring) > 0 {
			d.line(append(ring, ring[0]), `stroke-width="0.8"`)
		}
	}
	for _, lines := range []struct {
		list  []takeoff.LevelLine
		style string
	}{{p.Crest, `stroke-width="0.35"`}, {p.Toe, `stroke-width="0.35" stroke-dasharray="2 1.2"`}} {
		for _, l := range lines.list {
			var places [][2]float64
			for _, v := range l {
				places = append(places, [2]float64{v[0], v[1]})
			}
			d.line(places, lines.style)
		}
	}
}

func (d *plan) peg(p *takeoff.PegResult) {
	x, y := d.at(p.At[0], p.At[1])
	d.page.pegMark(p.Kind, x, y, 1)
}

// names writes the names of pads in the middle of them, and those of corners where there
// is room beside them.
func (d *plan) names() {
	for i := range d.sheet.r.Takeoff.Pads {
		d.padName(&d.sheet.r.Takeoff.Pads[i])
	}
	for i := range d.sheet.r.Pegs {
		p := &d.sheet.r.Pegs[i]
		if p.Kind != setout.AtCorner {
			continue
		}
		x, y := d.at(p.At[0], p.At[1])
		name := cutShort(shortNumber(p), 12)
		long := wide(name, nameSize)
		for _, at := range [][2]float64{{x + 2, y - 2}, {x - 2 - long, y - 2}, {x + 2, y + 5}, {x - 2 - long, y + 5}} {
			if d.room(at[0], at[1], long) {
				d.name(at[0], at[1], name)
				break
			}
		}
	}
}

// name writes a name that is read over lines.
func (d *plan) name(x, y float64, name string) {
	d.page.text(x, y, style(nameSize, "start", true)+` stroke="white" stroke-width="0.9" paint-order="stroke" fill="black"`, name)
}

// nameSize is the size of names on the plan.
const nameSize = 3.6

// padName writes a pad's name in the middle of its corners, if there is room.
func (d *plan) padName(p *takeoff.PadResult) {
	low, high := orb.Point(p.Corners[0].At), orb.Point(p.Corners[0].At)
	for _, c := range p.Corners {
		low = orb.Point{min(low[0], c.At[0]), min(low[1], c.At[1])}
		high = orb.Point{max(high[0], c.At[0]), max(high[1], c.At[1])}
	}
	name := cutShort(p.Name, 20)
	x, y := d.at((low[0]+high[0])/2, (low[1]+high[1])/2)
	long := wide(name, nameSize)
	if x -= long / 2; d.room(x, y-2, long) {
		d.name(x, y-2, name)
	}
}

// room reports whether a name fits at a place, and takes it if so.
func (d *plan) room(x, y, long float64) bool {
	box := [4]float64{x, y - 3.2, x + long, y + 0.8}
	for _, b := range d.taken {
		if box[0] < b[2] && box[2] > b[0] && box[1] < b[3] && box[3] > b[1] {
			return false
		}
	}
	if box[0] < pageLeft-2 || box[2] > pageRight+2 {
		return false
	}
	d.taken = append(d.taken, box)
	return true
}

// key says what the signs mean, and how long things are.
func (d *plan) key() {
	y := planBottom + 8
	for i, k := range pegKeys() {
		x := pageLeft + 2 + float64(i%3)*45
		row := y + float64(i/3)*pitch
		d.page.pegMark(k.kind, x, row-1.3, 1)
		d.page.text(x+4, row, style(letter, "start", false), k.words)
	}
	d.page.text(pageLeft, y+2*pitch+1, style(letter, "start", false), "Thick: outline. Thin: crest. Dashed: toe. Numbers as in the list of pegs.")
	d.bar(pageRight-2, y+2)
	d.arrow(146, planBottom+1)
}

// bar draws a scale bar that ends at a place.
func (d *plan) bar(right, y float64) {
	const most = 40 // millimetres
	scale := d.sheet.r.Scale
	length := ticksOver(0, most/d.scale/scale, most/d.scale/scale/4).at
	round := length[len(length)-1]
	long := round * scale * d.scale
	d.page.path(fmt.Sprintf("M%s %sv2h%sv-2", px(right-long), px(y-2), px(long)), `fill="none" stroke="black" stroke-width="0.5"`)
	d.page.text(right, y+5, style(letter, "end", false), fmt.Sprintf("%g %s", round, d.sheet.r.Units.Length))
}

// arrow draws an arrow to grid north.
func (d *plan) arrow(x, y float64) {
	d.page.path(fmt.Sprintf("M%s %sv-10l-2 4M%s %sl2 4", px(x), px(y+8), px(x), px(y-2)), `fill="none" stroke="black" stroke-width="0.6"`)
	d.page.text(x, y+13, style(letter, "middle", true), "N")
}
