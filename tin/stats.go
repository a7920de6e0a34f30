package tin

import (
	"math"
	"slices"

	"github.com/paulmach/orb"
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
		st.Area = s.limitedArea()
	}
	var lengths []float64
	for e := range s.edges() {
		lengths = append(lengths, s.lengthSquared(e))
	}
	slices.Sort(lengths)
	st.EdgeMedian = math.Sqrt(stat.Quantile(0.5, stat.Empirical, lengths, nil)) * unit
	st.EdgeMax = math.Sqrt(lengths[len(lengths)-1]) * unit
	return st
}

// limitedArea returns the plan area of the domain within boundary and voids.
func (s *Surface) limitedArea() float64 {
	var polygons []orb.Polygon
	for _, p := range s.limits.boundary {
		polygons = append(polygons, s.frame.toPolygon(p))
	}
	if len(polygons) == 0 {
		b := s.Bound()
		polygons = []orb.Polygon{b.Pad(1).ToPolygon()}
	}
	cells, err := s.Partition(polygons, nil)
	if err != nil {
		return math.NaN() // not reached: the limits were checked when the surface was built
	}
	kept := cells[:0]
	for _, c := range cells {
		if c.Ground {
			kept = append(kept, c)
		}
	}
	var area Sum
	for _, p := range s.Pieces(kept) {
		if !p.Ground {
			continue
		}
		o := p.Corner[0]
		for i := 2; i < len(p.Corner); i++ {
			a, b := p.Corner[i-1], p.Corner[i]
			area.Add(cross(a.X-o.X, a.Y-o.Y, b.X-o.X, b.Y-o.Y))
		}
	}
	return area.Value() / 2 * s.frame.Area()
}

func (f Frame) toPolygon(p localPolygon) orb.Polygon {
	out := make(orb.Polygon, len(p))
	for i, ring := range p {
		for _, c := range ring {
			out[i] = append(out[i], f.Metres(c[0], c[1]))
		}
		out[i] = append(out[i], out[i][0])
	}
	return out
}
