package volume_test

import (
	"context"
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/volume"
)

// around adds spots far enough round a site for the surface to cover it.
func (s site) around(rng *rand.Rand) site {
	s.points = slices.Clone(s.points)
	for _, p := range [][2]float64{{-50, -50}, {150, -50}, {150, 150}, {-50, 150}} {
		s.points = append(s.points, tin.Point{E: p[0], N: p[1], Level: float64(900+rng.IntN(200)) / 100})
	}
	return s
}

// trio is a site's ground and two other surfaces of it: another survey, and the
// ground with some levels changed.
func (s site) trio(t *testing.T, rng *rand.Rand) (a, b, c *tin.Surface) {
	t.Helper()
	dug := s
	dug.points = slices.Clone(s.points)
	for range 5 {
		dug.points[rng.IntN(len(dug.points))].Level -= float64(1+rng.IntN(300)) / 100
	}
	other := randomSite(rng)
	if s.points[len(s.points)-1].E == -50 { // see around
		other = other.around(rng)
	}
	return s.surface(t), other.surface(t), dug.surface(t)
}

// exchanged is a measurement with cut for fill.
func exchanged(c volume.CutFill) volume.CutFill {
	c.Cut, c.Fill, c.CutArea, c.FillArea = c.Fill, c.Cut, c.FillArea, c.CutArea
	c.MaxCut, c.MaxFill, c.CutLessFill = c.MaxFill, c.MaxCut, -c.CutLessFill
	return c
}

// Two surfaces the other way round: cut for fill.
func TestBetweenSwapped(t *testing.T) {
	onSites(t, 60, func(t *testing.T, rng *rand.Rand, s site) {
		a, b, c := s.limited(rng).trio(t, rng)
		for _, pair := range [][2]*tin.Surface{{a, b}, {a, c}} {
			alike(t, between(t, pair[0], pair[1], s.outline), exchanged(between(t, pair[1], pair[0], s.outline)), 1e-13)
			// Each has ground of its own, all else is common.
			want, got := between(t, pair[0], pair[1], nil), exchanged(between(t, pair[1], pair[0], nil))
			got.UncoveredArea = want.UncoveredArea
			alike(t, want, got, 1e-13)
		}
		// On one triangulation depths change their sign and nothing else.
		if len(s.options.Boundary)+len(s.options.Voids) == 0 {
			require.Equal(t, quantities(between(t, a, c, nil)), quantities(exchanged(between(t, c, a, nil))))
		}
	})
}

// From a to b and from b to c is from a to c.
func TestBetweenThreeSurfaces(t *testing.T) {
	onSites(t, 60, func(t *testing.T, rng *rand.Rand, s site) {
		a, b, c := s.around(rng).trio(t, rng)
		ab, bc, ac := between(t, a, b, s.outline), between(t, b, c, s.outline), between(t, a, c, s.outline)
		require.Zero(t, ab.UncoveredArea+bc.UncoveredArea+ac.UncoveredArea)
		moved := ab.Cut + ab.Fill + bc.Cut + bc.Fill + ac.Cut + ac.Fill
		require.InDelta(t, ac.CutLessFill, ab.CutLessFill+bc.CutLessFill, 1e-13*moved)
		require.InDelta(t, ac.Cut-ac.Fill, ac.CutLessFill, 1e-13*moved)
	})
}

// The parts of an outline cut in two add up, and so do ground and void.
func TestBetweenSplitOutline(t *testing.T) {
	onSites(t, 60, func(t *testing.T, rng *rand.Rand, s site) {
		a, b, c := s.limited(rng).trio(t, rng)
		e, n := milli(20+60*rng.Float64()), milli(20+60*rng.Float64())
		e2 := milli(20 + 60*rng.Float64())
		west := orb.Polygon{{{5, 8}, {e, 8}, {e2, n}, {e, 91}, {5, 91}}}
		east := orb.Polygon{{{97, 8}, {97, 91}, {e, 91}, {e2, n}, {e, 8}}}
		for _, g := range []*tin.Surface{b, c} {
			whole := between(t, a, g, box(5, 8, 97, 91))
			halves := sum(between(t, a, g, west), between(t, a, g, east))
			alike(t, whole, halves, 1e-13)
			hole := box(30, 40, 50, 55)
			alike(t, whole, sum(between(t, a, g, hole), between(t, a, g, orb.Polygon{box(5, 8, 97, 91)[0], hole[0]})), 1e-13)
		}
	})
}

// A spot on the surface changes nothing, nor does one inside a triangle.
func TestBetweenRefined(t *testing.T) {
	onSites(t, 60, func(t *testing.T, rng *rand.Rand, s site) {
		a, b, _ := s.around(rng).trio(t, rng)
		var points []tin.Point
		var lines []tin.Breakline
		for _, v := range b.Vertices() {
			points = append(points, tin.Point{E: v.E, N: v.N, Level: v.Level})
		}
		// All its edges are kept, so that only spots are added.
		at := slices.Clone(points)
		for _, e := range b.Edges() {
			lines = append(lines, tin.Breakline{Vertices: []tin.Point{at[e.Vertex[0]], at[e.Vertex[1]]}})
		}
		for i, tri := range b.Triangles() {
			if i%3 != 0 {
				continue
			}
			c := tri.Corner
			w := [3]float64{0.5, 0.3, 0.2}
			points = append(points, tin.Point{
				E: w[0]*c[0].E + w[1]*c[1].E + w[2]*c[2].E, N: w[0]*c[0].N + w[1]*c[1].N + w[2]*c[2].N,
				Level: w[0]*c[0].Level + w[1]*c[1].Level + w[2]*c[2].Level,
			})
		}
		fine, err := tin.Build(t.Context(), []tin.Source{{Points: points, Breaklines: lines}}, tin.Options{})
		require.NoError(t, err)
		require.Greater(t, fine.Stats().Triangles, b.Stats().Triangles)
		for _, outline := range []orb.Polygon{s.outline, nil} {
			alike(t, between(t, a, b, outline), between(t, a, fine, outline), 1e-12)
			alike(t, between(t, b, a, outline), between(t, fine, a, outline), 1e-12)
			r := between(t, b, fine, outline)
			require.Less(t, r.Cut+r.Fill, 1e-9)
		}
	})
}

// dug is ground with a dig in a circle, none of it fill: the same places.
func dug(points []tin.Point, centre orb.Point, radius float64) []tin.Point {
	out := slices.Clone(points)
	for i, p := range out {
		if d := math.Hypot(p.E-centre[0], p.N-centre[1]); d < radius {
			out[i].Level = milli(p.Level - 3*(1-d/radius) - 0.001)
		}
	}
	return out
}

// localArea is a triangle's area from local coordinates: those in metres are
// rounded to a nanometre on a map.
func localArea(f tin.Frame, t tin.Triangle) float64 {
	var x, y [3]float64
	for i, c := range t.Corner {
		x[i], y[i] = f.Local(orb.Point{c.E, c.N})
	}
	return ((x[1]-x[0])*(y[2]-y[0]) - (y[1]-y[0])*(x[2]-x[0])) / 2 * f.Area()
}

// Outside a dig surfaces are the same: there is no fill, and the area at level
// is that of the triangles without a spot that was moved.
func TestBetweenCoincideOutsideADig(t *testing.T) {
	for _, kind := range []string{"uniform", "clusters", "grid"} {
		t.Run(kind, func(t *testing.T) {
			points := groundOf(4000, kind)
			o := tin.Options{Duplicates: tin.DuplicatesFirst}
			before := built(t, o, points)
			b := before.Bound()
			centre := b.Center()
			after := built(t, o, dug(points, centre, 12))
			// On one triangulation the volume is a sum over spots: a third of the
			// area of the triangles round each, times how much it was moved.
			var cut, touched, whole tin.Sum
			var level []float64
			for _, v := range after.Vertices() {
				level = append(level, v.Level)
			}
			for _, tri := range before.Triangles() {
				depth := 0.0
				for i, v := range tri.Vertex {
					depth += tri.Corner[i].Level - level[v]
				}
				area := localArea(before.Frame(), tri)
				whole.Add(area)
				if depth > 0 {
					cut.Add(area * depth / 3)
					touched.Add(area)
				}
			}
			for _, outline := range []orb.Polygon{
				nil,
				box(b.Min[0]-1, b.Min[1]-1, b.Max[0]+1, b.Max[1]+1),
				// Round the dig, across triangles.
				{{{centre[0] - 25.3, centre[1] - 3.3}, {centre[0] + 0.7, centre[1] - 28.123}, {centre[0] + 26, centre[1] + 2.2}, {centre[0] - 1.1, centre[1] + 29}}},
			} {
				r := between(t, before, after, outline)
				require.Zero(t, r.Fill)
				require.Zero(t, r.FillArea)
				require.Zero(t, r.MaxFill)
				require.Empty(t, r.ZeroLine)
				require.InEpsilon(t, cut.Value(), r.Cut, 1e-13)
				require.Equal(t, r.Cut, r.CutLessFill)
				require.InEpsilon(t, touched.Value(), r.CutArea, 1e-13)
				if outline == nil {
					require.InEpsilon(t, whole.Value()-touched.Value(), r.LevelArea, 1e-13)
					require.Zero(t, r.UncoveredArea)
				}
				r = between(t, after, before, outline)
				require.Zero(t, r.Cut)
				require.Zero(t, r.CutArea)
				require.InEpsilon(t, cut.Value(), r.Fill, 1e-13)
			}
		})
	}
}

// sameBits holds Between of two surveys to the same bits in any order of spots,
// with any number of threads, and from any corner of the outline.
func sameBits(t *testing.T, first, second []tin.Point, outline orb.Polygon) {
	t.Helper()
	o := tin.Options{Duplicates: tin.DuplicatesMean}
	a, b := built(t, o, first), built(t, o, second)
	for _, within := range []orb.Polygon{nil, outline} {
		want := between(t, a, b, within)
		require.Positive(t, want.Cut)
		require.Positive(t, want.Fill)
		rng := rand.New(rand.NewPCG(41, 1))
		shuffled := func(points []tin.Point) *tin.Surface {
			points = slices.Clone(points)
			rng.Shuffle(len(points), func(i, j int) { points[i], points[j] = points[j], points[i] })
			return built(t, o, points)
		}
		require.Equal(t, want, between(t, shuffled(first), shuffled(second), within), "spots shuffled")
		threads := runtime.GOMAXPROCS(0)
		for _, n := range []int{1, 2, 8} {
			runtime.GOMAXPROCS(n)
			got := between(t, built(t, o, first), built(t, o, second), within)
			runtime.GOMAXPROCS(threads)
			require.Equal(t, want, got, "%d threads", n)
		}
		if within == nil {
			continue
		}
		open := within[0][:len(within[0])-1]
		for start := range open {
			turned := append(slices.Clone(open[start:]), open[:start]...)
			back := slices.Clone(turned)
			slices.Reverse(back)
			require.Equal(t, want, between(t, a, b, orb.Polygon{turned}), "outline from corner %d", start)
			require.Equal(t, want, between(t, a, b, orb.Polygon{back}), "outline backwards from corner %d", start)
		}
	}
}

// secondOf is another survey of the ground of groundOf, with other plan points.
func secondOf(n int) []tin.Point {
	points := groundOf(n, "uniform")
	b := orb.Bound{Min: orb.Point{300000, 5800000}, Max: orb.Point{300000 + math.Sqrt(float64(n)), 5800000 + math.Sqrt(float64(n))}}
	for i, p := range points {
		// Turned half round, so that no place is the same.
		e, no := milli(b.Min[0]+b.Max[0]-p.E), milli(b.Min[1]+b.Max[1]-p.N)
		points[i] = tin.Point{E: e, N: no, Level: milli(10 + 2*math.Sin((e-300000)/35) + 2*math.Cos((no-5800000)/50))}
	}
	return points
}

func starIn(n int) orb.Polygon {
	w := math.Sqrt(float64(n))
	ring := star(rand.New(rand.NewPCG(3, 3)), orb.Point{300000 + w/2, 5800000 + w/2}, 0.2*w, 0.6*w)
	return orb.Polygon{ring}
}

func TestBetweenSameBits(t *testing.T) {
	const n = 3000 // several parts
	first := groundOf(n, "uniform")
	sameBits(t, first, secondOf(n), starIn(n))
	for i, p := range first { // a dig and a bank
		if d := math.Hypot(p.E-300030, p.N-5800030); d < 10 {
			first[i].Level = milli(p.Level + math.Sin(d))
		}
	}
	sameBits(t, groundOf(n, "uniform"), first, starIn(n))
	// A coarse grid: ties, and places of one on edges of the other.
	coarse := func(step float64) []tin.Point {
		points := groundOf(1500, "uniform")
		for i, p := range points {
			points[i].E, points[i].N = math.Round(p.E/step)*step, math.Round(p.N/step)*step
		}
		return points
	}
	sameBits(t, coarse(1), coarse(2), starIn(1500))
}

// An outline that is none, and a context that is over, are errors.
func TestBetweenStops(t *testing.T) {
	a, b := built(t, tin.Options{}, groundOf(5000, "uniform")), built(t, tin.Options{}, secondOf(5000))
	var e *tin.InputError
	_, err := volume.Between(t.Context(), a, b, orb.Polygon{{{0, 0}, {10, 10}, {10, 0}, {0, 10}}})
	require.ErrorAs(t, err, &e)
	cancelled, cancel := context.WithCancel(t.Context())
	cancel()
	for _, outline := range []orb.Polygon{nil, starIn(5000)} {
		got, err := volume.Between(cancelled, a, b, outline)
		require.ErrorIs(t, err, context.Canceled)
		require.Equal(t, volume.CutFill{}, got)
	}
	// In the middle: no piece is told of long after.
	o, err := tin.NewOverlay(a, b, nil)
	require.NoError(t, err)
	threads := runtime.GOMAXPROCS(1)
	defer runtime.GOMAXPROCS(threads)
	middle, cancel := context.WithCancel(t.Context())
	after := 0
	err = o.Visit(middle, func(_ int, _ *tin.CommonPiece) {
		if middle.Err() != nil {
			after++
		}
		cancel()
	}, func(int, float64) {})
	require.ErrorIs(t, err, context.Canceled)
	require.Less(t, after, 200, "the rest of one triangle")
}
