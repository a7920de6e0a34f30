package formation

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"barrow/tin"
	"barrow/tin/formation/internal/daylight"
)

// leastSide is the least side of a part of a batter that has a direction, metres: what is
// narrower is less than the bound on facets.
const leastSide = 1e-7

// sidesBound is the share of the sides' volume that facets round their corners may add:
// coarser than of a pad's batters, since the corners of lines lie close together and all
// their facets meet.
const sidesBound = 1e-5

// flat returns the pad's formation as a surface that goes on far enough for the batters
// of all its thickenings.
func (t *thicken) flat() (*tin.Surface, error) {
	reach := 0.0
	var polygons []orb.Polygon
	for k := range t.out {
		th := t.pad.Pad.Thickenings[k]
		polygons = append(polygons, th.footprint()...)
		reach = max(reach, th.Along)
	}
	box := box(polygons)[0].Bound()
	deepest := 0.0
	for k := range t.out {
		for _, at := range []orb.Point{box.Min, box.Max, {box.Min[0], box.Max[1]}, {box.Max[0], box.Min[1]}} {
			level := t.pad.Plane.LevelAt(at[0], at[1])
			deepest = max(deepest, level-t.underside(k)(tin.FaceCorner{Ground: level}))
		}
	}
	// A fall of a half of the batter doubles how far it goes; more is refused.
	box = box.Pad(math.Ceil(1 + 2*reach*deepest))
	var points []tin.Point
	for _, at := range []orb.Point{box.Min, {box.Max[0], box.Min[1]}, box.Max, {box.Min[0], box.Max[1]}} {
		points = append(points, tin.Point{E: at[0], N: at[1], Level: t.pad.Plane.LevelAt(at[0], at[1])})
	}
	surface, err := tin.Build(t.ctx, []tin.Source{{Points: points}}, tin.Options{})
	if err != nil {
		return nil, padError(err, "the formation of "+named(t.pad.Pad, t.number).label(), "thickenings")
	}
	return surface, nil
}

// batters makes the parts of the sides: the faces that rise from the undersides to the
// formation, found as batters are that rise to the ground.
func (t *thicken) batters() error {
	slope, _ := t.pad.Plane.Fall()
	for k := range t.out {
		th := &t.pad.Pad.Thickenings[k]
		if th.Along == 0 {
			continue
		}
		if slope*th.Along > 0.5 {
			return inputError(CodeThickeningBatter, fmt.Sprintf("thickenings[%d].batter", k), "give a steeper batter",
				"the batter of %s rises less than twice as fast as the pad falls", t.label(k))
		}
		works, err := t.sides(k)
		if err != nil {
			return err
		}
		t.out[k].Bound = works.Bound
		for i := range works.Pieces {
			p := &works.Pieces[i]
			corners := shape(p.Corner).withoutShort(leastSide / t.surface.Frame().Length())
			if len(corners) < 3 {
				continue
			}
			t.parts = append(t.parts, part{of: k, shape: corners, face: func(c tin.FaceCorner) float64 { return p.FaceAt(c.X, c.Y) }})
		}
	}
	return nil
}

// sides finds the batters of one thickening, as far as the formation.
func (t *thicken) sides(k int) (*daylight.Works, error) {
	th := &t.pad.Pad.Thickenings[k]
	polygons := th.footprint()
	var segments []*segment
	for _, p := range polygons {
		for _, ring := range outlineTraces(outlineRings(p), noTerms(p), 0) {
			for _, c := range ring {
				segments = append(segments, c.seg)
			}
		}
	}
	for i, s := range segments {
		s.line = i
	}
	rings, err := unite(t.surface, polygons, segments, rounding(polygons))
	if err != nil {
		return nil, padError(err, t.label(k), fmt.Sprintf("thickenings[%d]", k))
	}
	frame, under := t.surface.Frame(), t.underside(k)
	var pad daylight.Pad
	for _, ring := range rings {
		var corners []daylight.Vertex
		var cut []daylight.Profile
		for _, c := range ring {
			x, y := frame.Local(c.at)
			level := under(tin.FaceCorner{Ground: t.pad.Plane.LevelAt(c.at[0], c.at[1])})
			corners = append(corners, daylight.Vertex{X: x, Y: y, Level: level})
			cut = append(cut, daylight.Profile{Along: th.Along})
		}
		pad.Rings, pad.Cut, pad.Fill = append(pad.Rings, corners), append(pad.Cut, cut), append(pad.Fill, make([]daylight.Profile, len(cut)))
	}
	return daylight.Find(t.ctx, daylight.Input{Ground: t.surface, Pads: []daylight.Pad{pad}, Bound: sidesBound})
}

// noTerms returns no terms for the sides of each ring.
func noTerms(p orb.Polygon) (out [][]terms) {
	for _, ring := range outlineRings(p) {
		out = append(out, make([]terms, len(ring)))
	}
	return out
}
