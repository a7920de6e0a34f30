package formation

import (
	"cmp"
	"slices"

	"github.com/paulmach/orb"

	"barrow/tin"
)

// cracks finds the cells between polygons that are there by rounding only.
type cracks struct {
	cells []tin.Cell
	fine  float64                 // metres; what is narrower is a crack
	solid []bool                  // in a polygon, or a crack as far as is known
	at    map[[2]orb.Point]int    // the cell on the left of an edge
	sides map[int][3][2]orb.Point // of cells that may be cracks, the longest first
}

// withoutCracks returns for each cell whether it lies in one of the polygons or is
// a crack between them. The last polygon holds all cells and does not count.
//
// A cell may be a crack if it is narrower than fine. It is none if it is open
// where it is long: a needle along either of its long sides, a flat one along
// the longest.
func withoutCracks(cells []tin.Cell, fine float64) []bool {
	k := cracks{cells: cells, fine: fine, solid: make([]bool, len(cells)), at: make(map[[2]orb.Point]int), sides: make(map[int][3][2]orb.Point)}
	var narrow []int
	for i, c := range cells {
		k.solid[i] = len(c.In) > 1
		var sides [3][2]orb.Point
		for j, a := range c.Corner {
			sides[j] = [2]orb.Point{a, c.Corner[(j+1)%3]}
			k.at[sides[j]] = i
		}
		if !k.solid[i] && height(triangle(c)) < fine {
			slices.SortStableFunc(sides[:], func(s, t [2]orb.Point) int {
				return cmp.Compare(distance(t[0], t[1]), distance(s[0], s[1]))
			})
			k.solid[i], k.sides[i] = true, sides
			narrow = append(narrow, i)
		}
	}
	for len(narrow) > 0 {
		i := narrow[len(narrow)-1]
		narrow = narrow[:len(narrow)-1]
		if !k.solid[i] || !k.open(i) {
			continue
		}
		k.solid[i] = false
		for _, s := range k.sides[i] {
			if j, ok := k.across(s); ok && k.solid[j] && k.sides[j] != [3][2]orb.Point{} {
				narrow = append(narrow, j)
			}
		}
	}
	return k.solid
}

func (k *cracks) across(s [2]orb.Point) (cell int, ok bool) {
	cell, ok = k.at[[2]orb.Point{s[1], s[0]}]
	return cell, ok
}

// open reports whether a narrow cell is open along a side that must be closed.
func (k *cracks) open(i int) bool {
	s := k.sides[i]
	closed := 1
	if distance(s[2][0], s[2][1]) < k.fine {
		closed = 2
	}
	for _, side := range s[:closed] {
		if j, ok := k.across(side); distance(side[0], side[1]) >= k.fine && (!ok || !k.solid[j]) {
			return true
		}
	}
	return false
}
