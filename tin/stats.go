package tin

import (
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
		a, b, c := m.V[3*t], m.V[3*t+1], m.V[3*t+2]
		ux, uy, uz := m.P[b].X-m.P[a].X, m.P[b].Y-m.P[a].Y, s.level[b]-s.level[a]
		vx, vy, vz := m.P[c].X-m.P[a].X, m.P[c].Y-m.P[a].Y, s.level[c]-s.level[a]
		plan := cross(ux, uy, vx, vy)
		area.Add(plan)
		nx, ny := cross(uy, uz, vy, vz), cross(uz, ux, vz, vx)
		slope.Add(math.Sqrt(float64(plan*unit*plan*unit)+float64(nx*nx)+float64(ny*ny)) * unit / 2)
	}
	st.Area, st.SlopeArea = area.Value()/2*s.frame.Area(), slope.Value()
	if s.limits.any() {
		st.Area = s.area
	}
	lengths := make([]float64, 0, 3*st.Triangles/2+len(s.hull))
	for e := range s.edges() {
		lengths = append(lengths, s.lengthSquared(e))
	}
	st.EdgeMax = math.Sqrt(slices.Max(lengths)) * unit
	st.EdgeMedian = math.Sqrt(lowerMedian(lengths)) * unit
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

// lowerMedian returns the median of values, of two the lower, and reorders them.
// A selection: sorting the edges of a large survey would take as long as
// triangulating it.
func lowerMedian(values []float64) float64 {
	k := (len(values) - 1) / 2
	for lo, hi := 0, len(values)-1; lo < hi; {
		a, b, c := values[lo], values[lo+(hi-lo)/2], values[hi]
		pivot := max(min(a, b), min(max(a, b), c))
		i, j := lo, hi
		for i <= j {
			for values[i] < pivot {
				i++
			}
			for values[j] > pivot {
				j--
			}
			if i <= j {
				values[i], values[j] = values[j], values[i]
				i++
				j--
			}
		}
		switch {
		case k <= j:
			hi = j
		case k >= i:
			lo = i
		default:
			return values[k]
		}
	}
	return values[k]
}
