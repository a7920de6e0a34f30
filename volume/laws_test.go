package volume_test

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/volume"
)

// site is a random job about 100 m wide: coordinates in whole millimetres, levels
// in whole centimetres about 10 m.
type site struct {
	points  []tin.Point
	lines   []tin.Breakline
	options tin.Options
	outline orb.Polygon
	plane   tin.Plane
}

func randomSite(rng *rand.Rand) site {
	var s site
	for range 15 + rng.IntN(60) {
		s.points = append(s.points, tin.Point{
			E: float64(rng.IntN(100001)) / 1000, N: float64(rng.IntN(100001)) / 1000,
			Level: float64(800+rng.IntN(400)) / 100,
		})
	}
	s.outline = orb.Polygon{star(rng, orb.Point{20 + 60*rng.Float64(), 20 + 60*rng.Float64()}, 5, 45)}
	s.plane = tin.LevelPlane(float64(900+rng.IntN(200)) / 100)
	if rng.IntN(2) == 0 {
		s.plane = tin.FallingPlane(s.outline[0][0], s.plane.Level, 0.08*rng.Float64(), 360*rng.Float64())
	}
	return s
}

// limited is the site with, at random, a boundary, voids and a greatest edge.
func (s site) limited(rng *rand.Rand) site {
	if rng.IntN(2) == 0 {
		s.options.Boundary = orb.MultiPolygon{{star(rng, orb.Point{50, 50}, 20, 45)}}
	}
	if rng.IntN(2) == 0 {
		s.options.Voids = orb.MultiPolygon{{star(rng, orb.Point{30, 50}, 5, 18)}, {star(rng, orb.Point{70, 50}, 5, 18)}}
	}
	if rng.IntN(2) == 0 {
		s.options.MaxEdge = 25
	}
	return s
}

// star is a random simple ring round a place, to the millimetre.
func star(rng *rand.Rand, c orb.Point, least, most float64) orb.Ring {
	n := 3 + rng.IntN(7)
	var ring orb.Ring
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * (float64(i) + 0.7*rng.Float64()) / float64(n))
		r := least + (most-least)*rng.Float64()
		ring = append(ring, orb.Point{milli(c[0] + r*cos), milli(c[1] + r*sin)})
	}
	return append(ring, ring[0])
}

func milli(v float64) float64 { return math.Round(v*1000) / 1000 }

func (s site) surface(t testing.TB) *tin.Surface {
	t.Helper()
	g, err := tin.Build(context.Background(), []tin.Source{{Points: s.points, Breaklines: s.lines}}, s.options)
	require.NoError(t, err)
	return g
}

func (s site) measure(t testing.TB) volume.CutFill {
	t.Helper()
	return against(t, s.surface(t), s.plane, s.outline)
}

// moved is the site with every place changed.
func (s site) moved(to func(orb.Point) orb.Point) site {
	s.points = slices.Clone(s.points)
	for i, p := range s.points {
		q := to(orb.Point{p.E, p.N})
		s.points[i].E, s.points[i].N = q[0], q[1]
	}
	ring := slices.Clone(s.outline[0])
	for i, p := range ring {
		ring[i] = to(p)
	}
	s.outline = orb.Polygon{ring}
	s.plane.At = to(s.plane.At)
	return s
}

// alike holds the quantities of two measurements together, volumes to a
// tolerance relative to all that is moved, areas to the whole area.
func alike(t *testing.T, want, got volume.CutFill, tolerance float64) {
	t.Helper()
	volumes, area := want.Cut+want.Fill, want.CutArea+want.FillArea+want.LevelArea+want.UncoveredArea
	for _, v := range []struct {
		what             string
		got, want, scale float64
	}{
		{"cut", got.Cut, want.Cut, volumes},
		{"fill", got.Fill, want.Fill, volumes},
		{"cut less fill", got.CutLessFill, want.CutLessFill, volumes},
		{"cut area", got.CutArea, want.CutArea, area},
		{"fill area", got.FillArea, want.FillArea, area},
		{"area at level", got.LevelArea, want.LevelArea, area},
		{"uncovered area", got.UncoveredArea, want.UncoveredArea, area},
		{"greatest cut", got.MaxCut.Depth, want.MaxCut.Depth, want.MaxCut.Depth + 1},
		{"greatest fill", got.MaxFill.Depth, want.MaxFill.Depth, want.MaxFill.Depth + 1},
	} {
		if !(math.Abs(v.got-v.want) <= tolerance*v.scale) {
			t.Errorf("%s %.17g, want %.17g: %.1e relative", v.what, v.got, v.want, math.Abs(v.got-v.want)/v.scale)
		}
	}
}

// quantities is a measurement without places.
func quantities(c volume.CutFill) volume.CutFill {
	c.ZeroLine, c.MaxCut.At, c.MaxFill.At = nil, orb.Point{}, orb.Point{}
	return c
}

// onSites runs a law on random sites, each from its own seed.
func onSites(t *testing.T, n int, law func(t *testing.T, rng *rand.Rand, s site)) {
	t.Helper()
	for i := range n {
		t.Run(fmt.Sprint(i), func(t *testing.T) {
			rng := rand.New(rand.NewPCG(uint64(i), 7))
			law(t, rng, randomSite(rng))
		})
	}
}

// A shift by 6,000 km leaves decimals decimals: the same mesh, the same bits.
func TestShift(t *testing.T) {
	const far = 6e6
	onSites(t, 40, func(t *testing.T, rng *rand.Rand, s site) {
		got := s.moved(func(p orb.Point) orb.Point { return orb.Point{milli(p[0] + far), milli(p[1] - far)} }).measure(t)
		require.Equal(t, quantities(s.measure(t)), quantities(got))
	})
	// Binary fractions shift exactly too, but to another place in the local frame.
	onSites(t, 10, func(t *testing.T, rng *rand.Rand, s site) {
		s = s.moved(func(p orb.Point) orb.Point {
			return orb.Point{math.Round(p[0]*0x1p20) / 0x1p20, math.Round(p[1]*0x1p20) / 0x1p20}
		})
		got := s.moved(func(p orb.Point) orb.Point { return orb.Point{p[0] + far, p[1] - far} }).measure(t)
		alike(t, s.measure(t), got, 1e-13)
	})
}

func TestLift(t *testing.T) {
	onSites(t, 40, func(t *testing.T, rng *rand.Rand, s site) {
		want := s.measure(t)
		s.points = slices.Clone(s.points)
		for i := range s.points {
			s.points[i].Level += 512
		}
		s.plane.Level += 512
		alike(t, want, s.measure(t), 1e-12)
	})
}

func TestQuarterTurn(t *testing.T) {
	onSites(t, 40, func(t *testing.T, rng *rand.Rand, s site) {
		require.Empty(t, s.surface(t).Ties())
		want := s.measure(t)
		for range 3 {
			s = s.moved(func(p orb.Point) orb.Point { return orb.Point{-p[1], p[0]} })
			s.plane.Gradient = [2]float64{-s.plane.Gradient[1], s.plane.Gradient[0]}
			alike(t, want, s.measure(t), 1e-13)
		}
	})
}

// Levels mirrored about the plane: cut and fill change places.
func TestSwap(t *testing.T) {
	swapped := func(c volume.CutFill) volume.CutFill {
		c.Cut, c.Fill, c.CutArea, c.FillArea = c.Fill, c.Cut, c.FillArea, c.CutArea
		c.MaxCut, c.MaxFill, c.CutLessFill = c.MaxFill, c.MaxCut, -c.CutLessFill
		return c
	}
	onSites(t, 40, func(t *testing.T, rng *rand.Rand, s site) {
		want := s.measure(t)
		mirror := s
		mirror.points = slices.Clone(s.points)
		for i, p := range mirror.points {
			mirror.points[i].Level = 2*s.plane.LevelAt(p.E, p.N) - p.Level
		}
		alike(t, swapped(want), mirror.measure(t), 1e-13)
	})
	// About zero nothing is rounded on the way: the same bits.
	onSites(t, 20, func(t *testing.T, rng *rand.Rand, s site) {
		s.plane = tin.LevelPlane(0)
		for i := range s.points {
			s.points[i].Level -= 10
		}
		want := s.measure(t)
		for i := range s.points {
			s.points[i].Level *= -1
		}
		require.Equal(t, swapped(want), s.measure(t))
	})
}

func sum(parts ...volume.CutFill) volume.CutFill {
	var s volume.CutFill
	for _, p := range parts {
		s.Cut, s.Fill, s.CutLessFill = s.Cut+p.Cut, s.Fill+p.Fill, s.CutLessFill+p.CutLessFill
		s.CutArea, s.FillArea, s.LevelArea = s.CutArea+p.CutArea, s.FillArea+p.FillArea, s.LevelArea+p.LevelArea
		s.UncoveredArea += p.UncoveredArea
		s.MaxCut.Depth, s.MaxFill.Depth = max(s.MaxCut.Depth, p.MaxCut.Depth), max(s.MaxFill.Depth, p.MaxFill.Depth)
	}
	return s
}

// A convex outline cut from corner to corner: the halves add up.
func TestHalves(t *testing.T) {
	onSites(t, 60, func(t *testing.T, rng *rand.Rand, s site) {
		s = s.limited(rng)
		n := 4 + rng.IntN(8)
		var ring orb.Ring
		for i := range n {
			sin, cos := math.Sincos(2 * math.Pi * (float64(i) + 0.5*rng.Float64()) / float64(n))
			ring = append(ring, orb.Point{milli(50 + 60*cos), milli(50 + 60*sin)})
		}
		cut := 2 + rng.IntN(n-3)
		g := s.surface(t)
		want := against(t, g, s.plane, orb.Polygon{ring})
		one := against(t, g, s.plane, orb.Polygon{ring[:cut+1]})
		other := against(t, g, s.plane, orb.Polygon{append(orb.Ring{ring[0]}, ring[cut:]...)})
		alike(t, want, sum(one, other), 1e-13)
	})
}

// An outline cut into cells by lines and by other polygons: the cells add up.
func TestPartitionedOutline(t *testing.T) {
	onSites(t, 60, func(t *testing.T, rng *rand.Rand, s site) {
		s = s.limited(rng)
		g := s.surface(t)
		var lines []orb.LineString
		for range rng.IntN(6) {
			lines = append(lines, orb.LineString{
				{milli(100 * rng.Float64()), milli(100 * rng.Float64())}, {milli(100 * rng.Float64()), milli(100 * rng.Float64())},
			})
		}
		other := orb.Polygon{star(rng, orb.Point{50, 50}, 5, 45)}
		cells, err := g.Partition([]orb.Polygon{s.outline, other}, lines)
		require.NoError(t, err)
		var facets []tin.Facet
		var apart []volume.CutFill
		for _, c := range cells {
			if c.In[0] != 0 {
				continue
			}
			f := tin.Facet{Cell: c, Plane: s.plane}
			facets = append(facets, f)
			one, err := volume.AgainstFacets(t.Context(), g, []tin.Facet{f})
			require.NoError(t, err)
			apart = append(apart, one)
		}
		want := s.measure(t)
		together, err := volume.AgainstFacets(t.Context(), g, facets)
		require.NoError(t, err)
		alike(t, want, together, 1e-12)
		alike(t, want, sum(apart...), 1e-12)
	})
}

// A spot put exactly on a triangle changes nothing but rounding, where the other
// triangles stay as they are: every edge is forced first, which changes nothing
// at all.
func TestRefine(t *testing.T) {
	onSites(t, 40, func(t *testing.T, rng *rand.Rand, s site) {
		for i, p := range s.points { // whole coordinates, levels in 1/64 m
			s.points[i] = tin.Point{E: math.Round(p.E), N: math.Round(p.N), Level: math.Round(p.Level*64) / 64}
		}
		s.options.Duplicates = tin.DuplicatesFirst
		want := s.measure(t)
		g := s.surface(t)
		var corner []tin.Vertex
		for _, v := range g.Vertices() {
			corner = append(corner, v)
		}
		point := func(v tin.Vertex) tin.Point { return tin.Point{E: v.E, N: v.N, Level: v.Level} }
		for _, e := range g.Edges() {
			s.lines = append(s.lines, tin.Breakline{Vertices: []tin.Point{point(corner[e.Vertex[0]]), point(corner[e.Vertex[1]])}})
		}
		require.Equal(t, want, s.measure(t), "edges forced")
		for _, tri := range g.Triangles() {
			a, b, c := tri.Corner[0], tri.Corner[1], tri.Corner[2]
			s.points = append(s.points, tin.Point{
				E: (2*a.E + b.E + c.E) / 4, N: (2*a.N + b.N + c.N) / 4, Level: (2*a.Level + b.Level + c.Level) / 4,
			})
		}
		refined := s.surface(t)
		before, after := g.Stats().Triangles, refined.Stats().Triangles
		require.Equal(t, 3*before, after)
		alike(t, want, s.measure(t), 1e-12)
	})
}

func TestRaisingThePlane(t *testing.T) {
	onSites(t, 20, func(t *testing.T, rng *rand.Rand, s site) {
		s = s.limited(rng)
		g := s.surface(t)
		_, area := balance(against(t, g, s.plane, s.outline))
		var last volume.CutFill
		for i := range 20 {
			plane := s.plane
			plane.Level = 7 + 0.3*float64(i)
			got := against(t, g, plane, s.outline)
			if i > 0 {
				require.LessOrEqual(t, got.Cut, last.Cut)
				require.GreaterOrEqual(t, got.Fill, last.Fill)
				require.LessOrEqual(t, got.CutArea, last.CutArea)
				require.LessOrEqual(t, got.MaxCut.Depth, last.MaxCut.Depth)
				require.Equal(t, last.UncoveredArea, got.UncoveredArea)
				// Each step takes 0.3 m off every depth.
				covered := area - got.UncoveredArea
				require.InDelta(t, 0.3*covered, last.CutLessFill-got.CutLessFill, 1e-12*(last.Cut+last.Fill+covered))
			}
			last = got
		}
	})
}

// balance adds up the areas.
func balance(c volume.CutFill) (covered, all float64) {
	covered = c.CutArea + c.FillArea + c.LevelArea
	return covered, covered + c.UncoveredArea
}

func TestSums(t *testing.T) {
	uncovered := 0
	onSites(t, 100, func(t *testing.T, rng *rand.Rand, s site) {
		s = s.limited(rng)
		got := s.measure(t)
		area := ringArea(s.outline[0])
		_, all := balance(got)
		require.InEpsilon(t, area, all, 1e-13, "areas add up to the outline's")
		require.InDelta(t, got.Cut-got.Fill, got.CutLessFill, 1e-13*(got.Cut+got.Fill))
		for _, v := range []float64{got.Cut, got.Fill, got.CutArea, got.FillArea, got.LevelArea, got.UncoveredArea} {
			require.GreaterOrEqual(t, v, 0.0)
		}
		require.LessOrEqual(t, got.Cut, got.CutArea*got.MaxCut.Depth*(1+1e-13))
		require.LessOrEqual(t, got.Fill, got.FillArea*got.MaxFill.Depth*(1+1e-13))
		require.Equal(t, got.Cut > 0, got.MaxCut.Depth > 0)
		require.Equal(t, got.Fill > 0, got.MaxFill.Depth > 0)
		if got.UncoveredArea > 0 {
			uncovered++
		}
	})
	require.Greater(t, uncovered, 20)
}

// ringArea is the area of a ring by trapezia from its first corner.
func ringArea(r orb.Ring) float64 {
	area := 0.0
	for i, a := range r {
		b := r[(i+1)%len(r)]
		area += ((a[0]-r[0][0])*(b[1]-r[0][1]) - (b[0]-r[0][0])*(a[1]-r[0][1])) / 2
	}
	return math.Abs(area)
}

// Of places equally deep the first by (easting, northing) counts.
func TestDeepestOfEqual(t *testing.T) {
	rng := rand.New(rand.NewPCG(72, 1))
	points := make([]tin.Point, 300)
	least := orb.Point{math.Inf(1), math.Inf(1)}
	for i := range points {
		p := orb.Point{milli(100 * rng.Float64()), milli(100 * rng.Float64())}
		points[i] = tin.Point{E: p[0], N: p[1], Level: 10}
		if p[0] < least[0] || (p[0] == least[0] && p[1] < least[1]) {
			least = p
		}
	}
	s := site{points: points}.surface(t)
	outline, _ := beyond(s)
	require.Equal(t, volume.Depth{Depth: 1, At: least}, against(t, s, tin.LevelPlane(9), outline).MaxCut)
	require.Equal(t, volume.Depth{Depth: 2, At: least}, against(t, s, tin.LevelPlane(12), outline).MaxFill)
}
