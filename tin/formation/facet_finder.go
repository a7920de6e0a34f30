package formation

import (
	"slices"

	"github.com/paulmach/orb"

	"barrow/tin"
	"barrow/tin/formation/internal/boxtree"
)

// FacetFinder finds facets by place, for many places.
type FacetFinder struct {
	facets []tin.Facet
	tree   *boxtree.Tree
}

// NewFacetFinder makes a finder of facets, which are not copied.
func NewFacetFinder(facets []tin.Facet) *FacetFinder {
	boxes := make([]orb.Bound, len(facets))
	for i := range facets {
		boxes[i] = orb.MultiPoint(facets[i].Cell.Corner[:]).Bound()
	}
	return &FacetFinder{facets, boxtree.New(boxes)}
}

// Near returns the facets whose box in plan, widened by a reach in metres, holds a place,
// in their order.
func (f *FacetFinder) Near(p orb.Point, reach float64) (near []*tin.Facet) {
	for _, i := range f.tree.SortedIn(orb.Bound{Min: p, Max: p}.Pad(reach)) {
		near = append(near, &f.facets[i])
	}
	return near
}

// LevelFinder returns what gives the level that [LaidPad.LevelAt] does, for many places.
func (l *LaidPad) LevelFinder() func(p orb.Point) (level float64, ok bool) {
	if l.Pad.Levels == nil {
		return l.LevelAt
	}
	finder := NewFacetFinder(slices.Concat(l.Facets, l.Margin))
	return func(p orb.Point) (float64, bool) {
		best, level := -1.0, 0.0
		for _, f := range finder.Near(p, 0) {
			if d := inside(&f.Cell, p); d > best {
				best, level = d, f.Plane.LevelAt(p[0], p[1])
			}
		}
		if best >= 0 {
			return level, true
		}
		return l.LevelAt(p) // no facet holds it
	}
}
