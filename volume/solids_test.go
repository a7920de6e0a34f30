package volume_test

import (
	"context"
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/tintest"
	"barrow/volume"
)

// ground builds a surface from points and breaklines in metres.
func ground(t testing.TB, points []tin.Point, lines ...tin.Breakline) *tin.Surface {
	t.Helper()
	s, err := tin.Build(context.Background(), []tin.Source{{Points: points, Breaklines: lines}}, tin.Options{})
	require.NoError(t, err)
	return s
}

// spots makes points of triples E, N, level.
func spots(v ...float64) []tin.Point {
	var points []tin.Point
	for ; len(v) > 0; v = v[3:] {
		points = append(points, tin.Point{E: v[0], N: v[1], Level: v[2]})
	}
	return points
}

// loop is a closed breakline round a ring at one level.
func loop(ring orb.Ring, level float64) tin.Breakline {
	var l tin.Breakline
	for _, p := range append(ring[:len(ring):len(ring)], ring[0]) {
		l.Vertices = append(l.Vertices, tin.Point{E: p[0], N: p[1], Level: level})
	}
	return l
}

// polygonal is a regular polygon of n corners.
func polygonal(n int, r float64) orb.Ring {
	var ring orb.Ring
	for i := range n {
		s, c := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		ring = append(ring, orb.Point{r * c, r * s})
	}
	return ring
}

// frustum is a flat-topped hill with a regular base at 0 and a top at h.
func frustum(t *testing.T, n int, base, top, h float64) (*tin.Surface, orb.Polygon) {
	below, above := polygonal(n, base), polygonal(n, top)
	lines := []tin.Breakline{loop(below, 0), loop(above, h)}
	for i := range n {
		lines = append(lines, tin.Breakline{Vertices: spots(below[i][0], below[i][1], 0, above[i][0], above[i][1], h)})
	}
	return ground(t, nil, lines...), orb.Polygon{below}
}

// Solids with closed forms of school geometry: prism A h, pyramid A h / 3,
// frustum h/3 (A1 + A2 + sqrt(A1 A2)), wedge (2 a + c) b h / 6 with base a by b
// and ridge c.
func TestSolids(t *testing.T) {
	flat := ground(t, spots(-50, -50, 20, 150, -50, 20, 150, 150, 20, -50, 150, 20))
	type want struct{ cut, fill, cutArea, fillArea, levelArea, maxCut, maxFill float64 }
	polygonArea := func(n int, r float64) float64 { return float64(n) / 2 * r * r * math.Sin(2*math.Pi/float64(n)) }
	hill, hillBase := frustum(t, 6, 10, 5, 3)
	a1, a2 := polygonArea(6, 10), polygonArea(6, 5)
	point := spots(0, 0, 6)
	for _, p := range polygonal(5, 10) {
		point = append(point, tin.Point{E: p[0], N: p[1]})
	}
	pyramid := ground(t, point)
	a5 := polygonArea(5, 10)
	ridge := ground(t, spots(0, 0, 0, 20, 0, 0, 20, 10, 0, 0, 10, 0),
		tin.Breakline{Vertices: spots(0, 0, 0, 5, 5, 4, 0, 10, 0)}, tin.Breakline{Vertices: spots(5, 5, 4, 15, 5, 4)},
		tin.Breakline{Vertices: spots(20, 0, 0, 15, 5, 4, 20, 10, 0)})
	rectangle := func(w, d float64) orb.Polygon { return box(0, 0, w, d) }
	for _, c := range []struct {
		name    string
		ground  *tin.Surface
		plane   tin.Plane
		outline orb.Polygon
		want    want
	}{
		{"pad 10 x 10 m dug 0.5 m", flat, tin.LevelPlane(19.5), rectangle(10, 10),
			want{cut: 50, cutArea: 100, maxCut: 0.5}},
		{"pad 10 x 10 m raised 0.5 m", flat, tin.LevelPlane(20.5), rectangle(10, 10),
			want{fill: 50, fillArea: 100, maxFill: 0.5}},
		{"pad at ground level", flat, tin.LevelPlane(20), rectangle(10, 10),
			want{levelArea: 100}},
		// Falls 0.5 m over 10 m from the ground's level: half of a prism.
		{"wedge 1:20 to the east", flat, tin.FallingPlane(orb.Point{0, 0}, 20, 0.05, 90), rectangle(10, 8),
			want{cut: 20, cutArea: 80, maxCut: 0.5}},
		// About its middle: a wedge of cut, a wedge of fill, 4 x 10 x 0.2 / 2 each.
		{"fall about the middle", flat, tin.FallingPlane(orb.Point{5, 5}, 20, 0.05, 0), rectangle(8, 8),
			want{cut: 8 * 3 * 0.15 / 2, fill: 8 * 5 * 0.25 / 2, cutArea: 24, fillArea: 40, maxCut: 0.15, maxFill: 0.25}},
		{"pad with a hole", flat, tin.LevelPlane(19), append(rectangle(10, 10), box(2, 2, 4, 7)[0]),
			want{cut: 90, cutArea: 90, maxCut: 1}},
		{"pyramid", pyramid, tin.LevelPlane(0), orb.Polygon{polygonal(5, 10)},
			want{cut: a5 * 6 / 3, cutArea: a5, maxCut: 6}},
		{"pyramid filled over its top", pyramid, tin.LevelPlane(6), orb.Polygon{polygonal(5, 10)},
			want{fill: a5 * 6 * 2 / 3, fillArea: a5, maxFill: 6}},
		// At half its height the part above is 1/8 of it; fill is the rest of a
		// prism of half the height.
		{"pyramid at half height", pyramid, tin.LevelPlane(3), orb.Polygon{polygonal(5, 10)},
			want{cut: a5 * 6 / 24, fill: a5*3 - a5*6/3 + a5*6/24, cutArea: a5 / 4, fillArea: a5 * 3 / 4, maxCut: 3, maxFill: 3}},
		{"frustum", hill, tin.LevelPlane(0), hillBase,
			want{cut: 3.0 / 3 * (a1 + a2 + math.Sqrt(a1*a2)), cutArea: a1, maxCut: 3}},
		{"frustum filled to its top", hill, tin.LevelPlane(3), hillBase,
			want{fill: 3*a1 - 3.0/3*(a1+a2+math.Sqrt(a1*a2)), fillArea: a1 - a2, levelArea: a2, maxFill: 3}},
		{"hipped ridge", ridge, tin.LevelPlane(0), rectangle(20, 10),
			want{cut: (2*20 + 10) * 10 * 4.0 / 6, cutArea: 200, maxCut: 4}},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := against(t, c.ground, c.plane, c.outline)
			total := got.CutArea + got.FillArea + got.LevelArea
			for _, v := range []struct {
				what             string
				got, want, scale float64
			}{
				{"cut", got.Cut, c.want.cut, c.want.cut + c.want.fill},
				{"fill", got.Fill, c.want.fill, c.want.cut + c.want.fill},
				{"cut less fill", got.CutLessFill, c.want.cut - c.want.fill, c.want.cut + c.want.fill},
				{"cut area", got.CutArea, c.want.cutArea, total},
				{"fill area", got.FillArea, c.want.fillArea, total},
				{"area at level", got.LevelArea, c.want.levelArea, total},
				{"uncovered area", got.UncoveredArea, 0, 0},
				{"greatest cut", got.MaxCut.Depth, c.want.maxCut, 1},
				{"greatest fill", got.MaxFill.Depth, c.want.maxFill, 1},
			} {
				if !(math.Abs(v.got-v.want) <= 1e-13*v.scale) {
					t.Errorf("%s %v, want %v", v.what, v.got, v.want)
				}
			}
		})
	}
}

// A formation of two pads and a step between them, by hand: 10 x 10 m dug 1 m
// beside 10 x 5 m raised 0.2 m.
func TestFacetsOfTwoPads(t *testing.T) {
	flat := ground(t, spots(-50, -50, 20, 150, -50, 20, 150, 150, 20, -50, 150, 20))
	cells, err := flat.Partition([]orb.Polygon{box(0, 0, 10, 10), box(10, 0, 20, 5)}, nil)
	require.NoError(t, err)
	planes := []tin.Plane{tin.LevelPlane(19), tin.LevelPlane(20.2)}
	var facets []tin.Facet
	for _, c := range cells {
		facets = append(facets, tin.Facet{Cell: c, Plane: planes[c.In[0]]})
	}
	got, err := volume.AgainstFacets(t.Context(), flat, facets)
	require.NoError(t, err)
	require.InDelta(t, 100, got.Cut, 1e-11)
	require.InDelta(t, 10, got.Fill, 1e-12)
	require.InDelta(t, 100, got.CutArea, 1e-11)
	require.InDelta(t, 50, got.FillArea, 1e-11)
	require.InDelta(t, 90, got.CutLessFill, 1e-11)
	require.Equal(t, 1.0, got.MaxCut.Depth)
	require.InDelta(t, 0.2, got.MaxFill.Depth, 1e-14)
	require.Empty(t, got.ZeroLine, "depth jumps at a step, and is zero nowhere")
	none, err := volume.AgainstFacets(t.Context(), flat, nil)
	require.NoError(t, err)
	require.Equal(t, volume.CutFill{}, none)
}

// The shared solids, where they stand and shifted by 6,000 km and 100 m up.
func TestSharedSolids(t *testing.T) {
	for _, solid := range tintest.Solids() {
		for _, s := range []tintest.Solid{solid, solid.Moved(6e6, -6e6, 128)} {
			t.Run(s.Name, func(t *testing.T) {
				g, err := s.Surface()
				require.NoError(t, err)
				got := against(t, g, tin.LevelPlane(s.Level), s.Outline)
				require.InDelta(t, s.Cut, got.Cut, 1e-12*(s.Cut+s.Fill))
				require.InDelta(t, s.Fill, got.Fill, 1e-12*(s.Cut+s.Fill))
				require.InDelta(t, s.Cut-s.Fill, got.CutLessFill, 1e-12*(s.Cut+s.Fill))
				require.Zero(t, got.UncoveredArea)
			})
		}
	}
}

// Ground that breaks careless geometry: cut less fill over all of it is the sum
// of the prisms on its triangles, and nothing is lost.
func TestSharedSets(t *testing.T) {
	sets := 0
	for _, set := range tintest.Sets() {
		t.Run(set.Name, func(t *testing.T) {
			g, err := tin.FromPoints(set.Points)
			if err != nil {
				t.Skip(err) // in line: no ground
			}
			sets++
			st := g.Stats()
			level := (st.LevelMin + st.LevelMax) / 2
			outline, area := beyond(g)
			got := against(t, g, tin.LevelPlane(level), outline)
			// Coordinates in metres are rounded, those of an outlier by no little.
			b := g.Bound()
			far := max(-b.Min[0], -b.Min[1], b.Max[0], b.Max[1])
			rounding := 1e-15 * far * (b.Max[0] - b.Min[0] + b.Max[1] - b.Min[1])
			net, moved := 0.0, 0.0
			for _, tri := range g.Triangles() {
				c := tri.Corner
				mean := ((c[0].Level - level) + (c[1].Level - level) + (c[2].Level - level)) / 3
				net += triangleArea(tri) * mean
				moved += math.Abs(triangleArea(tri) * mean)
			}
			require.InDelta(t, net, got.CutLessFill, 1e-11*moved+rounding*(st.LevelMax-st.LevelMin))
			covered, all := balance(got)
			require.InDelta(t, st.Area, covered, 1e-12*st.Area+rounding)
			require.InEpsilon(t, area, all, 1e-12)
			for _, v := range []float64{got.Cut, got.Fill, got.CutArea, got.FillArea, got.LevelArea, got.UncoveredArea} {
				require.GreaterOrEqual(t, v, 0.0)
			}
		})
	}
	require.Greater(t, sets, 10)
}
