package report

import (
	"cmp"
	"fmt"
	"io"
	"math"
	"slices"

	"barrow/volume/takeoff"
)

// BalanceSVG draws cut and fill against the level as SVG, and below them the cost where
// there is one: every mark is a level that was measured. Nothing depends on colour: lines
// differ by dash and words.
func BalanceSVG(w io.Writer, r *takeoff.BalanceResult) error {
	d := balanceDrawing{r: r}
	d.layOut()
	d.begin(r.Job + ": cut and fill against the level")
	d.head()
	d.levels()
	d.volumes()
	d.costs()
	d.names()
	d.marks()
	d.line("</svg>")
	if _, err := io.WriteString(w, d.buf.String()); err != nil {
		return fmt.Errorf("report: %w", err)
	}
	return nil
}

// balanceDrawing is the picture of a balance in the making; places in it are in pixels.
type balanceDrawing struct {
	svg
	r *takeoff.BalanceResult

	factor       float64
	least, most  float64 // shifts at left and right
	left, right  float64
	volume, cost panel
	ends         []lineEnd
}

// lineEnd is the name of a line at its right end.
type lineEnd struct {
	y    float64
	name string
}

// panel is a part of the picture with a scale of its own upwards.
type panel struct {
	top, bottom float64
	low, high   float64 // values at the bottom and the top
}

func (p *panel) y(v float64) float64 { return p.bottom - (v-p.low)/(p.high-p.low)*(p.bottom-p.top) }

// over makes the scale hold values, with a little room.
func (p *panel) over(values ...float64) {
	low, high := math.Inf(1), math.Inf(-1)
	for _, v := range values {
		low, high = min(low, v), max(high, v)
	}
	room := max(high-low, 1e-3*math.Abs(high), 1e-6) * 0.08
	p.low, p.high = low-room, high+room
}

func (d *balanceDrawing) x(shift float64) float64 {
	return d.left + (shift-d.least)/(d.most-d.least)*(d.right-d.left)
}

// layOut chooses scales and places.
func (d *balanceDrawing) layOut() {
	d.width, d.left, d.right = drawingWidth, 110, drawingWidth-130
	d.factor = 1
	if f := d.r.CompactedPerBank; f != nil {
		d.factor = *f
	}
	curve := d.r.Curve
	d.least, d.most = curve[0].Shift, curve[len(curve)-1].Shift
	var volumes, costs []float64
	for _, p := range curve {
		volumes = append(volumes, p.Cut, d.usable(&p), d.wanted(&p))
		if p.Cost != nil {
			costs = append(costs, d.major(*p.Cost))
		}
	}
	d.volume = panel{top: 122, bottom: 450}
	d.volume.over(volumes...)
	d.height = d.volume.bottom + 70
	if len(costs) > 0 {
		d.cost = panel{top: 490, bottom: 650}
		d.cost.over(costs...)
		d.height = d.cost.bottom + 70
	}
}

// bottom is the lowest place of the panels.
func (d *balanceDrawing) bottom() float64 { return max(d.volume.bottom, d.cost.bottom) }

func (d *balanceDrawing) head() {
	y := titleLine
	for i, line := range append(wrap(d.r.Job, 90), "Cut and fill against the level") {
		style := ""
		if i == 0 {
			style = `font-size="16" font-weight="bold"`
		}
		d.text(24, y, style, line)
		y += titleLine
	}
}

// levels draws the scale of shifts, and of finished levels where one pad moves.
func (d *balanceDrawing) levels() {
	u := d.r.Units.Length
	words, base := "shift from the job's levels, "+u, 0.0
	if m := d.r.Moved; len(m) == 1 && m[0].FinishedLevel != nil {
		words, base = "finished level of "+m[0].Name+", "+u, *m[0].FinishedLevel
	}
	bottom := d.bottom()
	t := ticksOver(base+d.least, base+d.most, 70*(d.most-d.least)/(d.right-d.left))
	for _, at := range t.at {
		d.path(fmt.Sprintf("M%s %sv6", px(d.x(at-base)), px(bottom)), `stroke="black"`)
		d.text(d.x(at-base), bottom+22, `text-anchor="middle"`, t.write(at))
	}
	d.text((d.left+d.right)/2, bottom+46, `text-anchor="middle"`, words)
}

// frame draws the axes of a panel with round values.
func (d *balanceDrawing) frame(p *panel, words string) {
	t := ticksOver(p.low, p.high, 30*(p.high-p.low)/(p.bottom-p.top))
	for _, v := range t.at {
		d.path(fmt.Sprintf("M%s %sH%s", px(d.left), px(p.y(v)), px(d.right)), thinLine)
		d.text(d.left-8, p.y(v)+4, `text-anchor="end"`, t.write(v))
	}
	d.path(fmt.Sprintf("M%s %sV%sH%s", px(d.left), px(p.top), px(p.bottom), px(d.right)), `fill="none" stroke="black"`)
	d.text(d.left-8, p.top-10, `text-anchor="end"`, words)
}

// Lines of cut and fill: ColorBrewer PuOr.
const (
	cutLine    = `fill="none" stroke="#b35806" stroke-width="2.6"`
	usableLine = `fill="none" stroke="#b35806" stroke-width="1.6" stroke-dasharray="2 4"`
	fillLine   = `fill="none" stroke="#542788" stroke-width="2.6" stroke-dasharray="9 4"`
	costLine   = `fill="none" stroke="black" stroke-width="2"`
	markLine   = `stroke="black" stroke-width="1" stroke-dasharray="4 3"`
)

func (d *balanceDrawing) volumes() {
	d.frame(&d.volume, d.r.Units.Volume)
	d.curve(&d.volume, cutLine, "cut", func(p *takeoff.LevelPoint) float64 { return p.Cut })
	switch {
	case d.sorted():
		d.curve(&d.volume, usableLine, "fill it makes", d.usable)
	case d.factor != 1:
		d.curve(&d.volume, usableLine, "cut, compacted", d.usable)
	}
	d.curve(&d.volume, fillLine, d.fillName(), d.wanted)
}

// sorted reports whether materials make the balance, and it is known at every level
// drawn what fill they make.
func (d *balanceDrawing) sorted() bool {
	return d.r.ByMaterials && !slices.ContainsFunc(d.r.Curve, func(p takeoff.LevelPoint) bool { return p.Supply == nil })
}

// fillName names the line of the fill.
func (d *balanceDrawing) fillName() string {
	if d.sorted() {
		return "fill to make"
	}
	return "fill"
}

// usable is the fill that can be made of what is dug.
func (d *balanceDrawing) usable(p *takeoff.LevelPoint) float64 {
	if d.sorted() {
		return *p.Supply
	}
	return d.factor * p.Cut
}

// wanted is the fill to make: by materials backfill too.
func (d *balanceDrawing) wanted(p *takeoff.LevelPoint) float64 {
	if d.sorted() {
		return *p.FillToMake
	}
	return p.Fill
}

func (d *balanceDrawing) costs() {
	if d.r.AsGiven.Cost == nil {
		return
	}
	words := "cost"
	if c := d.r.Currency; c != nil {
		words += ", " + c.Code
	}
	d.frame(&d.cost, words)
	d.curve(&d.cost, costLine, "cost", func(p *takeoff.LevelPoint) float64 { return d.major(*p.Cost) })
}

// major returns an amount in units of money.
func (d *balanceDrawing) major(minor int64) float64 {
	digits := 2
	if c := d.r.Currency; c != nil {
		digits = int(c.Digits)
	}
	return float64(minor) / math.Pow10(digits)
}

// curve draws a line from level to level with its name at the right end.
func (d *balanceDrawing) curve(p *panel, style, name string, value func(*takeoff.LevelPoint) float64) {
	path, word := "", "M"
	for i := range d.r.Curve {
		at := &d.r.Curve[i]
		path += fmt.Sprintf("%s%s %s", word, px(d.x(at.Shift)), px(p.y(value(at))))
		word = "L"
	}
	d.path(path, style)
	last := &d.r.Curve[len(d.r.Curve)-1]
	d.ends = append(d.ends, lineEnd{p.y(value(last)), name})
}

// names writes the names of lines at their ends, so far apart that all can be read.
func (d *balanceDrawing) names() {
	slices.SortStableFunc(d.ends, func(a, b lineEnd) int { return cmp.Compare(a.y, b.y) })
	last := math.Inf(-1)
	for _, e := range d.ends {
		last = max(e.y, last+16)
		d.text(d.right+8, last+4, `font-weight="bold"`, e.name)
	}
}

// marks draws the levels that matter as upright lines with their names, one above the
// other so that none hides another.
func (d *balanceDrawing) marks() {
	type mark struct {
		shift float64
		words string
	}
	sheet := balanceSheet{paper: paper{n: numbersFor(d.r.Units, 0, 0)}, r: d.r}
	at := func(words string, shift float64) mark {
		return mark{shift, words + ", " + sheet.shift(shift) + " " + sheet.shiftUnit()}
	}
	list := []mark{{0, "as the job has it"}}
	if b := d.r.Balance; b != nil {
		list = append(list, at("balance", b.Shift))
	} else {
		list = append(list, at("nearest to a balance", d.r.Nearest.Shift))
	}
	if c := d.r.LeastCost; c != nil {
		list = append(list, at("least cost", c.Shift))
	}
	for i, m := range list {
		x, y := d.x(m.shift), d.volume.top-46+17*float64(i)
		d.path(fmt.Sprintf("M%s %sV%s", px(x), px(y+3), px(d.bottom())), markLine)
		style := `stroke="white" stroke-width="4" paint-order="stroke"`
		if x > d.right-180 {
			x, style = x-8, style+` text-anchor="end"`
		}
		d.text(x+4, y+2, style, m.words)
	}
}
