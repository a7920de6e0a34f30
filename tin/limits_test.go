package tin_test

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/tintest"
)

// onPlane reports the level of 10 + e/100 at every place.
func onPlane() []tin.Point { return spots(0, 0, 10, 100, 0, 11, 100, 100, 11, 0, 100, 10) }

func TestBoundaryAndVoids(t *testing.T) {
	opts := tin.Options{
		Boundary: orb.MultiPolygon{
			{box(10, 10, 60, 60)[0], box(20, 20, 30, 30)[0]}, // with a hole
			box(50, 50, 90, 90), // overlaps it
		},
		Voids: orb.MultiPolygon{box(70, 70, 80, 80)},
	}
	s := buildWith(t, opts, onPlane())
	tests := []struct {
		name string
		e, n float64
		want bool
	}{
		{"inside", 40, 40, true},
		{"inside the other", 85, 60, true},
		{"where they overlap", 55, 55, true},
		{"outside", 5, 40, false},
		{"outside the hull", 140, 40, false},
		{"between", 80, 20, false},
		{"in the hole", 25, 25, false},
		{"on the hole's rim", 20, 25, true},
		{"at the hole's corner", 30, 30, true},
		{"on the boundary", 10, 33.3, true},
		{"at its corner", 10, 10, true},
		{"just off it", 9.9999, 33.3, false},
		{"in the void", 75, 75, false},
		{"on the void's rim", 70, 75, true},
		{"at its corner", 80, 80, true},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			z, ok := s.LevelAt(tt.e, tt.n)
			require.Equal(t, tt.want, ok)
			if ok {
				assert.InDelta(t, 10+tt.e/100, z, 1e-13)
			}
		})
	}
	// 2500 - 100 + 1600 - 100 (overlap) - 100 (void)
	assert.InEpsilon(t, 3800, s.Stats().Area, 1e-12)
	assert.Equal(t, 2, s.Stats().Triangles, "they cut triangles and change none")
	assert.Equal(t, bits(build(t, onPlane())), bits(s))
}

func TestVoidsAlone(t *testing.T) {
	s := buildWith(t, tin.Options{Voids: orb.MultiPolygon{box(90, 90, 120, 120), box(20, 20, 40, 40)}}, onPlane())
	assert.InEpsilon(t, 10000-100-400, s.Stats().Area, 1e-12)
	_, ok := s.LevelAt(95, 95)
	assert.False(t, ok)
	// Of no ground at all nothing is left, which is no error: it is uncovered.
	s = buildWith(t, tin.Options{Voids: orb.MultiPolygon{box(-1, -1, 101, 101)}}, onPlane())
	assert.Zero(t, s.Stats().Area)
	_, ok = s.LevelAt(50, 50)
	assert.False(t, ok)
	s = buildWith(t, tin.Options{Boundary: orb.MultiPolygon{box(500, 500, 600, 600)}}, onPlane())
	assert.Zero(t, s.Stats().Area)
}

func TestBadLimits(t *testing.T) {
	eight := orb.Polygon{{{0, 0}, {10, 10}, {10, 0}, {0, 10}}}
	for _, tt := range []struct {
		name string
		opts tin.Options
		code string
		want string
	}{
		{"boundary crosses itself", tin.Options{Boundary: orb.MultiPolygon{box(0, 0, 9, 9), eight}}, "outline_crosses", "boundary 2: side"},
		{"void crosses itself", tin.Options{Voids: orb.MultiPolygon{eight}}, "outline_crosses", "void 1: side"},
		{"NaN", tin.Options{Boundary: orb.MultiPolygon{{{{0, 0}, {10, math.NaN()}, {10, 0}}}}}, "bad_coordinate", "boundary 1: corner 10, NaN"},
		{"Inf", tin.Options{Voids: orb.MultiPolygon{{{{0, 0}, {10, math.Inf(-1)}, {10, 0}}}}}, "bad_coordinate", "void 1: corner 10, -Inf"},
		{"empty", tin.Options{Boundary: orb.MultiPolygon{{}}}, "outline_empty", "boundary 1"},
		{"max_edge NaN", tin.Options{MaxEdge: math.NaN()}, "bad_max_edge", "NaN"},
		{"max_edge Inf", tin.Options{MaxEdge: math.Inf(1)}, "bad_max_edge", "+Inf"},
		{"max_edge below 0", tin.Options{MaxEdge: -40}, "bad_max_edge", "-40"},
		{"max_edge below all", tin.Options{MaxEdge: 40}, "max_edge_removes_all", "max_edge 40 takes away every triangle"},
		{"unit NaN", tin.Options{Unit: tin.Unit(math.NaN())}, "bad_unit", "NaN"},
		{"unit Inf", tin.Options{Unit: tin.Unit(math.Inf(1))}, "bad_unit", "Inf"},
		{"unit below 0", tin.Options{Unit: -1}, "bad_unit", "-1"},
		{"tolerance NaN", tin.Options{CrossingTolerance: math.NaN()}, "bad_crossing_tolerance", "NaN"},
		{"tolerance below 0", tin.Options{CrossingTolerance: -0.01}, "bad_crossing_tolerance", "-0.01"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			e := inputError(t, tt.opts, tin.Source{Points: onPlane(), Breaklines: []tin.Breakline{line("", 10, 10, 10.1, 20, 20, 10.2)}})
			assert.Equal(t, tt.code, e.Code)
			assert.Contains(t, e.Message, tt.want)
		})
	}
}

// gulf is a grid of 10 x 10 m with spots 1 m apart that lacks its middle third
// from the upper rim down: the hull closes the gulf with long triangles.
func gulf() []tin.Point {
	var points []tin.Point
	for _, p := range tintest.Grid(10, 10, 1).Points {
		if p.E < 3 || p.E > 6 || p.N < 3 {
			points = append(points, p)
		}
	}
	return points
}

func TestMaxEdge(t *testing.T) {
	whole := build(t, gulf())
	assert.InEpsilon(t, 81, whole.Stats().Area, 1e-12)
	s := buildWith(t, tin.Options{MaxEdge: 1.2}, gulf())
	// 5 x 7 m of gulf are gone: between E 2 and 7 nothing above N 2. The
	// diagonals, longer than the limit, are not reached.
	assert.InEpsilon(t, 81-5*7, s.Stats().Area, 1e-12)
	assert.Equal(t, math.Sqrt2, s.Stats().EdgeMax)
	assert.Regexp(t, `^\d+ triangles at the rim taken away over edges longer than 1.2 m$`, notes(s)["max_edge"])
	_, ok := s.LevelAt(4.5, 5)
	assert.False(t, ok)
	for _, p := range gulf() {
		assert.Equal(t, p.Level, levelAt(t, s, p.E, p.N), "the rim is ground")
	}
	for k := range 29 {
		levelAt(t, s, 2, 2+float64(k)/4)
		levelAt(t, s, 7, 2+float64(k)/4)
	}
	for k := range 21 {
		levelAt(t, s, 2+float64(k)/4, 2)
	}
	assert.Len(t, triangles(s), s.Stats().Triangles)
	// Numbers of triangles do not change.
	all := triangles(whole)
	for i, tri := range triangles(s) {
		assert.Equal(t, all[i], tri)
	}
}

func triangles(s *tin.Surface) map[int][3]int {
	out := make(map[int][3]int)
	for i, t := range s.Triangles() {
		out[i] = t.Vertex
	}
	return out
}

// A breakline stops the peel, and what it keeps lies behind it.
func TestMaxEdgeNeverPassesABreakline(t *testing.T) {
	opts := tin.Options{MaxEdge: 1.2}
	closed := buildWith(t, opts, gulf(), line("across", 2, 9, none, 7, 9, none))
	assert.InEpsilon(t, 81, closed.Stats().Area, 1e-12)
	assert.Empty(t, closed.Notes())
	half := buildWith(t, opts, gulf(), line("across", 2, 6, none, 7, 6, none))
	assert.InEpsilon(t, 81-5*3, half.Stats().Area, 1e-12)
	levelAt(t, half, 4.5, 5)
	levelAt(t, half, 4.5, 6)
	_, ok := half.LevelAt(4.5, 6.1)
	assert.False(t, ok)
}

// An edge as long as the limit stays.
func TestMaxEdgeIsTheLongestThatStays(t *testing.T) {
	for _, step := range []float64{1, 0.1, 0.3} {
		s := buildWith(t, tin.Options{MaxEdge: step}, spots(0, 0, 1, step, 0, 1, step/2, step/2, 1))
		assert.Equal(t, 1, s.Stats().Triangles)
	}
}

// As wide as coordinates go, a void still has its area (found by FuzzBuild).
func TestAreaOfTheWidestSurvey(t *testing.T) {
	opts := tin.Options{Voids: orb.MultiPolygon{box(-1e8, -1e8, 1e8, 1e8)}}
	s := buildWith(t, opts, spots(-1e9, -1e9, 1, 1e9, -1e9, 1, 1e9, 1e9, 1, -1e9, 1e9, 1))
	assert.InEpsilon(t, 4e18-4e16, s.Stats().Area, 1e-12)
}
