package report

import (
	"fmt"
	"math"
	"strings"

	"github.com/paulmach/orb"

	"barrow/volume/takeoff"
)

const (
	planAlignment = `fill="none" stroke="black" stroke-width="0.25" stroke-dasharray="6 0.8 0.6 0.8"`
	planTick      = 1.5 // to either side of an alignment, mm
)

// alignments draws the lines that sections are cut along, with a tick across at each
// section, the way it is cut.
func (d *planDrawing) alignments() {
	var lines []orb.LineString
	var ticks strings.Builder
	for i := range d.p.Alignments {
		a := &d.p.Alignments[i]
		line := make(orb.LineString, len(a.Line))
		for k, p := range a.Line {
			line[k] = orb.Point(p)
		}
		lines = append(lines, line)
		for k := range a.Sections {
			if c, across, ok := d.sectionOnPaper(&a.Sections[k]); ok {
				fmt.Fprintf(&ticks, "M%s %sl%s %s", px(c[0]-planTick*across[0]), px(c[1]-planTick*across[1]), px(2*planTick*across[0]), px(2*planTick*across[1]))
			}
		}
	}
	d.lines(planAlignment, false, lines)
	d.path(ticks.String(), planAlignment)
}

// sectionOnPaper returns where a section crosses its alignment, and the direction of its
// growing offsets; not ok where that is off the plan.
func (d *planDrawing) sectionOnPaper(s *takeoff.SectionResult) (at, across orb.Point, ok bool) {
	east, north := math.Sincos(s.Bearing * math.Pi / 180)
	return d.at(orb.Point(s.At)), orb.Point{east, -north}, d.p.Frame.Contains(orb.Point(s.At))
}

// alignmentNames writes the name of each alignment at its first tick, and the numbers of
// sections at the right or the left end of theirs.
func (d *planDrawing) alignmentNames() {
	for i := range d.p.Alignments {
		a := &d.p.Alignments[i]
		named, onPlan := false, false
		for k := range a.Sections {
			c, across, ok := d.sectionOnPaper(&a.Sections[k])
			if !ok {
				continue
			}
			onPlan = true
			named = named || d.besideTick(c, across, fitted(a.Name, padText, 60), padText)
			if !d.besideTick(c, across, SectionNumber(k), smallText) {
				d.unnumbered++
			}
		}
		if onPlan && !named {
			d.unnamed++
		}
	}
}

// besideTick writes words beyond an end of a tick, and reports whether there was room.
func (d *planDrawing) besideTick(c, across orb.Point, words string, size float64) bool {
	wide := 1.1 * textWidth(words, size) // bold
	off := planTick + 0.3 + (math.Abs(across[0])*wide+math.Abs(across[1])*size)/2
	for _, end := range []float64{off, -off} {
		m := orb.Point{c[0] + end*across[0], c[1] + end*across[1]}
		if d.place(around(m, wide, size)) {
			d.text(m[0], m[1]+0.36*size, fmt.Sprintf(`font-size="%s" font-weight="bold" text-anchor="middle" `, px(size))+planHalo, words)
			return true
		}
	}
	return false
}
