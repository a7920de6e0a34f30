package formation

import (
	"github.com/paulmach/orb"

	"barrow/tin"
)

// Outline is a formation outline: the outline of a pad, or of several that are
// one for margin and batters, with its margin.
type Outline struct {
	Pads  []int         // the pads it is of, ascending
	Rings [][]RimCorner // the outer ring anticlockwise, then holes, clockwise; each from its least corner by easting, then northing
}

// RimCorner is a corner of a formation outline, with what holds along the side
// that starts there.
type RimCorner struct {
	E, N      float64 // metres
	Level     float64 // of the formation, metres
	Pad       int     // that the side belongs to
	Cut, Fill Batter
}

// widened is a formation outline as it is laid out.
type widened struct {
	pads   []int
	rings  []trace
	pieces []piece // of the margin, outside the outline
}

// widen returns the formation outline of pads that are one.
func widen(ground *tin.Surface, pads []*drawn, members []int) (*widened, error) {
	w := &widened{pads: members, rings: pads[members[0]].rings}
	var outlines []orb.Polygon
	var sides []*segment
	for _, i := range members {
		outlines = append(outlines, pads[i].pad.Outline)
		for _, t := range pads[i].rings {
			for _, s := range t {
				sides = append(sides, s.seg)
			}
		}
	}
	least := rounding(outlines)
	var err error
	if len(members) > 1 {
		least = max(least, snap/4) // so that what touches within snap has no crack left
		if w.rings, err = unite(ground, outlines, sides, least); err != nil {
			return nil, err
		}
	}
	if !hasMargin(sides) {
		return w, nil
	}
	m := marginsOf(w.rings, least)
	w.pieces = m.pieces
	w.rings, err = unite(ground, append(outlines, polygonsOf(m.pieces)...), m.segments, least)
	return w, err
}

func hasMargin(sides []*segment) bool {
	for _, s := range sides {
		if s.margin > 0 {
			return true
		}
	}
	return false
}

func polygonsOf(pieces []piece) []orb.Polygon {
	out := make([]orb.Polygon, len(pieces))
	for i, p := range pieces {
		out[i] = orb.Polygon{p.ring}
	}
	return out
}

// outline returns the formation outline with levels.
func (w *widened) outline(level func(pad int, p orb.Point) float64) Outline {
	out := Outline{Pads: w.pads}
	for _, t := range w.rings {
		ring := make([]RimCorner, len(t))
		for i, s := range t {
			ring[i] = RimCorner{E: s.at[0], N: s.at[1], Level: level(s.seg.pad, s.at), Pad: s.seg.pad, Cut: s.seg.cut, Fill: s.seg.fill}
		}
		out.Rings = append(out.Rings, ring)
	}
	return out
}
