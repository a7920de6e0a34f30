package tintest

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"math/big"
	"slices"

	"github.com/paulmach/orb"

	"barrow/tin"
)

// Check proves a surface from its public face and returns the first fault
// found. The signs it needs are exact:
//
//   - vertices are finite and at distinct places, each a corner of a triangle;
//   - triangles turn anticlockwise, begin with their least vertex, and have at
//     most one neighbour across each edge;
//   - the edges that [tin.Surface.Edges] gives are those of the triangles;
//   - edges with one triangle are the hull, point by point, and the areas of
//     all triangles add up to the hull's: nothing is covered twice or missed;
//   - no circle round a triangle holds the vertex across an edge, but for
//     breaklines and sides of faces given; where it lies on the circle, the greatest of the four by
//     (x, y) is not on the edge;
//   - each given point that has a level (metres) is a vertex.
//
// Where MaxEdge took triangles away, or faces were given, the hull is not looked at. Where the frame
// holds no decimals, coordinates in feet and crossings of breaklines come out of
// a surface rounded: then only the links of vertices, edges and triangles are
// looked at.
func Check(s *tin.Surface, given ...tin.Point) error {
	f := s.Frame()
	m := meshOf(s)
	places := make(map[orb.Point]bool, len(m.x))
	for v := range m.x {
		places[orb.Point{m.x[v], m.y[v]}] = true
	}
	if m.rounded {
		return m.prove()
	}
	if len(places) != len(m.x) {
		return errors.New("tintest: two vertices at one place")
	}
	for _, p := range given {
		if x, y := f.Local(orb.Point{p.E, p.N}); p.HasLevel() && !places[orb.Point{x, y}] {
			return fmt.Errorf("tintest: point %s at %v, %v is no vertex", p.Name, p.E, p.N)
		}
	}
	return m.prove()
}

// surfaceMesh is what Check looks at, in local coordinates.
type surfaceMesh struct {
	x, y      []float64
	triangles [][3]int
	edges     map[[2]int]bool // lesser vertex first: whether it is a breakline or a face's side
	twice     *[2]int         // an edge that was given twice
	peeled    bool            // MaxEdge or faces took triangles away
	rounded   bool            // coordinates are not quite those triangulated
	plan      plan
}

func meshOf(s *tin.Surface) *surfaceMesh {
	f := s.Frame()
	m := &surfaceMesh{edges: make(map[[2]int]bool)}
	exact := true
	for _, v := range s.Vertices() {
		x, y := f.Local(orb.Point{v.E, v.N})
		m.x, m.y = append(m.x, x), append(m.y, y)
		exact = exact && x == math.Trunc(x) && y == math.Trunc(y)
	}
	for _, t := range s.Triangles() {
		m.triangles = append(m.triangles, t.Vertex)
	}
	for _, e := range s.Edges() {
		k := edgeKey(e.Vertex[0], e.Vertex[1])
		if _, ok := m.edges[k]; ok {
			m.twice = &k
		}
		m.edges[k] = e.Breakline || e.Face
		m.peeled = m.peeled || e.Face
	}
	noted := func(code string) bool {
		return slices.ContainsFunc(s.Notes(), func(p tin.Problem) bool { return p.Code == code })
	}
	m.peeled = m.peeled || noted("max_edge")
	m.rounded = !exact && (f.Length() != 1 || noted("breaklines_cross"))
	m.plan = newPlan(m.x, m.y)
	return m
}

func edgeKey(a, b int) [2]int { return [2]int{min(a, b), max(a, b)} }

func (m *surfaceMesh) prove() error {
	apex, err := m.proveTriangles()
	if err != nil {
		return err
	}
	if err := m.proveEdges(apex); err != nil || m.rounded {
		return err
	}
	if err := m.proveCircles(apex); err != nil || m.peeled {
		return err
	}
	return m.proveHull(apex)
}

// proveTriangles returns the third corner beyond each directed edge.
func (m *surfaceMesh) proveTriangles() (apex map[[2]int]int, err error) {
	apex = make(map[[2]int]int, 3*len(m.triangles))
	used := make([]bool, len(m.x))
	for i, t := range m.triangles {
		for k, a := range t {
			b, c := t[(k+1)%3], t[(k+2)%3]
			if a < 0 || a >= len(m.x) || a < t[0] {
				return nil, fmt.Errorf("tintest: triangle %d has corners %v", i, t)
			}
			used[a] = true
			if _, ok := apex[[2]int{a, b}]; ok {
				return nil, fmt.Errorf("tintest: two triangles on one side of edge %d-%d", a, b)
			}
			apex[[2]int{a, b}] = c
		}
		if !m.rounded && m.plan.orient(t[0], t[1], t[2]) <= 0 {
			return nil, fmt.Errorf("tintest: triangle %d, %v, does not turn anticlockwise", i, t)
		}
	}
	if v := slices.Index(used, false); v >= 0 && !m.peeled {
		return nil, fmt.Errorf("tintest: vertex %d is in no triangle", v)
	}
	return apex, nil
}

func (m *surfaceMesh) proveEdges(apex map[[2]int]int) error {
	if m.twice != nil {
		return fmt.Errorf("tintest: edge %v is listed twice", *m.twice)
	}
	n := 0
	for e := range apex {
		if _, ok := m.edges[edgeKey(e[0], e[1])]; !ok {
			return fmt.Errorf("tintest: edge %v of a triangle is not listed", e)
		}
		if _, ok := apex[[2]int{e[1], e[0]}]; !ok || e[0] < e[1] {
			n++
		}
	}
	if n != len(m.edges) {
		return fmt.Errorf("tintest: %d edges listed, the triangles have %d", len(m.edges), n)
	}
	return nil
}

// proveCircles looks at the two triangles beside each edge; that each edge is
// right beside its neighbours makes the whole triangulation Delaunay.
func (m *surfaceMesh) proveCircles(apex map[[2]int]int) error {
	for e, c := range apex {
		a, b := e[0], e[1]
		d, inner := apex[[2]int{b, a}]
		if !inner || a > b || m.edges[edgeKey(a, b)] {
			continue
		}
		switch s := m.plan.inCircle(a, b, c, d); {
		case s > 0:
			return fmt.Errorf("tintest: the circle round %d, %d, %d holds %d", a, b, c, d)
		case s == 0:
			if g := slices.MaxFunc([]int{a, b, c, d}, m.compare); g == a || g == b {
				return fmt.Errorf("tintest: %d, %d, %d and %d lie on one circle, but the greatest is on the diagonal %d-%d", a, c, b, d, a, b)
			}
		}
	}
	return nil
}

// compare is the order of (x, y).
func (m *surfaceMesh) compare(v, w int) int {
	return cmp.Or(cmp.Compare(m.x[v], m.x[w]), cmp.Compare(m.y[v], m.y[w]))
}

func (m *surfaceMesh) proveHull(apex map[[2]int]int) error {
	hull := m.hull()
	sum, whole := new(big.Int), new(big.Int)
	for _, t := range m.triangles {
		sum.Add(sum, m.plan.area2(t[0], t[1], t[2]))
	}
	border := make(map[[2]int]bool)
	for i, a := range hull {
		b := hull[(i+1)%len(hull)]
		border[[2]int{a, b}] = true
		whole.Add(whole, m.plan.area2(hull[0], a, b))
	}
	for e := range apex {
		if _, inner := apex[[2]int{e[1], e[0]}]; !inner && !border[e] {
			return fmt.Errorf("tintest: edge %v has one triangle but is not on the hull", e)
		}
	}
	if sum.Cmp(whole) != 0 {
		got, _ := new(big.Rat).SetFrac(sum, whole).Float64()
		return fmt.Errorf("tintest: the triangles cover %v of the hull", got)
	}
	return nil
}

// hull returns the vertices on the convex hull, those within its sides too,
// anticlockwise (Andrew 1979, from memory).
func (m *surfaceMesh) hull() []int {
	order := make([]int, len(m.x))
	for v := range order {
		order[v] = v
	}
	slices.SortFunc(order, m.compare)
	half := func() []int {
		var chain []int
		for _, v := range order {
			for len(chain) > 1 && m.plan.orient(chain[len(chain)-2], chain[len(chain)-1], v) < 0 {
				chain = chain[:len(chain)-1]
			}
			chain = append(chain, v)
		}
		return chain[:len(chain)-1]
	}
	lower := half()
	slices.Reverse(order)
	return append(lower, half()...)
}
