package formation

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"barrow/tin"
	"barrow/tin/formation/internal/boxtree"
)

// ownTriangles are triangles of a pad's own surface: those inside its outline, or
// those of its margin.
type ownTriangles struct {
	corners [][3]tin.Vertex
	tree    *boxtree.Tree
	lines   []orb.LineString // the edges between two of them
}

func newOwnTriangles(surface *tin.Surface, holds func(p orb.Point) bool) *ownTriangles {
	o := &ownTriangles{}
	seen := make(map[[2]int]bool) // edges of triangles inside
	for _, t := range surface.Triangles() {
		if !holds(centroid(t.Corner)) {
			// Rounding may hide on which side of a rim a sliver lies. It is
			// kept, since only a cell in it will ask for it.
			if height(t.Corner) < snap {
				o.corners = append(o.corners, t.Corner)
			}
			continue
		}
		for i := range 3 {
			j := (i + 1) % 3
			edge := [2]int{min(t.Vertex[i], t.Vertex[j]), max(t.Vertex[i], t.Vertex[j])}
			if seen[edge] {
				o.lines = append(o.lines, orb.LineString{
					{t.Corner[i].E, t.Corner[i].N}, {t.Corner[j].E, t.Corner[j].N},
				})
			}
			seen[edge] = true
		}
		o.corners = append(o.corners, t.Corner)
	}
	boxes := make([]orb.Bound, len(o.corners))
	for i, t := range o.corners {
		boxes[i] = orb.MultiPoint{{t[0].E, t[0].N}, {t[1].E, t[1].N}, {t[2].E, t[2].N}}.Bound()
	}
	o.tree = boxtree.New(boxes)
	return o
}

// planeIn returns the plane of the triangle that holds a cell; no edge of one
// crosses it. A cell a hair thick may be what rounding left beside a side, next
// to several triangles: it gets the plane through the levels at its corners. It
// reports false only if there are no triangles.
func (o *ownTriangles) planeIn(c tin.Cell) (plane tin.Plane, ok bool) {
	if len(o.corners) == 0 {
		return tin.Plane{}, false
	}
	var t [3]tin.Vertex
	for i, p := range c.Corner {
		t[i] = tin.Vertex{E: p[0], N: p[1]}
	}
	if height(t) >= snap {
		return trianglePlane(o.nearest(cellCentroid(c))), true
	}
	for i, p := range c.Corner {
		t[i].Level = trianglePlane(o.nearest(p)).LevelAt(p[0], p[1])
	}
	return trianglePlane(t), true
}

// nearest returns the triangle that p lies in, or is nearest to.
func (o *ownTriangles) nearest(p orb.Point) [3]tin.Vertex {
	var best float64
	found := -1
	for reach := 2 * snap; found < 0; reach *= 100 {
		o.tree.Meeting(orb.Bound{Min: p, Max: p}.Pad(reach), func(i int) {
			depth := insideDepth(o.corners[i], p)
			if found < 0 || depth > best || depth == best && i < found {
				best, found = depth, i
			}
		})
	}
	return o.corners[found]
}

// insideDepth returns how far p is from the nearest side of an anticlockwise
// triangle, inside it; negative outside.
func insideDepth(t [3]tin.Vertex, p orb.Point) float64 {
	depth := math.Inf(1)
	for i := range 3 {
		a, b := t[i], t[(i+1)%3]
		de, dn := b.E-a.E, b.N-a.N
		if de == 0 && dn == 0 { // two vertices that metres do not tell apart
			continue
		}
		d := (float64(de*(p[1]-a.N)) - float64(dn*(p[0]-a.E))) / math.Hypot(de, dn)
		depth = min(depth, d)
	}
	return depth
}

// trianglePlane returns the plane through three points, held at the one that is
// first by easting, then northing. A triangle a hair thick has no gradient worth
// the name across: it gets the plane that is level across its longest side.
func trianglePlane(t [3]tin.Vertex) tin.Plane {
	slices.SortFunc(t[:], compareVertices)
	o := t[0]
	e1, n1, z1 := t[1].E-o.E, t[1].N-o.N, t[1].Level-o.Level
	e2, n2, z2 := t[2].E-o.E, t[2].N-o.N, t[2].Level-o.Level
	twice := float64(e1*n2) - float64(e2*n1)
	if height(t) < snap {
		a, b := longestSide(t)
		longest := planDistance(a, b)
		if longest == 0 {
			return tin.Plane{At: orb.Point{o.E, o.N}, Level: o.Level}
		}
		slope := (b.Level - a.Level) / longest
		return tin.Plane{At: orb.Point{a.E, a.N}, Level: a.Level, Gradient: [2]float64{
			slope * ((b.E - a.E) / longest), slope * ((b.N - a.N) / longest),
		}}
	}
	return tin.Plane{At: orb.Point{o.E, o.N}, Level: o.Level, Gradient: [2]float64{
		(float64(z1*n2) - float64(z2*n1)) / twice,
		(float64(e1*z2) - float64(e2*z1)) / twice,
	}}
}

// height returns the least height of a triangle in plan.
func height(t [3]tin.Vertex) float64 {
	a, b := longestSide(t)
	longest := planDistance(a, b)
	if longest == 0 {
		return 0
	}
	e1, n1 := t[1].E-t[0].E, t[1].N-t[0].N
	e2, n2 := t[2].E-t[0].E, t[2].N-t[0].N
	return math.Abs(float64(e1*n2)-float64(e2*n1)) / longest
}

func longestSide(t [3]tin.Vertex) (a, b tin.Vertex) {
	a, b = t[0], t[1]
	for _, side := range [][2]tin.Vertex{{t[0], t[2]}, {t[1], t[2]}} {
		if planDistance(side[0], side[1]) > planDistance(a, b) {
			a, b = side[0], side[1]
		}
	}
	return a, b
}

func planDistance(a, b tin.Vertex) float64 { return math.Hypot(b.E-a.E, b.N-a.N) }

func compareVertices(a, b tin.Vertex) int {
	return cmp.Or(cmp.Compare(a.E, b.E), cmp.Compare(a.N, b.N))
}

func centroid(t [3]tin.Vertex) orb.Point {
	return orb.Point{
		t[0].E + ((t[1].E-t[0].E)+(t[2].E-t[0].E))/3,
		t[0].N + ((t[1].N-t[0].N)+(t[2].N-t[0].N))/3,
	}
}

// sortAlong sorts the points of a side from its end a to b, or back.
func sortAlong(points []sidePoint, forwards bool) {
	slices.SortFunc(points, func(p, q sidePoint) int {
		if !forwards {
			p, q = q, p
		}
		return cmp.Or(cmp.Compare(p.along, q.along), comparePoints(p.place, q.place))
	})
}
