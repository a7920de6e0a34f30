package report

import (
	"fmt"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"barrow/tin/setout"
	"barrow/volume/takeoff"
)

// pegSize is how large signs of pegs are on the plan of the works, and pegRoom how much
// room one takes, mm.
const (
	pegSize = 0.55
	pegRoom = 2.6 * pegSize
)

// pegMark draws the sign of a peg, 2.6 times size wide at most.
func (s *svg) pegMark(kind setout.Kind, x, y, size float64) {
	long := func(l float64) string { return px(l * size) }
	from := func(aside, down float64) string { return "M" + px(x+aside*size) + " " + px(y+down*size) }
	line := func(wide float64) string { return fmt.Sprintf(`stroke="black" stroke-width="%s"`, long(wide)) }
	switch kind {
	case setout.AtCorner:
		s.line(`<circle cx="%s" cy="%s" r="%s"/>`, px(x), px(y), long(1.3))
	case setout.OnSide:
		s.line(`<circle cx="%s" cy="%s" r="%s" fill="white" %s/>`, px(x), px(y), long(0.9), line(0.35))
	case setout.OnGrid:
		s.path(from(-0.8, 0)+"h"+long(1.6)+from(0, -0.8)+"v"+long(1.6), line(0.3))
	case setout.AtCrest:
		s.path(from(0, -1.1)+"l"+long(1.1)+" "+long(1.9)+"h"+long(-2.2)+"z", `fill="black"`)
	case setout.AtToe:
		s.path(from(0, 1.1)+"l"+long(1.1)+" "+long(-1.9)+"h"+long(-2.2)+"z", `fill="white" `+line(0.3))
	case setout.SetBack:
		s.line(`<rect x="%s" y="%s" width="%s" height="%[3]s" fill="white" %s/>`, px(x-0.9*size), px(y-0.9*size), long(1.8), line(0.35))
	}
}

// pegs draws the signs of pegs, and takes their room.
func (d *planDrawing) pegs() {
	for i := range d.p.Pegs {
		p := &d.p.Pegs[i]
		c := d.at(orb.Point(p.At))
		d.pegMark(p.Kind, c[0], c[1], pegSize)
		d.taken = append(d.taken, around(c, pegRoom, pegRoom))
	}
}

// pegNumbers writes the numbers of pegs beside them, those of corners first, without the
// names of their pads.
func (d *planDrawing) pegNumbers() {
	for _, corners := range []bool{true, false} {
		for i := range d.p.Pegs {
			if p := &d.p.Pegs[i]; (p.Kind == setout.AtCorner) == corners && !d.pegNumber(p) {
				d.numberless++
			}
		}
	}
}

// pegNumber reports whether there was room for it.
func (d *planDrawing) pegNumber(p *takeoff.PlanPeg) bool {
	words := fitted(pegShort(p.Number, p.Pad), smallText, 20)
	wide := textWidth(words, smallText)
	c := d.at(orb.Point(p.At))
	aside, over := (wide+pegRoom)/2+0.2, (smallText+pegRoom)/2
	for _, by := range []orb.Point{{aside, -over / 2}, {-aside, -over / 2}, {aside, over / 2}, {-aside, over / 2}, {0, -over}, {0, over}} {
		m := orb.Point{c[0] + by[0], c[1] + by[1]}
		if d.place(around(m, wide, smallText)) {
			d.text(m[0], m[1]+0.36*smallText, fmt.Sprintf(`font-size="%s" font-style="italic" text-anchor="middle" `, px(smallText))+planHalo, words)
			return true
		}
	}
	return false
}

// pegShort is a peg's number without the name of its pad.
func pegShort(number, pad string) string {
	return strings.TrimPrefix(number, strings.TrimSpace(pad)+" ")
}

// pegKey says what the sign of a kind of peg is.
type pegKey struct {
	kind  setout.Kind
	words string
}

func pegKeys() []pegKey {
	return []pegKey{{setout.AtCorner, "corner"}, {setout.OnSide, "along an edge"}, {setout.OnGrid, "grid"},
		{setout.AtCrest, "crest C"}, {setout.AtToe, "toe T"}, {setout.SetBack, "set back B"}}
}

// pegEntries explain the signs of pegs, three on a line.
func (d *planDrawing) pegEntries() (out []legendEntry) {
	if len(d.p.Pegs) == 0 {
		return nil
	}
	out = append(out, d.headline("Pegs, with their numbers"))
	for row := range slices.Chunk(pegKeys(), 3) {
		out = append(out, legendEntry{legendRow, func(x, y float64) {
			for i, k := range row {
				left := x + [...]float64{0, 17, 42}[i]
				d.pegMark(k.kind, left+1, y+1.9, pegSize)
				d.text(left+3, y+2.8, "", k.words)
			}
		}})
	}
	return out
}
