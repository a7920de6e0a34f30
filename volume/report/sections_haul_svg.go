package report

import (
	"fmt"
	"io"
	"math"

	"barrow/volume/takeoff"
)

// HaulSVG draws the mass-haul curve of an alignment, by its place in the result: the
// ordinate over the chainage, hatched down to the balance line of ordinate 0, with
// balance points. Above the line cut waits for fill ahead, below it fill waits for cut.
// Nothing depends on colour. The alignment must have a mass haul.
func HaulSVG(w io.Writer, r *takeoff.SectionsResult, alignment int) error {
	a := &r.Alignments[alignment]
	d := haulDrawing{r: r, h: a.Haul}
	d.ids = fmt.Sprintf("haul-%d-", alignment)
	title := append(wrap(r.Job, 56), wrap(a.Name+", mass haul", 56)...)
	d.layOut(len(title))
	d.begin(r.Job + " " + a.Name + ", mass haul")
	d.hatching()
	d.head(title)
	d.axes()
	d.hatch()
	d.curve()
	d.points()
	d.legend()
	d.line("</svg>")
	if _, err := io.WriteString(w, d.buf.String()); err != nil {
		return fmt.Errorf("report: %w", err)
	}
	return nil
}

// haulDrawing is the picture of a mass-haul curve in the making; places in it are in
// pixels.
type haulDrawing struct {
	svg
	r *takeoff.SectionsResult
	h *takeoff.HaulResult

	left, right, top, bottom float64
	from, low                float64 // chainage at left, ordinate at bottom
	along, up                float64 // pixels a unit of chainage, of volume
	chainages, volumes       ticks
}

// haulHeight is the height of the curve, pixels.
const haulHeight = 360.0

// layOut chooses scales and places.
func (d *haulDrawing) layOut(titles int) {
	d.width, d.left, d.right = drawingWidth, 110, drawingWidth-30
	d.top = titleLine*float64(titles+2) + 48
	d.bottom = d.top + haulHeight + 2*room
	o := d.h.Ordinates
	least, greatest := 0.0, 0.0
	for i := range o {
		least, greatest = min(least, o[i].Ordinate), max(greatest, o[i].Ordinate)
	}
	first, last := 0.0, 0.0
	if len(o) > 0 {
		first, last = o[0].Chainage, o[len(o)-1].Chainage
	}
	d.from = first
	d.along = (d.right - d.left) / max(last-first, 1e-3)
	d.up = haulHeight / max(greatest-least, 1e-6)
	d.low = least - room/d.up
	d.chainages = ticksOver(first, last, 90/d.along)
	d.volumes = ticksOver(d.low, d.low+(d.bottom-d.top)/d.up, 36/d.up)
	d.height = d.bottom + 128
}

func (d *haulDrawing) x(chainage float64) float64 { return d.left + (chainage-d.from)*d.along }
func (d *haulDrawing) y(ordinate float64) float64 { return d.bottom - (ordinate-d.low)*d.up }

// head writes the title and the figures.
func (d *haulDrawing) head(title []string) {
	n := numbersFor(d.r.Units, max(d.h.Hauled, d.h.Across), 1000)
	y := titleLine
	for _, line := range title {
		d.text(24, y, `font-size="16" font-weight="bold"`, line)
		y += titleLine
	}
	d.text(24, y, "", fmt.Sprintf("compacted per bank %s; hauled %s, on average %s %s; surplus %s, short %s",
		trimmed(d.h.CompactedPerBank), n.volume(d.h.Hauled), fixed(d.h.MeanHaul, 1), d.r.Units.Length, n.volume(d.h.Spoil), n.volume(d.h.Import)))
	d.text(24, y+titleLine, "", fmt.Sprintf("free haul %s %s; overhaul %s of %s", trimmed(d.h.FreeHaul), d.r.Units.Length, n.moment(d.h.Overhaul), n.volume(d.h.OverhaulVolume)))
}

// axes draws the frame with its scales.
func (d *haulDrawing) axes() {
	for _, v := range d.volumes.at {
		d.path(fmt.Sprintf("M%s %sH%s", px(d.left), px(d.y(v)), px(d.right)), thinLine)
		d.text(d.left-8, d.y(v)+4, `text-anchor="end"`, d.volumes.write(v))
	}
	for _, c := range d.chainages.at {
		d.path(fmt.Sprintf("M%s %sv6", px(d.x(c)), px(d.bottom)), `stroke="black"`)
		d.text(d.x(c), d.bottom+22, `text-anchor="middle"`, d.chainages.write(c))
	}
	d.path(fmt.Sprintf("M%s %sV%sH%s", px(d.left), px(d.top), px(d.bottom), px(d.right)), `fill="none" stroke="black"`)
	d.text(24, d.top-14, "", "ordinate, "+d.r.Units.Volume+" compacted measure")
	d.text((d.left+d.right)/2, d.bottom+44, `text-anchor="middle"`, "chainage, "+d.r.Units.Length)
}

// hatch fills the space between curve and balance line, from one balance point to the
// next.
func (d *haulDrawing) hatch() {
	o := d.h.Ordinates
	path, side := "", 0.0
	at := func(chainage, ordinate float64) string {
		return fmt.Sprintf("%s %s", px(d.x(chainage)), px(d.y(ordinate)))
	}
	end := func(chainage float64) {
		if side != 0 {
			pattern := map[bool]string{true: "cut", false: "fill"}[side > 0]
			d.path(path+"L"+at(chainage, 0)+"Z", d.hatched(pattern))
		}
		side = 0
	}
	for i := range o {
		b := o[i]
		if is := sign(b.Ordinate); is != side {
			from := b.Chainage
			if i > 0 {
				from = o[i-1].Chainage
				if side*is < 0 {
					a := o[i-1]
					from += (b.Chainage - from) * (a.Ordinate / (a.Ordinate - b.Ordinate))
				}
			}
			if is == 0 {
				from = b.Chainage
			}
			end(from)
			path, side = "M"+at(from, 0), is
		}
		path += "L" + at(b.Chainage, b.Ordinate)
	}
	if len(o) > 0 {
		end(o[len(o)-1].Chainage)
	}
}

func sign(x float64) float64 {
	switch {
	case x > 0:
		return 1
	case x < 0:
		return -1
	}
	return 0
}

const (
	balanceLine = `fill="none" stroke="black" stroke-width="1.2" stroke-dasharray="5 4"`
	haulLine    = `fill="none" stroke="black" stroke-width="2.4" stroke-linejoin="round"`
)

func (d *haulDrawing) curve() {
	d.path(fmt.Sprintf("M%s %sH%s", px(d.left), px(d.y(0)), px(d.right)), balanceLine)
	path := ""
	for i := range d.h.Ordinates {
		word := "L"
		if i == 0 {
			word = "M"
		}
		path += fmt.Sprintf("%s%s %s", word, px(d.x(d.h.Ordinates[i].Chainage)), px(d.y(d.h.Ordinates[i].Ordinate)))
	}
	d.path(path, haulLine)
}

// points marks the balance points, and writes the chainage of those that have room: on
// the side of the line where the curve is not.
func (d *haulDrawing) points() {
	last := math.Inf(-1)
	for _, c := range d.h.BalancePoints {
		x, y := d.x(c), d.y(0)
		d.line(`<circle cx="%s" cy="%s" r="4.5" fill="white" stroke="black" stroke-width="1.6"/>`, px(x), px(y))
		words, over := fixed(c, 2), -10.0
		wide := 9 * float64(len(words))
		from := x + 8 // right of it, above the line where the curve falls
		if from+wide > d.right {
			from, over = x-8-wide, 20
		}
		if d.rises(c) {
			over = 10 - over // the other side of the line
		}
		if from < last+8 {
			continue
		}
		last = from + wide
		d.text(from, y+over, `font-weight="bold" stroke="white" stroke-width="4" paint-order="stroke"`, words)
	}
}

// rises reports whether the curve rises up to a chainage.
func (d *haulDrawing) rises(chainage float64) bool {
	o := d.h.Ordinates
	for i := 1; i < len(o); i++ {
		if o[i].Chainage >= chainage {
			return o[i].Ordinate > o[i-1].Ordinate
		}
	}
	return false
}

// legend explains lines and hatching below the axis.
func (d *haulDrawing) legend() {
	box := func(x, y float64, pattern, words string) {
		d.line(`<rect x="%s" y="%s" width="36" height="18" %s stroke="black" stroke-width="0.6"/>`, px(x), px(y-14), d.hatched(pattern))
		d.text(x+44, y, "", words)
	}
	line := func(x, y float64, style, words string) {
		d.path(fmt.Sprintf("M%s %sh36", px(x), px(y-5)), style)
		d.text(x+44, y, "", words)
	}
	y := d.bottom + 80
	box(24, y, "cut", "cut waits for fill farther on")
	box(320, y, "fill", "fill waits for cut farther on")
	d.line(`<circle cx="634" cy="%s" r="4.5" fill="white" stroke="black" stroke-width="1.6"/>`, px(y-5))
	d.text(664, y, "", "balance point, with its chainage")
	line(24, y+28, haulLine, "mass-haul curve: rises in cut, falls in fill")
	line(420, y+28, balanceLine, "balance line")
}
