package mesh

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/fogleman/delaunay"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// set is a named set of points; whole says that they are whole numbers.
type set struct {
	name  string
	at    []XY
	whole bool
}

func (s *set) add(x, y float64) { s.at = append(s.at, XY{x, y}) }

// distinct drops points at a place already taken.
func (s set) distinct() set {
	seen := make(map[XY]bool)
	out := set{name: s.name, whole: s.whole}
	for _, p := range s.at {
		if p = (XY{p.X + 0, p.Y + 0}); !seen[p] {
			seen[p] = true
			out.add(p.X, p.Y)
		}
	}
	return out
}

func grid(nx, ny int, step float64) set {
	s := set{name: fmt.Sprintf("grid %dx%d", nx, ny), whole: true}
	for j := range ny {
		for i := range nx {
			s.add(float64(i)*step, float64(j)*step)
		}
	}
	return s
}

// sets are the point sets that every test of the mesh goes through.
func sets() []set {
	rng := rand.New(rand.NewPCG(1, 2))
	var all []set
	triangle := set{name: "triangle", whole: true}
	triangle.add(0, 0)
	triangle.add(4, 0)
	triangle.add(0, 3)
	all = append(all, triangle)
	all = append(all, grid(2, 2, 1), grid(3, 3, 10), grid(9, 9, 1), grid(100, 100, 10000), grid(1000, 2, 1), grid(2, 500, 7))
	for _, n := range []int{4, 5, 6, 7, 10, 100, 1000, 20000} {
		u := set{name: fmt.Sprintf("uniform %d", n)}
		w := set{name: fmt.Sprintf("whole %d", n), whole: true}
		d := set{name: fmt.Sprintf("dense %d", n), whole: true}
		side := int(math.Sqrt(float64(n))*1.3) + 2
		for range n {
			u.add(rng.Float64()*1000, rng.Float64()*1000)
			w.add(float64(rng.IntN(1<<26-1)), float64(rng.IntN(1<<26-1)))
			d.add(float64(rng.IntN(side)), float64(rng.IntN(side)))
		}
		all = append(all, u, w.distinct(), d.distinct())
	}
	circle := set{name: "circle of 1000"}
	for i := range 1000 {
		s, c := math.Sincos(2 * math.Pi * float64(i) / 1000)
		circle.add(c, s)
	}
	all = append(all, circle)
	whole := set{name: "whole points on one circle", whole: true}
	for x := -1105; x <= 1105; x++ { // 1105^2 is a sum of two squares in many ways
		y := int(math.Round(math.Sqrt(float64(1105*1105 - x*x))))
		if x*x+y*y == 1105*1105 {
			whole.add(float64(x), float64(y))
			whole.add(float64(x), float64(-y))
		}
	}
	all = append(all, whole.distinct())
	turned := set{name: "grid 100x100 turned 30 degrees"}
	s30, c30 := math.Sincos(math.Pi / 6)
	for i := range 100 {
		for j := range 100 {
			x, y := float64(i), float64(j)
			turned.add(c30*x-s30*y, s30*x+c30*y)
		}
	}
	all = append(all, turned)
	near := set{name: "near-collinear on a slope"}
	near2 := set{name: "near-duplicates 1e-12"}
	paper := set{name: "line on paper, mm at map offsets"}
	sliver := set{name: "sliver 1e-9"}
	for i := range 1000 {
		t := float64(i)
		near.add(t*0.37+rng.Float64()*1e-9, t*0.61+rng.Float64()*1e-9)
		paper.add(math.Round((500000+t*0.123)*1000)/1000, math.Round((6200000+t*0.456)*1000)/1000)
		b := float64(i / 2)
		near2.add(math.Mod(b*17.77, 10)+rng.Float64()*1e-12, math.Mod(b*3.33, 10)+rng.Float64()*1e-12)
	}
	sliver.add(0, 0)
	sliver.add(1000, 0)
	sliver.add(500, 1e-9)
	sliver.add(500, 2e-9)
	cluster := set{name: "cluster 1e-6 and far points"}
	for range 2000 {
		cluster.add(rng.Float64()*1e-6, rng.Float64()*1e-6)
	}
	for i := range 12 {
		s, c := math.Sincos(float64(i))
		cluster.add(1e5*c, 1e5*s)
	}
	return append(all, near.distinct(), near2.distinct(), paper.distinct(), sliver, cluster)
}

// edges returns the edges as sorted pairs of places, for comparing meshes of
// differently numbered vertices.
func (m *Mesh) edges() [][4]float64 {
	var out [][4]float64
	for e := range int32(len(m.V)) {
		if f := m.N[e]; f >= 0 && f < e {
			continue
		}
		a, b := m.V[e], m.V[Next(e)]
		if !m.goesUp(a, b) {
			a, b = b, a
		}
		out = append(out, [4]float64{m.P[a].X, m.P[a].Y, m.P[b].X, m.P[b].Y})
	}
	slices.SortFunc(out, func(p, q [4]float64) int { return slices.Compare(p[:], q[:]) })
	return out
}

func TestNewIsDelaunayAndWhole(t *testing.T) {
	for _, s := range sets() {
		t.Run(s.name, func(t *testing.T) {
			m, order, err := New(s.at, s.whole)
			require.NoError(t, err)
			require.NoError(t, m.Check())
			require.Len(t, order, len(s.at))
			for i, from := range order {
				require.Equal(t, XY{s.at[from].X + 0, s.at[from].Y + 0}, m.P[i])
			}
		})
	}
}

func TestNewIgnoresOrderAndLane(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	for _, s := range sets() {
		t.Run(s.name, func(t *testing.T) {
			want, _, err := New(s.at, s.whole)
			require.NoError(t, err)
			rng.Shuffle(len(s.at), func(i, j int) {
				s.at[i], s.at[j] = s.at[j], s.at[i]
			})
			got, _, err := New(s.at, false) // the general lane must agree with the whole one
			require.NoError(t, err)
			assert.Equal(t, want.P, got.P)
			assert.Equal(t, want.V, got.V)
			assert.Equal(t, want.N, got.N)
		})
	}
}

func TestNewRefusesPointsInLine(t *testing.T) {
	at := make([]XY, 1000)
	for i := range at {
		at[i] = XY{float64(i), float64(2 * i)}
	}
	_, _, err := New(at, true)
	assert.ErrorIs(t, err, ErrCollinear)
	_, _, err = New(at[:3], false)
	assert.ErrorIs(t, err, ErrCollinear)
	_, _, err = New(at[:2], true)
	assert.ErrorIs(t, err, ErrTooFew)
}

// The draft of a general-purpose library, turned canonical by flips, is the
// same mesh wherever it is a valid triangulation to begin with.
func TestDraftTurnedCanonicalIsTheSame(t *testing.T) {
	valid := 0
	for _, s := range sets() {
		t.Run(s.name, func(t *testing.T) {
			m, _, err := New(s.at, s.whole)
			require.NoError(t, err)
			draft := draftOf(t, s)
			if draft == nil {
				return // the draft loses points or turns triangles on this set
			}
			valid++
			assert.Equal(t, m.edges(), draft.edges())
		})
	}
	assert.Greater(t, valid, 20, "sets with a valid draft")
}

func draftOf(t *testing.T, s set) *Mesh {
	t.Helper()
	points := make([]delaunay.Point, len(s.at))
	for i, p := range s.at {
		points[i] = delaunay.Point{X: p.X, Y: p.Y}
	}
	d, err := delaunay.Triangulate(points)
	if err != nil {
		return nil
	}
	m := &Mesh{P: s.at, Whole: s.whole}
	for i := 0; i < len(d.Triangles); i += 3 {
		m.V = append(m.V, int32(d.Triangles[i]), int32(d.Triangles[i+1]), int32(d.Triangles[i+2]))
	}
	for _, h := range d.Halfedges {
		m.N = append(m.N, int32(h))
	}
	// The library turns clockwise on a y axis that points up.
	if m.Orient(m.V[0], m.V[1], m.V[2]) < 0 {
		v, n := slices.Clone(m.V), slices.Clone(m.N)
		for e := range int32(len(v)) {
			// Half-edge 3t+i becomes 3t+(2-i): corners 0 2 1.
			m.V[e/3*3+[3]int32{0, 2, 1}[e%3]] = v[e]
			f := n[e]
			if f >= 0 {
				f = f/3*3 + 2 - f%3
			}
			m.N[e/3*3+2-e%3] = f
		}
	}
	for e := range int32(len(m.V)) {
		if e%3 == 0 && m.Orient(m.V[e], m.V[e+1], m.V[e+2]) <= 0 {
			return nil
		}
	}
	all := make([]int32, len(m.V))
	for i := range all {
		all[i] = int32(i)
	}
	m.legalise(all)
	m.Settle()
	if m.Check() != nil {
		return nil
	}
	return m
}

// A search may begin anywhere and for any place: outside, far away, at no place.
func TestLocateFromAnywhere(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 5))
	for _, s := range benchSets(2000) {
		m, _, err := New(s.at, s.whole)
		require.NoError(t, err)
		for range 200 {
			p := s.at[rng.IntN(len(s.at))]
			for _, hint := range []int32{-1, 0, int32(rng.IntN(m.Triangles()))} {
				found := m.Locate(p.X, p.Y, hint)
				require.True(t, found >= 0 && m.holds(found, p.X, p.Y))
			}
		}
		far := 1e40
		for _, p := range []XY{{-far, far}, {far, 0}, {0, -far}} {
			require.Equal(t, int32(-1), m.Locate(p.X, p.Y, -1))
		}
		m.Locate(math.NaN(), math.NaN(), -1) // any answer, no panic
	}
}
