package takeoff

import (
	"container/heap"
	"context"
	"math"

	"github.com/paulmach/orb"

	"barrow/tin"
)

// The search for the greatest gap ends when nothing can be greater by more than
// a hundredth, or a millimetre, or after so many trials.
const (
	gapShare   = 0.01
	gapLeast   = 0.001 // metres
	gapTrials  = 20_000
	gapContext = 4096 // trials between looks at the context
	gapDive    = 256  // trials between dives
)

// maxGap returns the greatest distance from a place of the works to the
// nearest vertex of the ground, metres.
//
// The distance to the nearest vertex changes by no more than the way one goes.
// So over a triangle it is at most that at a place in it, and the way from
// there to the farthest corner. The triangle with the greatest such bound is
// halved until no bound is above the greatest distance found. Over very many
// spots that would be everywhere at once, so now and then one triangle is
// halved right down to find what it holds.
func (w *works) maxGap(ctx context.Context, ground *tin.Surface) float64 {
	near := w.verticesNear(ground)
	if near == nil || len(w.facets) == 0 {
		return 0
	}
	greatest := 0.0
	var open gapHeap
	trial := func(c [3]orb.Point) gapPiece {
		middle := orb.Point{(c[0][0] + c[1][0] + c[2][0]) / 3, (c[0][1] + c[1][1] + c[2][1]) / 3}
		d := near.distance(middle)
		greatest = max(greatest, d)
		reach := 0.0
		for _, p := range c {
			reach = max(reach, math.Hypot(p[0]-middle[0], p[1]-middle[1]))
		}
		return gapPiece{corner: c, bound: d + reach}
	}
	done := func(bound float64) bool { return bound <= greatest+max(greatest*gapShare, gapLeast) }
	for _, f := range w.facets {
		var c [3]orb.Point
		for i, p := range f.Cell.Corner {
			c[i] = orb.Point{p[0] - w.box.Min[0], p[1] - w.box.Min[1]}
			greatest = max(greatest, near.distance(c[i]))
		}
		open = append(open, trial(c))
	}
	heap.Init(&open)
	for n := 0; n < gapTrials && len(open) > 0 && !done(open[0].bound); n++ {
		if n%gapContext == 0 && ctx.Err() != nil {
			return greatest
		}
		if n%gapDive == 0 {
			for piece, end := open[0], n+100; !done(piece.bound) && n < end; n++ {
				half := halves(piece.corner)
				a, b := trial(half[0]), trial(half[1])
				if piece = a; b.bound > a.bound {
					piece = b
				}
			}
		}
		piece := heap.Pop(&open).(gapPiece)
		for _, half := range halves(piece.corner) {
			if p := trial(half); !done(p.bound) {
				heap.Push(&open, p)
			}
		}
	}
	return greatest
}

// halves splits a triangle at the middle of its longest side.
func halves(c [3]orb.Point) [2][3]orb.Point {
	longest, k := -1.0, 0
	for i := range 3 {
		if d := math.Hypot(c[(i+1)%3][0]-c[i][0], c[(i+1)%3][1]-c[i][1]); d > longest {
			longest, k = d, i
		}
	}
	a, b, o := c[k], c[(k+1)%3], c[(k+2)%3]
	m := orb.Point{(a[0] + b[0]) / 2, (a[1] + b[1]) / 2}
	return [2][3]orb.Point{{a, m, o}, {m, b, o}}
}

// gapPiece is a triangle of the works with a bound of the gaps in it.
type gapPiece struct {
	corner [3]orb.Point
	bound  float64
}

// gapHeap has the greatest bound first.
type gapHeap []gapPiece

func (h gapHeap) Len() int           { return len(h) }
func (h gapHeap) Less(i, j int) bool { return h[i].bound > h[j].bound }
func (h gapHeap) Swap(i, j int)      { h[i], h[j] = h[j], h[i] }
func (h *gapHeap) Push(x any)        { *h = append(*h, x.(gapPiece)) }
func (h *gapHeap) Pop() any {
	old := *h
	last := old[len(old)-1]
	*h = old[:len(old)-1]
	return last
}

// verticesNear returns the ground's vertices that can be nearest to a place of
// the works, from the corner of the works' box; nil if there are none. None is
// left out that is nearer to some place than another: a vertex at distance d
// from the middle of the box is at most d and half its diagonal from any place
// of it.
func (w *works) verticesNear(ground *tin.Surface) *placeTree {
	if len(w.facets) == 0 {
		return nil
	}
	middle := w.box.Center()
	half := math.Hypot(w.box.Max[0]-w.box.Min[0], w.box.Max[1]-w.box.Min[1]) / 2
	nearest := math.Inf(1)
	for _, v := range ground.Vertices() {
		nearest = min(nearest, math.Hypot(v.E-middle[0], v.N-middle[1]))
	}
	reach := (nearest + half) * (1 + 1e-9)
	box := w.box.Pad(reach)
	var places []orb.Point
	for _, v := range ground.Vertices() {
		if p := (orb.Point{v.E, v.N}); box.Contains(p) {
			places = append(places, orb.Point{v.E - w.box.Min[0], v.N - w.box.Min[1]})
		}
	}
	if len(places) == 0 {
		return nil
	}
	return newPlaceTree(places)
}
