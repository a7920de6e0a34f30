package takeoff

import (
	"math"

	"github.com/paulmach/orb"

	"barrow/section"
	"barrow/tin"
)

// SectionLayer is a layer of a pad's build-up where a section meets it, from one end of it
// to the other. Its levels go straight from point to point; at an upright step there are
// two points at one offset.
type SectionLayer struct {
	Pad    string       `json:"pad"`
	Name   string       `json:"name"`
	Points []LayerPoint `json:"points"` // from left to right
}

// LayerPoint is the levels of a layer at an offset.
type LayerPoint struct {
	Offset    float64 `json:"offset"`
	Top       float64 `json:"top"`
	Underside float64 `json:"underside"`
}

// builtUp is a pad that has layers, and what they lie on: the formation within its outline,
// and that with its margin.
type builtUp struct {
	pad *Pad
	on  map[LayersTo]*section.Faces
}

// buildUps returns the pads that have layers.
func (r *run) buildUps() (list []builtUp, err error) {
	for i := range r.job.Pads {
		if len(r.job.Pads[i].Layers) == 0 {
			continue
		}
		b := builtUp{&r.job.Pads[i], map[LayersTo]*section.Faces{}}
		laid := &r.layout.Pads[i]
		if b.on[LayersToOutline], err = facetFaces(r, laid.Facets); err != nil {
			return nil, err
		}
		if b.on[LayersToMargin], err = facetFaces(r, laid.Facets, laid.Margin); err != nil {
			return nil, err
		}
		list = append(list, b)
	}
	return list, nil
}

func facetFaces(r *run, lists ...[]tin.Facet) (*section.Faces, error) {
	var faces []section.Face
	for _, facets := range lists {
		for _, f := range facets {
			faces = append(faces, section.FacetFace(f))
		}
	}
	return section.NewFaces(r.ctx, faces)
}

// layersOf returns the layers that a section meets, those of each pad from the top down.
func (r *run) layersOf(s *section.Section, pads []builtUp) (layers []SectionLayer, err error) {
	if !(s.To > s.From) {
		return nil, nil
	}
	for i := range pads {
		pad := pads[i].pad
		on := map[LayersTo][][]levelPoint{}
		for to, faces := range pads[i].on {
			if on[to], err = levelLines(s, faces); err != nil {
				return nil, err
			}
		}
		above := pad.layers().Thickness()
		for k, l := range pad.Layers {
			under := addLevels(above, -l.Thickness)
			for _, line := range on[pad.layerTo(k)] {
				layer := SectionLayer{Pad: pad.Name, Name: l.Name}
				for _, p := range line {
					formation := p.level / r.unit
					layer.Points = append(layer.Points, LayerPoint{p.offset / r.lengthUnit(), addLevels(formation, above), addLevels(formation, under)})
				}
				layers = append(layers, layer)
			}
			above = under
		}
	}
	return layers, nil
}

// levelPoint is a level at an offset, metres.
type levelPoint struct{ offset, level float64 }

// levelLines returns the levels of faces where a section meets them without a gap.
func levelLines(s *section.Section, faces *section.Faces) (lines [][]levelPoint, err error) {
	at := func(offset float64) orb.Point {
		return orb.Point{s.At[0] + float64(offset*s.Right[0]), s.At[1] + float64(offset*s.Right[1])}
	}
	stretches, err := faces.Profile(at(s.From), at(s.To), s.Side)
	if err != nil {
		return nil, err
	}
	for _, t := range stretches {
		from, to := levelPoint{s.From + t.From, t.Level}, levelPoint{s.From + t.To, t.LevelAt(t.To)}
		if n := len(lines); n == 0 || from.offset-last(lines[n-1]).offset > sameOffset {
			lines = append(lines, []levelPoint{from, to})
			continue
		}
		line := &lines[len(lines)-1]
		if step := from.level - last(*line).level; math.Abs(step) > sameOffset {
			*line = append(*line, from)
		} else if straight((*line)[len(*line)-2], from, to) {
			*line = (*line)[:len(*line)-1]
		}
		*line = append(*line, to)
	}
	return lines, nil
}

func last[T any](list []T) T { return list[len(list)-1] }

// straight reports whether b lies between a and c on the line from one to the other.
func straight(a, b, c levelPoint) bool {
	t := (b.offset - a.offset) / (c.offset - a.offset)
	return t > 0 && math.Abs(a.level+float64(t*(c.level-a.level))-b.level) <= 1e-9
}
