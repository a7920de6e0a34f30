package formation

import (
	"github.com/paulmach/orb"

	"barrow/tin"
	"barrow/tin/formation/internal/boxtree"
)

// Around returns what of a pad's formation inside its outline, where it rules, lies
// outside a structure that stands on it, cut anew. A structure that reaches out of the
// outline by more than 1e-6 m2 is a *tin.InputError. Without a structure the whole
// outline is built on, and nothing is left.
func (l *Layout) Around(ground *tin.Surface, pad int, structure orb.MultiPolygon) ([]tin.Facet, error) {
	if len(structure) == 0 {
		return nil, nil
	}
	p := &l.Pads[pad]
	polygons := append([]orb.Polygon{p.Pad.Outline}, structure...)
	var lines []orb.LineString
	boxes := make([]orb.Bound, len(p.Facets))
	for i, f := range p.Facets {
		c := f.Cell.Corner
		lines = append(lines, orb.LineString{c[0], c[1], c[2], c[0]})
		boxes[i] = orb.MultiPoint(c[:]).Bound()
	}
	label := named(p.Pad, pad).label()
	cells, err := partition(ground, polygons, lines, fine*rounding(polygons))
	if err != nil {
		return nil, indexError(padError(err, "the structure in "+label, "backfill.around"), pad)
	}
	tree := boxtree.New(boxes)
	var out []tin.Facet
	var beyond tin.Sum
	for _, c := range cells {
		if c.In[0] != 0 {
			beyond.Add(c.Area)
		}
		if len(c.In) > 1 || c.In[0] != 0 {
			continue
		}
		middle, found := cellCentroid(c), -1
		tree.Meeting(orb.Bound{Min: middle, Max: middle}, func(i int) {
			if holds(p.Facets[i].Cell, middle) && (found < 0 || i < found) {
				found = i
			}
		})
		if found >= 0 { // else another pad rules
			f := p.Facets[found]
			out = append(out, tin.Facet{Cell: c, Plane: f.Plane, Topsoil: f.Topsoil})
		}
	}
	if beyond.Value() > leastOverlap {
		return nil, indexError(inputError(CodeAroundOutside, "backfill.around", "draw the outline of the pad round all of it",
			"the structure in %s reaches out of its outline", label), pad)
	}
	return out, nil
}

// holds reports whether a place lies in a cell, or on its side.
func holds(c tin.Cell, p orb.Point) bool {
	for i := range 3 {
		if cross(c.Corner[i], c.Corner[(i+1)%3], p) < 0 {
			return false
		}
	}
	return true
}
