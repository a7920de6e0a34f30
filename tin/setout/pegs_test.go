package setout_test

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/setout"
)

// rectangle is an outline of 12 by 8 with a crest 2 outside of it, square at its corners,
// and a toe 3 outside of its north side.
func rectangle() *setout.Outline {
	return &setout.Outline{
		Pad:   "shed",
		Rings: [][]setout.Corner{{{"A", orb.Point{0, 0}}, {"B", orb.Point{12, 0}}, {"C", orb.Point{12, 8}}, {"D", orb.Point{0, 8}}}},
		Crest: []setout.Line{{{-2, 8, 5}, {-2, -2, 5}, {14, -2, 6}, {14, 8, 6}}},
		Toe:   []setout.Line{{{12, 11, 3}, {0, 11, 4}}},
		Walls: []setout.Ring{{{0, 0}, {12, 0}, {12, 8}, {0, 8}}},
	}
}

func pegsOf(t *testing.T, o *setout.Outline) map[string]setout.Peg {
	t.Helper()
	list, err := o.Pegs(t.Context())
	require.NoError(t, err)
	pegs := map[string]setout.Peg{}
	for _, p := range list {
		pegs[p.Number] = p
	}
	require.Len(t, pegs, len(list))
	return pegs
}

func TestPegs(t *testing.T) {
	o := rectangle()
	o.Spacing = setout.Spacing{Interval: 5, Grid: 4, Back: []float64{3}}
	pegs := pegsOf(t, o)
	for _, tt := range []struct {
		number string
		kind   setout.Kind
		at     orb.Point
		toEdge float64
		level  float64
	}{
		{"shed A", setout.AtCorner, orb.Point{0, 0}, 0, 0},
		{"shed A+5.0", setout.OnSide, orb.Point{5, 0}, 0, 0},
		{"shed A+10.0", setout.OnSide, orb.Point{10, 0}, 0, 0},
		{"shed B+5.0", setout.OnSide, orb.Point{12, 5}, 0, 0},
		{"shed G4.0/4.0", setout.OnGrid, orb.Point{4, 4}, 4, 0},
		{"shed G8.0/4.0", setout.OnGrid, orb.Point{8, 4}, 4, 0},
		{"shed A+5.0 C", setout.AtCrest, orb.Point{5, -2}, 2, 5 + 7.0/16},
		{"shed A+0.0 C", setout.AtCrest, orb.Point{0, -2}, 2, 5 + 2.0/16},
		{"shed B-0.0 C", setout.AtCrest, orb.Point{12, -2}, 2, 5 + 14.0/16},
		{"shed A C", setout.AtCrest, orb.Point{-2, -2}, 2 * math.Sqrt2, 5},
		{"shed C+10.0 T", setout.AtToe, orb.Point{2, 11}, 3, 3 + 10.0/12},
		{"shed C+5.0 B3.0", setout.SetBack, orb.Point{7, 11}, 3, 0},
		{"shed D-0.0 B3.0", setout.SetBack, orb.Point{0, 11}, 3, 0},
	} {
		p, ok := pegs[tt.number]
		require.True(t, ok, tt.number)
		assert.Equal(t, tt.kind, p.Kind, tt.number)
		assert.InDelta(t, tt.at[0], p.At[0], 1e-12, tt.number)
		assert.InDelta(t, tt.at[1], p.At[1], 1e-12, tt.number)
		assert.InDelta(t, tt.toEdge, p.ToEdge, 1e-12, tt.number)
		assert.InDelta(t, tt.level, p.Level, 1e-12, tt.number)
	}
	assert.NotContains(t, pegs, "shed G0.0/4.0", "nobody drives two pegs into one hole")
	counts := map[setout.Kind]int{}
	for _, p := range pegs {
		counts[p.Kind]++
	}
	assert.Equal(t, map[setout.Kind]int{setout.AtCorner: 4, setout.OnSide: 2 + 1 + 2 + 1, setout.OnGrid: 2,
		setout.AtCrest: 4 + 3 + 3 + 2, setout.AtToe: 4, setout.SetBack: 4 + 3 + 4 + 3}, counts)
}

// A ring that goes the other way round has its pegs on the same side.
func TestPegsClockwise(t *testing.T) {
	o := rectangle()
	r := o.Rings[0]
	o.Rings[0] = []setout.Corner{r[0], r[3], r[2], r[1]}
	o.Spacing = setout.Spacing{Interval: 5, Back: []float64{1}}
	pegs := pegsOf(t, o)
	assert.Equal(t, orb.Point{-2, 5}, pegs["shed A+5.0 C"].At)
	assert.Equal(t, orb.Point{-1, 5}, pegs["shed A+5.0 B1.0"].At)
}

// Out of a hole is towards its middle; pegs of the grid are not in it.
func TestPegsOfAHole(t *testing.T) {
	o := rectangle()
	o.Rings = append(o.Rings, []setout.Corner{{"hole 1: 1", orb.Point{3, 3}}, {"hole 1: 2", orb.Point{9, 3}}, {"hole 1: 3", orb.Point{9, 5}}, {"hole 1: 4", orb.Point{3, 5}}})
	o.Spacing = setout.Spacing{Interval: 2, Grid: 2, Back: []float64{1}}
	pegs := pegsOf(t, o)
	assert.Equal(t, orb.Point{5, 4}, pegs["shed hole 1: 1+2.0 B1.0"].At)
	assert.NotContains(t, pegs, "shed hole 1: 1+0.0 B1.0", "a corner of a hole is an inward one")
	assert.NotContains(t, pegs, "shed G4.0/4.0")
	assert.Contains(t, pegs, "shed G2.0/4.0")
}

// In the court of a pad like a U the sides look at each other: what lies past the other
// side is not theirs.
func TestPegsBehindAnOutline(t *testing.T) {
	u := orb.Ring{{0, 0}, {30, 0}, {30, 20}, {20, 20}, {20, 10}, {10, 10}, {10, 20}, {0, 20}}
	o := &setout.Outline{Pad: "u", Walls: []setout.Ring{setout.Ring(u)}, Crest: []setout.Line{{{-5, -5, 0}, {35, -5, 0}, {35, 25, 0}, {-5, 25, 0}, {-5, -5, 0}}}}
	o.Rings = [][]setout.Corner{nil}
	for i, p := range u {
		o.Rings[0] = append(o.Rings[0], setout.Corner{Name: fmt.Sprint(i + 1), At: p})
	}
	o.Spacing.Interval = 4
	pegs := pegsOf(t, o)
	assert.Equal(t, orb.Point{35, 4}, pegs["u 2+4.0 C"].At)
	assert.Equal(t, orb.Point{16, 25}, pegs["u 5+4.0 C"].At, "out of the open end")
	assert.NotContains(t, pegs, "u 4+4.0 C", "across the court")
	assert.NotContains(t, pegs, "u 5 C", "an inward corner")
	assert.NotContains(t, pegs, "u 5+0.0 C", "along the neighbour")
	assert.NotContains(t, pegs, "u 6-0.0 C")
}

// A corner that moves takes the pegs of its own two sides along; the number of any other
// peg, and its place, stay.
func TestPegNumbersStay(t *testing.T) {
	before := rectangle()
	before.Spacing = setout.Spacing{Interval: 2, Grid: 4, Back: []float64{3}}
	after := rectangle()
	after.Spacing = before.Spacing
	after.Rings[0][2].At = orb.Point{13, 9}
	was, is := pegsOf(t, before), pegsOf(t, after)
	same := 0
	for number, p := range was {
		q, ok := is[number]
		if p.Ring == 0 && (p.Side == 0 || p.Side == 3) && p.Kind != setout.OnGrid {
			require.True(t, ok, number)
		}
		if ok && p.Side != 1 && p.Side != 2 {
			assert.Equal(t, p.At, q.At, number)
			same++
		}
	}
	assert.Greater(t, same, len(was)/3)
	assert.Contains(t, is, "shed B+2.0", "of a side that moved")
	assert.Contains(t, is, "shed C-0.0 B3.0")

	// Another interval gives other numbers, and those of the same chainages again.
	after = rectangle()
	after.Spacing.Interval = 4
	is = pegsOf(t, after)
	assert.Equal(t, was["shed A+4.0"], is["shed A+4.0"])
	assert.Equal(t, was["shed A+8.0 C"], is["shed A+8.0 C"])
}

// A corner that an outline repeats has its peg, and no side of its own.
func TestPegsAtARepeatedCorner(t *testing.T) {
	o := rectangle()
	r := o.Rings[0]
	o.Rings[0] = append(r[:1:1], append([]setout.Corner{{"A2", r[0].At}}, r[1:]...)...)
	o.Spacing = setout.Spacing{Interval: 5, Grid: 4, Back: []float64{3}}
	pegs := pegsOf(t, o)
	assert.Contains(t, pegs, "shed A2")
	assert.Equal(t, orb.Point{5, -2}, pegs["shed A2+5.0 C"].At)
	assert.Equal(t, orb.Point{4, 4}, pegs["shed G4.0/4.0"].At)
	for number, p := range pegs {
		assert.False(t, math.IsNaN(p.At[0]+p.At[1]+p.ToEdge), number)
	}
}

// On a grid drawn out by 2, ten along the side are five on the ground.
func TestPegsScale(t *testing.T) {
	o := rectangle()
	o.Spacing = setout.Spacing{Interval: 2.5, Back: []float64{1}, Scale: 2}
	pegs := pegsOf(t, o)
	assert.Equal(t, orb.Point{5, 0}, pegs["shed A+2.5"].At)
	assert.Equal(t, orb.Point{5, -2}, pegs["shed A+2.5 B1.0"].At)
	assert.Equal(t, 1.0, pegs["shed A+2.5 C"].ToEdge)
}

func TestPegErrors(t *testing.T) {
	for _, tt := range []struct {
		code   string
		change func(*setout.Outline)
	}{
		{"bad_spacing", func(o *setout.Outline) { o.Spacing.Interval = -1 }},
		{"bad_spacing", func(o *setout.Outline) { o.Spacing.Interval = 0.01 }},
		{"bad_spacing", func(o *setout.Outline) { o.Spacing.Grid = math.NaN() }},
		{"bad_spacing", func(o *setout.Outline) { o.Spacing.Back = []float64{2, 0} }},
		{"bad_spacing", func(o *setout.Outline) { o.Spacing.Back = []float64{math.Inf(1)} }},
		{"too_many_pegs", func(o *setout.Outline) { o.Rings[0][1].At[0], o.Spacing.Interval = 1e6, 0.1 }},
		{"too_many_pegs", func(o *setout.Outline) { o.Rings[0][1].At[0], o.Spacing.Grid = 1e6, 0.1 }},
		{"too_many_pegs", func(o *setout.Outline) {
			for i, p := range []orb.Point{{0, 0}, {0.4, 0}, {9000.4, 9000}, {9000, 9000}} {
				o.Rings[0][i].At = p // as slanting as thin: there is room for few pegs, and a grid all round
			}
			o.Spacing.Grid = 0.2
		}},
		{"bad_peg_outline", func(o *setout.Outline) { o.Rings = nil }},
		{"bad_peg_outline", func(o *setout.Outline) { o.Rings[0] = o.Rings[0][:2] }},
		{"bad_peg_outline", func(o *setout.Outline) { o.Rings = append(o.Rings, nil) }},
		{"bad_peg_outline", func(o *setout.Outline) { o.Rings[0][1].At[1] = math.Inf(1) }},
		{"peg_number_twice", func(o *setout.Outline) { o.Rings[0][2].Name, o.Spacing.Interval = "A+5.0", 5 }},
	} {
		o := rectangle()
		tt.change(o)
		_, err := o.Pegs(t.Context())
		var e *tin.InputError
		require.ErrorAs(t, err, &e)
		assert.Equal(t, tt.code, e.Code)
	}
}

// The grid's line through the first corner is 0.0 and not -0.0, however little the outline
// goes beyond it: the number does not hang on that.
func TestGridHasOneZero(t *testing.T) {
	for _, beyond := range []float64{1, 9} {
		o := &setout.Outline{Pad: "p", Rings: [][]setout.Corner{{{"A", orb.Point{0, 0}}, {"B", orb.Point{30, -beyond}}, {"C", orb.Point{30, 30}}, {"D", orb.Point{-beyond, 30}}}}}
		o.Spacing.Grid = 5
		pegs, err := o.Pegs(t.Context())
		require.NoError(t, err)
		zeros := 0
		for _, p := range pegs {
			assert.NotContains(t, p.Number, "-0.0")
			if strings.Contains(p.Number, "G0.0/") {
				zeros++
			}
		}
		assert.Positive(t, zeros)
	}
}

// One length set back twice is said of the length, and not of the names of corners.
func TestBackTwice(t *testing.T) {
	o := rectangle()
	o.Spacing.Back = []float64{3, 6, 6.0001}
	_, err := o.Pegs(t.Context())
	assert.ErrorContains(t, err, "back of 6.0 twice")
}

func TestPegsEndWithTheContext(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	o := rectangle()
	for _, spacing := range []setout.Spacing{{}, {Grid: 1}, {Back: []float64{1}}} {
		o.Spacing = spacing
		_, err := o.Pegs(ctx)
		require.ErrorIs(t, err, context.Canceled)
	}
}

// A round pad of many sides among ground of small triangles.
func BenchmarkPegs(b *testing.B) {
	circle := func(radius float64, n int) (ring []setout.Corner, line setout.Line) {
		for i := range n {
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
			ring = append(ring, setout.Corner{Name: fmt.Sprint(i + 1), At: orb.Point{radius * cos, radius * sin}})
			line = append(line, [3]float64{radius * cos, radius * sin, 1})
		}
		return ring, append(line, line[0])
	}
	ring, _ := circle(200, 200)
	_, crest := circle(210, 20_000)
	o := &setout.Outline{Pad: "tank", Rings: [][]setout.Corner{ring}, Crest: []setout.Line{crest},
		Spacing: setout.Spacing{Interval: 1, Grid: 5, Back: []float64{20}}}
	b.ReportAllocs()
	for b.Loop() {
		pegs, err := o.Pegs(b.Context())
		if err != nil {
			b.Fatal(err)
		}
		b.ReportMetric(float64(len(pegs)), "pegs")
	}
}
