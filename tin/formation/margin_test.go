package formation_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/formation"
)

func layOut(t testing.TB, p formation.Pad) *formation.Layout {
	t.Helper()
	l, err := formation.Lay(t.Context(), field(t, 0, 0), []formation.Pad{p}, formation.Options{})
	require.NoError(t, err)
	return l
}

// corners returns the places of a formation outline's corners.
func corners(o formation.Outline) (out orb.Polygon) {
	for _, ring := range o.Rings {
		var r orb.Ring
		for _, c := range ring {
			r = append(r, orb.Point{c.E, c.N})
		}
		out = append(out, r)
	}
	return out
}

func ringArea(r orb.Ring) (twice float64) {
	for i := range r {
		j := (i + 1) % len(r)
		twice += (r[i][0]-r[0][0])*(r[j][1]-r[0][1]) - (r[j][0]-r[0][0])*(r[i][1]-r[0][1])
	}
	return twice / 2
}

// outlineArea is the area within a formation outline. It checks that rings run
// as they are to and come to no corner twice.
func outlineArea(t testing.TB, o formation.Outline) (sum float64) {
	for k, r := range corners(o) {
		a := ringArea(r)
		assert.Equal(t, k == 0, a > 0, "ring %d runs the wrong way round", k)
		sum += a
		seen := map[orb.Point]bool{}
		for _, v := range r {
			assert.False(t, seen[v], "ring %d is at %v twice", k, v)
			seen[v] = true
		}
		assert.Equal(t, slices.MinFunc(r, func(a, b orb.Point) int { return slices.Compare(a[:], b[:]) }), r[0])
	}
	return sum
}

func TestMarginOfASquare(t *testing.T) {
	cut := formation.Batter{Along: 1}
	l := layOut(t, formation.Pad{Outline: square(10), Finished: 63, Margin: 0.75, Cut: cut})
	p := l.Pads[0]
	assert.InDelta(t, 100, area(p.Facets), 1e-12)
	assert.InDelta(t, 11.5*11.5-100, area(p.Margin), 1e-12)
	assert.InDelta(t, 11.5*11.5, p.FormationArea, 1e-12)
	require.Len(t, l.Outlines, 1)
	c := func(e, n float64) formation.RimCorner { return formation.RimCorner{E: e, N: n, Level: 63, Cut: cut} }
	assert.Equal(t, formation.Outline{Pads: []int{0}, Rings: [][]formation.RimCorner{{
		c(-0.75, -0.75), c(10.75, -0.75), c(10.75, 10.75), c(-0.75, 10.75)}}}, l.Outlines[0])
}

// Without a margin the formation outline is the outline, corner for corner.
func TestNoMargin(t *testing.T) {
	outline := orb.Polygon{
		{{0.1, 0.2}, {0.1, 9.3}, {5, 9.3}, {7.7, 9.3}, {9.1, 0.7}, {9.1, 0.7}},
		{{2, 2}, {4, 2.1}, {3, 4.123456789012345}},
	}
	for _, margin := range []float64{0, 1e-7} {
		l := layOut(t, formation.Pad{Outline: outline, Finished: 63, Margin: margin})
		assert.Equal(t, orb.Polygon{
			{{0.1, 0.2}, {9.1, 0.7}, {7.7, 9.3}, {5, 9.3}, {0.1, 9.3}},
			{{2, 2}, {3, 4.123456789012345}, {4, 2.1}},
		}, corners(l.Outlines[0]))
		assert.Empty(t, l.Pads[0].Margin)
		assert.Equal(t, l.Pads[0].Geometry.Area, l.Pads[0].FormationArea)
	}
}

func TestMarginOfAHole(t *testing.T) {
	// A 4 m by 2 m hole gets smaller by the margin on all sides, and is gone at 1 m.
	outline := append(square(10), orb.Ring{{2, 3}, {6, 3}, {6, 5}, {2, 5}})
	for _, m := range []float64{0.25, 0.75, 0.9999, 1, 1.5} {
		l := layOut(t, formation.Pad{Outline: outline, Finished: 63, Margin: m})
		hole := max(0, 4-2*m) * max(0, 2-2*m)
		assert.InDelta(t, (10+2*m)*(10+2*m)-hole, outlineArea(t, l.Outlines[0]), 1e-12, "margin %g", m)
		assert.InDelta(t, (10+2*m)*(10+2*m)-hole, l.Pads[0].FormationArea, 1e-9, "margin %g", m)
		assert.Equal(t, hole == 0, len(l.Outlines[0].Rings) == 1, "margin %g", m)
	}
}

func TestMarginOfAnEll(t *testing.T) {
	// Inward corners bring no piece: 75 + perimeter 40 x m + (5 - 1) m^2.
	ell := orb.Polygon{{{0, 0}, {10, 0}, {10, 5}, {5, 5}, {5, 10}, {0, 10}}}
	l := layOut(t, formation.Pad{Outline: ell, Finished: 63, Margin: 0.5})
	assert.InDelta(t, 75+20+1, outlineArea(t, l.Outlines[0]), 1e-12)
	assert.Equal(t, orb.Polygon{{{-0.5, -0.5}, {10.5, -0.5}, {10.5, 5.5}, {5.5, 5.5}, {5.5, 10.5}, {-0.5, 10.5}}}, corners(l.Outlines[0]))
}

// Many short sides: a regular outline of any number of sides grows to a regular one.
func TestMarginOfManySides(t *testing.T) {
	const e, n, apothem, m = 312540.0, 5812300.0, 25.0, 0.75
	for _, k := range []int{5, 64, 720, 3000} {
		step := math.Pi / float64(k)
		var ring orb.Ring
		for i := range k {
			a := 2 * step * (float64(i) + 0.3)
			ring = append(ring, orb.Point{e + apothem/math.Cos(step)*math.Cos(a), n + apothem/math.Cos(step)*math.Sin(a)})
		}
		l, err := formation.Lay(t.Context(), field(t, e, n), []formation.Pad{{Outline: orb.Polygon{ring}, Finished: 63, Margin: m}}, formation.Options{})
		require.NoError(t, err)
		require.Len(t, l.Outlines[0].Rings, 1)
		assert.Len(t, l.Outlines[0].Rings[0], k)
		want := float64(k) * math.Tan(step) * (apothem + m) * (apothem + m)
		assert.InDelta(t, want, outlineArea(t, l.Outlines[0]), 1e-6, "%d sides", k)
		assert.InDelta(t, want, l.Pads[0].FormationArea, 1e-6, "%d sides", k)
	}
}

// A needle's point is cut off square at twice the margin.
func TestMarginOfANeedle(t *testing.T) {
	l := layOut(t, formation.Pad{Outline: orb.Polygon{{{0, 0}, {20, -0.5}, {20, 0.5}}}, Finished: 63, Margin: 1,
		Cut: formation.Batter{Along: 1}, Edges: []formation.Edge{{From: "1", To: "2", Cut: &formation.Batter{Along: 2}}}})
	ring := l.Outlines[0].Rings[0]
	assert.InDelta(t, -2, ring[0].E, 1e-12)
	assert.InDelta(t, -2, ring[len(ring)-1].E, 1e-12)
	assert.InDelta(t, -ring[0].N, ring[len(ring)-1].N, 1e-12)
	// The cut has the flatter of the two batters, sides beside it their own.
	assert.Equal(t, 2.0, ring[len(ring)-1].Cut.Along)
	assert.Equal(t, 2.0, ring[0].Cut.Along)
	assert.Equal(t, 1.0, ring[len(ring)-2].Cut.Along)
}

// A neck that closes leaves a hole behind it; one that only just closes, none of
// whose corners any ring comes to twice.
func TestMarginClosesANeck(t *testing.T) {
	// A 6 m by 4 m bay with a mouth 1 m wide and 1 m deep.
	flask := orb.Polygon{{{0, 0}, {10, 0}, {10, 10}, {5.5, 10}, {5.5, 9}, {8, 9}, {8, 5}, {2, 5}, {2, 9}, {4.5, 9}, {4.5, 10}, {0, 10}}}
	for _, turn := range []float64{0, 0.3} {
		for _, m := range []float64{0.5, 0.6} {
			outline := moved(flask, 0, 0)
			for i, v := range outline[0] {
				outline[0][i] = orb.Point{v[0]*math.Cos(turn) - v[1]*math.Sin(turn), v[0]*math.Sin(turn) + v[1]*math.Cos(turn)}
			}
			l := layOut(t, formation.Pad{Outline: outline, Finished: 63, Margin: m})
			require.Len(t, l.Outlines[0].Rings, 2, "turn %g margin %g", turn, m)
			assert.InDelta(t, (10+2*m)*(10+2*m)-(6-2*m)*(4-2*m), outlineArea(t, l.Outlines[0]), 1e-9)
			assert.InDelta(t, (10+2*m)*(10+2*m)-(6-2*m)*(4-2*m), l.Pads[0].FormationArea, 1e-9)
			// Four corners and, on the line of the mouth, where the one side takes over from the other.
			assert.Len(t, l.Outlines[0].Rings[0], 5)
			assert.Len(t, l.Outlines[0].Rings[1], 5)
		}
	}
}

// Two halves of a bay's mouth that meet in a point.
func TestMarginTouchesItself(t *testing.T) {
	bow := orb.Polygon{{{0, 0}, {12, 0}, {12, 6}, {9, 6}, {7, 4}, {9, 2}, {3, 2}, {5, 4}, {3, 6}, {0, 6}}}
	l := layOut(t, formation.Pad{Outline: bow, Finished: 63, Margin: 1 / math.Sqrt2})
	assert.Len(t, l.Outlines[0].Rings, 2)
	assert.InDelta(t, l.Pads[0].FormationArea, outlineArea(t, l.Outlines[0]), 1e-9)
}

// Sides with margins of their own.
func TestMarginsBySide(t *testing.T) {
	zero, two := 0.0, 2.0
	fill := formation.Batter{Along: 3}
	l := layOut(t, formation.Pad{Outline: square(10), Finished: 63, Margin: 1, Corners: []string{"A", "B", "C", "D"}, Fill: fill, Edges: []formation.Edge{
		{From: "B", To: "A", Margin: &zero, Upright: true},
		{From: "B", To: "D", Margin: &two},
	}})
	// West 1 m, south 0, east 2 m, north 2 m; the corners on the south side have none.
	c := func(e, n float64, b formation.Batter) formation.RimCorner {
		return formation.RimCorner{E: e, N: n, Level: 63, Fill: b}
	}
	assert.Equal(t, [][]formation.RimCorner{{
		c(-1, 0, fill), c(0, 0, formation.Batter{}), c(10, 0, fill), c(12, 0, fill), c(12, 12, fill), c(-1, 12, fill),
	}}, l.Outlines[0].Rings)
	assert.InDelta(t, 13*12, l.Pads[0].FormationArea, 1e-12)
}

// inMargin is the definition: whether p is in a rectangle outside a side or in
// the piece at an outward corner of a simple ring that has the pad on its left,
// all drawn in by eps.
func inMargin(ring orb.Ring, margin []float64, p orb.Point, eps float64) bool {
	dot := func(a, b orb.Point) float64 { return a[0]*b[0] + a[1]*b[1] }
	minus := func(a, b orb.Point) orb.Point { return orb.Point{a[0] - b[0], a[1] - b[1]} }
	n := len(ring)
	dir := func(i int) orb.Point {
		d := minus(ring[(i+1)%n], ring[i])
		l := math.Hypot(d[0], d[1])
		return orb.Point{d[0] / l, d[1] / l}
	}
	for i, v := range ring {
		u, m := dir(i), margin[i]
		q, right := minus(p, v), orb.Point{u[1], -u[0]}
		length := dot(minus(ring[(i+1)%n], v), u)
		if m > 0 && dot(q, u) >= eps && dot(q, u) <= length-eps && dot(q, right) >= eps && dot(q, right) <= m-eps {
			return true
		}
		k := (i + n - 1) % n
		w := dir(k)
		before := orb.Point{w[1], -w[0]}
		turn := math.Atan2(w[0]*u[1]-w[1]*u[0], dot(w, u))
		if turn <= 0 {
			continue
		}
		half := math.Atan2(before[1], before[0]) + turn/2
		bisector := orb.Point{math.Cos(half), math.Sin(half)}
		if dot(q, w) >= eps && dot(q, u) <= -eps && dot(q, before) <= margin[k]-eps && dot(q, right) <= m-eps &&
			dot(q, bisector) <= 2*max(m, margin[k])-eps && max(m, margin[k]) > 0 {
			return true
		}
	}
	return false
}

func inPolygon(p orb.Polygon, q orb.Point) (in bool) {
	for _, r := range p {
		for i, a := range r {
			b := r[(i+1)%len(r)]
			if (a[1] > q[1]) != (b[1] > q[1]) && q[0] < a[0]+(q[1]-a[1])/(b[1]-a[1])*(b[0]-a[0]) {
				in = !in
			}
		}
	}
	return in
}

func toSegment(p, a, b orb.Point) float64 {
	de, dn := b[0]-a[0], b[1]-a[1]
	s := ((p[0]-a[0])*de + (p[1]-a[1])*dn) / (de*de + dn*dn)
	s = min(max(s, 0), 1)
	return math.Hypot(p[0]-a[0]-s*de, p[1]-a[1]-s*dn)
}

// randomOutline is a star with corners sharp and blunt, some on a grid so that
// sides are parallel or in line, about (e, n), anticlockwise.
func randomOutline(rng *rand.Rand, e, n float64) orb.Polygon {
	for {
		k := 3 + rng.IntN(9)
		var ring orb.Ring
		grid := rng.IntN(3) == 0
		for i := range k {
			a := 2 * math.Pi * (float64(i) + 0.8*rng.Float64()) / float64(k)
			r := 3 + 20*math.Pow(rng.Float64(), 2)
			p := orb.Point{r * math.Cos(a), r * math.Sin(a)}
			if grid {
				p = orb.Point{math.Round(p[0]/2) * 2, math.Round(p[1]/2) * 2}
			}
			ring = append(ring, orb.Point{e + p[0], n + p[1]})
		}
		ring = slices.Compact(ring)
		if tin.CheckOutline(orb.Polygon{ring}) == nil && ringArea(ring) > 0 && ring[0] != ring[len(ring)-1] {
			return orb.Polygon{ring}
		}
	}
}

// Random outlines with random margins against the definition, point by point.
func TestMarginAgainstDefinition(t *testing.T) {
	rounds := 300
	if testing.Short() {
		rounds = 30
	}
	rng := rand.New(rand.NewPCG(7, 11))
	const eps = 1e-6
	inside, outside := 0, 0
	for round := range rounds {
		e, n := 0.0, 0.0
		if round%2 == 1 {
			e, n = 312540, 5812300
		}
		ground := field(t, e, n)
		outline := randomOutline(rng, e, n)
		ring := outline[0]
		pad := formation.Pad{Outline: outline, Finished: 63, Margin: []float64{0.3, 1, 2.5, 6}[rng.IntN(4)]}
		margin := make([]float64, len(ring))
		greatest := 0.0
		bySide := rng.IntN(2) == 0
		for i := range margin {
			margin[i] = pad.Margin
			if bySide && rng.IntN(2) == 0 {
				m := []float64{0, 0.5, 3}[rng.IntN(3)]
				margin[i] = m
				pad.Edges = append(pad.Edges, formation.Edge{From: fmt.Sprint(i + 1), To: fmt.Sprint((i+1)%len(ring) + 1), Margin: &m})
			}
			greatest = max(greatest, margin[i])
		}
		l, err := formation.Lay(t.Context(), ground, []formation.Pad{pad}, formation.Options{})
		require.NoError(t, err)
		wide := corners(l.Outlines[0])
		assert.InDelta(t, outlineArea(t, l.Outlines[0]), l.Pads[0].FormationArea, 1e-6, "round %d", round)
		assert.InDelta(t, area(l.Pads[0].Facets)+area(l.Pads[0].Margin), l.Pads[0].FormationArea, 1e-9, "round %d", round)
		bound := outline.Bound().Pad(2.2 * greatest)
		for range 400 {
			p := orb.Point{bound.Min[0] + rng.Float64()*(bound.Max[0]-bound.Min[0]), bound.Min[1] + rng.Float64()*(bound.Max[1]-bound.Min[1])}
			in := inPolygon(outline, p)
			far := math.Inf(1)
			for i, a := range ring {
				far = min(far, toSegment(p, a, ring[(i+1)%len(ring)]))
			}
			surely, maybe := in || inMargin(ring, margin, p, eps), in || inMargin(ring, margin, p, -eps)
			if surely != maybe {
				continue
			}
			got := inPolygon(wide, p)
			require.Equal(t, surely, got, "round %d point %v of %v margins %v", round, p, ring, margin)
			if got && !in {
				inside++
				assert.LessOrEqual(t, far, math.Sqrt(5)*greatest+eps)
			} else if !got {
				outside++
				if !bySide {
					assert.Greater(t, far, pad.Margin-eps)
				}
			}
		}
	}
	assert.Greater(t, inside, 20*rounds)
	assert.Greater(t, outside, 20*rounds)
}

// Where a side starts and which way round it runs changes no bit.
func TestMarginDoesNotDependOnStart(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 5))
	const e, n = 312540.0, 5812300.0
	ground := field(t, e, n)
	for range 20 {
		ring := randomOutline(rng, e, n)[0]
		hole := orb.Ring{{e - 0.4, n - 0.3}, {e + 0.5, n - 0.2}, {e, n + 0.45}}
		count := len(ring)
		lay := func(start int, reverse bool) *formation.Layout {
			var r orb.Ring
			var names []string
			for i := range ring {
				k := (start + i) % count
				if reverse {
					k = (start + count - i) % count
				}
				r, names = append(r, ring[k]), append(names, fmt.Sprintf("P%d", k))
			}
			wide := 2.0
			outline := orb.Polygon{r}
			if tin.CheckOutline(orb.Polygon{r, hole}) == nil {
				outline = orb.Polygon{r, hole}
			}
			l, err := formation.Lay(t.Context(), ground, []formation.Pad{{Outline: outline, Corners: names, Finished: 63, Margin: 0.7,
				Fall:  &formation.Fall{Slope: 0.01, Bearing: 33, At: orb.Point{e, n}},
				Edges: []formation.Edge{{From: "P1", To: "P2", Margin: &wide, Cut: &formation.Batter{Along: 2}}}}}, formation.Options{})
			require.NoError(t, err)
			return l
		}
		want := lay(0, false)
		for start := range count {
			for _, reverse := range []bool{false, true} {
				got := lay(start, reverse)
				require.Equal(t, want.Outlines, got.Outlines)
				require.Equal(t, want.Notes, got.Notes)
				require.Equal(t, want.Pads[0].FormationArea, got.Pads[0].FormationArea)
				require.Equal(t, len(want.Pads[0].Margin), len(got.Pads[0].Margin))
				for k, f := range got.Pads[0].Margin {
					require.Equal(t, want.Pads[0].Margin[k].Cell.Corner, f.Cell.Corner)
				}
			}
		}
	}
}
