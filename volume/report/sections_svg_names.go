package report

import (
	"fmt"
	"math"

	"barrow/volume/takeoff"
)

// layerStack is the names of a pad's layers, one below the other beside the upper end of a
// line that goes down through all of them.
type layerStack struct {
	layers [][]takeoff.SectionLayer
	rows   []string
	offset float64 // of the line
	x      float64 // of the line
	ends   [2]float64
	right  bool // of the line
	tier   int  // from the top
}

// Sizes of the stacks, pixels.
const (
	sectionText = 13.0
	stackRow    = 15.0
	stackRows   = 10  // names of one pad at most
	stackWide   = 240 // of the names at most
	stackAside  = 8.0 // between line and names
	stackApart  = 6.0
	stackTiers  = 4
	leaderLine  = `stroke="black" stroke-width="0.8"`
)

func newLayerStack(pad [][]takeoff.SectionLayer) layerStack {
	s := layerStack{layers: pad, rows: []string{fitted(pad[0][0].Pad, 1.1*sectionText, stackWide)}}
	for _, layer := range pad[:min(len(pad), stackRows)] {
		p := layer[0].Points[0]
		thick := " " + fixed(p.Top-p.Underside, 3)
		s.rows = append(s.rows, fitted(layer[0].Name, sectionText, stackWide-textWidth(thick, sectionText))+thick)
	}
	if more := len(pad) - stackRows; more > 0 {
		s.rows = append(s.rows, fmt.Sprintf("and %d more", more))
	}
	return s
}

func (s *layerStack) high() float64 { return stackRow*float64(len(s.rows)) + stackApart }

// nameLayers finds room for the names of the layers, in tiers above the section, and
// returns how high these are together. Pads without room are counted.
func (d *sectionDrawing) nameLayers() (high float64) {
	tiers := make([]float64, stackTiers)
	for _, pad := range d.padLayers() {
		s := newLayerStack(pad)
		if !d.placeStack(&s) {
			d.nameless++
			continue
		}
		d.stacks = append(d.stacks, s)
		tiers[s.tier] = max(tiers[s.tier], s.high())
	}
	for k, t := range tiers {
		d.tiers[k] = high
		high += t
	}
	return high
}

// placeStack reports whether a place was found for the names of a pad's layers.
func (d *sectionDrawing) placeStack(s *layerStack) bool {
	wide := 0.0
	for i, row := range s.rows {
		size := sectionText
		if i == 0 {
			size *= 1.1 // it is bold
		}
		wide = max(wide, textWidth(row, size))
	}
	part := widest(s.layers[0]).Points
	from, to := part[0].Offset, part[len(part)-1].Offset
	for s.tier = range stackTiers {
		for _, share := range []float64{0.5, 0.4, 0.6, 0.25, 0.75, 0.1, 0.9} {
			s.offset = from + share*(to-from)
			s.x = d.x(s.offset)
			for _, s.right = range []bool{true, false} {
				s.ends = [2]float64{s.x, s.x + stackAside + wide}
				if !s.right {
					s.ends = [2]float64{s.x - stackAside - wide, s.x}
				}
				if d.stackFits(s) {
					return true
				}
			}
		}
	}
	return false
}

// stackFits reports whether names lie within the frame, off the alignment, off other names
// of the tier and off the lines that go down from tiers above.
func (d *sectionDrawing) stackFits(s *layerStack) bool {
	over := func(ends [2]float64, x float64) bool { return x > ends[0]-stackApart && x < ends[1]+stackApart }
	if s.ends[0] < d.left || s.ends[1] > d.right || d.crossesAlignment() && over(s.ends, d.x(0)) {
		return false
	}
	for i := range d.stacks {
		switch o := &d.stacks[i]; {
		case math.Abs(o.x-s.x) < stackApart:
			return false
		case o.tier <= s.tier && over(s.ends, o.x), o.tier >= s.tier && over(o.ends, s.x):
			return false
		case o.tier == s.tier && (over(s.ends, o.ends[0]) || over(o.ends, s.ends[0])):
			return false
		}
	}
	return true
}

// layerNames writes the names of the layers.
func (d *sectionDrawing) layerNames() {
	for i := range d.stacks {
		d.stack(&d.stacks[i])
	}
}

// stack writes the names of a pad's layers, and marks on the line those it goes through.
func (d *sectionDrawing) stack(s *layerStack) {
	aside, anchor := stackAside, "start"
	if !s.right {
		aside, anchor = -stackAside, "end"
	}
	top := d.top + d.tiers[s.tier]
	foot, ticks := top, ""
	for _, layer := range s.layers {
		if middle, ok := middleAt(layer, s.offset); ok {
			foot = max(foot, d.y(middle))
			d.line(`<circle cx="%s" cy="%s" r="1.8"/>`, px(s.x), px(d.y(middle)))
		}
	}
	for i, row := range s.rows {
		y := top + stackRow*float64(i+1)
		weight := ` font-weight="bold"`
		if i > 0 {
			weight = ""
			ticks += fmt.Sprintf("M%s %sh%s", px(s.x), px(y-4.5), px(0.7*aside))
		}
		d.text(s.x+aside, y, fmt.Sprintf(`text-anchor="%s" stroke="white" stroke-width="4" paint-order="stroke"`, anchor)+weight, row)
	}
	d.path(fmt.Sprintf("M%s %sV%s", px(s.x), px(top+2*stackRow-4.5), px(foot))+ticks, `fill="none" `+leaderLine)
}

// clearOf moves a word of a width along, within bounds, off the lines of names.
func (d *sectionDrawing) clearOf(x, half, from, to float64) float64 {
	clear := func(x float64) bool {
		for i := range d.stacks {
			if math.Abs(d.stacks[i].x-x) < half {
				return false
			}
		}
		return true
	}
	for step := range 20 {
		for _, at := range []float64{x + 10*float64(step), x - 10*float64(step)} {
			if at >= from && at <= to && clear(at) {
				return at
			}
		}
	}
	return x
}
