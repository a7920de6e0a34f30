package mesh

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

// decode reads points on a grid of 16 x 16, where ties and points in line are
// dense, and segments between them:
//
//	n  p p p ... (n times x<<4|y)  a b  a b ... (indices)
func decode(data []byte) (s set, segments []Segment) {
	s.whole = true
	if len(data) == 0 {
		return s, nil
	}
	n := min(int(data[0]), len(data)-1)
	for _, b := range data[1 : n+1] {
		s.add(float64(b>>4), float64(b&15))
	}
	s = s.distinct()
	s.whole = true
	for rest := data[n+1:]; len(rest) >= 2 && len(s.at) > 0; rest = rest[2:] {
		a, b := int32(rest[0])%int32(len(s.at)), int32(rest[1])%int32(len(s.at))
		if a != b {
			segments = append(segments, Segment{a, b})
		}
	}
	return s, segments
}

func encode(s set, segments ...byte) []byte {
	data := []byte{byte(len(s.at))}
	for _, p := range s.at {
		data = append(data, byte(p.X)<<4|byte(p.Y)&15)
	}
	return append(data, segments...)
}

func addSeeds(f *testing.F) {
	f.Helper()
	pick := func(from set, keep func(i int) bool) set {
		var out set
		for i, p := range from.at {
			if keep(i) {
				out.at = append(out.at, p)
			}
		}
		return out
	}
	all := grid(16, 15, 1)
	f.Add([]byte{})
	f.Add(encode(grid(3, 1, 1)))
	f.Add(encode(grid(2, 2, 1), 0, 3, 1, 2))
	f.Add(encode(grid(5, 5, 1), 0, 24, 4, 20, 2, 22, 10, 14, 1, 23, 3, 15))
	f.Add(encode(all, 0, 239, 15, 224, 7, 232, 7, 233, 16, 31))
	f.Add(encode(pick(all, func(i int) bool { return i%7 == 0 }), 0, 30, 1, 29, 2, 28, 3, 27, 0, 30, 30, 0))
	f.Add(encode(pick(all, func(i int) bool { return i/16 == 7 || i == 3 }), 0, 15, 3, 9)) // all but one in line
	circle := set{}
	for _, p := range [][2]float64{{13, 8}, {12, 11}, {11, 12}, {8, 13}, {5, 12}, {4, 11}, {3, 8}, {4, 5}, {5, 4}, {8, 3}, {11, 4}, {12, 5}, {8, 8}} {
		circle.add(p[0], p[1])
	}
	f.Add(encode(circle, 0, 6, 3, 9, 1, 7, 12, 0))
}

// FuzzMesh holds the whole-number and the general predicates together, proves
// every mesh, and forces lines in two orders.
func FuzzMesh(f *testing.F) {
	addSeeds(f)
	f.Fuzz(func(t *testing.T, data []byte) {
		s, segments := decode(data)
		m, order, err := New(s.at, true)
		general, _, err2 := New(s.at, false)
		require.Equal(t, err, err2)
		if err != nil {
			require.True(t, err == ErrTooFew || err == ErrCollinear)
			return
		}
		requireSame(t, m, general)
		slices.Reverse(s.at)
		turned, _, err := New(s.at, true)
		require.NoError(t, err)
		requireSame(t, m, turned)

		at := make([]int32, len(order))
		for v, i := range order {
			at[i] = int32(v)
		}
		var free []Segment // those that cross none before
		for _, g := range segments {
			a, b := at[g.A], at[g.B]
			through, crossed := m.Force(a, b, LineEdge)
			throughToo, crossedToo := general.Force(a, b, LineEdge)
			require.Equal(t, through, throughToo)
			require.Equal(t, crossed, crossedToo)
			for _, v := range through {
				require.Zero(t, m.Orient(a, b, v))
			}
			if crossed != nil {
				require.NotEmpty(t, Crossings(m.P, []Segment{{a, b}, {crossed[0], crossed[1]}}, 1))
				continue
			}
			free = append(free, Segment{a, b})
			chain := append(append([]int32{a}, through...), b)
			for i := 1; i < len(chain); i++ {
				require.True(t, m.Fixed(m.find(chain[i-1], chain[i])))
			}
		}
		m.Settle()
		general.Settle()
		requireSame(t, m, general)
		if len(free) == len(segments) { // nothing was forced half way
			slices.Reverse(free)
			for _, g := range free {
				through, crossed := turned.Force(g.B, g.A, LineEdge)
				require.Nil(t, crossed)
				for _, v := range through {
					require.Zero(t, turned.Orient(g.A, g.B, v))
				}
			}
			turned.Settle()
			requireSame(t, m, turned)
		}
		for i, b := range data[:min(len(data), 32)] {
			x, y := float64(b>>4)+float64(i%3)/2-1, float64(b&15)+float64(i%5)/4-0.5
			got := m.Locate(x, y, int32(b)%int32(m.Triangles()+1)-1)
			if got < 0 {
				require.Equal(t, int32(-1), m.scan(x, y))
			} else {
				require.True(t, m.holds(got, x, y))
			}
		}
	})
}

func requireSame(t *testing.T, want, got *Mesh) {
	t.Helper()
	require.NoError(t, want.Check())
	require.NoError(t, got.Check())
	require.Equal(t, want.P, got.P)
	require.Equal(t, want.V, got.V)
	require.Equal(t, want.N, got.N)
	require.Equal(t, want.fixed == nil, got.fixed == nil)
	require.Equal(t, want.fixed, got.fixed)
}

// FuzzMeshOfNeighbours puts the grid of FuzzMesh on the doubles next to each
// other, where differences from the origin are not exact: everything is nearly
// in line and nearly on circles.
func FuzzMeshOfNeighbours(f *testing.F) {
	addSeeds(f)
	f.Fuzz(func(t *testing.T, data []byte) {
		s, segments := decode(data)
		if len(data) == 0 {
			return
		}
		// One step is the last place of numbers near the base.
		base := [...][2]float64{{1, 1}, {1, 3}, {0.1, 1e6}, {0.3, 0.3}}[data[len(data)-1]%4]
		step := func(base, k float64) float64 { return base + k*(math.Nextafter(base, 2*base)-base) }
		for i, p := range s.at {
			s.at[i] = XY{step(base[0], p.X), step(base[1], p.Y)}
		}
		// A few points far away make the triangles long.
		for i := range int(data[0] % 4) {
			s.add(base[0]+float64(i+1)/3, base[1]-float64(i*i+1)/7)
		}
		m, order, err := New(s.at, false)
		if err != nil {
			return
		}
		require.NoError(t, m.Check())
		at := make([]int32, len(order))
		for v, i := range order {
			at[i] = int32(v)
		}
		for _, g := range segments {
			m.Force(at[g.A], at[g.B], LineEdge)
		}
		m.Settle()
		require.NoError(t, m.Check())
	})
}
