package tintest

import (
	"maps"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
)

func grid3(t *testing.T) *surfaceMesh {
	t.Helper()
	s, err := tin.FromPoints(Grid(3, 3, 1).Points)
	require.NoError(t, err)
	m := meshOf(s)
	require.NoError(t, m.prove())
	return m
}

// flip turns the diagonal a-b of two triangles into c-d.
func (m *surfaceMesh) flip(a, b, c, d int) {
	keep := slices.DeleteFunc(slices.Clone(m.triangles), func(t [3]int) bool {
		return slices.Contains(t[:], a) && slices.Contains(t[:], b)
	})
	for _, t := range [][3]int{{a, d, c}, {b, c, d}} {
		for t[0] > min(t[1], t[2]) {
			t = [3]int{t[1], t[2], t[0]}
		}
		keep = append(keep, t)
	}
	m.triangles = keep
	delete(m.edges, edgeKey(a, b))
	m.edges[edgeKey(c, d)] = false
}

// innerEdge returns an edge with its two triangles' other corners.
func (m *surfaceMesh) innerEdge(diagonal bool) (a, b, c, d int) {
	apex, _ := m.proveTriangles()
	for _, e := range slices.SortedFunc(maps.Keys(apex), func(p, q [2]int) int { return slices.Compare(p[:], q[:]) }) {
		a, b := e[0], e[1]
		if d, ok := apex[[2]int{b, a}]; ok && (m.x[a] != m.x[b] && m.y[a] != m.y[b]) == diagonal {
			return a, b, apex[e], d
		}
	}
	return -1, -1, -1, -1
}

// Check is worth what it finds: each fault put into a sound mesh is reported.
func TestCheckFindsEachFault(t *testing.T) {
	faults := []struct {
		name, want string
		spoil      func(m *surfaceMesh)
	}{
		{"turned triangle", "two triangles on one side|anticlockwise", func(m *surfaceMesh) {
			m.triangles[0][1], m.triangles[0][2] = m.triangles[0][2], m.triangles[0][1]
		}},
		{"not the least vertex first", "has corners", func(m *surfaceMesh) {
			c := m.triangles[3]
			m.triangles[3] = [3]int{c[1], c[2], c[0]}
		}},
		{"lost triangle", "not on the hull|covers?|edges listed|in no triangle", func(m *surfaceMesh) { m.triangles = m.triangles[1:] }},
		{"triangle given twice", "two triangles on one side", func(m *surfaceMesh) { m.triangles = append(m.triangles, m.triangles[0]) }},
		{"lost vertex", "in no triangle", func(m *surfaceMesh) {
			m.x, m.y = append(m.x, 0.5), append(m.y, 0.25)
			m.plan = newPlan(m.x, m.y)
		}},
		{"other diagonal of a square", "the greatest is on the diagonal", func(m *surfaceMesh) { m.flip(m.innerEdge(true)) }},
		{"circle that is not empty", "holds", func(m *surfaceMesh) {
			a, b, c, _ := m.innerEdge(true)
			m.x[c] = (m.x[c] + (m.x[a]+m.x[b])/2) / 2 // towards the diagonal
			m.y[c] = (m.y[c] + (m.y[a]+m.y[b])/2) / 2
			m.plan = newPlan(m.x, m.y)
		}},
		{"edge not listed", "not listed", func(m *surfaceMesh) {
			a, b, _, _ := m.innerEdge(true)
			delete(m.edges, edgeKey(a, b))
		}},
		{"edge of no triangle", "edges listed", func(m *surfaceMesh) { m.edges[[2]int{0, 8}] = false }},
		{"edge listed twice", "twice", func(m *surfaceMesh) { m.twice = &[2]int{0, 1} }},
	}
	for _, f := range faults {
		t.Run(f.name, func(t *testing.T) {
			m := grid3(t)
			f.spoil(m)
			err := m.prove()
			require.Error(t, err)
			assert.Regexp(t, f.want, err.Error())
		})
	}
}

// A missing triangle shows, unless MaxEdge may have taken it.
func TestCheckFindsUncoveredHull(t *testing.T) {
	m := grid3(t)
	// Take away the triangle at a corner with the edges only it has.
	apex, err := m.proveTriangles()
	require.NoError(t, err)
	corner := slices.IndexFunc(m.triangles, func(tri [3]int) bool {
		outer := 0
		for k, a := range tri {
			if _, inner := apex[[2]int{tri[(k+1)%3], a}]; !inner {
				outer++
			}
		}
		return outer == 2
	})
	require.GreaterOrEqual(t, corner, 0)
	tri := m.triangles[corner]
	for k, a := range tri {
		b := tri[(k+1)%3]
		if _, inner := apex[[2]int{b, a}]; !inner {
			delete(m.edges, edgeKey(a, b))
		}
	}
	m.triangles = slices.Delete(m.triangles, corner, corner+1)
	assert.ErrorContains(t, m.prove(), "in no triangle")
	m.peeled = true // as after MaxEdge: then it is sound
	assert.NoError(t, m.prove())
}

func TestCheckMissesNoGivenPoint(t *testing.T) {
	points := Grid(3, 3, 1).Points
	s, err := tin.FromPoints(points)
	require.NoError(t, err)
	assert.NoError(t, Check(s, points...))
	assert.ErrorContains(t, Check(s, tin.Point{E: 0.5, N: 0.5, Name: "7"}), "point 7 at 0.5, 0.5 is no vertex")
}

func TestExactSigns(t *testing.T) {
	tiny := 5e-324
	p := newPlan([]float64{0, 1, 2, 0, 1e9}, []float64{0, 1, 2, tiny, 1e9 + 1e-7})
	assert.Equal(t, 0, p.orient(0, 1, 2))
	assert.Equal(t, 1, p.orient(0, 1, 3))
	assert.Equal(t, -1, p.orient(1, 0, 3))
	assert.Equal(t, 1, p.orient(0, 1, 4))
	q := newPlan([]float64{0, 1, 1, 0, 0.5, 0.5}, []float64{0, 0, 1, 1, -0.25, -0.2})
	assert.Equal(t, 0, q.inCircle(0, 1, 2, 3))
	assert.Equal(t, -1, q.inCircle(0, 1, 2, 4), "0.75 from the middle of a circle of 0.71")
	assert.Equal(t, 1, q.inCircle(0, 1, 2, 5), "0.70 from it")
}
