package uncertainty

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"barrow/tin"
	"barrow/volume"
)

// element is the works in one triangle of the ground as a measure: points that carry
// their area, and the triangle's corners with what the mesh takes of it away from them.
// Planes integrate to nothing.
type element struct {
	triangle int
	area     float64   // m2
	centre   orb.Point // metres from the ground's local origin
	points   []point
	atoms    []atom // of the points, then of the corners
}

// point is a small part of the works.
type point struct {
	at     orb.Point
	area   float64
	depth  float64
	batter bool
	share  [3]float64 // of the triangle's corners in the level there
	self   float64    // metres: about how far apart two places in it are
}

const (
	// pointsOfWorks is about how many points carry the area of small works.
	pointsOfWorks = 600
	// within is the mean distance of two places in a triangle of area 1, about:
	// sqrt(mean square) is 0.62, mean 0.55 of an equilateral one.
	within = 0.55
)

// gathered is a point being gathered: area, and its moments.
type gathered struct{ area, x, y, depth float64 }

// where is where the area of a point lies: parts of one triangle near one another are
// one point.
type where struct {
	triangle int
	batter   bool
	i, j     int64
}

func (a where) compare(b where) int {
	return cmp.Or(cmp.Compare(a.triangle, b.triangle), cmp.Compare(count(a.batter), count(b.batter)), cmp.Compare(a.i, b.i), cmp.Compare(a.j, b.j))
}

// elementsOf turns patches into elements, by triangle; size is how wide the area of a
// point may be, metres. Their atoms are left to weigh.
func elementsOf(ground *tin.Surface, patches []volume.Patch, size float64) (out []element) {
	length := ground.Frame().Length()
	points := make(map[where]*gathered)
	var order []where
	for i := range patches {
		p := &patches[i]
		for t := range parts(p, length) {
			t.split(size, func(area float64, at orb.Point, depth float64) {
				key := where{p.Triangle, p.Batter, int64(math.Floor(at[0] / size)), int64(math.Floor(at[1] / size))}
				g := points[key]
				if g == nil {
					g = &gathered{}
					points[key] = g
					order = append(order, key)
				}
				g.area += area
				g.x += float64(area * at[0])
				g.y += float64(area * at[1])
				g.depth += float64(area * depth)
			})
		}
	}
	slices.SortFunc(order, where.compare)
	for len(order) > 0 {
		n := 1
		for n < len(order) && order[n].triangle == order[0].triangle {
			n++
		}
		out = append(out, newElement(ground, order[:n], points, length))
		order = order[n:]
	}
	return out
}

func newElement(ground *tin.Surface, keys []where, points map[where]*gathered, length float64) element {
	e := element{triangle: keys[0].triangle}
	_, corner := ground.LocalTriangle(e.triangle)
	for _, key := range keys {
		g := points[key]
		p := point{at: orb.Point{g.x / g.area, g.y / g.area}, area: g.area, depth: g.depth / g.area, batter: key.batter, self: within * math.Sqrt(g.area)}
		p.share = volume.Shares(&corner, p.at[0]/length, p.at[1]/length)
		e.points = append(e.points, p)
		e.area += g.area
		e.centre[0] += g.x
		e.centre[1] += g.y
	}
	e.centre[0], e.centre[1] = e.centre[0]/e.area, e.centre[1]/e.area
	return e
}

// weigh makes the atoms: of each point its area, as much for the cut and the rest for
// the fill as its depth is likely to be above 0 and below, given the variance of its
// level; in batters, which end at the ground, all of it. Where the ground is higher
// there is more cut and less fill.
func (e *element) weigh(ground *tin.Surface, variance func(*element, *point) float64) {
	_, corner := ground.LocalTriangle(e.triangle)
	length := ground.Frame().Length()
	var taken [3][2]float64
	for i := range e.points {
		p := &e.points[i]
		cut := 1.0
		if deviation := math.Sqrt(variance(e, p)); p.batter || !(deviation > 0) {
			cut = float64(count(p.depth > 0))
		} else {
			cut = likely(p.depth / deviation)
		}
		w := [2]float64{p.area * cut, -p.area * (1 - cut)}
		e.atoms = append(e.atoms, atom{p.at[0], p.at[1], w})
		for k, h := range p.share {
			taken[k][0] += float64(h * w[0])
			taken[k][1] += float64(h * w[1])
		}
	}
	for k, w := range taken {
		e.atoms = append(e.atoms, atom{corner[k].X * length, corner[k].Y * length, [2]float64{-w[0], -w[1]}})
	}
}

// likely is the normal distribution function.
func likely(x float64) float64 { return math.Erfc(-x/math.Sqrt2) / 2 }

// part is a triangle of a patch: places in metres, and depths.
type part struct {
	at    [3]orb.Point
	depth [3]float64
	area  float64
}

// parts cuts a patch into triangles; those of no area are left out.
func parts(p *volume.Patch, length float64) func(yield func(part) bool) {
	return func(yield func(part) bool) {
		for i := 2; i < len(p.Corner); i++ {
			var t part
			for k, c := range [3]volume.PatchCorner{p.Corner[0], p.Corner[i-1], p.Corner[i]} {
				t.at[k], t.depth[k] = orb.Point{c.X * length, c.Y * length}, c.Depth
			}
			a, b, c := t.at[0], t.at[1], t.at[2]
			t.area = cross(orb.Point{b[0] - a[0], b[1] - a[1]}, orb.Point{c[0] - a[0], c[1] - a[1]}) / 2
			if t.area > 0 && !yield(t) {
				return
			}
		}
	}
}

// mostSplit is into how many parts a side is cut at most.
const mostSplit = 40

// split cuts a triangle into equal ones no larger than a square of a size, about, and
// yields their areas and centroids with the depth there.
func (t *part) split(size float64, yield func(area float64, at orb.Point, depth float64)) {
	n := min(mostSplit, max(1, int(math.Ceil(math.Sqrt(t.area)/size))))
	area := t.area / float64(n*n)
	at := func(i, j float64) {
		u, v := i/float64(n), j/float64(n)
		between := func(a, b, c float64) float64 { return a + float64(u*(b-a)) + float64(v*(c-a)) }
		yield(area, orb.Point{between(t.at[0][0], t.at[1][0], t.at[2][0]), between(t.at[0][1], t.at[1][1], t.at[2][1])},
			between(t.depth[0], t.depth[1], t.depth[2]))
	}
	for i := range n {
		for j := range n - i {
			at(float64(i)+1./3, float64(j)+1./3)
			if i+j+1 < n {
				at(float64(i)+2./3, float64(j)+2./3)
			}
		}
	}
}
