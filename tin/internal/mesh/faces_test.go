package mesh

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

// fan is a mesh of n triangles round one vertex.
func fan(t testing.TB, n int) *Mesh {
	at := []XY{{}}
	for i := range n + 1 {
		angle := math.Pi * (float64(i)/float64(n) - 0.5)
		at = append(at, XY{math.Cos(angle), math.Sin(angle)})
	}
	m, _, err := New(at, false)
	require.NoError(t, err)
	return m
}

func TestMatch(t *testing.T) {
	for _, s := range sets() {
		m, _, err := New(s.at, s.whole)
		require.NoError(t, err)
		var all, turned [][3]int32
		for k := range m.Triangles() {
			v := [3]int32(m.V[3*k:])
			all, turned = append(all, v), append(turned, [3]int32{v[0], v[2], v[1]})
		}
		for k, is := range m.Match(all) {
			require.EqualValues(t, k, is, s.name)
		}
		last := int32(len(m.P) - 1)
		for _, is := range m.Match(append(turned, [3]int32{0, last, last}, [3]int32{last, 0, 0})) {
			require.EqualValues(t, -1, is, s.name)
		}
	}
}

// One vertex may begin nearly all triangles.
func BenchmarkMatchFan(b *testing.B) {
	m := fan(b, 50_000)
	var all [][3]int32
	begin := make([]int, len(m.P)) // how many begin with each vertex
	for k := range m.Triangles() {
		all = append(all, [3]int32(m.V[3*k:]))
		begin[m.V[3*k]]++
	}
	require.Greater(b, slices.Max(begin), 20_000)
	for b.Loop() {
		m.Match(all)
	}
}
