package tin

import (
	"context"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"

	"barrow/tin/internal/mesh"
)

// Stats describes a surface. Lengths and levels are metres, areas square
// metres.
type Stats struct {
	Points     int // spots and breakline vertices given to Build
	Merged     int // of them, spots merged into another at the same place
	Vertices   int
	Triangles  int     // of the domain, boundary and voids not looked at
	Area       float64 // in plan, of the domain
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
	var area Sum
	lengths := newLengthCount()
	m := s.mesh
	for t := range int32(m.Triangles()) {
		if s.isPeeled(t) {
			continue
		}
		st.Triangles++
		a, b, c := s.corners(t)
		area.Add(cross(b.X-a.X, b.Y-a.Y, c.X-a.X, c.Y-a.Y))
		lengths.add(squared(a, b))
		lengths.add(squared(b, c))
		lengths.add(squared(c, a))
	}
	// Each edge is to count twice: those on the rim have one triangle only.
	rim := s.rim()
	for _, e := range rim {
		lengths.add(s.lengthSquared(e))
	}
	unit := s.frame.Length()
	st.EdgeMax = math.Sqrt(lengths.most) * unit
	st.EdgeMedian = math.Sqrt(s.medianLength(lengths, rim)) * unit
	st.Area = area.Value() / 2 * s.frame.Area()
	if s.limits.any() {
		st.Area = s.area
	}
	return st
}

// SlopeArea returns the area along the surface of the domain's triangles, square
// metres; boundary and voids are not looked at.
func (s *Surface) SlopeArea() float64 {
	var slope Sum
	unit := s.frame.Length()
	for t := range int32(s.mesh.Triangles()) {
		if s.isPeeled(t) {
			continue
		}
		c := cornersOf(s.mesh, s.level, t)
		ux, uy, uz := c[1].X-c[0].X, c[1].Y-c[0].Y, c[1].Level-c[0].Level
		vx, vy, vz := c[2].X-c[0].X, c[2].Y-c[0].Y, c[2].Level-c[0].Level
		plan := cross(ux, uy, vx, vy)
		nx, ny := cross(uy, uz, vy, vz), cross(uz, ux, vz, vx)
		slope.Add(math.Sqrt(float64(plan*unit*plan*unit)+float64(nx*nx)+float64(ny*ny)) * unit / 2)
	}
	return slope.Value()
}

// corners returns the places of a triangle's corners.
func (s *Surface) corners(t int32) (a, b, c mesh.XY) {
	v := [3]int32(s.mesh.V[3*t:])
	return s.mesh.P[v[0]], s.mesh.P[v[1]], s.mesh.P[v[2]]
}

// rim returns the half-edges of the domain's triangles that have no other such
// triangle across.
func (s *Surface) rim() []int32 {
	if s.peeled == nil {
		return s.hull
	}
	var rim []int32
	for e, f := range s.mesh.N {
		if !s.isPeeled(int32(e)/3) && (f < 0 || s.isPeeled(f/3)) {
			rim = append(rim, int32(e))
		}
	}
	return rim
}

// lengthCount counts squared lengths by the leading bits of their doubles, which
// are in the order of the numbers.
type lengthCount struct {
	count []int
	n     int
	most  float64
}

func newLengthCount() *lengthCount { return &lengthCount{count: make([]int, 1<<16)} }

// leading returns the sign, which is 0, the exponent and five bits more.
func leading(v float64) uint64 { return math.Float64bits(v) >> 47 & 0xffff }

func (c *lengthCount) add(v float64) {
	c.count[leading(v)]++
	c.n++
	if v > c.most {
		c.most = v
	}
}

// medianLength returns the median, of two the lower, of the lengths counted: it
// sorts those that share the median's leading bits. To sort them all would take
// as long as triangulating.
func (s *Surface) medianLength(lengths *lengthCount, rim []int32) float64 {
	rank, lead := (lengths.n-1)/2, uint64(0)
	for ; lengths.count[lead] <= rank; lead++ {
		rank -= lengths.count[lead]
	}
	shared := make([]float64, 0, lengths.count[lead])
	for t := range int32(s.mesh.Triangles()) {
		if s.isPeeled(t) {
			continue
		}
		a, b, c := s.corners(t)
		for _, v := range [3]float64{squared(a, b), squared(b, c), squared(c, a)} {
			if leading(v) == lead {
				shared = append(shared, v)
			}
		}
	}
	for _, e := range rim {
		if v := s.lengthSquared(e); leading(v) == lead {
			shared = append(shared, v)
		}
	}
	slices.Sort(shared)
	return shared[rank]
}

// limitedArea returns the plan area of the domain within boundary and voids. If ctx ends
// its error is returned.
func (s *Surface) limitedArea(ctx context.Context) (float64, error) {
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
		if err := ctx.Err(); err != nil {
			return 0, err
		}
		if p.Ground {
			area.Add(p.Area())
		}
	}
	return area.Value() * s.frame.Area(), nil
}
