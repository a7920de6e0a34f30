package boxtree_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"

	"barrow/tin/formation/internal/boxtree"
)

func TestEachBoxThatMeetsIsFoundOnce(t *testing.T) {
	var boxes []orb.Bound
	for i := range 400 {
		e, n := math.Mod(float64(i)*7.31, 50), math.Mod(float64(i)*3.97, 40)
		boxes = append(boxes, orb.Bound{Min: orb.Point{e, n}, Max: orb.Point{e + float64(i%9), n + float64(i%4)}})
	}
	tree := boxtree.New(boxes)
	for i := range 100 {
		box := orb.Bound{Min: orb.Point{float64(i % 50), float64(i % 37)}}
		box.Max = orb.Point{box.Min[0] + float64(i%3), box.Min[1] + 1}
		got := make(map[int]int)
		tree.Meeting(box, func(k int) { got[k]++ })
		for k, b := range boxes {
			want := 0
			if b.Intersects(box) {
				want = 1
			}
			assert.Equal(t, want, got[k], "box %d at %v", k, box)
		}
	}
	boxtree.New(nil).Meeting(orb.Bound{}, func(int) { t.Error("an empty tree found a box") })
}

func ExampleTree_Meeting() {
	tree := boxtree.New([]orb.Bound{
		{Min: orb.Point{0, 0}, Max: orb.Point{1, 1}},
		{Min: orb.Point{1, 1}, Max: orb.Point{2, 3}},
		{Min: orb.Point{4, 0}, Max: orb.Point{5, 1}},
	})
	tree.Meeting(orb.Bound{Min: orb.Point{0.5, 0.5}, Max: orb.Point{3, 1}}, func(i int) { fmt.Println(i) })
	// Output:
	// 0
	// 1
}
