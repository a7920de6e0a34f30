package tin_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
)

func contours(t testing.TB, s *tin.Surface, levels ...float64) []tin.Contour {
	t.Helper()
	got, err := s.Contours(t.Context(), levels, s.Bound())
	require.NoError(t, err)
	return got
}

// A pyramid of height 10 over a square of 20: at level z its contour is a square of side
// 2 (10 - z), closed, with the top on its left.
func TestContoursOfPyramid(t *testing.T) {
	s := build(t, spots(0, 0, 0, 20, 0, 0, 20, 20, 0, 0, 20, 0, 10, 10, 10))
	for _, c := range contours(t, s, 2.5, 5, 7.5) {
		require.Len(t, c.Line, 5)
		assert.Equal(t, c.Line[0], c.Line[4], "closed")
		side := 2 * (10 - c.Level)
		assert.InDelta(t, side*side, planar.Area(orb.Ring(c.Line)), 1e-12)
		assert.Equal(t, orb.CCW, orb.Ring(c.Line).Orientation())
		assert.Equal(t, orb.Point{c.Level, c.Level}, c.Line[0], "from the least place")
	}
	assert.Empty(t, contours(t, s, 10), "a top is only a place")
	assert.Empty(t, contours(t, s, 10.1, -1, 0, math.NaN(), math.Inf(1)), "no ground is below the foot")
}

// On one slope every contour is a straight line across; an exact vertex level too.
func TestContoursOfPlane(t *testing.T) {
	s := build(t, spots(0, 0, 0, 10, 0, 1, 20, 0, 2, 0, 10, 0, 10, 10, 1, 20, 10, 2))
	got := contours(t, s, 1.5, 1, 0.25)
	require.Len(t, got, 3)
	for i, want := range []float64{15, 10, 2.5} {
		first, last := got[i].Line[0], got[i].Line[len(got[i].Line)-1]
		assert.Equal(t, orb.Point{want, 10}, first, "higher ground on the left")
		assert.Equal(t, orb.Point{want, 0}, last)
		for _, p := range got[i].Line {
			assert.Equal(t, want, p[0])
		}
	}
}

// Level ground at a level has the contour along its lower rim.
func TestContoursOfTerrace(t *testing.T) {
	s := build(t, spots(0, 0, 0, 10, 0, 1, 20, 0, 1, 30, 0, 2, 0, 10, 0, 10, 10, 1, 20, 10, 1, 30, 10, 2))
	got := contours(t, s, 1)
	require.Len(t, got, 1)
	assert.Equal(t, orb.LineString{{10, 10}, {10, 0}}, got[0].Line)
}

// Boundary and voids cut contours; a box leaves out triangles beside it.
func TestContoursWithinLimits(t *testing.T) {
	points := spots(0, 0, 0, 40, 0, 0, 0, 40, 4, 40, 40, 4)
	boundary := orb.MultiPolygon{{{{5, 5}, {35, 5}, {35, 35}, {5, 35}}}}
	void := []orb.Polygon{{{{15, 15}, {25, 15}, {25, 25}, {15, 25}}}}
	s := buildWith(t, tin.Options{Boundary: []orb.Polygon(boundary), Voids: void}, points)
	lines := func(level float64) (out []orb.LineString) {
		for _, c := range contours(t, s, level) {
			out = append(out, orb.LineString{c.Line[0], c.Line[len(c.Line)-1]})
		}
		slices.SortFunc(out, func(a, b orb.LineString) int { return int(a[0][0] - b[0][0]) })
		return out
	}
	assert.Equal(t, []orb.LineString{{{5, 20}, {15, 20}}, {{25, 20}, {35, 20}}}, lines(2))
	assert.Equal(t, []orb.LineString{{{5, 10}, {35, 10}}}, lines(1))
	assert.Empty(t, lines(0.25), "outside the boundary")

	far, err := s.Contours(t.Context(), []float64{2}, orb.Bound{Min: orb.Point{100, 100}, Max: orb.Point{110, 110}})
	require.NoError(t, err)
	assert.Empty(t, far)
	none, err := s.Contours(t.Context(), []float64{2}, orb.Bound{})
	require.NoError(t, err)
	assert.Empty(t, none)
}

// Triangles that MaxEdge takes away have no contours.
func TestContoursWithoutPeeled(t *testing.T) {
	s := buildWith(t, tin.Options{MaxEdge: 15}, spots(0, 0, 0, 10, 0, 0, 0, 10, 1, 10, 10, 1, 60, 0, 0, 60, 10, 1))
	got := contours(t, s, 0.5)
	require.Len(t, got, 1)
	for _, p := range got[0].Line {
		assert.LessOrEqual(t, p[0], 10.0)
	}
}

// On random ground: every place of a contour has its level, a step to the left is
// higher, every line is closed or ends at the rim, and no order of points matters.
func TestContoursOfRandomGround(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 7))
	var points []tin.Point
	for i := range 400 {
		points = append(points, spot(math.Round(rng.Float64()*1e5)/1e3, math.Round(rng.Float64()*1e5)/1e3, math.Round(rng.Float64()*8)/2, int32(i+1)))
	}
	s := build(t, points)
	levels := []float64{1, 1.5, 1.7, 2.2, 3, 3.1}
	got := contours(t, s, levels...)
	require.NotEmpty(t, got)
	for _, c := range got {
		for _, p := range c.Line {
			if z, ok := s.LevelAt(p[0], p[1]); ok { // a place on the rim may be rounded out
				assert.InDelta(t, c.Level, z, 1e-6)
			}
		}
		if c.Level != math.Round(c.Level*2)/2 { // else a ridge at the level is gone round
			checkLeftIsHigher(t, s, c)
		}
	}
	rng.Shuffle(len(points), func(i, j int) { points[i], points[j] = points[j], points[i] })
	assert.Equal(t, got, contours(t, build(t, points), levels...))
}

func checkLeftIsHigher(t *testing.T, s *tin.Surface, c tin.Contour) {
	t.Helper()
	for i := 1; i < len(c.Line); i++ {
		a, b := c.Line[i-1], c.Line[i]
		dx, dy := b[0]-a[0], b[1]-a[1]
		if l := math.Hypot(dx, dy); l > 1e-3 {
			k := 1e-6 / l
			if z, ok := s.LevelAt((a[0]+b[0])/2-k*dy, (a[1]+b[1])/2+k*dx); ok {
				assert.GreaterOrEqual(t, z, c.Level-1e-9)
			}
		}
	}
}

// The areas within the contours of a cone of many sides make up its volume by the
// trapezoidal rule: prisms against contours.
func TestContoursEncloseTheirGround(t *testing.T) {
	var points []tin.Point
	const n = 24
	for i := range n {
		angle := 2 * math.Pi * float64(i) / n
		points = append(points, spot(100*math.Cos(angle), 100*math.Sin(angle), 0, int32(i+1)))
	}
	points = append(points, spot(0, 0, 20, n+1))
	s := build(t, points)
	foot := n / 2.0 * math.Sin(2*math.Pi/n) * 100 * 100
	for _, c := range contours(t, s, 5, 10, 15) {
		k := 1 - c.Level/20
		assert.InDelta(t, foot*k*k, planar.Area(orb.Ring(c.Line)), 1e-9*foot)
	}
}

func BenchmarkContours(b *testing.B) {
	rng := rand.New(rand.NewPCG(1, 2))
	var points []tin.Point
	for i := range 100_000 {
		e, n := rng.Float64()*1000, rng.Float64()*1000
		points = append(points, spot(e, n, 10*math.Sin(e/90)+8*math.Cos(n/120), int32(i+1)))
	}
	s, err := tin.FromPoints(points)
	require.NoError(b, err)
	levels := []float64{-15, -12, -9, -6, -3, 0, 3, 6, 9, 12, 15}
	for b.Loop() {
		if _, err := s.Contours(b.Context(), levels, s.Bound()); err != nil {
			b.Fatal(err)
		}
	}
}
