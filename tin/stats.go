package tin

import (
	"iter"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"
)

// Stats describes a surface. Lengths and levels are metres, areas square
// metres.
type Stats struct {
	Points     int // spots and breakline vertices given to Build
	Merged     int // of them, spots merged into another at the same place
	Vertices   int
	Triangles  int     // of the domain, boundary and voids not looked at
	Area       float64 // in plan, of the domain
	SlopeArea  float64 // along the surface, of the domain's triangles, boundary and voids not looked at
	LevelMin   float64
	LevelMax   float64
	LevelMean  float64 // of the vertices
	EdgeMedian float64 // median plan length of the edges of the domain's triangles
	EdgeMax    float64
}

// Stats measures the surface.
func (s *Surface) Stats() Stats {
	st := Stats{
		Points: s.counts.points, Merged: s.counts.merged, Vertices: len(s.level),
		LevelMin: slices.Min(s.level), LevelMax: slices.Max(s.level), LevelMean: stat.Mean(s.level, nil),
	}
	var area, slope Sum
	m := s.mesh
	unit := s.frame.Length()
	for t := range int32(m.Triangles()) {
		if s.isPeeled(t) {
			continue
		}
		st.Triangles++
		v := [3]int32(m.V[3*t:])
		a, b, c := m.P[v[0]], m.P[v[1]], m.P[v[2]]
		level := s.level[v[0]]
		ux, uy, uz := b.X-a.X, b.Y-a.Y, s.level[v[1]]-level
		vx, vy, vz := c.X-a.X, c.Y-a.Y, s.level[v[2]]-level
		plan := cross(ux, uy, vx, vy)
		area.Add(plan)
		nx, ny := cross(uy, uz, vy, vz), cross(uz, ux, vz, vx)
		slope.Add(math.Sqrt(float64(plan*unit*plan*unit)+float64(nx*nx)+float64(ny*ny)) * unit / 2)
	}
	st.Area, st.SlopeArea = area.Value()/2*s.frame.Area(), slope.Value()
	if s.limits.any() {
		st.Area = s.area
	}
	median, most := s.edgeLengths()
	st.EdgeMedian, st.EdgeMax = math.Sqrt(median)*unit, math.Sqrt(most)*unit
	return st
}

// limitedArea returns the plan area of the domain within boundary and voids.
func (s *Surface) limitedArea() (float64, error) {
	p := newPartition(s.frame)
	for _, poly := range s.limits.boundary {
		p.polygon(poly)
	}
	if len(s.limits.boundary) == 0 {
		b := s.localBound()
		p.polygon(localPolygon{{b.Min, {b.Max[0], b.Min[1]}, b.Max, {b.Min[0], b.Max[1]}}})
	}
	cells, err := p.cells(s.limits)
	if err != nil {
		return 0, err
	}
	kept := cells[:0]
	for _, c := range cells {
		if c.Ground {
			kept = append(kept, c)
		}
	}
	var area Sum
	for _, p := range s.Pieces(kept) {
		if p.Ground {
			area.Add(p.Area())
		}
	}
	return area.Value() * s.frame.Area(), nil
}

// edgeLengths returns the median, of two the lower, and the greatest of the
// squared plan lengths of the domain's edges, in square local units.
//
// It counts lengths by the leading bits of their doubles, which are in the order
// of the numbers, and sorts those that share the median's: sorting all would
// take as long as triangulating. Each edge is met twice, from both sides or once
// more on the rim, which changes neither number.
func (s *Surface) edgeLengths() (median, most float64) {
	const rest = 47 // bits of a double after the sign and the 16 leading ones
	count := make([]int, 1<<16)
	n := 0
	for sides := range s.sides() {
		for _, v := range sides {
			count[math.Float64bits(v)>>rest&0xffff]++
			if v > most {
				most = v
			}
		}
		n += len(sides)
	}
	rank, lead := (n-1)/2, uint64(0)
	for ; count[lead] <= rank; lead++ {
		rank -= count[lead]
	}
	shared := make([]float64, 0, count[lead])
	for sides := range s.sides() {
		for _, v := range sides {
			if math.Float64bits(v)>>rest == lead {
				shared = append(shared, v)
			}
		}
	}
	slices.Sort(shared)
	return shared[rank], most
}

// sides returns the squared plan lengths of the sides of each of the domain's
// triangles, and of those on the domain's rim once more. They are valid until
// the next.
func (s *Surface) sides() iter.Seq[[]float64] {
	return func(yield func([]float64) bool) {
		m := s.mesh
		var sides [6]float64
		for t := range int32(m.Triangles()) {
			if s.isPeeled(t) {
				continue
			}
			v, across := [3]int32(m.V[3*t:]), [3]int32(m.N[3*t:])
			a, b, c := m.P[v[0]], m.P[v[1]], m.P[v[2]]
			sides[0], sides[1], sides[2] = squared(a, b), squared(b, c), squared(c, a)
			n := 3
			for i, f := range across {
				if f < 0 || s.isPeeled(f/3) {
					sides[n] = sides[i]
					n++
				}
			}
			if !yield(sides[:n]) {
				return
			}
		}
	}
}
