package mesh

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// forcible returns random segments of the mesh of which no two cross properly.
func forcible(rng *rand.Rand, m *Mesh, tries int) []Segment {
	var kept []Segment
	for range tries {
		s := Segment{int32(rng.IntN(len(m.P))), int32(rng.IntN(len(m.P)))}
		if s.A == s.B {
			continue
		}
		if len(Crossings(m.P, append(kept[:len(kept):len(kept)], s), 1)) == 0 {
			kept = append(kept, s)
		}
	}
	return kept
}

func TestForceIsConstrainedDelaunayInAnyOrder(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	for _, s := range sets() {
		if len(s.at) > 2000 {
			continue
		}
		t.Run(s.name, func(t *testing.T) {
			first, _, err := New(s.at, s.whole)
			require.NoError(t, err)
			segments := forcible(rng, first, 60)
			want := forced(t, s, segments)
			rng.Shuffle(len(segments), func(i, j int) { segments[i], segments[j] = segments[j], segments[i] })
			for i, g := range segments {
				segments[i] = Segment{g.B, g.A}
			}
			got := forced(t, s, append(segments, segments...)) // twice forced is forced
			assert.Equal(t, want.V, got.V)
			assert.Equal(t, want.N, got.N)
			assert.Equal(t, want.fixed, got.fixed)
		})
	}
}

// Without the forced edges the mesh is again that of the vertices alone, and the
// forced one is as it was.
func TestUnforced(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 8))
	for _, s := range sets() {
		if len(s.at) > 2000 {
			continue
		}
		t.Run(s.name, func(t *testing.T) {
			want, _, err := New(s.at, s.whole)
			require.NoError(t, err)
			assert.Same(t, want, want.Unforced())
			m := forced(t, s, forcible(rng, want, 60))
			v, n := slices.Clone(m.V), slices.Clone(m.N)
			got := m.Unforced()
			got.Settle() // numbers the triangles
			assert.Equal(t, want.V, got.V)
			assert.Equal(t, want.N, got.N)
			assert.Equal(t, v, m.V)
			assert.Equal(t, n, m.N)
		})
	}
}

// forced builds s, forces the segments and proves the mesh and each chain.
func forced(t *testing.T, s set, segments []Segment) *Mesh {
	t.Helper()
	m, _, err := New(s.at, s.whole)
	require.NoError(t, err)
	chains := make([][]int32, len(segments))
	for i, g := range segments {
		through, crossed := m.Force(g.A, g.B, LineEdge)
		require.Nil(t, crossed, "segment %v", g)
		for _, v := range through {
			require.Zero(t, m.Orient(g.A, g.B, v))
		}
		chains[i] = append(append([]int32{g.A}, through...), g.B)
	}
	m.Settle()
	require.NoError(t, m.Check())
	for _, c := range chains {
		for i := 1; i < len(c); i++ {
			e := m.find(c[i-1], c[i])
			require.GreaterOrEqual(t, e, int32(0))
			require.True(t, m.Fixed(e))
		}
	}
	return m
}

func TestForceStopsAtACrossing(t *testing.T) {
	s := grid(5, 5, 1)
	m, order, err := New(s.at, true)
	require.NoError(t, err)
	at := make(map[int32]int32)
	for v, i := range order {
		at[i] = int32(v)
	}
	_, crossed := m.Force(at[0], at[13], LineEdge) // (0,0) to (3,2)
	require.Nil(t, crossed)
	_, crossed = m.Force(at[10], at[9], LineEdge) // (0,2) to (4,1)
	require.NotNil(t, crossed)
	assert.ElementsMatch(t, []int32{at[0], at[13]}, crossed[:])
	m.Settle()
	require.NoError(t, m.Check())
}

func TestForcePassesVerticesOnTheLine(t *testing.T) {
	s := grid(7, 7, 3)
	m, order, err := New(s.at, true)
	require.NoError(t, err)
	var a, b int32
	for v, i := range order {
		switch i {
		case 0:
			a = int32(v)
		case 48:
			b = int32(v)
		}
	}
	through, crossed := m.Force(a, b, LineEdge)
	require.Nil(t, crossed)
	assert.Len(t, through, 5, "the inner grid points of the diagonal")
}

func TestCrossIsRoundedFromTheExactPoint(t *testing.T) {
	at := []XY{{0, 0}, {10, 10}, {0, 10}, {10, 1}}
	c := Cross(at, Segment{0, 1}, Segment{2, 3}, false)
	assert.Equal(t, Crossing{XY: XY{100.0 / 19, 100.0 / 19}, S: 10.0 / 19, R: 10.0 / 19}, c)
	c = Cross(at, Segment{3, 2}, Segment{1, 0}, true)
	assert.Equal(t, XY{5, 5}, c.XY)
	assert.Equal(t, [2]float64{9.0 / 19, 9.0 / 19}, [2]float64{c.S, c.R})
}

func TestCrossingsAgainstAllPairs(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 8))
	for range 50 {
		var at []XY
		for range 40 {
			at = append(at, XY{float64(rng.IntN(20)), float64(rng.IntN(20))})
		}
		var segments []Segment
		for range 40 {
			segments = append(segments, Segment{int32(rng.IntN(40)), int32(rng.IntN(40))})
		}
		var want [][2]int
		for i := range segments {
			for j := i + 1; j < len(segments); j++ {
				if properly(at, segments[i], segments[j]) {
					want = append(want, [2]int{i, j})
				}
			}
		}
		require.Equal(t, want, Crossings(at, segments, 1<<20))
	}
}

// Long and short segments, and many strips: the sweep misses none and finds none twice.
func TestCrossingsOfLongAndShort(t *testing.T) {
	rng := rand.New(rand.NewPCG(17, 18))
	for round := range 20 {
		var at []XY
		var segments []Segment
		for i := range int32(300) {
			x, y, far := 1000*rng.Float64(), 1000*rng.Float64(), 10.0
			if i%10 == 0 {
				far = 900
			}
			if round%2 == 1 {
				x, y = y/100, x // a long site
			}
			at = append(at, XY{x, y}, XY{x + far*(rng.Float64()-0.5), y + far*(rng.Float64()-0.5)})
			segments = append(segments, Segment{2 * i, 2*i + 1})
		}
		var want [][2]int
		for i := range segments {
			for j := i + 1; j < len(segments); j++ {
				if properly(at, segments[i], segments[j]) {
					want = append(want, [2]int{i, j})
				}
			}
		}
		require.NotEmpty(t, want)
		require.Equal(t, want, Crossings(at, segments, 1<<20))
	}
	level := []XY{{0, 5}, {10, 5}, {3, 5}, {20, 5}}
	require.Empty(t, Crossings(level, []Segment{{0, 1}, {2, 3}}, 10))
	require.Empty(t, Crossings(nil, nil, 10))
}

// Crosses side by side over a square, as the rims of many pads are.
func BenchmarkCrossings(b *testing.B) {
	var at []XY
	var segments []Segment
	for i := range int32(40_000) {
		x, y := float64(i%200), float64(i/200)
		at = append(at, XY{x, y}, XY{x + 0.6, y + 0.7}, XY{x, y + 0.7}, XY{x + 0.6, y})
		segments = append(segments, Segment{4 * i, 4*i + 1}, Segment{4*i + 2, 4*i + 3})
	}
	for b.Loop() {
		require.Len(b, Crossings(at, segments, 1<<20), 40_000)
	}
}

func TestLocate(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 10))
	for _, s := range sets() {
		if len(s.at) > 2000 {
			continue
		}
		t.Run(s.name, func(t *testing.T) {
			m, _, err := New(s.at, s.whole)
			require.NoError(t, err)
			for _, g := range forcible(rng, m, 20) {
				m.Force(g.A, g.B, LineEdge)
			}
			m.Settle()
			x0, y0, x1, y1 := m.P[0].X, m.P[0].Y, m.P[0].X, m.P[0].Y
			for i := range m.P {
				x0, x1 = min(x0, m.P[i].X), max(x1, m.P[i].X)
				y0, y1 = min(y0, m.P[i].Y), max(y1, m.P[i].Y)
			}
			outside := 0
			for i := range 300 {
				x := x0 + (x1-x0)*(rng.Float64()*1.2-0.1)
				y := y0 + (y1-y0)*(rng.Float64()*1.2-0.1)
				if i%3 == 0 { // on a vertex
					v := rng.IntN(len(m.P))
					x, y = m.P[v].X, m.P[v].Y
				}
				hint := int32(rng.IntN(m.Triangles()+1)) - 1
				got := m.Locate(x, y, hint)
				if got < 0 {
					outside++
					require.Equal(t, int32(-1), m.scan(x, y))
					continue
				}
				require.True(t, m.holds(got, x, y))
			}
			assert.LessOrEqual(t, outside, 200, "a vertex is never outside")
		})
	}
}
