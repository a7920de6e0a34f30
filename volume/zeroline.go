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
	ends := endIndex{cell: 1e-6 / f.Length(), at: make(map[[2]int64][]int)}
	type link struct{ piece, node int } // node is at the piece's other end
	var links [][]link
	nodes := make([][2]int, len(z.pieces))
	for i, p := range z.pieces {
		for k, c := range p {
			n := ends.node(c)
			if n == len(links) {
				links = append(links, nil)
			}
			nodes[i][k] = n
		}
	}
	for i, n := range nodes {
		links[n[0]] = append(links[n[0]], link{i, n[1]})
		links[n[1]] = append(links[n[1]], link{i, n[0]})
	}
	used := make([]bool, len(z.pieces))
	follow := func(n int) orb.LineString {
		line := orb.LineString{f.Metres(ends.place[n][0], ends.place[n][1])}
		for {
			next := -1
			for _, l := range links[n] {
				if !used[l.piece] {
					used[l.piece] = true
					next = l.node
					break
				}
			}
			if next < 0 {
				return line
			}
			n = next
			line = append(line, f.Metres(ends.place[n][0], ends.place[n][1]))
		}
	}
	var lines orb.MultiLineString
	// First the lines with ends, then what is left: closed ones.
	for _, odd := range []bool{true, false} {
		for n := range links {
			for odd == (len(links[n])%2 == 1) {
				line := follow(n)
				if len(line) < 2 {
					break
				}
				lines = append(lines, line)
			}
		}
	}
	return lines
}

// endIndex finds ends by place.
type endIndex struct {
	cell  float64
	at    map[[2]int64][]int
	place [][2]float64
}

// node returns the number of the end at c, a new one if there is none near.
func (x *endIndex) node(c corner) int {
	kx, ky := int64(math.Floor(c.x/x.cell)), int64(math.Floor(c.y/x.cell))
	for i := kx - 1; i <= kx+1; i++ {
		for j := ky - 1; j <= ky+1; j++ {
			for _, n := range x.at[[2]int64{i, j}] {
				if math.Abs(x.place[n][0]-c.x) <= x.cell && math.Abs(x.place[n][1]-c.y) <= x.cell {
					return n
				}
			}
		}
	}
	n := len(x.place)
	x.at[[2]int64{kx, ky}] = append(x.at[[2]int64{kx, ky}], n)
	x.place = append(x.place, [2]float64{c.x, c.y})
	return n
}
