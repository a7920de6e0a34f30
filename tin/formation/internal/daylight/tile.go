package daylight

import (
	"math"

	"github.com/paulmach/orb"

	"barrow/tin"
	"barrow/tin/formation/internal/boxtree"
)

// cut is a side of an outline, of the ground's boundary or a void, or of an area of
// topsoil.
type cut struct {
	line
	ax, ay, bx, by float64
}

// shape is polygons given by cuts from first to before end, a place in them if an odd
// number of rings go round it.
type shape struct{ first, end int }

// plan holds the cuts that part the ground in plan, and what they mean.
type plan struct {
	cuts     []cut
	tree     *boxtree.Tree
	pads     []shape // formation outlines
	boundary []shape
	voids    []shape
	topsoil  []area
	depth    float64 // of topsoil outside the areas
	limits   int     // the cuts below it are of boundary and voids
}

func (p *plan) isLimit(cut int) bool { return cut < p.limits }

func (p *plan) limited() bool { return p.limits > 0 }

type area struct {
	shape
	depth float64
}

func (p *plan) add(poly orb.Polygon) shape {
	s := shape{first: len(p.cuts)}
	for _, ring := range poly {
		for i, a := range ring {
			b := ring[(i+1)%len(ring)]
			if a == b {
				continue
			}
			p.cuts = append(p.cuts, cut{through(a[0], a[1], b[0], b[1]), a[0], a[1], b[0], b[1]})
		}
	}
	s.end = len(p.cuts)
	return s
}

func (p *plan) index() {
	boxes := make([]orb.Bound, len(p.cuts))
	for i, c := range p.cuts {
		boxes[i] = orb.MultiPoint{{c.ax, c.ay}, {c.bx, c.by}}.Bound()
	}
	p.tree = boxtree.New(boxes)
}

// crossed returns, for each cut east of a place that its parallel crosses, its number.
func (p *plan) crossed(x, y float64, east []int) []int {
	p.tree.Meeting(orb.Bound{Min: orb.Point{x, y}, Max: orb.Point{math.Inf(1), y}}, func(i int) {
		c := &p.cuts[i]
		if (c.ay > y) == (c.by > y) {
			return
		}
		left := float64((c.bx-c.ax)*(y-c.ay)) - float64((c.by-c.ay)*(x-c.ax))
		if (left > 0) == (c.by > c.ay) {
			east = append(east, i)
		}
	})
	return east
}

// holds reports whether the place that these cuts are east of lies in a shape.
func (s shape) holds(east []int) bool {
	in := false
	for _, i := range east {
		if i >= s.first && i < s.end {
			in = !in
		}
	}
	return in
}

// leaf is a part of a triangle, convex, that no cut crosses.
type leaf struct {
	polygon
	lines   []line // of the cuts that bound it
	pads    []bool // whose formation outline it lies in; nil: none
	outside bool   // without ground
	topsoil float64
	beside  [][]int         // see flood.beside
	nodes   []int32         // of the floods so far
	faces   map[int32]int32 // the node of each face, see sheet.key
}

// tile is one triangle of the ground, cut.
type tile struct {
	t        int
	triangle [3]tin.PieceCorner
	edge     [3]line // its sides
	leaves   []leaf
}

// tile returns a triangle cut by all cuts that cross it.
func (p *plan) tile(ground *tin.Surface, t int, slack float64) *tile {
	v := ground.Corners(t)
	out := &tile{t: t, triangle: v, edge: sidesOf(v)}
	var whole polygon
	for i, c := range v {
		whole = append(whole, side{corner{c.X, c.Y, c.Level}, Edge0 - Label(i)})
	}
	out.leaves = []leaf{{polygon: whole}}
	p.tree.Meeting(whole.bound(), func(i int) {
		for k := range out.leaves {
			if more, ok := p.cuts[i].part(&out.leaves[k], out.edge[:], Label(i), slack); ok {
				out.leaves = append(out.leaves, more)
			}
		}
	})
	for k := range out.leaves {
		p.classify(&out.leaves[k])
	}
	return out
}

// sidesOf returns the lines of a triangle's sides.
func sidesOf(v [3]tin.PieceCorner) (side [3]line) {
	for i, c := range v {
		d := v[(i+1)%3]
		side[i] = through(c.X, c.Y, d.X, d.Y)
	}
	return side
}

// part cuts a leaf of a triangle with these sides by the line of a cut if the cut
// itself passes through it, and returns the part beyond. The leaf is bounded by lines,
// not by the sides of its polygon, which may be no longer than a rounding.
func (c *cut) part(l *leaf, edges []line, label Label, slack float64) (beyond leaf, ok bool) {
	var room, turned some
	value := l.values(room[:0], func(p corner) float64 { return c.distance(p.x, p.y) })
	if within, without := beyondSlack(value, slack); !within || !without {
		return leaf{}, false
	}
	s := span{0, 1}
	for _, lines := range [][]line{edges, l.lines} {
		for i := range lines {
			s.clip(lines[i].distance(c.ax, c.ay), lines[i].distance(c.bx, c.by), -slack)
		}
	}
	if !(s.lo < s.hi) {
		return leaf{}, false
	}
	beyond = leaf{polygon: l.keep(negated(turned[:0], value), label)}
	beyond.lines = append(append(beyond.lines, l.lines...), line{c.x, c.y, -c.nx, -c.ny})
	l.polygon = l.keep(value, label)
	l.lines = append(l.lines, c.line)
	return beyond, true
}

func (p *plan) classify(l *leaf) {
	m := l.centre()
	east := p.crossed(m.x, m.y, nil)
	l.topsoil = p.depth
	l.outside = len(p.boundary) > 0
	for _, s := range p.boundary {
		if s.holds(east) {
			l.outside = false
		}
	}
	for _, s := range p.voids {
		l.outside = l.outside || s.holds(east)
	}
	for i, s := range p.pads {
		if s.holds(east) {
			if l.pads == nil {
				l.pads = make([]bool, len(p.pads))
			}
			l.pads[i] = true
		}
	}
	for _, a := range p.topsoil {
		if a.holds(east) {
			l.topsoil = a.depth
		}
	}
	if l.topsoil != 0 {
		for i := range l.polygon {
			l.polygon[i].z -= l.topsoil
		}
	}
}
