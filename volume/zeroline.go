package volume

import (
	"math"

	"github.com/paulmach/orb"

	"barrow/tin"
)

// zeroLine gathers the pieces of the zero line and joins them.
type zeroLine struct {
	pieces [][2]corner
	seen   map[[4]float64]int // edges of zero depth: 1 cut beside it, 2 fill
}

// edges looks at the sides of a piece that is all cut (beside 1) or all fill
// (2): one of zero depth is zero line if the piece across it is the other.
func (z *zeroLine) edges(p []corner, beside int) {
	last := p[len(p)-1]
	for _, c := range p {
		if last.depth == 0 && c.depth == 0 {
			a, b := last, c
			if b.x < a.x || (b.x == a.x && b.y < a.y) {
				a, b = b, a
			}
			z.see([4]float64{a.x, a.y, b.x, b.y}, beside)
		}
		last = c
	}
}

// see notes what lies beside an edge of zero depth; 3, both, is one that has its
// piece of zero line already.
func (z *zeroLine) see(edge [4]float64, beside int) {
	if z.seen == nil {
		z.seen = make(map[[4]float64]int)
	}
	if before := z.seen[edge]; before|beside == 3 && before != 3 && beside != 3 {
		z.add(corner{x: edge[0], y: edge[1]}, corner{x: edge[2], y: edge[3]})
	}
	z.seen[edge] |= beside
}

func (z *zeroLine) add(a, b corner) {
	if a.x != b.x || a.y != b.y {
		z.pieces = append(z.pieces, [2]corner{a, b})
	}
}

// lines joins the pieces end to end into lines in metres. Ends within a
// micrometre are one: neighbouring pieces compute a shared end alike, but where
// two planes meet it may differ in the last bits.
func (z *zeroLine) lines(f tin.Frame) orb.MultiLineString {
	j := joiner{node: make([]int32, 0, 2*len(z.pieces)), used: make([]bool, len(z.pieces))}
	nodes := newNodes(1e-6/f.Length(), len(z.pieces))
	for _, p := range z.pieces {
		j.node = append(j.node, nodes.at(p[0]), nodes.at(p[1]))
	}
	j.link(len(nodes.place))
	var lines orb.MultiLineString
	// First the lines with ends, then what is left: closed ones.
	for _, odd := range []bool{true, false} {
		for n, ends := range j.ends {
			for odd == (ends%2 == 1) && j.leaves(int32(n)) {
				var line orb.LineString
				for _, k := range j.follow(int32(n)) {
					line = append(line, f.Metres(nodes.place[k][0], nodes.place[k][1]))
				}
				lines = append(lines, line)
			}
		}
	}
	return lines
}

// joiner joins pieces end to end. End 2i and end 2i+1 are those of piece i.
type joiner struct {
	node  []int32 // of each end
	next  []int32 // the next end at the same node, -1 for none
	first []int32 // the first end at each node that may be unused, -1 for none
	ends  []int32 // how many ends each node has
	used  []bool  // the pieces joined already
	line  []int32 // scratch
}

// link lists the ends at each of so many nodes, in ascending order.
func (j *joiner) link(nodes int) {
	j.next, j.first, j.ends = make([]int32, len(j.node)), make([]int32, nodes), make([]int32, nodes)
	for n := range j.first {
		j.first[n] = -1
	}
	for end := len(j.node) - 1; end >= 0; end-- {
		n := j.node[end]
		j.next[end], j.first[n] = j.first[n], int32(end)
		j.ends[n]++
	}
}

// leaves reports whether an unused piece leaves a node.
func (j *joiner) leaves(n int32) bool {
	for j.first[n] >= 0 && j.used[j.first[n]/2] {
		j.first[n] = j.next[j.first[n]]
	}
	return j.first[n] >= 0
}

// follow returns the nodes of a line that starts at one and goes on as long as an
// unused piece leaves, the first of several. They are valid until the next call.
func (j *joiner) follow(n int32) []int32 {
	j.line = append(j.line[:0], n)
	for j.leaves(n) {
		end := j.first[n]
		j.used[end/2] = true
		n = j.node[end^1]
		j.line = append(j.line, n)
	}
	return j.line
}

// nodes numbers places; those nearer than reach along both axes are one.
type nodes struct {
	reach float64
	place [][2]float64
	next  []int32            // the node before in the same cell, -1 for none
	cell  map[[2]int64]int32 // the last node in each cell that has one
}

// nodeCell is the width of a cell, in reaches: only near its rim is there another
// to look into.
const nodeCell = 16

func newNodes(reach float64, size int) nodes {
	return nodes{reach: reach, place: make([][2]float64, 0, size), next: make([]int32, 0, size), cell: make(map[[2]int64]int32, size)}
}

// at returns the number of the node at a corner, a new one if there is none near.
func (x *nodes) at(c corner) int32 {
	key := func(v float64) int64 { return int64(math.Floor(v / (nodeCell * x.reach))) }
	for i := key(c.x - x.reach); i <= key(c.x+x.reach); i++ {
		for k := key(c.y - x.reach); k <= key(c.y+x.reach); k++ {
			n, found := x.cell[[2]int64{i, k}]
			for ; found && n >= 0; n = x.next[n] {
				if math.Abs(x.place[n][0]-c.x) <= x.reach && math.Abs(x.place[n][1]-c.y) <= x.reach {
					return n
				}
			}
		}
	}
	n := int32(len(x.place))
	own := [2]int64{key(c.x), key(c.y)}
	before, found := x.cell[own]
	if !found {
		before = -1
	}
	x.cell[own] = n
	x.place, x.next = append(x.place, [2]float64{c.x, c.y}), append(x.next, before)
	return n
}
