package section

import (
	"cmp"
	"context"
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// node is a box round items, faces or legs: a leaf holds one, any other node has its
// left branch behind it and its right branch at right.
type node struct {
	box         orb.Bound
	right, item int // right is 0 in a leaf
}

// grow returns the tree of items in their boxes, the first at its root.
func grow(ctx context.Context, boxes []orb.Bound) ([]node, error) {
	order := make([]int, len(boxes))
	for i := range order {
		order[i] = i
	}
	return plant(ctx, make([]node, 0, 2*len(boxes)), boxes, order), ctx.Err()
}

// plant adds the tree of the items in order, which is sorted on the way, to tree: each
// box is halved across its longer side. Once ctx has ended it leaves items out.
func plant(ctx context.Context, tree []node, boxes []orb.Bound, order []int) []node {
	if len(order) == 0 {
		return tree
	}
	box := boxes[order[0]]
	for _, i := range order {
		box = box.Union(boxes[i])
	}
	at, half := len(tree), len(order)/2
	tree = append(tree, node{box: box, item: order[0]})
	if half == 0 || len(order) > 1000 && ctx.Err() != nil {
		return tree
	}
	axis := 0
	if box.Max[1]-box.Min[1] > box.Max[0]-box.Min[0] {
		axis = 1
	}
	middle := func(i int) float64 { return boxes[i].Min[axis] + boxes[i].Max[axis] }
	slices.SortFunc(order, func(i, j int) int { return cmp.Or(cmp.Compare(middle(i), middle(j)), cmp.Compare(i, j)) })
	tree = plant(ctx, tree, boxes, order[:half])
	tree[at].right = len(tree)
	return plant(ctx, tree, boxes, order[half:])
}

// visit calls found for each item whose box the line may meet.
func visit(tree []node, l sight, found func(item int)) {
	stack := []int{0}
	if len(tree) == 0 {
		return
	}
	for len(stack) > 0 {
		at := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		n := tree[at]
		switch {
		case !l.mayMeet(n.box):
		case n.right == 0:
			found(n.item)
		default:
			stack = append(stack, at+1, n.right)
		}
	}
}

// nearby calls found for each item below a node whose box lies within reach of a place,
// of two branches the nearer first. Reach is asked before each and may shrink.
func nearby(tree []node, at int, p orb.Point, reach func() float64, found func(item int)) {
	n := tree[at]
	switch {
	case away(n.box, p) > reach():
	case n.right == 0:
		found(n.item)
	default:
		first, then := at+1, n.right
		if away(tree[then].box, p) < away(tree[first].box, p) {
			first, then = then, first
		}
		nearby(tree, first, p, reach, found)
		nearby(tree, then, p, reach, found)
	}
}

// away returns how far a place lies from a box, 0 inside.
func away(b orb.Bound, p orb.Point) float64 {
	return math.Hypot(max(b.Min[0]-p[0], p[0]-b.Max[0], 0), max(b.Min[1]-p[1], p[1]-b.Max[1], 0))
}

// mayMeet reports whether a box has places on both sides of the line, or near it,
// and lies between its ends.
func (l sight) mayMeet(b orb.Bound) bool {
	v := sub(b.Center(), l.from)
	half := orb.Point{(b.Max[0] - b.Min[0]) / 2, (b.Max[1] - b.Min[1]) / 2}
	// How far the box reaches along and across the line from its middle.
	reach := float64(half[0]*math.Abs(l.u[0])) + float64(half[1]*math.Abs(l.u[1]))
	width := float64(half[0]*math.Abs(l.u[1])) + float64(half[1]*math.Abs(l.u[0]))
	s, off, near := dot(v, l.u), cross(l.u, v), 4*l.near
	return math.Abs(off) <= width+near && s+reach >= -near && s-reach <= l.length+near
}
