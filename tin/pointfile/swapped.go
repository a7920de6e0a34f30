package pointfile

import (
	"fmt"

	"github.com/paulmach/orb"

	"barrow/tin"
)

// Swapped reports whether easting and northing of the points seem to have
// changed places: their bounding box misses that of an outline, but meets it
// once the two are exchanged. Both must be in one unit. The problem has the
// code "swapped_columns" and is for the caller to add to his notes or to make
// an error of.
func Swapped(points []tin.Point, outline orb.Bound) (tin.Problem, bool) {
	if len(points) == 0 || outline.IsEmpty() {
		return tin.Problem{}, false
	}
	box := boundOf(points)
	turned := orb.Bound{Min: orb.Point{box.Min[1], box.Min[0]}, Max: orb.Point{box.Max[1], box.Max[0]}}
	if box.Intersects(outline) || !turned.Intersects(outline) {
		return tin.Problem{}, false
	}
	return tin.Problem{
		Code: "swapped_columns",
		Message: fmt.Sprintf("easting and northing of the points seem to be swapped: they lie within E %s to %s, N %s to %s, "+
			"and the outline within E %s to %s, N %s to %s; check the order of the columns",
			shortest(box.Min[0]), shortest(box.Max[0]), shortest(box.Min[1]), shortest(box.Max[1]),
			shortest(outline.Min[0]), shortest(outline.Max[0]), shortest(outline.Min[1]), shortest(outline.Max[1])),
	}, true
}

// boundOf returns the bounding box of at least one point.
func boundOf(points []tin.Point) orb.Bound {
	lo := orb.Point{points[0].E, points[0].N}
	hi := lo
	for i := range points {
		e, n := points[i].E, points[i].N
		lo[0], hi[0] = min(lo[0], e), max(hi[0], e)
		lo[1], hi[1] = min(lo[1], n), max(hi[1], n)
	}
	return orb.Bound{Min: lo, Max: hi}
}
