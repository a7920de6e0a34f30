package formation

import (
	"cmp"
	"context"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"barrow/tin/formation/internal/boxtree"
)

// mosaic is convex parts of the plan that lie side by side, in local units. Their
// sides are led through each other's corners, so that what two parts share is the
// same stretches in both, once each way.
//
// The stretches round a part are a closed line, whatever was rounded to what. So what
// is left when stretches that go both ways cancel is closed lines too: the rim of all
// parts, or of those of a group.
type mosaic struct {
	place     []orb.Point  // of each node
	stretches []rimStretch // the rims of all groups
}

// rimStretch is a piece of a side that no part of the same group lies beside: from a
// node to a node, what it bounds on its left.
type rimStretch struct {
	from, to   int32
	group      int32
	part, side int32
	t0, t1     float64 // where on the side, 0 at its start and 1 at its end
}

// newMosaic finds the rim of each group of parts, anticlockwise polygons; corners
// within near along both axes are one, and so is a corner within near of a side with
// a place on it. If ctx ends its error is returned.
func newMosaic(ctx context.Context, parts [][]orb.Point, group []int32, near float64) (*mosaic, error) {
	n := newNodes(parts, near)
	m := &mosaic{place: n.place, stretches: make([]rimStretch, 0, len(n.of)*2)}
	for k, part := range parts {
		for i, p := range part {
			a, b := n.of[p], n.of[part[(i+1)%len(part)]]
			if a != b {
				m.stretches = append(m.stretches, rimStretch{from: a, to: b, group: group[k], part: int32(k), side: int32(i), t1: 1})
			}
		}
	}
	for _, step := range []func(){m.cancel, func() { m.split(near) }, m.cancel} {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		step()
	}
	return m, nil
}

// cancel leaves out stretches that go both ways within a group, and sorts what is
// left by group and ends.
func (m *mosaic) cancel() {
	slices.SortFunc(m.stretches, func(s, t rimStretch) int {
		if s.along(t) {
			return cmp.Or(cmp.Compare(s.from, t.from), cmp.Compare(s.part, t.part), cmp.Compare(s.side, t.side), cmp.Compare(s.t0, t.t0))
		}
		if s.group != t.group {
			return cmp.Compare(s.group, t.group)
		}
		return cmp.Compare(s.ends(), t.ends())
	})
	left := m.stretches[:0]
	for rest := m.stretches; len(rest) > 0; {
		n, up := 0, 0 // up: from the lesser node to the greater; these come first
		for ; n < len(rest) && rest[n].along(rest[0]); n++ {
			if rest[n].from < rest[n].to {
				up++
			}
		}
		both := min(up, n-up)
		left = append(append(left, rest[both:up]...), rest[up+both:n]...)
		rest = rest[n:]
	}
	m.stretches = left
}

// ends is a number for the two nodes that a stretch is between, whichever way it goes.
func (s rimStretch) ends() int64 { return int64(min(s.from, s.to))<<32 | int64(max(s.from, s.to)) }

// along reports whether two stretches are of one group and between the same nodes.
func (s rimStretch) along(t rimStretch) bool { return s.group == t.group && s.ends() == t.ends() }

// split parts the stretches at the nodes of others that lie on them.
func (m *mosaic) split(near float64) {
	var ends []int32
	for _, s := range m.stretches {
		ends = append(ends, s.from, s.to)
	}
	slices.Sort(ends)
	ends = slices.Compact(ends)
	boxes := make([]orb.Bound, len(ends))
	for i, n := range ends {
		boxes[i] = orb.Bound{Min: m.place[n], Max: m.place[n]}
	}
	tree := boxtree.New(boxes)
	var out []rimStretch
	for _, s := range m.stretches {
		out = append(out, s.through(m.on(s, ends, tree, near))...)
	}
	m.stretches = out
}

// stop is a node on a stretch, and where.
type stop struct {
	node int32
	t    float64
}

// on returns the nodes on a stretch between its ends, in their order along it.
func (m *mosaic) on(s rimStretch, ends []int32, tree *boxtree.Tree, near float64) (stops []stop) {
	a, b := m.place[s.from], m.place[s.to]
	u, length := unit(a, b), distance(a, b)
	tree.Meeting(orb.MultiPoint{a, b}.Bound().Pad(near), func(i int) {
		n := ends[i]
		if n == s.from || n == s.to {
			return
		}
		x, y := m.place[n][0]-a[0], m.place[n][1]-a[1]
		far := float64(x*u[0]) + float64(y*u[1])
		off := float64(x*u[1]) - float64(y*u[0])
		if math.Abs(off) <= near && far > 0 && far < length {
			stops = append(stops, stop{n, far / length})
		}
	})
	slices.SortFunc(stops, func(p, q stop) int { return cmp.Or(cmp.Compare(p.t, q.t), cmp.Compare(p.node, q.node)) })
	return stops
}

// through parts a stretch at its stops.
func (s rimStretch) through(stops []stop) (out []rimStretch) {
	width := s.t1 - s.t0
	for _, p := range stops {
		first := s
		first.to, first.t1 = p.node, s.t1-float64(width*(1-p.t))
		s.from, s.t0 = first.to, first.t1
		out = append(out, first)
	}
	return append(out, s)
}

// rings chains the stretches of a group into rings in local units, none of which
// comes to a node twice; those no wider than rounding are left out.
func (m *mosaic) rings(group []rimStretch, near float64) (out [][]rimStretch) {
	next := make(map[orb.Point][]orb.Point)
	at := make(map[[2]orb.Point]rimStretch)
	for _, s := range group {
		a, b := m.place[s.from], m.place[s.to]
		next[a] = append(next[a], b)
		at[[2]orb.Point{a, b}] = s
	}
	for _, s := range group {
		for _, ring := range walk(next, m.place[s.from]) {
			if ringWidth(ring) < 2*near {
				continue
			}
			ring = fromLeast(ring)
			sides := make([]rimStretch, len(ring))
			for i, p := range ring {
				sides[i] = at[[2]orb.Point{p, ring[(i+1)%len(ring)]}]
			}
			out = append(out, sides)
		}
	}
	slices.SortFunc(out, func(r, s []rimStretch) int { return comparePoints(m.place[r[0].from], m.place[s[0].from]) })
	return out
}

// fromLeast returns a ring from its least corner on.
func fromLeast(ring []orb.Point) []orb.Point {
	first := 0
	for i, p := range ring {
		if comparePoints(p, ring[first]) < 0 {
			first = i
		}
	}
	return append(slices.Clone(ring[first:]), ring[:first]...)
}

// ringWidth returns about how wide what a ring encloses is.
func ringWidth(ring []orb.Point) float64 {
	length := 0.0
	for i, p := range ring {
		length += distance(p, ring[(i+1)%len(ring)])
	}
	return math.Abs(ringArea2(ring)) / length
}

// ringArea2 returns twice the signed area within, positive if anticlockwise.
func ringArea2(ring []orb.Point) (sum float64) {
	for i := 2; i < len(ring); i++ {
		sum += cross(ring[0], ring[i-1], ring[i])
	}
	return sum
}

// nodes numbers the corners of parts by (x, y).
type nodes struct {
	place []orb.Point
	of    map[orb.Point]int32 // each corner's node
}

// nodeCell is the width of a cell, in reaches.
const nodeCell = 16

func newNodes(parts [][]orb.Point, near float64) *nodes {
	var corners []orb.Point
	for _, p := range parts {
		corners = append(corners, p...)
	}
	slices.SortFunc(corners, comparePoints)
	corners = slices.Compact(corners)
	n := &nodes{of: make(map[orb.Point]int32, len(corners))}
	cells := make(map[[2]int64][]int32, len(corners))
	for _, p := range corners {
		n.of[p] = n.at(p, near, cells)
	}
	return n
}

// at returns the node of a corner: one near it, or a new one.
func (n *nodes) at(p orb.Point, near float64, cells map[[2]int64][]int32) int32 {
	key := func(v float64) int64 { return int64(math.Floor(v / (nodeCell * near))) }
	for i := key(p[0] - near); i <= key(p[0]+near); i++ {
		for j := key(p[1] - near); j <= key(p[1]+near); j++ {
			for _, k := range cells[[2]int64{i, j}] {
				if q := n.place[k]; math.Abs(q[0]-p[0]) <= near && math.Abs(q[1]-p[1]) <= near {
					return k
				}
			}
		}
	}
	k := int32(len(n.place))
	n.place = append(n.place, p)
	own := [2]int64{key(p[0]), key(p[1])}
	cells[own] = append(cells[own], k)
	return k
}
