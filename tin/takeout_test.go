package tin_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
)

func rect(e, n, width, height float64) orb.Polygon {
	return orb.Polygon{{{e, n}, {e + width, n}, {e + width, n + height}, {e, n + height}}}
}

func takeOut(t *testing.T, area orb.MultiPolygon, sources ...tin.Source) ([]tin.Source, []tin.TakenOut) {
	t.Helper()
	a, err := tin.NewArea(area, sources)
	require.NoError(t, err)
	kept, taken, err := a.TakeOut(t.Context(), sources)
	require.NoError(t, err)
	return kept, taken
}

func TestAreaSide(t *testing.T) {
	hole := append(rect(0, 0, 10, 10), rect(4, 4, 2, 2)[0])
	halves := orb.MultiPolygon{rect(0, 0, 5, 10), rect(5, 0, 5, 10)}
	quarters := orb.MultiPolygon{rect(0, 0, 5, 5), rect(5, 0, 5, 5), rect(0, 5, 5, 5), rect(5, 5, 5, 5)}
	// A sloping side through decimals that no double holds.
	slope := orb.MultiPolygon{{{{0.1, 0.1}, {0.7, 0.3}, {0.1, 0.9}}}}
	for _, tt := range []struct {
		name string
		area orb.MultiPolygon
		e, n float64
		want int
	}{
		{"inside", orb.MultiPolygon{rect(0, 0, 10, 10)}, 5, 5, 1},
		{"outside", orb.MultiPolygon{rect(0, 0, 10, 10)}, 11, 5, -1},
		{"on a side", orb.MultiPolygon{rect(0, 0, 10, 10)}, 10, 5, 0},
		{"on a corner", orb.MultiPolygon{rect(0, 0, 10, 10)}, 10, 10, 0},
		{"in a hole", orb.MultiPolygon{hole}, 5, 5, -1},
		{"on the rim of a hole", orb.MultiPolygon{hole}, 4, 5, 0},
		{"on a shared side", halves, 5, 5, 1},
		{"at the end of a shared side", halves, 5, 10, 0},
		{"where four meet", quarters, 5, 5, 1},
		{"where three of four meet", quarters[:3], 5, 5, 0},
		{"on the rim of one, inside another", orb.MultiPolygon{rect(0, 0, 5, 10), rect(4, 0, 5, 10)}, 5, 5, 1},
		{"a hole filled by another", orb.MultiPolygon{hole, rect(4, 4, 2, 2)}, 4, 4, 1},
		{"on a sloping side", slope, 0.4, 0.2, 0},
		{"by a ten thousandth inside", slope, 0.4, 0.2001, 1},
		{"no place", slope, math.NaN(), 0, -1},
	} {
		t.Run(tt.name, func(t *testing.T) {
			for _, area := range []orb.MultiPolygon{tt.area, otherWay(tt.area)} {
				a, err := tin.NewArea(area, []tin.Source{{Points: []tin.Point{{E: 0.1, N: 0.1}}}})
				require.NoError(t, err)
				assert.Equal(t, tt.want, a.Side(tt.e, tt.n))
			}
		})
	}
}

// otherWay turns every ring and the order of polygons round.
func otherWay(area orb.MultiPolygon) (out orb.MultiPolygon) {
	for _, p := range area {
		var q orb.Polygon
		for _, ring := range p {
			r := slices.Clone(ring)
			slices.Reverse(r)
			q = append(q, append(r, r[0]))
		}
		out = append(out, q)
	}
	slices.Reverse(out)
	return out
}

func TestTakeOutLines(t *testing.T) {
	nan := math.NaN()
	area := orb.MultiPolygon{rect(10, 10, 10, 10)}
	p := func(e, n, z float64) tin.Point { return tin.Point{E: e, N: n, Level: z} }
	for _, tt := range []struct {
		name   string
		area   orb.MultiPolygon
		spots  []tin.Point
		line   []tin.Point
		want   [][]tin.Point
		single []tin.Point // vertices that stay as spots
		taken  tin.TakenOut
	}{
		{name: "through", line: []tin.Point{p(0, 15, 1), p(30, 15, 4)},
			want: [][]tin.Point{{p(0, 15, 1), p(10, 15, 2)}, {p(20, 15, 3), p(30, 15, 4)}}, taken: tin.TakenOut{Stretches: 1}},
		{name: "ends inside", line: []tin.Point{p(0, 15, 1), p(15, 15, 4)},
			want: [][]tin.Point{{p(0, 15, 1), p(10, 15, 3)}}, taken: tin.TakenOut{Vertices: 1, Stretches: 1}},
		{name: "all inside", line: []tin.Point{p(12, 15, 1), p(15, 15, 4)}, taken: tin.TakenOut{Vertices: 2, Stretches: 1}},
		{name: "from rim to rim", line: []tin.Point{p(10, 15, 1), p(15, 20, 4)}, single: []tin.Point{p(10, 15, 1), p(15, 20, 4)},
			taken: tin.TakenOut{Stretches: 1}},
		{name: "in twice", line: []tin.Point{p(15, 5, 1), p(15, 15, 2), p(25, 15, 3), p(15, 16, 4)},
			want:  [][]tin.Point{{p(15, 5, 1), p(15, 10, 1.5)}, {p(20, 15, 2.5), p(25, 15, 3), p(20, 15.5, 3.5)}},
			taken: tin.TakenOut{Vertices: 2, Stretches: 2}},
		{name: "far away", line: []tin.Point{p(0, 5, 1), p(30, 5, 4)}, want: [][]tin.Point{{p(0, 5, 1), p(30, 5, 4)}}},
		{name: "passes by within the box", line: []tin.Point{p(0, 25, 1), p(11, 5, 4)},
			want: [][]tin.Point{{p(0, 25, 1), p(11, 5, 4)}}},
		{name: "along the rim", line: []tin.Point{p(0, 10, 1), p(30, 10, 4)}, want: [][]tin.Point{{p(0, 10, 1), p(30, 10, 4)}}},
		{name: "along the rim, then in", line: []tin.Point{p(0, 10, 1), p(15, 10, 4), p(15, 15, 5)},
			want: [][]tin.Point{{p(0, 10, 1), p(10, 10, 3), p(15, 10, 4)}}, taken: tin.TakenOut{Vertices: 1, Stretches: 1}},
		{name: "through two corners", line: []tin.Point{p(5, 5, 0), p(25, 25, 20)},
			want: [][]tin.Point{{p(5, 5, 0), p(10, 10, 5)}, {p(20, 20, 15), p(25, 25, 20)}}, taken: tin.TakenOut{Stretches: 1}},
		{name: "touches a corner", line: []tin.Point{p(5, 15, 0), p(15, 5, 10)}, want: [][]tin.Point{{p(5, 15, 0), p(15, 5, 10)}}},
		{name: "from the rim inwards", line: []tin.Point{p(10, 15, 1), p(15, 15, 2)},
			single: []tin.Point{p(10, 15, 1)}, taken: tin.TakenOut{Vertices: 1, Stretches: 1}},
		{name: "from a spot on the rim inwards", spots: []tin.Point{p(10, 15, 1)}, line: []tin.Point{p(10, 15, 1), p(15, 15, 2)},
			taken: tin.TakenOut{Vertices: 1, Stretches: 1}},
		{name: "with levels of spots", spots: []tin.Point{p(0, 15, 1), p(15, 15, 4)}, line: []tin.Point{p(0, 15, nan), p(15, 15, nan)},
			want: [][]tin.Point{{p(0, 15, nan), p(10, 15, 3)}}, taken: tin.TakenOut{Vertices: 1, Stretches: 1}},
		{name: "over halves that share a side", area: orb.MultiPolygon{rect(10, 10, 5, 10), rect(15, 10, 5, 10)},
			line: []tin.Point{p(0, 15, 1), p(30, 15, 4)},
			want: [][]tin.Point{{p(0, 15, 1), p(10, 15, 2)}, {p(20, 15, 3), p(30, 15, 4)}}, taken: tin.TakenOut{Stretches: 1}},
		{name: "along a side that halves share", area: orb.MultiPolygon{rect(10, 10, 5, 10), rect(15, 10, 5, 10)},
			line: []tin.Point{p(15, 0, 1), p(15, 30, 4)},
			want: [][]tin.Point{{p(15, 0, 1), p(15, 10, 2)}, {p(15, 20, 3), p(15, 30, 4)}}, taken: tin.TakenOut{Stretches: 1}},
		{name: "out through a hole", area: orb.MultiPolygon{append(rect(10, 10, 10, 10), rect(14, 14, 2, 2)[0])},
			line: []tin.Point{p(15, 15, 0), p(15, 25, 10)},
			want: [][]tin.Point{{p(15, 15, 0), p(15, 16, 1)}, {p(15, 20, 5), p(15, 25, 10)}}, taken: tin.TakenOut{Stretches: 1}},
		{name: "within rounding of the rim", line: []tin.Point{p(9.9999, 15, 1), p(15, 15.0001, 2)},
			want: [][]tin.Point{{p(9.9999, 15, 1), p(10, 15, 1+0.0001/5.0001)}}, taken: tin.TakenOut{Vertices: 1, Stretches: 1}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			if tt.area == nil {
				tt.area = area
			}
			for range 2 {
				line := slices.Clone(tt.line)
				kept, taken := takeOut(t, tt.area, tin.Source{Points: tt.spots, Breaklines: []tin.Breakline{{Name: "bank", Vertices: line}}})
				taken[0].Spots = 0
				assert.Equal(t, tt.taken, taken[0])
				samePoints(t, [][]tin.Point{tt.line}, [][]tin.Point{line})
				var got [][]tin.Point
				for _, l := range kept[0].Breaklines {
					assert.Equal(t, "bank", l.Name)
					got = append(got, l.Vertices)
				}
				samePoints(t, tt.want, got)
				if tt.spots == nil {
					assert.Equal(t, tt.single, slices.Clip(kept[0].Points))
				}
				slices.Reverse(tt.line)
				for _, l := range tt.want {
					slices.Reverse(l)
				}
				slices.Reverse(tt.want)
				slices.Reverse(tt.single)
			}
		})
	}
}

// samePoints compares lines whose levels may be missing.
func samePoints(t *testing.T, want, got [][]tin.Point) {
	t.Helper()
	require.Len(t, got, len(want))
	for i := range want {
		require.Len(t, got[i], len(want[i]))
		for j, p := range want[i] {
			q := got[i][j]
			assert.Equal(t, [2]float64{p.E, p.N}, [2]float64{q.E, q.N})
			assert.Equal(t, p.HasLevel(), q.HasLevel())
			if p.HasLevel() {
				assert.InDelta(t, p.Level, q.Level, 1e-12)
			}
		}
	}
}

// The crossing with a sloping rim is a place of the survey's decimals, so that
// the surface goes on counting in whole units.
func TestTakeOutRoundsToTheDecimals(t *testing.T) {
	area := orb.MultiPolygon{{{{10, 10}, {17, 13}, {11, 19}}}}
	kept, _ := takeOut(t, area, tin.Source{Breaklines: []tin.Breakline{{Vertices: []tin.Point{{E: 0, N: 12.1, Level: 1}, {E: 30, N: 13.7, Level: 2}}}}})
	for _, l := range kept[0].Breaklines {
		for _, p := range l.Vertices {
			assert.Equal(t, math.Round(p.E*1e4)/1e4, p.E)
			assert.Equal(t, math.Round(p.N*1e4)/1e4, p.N)
		}
	}
	assert.Len(t, kept[0].Breaklines, 2)
}

// A line that is cut bends by the rounding: it is cut at the spots exactly on
// it too, and goes on through them.
func TestTakeOutKeepsSpotsOnLines(t *testing.T) {
	area := orb.MultiPolygon{{{{10, 3}, {23, 4}, {11, 19}}}}
	on := tin.Point{E: 3, N: 2, Level: 1.2}
	kept, _ := takeOut(t, area, tin.Source{
		Points:     []tin.Point{on, {E: 6, N: 4.0001, Level: 2}, {E: 27, N: 18, Level: 3}},
		Breaklines: []tin.Breakline{{Vertices: []tin.Point{{Level: 1}, {E: 30, N: 20, Level: 3}}}},
	})
	require.Len(t, kept[0].Breaklines, 2)
	assert.Equal(t, on, kept[0].Breaklines[0].Vertices[1])
	assert.Equal(t, tin.Point{E: 27, N: 18, Level: 2.8}, kept[0].Breaklines[1].Vertices[1])
	assert.Len(t, kept[0].Breaklines[0].Vertices, 3)
}

// Random lines over random areas: what stays lies outside, what goes inside,
// and nothing depends on the direction of a line or of the rim.
func TestTakeOutRandom(t *testing.T) {
	for seed := range uint64(200) {
		rng := rand.New(rand.NewPCG(seed, 7))
		grid := func() float64 { return float64(rng.IntN(13)) }
		if seed%2 == 1 {
			grid = func() float64 { return 13 * rng.Float64() }
		}
		area := orb.MultiPolygon{rect(grid(), grid(), 1+grid()/2, 1+grid()/2), rect(grid(), grid(), 1+grid()/2, 1+grid()/2)}
		var line []tin.Point
		for range 12 {
			line = append(line, tin.Point{E: grid(), N: grid(), Level: grid()})
		}
		source := tin.Source{Breaklines: []tin.Breakline{{Vertices: line}}}
		for range 40 {
			source.Points = append(source.Points, tin.Point{E: grid(), N: grid(), Level: 1})
		}
		a, err := tin.NewArea(area, []tin.Source{source})
		require.NoError(t, err)
		kept, taken := takeOut(t, area, source)
		for _, l := range kept[0].Breaklines {
			for i := 1; i < len(l.Vertices); i++ {
				p, q := l.Vertices[i-1], l.Vertices[i]
				for _, k := range []float64{0.01, 0.25, 0.5, 0.75, 0.99} {
					e, n := p.E+k*(q.E-p.E), p.N+k*(q.N-p.N)
					assert.False(t, a.Side(e, n) > 0 && a.Side(e+1e-3, n) > 0 && a.Side(e-1e-3, n) > 0 && a.Side(e, n+1e-3) > 0 && a.Side(e, n-1e-3) > 0,
						"seed %d: %v, %v stays inside", seed, e, n)
				}
			}
		}
		in := 0
		for _, p := range source.Points {
			if a.Side(p.E, p.N) > 0 {
				in++
			}
		}
		assert.Equal(t, in, taken[0].Spots)
		assert.InDelta(t, outsideLength(a, line), lengthOf(kept[0].Breaklines), 0.3, "seed %d", seed)

		turned := source
		back := slices.Clone(line)
		slices.Reverse(back)
		turned.Breaklines = []tin.Breakline{{Vertices: back}}
		other, otherTaken := takeOut(t, otherWay(area), turned)
		assert.Equal(t, taken, otherTaken, "seed %d", seed)
		assert.ElementsMatch(t, pieces(kept[0].Breaklines), pieces(other[0].Breaklines), "seed %d", seed)
	}
}

// outsideLength is the length of a line that is not inside, in steps.
func outsideLength(a *tin.Area, line []tin.Point) (sum float64) {
	const steps = 2000
	for i := 1; i < len(line); i++ {
		p, q := line[i-1], line[i]
		for k := range steps {
			t := (float64(k) + 0.5) / steps
			if a.Side(p.E+t*(q.E-p.E), p.N+t*(q.N-p.N)) <= 0 {
				sum += math.Hypot(q.E-p.E, q.N-p.N) / steps
			}
		}
	}
	return sum
}

func lengthOf(lines []tin.Breakline) (sum float64) {
	for _, s := range pieces(lines) {
		sum += math.Hypot(s[3]-s[0], s[4]-s[1])
	}
	return sum
}

// pieces are the segments of lines, the lesser end first.
func pieces(lines []tin.Breakline) (out [][6]float64) {
	for _, l := range lines {
		for i := 1; i < len(l.Vertices); i++ {
			p, q := l.Vertices[i-1], l.Vertices[i]
			if q.E < p.E || q.E == p.E && (q.N < p.N || q.N == p.N && q.Level < p.Level) {
				p, q = q, p
			}
			out = append(out, [6]float64{p.E, p.N, p.Level, q.E, q.N, q.Level})
		}
	}
	return out
}

func TestTakeOutErrors(t *testing.T) {
	_, err := tin.NewArea(orb.MultiPolygon{rect(0, 0, 1, 1), {{{0, 0}, {1, 1}, {1, 0}, {0, 1}}}}, nil)
	assert.ErrorContains(t, err, "polygon 2")
	a, err := tin.NewArea(orb.MultiPolygon{rect(0, 0, 1, 1)}, nil)
	require.NoError(t, err)
	_, _, err = a.TakeOut(t.Context(), []tin.Source{{Breaklines: []tin.Breakline{{Vertices: []tin.Point{{Level: math.NaN()}, {E: 5, Level: 1}}}}}})
	assert.ErrorContains(t, err, "has no level")
	// Far from the survey an area of next to nothing holds nothing.
	a, err = tin.NewArea(orb.MultiPolygon{{{{0, 0}, {1, 0}, {0, 1e-10}}}}, []tin.Source{{Points: []tin.Point{{E: 5e5, N: 5e6}}}})
	require.NoError(t, err)
	assert.Equal(t, -1, a.Side(0.5, 0))
	a, err = tin.NewArea(orb.MultiPolygon{rect(0, 0, 1, 1)}, nil)
	require.NoError(t, err)
	// What is no place is left for Build to refuse.
	bad := []tin.Source{{Points: []tin.Point{{E: math.NaN()}, {N: math.Inf(1)}},
		Breaklines: []tin.Breakline{{Vertices: []tin.Point{{E: math.Inf(1)}, {E: 0.5, N: 0.5}}}, {}}}}
	kept, taken, err := a.TakeOut(t.Context(), bad)
	require.NoError(t, err)
	assert.Len(t, kept[0].Points, 2)
	assert.Len(t, kept[0].Breaklines, 2)
	assert.False(t, taken[0].Any())
}

func TestTakeOutLeavesFacesWhole(t *testing.T) {
	built := tin.Source{Name: "built.xml", Points: square(), Faces: [][3]int32{{0, 1, 2}, {0, 2, 3}}}
	for _, tt := range []struct {
		area orb.Polygon
		code string
	}{{box(90, 90, 120, 120), "faces_replaced"}, {box(101, 0, 120, 120), ""}} {
		area, err := tin.NewArea(orb.MultiPolygon{tt.area}, []tin.Source{built})
		require.NoError(t, err)
		kept, taken, err := area.TakeOut(t.Context(), []tin.Source{built})
		if tt.code != "" {
			e := asInputError(t, err)
			assert.Equal(t, tt.code, e.Code)
			assert.Equal(t, "built.xml", e.File)
			continue
		}
		require.NoError(t, err)
		assert.Equal(t, []tin.Source{built}, kept)
		assert.False(t, taken[0].Any())
	}
}
