package volume

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"barrow/tin"
)

// welder numbers places, and makes one of those that differ by no more than the rounding of
// levels: where faces meet, each passes a depth at a place of its own. What it makes of a
// place hangs on those before it.
type welder struct {
	near  float64 // apart at most, in easting and in northing
	at    [][2]float64
	next  []int32            // the place before in the same cell, or -1
	cells map[[2]int64]int32 // the last place in each cell
}

// weldNear is how near places count as one, metres: far less than can be drawn.
const weldNear = 1e-6

// weldCell is the side of a cell to weldNear, so large that places are seldom near its rim.
const weldCell = 16

func newWelder(f tin.Frame) welder {
	return welder{near: weldNear / f.Length(), cells: map[[2]int64]int32{}}
}

// place returns the number of a place.
func (w *welder) place(x, y float64) int32 {
	side := weldCell * w.near
	cell := func(x, y float64) [2]int64 { return [2]int64{int64(math.Floor(x / side)), int64(math.Floor(y / side))} }
	own := cell(x, y)
	if k := w.in(own, x, y); k >= 0 {
		return k
	}
	low, high := cell(x-w.near, y-w.near), cell(x+w.near, y+w.near)
	for i := low[0]; i <= high[0]; i++ {
		for j := low[1]; j <= high[1]; j++ {
			if k := w.in([2]int64{i, j}, x, y); k >= 0 {
				return k
			}
		}
	}
	before, ok := w.cells[own]
	if !ok {
		before = -1
	}
	k := int32(len(w.at))
	w.at, w.next = append(w.at, [2]float64{x, y}), append(w.next, before)
	w.cells[own] = k
	return k
}

// in returns the place of a cell that counts as one with another, or -1.
func (w *welder) in(cell [2]int64, x, y float64) int32 {
	k, ok := w.cells[cell]
	if !ok {
		return -1
	}
	for ; k >= 0; k = w.next[k] {
		if p := w.at[k]; math.Abs(p[0]-x) <= w.near && math.Abs(p[1]-y) <= w.near {
			return k
		}
	}
	return -1
}

// rim is the sides of polygons that lie side by side, by the numbers of their ends and with
// the polygon on their left: those that two polygons share are gone.
type rim struct{ sides map[[2]int32]int }

func (r *rim) add(from, to int32) {
	if from == to {
		return
	}
	if r.sides == nil {
		r.sides = map[[2]int32]int{}
	}
	back := [2]int32{to, from}
	switch n := r.sides[back]; n {
	case 0:
		r.sides[[2]int32{from, to}]++
	case 1:
		delete(r.sides, back)
	default:
		r.sides[back] = n - 1
	}
}

// rings joins the sides to closed rings: as many sides come to each place as leave it. A
// ring ends at the first place that it comes to again, so none meets itself.
func (r *rim) rings(f tin.Frame, at [][2]float64) (out []orb.Ring) {
	var list [][2]int32
	for s, n := range r.sides {
		for range n {
			list = append(list, s)
		}
	}
	slices.SortFunc(list, func(a, b [2]int32) int {
		return cmp.Or(comparePlaces(at[a[0]], at[b[0]]), comparePlaces(at[a[1]], at[b[1]]))
	})
	next := map[int32]int{} // the first side that leaves a place and is not gone yet
	for i := len(list) - 1; i >= 0; i-- {
		next[list[i][0]] = i
	}
	leaves := func(p int32) bool { k := next[p]; return k < len(list) && list[k][0] == p }
	on := map[int32]int{} // where path is at a place
	for _, s := range list {
		var path []int32
		for p := s[0]; leaves(p); {
			on[p] = len(path)
			path = append(path, p)
			next[p]++
			p = list[next[p]-1][1]
			if k, met := on[p]; met {
				out = append(out, ringOf(f, at, path[k:]))
				for _, q := range path[k:] {
					delete(on, q)
				}
				path = path[:k]
			}
		}
	}
	return out
}

func comparePlaces(a, b [2]float64) int {
	return cmp.Or(cmp.Compare(a[0], b[0]), cmp.Compare(a[1], b[1]))
}

func ringOf(f tin.Frame, at [][2]float64, path []int32) orb.Ring {
	ring := make(orb.Ring, 0, len(path)+1)
	for _, k := range path {
		ring = append(ring, f.Metres(at[k][0], at[k][1]))
	}
	return append(ring, ring[0])
}
