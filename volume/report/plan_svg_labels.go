package report

import (
	"fmt"
	"math"
	"strconv"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"

	"barrow/volume/takeoff"
)

// labels writes what is worth most first; what has no room is left out.
func (d *planDrawing) labels() {
	d.group("shots", d.shots)
	d.group("pegs", d.pegs)
	d.group("labels", func() {
		d.group("labels-pads", d.pads)
		d.group("labels-alignments", d.alignmentNames)
		d.group("labels-pegs", d.pegNumbers)
		for _, s := range d.p.Spots {
			c := d.at(s)
			d.taken = append(d.taken, around(c, 2*planSpotArm, 2*planSpotArm))
		}
		d.group("labels-contours", d.contourLevels)
		d.group("labels-spots", d.spotLevels)
	})
}

// padLabel is the name of a pad with its formation.
type padLabel struct {
	rows       []string
	wide, high float64
	inside     bool // the pad has room for it
	outline    orb.Polygon
	box        rectangle // round the outline, on paper
	at         orb.Point // its middle, if it is placed
	placed     bool
}

const padText = 2.8

func (d *planDrawing) padLabel(pad *takeoff.PadResult, outline orb.Polygon) padLabel {
	l := padLabel{rows: []string{fitted(pad.Name, 1.1*padText, 60)}, outline: outline}
	switch {
	case pad.FormationLevel != nil && pad.Fall != nil:
		l.rows = append(l.rows, "formation falls "+slope(pad.Fall.Slope))
	case pad.FormationLevel != nil:
		l.rows = append(l.rows, "formation "+fixed(*pad.FormationLevel, 3))
	}
	for _, row := range l.rows {
		l.wide = max(l.wide, textWidth(row, 1.1*padText)+1) // the first is bold
	}
	l.high = l.height()
	low, up := d.at(outline.Bound().Min), d.at(outline.Bound().Max)
	l.box = rectangle{low[0], up[1], up[0], low[1]}
	l.inside = l.box.right-l.box.left > l.wide && l.box.bottom-l.box.top > l.high
	return l
}

func (l *padLabel) height() float64 { return 1.25*padText*float64(len(l.rows)) + 0.6 }

// pads writes name and formation level of each pad: inside where there is room, else
// beside it and not over another small one; the names alone of those where there is not
// room for all.
func (d *planDrawing) pads() {
	var labels []padLabel
	for i := range d.r.Pads {
		labels = append(labels, d.padLabel(&d.r.Pads[i], d.p.Outlines[i]))
	}
	taken := d.taken
	if d.placePads(labels) > 0 {
		for i := range labels {
			if l := &labels[i]; !l.inside {
				l.rows = l.rows[:1]
				l.wide, l.high = textWidth(l.rows[0], 1.1*padText)+1, l.height()
			}
		}
		d.taken = taken
		d.nameless = d.placePads(labels)
	}
	for i := range labels {
		if l := &labels[i]; l.placed {
			d.pad(l)
		}
	}
}

// placePads finds a place for each label, and returns how many have none.
func (d *planDrawing) placePads(labels []padLabel) (without int) {
	for i := range labels {
		if l := &labels[i]; !l.inside {
			d.taken = append(d.taken, l.box)
		}
	}
	for i := range labels {
		l := &labels[i]
		l.placed = false
		for _, c := range d.padPlaces(l) {
			if d.place(around(c, l.wide, l.high)) {
				l.at, l.placed = c, true
				break
			}
		}
		if !l.placed {
			without++
		}
	}
	return without
}

func (d *planDrawing) pad(l *padLabel) {
	for k, row := range l.rows {
		weight := ""
		if k == 0 {
			weight = `font-weight="bold" `
		}
		y := l.at[1] - l.high/2 + 0.3 + 1.25*padText*(float64(k)+0.8)
		d.text(l.at[0], y, weight+fmt.Sprintf(`font-size="%s" text-anchor="middle" `, px(padText))+planHalo, row)
	}
}

// padPlaces returns where the name of a pad may stand.
func (d *planDrawing) padPlaces(l *padLabel) (places []orb.Point) {
	if c, _ := planar.CentroidArea(l.outline); l.inside && planar.PolygonContains(l.outline, c) {
		m := d.at(c)
		for _, by := range []float64{0, -1, 1, -2, 2} {
			places = append(places, orb.Point{m[0], m[1] + by*l.high})
		}
	}
	const gap = 0.8
	x, y := (l.box.left+l.box.right)/2, (l.box.top+l.box.bottom)/2
	return append(places, orb.Point{x, l.box.top - l.high/2 - gap}, orb.Point{x, l.box.bottom + l.high/2 + gap},
		orb.Point{l.box.right + l.wide/2 + gap, y}, orb.Point{l.box.left - l.wide/2 - gap, y})
}

// shots marks where further spots would help most, by their number.
func (d *planDrawing) shots() {
	for i, s := range d.planShots() {
		if !d.p.Frame.Contains(orb.Point(s.At)) {
			continue
		}
		c := d.at(orb.Point(s.At))
		mark := around(c, 2*planShotRadius, 2*planShotRadius)
		d.taken = append(d.taken, mark)
		d.shot(c, i+1)
	}
}

func (d *planDrawing) planShots() []takeoff.ShotResult {
	if d.r.Uncertainty == nil {
		return nil
	}
	return d.r.Uncertainty.Shots
}

func (d *planDrawing) shot(c orb.Point, number int) {
	d.line(`<circle cx="%s" cy="%s" r="%s" fill="white" stroke="black" stroke-width="0.3"/>`, px(c[0]), px(c[1]), px(planShotRadius-0.2))
	d.text(c[0], c[1]+0.9, `font-weight="bold" text-anchor="middle"`, strconv.Itoa(number))
}

// contourLevels writes the levels of index contours along them, of all contours where
// there are hardly any.
func (d *planDrawing) contourLevels() {
	index := map[float64]bool{}
	for _, c := range d.p.Contours {
		if c.Index {
			index[c.Level] = true
		}
	}
	for _, c := range d.p.Contours {
		if c.Index || len(index) < 4 {
			d.contourLevel(&c)
		}
	}
}

// contourEvery is how far labels on one contour are apart at least, mm.
const contourEvery = 70

func (d *planDrawing) contourLevel(c *takeoff.ContourLine) {
	words := fixed(c.Level, decimalsOf(d.p.ContourInterval))
	wide, high := textWidth(words, smallText)+0.6, smallText
	line := make(orb.LineString, len(c.Line))
	for i, p := range c.Line {
		line[i] = d.at(p)
	}
	walked, next := 0.0, wide
	for i := 1; i < len(line); i++ {
		walked += planar.Distance(line[i-1], line[i])
		if walked < next {
			continue
		}
		a, b, ok := chord(line, i, wide)
		if !ok {
			continue
		}
		m := orb.Point{(a[0] + b[0]) / 2, (a[1] + b[1]) / 2}
		angle := math.Atan2(b[1]-a[1], b[0]-a[0])
		if math.Abs(angle) > math.Pi/2 {
			angle -= math.Copysign(math.Pi, angle)
		}
		if !d.place(slanted(m, wide, high, angle)...) {
			next = walked + 2
			continue
		}
		d.text(0, 0.36*smallText, fmt.Sprintf(`font-size="%s" text-anchor="middle" transform="translate(%s %s) rotate(%s)" `, px(smallText), px(m[0]), px(m[1]), px(angle*180/math.Pi))+planHalo, words)
		next = walked + contourEvery
	}
}

// chord returns the ends of a stretch of a line about its part before place i, as long as
// a label and nearly straight.
func chord(line orb.LineString, i int, wide float64) (a, b orb.Point, ok bool) {
	m := orb.Point{(line[i-1][0] + line[i][0]) / 2, (line[i-1][1] + line[i][1]) / 2}
	a, okA := away(m, line, i-1, -1, wide/2)
	b, okB := away(m, line, i, 1, wide/2)
	return a, b, okA && okB && planar.Distance(a, b) > 0.96*wide
}

// away goes along a line from a place on it to the vertex k and on by step.
func away(from orb.Point, line orb.LineString, k, step int, length float64) (orb.Point, bool) {
	for ; k >= 0 && k < len(line); k += step {
		part := planar.Distance(from, line[k])
		if part >= length {
			t := length / part
			return orb.Point{from[0] + t*(line[k][0]-from[0]), from[1] + t*(line[k][1]-from[1])}, true
		}
		length -= part
		from = line[k]
	}
	return from, false
}

// spotLevels writes the levels of the spots that have room, beside their marks.
func (d *planDrawing) spotLevels() {
	for i, s := range d.p.Spots {
		words := fixed(d.p.SpotLevels[i], 2)
		c, wide := d.at(s), textWidth(words, smallText)
		beside, over := wide/2+planSpotArm+0.3, 0.8*smallText
		for _, by := range []orb.Point{{beside, -over / 2}, {beside, over / 2}, {-beside, -over / 2}, {-beside, over / 2}} {
			m := orb.Point{c[0] + by[0], c[1] + by[1]}
			if d.place(around(m, wide, smallText)) {
				d.text(m[0], m[1]+0.36*smallText, fmt.Sprintf(`font-size="%s" text-anchor="middle" `, px(smallText))+planHalo, words)
				break
			}
		}
	}
}

// decimalsOf returns how many decimals a round step has.
func decimalsOf(step float64) int {
	for n := range 9 {
		if x := step * math.Pow10(n); math.Abs(x-math.Round(x)) < 1e-6 {
			return n
		}
	}
	return 9
}
