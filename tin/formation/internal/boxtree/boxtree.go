package boxtree

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// Tree finds the boxes that meet a box. Each node halves its items by the
// middles of their boxes along its longer side, so that it is balanced for any
// input.
type Tree struct {
	items []int32 // in the order of the leaves
	boxes []orb.Bound
	nodes []orb.Bound // heap order: children of i are 2i+1, 2i+2
}

const leafItems = 8

// New makes a tree of boxes, which are not copied; items are their indices.
func New(boxes []orb.Bound) *Tree {
	t := &Tree{boxes: boxes, items: make([]int32, len(boxes))}
	for i := range t.items {
		t.items[i] = int32(i)
	}
	if len(boxes) > 0 {
		t.build(0, t.items)
	}
	return t
}

func (t *Tree) build(node int, items []int32) {
	for len(t.nodes) <= node {
		t.nodes = append(t.nodes, orb.Bound{})
	}
	box := t.boxes[items[0]]
	for _, i := range items[1:] {
		box = box.Union(t.boxes[i])
	}
	t.nodes[node] = box
	if len(items) <= leafItems {
		return
	}
	axis := 0
	if box.Max[1]-box.Min[1] > box.Max[0]-box.Min[0] {
		axis = 1
	}
	slices.SortFunc(items, func(i, j int32) int {
		a, b := t.boxes[i], t.boxes[j]
		return cmp.Or(cmp.Compare(a.Min[axis]/2+a.Max[axis]/2, b.Min[axis]/2+b.Max[axis]/2), cmp.Compare(i, j))
	})
	half := len(items) / 2
	t.build(2*node+1, items[:half])
	t.build(2*node+2, items[half:])
}

// Meeting calls f with each item whose box meets the box, in no promised order
// but always the same.
func (t *Tree) Meeting(box orb.Bound, f func(i int)) {
	if len(t.items) > 0 {
		t.visit(0, t.items, box, f)
	}
}

func (t *Tree) visit(node int, items []int32, box orb.Bound, f func(i int)) {
	if !t.nodes[node].Intersects(box) {
		return
	}
	if len(items) <= leafItems {
		for _, i := range items {
			if t.boxes[i].Intersects(box) {
				f(int(i))
			}
		}
		return
	}
	half := len(items) / 2
	t.visit(2*node+1, items[:half], box, f)
	t.visit(2*node+2, items[half:], box, f)
}

// SortedIn returns the items whose box meets the box, in ascending order.
func (t *Tree) SortedIn(box orb.Bound) (items []int) {
	t.Meeting(box, func(i int) { items = append(items, i) })
	slices.Sort(items)
	return items
}

// Among returns those of some items whose box meets the box.
func (t *Tree) Among(items []int, box orb.Bound) (meeting []int) {
	for _, i := range items {
		if t.boxes[i].Intersects(box) {
			meeting = append(meeting, i)
		}
	}
	return meeting
}

// Near calls f with items whose box is no farther from a box than reach, those
// near by early; f returns the reach from then on. The order is always the same.
func (t *Tree) Near(box orb.Bound, reach float64, f func(i int) (reach float64)) {
	if len(t.items) > 0 {
		t.approach(0, t.items, box, reach, f)
	}
}

func (t *Tree) approach(node int, items []int32, box orb.Bound, reach float64, f func(i int) float64) float64 {
	if len(items) <= leafItems {
		for _, i := range items {
			if gap(t.boxes[i], box) <= reach {
				reach = f(int(i))
			}
		}
		return reach
	}
	half := len(items) / 2
	near, far := 2*node+1, 2*node+2
	nearItems, farItems := items[:half], items[half:]
	nearGap, farGap := gap(t.nodes[near], box), gap(t.nodes[far], box)
	if farGap < nearGap {
		near, far, nearItems, farItems, nearGap, farGap = far, near, farItems, nearItems, farGap, nearGap
	}
	if nearGap <= reach {
		reach = t.approach(near, nearItems, box, reach, f)
	}
	if farGap <= reach {
		reach = t.approach(far, farItems, box, reach, f)
	}
	return reach
}

// gap returns how far apart two boxes are, at most: rounded down.
func gap(a, b orb.Bound) float64 {
	dx := max(0, a.Min[0]-b.Max[0], b.Min[0]-a.Max[0])
	dy := max(0, a.Min[1]-b.Max[1], b.Min[1]-a.Max[1])
	return math.Hypot(dx, dy) * (1 - 0x1p-50)
}
