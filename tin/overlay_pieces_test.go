package tin_test

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/tintest"
)

// overlayOf is what an overlay tells, its pieces kept.
type overlayOf struct {
	*tin.Overlay
	a, b   *tin.Surface
	pieces []tin.CommonPiece
	gaps   float64
}

func overlay(t testing.TB, a, b *tin.Surface, within orb.Polygon) overlayOf {
	t.Helper()
	o, err := tin.NewOverlay(a, b, within)
	require.NoError(t, err)
	parts := make([][]tin.CommonPiece, o.Parts())
	gaps := make([]tin.Sum, o.Parts())
	require.NoError(t, o.Visit(t.Context(), func(part int, p *tin.CommonPiece) {
		q := *p
		q.Corner = append([]tin.CommonCorner(nil), p.Corner...)
		parts[part] = append(parts[part], q)
	}, func(part int, area float64) {
		require.Positive(t, area)
		gaps[part].Add(area)
	}))
	out := overlayOf{Overlay: o, a: a, b: b}
	for i, p := range parts {
		out.pieces = append(out.pieces, p...)
		out.gaps += gaps[i].Value()
	}
	return out
}

// twiceArea is twice the local area of a piece.
func twiceArea(c []tin.CommonCorner) float64 {
	sum := 0.0
	for i := 2; i < len(c); i++ {
		sum += (c[i-1].X-c[0].X)*(c[i].Y-c[0].Y) - (c[i-1].Y-c[0].Y)*(c[i].X-c[0].X)
	}
	return sum
}

// covered is the area of all pieces, square metres.
func (o overlayOf) covered() float64 {
	var sum tin.Sum
	for _, p := range o.pieces {
		sum.Add(twiceArea(p.Corner) / 2)
	}
	return sum.Value() * o.Frame().Area()
}

// check holds each piece: at least three corners, anticlockwise and convex,
// within its two triangles, with the levels of both.
func (o overlayOf) check(t *testing.T, tolerance float64) {
	t.Helper()
	for _, p := range o.pieces {
		c := p.Corner
		require.GreaterOrEqual(t, len(c), 3)
		var e, n, za, zb float64
		for i := range c {
			at := o.Frame().Metres(c[i].X, c[i].Y)
			e, n = e+at[0]/float64(len(c)), n+at[1]/float64(len(c))
			za, zb = za+c[i].A/float64(len(c)), zb+c[i].B/float64(len(c))
			for k, level := range [2]float64{c[i].A, c[i].B} {
				tri := [2]tin.Triangle{o.a.Triangle(p.A), o.b.Triangle(p.B)}[k]
				lo, hi := math.Inf(1), math.Inf(-1)
				for _, v := range tri.Corner {
					lo, hi = min(lo, v.Level), max(hi, v.Level)
				}
				require.True(t, lo <= level && level <= hi, "level %v of surface %d, from %v to %v", level, k, lo, hi)
			}
		}
		// Too thin a piece has no place that is in it for sure.
		if area := twiceArea(c) / 2 * o.Frame().Area(); area < 1e-9 {
			require.Greater(t, area, -1e-12)
			continue
		}
		for k, s := range [2]*tin.Surface{o.a, o.b} {
			z, ok := s.LevelAt(e, n)
			require.True(t, ok, "surface %d has no ground at %v, %v", k, e, n)
			require.InDelta(t, z, [2]float64{za, zb}[k], tolerance, "surface %d at %v, %v", k, e, n)
			require.True(t, holds([2]tin.Triangle{o.a.Triangle(p.A), o.b.Triangle(p.B)}[k], e, n), "the triangle of surface %d named by a piece", k)
		}
	}
}

// holds reports whether a triangle holds a place, but for rounding.
func holds(tri tin.Triangle, e, n float64) bool {
	for i, a := range tri.Corner {
		b := tri.Corner[(i+1)%3]
		if (b.E-a.E)*(n-a.N)-(b.N-a.N)*(e-a.E) < -1e-6*math.Hypot(b.E-a.E, b.N-a.N) {
			return false
		}
	}
	return true
}

// edges holds that pieces fit together to the bit: levels at a corner are the
// same for all pieces round it, and each side is the side of another piece the
// other way round. It returns the sides that are not.
func (o overlayOf) edges(t *testing.T) (rim [][2]orb.Point) {
	t.Helper()
	levels := make(map[orb.Point][2]float64)
	sides := make(map[[2]orb.Point]int)
	for _, p := range o.pieces {
		for i, c := range p.Corner {
			at := orb.Point{c.X, c.Y}
			if before, ok := levels[at]; ok {
				require.Equal(t, before, [2]float64{c.A, c.B}, "levels at %v", at)
			}
			levels[at] = [2]float64{c.A, c.B}
			d := p.Corner[(i+1)%len(p.Corner)]
			if to := (orb.Point{d.X, d.Y}); to != at {
				sides[[2]orb.Point{at, to}]++
			}
		}
	}
	for s, n := range sides {
		require.Equal(t, 1, n, "two pieces on one side of %v", s)
		if sides[[2]orb.Point{s[1], s[0]}] == 0 {
			rim = append(rim, s)
		}
	}
	return rim
}

// scattered makes spots over a square of 100 m, and at its corners.
func scattered(rng *rand.Rand, n int) []tin.Point {
	points := spots(0, 0, 10, 100, 0, 11, 100, 100, 9, 0, 100, 10)
	for range n {
		points = append(points, tin.Point{
			E: math.Round(100000*rng.Float64()) / 1000, N: math.Round(100000*rng.Float64()) / 1000,
			Level: 10 + math.Round(400*rng.Float64())/100,
		})
	}
	return points
}

// Of two surfaces in no special position the pieces fit together like a mesh,
// and only the rim is left over.
func TestOverlayFitsTogether(t *testing.T) {
	for seed := range uint64(10) {
		rng := rand.New(rand.NewPCG(51, seed))
		a, b := build(t, scattered(rng, 300)), build(t, scattered(rng, 200))
		whole := overlay(t, a, b, nil)
		whole.check(t, 1e-9)
		assert.InEpsilon(t, 1e4, whole.covered(), 1e-13)
		assert.Zero(t, whole.gaps)
		assert.Zero(t, whole.Beyond())
		require.Greater(t, len(whole.pieces), 1000)
		for _, s := range whole.edges(t) {
			x, y := whole.Frame().Local(orb.Point{100, 100})
			on := s[0][0] == 0 && s[1][0] == 0 || s[0][1] == 0 && s[1][1] == 0 || s[0][0] == x && s[1][0] == x || s[0][1] == y && s[1][1] == y
			require.True(t, on, "%v is no side of the square", s)
		}

		outline := orb.Polygon{{{10.5, 12.25}, {88.125, 7.5}, {60.25, 50.0625}, {91.5, 90.75}, {20.125, 80.5}}, {{40, 30}, {45.5, 61}, {51, 33}}}
		within := overlay(t, a, b, outline)
		within.check(t, 1e-9)
		area := 0.0
		for i, ring := range outline {
			area += float64(1-2*i) * math.Abs(ringArea(ring))
		}
		assert.InEpsilon(t, area, within.covered(), 1e-13)
		assert.Zero(t, within.gaps)
		assert.InDelta(t, 0, within.Beyond(), 1e-9)
		f := within.Frame()
		for _, s := range within.edges(t) {
			p, q := f.Metres(s[0][0], s[0][1]), f.Metres(s[1][0], s[1][1])
			require.Less(t, offOutline(outline, p), 1e-9)
			require.Less(t, offOutline(outline, q), 1e-9)
			require.Less(t, offOutline(outline, orb.Point{(p[0] + q[0]) / 2, (p[1] + q[1]) / 2}), 1e-9, "%v to %v", p, q)
		}
	}
}

func ringArea(r orb.Ring) float64 {
	sum := 0.0
	for i, p := range r {
		q := r[(i+1)%len(r)]
		sum += p[0]*q[1] - p[1]*q[0]
	}
	return sum / 2
}

// offOutline is how far a place is from the sides of an outline.
func offOutline(p orb.Polygon, at orb.Point) float64 {
	least := math.Inf(1)
	for _, ring := range p {
		for i, a := range ring {
			b := ring[(i+1)%len(ring)]
			ux, uy := b[0]-a[0], b[1]-a[1]
			t := min(max(((at[0]-a[0])*ux+(at[1]-a[1])*uy)/(ux*ux+uy*uy), 0), 1)
			least = min(least, math.Hypot(a[0]+t*ux-at[0], a[1]+t*uy-at[1]))
		}
	}
	return least
}

// Where surfaces have the same triangles the pieces are those triangles.
func TestOverlayOfTheSameTriangles(t *testing.T) {
	for _, set := range tintest.Sets() {
		if set.InLine {
			continue
		}
		t.Run(set.Name, func(t *testing.T) {
			raised := append([]tin.Point(nil), set.Points...)
			for i := range raised {
				raised[i].Level += 0.5
			}
			a, b := build(t, set.Points), build(t, raised)
			o := overlay(t, a, b, nil)
			n := 0
			for k := range a.Triangles() {
				require.Equal(t, k, o.pieces[n].A)
				require.Equal(t, k, o.pieces[n].B)
				require.Len(t, o.pieces[n].Corner, 3)
				for _, c := range o.pieces[n].Corner {
					require.InDelta(t, 0.5, c.B-c.A, 1e-14)
				}
				n++
			}
			require.Len(t, o.pieces, n)
			require.Empty(t, o.gaps)
			require.Zero(t, o.Beyond())
		})
	}
}

// Hard sets against a grid over them and against themselves turned half round:
// all areas add up, both ways.
func TestOverlayOfHardSets(t *testing.T) {
	for _, set := range tintest.Sets() {
		if set.InLine {
			continue
		}
		t.Run(set.Name, func(t *testing.T) {
			a := build(t, set.Points)
			bound := a.Bound()
			w, h := bound.Max[0]-bound.Min[0], bound.Max[1]-bound.Min[1]
			var over, turned []tin.Point
			for i := range 6 {
				for k := range 5 {
					over = append(over, tin.Point{
						E: bound.Min[0] + w*(1.2*float64(i)/5-0.1), N: bound.Min[1] + h*(1.2*float64(k)/4-0.1), Level: float64((i*7 + k*3) % 5),
					})
				}
			}
			for _, p := range set.Points {
				p.E, p.N = bound.Min[0]+bound.Max[0]-p.E, bound.Min[1]+bound.Max[1]-p.N
				turned = append(turned, p)
			}
			area := a.Stats().Area
			grid := build(t, over)
			o := overlay(t, a, grid, nil)
			// A hair's breadth as long as the site is within rounding of it, and on a
			// map decimals are rounded to doubles.
			far := max(math.Abs(bound.Max[0]), math.Abs(bound.Max[1]))
			slack := 1e-13*(area+(w+h)*(w+h)) + 0x1p-52*far*(w+h)
			assert.InDelta(t, area, o.covered(), slack)
			assert.InDelta(t, 0, o.gaps, slack)
			back := overlay(t, grid, a, nil)
			assert.InDelta(t, area, back.covered(), slack)
			assert.InDelta(t, grid.Stats().Area-area, back.gaps, slack)
			half := buildWith(t, tin.Options{Duplicates: tin.DuplicatesFirst}, turned)
			o, back = overlay(t, a, half, nil), overlay(t, half, a, nil)
			assert.InDelta(t, o.covered(), back.covered(), slack)
			assert.InDelta(t, area, o.covered()+o.gaps, slack)
			assert.InDelta(t, half.Stats().Area, back.covered()+back.gaps, slack)
		})
	}
}

// Limits of either surface, with and without a polygon: pieces lie where both
// have ground, and what is left of the polygon, or of the first surface's
// ground, is told of.
func TestOverlayWithinLimits(t *testing.T) {
	limits := []tin.Options{
		{},
		{Boundary: orb.MultiPolygon{box(20, 20, 70, 90)}},
		{Voids: orb.MultiPolygon{box(30, 10, 60, 50), box(65, 60, 80, 70)}},
		{MaxEdge: 12},
		{Boundary: orb.MultiPolygon{box(5, 5, 95, 60)}, Voids: orb.MultiPolygon{box(0, 30, 50, 40)}, MaxEdge: 14},
	}
	outline := orb.Polygon{{{-10, 15}, {105, 2}, {80, 110}, {30, 60}}}
	for i, la := range limits {
		for k, lb := range limits {
			t.Run(fmt.Sprint(i, k), func(t *testing.T) {
				rng := rand.New(rand.NewPCG(52, 1))
				a, b := buildWith(t, la, scattered(rng, 300)), buildWith(t, lb, scattered(rng, 250))
				for _, within := range []orb.Polygon{nil, outline} {
					o := overlay(t, a, b, within)
					o.check(t, 1e-9)
					whole := a.Stats().Area
					if within != nil {
						whole = math.Abs(ringArea(outline[0]))
					}
					assert.InDelta(t, whole, o.covered()+o.gaps+o.Beyond(), 1e-9)
					// The same by sampling where both have ground.
					n, both := 0, 0
					for range 4000 {
						e, no := -20+140*rng.Float64(), -20+140*rng.Float64()
						if within != nil && !inRing(outline[0], orb.Point{e, no}) {
							continue
						}
						n++
						_, inA := a.LevelAt(e, no)
						_, inB := b.LevelAt(e, no)
						if inA && inB {
							both++
						}
					}
					size := 140.0 * 140
					if within != nil {
						size = whole
					}
					assert.InDelta(t, size*float64(both)/float64(n), o.covered(), 700, "by %d samples", n)
				}
			})
		}
	}
}

// inRing counts sides to the east.
func inRing(r orb.Ring, p orb.Point) bool {
	in := false
	for i, a := range r {
		b := r[(i+1)%len(r)]
		if (a[1] > p[1]) != (b[1] > p[1]) && p[0] < a[0]+(p[1]-a[1])/(b[1]-a[1])*(b[0]-a[0]) {
			in = !in
		}
	}
	return in
}

// In order the pieces are those of the parts in a row, and there are several parts.
func TestVisitInOrder(t *testing.T) {
	r := rand.New(rand.NewPCG(6, 6))
	surface := func() *tin.Surface {
		var points []tin.Point
		for range 3000 {
			points = append(points, tin.Point{E: math.Round(1e6*r.Float64()) / 1e4, N: math.Round(1e6*r.Float64()) / 1e4, Level: r.Float64()})
		}
		return build(t, points)
	}
	o := overlay(t, surface(), surface(), nil)
	require.Greater(t, o.Parts(), 2)
	i := 0
	require.NoError(t, o.VisitInOrder(t.Context(), func(p *tin.CommonPiece) {
		if i < len(o.pieces) && !assert.ObjectsAreEqual(o.pieces[i], *p) {
			require.Equal(t, o.pieces[i], *p)
		}
		i++
	}))
	require.Len(t, o.pieces, i)
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	require.ErrorIs(t, o.VisitInOrder(ctx, func(*tin.CommonPiece) { t.Fatal("visited") }), context.Canceled)
}
