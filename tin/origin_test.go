package tin_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"barrow/tin"
)

// A square of four spots with two lines across, which meet off their middles, and a
// spot inside.
func crossedSquare() []tin.Source {
	corners := []tin.Point{{E: 0, N: 0, Level: 1}, {E: 10, N: 0, Level: 2}, {E: 10, N: 10, Level: 3}, {E: 0, N: 10, Level: 4}}
	return []tin.Source{
		{Points: append(slices.Clone(corners), tin.Point{E: 5, N: 9, Level: 3})},
		{Breaklines: []tin.Breakline{
			{Vertices: []tin.Point{{E: 2, N: 2, Level: 2}, {E: 7, N: 2, Level: 2}}},
			{Vertices: []tin.Point{{E: 3, N: 1, Level: 2.01}, {E: 3, N: 5, Level: 2.01}}},
		}},
	}
}

func vertexAt(t *testing.T, s *tin.Surface, e, n float64) int {
	t.Helper()
	for v, at := range s.Vertices() {
		if at.E == e && at.N == n {
			return v
		}
	}
	require.Fail(t, "no such vertex")
	return -1
}

func TestCrossingSharesTheLevelsOfItsLines(t *testing.T) {
	s, err := tin.Build(t.Context(), crossedSquare(), tin.Options{})
	require.NoError(t, err)
	v := vertexAt(t, s, 3, 2)
	require.Empty(t, s.AppendGiven(nil, v))
	shares := s.Crossing(v)
	require.Len(t, shares, 4)
	want := map[int]float64{
		vertexAt(t, s, 2, 2): 0.4, vertexAt(t, s, 7, 2): 0.1, // a fifth along, of half
		vertexAt(t, s, 3, 1): 0.375, vertexAt(t, s, 3, 5): 0.125, // a quarter along, of half
	}
	level := 0.0
	for i, c := range shares {
		require.InDelta(t, want[c.Vertex], c.Share, 1e-15)
		require.True(t, i == 0 || shares[i-1].Vertex < c.Vertex)
		level += c.Share * s.Vertex(c.Vertex).Level
		require.Equal(t, []tin.Given{{Source: 1, Share: 1, Spots: 1}}, s.AppendGiven(nil, c.Vertex))
	}
	require.InDelta(t, s.Vertex(v).Level, level, 1e-14)
	require.Empty(t, s.Crossing(vertexAt(t, s, 0, 0)))
	require.Equal(t, []tin.Given{{Source: 0, Share: 1, Spots: 1}}, s.AppendGiven(nil, vertexAt(t, s, 0, 0)))
}

func TestGivenOfSharedPlaces(t *testing.T) {
	square := []tin.Point{{E: 0, N: 0, Level: 1}, {E: 10, N: 0, Level: 2}, {E: 10, N: 10, Level: 3}}
	at := func(level float64) tin.Point { return tin.Point{E: 4, N: 4, Level: level} }
	for _, c := range []struct {
		name   string
		rule   tin.Duplicates
		levels [2][]float64 // at one place, of two sources
		want   []tin.Given
	}{
		{"equal in one source", tin.DuplicatesError, [2][]float64{{5, 5}, nil}, []tin.Given{{Source: 0, Share: 1, Spots: 1}}},
		{"equal in both", tin.DuplicatesError, [2][]float64{{5, 5}, {5}}, []tin.Given{{Source: 0, Share: 0.5, Spots: 1}, {Source: 1, Share: 0.5, Spots: 1}}},
		{"mean", tin.DuplicatesMean, [2][]float64{{5, 6, 6}, {7}}, []tin.Given{{Source: 0, Share: 0.75, Spots: 3}, {Source: 1, Share: 0.25, Spots: 1}}},
		{"first", tin.DuplicatesFirst, [2][]float64{{5}, {7}}, []tin.Given{{Source: 0, Share: 1, Spots: 1}}},
		{"last", tin.DuplicatesLast, [2][]float64{{5}, {7}}, []tin.Given{{Source: 1, Share: 1, Spots: 1}}},
	} {
		sources := make([]tin.Source, 2)
		sources[0].Points = slices.Clone(square)
		for k, levels := range c.levels {
			for _, z := range levels {
				sources[k].Points = append(sources[k].Points, at(z))
			}
		}
		s, err := tin.Build(t.Context(), sources, tin.Options{Duplicates: c.rule})
		require.NoError(t, err, c.name)
		require.Equal(t, c.want, s.AppendGiven(nil, vertexAt(t, s, 4, 4)), c.name)
	}
}

// Rings go anticlockwise round spots inside; vertices on the rim or on a breakline have
// none.
func TestRings(t *testing.T) {
	s, err := tin.Build(t.Context(), crossedSquare(), tin.Options{})
	require.NoError(t, err)
	found := 0
	for v, ring := range s.Rings(func(int) bool { return true }) {
		found++
		require.Equal(t, vertexAt(t, s, 5, 9), v)
		require.GreaterOrEqual(t, len(ring), 3)
		at := s.Vertex(v)
		for i, a := range ring {
			p, q := s.Vertex(a), s.Vertex(ring[(i+1)%len(ring)])
			require.Positive(t, (p.E-at.E)*(q.N-at.N)-(p.N-at.N)*(q.E-at.E))
		}
	}
	require.Equal(t, 1, found)
	for range s.Rings(func(int) bool { return false }) {
		require.Fail(t, "none was asked for")
	}
}
