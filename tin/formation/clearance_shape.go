package formation

import (
	"cmp"
	"slices"

	"github.com/paulmach/orb"

	"barrow/tin"
	"barrow/tin/formation/internal/boxtree"
)

// clearShape is the shape of a clearance in local units. Its sides are the rim of
// its area, which comes first, and its lines and points.
type clearShape struct {
	inside   bool
	within   float64 // the distance
	unit     float64 // metres in a local unit
	rim      []stretch
	sides    []stretch
	box      orb.Bound // round all of it
	rimTree  *boxtree.Tree
	sideTree *boxtree.Tree
	zone     []polygon // together, what is within the distance of a side
	zoneTree *boxtree.Tree
}

// shape brings a clearance into the local units of a ground.
func (c *Clearance) shape(ground *tin.Surface) (*clearShape, error) {
	if err := c.Check(); err != nil {
		return nil, err
	}
	frame := ground.Frame()
	s := &clearShape{inside: c.Inside, within: c.Distance / frame.Length(), unit: frame.Length()}
	cells, err := ground.Partition(c.Area, nil)
	if err != nil {
		return nil, shapeError(err)
	}
	local := func(p orb.Point) orb.Point {
		x, y := frame.Local(p)
		return orb.Point{x, y}
	}
	for _, r := range rimOf(cells) {
		s.rim = append(s.rim, newStretch(local(r.a), local(r.b)))
	}
	s.sides = slices.Clone(s.rim)
	for _, l := range c.Lines {
		for i := 1; i < len(l); i++ {
			s.sides = append(s.sides, newStretch(local(l[i-1]), local(l[i])))
		}
	}
	for _, p := range c.Points {
		s.sides = append(s.sides, newStretch(local(p), local(p)))
	}
	s.rim, s.sides = sorted(s.rim), sorted(s.sides)
	if s.within > 0 {
		s.zone = s.zoneParts()
	}
	s.box = s.sides[0].bound()
	for _, r := range s.sides {
		s.box = s.box.Union(r.bound())
	}
	s.rimTree, s.sideTree, s.zoneTree = treeOf(s.rim), treeOf(s.sides), treeOf(s.zone)
	return s, nil
}

// sorted puts stretches into the order of their coordinates, each once.
func sorted(list []stretch) []stretch {
	slices.SortFunc(list, compareStretches)
	return slices.Compact(list)
}

func compareStretches(s, t stretch) int {
	return cmp.Or(comparePoints(s.a, t.a), comparePoints(s.b, t.b))
}

func treeOf[T interface{ bound() orb.Bound }](list []T) *boxtree.Tree {
	boxes := make([]orb.Bound, len(list))
	for i, x := range list {
		boxes[i] = x.bound()
	}
	return boxtree.New(boxes)
}

// rimOf returns the sides of cells that no other cell has.
func rimOf(cells []tin.Cell) (rim []stretch) {
	var all []stretch
	for _, c := range cells {
		for i, p := range c.Corner {
			all = append(all, newStretch(p, c.Corner[(i+1)%3]))
		}
	}
	slices.SortFunc(all, compareStretches)
	for i := 0; i < len(all); {
		next := i + 1
		for next < len(all) && all[next] == all[i] {
			next++
		}
		if next == i+1 {
			rim = append(rim, all[i])
		}
		i = next
	}
	return rim
}

// overlap returns how far works whose least distance from the shape is this reach
// past the clearance's line; what is rounding is 0.
func (s *clearShape) overlap(least float64) float64 {
	if past := s.within - least; past > leastBreach/s.unit {
		return past
	}
	return 0
}

// holds reports whether a place is in the area, by the number of its sides to the
// east.
func (s *clearShape) holds(p orb.Point) bool {
	if len(s.rim) == 0 || !s.box.Contains(p) {
		return false
	}
	in := false
	s.rimTree.Meeting(orb.Bound{Min: p, Max: orb.Point{s.box.Max[0], p[1]}}, func(i int) {
		r := s.rim[i]
		if (r.a[1] > p[1]) == (r.b[1] > p[1]) {
			return
		}
		if up := r.b[1] > r.a[1]; cross(r.a, r.b, p) > 0 == up {
			in = !in
		}
	})
	return in
}
