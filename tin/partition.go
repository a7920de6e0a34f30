package tin

import (
	"errors"
	"fmt"
	"slices"

	"github.com/paulmach/orb"

	"barrow/tin/internal/mesh"
)

// Cell is a triangle in plan out of [Surface.Partition].
type Cell struct {
	Corner [3]orb.Point // anticlockwise, metres
	In     []int        // the polygons that hold it, by index, ascending
	Ground bool         // within the boundary and outside the voids; hull and MaxEdge are not looked at
	Area   float64      // square metres
	first  bool         // Ground as far as the first of several surfaces goes
	frame  Frame
	local  [3][2]float64 // in frame
}

// Partition cuts the plane by the sides of polygons, whose sides may cross, by
// the boundary and the voids of the surface, and by further lines. It returns
// the triangles that lie in at least one of the polygons, in an order that
// depends on coordinates only. Coordinates are metres.
//
// Each polygon counts as a whole: a place lies in it if an odd number of its
// rings go round it. Polygons that are no simple outlines are an error of
// [CheckOutline]. Where sides cross, the crossing is rounded once to the
// nearest double in local units.
func (s *Surface) Partition(polygons []orb.Polygon, lines []orb.LineString) ([]Cell, error) {
	p := newPartition(s.frame)
	for i, poly := range polygons {
		if err := CheckOutline(poly); err != nil {
			return nil, inPolygon(err, i, len(polygons))
		}
		p.polygon(s.frame.polygon(poly, s.frame.Local))
	}
	for _, l := range lines {
		if err := checkLine(l); err != nil {
			return nil, err
		}
		p.line(l)
	}
	return p.cells(s.limits)
}

// inPolygon says in an error of CheckOutline which of several polygons it is.
func inPolygon(err error, i, of int) error {
	e, ok := errors.AsType[*InputError](err)
	if !ok || of == 1 {
		return err
	}
	named := *e
	named.Message = fmt.Sprintf("polygon %d: %s", i+1, e.Message)
	return &named
}

func newPartition(f Frame) *partition {
	return &partition{frame: f, graph: graph{index: make(map[mesh.XY]int32)}}
}

// partition gathers rings and lines; a segment's line is the number of the
// polygon it belongs to, or -1. First come the polygons asked for, then those
// that say where there is ground, in the frame's local coordinates.
type partition struct {
	frame    Frame
	graph    graph
	polygons int32
	asked    int32
	limits   []limitRange
}

// limitRange is the boundary of one surface, from boundary to before voids, and
// its voids, to before end.
type limitRange struct{ boundary, voids, end int32 }

// limit adds the boundary and voids of a surface, in the partition's frame.
func (p *partition) limit(l limits) {
	r := limitRange{boundary: p.polygons}
	for _, poly := range l.boundary {
		p.polygon(poly)
	}
	r.voids = p.polygons
	for _, poly := range l.voids {
		p.polygon(poly)
	}
	r.end = p.polygons
	p.limits = append(p.limits, r)
}

// ground reports whether a place in these polygons, ascending, has ground as
// far as the limits of one surface tell.
func (r limitRange) ground(in []int32) bool {
	inside := r.boundary == r.voids
	for _, k := range in {
		switch {
		case k >= r.boundary && k < r.voids:
			inside = true
		case k >= r.voids && k < r.end:
			return false
		}
	}
	return inside
}

func (p *partition) polygon(poly localPolygon) {
	for _, ring := range poly {
		for i := range ring {
			j := (i + 1) % len(ring)
			p.segment(ring[i], ring[j], p.polygons)
		}
	}
	p.polygons++
}

func (p *partition) line(l orb.LineString) {
	for i := 1; i < len(l); i++ {
		ax, ay := p.frame.Local(l[i-1])
		bx, by := p.frame.Local(l[i])
		p.segment([2]float64{ax, ay}, [2]float64{bx, by}, -1)
	}
}

func (p *partition) segment(a, b [2]float64, line int32) {
	v, _ := p.graph.vertex(a[0], a[1])
	w, _ := p.graph.vertex(b[0], b[1])
	p.graph.join(v, w, line)
}

// cells triangulates the graph and labels the triangles by what holds them,
// the limits of surfaces in the same frame among it.
func (p *partition) cells(of ...limits) ([]Cell, error) {
	if p.polygons == 0 {
		return nil, nil
	}
	p.asked = p.polygons
	for _, l := range of {
		p.limit(l)
	}
	m, labels, err := p.triangulate()
	if err != nil {
		return nil, err
	}
	return p.collect(m, labels), nil
}

// triangulate triangulates the graph and labels the triangles by the polygons that hold
// them, ascending.
func (p *partition) triangulate() (m *mesh.Mesh, labels [][]int32, err error) {
	g := &p.graph
	err = g.splitCrossings(false,
		func(_, _ segment, _ mesh.Crossing) error { return nil },
		func(segment, int32) error { return nil })
	if err != nil {
		if _, ok := errors.AsType[*InputError](err); ok {
			return nil, nil, err
		}
		return nil, nil, &InputError{
			Code: "outlines_tangled", Message: "sides of the outlines cross again and again when split", Err: err,
			Hint: "draw sides that nearly coincide either apart or through the same corners",
		}
	}
	m, order, err := mesh.New(g.at, false)
	if err != nil {
		return nil, nil, &InputError{Code: "outline_flat", Message: "the outlines have no area", Err: err}
	}
	place := make([]int32, len(order))
	for v, from := range order {
		place[from] = int32(v)
	}
	rings := make(map[[2]int32][]int32) // the polygons with a side on each edge
	for _, s := range g.segments {
		a, b := place[s.a], place[s.b]
		through, crossed := m.Force(a, b, mesh.LineEdge)
		if crossed != nil {
			return nil, nil, &InputError{Code: "outlines_tangled", Message: "sides of the outlines still cross when split"}
		}
		if s.line < 0 {
			continue
		}
		for _, v := range append(through, b) {
			e := [2]int32{min(a, v), max(a, v)}
			rings[e] = append(rings[e], s.line)
			a = v
		}
	}
	m.Settle()
	return m, p.label(m, rings), nil
}

// label returns for each triangle the polygons that hold it, ascending: from
// the hull inwards, crossing a side of a polygon's ring enters or leaves it.
func (p *partition) label(m *mesh.Mesh, rings map[[2]int32][]int32) [][]int32 {
	labels := make([][]int32, m.Triangles())
	seen := make([]bool, m.Triangles())
	crossing := func(from []int32, e int32) []int32 {
		a, b := m.V[e], m.V[mesh.Next(e)]
		toggles := rings[[2]int32{min(a, b), max(a, b)}]
		if len(toggles) == 0 {
			return from
		}
		to := slices.Clone(from)
		for _, k := range toggles {
			if i, found := slices.BinarySearch(to, k); found {
				to = slices.Delete(to, i, i+1)
			} else {
				to = slices.Insert(to, i, k)
			}
		}
		return to
	}
	var stack []int32
	enter := func(from []int32, across, e int32) {
		if t := e / 3; !seen[t] {
			seen[t] = true
			labels[t] = crossing(from, across)
			stack = append(stack, t)
		}
	}
	for _, e := range m.Border() {
		enter(nil, e, e)
		for len(stack) > 0 {
			t := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			for e := 3 * t; e < 3*t+3; e++ {
				if f := m.N[e]; f >= 0 {
					enter(labels[t], e, f)
				}
			}
		}
	}
	return labels
}

// collect makes the cells that lie in one of the polygons asked for.
func (p *partition) collect(m *mesh.Mesh, labels [][]int32) []Cell {
	var cells []Cell
	for t, in := range labels {
		if len(in) == 0 || in[0] >= p.asked {
			continue
		}
		c := Cell{Ground: true, first: p.limits[0].ground(in), frame: p.frame}
		for _, r := range p.limits {
			c.Ground = c.Ground && r.ground(in)
		}
		for _, k := range in {
			if k < p.asked {
				c.In = append(c.In, int(k))
			}
		}
		for i := range 3 {
			v := m.V[3*t+i]
			c.local[i] = [2]float64{m.P[v].X, m.P[v].Y}
			c.Corner[i] = p.frame.Metres(m.P[v].X, m.P[v].Y)
		}
		c.Area = c.localArea2() / 2 * p.frame.Area()
		cells = append(cells, c)
	}
	return cells
}

// localArea2 returns twice the cell's area in square local units.
func (c *Cell) localArea2() float64 {
	a, b, d := c.local[0], c.local[1], c.local[2]
	return cross(b[0]-a[0], b[1]-a[1], d[0]-a[0], d[1]-a[1])
}
