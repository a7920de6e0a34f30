package tin_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/tintest"
)

// One corner 1 m up, 10 m square: 1/3 of 50 m2 on one diagonal, 2/3 on the
// other.
func TestTiesOfASquare(t *testing.T) {
	for unit, side := range map[tin.Unit]float64{tin.Metre: 10, tin.Foot: 10 / 0.3048} {
		s, err := tin.Build(t.Context(), []tin.Source{{Points: spots(0, 0, side/10, side, 0, 0, side, side, 0, 0, side, 0)}}, tin.Options{Unit: unit})
		require.NoError(t, err)
		ties := s.Ties()
		require.Len(t, ties, 1)
		assert.InEpsilon(t, 100.0/6, ties[0].Spread, 1e-9)
		assert.Len(t, ties[0].Corners, 4)
	}
	s := build(t, spots(0, 0, 1, 10, 0, 0, 10, 10, 0, 0, 10, 0))
	assert.Equal(t, []tin.Vertex{{E: 10, N: 10}, {E: 0, N: 10}, {E: 0, N: 0, Level: 1}, {E: 10, N: 0}}, startAt(s.Ties()[0].Corners, tin.Vertex{E: 10, N: 10}))
}

// startAt turns a ring round to begin at a corner.
func startAt(ring []tin.Vertex, first tin.Vertex) []tin.Vertex {
	i := slices.Index(ring, first)
	return append(slices.Clone(ring[i:]), ring[:i]...)
}

func TestNoTies(t *testing.T) {
	tests := []struct {
		name   string
		points []tin.Point
		lines  []tin.Breakline
		opts   tin.Options
	}{
		{"level ground", square(), nil, tin.Options{}},
		{"a plane", onPlane(), nil, tin.Options{}},
		{"a plane whose levels are no doubles", onLevels(tintest.Grid(9, 9, 0.1), func(e, n float64) float64 { return 0.1*e - 0.7*n }), nil, tin.Options{}},
		{"a plane at map offsets", onLevels(tintest.Grid(9, 9, 0.1), func(e, n float64) float64 { return 117.3 + 0.013*e - 0.0071*n }), nil, tin.Options{}},
		{"a plane under a great circle", onLevels(tintest.LatticeCircle(1185665), func(e, n float64) float64 { return 1e-5 * (3*e + n) }), nil, tin.Options{}},
		{"no four on a circle", spots(0, 0, 1, 10, 0, 0, 10, 10.001, 0, 0, 10, 0), nil, tin.Options{}},
		{"a breakline on the diagonal", spots(0, 0, 1, 10, 0, 0, 10, 10, 0, 0, 10, 0), []tin.Breakline{line("", 0, 0, 1, 10, 10, 0)}, tin.Options{}},
		{"taken away", append(spots(0, 0, 1, 100, 0, 0, 100, 100, 0, 0, 100, 0), spots(-1, 0, 1, -1, 50.5, 1, 0, 50, 0.5)...), nil, tin.Options{MaxEdge: 90}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s, err := tin.Build(t.Context(), []tin.Source{{Points: tt.points, Breaklines: tt.lines}}, tt.opts)
			require.NoError(t, err)
			assert.Zero(t, len(s.Ties()))
		})
	}
}

func onLevels(set tintest.Set, level func(e, n float64) float64) []tin.Point {
	for i, p := range set.Points {
		set.Points[i].Level = level(p.E, p.N)
	}
	return set.Points
}

// All triangulations of a hexagon, fourteen of them, against the spread.
func TestTiesOfAHexagon(t *testing.T) {
	rng := rand.New(rand.NewPCG(61, 1))
	// Six whole points on the circle of radius 5.
	at := [6][2]float64{{5, 0}, {3, 4}, {-4, 3}, {-5, 0}, {-3, -4}, {4, -3}}
	for range 30 {
		var values []float64
		for _, p := range at {
			values = append(values, p[0], p[1], float64(rng.IntN(5)))
		}
		s := build(t, spots(values...))
		volume := func(i, j, k int) float64 {
			a, b, c := at[i], at[j], at[k]
			area := ((b[0]-a[0])*(c[1]-a[1]) - (b[1]-a[1])*(c[0]-a[0])) / 2
			return area * (values[3*i+2] + values[3*j+2] + values[3*k+2]) / 3
		}
		var all func(ring []int) []float64 // volumes of every triangulation of a ring
		all = func(ring []int) []float64 {
			if len(ring) < 3 {
				return []float64{0}
			}
			var sums []float64
			last := len(ring) - 1
			for m := 1; m < last; m++ {
				for _, l := range all(ring[:m+1]) {
					for _, r := range all(ring[m:]) {
						sums = append(sums, l+r+volume(ring[0], ring[m], ring[last]))
					}
				}
			}
			return sums
		}
		sums := all([]int{0, 1, 2, 3, 4, 5})
		require.Len(t, sums, 14)
		want := slices.Max(sums) - slices.Min(sums)
		ties := s.Ties()
		if want < 1e-9 {
			require.Empty(t, ties)
			continue
		}
		require.Len(t, ties, 1)
		require.Len(t, ties[0].Corners, 6)
		require.InEpsilon(t, want, ties[0].Spread, 1e-12)
		for i, c := range ties[0].Corners { // anticlockwise round the centre
			d := ties[0].Corners[(i+1)%6]
			require.Positive(t, c.E*d.N-c.N*d.E)
		}
	}
}

func TestTiesOfAGrid(t *testing.T) {
	set := tintest.Grid(20, 15, 2)
	rng := rand.New(rand.NewPCG(61, 2))
	for i := range set.Points {
		set.Points[i].Level = float64(rng.IntN(4))
	}
	// Of four spots a, b, c, d round a square: |a + c - b - d| * area / 6.
	want := 0
	for i := range 14 {
		for j := range 19 {
			p := set.Points[20*i+j:]
			if p[0].Level+p[21].Level != p[1].Level+p[20].Level {
				want++
			}
		}
	}
	s := build(t, set.Points)
	ties := s.Ties()
	assert.True(t, len(ties) == want, "%d ties, want every square that is no plane, %d", len(ties), want)
	for _, tie := range ties {
		c := tie.Corners
		require.Len(t, c, 4)
		require.InDelta(t, math.Abs(c[0].Level-c[1].Level+c[2].Level-c[3].Level)*4/6, tie.Spread, 1e-12)
	}
	shuffled := slices.Clone(set.Points)
	rng.Shuffle(len(shuffled), func(i, j int) { shuffled[i], shuffled[j] = shuffled[j], shuffled[i] })
	assert.Equal(t, ties, build(t, shuffled).Ties())
}

// Too many on one circle to try all choices: a bound.
func TestTiesOfAGreatCircle(t *testing.T) {
	set := tintest.LatticeCircle(1185665)
	require.Len(t, set.Points, 972)
	for i := range set.Points {
		set.Points[i].Level = float64(i % 2)
	}
	s := build(t, set.Points)
	ties := s.Ties()
	require.Len(t, ties, 1)
	assert.Len(t, ties[0].Corners, 972)
	// Levels are 0 and 1: the area times their range off a plane through three.
	assert.GreaterOrEqual(t, ties[0].Spread, s.Stats().Area)
	assert.LessOrEqual(t, ties[0].Spread, 2*s.Stats().Area)
}
