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

// anyLevel is a tolerance under which all lines agree, so that random ones may
// cross.
const anyLevel = 1e6

// survey is a random ground in whole millimetres: spots and breaklines with
// every kind of coincidence.
type survey struct {
	spots  [][3]int // easting, northing, level
	lines  [][][3]int
	policy tin.Options
}

func randomSurvey(rng *rand.Rand, step int) survey {
	s := survey{policy: tin.Options{CrossingTolerance: anyLevel, Duplicates: tin.DuplicatesMean}}
	side := 6 + rng.IntN(10)
	place := func() [3]int { return [3]int{step * rng.IntN(side), step * rng.IntN(side), rng.IntN(4000)} }
	for range 10 + rng.IntN(60) {
		s.spots = append(s.spots, place())
	}
	for range rng.IntN(6) {
		var l [][3]int
		for range 2 + rng.IntN(4) {
			l = append(l, place())
		}
		s.lines = append(s.lines, l)
	}
	return s
}

// source writes the survey with a shift in millimetres.
func (s survey) source(e, n, level int64) tin.Source {
	point := func(p [3]int) tin.Point {
		return tin.Point{E: float64(int64(p[0])+e) / 1000, N: float64(int64(p[1])+n) / 1000, Level: float64(int64(p[2])+level) / 1000}
	}
	var out tin.Source
	for _, p := range s.spots {
		out.Points = append(out.Points, point(p))
	}
	for _, l := range s.lines {
		var b tin.Breakline
		for _, p := range l {
			b.Vertices = append(b.Vertices, point(p))
		}
		out.Breaklines = append(out.Breaklines, b)
	}
	return out
}

// surface builds and proves; nil if the spots happen to lie in line.
func (s survey) surface(t testing.TB, sources ...tin.Source) *tin.Surface {
	t.Helper()
	got, err := tin.Build(t.Context(), sources, s.policy)
	if err != nil {
		require.Contains(t, []string{"points_in_line", "too_few_points", "breaklines_tangled"}, asInputError(t, err).Code)
		return nil
	}
	require.NoError(t, tintest.Check(got))
	return got
}

func levels(s *tin.Surface) []float64 {
	var out []float64
	for _, v := range s.Vertices() {
		out = append(out, v.Level)
	}
	return out
}

// eachSurvey runs a law over random surveys.
func eachSurvey(t *testing.T, seed uint64, law func(rng *rand.Rand, s survey, ground *tin.Surface)) {
	t.Helper()
	rng := rand.New(rand.NewPCG(71, seed))
	held := 0
	for i := range 80 {
		s := randomSurvey(rng, []int{1000, 137, 1, 20000}[i%4])
		if ground := s.surface(t, s.source(0, 0, 0)); ground != nil {
			law(rng, s, ground)
			held++
		}
	}
	assert.Greater(t, held, 70)
}

// A shift by decimals, however far, changes no triangle and no level.
func TestLawShift(t *testing.T) {
	eachSurvey(t, 1, func(_ *rand.Rand, s survey, ground *tin.Surface) {
		triangles, lines := topology(ground)
		for _, by := range [][2]int64{{6e9, 5e8}, {-6e9, 7}, {6000000250, 123456789}, {1, -1}} {
			moved := s.surface(t, s.source(by[0], by[1], 0))
			gotTriangles, gotLines := topology(moved)
			require.Equal(t, triangles, gotTriangles)
			require.Equal(t, lines, gotLines)
			require.InDeltaSlice(t, levels(ground), levels(moved), 1e-9)
			if by[0]%1000 == 0 && by[1]%1000 == 0 {
				require.Equal(t, levels(ground), levels(moved), "to the bit")
				require.Equal(t, ground.Stats(), moved.Stats(), "to the bit")
			}
		}
	})
}

func TestLawLift(t *testing.T) {
	eachSurvey(t, 2, func(_ *rand.Rand, s survey, ground *tin.Surface) {
		triangles, lines := topology(ground)
		lifted := s.surface(t, s.source(0, 0, 117250))
		gotTriangles, gotLines := topology(lifted)
		require.Equal(t, triangles, gotTriangles)
		require.Equal(t, lines, gotLines)
		for i, z := range levels(lifted) {
			require.InDelta(t, levels(ground)[i]+117.25, z, 1e-9)
		}
		require.InDelta(t, ground.SlopeArea(), lifted.SlopeArea(), 1e-9*ground.SlopeArea())
	})
}

// Spots, lines and the vertices of lines in any order, in any number of files:
// the same bits.
func TestLawOrder(t *testing.T) {
	eachSurvey(t, 3, func(rng *rand.Rand, s survey, ground *tin.Surface) {
		want := bits(ground)
		for range 3 {
			a := s.source(0, 0, 0)
			rng.Shuffle(len(a.Points), func(i, j int) { a.Points[i], a.Points[j] = a.Points[j], a.Points[i] })
			rng.Shuffle(len(a.Breaklines), func(i, j int) { a.Breaklines[i], a.Breaklines[j] = a.Breaklines[j], a.Breaklines[i] })
			for i, l := range a.Breaklines {
				if rng.IntN(2) == 0 {
					a.Breaklines[i].Vertices = reversed(l.Vertices)
				}
			}
			k, l := rng.IntN(len(a.Points)+1), rng.IntN(len(a.Breaklines)+1)
			b := tin.Source{Points: a.Points[k:], Breaklines: a.Breaklines[:l]}
			a = tin.Source{Points: a.Points[:k], Breaklines: a.Breaklines[l:]}
			require.Equal(t, want, bits(s.surface(t, b, a)))
		}
	})
}

// Lines given again, whole or in part, in either direction, change no bit.
func TestLawForcedTwice(t *testing.T) {
	eachSurvey(t, 4, func(rng *rand.Rand, s survey, ground *tin.Surface) {
		again := s.source(0, 0, 0)
		for _, l := range slices.Clone(again.Breaklines) {
			again.Breaklines = append(again.Breaklines, tin.Breakline{Vertices: reversed(l.Vertices)})
			if k := rng.IntN(len(l.Vertices) - 1); k > 0 {
				again.Breaklines = append(again.Breaklines, tin.Breakline{Vertices: l.Vertices[k:]})
			}
		}
		got := s.surface(t, again)
		require.Equal(t, bits(ground), bits(got))
	})
}

// A closed line may begin at any of its vertices.
func TestLawClosedLineBeginsAnywhere(t *testing.T) {
	ring := spots(20, 20, 12, 80, 20, 12.004, 80, 80, 12.003, 20, 80, 12.001)
	other := line("other", 80, 80, 12.015, 95, 95, 12)
	var want []uint64
	for i := range ring {
		r := append(slices.Clone(ring[i:]), ring[:i+1]...)
		for _, vertices := range [][]tin.Point{r, reversed(r)} {
			got := bits(build(t, square(), tin.Breakline{Vertices: vertices}, other))
			if want == nil {
				want = got
			}
			require.Equal(t, want, got)
		}
	}
}

// edgesUnder returns the edges of a surface by place, moved.
func edgesUnder(s *tin.Surface, move func(e, n float64) (float64, float64)) map[[4]float64]bool {
	var at [][2]float64
	for _, v := range s.Vertices() {
		e, n := move(v.E, v.N)
		at = append(at, [2]float64{e + 0, n + 0})
	}
	out := make(map[[4]float64]bool)
	for _, e := range s.Edges() {
		p, q := at[e.Vertex[0]], at[e.Vertex[1]]
		if slices.Compare(p[:], q[:]) > 0 {
			p, q = q, p
		}
		out[[4]float64{p[0], p[1], q[0], q[1]}] = e.Breakline
	}
	return out
}

// Ground without ties may be turned by quarters, and mirrored.
func TestLawQuarterTurn(t *testing.T) {
	rng := rand.New(rand.NewPCG(71, 5))
	moves := map[string]func(e, n float64) (float64, float64){
		"quarter turn":       func(e, n float64) (float64, float64) { return -n, e },
		"half turn":          func(e, n float64) (float64, float64) { return -e, -n },
		"three quarter turn": func(e, n float64) (float64, float64) { return n, -e },
		"mirror":             func(e, n float64) (float64, float64) { return n, e },
	}
	for range 20 {
		whole := func() float64 { return float64(rng.IntN(2000001)-1000000) / 1000 }
		var points []tin.Point
		for range 120 {
			points = append(points, tin.Point{E: whole(), N: whole(), Level: 10})
		}
		// Four lines to one place, which cross nothing.
		star := func(p []tin.Point) (lines []tin.Breakline) {
			for i := range 4 {
				lines = append(lines, tin.Breakline{Vertices: []tin.Point{p[i], p[4]}})
			}
			return lines
		}
		ground := build(t, points, star(points)...)
		require.Zero(t, len(ground.Ties()))
		for name, move := range moves {
			moved := slices.Clone(points)
			for i, p := range points {
				moved[i].E, moved[i].N = move(p.E, p.N)
			}
			same := func(e, n float64) (float64, float64) { return e, n }
			require.Equal(t, edgesUnder(ground, move), edgesUnder(build(t, moved, star(moved)...), same), name)
		}
	}
}

// The nasty sets in any order, and the many points that are built by several
// goroutines.
func TestLawOrderOfNastySets(t *testing.T) {
	rng := rand.New(rand.NewPCG(71, 6))
	sets := tintest.Sets()
	var many tintest.Set
	many.Name = "20,000 spots"
	for range 20000 {
		many.Points = append(many.Points, tin.Point{E: float64(rng.IntN(1000)), N: 1000 * rng.Float64(), Level: rng.Float64()})
	}
	for _, set := range append(sets, many) {
		if set.InLine {
			continue
		}
		t.Run(set.Name, func(t *testing.T) {
			want, err := tin.FromPoints(set.Points)
			require.NoError(t, err)
			shuffled := slices.Clone(set.Points)
			for range 2 {
				rng.Shuffle(len(shuffled), func(i, j int) { shuffled[i], shuffled[j] = shuffled[j], shuffled[i] })
				got, err := tin.FromPoints(shuffled)
				require.NoError(t, err)
				require.True(t, slices.Equal(bits(want), bits(got)))
			}
		})
	}
}

// The circle of 1,000 spots has 998 triangles, all within it.
func TestCircle(t *testing.T) {
	s := build(t, tintest.Circle(1000, 50).Points)
	st := s.Stats()
	assert.Equal(t, 998, st.Triangles)
	assert.InEpsilon(t, 1000*50*50/2*math.Sin(2*math.Pi/1000), st.Area, 1e-9)
}
