package tin

import (
	"math"
	"math/rand/v2"

	"barrow/tin/internal/mesh"
)

// placeTable numbers distinct places in the order they come: a hash table with
// open addressing that holds numbers only, so that a million places take 8 MiB.
type placeTable struct {
	at   []mesh.XY
	slot []int32 // number + 1 of the place kept there, 0 if free
	mask uint64
	seed uint64 // drawn anew: no file can make its places collide, and no number depends on it
}

// newPlaceTable makes a table for at most n places.
func newPlaceTable(n int) *placeTable {
	size := 8
	for size < n+n/2 {
		size *= 2
	}
	return &placeTable{
		at:   make([]mesh.XY, 0, n),
		slot: make([]int32, size), mask: uint64(size - 1), seed: rand.Uint64(),
	}
}

// add returns the number of a place and whether it is new. -0 is 0.
func (t *placeTable) add(x, y float64) (place int32, added bool) {
	p := mesh.XY{X: x + 0, Y: y + 0}
	// Two odd multipliers and a fold: neighbouring whole numbers differ in the
	// high bits of their doubles only.
	h := t.seed ^ math.Float64bits(p.X)*0x9e3779b97f4a7c15 ^ math.Float64bits(p.Y)*0xc2b2ae3d27d4eb4f
	h ^= h >> 29
	h *= 0xbf58476d1ce4e5b9
	for i := (h ^ h>>32) & t.mask; ; i = (i + 1) & t.mask {
		k := t.slot[i]
		if k == 0 {
			t.at = append(t.at, p)
			t.slot[i] = int32(len(t.at))
			return int32(len(t.at) - 1), true
		}
		if t.at[k-1] == p {
			return k - 1, false
		}
	}
}
