package report

import (
	"fmt"
	"math"
	"strings"

	"barrow/volume/takeoff"
)

// axes draws the frame with its scales, and the alignment.
func (d *sectionDrawing) axes() {
	u := d.r.Units.Length
	for _, z := range d.levels.at {
		d.path(fmt.Sprintf("M%s %sH%s", px(d.left), px(d.y(z)), px(d.right)), thinLine)
		d.text(d.left-8, d.y(z)+4, `text-anchor="end"`, d.levels.write(z))
	}
	for _, o := range d.offsets.at {
		d.path(fmt.Sprintf("M%s %sv6", px(d.x(o)), px(d.bottom)), `stroke="black"`)
		d.text(d.x(o), d.bottom+22, `text-anchor="middle"`, d.offsets.write(o))
	}
	d.path(fmt.Sprintf("M%s %sV%sH%s", px(d.left), px(d.top), px(d.bottom), px(d.right)), `fill="none" stroke="black"`)
	d.text(d.left-8, d.top-12, `text-anchor="end"`, "level, "+u)
	d.text((d.left+d.right)/2, d.bottom+44, `text-anchor="middle"`, "offset, "+u+": left of the alignment below 0, right of it above 0")
	if d.crossesAlignment() {
		d.path(fmt.Sprintf("M%s %sV%s", px(d.x(0)), px(d.top), px(d.bottom)), alignmentLine)
	}
}

func (d *sectionDrawing) crossesAlignment() bool { return d.x(0) >= d.left && d.x(0) <= d.right }

// Lines differ by weight and dash.
const (
	thinLine      = `stroke="#bbb" stroke-width="0.6"`
	alignmentLine = `stroke="black" stroke-width="0.8" stroke-dasharray="10 3 2 3"`
	groundLine    = `fill="none" stroke="black" stroke-width="1.4"`
	strippedLine  = `fill="none" stroke="black" stroke-width="1.2" stroke-dasharray="5 4"`
	formationLine = `fill="none" stroke="black" stroke-width="3" stroke-linejoin="round"`
)

// hatched is a part of the works that is all cut or all fill.
type hatched struct {
	area         float64 // square pixels
	x, top, foot float64 // where it is thickest, and its bounds there
	from, to     float64
}

// works hatches the parts of cut and fill, and keeps the largest of each.
func (d *sectionDrawing) works() {
	p := d.s.Profile
	for i := 0; i < len(p)-1; {
		side := d.sideOf(i)
		if side == 0 {
			i++
			continue
		}
		to := i + 1
		for to < len(p)-1 && (d.sideOf(to) == side || p[to].Offset == p[to+1].Offset && p[to].Stripped != nil && p[to+1].Stripped != nil) {
			to++
		}
		for p[to].Offset == p[to-1].Offset { // an upright face to what comes next
			to--
		}
		kept, pattern := &d.cut, "cut"
		if side < 0 {
			kept, pattern = &d.fill, "fill"
		}
		if h := d.hatch(p[i:to+1], pattern); h.area > kept.area {
			*kept = h
		}
		i = to
	}
}

// sideOf returns 1 where the profile is in cut from a point to the next, -1 in fill, and
// 0 where it is neither.
func (d *sectionDrawing) sideOf(i int) int {
	a, b := &d.s.Profile[i], &d.s.Profile[i+1]
	if a.Stripped == nil || b.Stripped == nil || a.Formation == nil || b.Formation == nil || a.Offset == b.Offset {
		return 0
	}
	switch depth := (*a.Stripped - *a.Formation) + (*b.Stripped - *b.Formation); {
	case depth > 1e-9:
		return 1
	case depth < -1e-9:
		return -1
	}
	return 0
}

// hatch fills the space between stripped ground and formation.
func (d *sectionDrawing) hatch(p []takeoff.ProfilePoint, pattern string) (h hatched) {
	h.from, h.to = d.x(p[0].Offset), d.x(p[len(p)-1].Offset)
	last, lastX := 0.0, 0.0
	for i := range p {
		x, ground, formation := d.x(p[i].Offset), d.y(*p[i].Stripped), d.y(*p[i].Formation)
		thick := math.Abs(ground - formation)
		if i > 0 {
			h.area += (x - lastX) * (thick + last) / 2
		}
		if thick > h.foot-h.top {
			h.x, h.top, h.foot = x, min(ground, formation), max(ground, formation)
		}
		last, lastX = thick, x
	}
	d.path(d.between(len(p), func(i int) (offset, top, foot float64) { return p[i].Offset, *p[i].Stripped, *p[i].Formation }), d.hatched(pattern))
	return h
}

// between returns the path round what lies between two lines of so many points, there along
// one and back along the other.
func (d *sectionDrawing) between(points int, at func(i int) (offset, level, other float64)) string {
	var path strings.Builder
	path.WriteByte('M')
	for i := range points {
		offset, level, _ := at(i)
		fmt.Fprintf(&path, "%s %s ", px(d.x(offset)), px(d.y(level)))
	}
	for i := points - 1; i >= 0; i-- {
		offset, _, other := at(i)
		fmt.Fprintf(&path, "%s %s ", px(d.x(offset)), px(d.y(other)))
	}
	path.WriteByte('Z')
	return path.String()
}

// lines draws ground, stripped ground and formation over the hatching.
func (d *sectionDrawing) lines() {
	ground := func(p *takeoff.ProfilePoint) *float64 { return p.Ground }
	stripped := func(p *takeoff.ProfilePoint) *float64 { return p.Stripped }
	formation := func(p *takeoff.ProfilePoint) *float64 { return p.Formation }
	d.path(d.trace(ground, nil), groundLine)
	if d.r.StripRule != nil {
		d.path(d.trace(stripped, ground), strippedLine)
	}
	d.path(d.trace(formation, stripped), formationLine)
}

// trace follows one level of the profile from left to right. Where it begins and ends it
// goes up or down to another one: an upright face.
func (d *sectionDrawing) trace(level, from func(*takeoff.ProfilePoint) *float64) string {
	var path strings.Builder
	p := d.s.Profile
	drawing := false
	end := func(at *takeoff.ProfilePoint, first bool) {
		if from == nil || from(at) == nil {
			return
		}
		word := "L"
		if first {
			word = "M"
		}
		fmt.Fprintf(&path, "%s%s %s", word, px(d.x(at.Offset)), px(d.y(*from(at))))
	}
	for i := range p {
		z := level(&p[i])
		if z == nil {
			if drawing {
				end(&p[i-1], false)
			}
			drawing = false
			continue
		}
		word := "L"
		if !drawing {
			word = "M"
			if end(&p[i], true); from != nil && from(&p[i]) != nil {
				word = "L"
			}
		}
		fmt.Fprintf(&path, "%s%s %s", word, px(d.x(p[i].Offset)), px(d.y(*z)))
		drawing = true
	}
	if drawing {
		end(&p[len(p)-1], false)
	}
	return path.String()
}

// label writes a word where a part is thickest; above it (-1) or below it (1) where
// there is no room inside.
func (d *sectionDrawing) label(word string, h hatched, side float64) {
	if h.area <= 0 {
		return
	}
	x := min(max(h.x, d.left+20), d.right-20)
	const style = `text-anchor="middle" font-weight="bold" stroke="white" stroke-width="4" paint-order="stroke"`
	if h.foot-h.top >= 30 && h.to-h.from >= 60 {
		x = min(max(x, h.from+30), h.to-30)
		x = d.clearOf(x, 24, h.from+30, h.to-30)
		d.text(x, (h.top+h.foot)/2+5, style, word)
		return
	}
	y := h.top - 12
	if side > 0 {
		y = h.foot + 22
	}
	d.text(d.clearOf(x, 24, d.left+20, d.right-20), y, style, word)
}

// legend explains lines and hatching below the axis.
func (d *sectionDrawing) legend() {
	x, y := 24.0, d.bottom+76
	add := func(words string, swatch func(x, y float64)) {
		wide := 56 + 8*float64(len(words))
		if x+wide > d.width {
			x, y = 24, y+26
		}
		swatch(x, y)
		d.text(x+44, y, "", words)
		x += wide
	}
	line := func(style string) func(x, y float64) {
		return func(x, y float64) { d.path(fmt.Sprintf("M%s %sh36", px(x), px(y-5)), style) }
	}
	box := func(pattern string) func(x, y float64) {
		return func(x, y float64) {
			d.line(`<rect x="%s" y="%s" width="36" height="18" %s stroke="black" stroke-width="0.6"/>`, px(x), px(y-14), d.hatched(pattern))
		}
	}
	add("existing ground", line(groundLine))
	if d.r.StripRule != nil {
		add("stripped ground", line(strippedLine))
	}
	add("formation and batters", line(formationLine))
	if d.crossesAlignment() {
		add("alignment", line(alignmentLine))
	}
	add("cut", box("cut"))
	add("fill", box("fill"))
	if len(d.s.Layers) > 0 {
		add("layers of the build-up, thickness in "+d.r.Units.Length, d.layerSwatch)
	}
	if d.nameless > 0 {
		add(fmt.Sprintf("layers of %s without room for their names", countOf(d.nameless, "pad", "pads")), d.layerSwatch)
	}
}
