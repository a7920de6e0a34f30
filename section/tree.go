package section

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// node is a box round faces: a leaf holds one, any other node has its left branch
// behind it and its right branch at right.
type node struct {
	box         orb.Bound
	right, face int // right is 0 in a leaf
}

// plant adds the tree of the faces in order, which is sorted on the way, to tree.
func plant(tree []node, boxes []orb.Bound, order []int, axis int) []node {
	switch len(order) {
	case 0:
		return tree
	case 1:
		return append(tree, node{box: boxes[order[0]], face: order[0]})
	}
	middle := func(i int) float64 { return boxes[i].Min[axis] + boxes[i].Max[axis] }
	slices.SortFunc(order, func(i, j int) int { return cmp.Or(cmp.Compare(middle(i), middle(j)), cmp.Compare(i, j)) })
	at, half := len(tree), len(order)/2
	tree = plant(append(tree, node{}), boxes, order[:half], 1-axis)
	right := len(tree)
	tree = plant(tree, boxes, order[half:], 1-axis)
	tree[at] = node{box: tree[at+1].box.Union(tree[right].box), right: right}
	return tree
}

// visit calls found for each face whose box the line may meet.
func visit(tree []node, l sight, found func(face int)) {
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
			found(n.face)
		default:
			stack = append(stack, at+1, n.right)
		}
	}
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
