package report

import (
	"fmt"

	"barrow/volume/takeoff"
)

// layerLine is round each layer.
const layerLine = `stroke="black" stroke-width="0.7" stroke-linejoin="round"`

// layerTone fills layers in turn, from the top down; the hatching of cut shows through.
func layerTone(k int) string {
	return [...]string{`fill="white" fill-opacity="0.6" `, `fill="#bbb" fill-opacity="0.75" `}[k%2]
}

// padLayers returns the layers of each pad that the section meets, each with all its parts.
func (d *sectionDrawing) padLayers() (pads [][][]takeoff.SectionLayer) {
	for i, l := range d.s.Layers {
		switch {
		case i == 0 || l.Pad != d.s.Layers[i-1].Pad:
			pads = append(pads, [][]takeoff.SectionLayer{{l}})
		case l.Name != d.s.Layers[i-1].Name:
			pad := &pads[len(pads)-1]
			*pad = append(*pad, []takeoff.SectionLayer{l})
		default:
			pad := pads[len(pads)-1]
			pad[len(pad)-1] = append(pad[len(pad)-1], l)
		}
	}
	return pads
}

// layers draws the layers of all pads.
func (d *sectionDrawing) layers() {
	for _, pad := range d.padLayers() {
		for k, layer := range pad {
			for _, part := range layer {
				p := part.Points
				d.path(d.between(len(p), func(i int) (offset, top, foot float64) { return p[i].Offset, p[i].Top, p[i].Underside }), layerTone(k)+layerLine)
			}
		}
	}
}

// layerSwatch draws three layers.
func (d *sectionDrawing) layerSwatch(x, y float64) {
	for k := range 3 {
		d.path(fmt.Sprintf("M%s %sh36v6h-36Z", px(x), px(y-14+6*float64(k))), layerTone(k)+layerLine)
	}
}

// widest returns the widest part of a layer.
func widest(layer []takeoff.SectionLayer) (part takeoff.SectionLayer) {
	most := -1.0
	for _, l := range layer {
		if wide := l.Points[len(l.Points)-1].Offset - l.Points[0].Offset; wide > most {
			part, most = l, wide
		}
	}
	return part
}

// middleAt returns the level half way through a layer at an offset; false where there is
// none.
func middleAt(layer []takeoff.SectionLayer, offset float64) (level float64, ok bool) {
	for _, part := range layer {
		for i := 1; i < len(part.Points); i++ {
			if a, b := part.Points[i-1], part.Points[i]; a.Offset <= offset && offset <= b.Offset && a.Offset < b.Offset {
				t := (offset - a.Offset) / (b.Offset - a.Offset)
				return (a.Top + a.Underside + t*(b.Top+b.Underside-a.Top-a.Underside)) / 2, true
			}
		}
	}
	return 0, false
}
