package tin_test

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/tintest"
)

// spot is a spot height read from line n of its file.
func spot(e, n, level float64, line int32) tin.Point {
	return tin.Point{E: e, N: n, Level: level, Line: line}
}

// spots makes points of easting, northing, level triples, on lines 1, 2, ...
func spots(values ...float64) []tin.Point {
	var points []tin.Point
	for i := 0; i+2 < len(values); i += 3 {
		points = append(points, spot(values[i], values[i+1], values[i+2], int32(i/3+1)))
	}
	return points
}

// line makes a breakline of easting, northing, level triples.
func line(name string, values ...float64) tin.Breakline {
	return tin.Breakline{Name: name, Vertices: spots(values...)}
}

var none = math.NaN() // the level of a point in plan only

// square is level ground of 100 x 100 m at level 10 by its corners.
func square() []tin.Point { return spots(0, 0, 10, 100, 0, 10, 100, 100, 10, 0, 100, 10) }

// build triangulates one source and proves the surface.
func build(t testing.TB, points []tin.Point, lines ...tin.Breakline) *tin.Surface {
	t.Helper()
	return buildWith(t, tin.Options{}, points, lines...)
}

func buildWith(t testing.TB, opts tin.Options, points []tin.Point, lines ...tin.Breakline) *tin.Surface {
	t.Helper()
	s, err := tin.Build(t.Context(), []tin.Source{{Points: points, Breaklines: lines}}, opts)
	require.NoError(t, err)
	metres := make([]tin.Point, 0, len(points))
	for _, p := range points {
		p.E, p.N = p.E*opts.Unit.Metres(), p.N*opts.Unit.Metres()
		metres = append(metres, p)
	}
	require.NoError(t, tintest.Check(s, metres...))
	return s
}

// inputError builds and returns the error, which must be an InputError.
func inputError(t testing.TB, opts tin.Options, sources ...tin.Source) *tin.InputError {
	t.Helper()
	s, err := tin.Build(t.Context(), sources, opts)
	require.Nil(t, s)
	return asInputError(t, err)
}

func asInputError(t testing.TB, err error) *tin.InputError {
	t.Helper()
	var e *tin.InputError
	require.ErrorAs(t, err, &e)
	require.NotEmpty(t, e.Code)
	require.NotEmpty(t, e.Message)
	return e
}

// notes returns the messages of a surface's notes by their code.
func notes(s *tin.Surface) map[string]string {
	out := make(map[string]string)
	for _, n := range s.Notes() {
		out[n.Code] = n.Message
	}
	return out
}

// levelAt returns the level at a place that must have ground.
func levelAt(t testing.TB, s *tin.Surface, e, n float64) float64 {
	t.Helper()
	z, ok := s.LevelAt(e, n)
	require.True(t, ok, "ground at %v, %v", e, n)
	return z
}

// bits is everything a surface is made of, to the last bit: vertices,
// triangles, edges.
func bits(s *tin.Surface) []uint64 {
	var out []uint64
	for i, v := range s.Vertices() {
		out = append(out, uint64(i), math.Float64bits(v.E), math.Float64bits(v.N), math.Float64bits(v.Level))
	}
	for i, t := range s.Triangles() {
		out = append(out, uint64(i), uint64(t.Vertex[0]), uint64(t.Vertex[1]), uint64(t.Vertex[2]))
	}
	for _, e := range s.Edges() {
		forced := uint64(0)
		if e.Breakline {
			forced = 1
		}
		out = append(out, uint64(e.Vertex[0]), uint64(e.Vertex[1]), forced, math.Float64bits(e.Length))
	}
	return out
}

// topology is the numbers of a surface's triangles and breaklines.
func topology(s *tin.Surface) (triangles [][3]int, breaklines [][2]int) {
	for _, t := range s.Triangles() {
		triangles = append(triangles, t.Vertex)
	}
	for _, e := range s.Edges() {
		if e.Breakline {
			breaklines = append(breaklines, e.Vertex)
		}
	}
	return triangles, breaklines
}

// breaklines returns the breakline edges by their ends, the lesser place first.
func breaklines(s *tin.Surface) [][2]orb.Point {
	var at []orb.Point
	for _, v := range s.Vertices() {
		at = append(at, orb.Point{v.E, v.N})
	}
	var out [][2]orb.Point
	for _, e := range s.Edges() {
		if e.Breakline {
			p, q := at[e.Vertex[0]], at[e.Vertex[1]]
			if q[0] < p[0] || (q[0] == p[0] && q[1] < p[1]) {
				p, q = q, p
			}
			out = append(out, [2]orb.Point{p, q})
		}
	}
	return out
}

// box is a rectangle as an outline, closed and anticlockwise.
func box(e0, n0, e1, n1 float64) orb.Polygon {
	return orb.Polygon{{{e0, n0}, {e1, n0}, {e1, n1}, {e0, n1}, {e0, n0}}}
}

func reversed[T any](in []T) []T {
	out := make([]T, 0, len(in))
	for i := len(in) - 1; i >= 0; i-- {
		out = append(out, in[i])
	}
	return out
}
