package takeoff

import (
	"github.com/paulmach/orb"

	"barrow/tin"
	"barrow/tin/formation"
)

// works is the plan of all works together, in triangles that do not overlap;
// metres on the grid.
type works struct {
	facets []tin.Facet
	box    orb.Bound
}

func newWorks(l *formation.Layout) *works {
	w := &works{}
	for _, p := range l.Pads {
		w.facets = append(w.facets, p.Facets...)
	}
	for i, f := range w.facets {
		for k, c := range f.Cell.Corner {
			if i == 0 && k == 0 {
				w.box = orb.Bound{Min: c, Max: c}
			}
			w.box = w.box.Extend(c)
		}
	}
	return w
}
