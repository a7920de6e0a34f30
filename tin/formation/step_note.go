package formation

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"barrow/tin"
	"barrow/tin/formation/internal/boxtree"
)

// leastStep is the least difference in level that is called a step, metres.
const leastStep = 0.0005

// rimEdge is an edge of a facet where the pad that rules inside outlines changes.
type rimEdge struct {
	side
	pad   int
	plane tin.Plane
}

// rimEdges gathers the edges of facets, but for those between two of one pad.
type rimEdges struct {
	edges []rimEdge
	times map[ruledEdge]int
}

type ruledEdge struct {
	a, b orb.Point
	pad  int
}

func (e rimEdge) key() ruledEdge { return ruledEdge{e.a, e.b, e.pad} }

func (r *rimEdges) add(pad int, f tin.Facet) {
	if r.times == nil {
		r.times = make(map[ruledEdge]int)
	}
	for i, a := range f.Cell.Corner {
		e := rimEdge{side: side{a: a, b: f.Cell.Corner[(i+1)%3]}, pad: pad, plane: f.Plane}
		if comparePoints(e.b, e.a) < 0 {
			e.a, e.b = e.b, e.a
		}
		r.times[e.key()]++
		r.edges = append(r.edges, e)
	}
}

func (r *rimEdges) left() (out []rimEdge) {
	for _, e := range r.edges {
		if r.times[e.key()] == 1 {
			out = append(out, e)
		}
	}
	return out
}

// padStep is the greatest step between two pads.
type padStep struct {
	height float64 // of the first above the second, metres
	at     orb.Point
}

// stepNotes returns a note for each two pads that meet at different levels.
func stepNotes(edges []rimEdge, pads []Pad, opts Options) (notes []tin.Problem) {
	boxes := make([]orb.Bound, len(edges))
	for i, e := range edges {
		boxes[i] = orb.MultiPoint{e.a, e.b}.Bound()
	}
	tree := boxtree.New(boxes)
	steps := make(map[[2]int]padStep)
	for i, e := range edges {
		tree.Meeting(boxes[i].Pad(snap), func(k int) {
			if f := edges[k]; e.pad < f.pad {
				e.stepTo(f, steps)
			}
		})
	}
	for _, pair := range slices.SortedFunc(maps.Keys(steps), func(a, b [2]int) int {
		return cmp.Or(cmp.Compare(a[0], b[0]), cmp.Compare(a[1], b[1]))
	}) {
		s := steps[pair]
		high, low := pair[0], pair[1]
		if s.height < 0 {
			high, low = low, high
		}
		notes = append(notes, tin.Problem{Code: CodePadsStep, At: &s.at, Message: fmt.Sprintf(
			"%s is up to %s above %s where they meet, most at %s",
			named(pads[high], high).label(), opts.length("%.3f", math.Abs(s.height)), named(pads[low], low).label(), opts.place(s.at[0], s.at[1]))})
	}
	return notes
}

// stepTo takes the steps at the ends of the stretch where two edges meet, if they
// are the greatest; of equal ones that at the least place.
func (e rimEdge) stepTo(f rimEdge, steps map[[2]int]padStep) {
	a, b, ok := shared(e.side, f.side)
	if !ok {
		return
	}
	pair := [2]int{e.pad, f.pad}
	for _, p := range []orb.Point{a, b} {
		height := e.plane.LevelAt(p[0], p[1]) - f.plane.LevelAt(p[0], p[1])
		known, found := steps[pair]
		over := math.Abs(height) - math.Abs(known.height)
		if math.Abs(height) < leastStep || found && (over < 0 || over == 0 && comparePoints(p, known.at) >= 0) {
			continue
		}
		steps[pair] = padStep{height, p}
	}
}
