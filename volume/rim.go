package volume

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"barrow/tin"
)

// rim is the sides of polygons that lie side by side, in local units: those that two
// polygons share are gone.
type rim struct{ sides map[rimSide]int }

// welder makes one place of places that differ by no more than the rounding of levels:
// where faces meet, each passes a depth at a place of its own. What it makes of a place
// hangs on those before it.
type welder struct {
	near float64 // apart at most, in easting and in northing
	at   map[[2]int64][2]float64
}

// weldNear is how near places count as one, metres: far less than can be drawn.
const weldNear = 1e-6

func newWelder(f tin.Frame) welder {
	return welder{weldNear / f.Length(), map[[2]int64][2]float64{}}
}

func (w *welder) place(x, y float64) [2]float64 {
	cx, cy := int64(math.Floor(x/w.near)), int64(math.Floor(y/w.near))
	for i := cx - 1; i <= cx+1; i++ {
		for k := cy - 1; k <= cy+1; k++ {
			if p, ok := w.at[[2]int64{i, k}]; ok && math.Abs(p[0]-x) <= w.near && math.Abs(p[1]-y) <= w.near {
				return p
			}
		}
	}
	p := [2]float64{x, y}
	w.at[[2]int64{cx, cy}] = p
	return p
}

// rimSide is a side with its polygon on its left.
type rimSide struct{ from, to [2]float64 }

func (r *rim) add(from, to [2]float64) {
	if from == to {
		return
	}
	if r.sides == nil {
		r.sides = map[rimSide]int{}
	}
	back := rimSide{to, from}
	switch n := r.sides[back]; n {
	case 0:
		r.sides[rimSide{from, to}]++
	case 1:
		delete(r.sides, back)
	default:
		r.sides[back] = n - 1
	}
}

// rings joins the sides to closed rings: as many sides come to each place as leave it. A
// ring ends at the first place that it comes to again, so none meets itself.
func (r *rim) rings(f tin.Frame) (out []orb.Ring) {
	var list []rimSide
	for s, n := range r.sides {
		for range n {
			list = append(list, s)
		}
	}
	slices.SortFunc(list, func(a, b rimSide) int {
		return cmp.Or(slices.Compare(a.from[:], b.from[:]), slices.Compare(a.to[:], b.to[:]))
	})
	next := map[[2]float64]int{} // the first side that leaves a place and is not gone yet
	for i := len(list) - 1; i >= 0; i-- {
		next[list[i].from] = i
	}
	leaves := func(at [2]float64) bool { k := next[at]; return k < len(list) && list[k].from == at }
	on := map[[2]float64]int{} // where path is at a place
	for _, s := range list {
		var path [][2]float64
		for at := s.from; leaves(at); {
			on[at] = len(path)
			path = append(path, at)
			next[at]++
			at = list[next[at]-1].to
			if k, met := on[at]; met {
				out = append(out, ringOf(f, path[k:]))
				for _, p := range path[k:] {
					delete(on, p)
				}
				path = path[:k]
			}
		}
	}
	return out
}

func ringOf(f tin.Frame, path [][2]float64) orb.Ring {
	ring := make(orb.Ring, 0, len(path)+1)
	for _, p := range path {
		ring = append(ring, f.Metres(p[0], p[1]))
	}
	return append(ring, ring[0])
}
