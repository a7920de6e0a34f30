package tin_test

import (
	"math"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
)

func TestBreaklineIsAnEdge(t *testing.T) {
	s := build(t, square(), line("bank", 10, 20, 12, 90, 80, 14))
	assert.Equal(t, [][2]orb.Point{{{10, 20}, {90, 80}}}, breaklines(s))
	assert.Equal(t, 13.0, levelAt(t, s, 50, 50))
	assert.Equal(t, 12.0, levelAt(t, s, 10, 20))
	assert.Empty(t, s.Notes())
}

// A closed line rules inside and along itself.
func TestClosedBreakline(t *testing.T) {
	s := build(t, square(), line("heap", 20, 20, 15, 80, 20, 15, 80, 80, 15, 20, 80, 15, 20, 20, 15))
	assert.Len(t, breaklines(s), 4)
	assert.Equal(t, 8, s.Stats().Vertices)
	for _, p := range [][2]float64{{50, 50}, {20, 33}, {79, 79}, {50, 20}} {
		assert.Equal(t, 15.0, levelAt(t, s, p[0], p[1]), "%v", p)
	}
	assert.Equal(t, 12.5, levelAt(t, s, 50, 10))
}

func TestBreaklineVertexWithoutLevel(t *testing.T) {
	s := build(t, append(square(), spot(50, 50, 13, 5)), line("", 0, 0, none, 50, 50, none, 70, 60, 11))
	assert.Equal(t, 5+1, s.Stats().Vertices)
	assert.Equal(t, 13.0, levelAt(t, s, 50, 50))

	// At a vertex of another line it takes that one's level.
	s = build(t, square(), line("", 10, 10, 12, 20, 30, 12), line("", 20, 30, none, 50, 60, 15))
	assert.Equal(t, 12.0, levelAt(t, s, 20, 30))

	nowhere := tin.Source{Name: "bank.geojson", Points: square(), Breaklines: []tin.Breakline{line("bank", 0, 0, none, 50, 50, none)}}
	e := inputError(t, tin.Options{}, nowhere)
	assert.Equal(t, "breakline_no_level", e.Code)
	assert.Equal(t, `bank.geojson:2: a vertex of breakline "bank" at 50, 50 has no level and lies at no spot; give it a level, or move it onto a spot height`, e.Error())

	// A spot left out for want of a level is no help.
	nowhere.Points = append(nowhere.Points, spot(50, 50, none, 5))
	assert.Equal(t, "breakline_no_level", inputError(t, tin.Options{}, nowhere).Code)
	two := tin.Source{Points: square(), Breaklines: []tin.Breakline{line("a", 0, 0, none, 50, 50, none), line("b", 50, 50, none, 0, 0, none)}}
	assert.Equal(t, "breakline_no_level", inputError(t, tin.Options{}, two).Code)
}

func TestBreaklineVertexAtASpot(t *testing.T) {
	// The spot's level rules within the tolerance.
	s := build(t, square(), line("bank", 0, 0, 10.02, 100, 100, 9.99, 100, 0, 10))
	assert.Equal(t, 10.0, levelAt(t, s, 0, 0))
	assert.Equal(t, 10.0, levelAt(t, s, 50, 50))

	e := inputError(t, tin.Options{},
		tin.Source{Name: "job/ground.csv", Points: square()},
		tin.Source{Name: "job/bank.geojson", Breaklines: []tin.Breakline{line("bank", 50, 20, 11, 100, 100, 10.021)}})
	assert.Equal(t, "breakline_level", e.Code)
	assert.Equal(t, `job/bank.geojson:2: breakline "bank" has level 10.021, but spot at 100, 100 (ground.csv:3) at the same place has 10, `+
		`over the tolerance of 0.02 m; correct one of the levels, or set crossing_tolerance`, e.Error())
}

// With a policy for duplicates, a vertex is held against the level the place
// gets, whatever the order of the spots.
func TestBreaklineVertexAtDuplicateSpots(t *testing.T) {
	both := []tin.Point{spot(50, 50, 12, 5), spot(50, 50, 13, 6)}
	for policy, level := range map[tin.Duplicates]float64{
		tin.DuplicatesMean: 12.5, tin.DuplicatesFirst: 12, tin.DuplicatesLast: 13,
	} {
		opts := tin.Options{Duplicates: policy}
		bank := line("bank", 10, 50, 12, 50, 50, level)
		s := buildWith(t, opts, append(square(), both...), bank)
		assert.Equal(t, level, levelAt(t, s, 50, 50))
		bank.Vertices[1].Level += 0.03
		e := inputError(t, opts, tin.Source{Points: append(square(), both...), Breaklines: []tin.Breakline{bank}})
		assert.Equal(t, "breakline_level", e.Code)
	}
	opts := tin.Options{Duplicates: tin.DuplicatesMean}
	bank := line("bank", 10, 50, 12, 50, 50, 12.5)
	assert.Equal(t,
		bits(buildWith(t, opts, append(square(), both...), bank)),
		bits(buildWith(t, opts, append(square(), reversed(both)...), bank)))
}

func TestBreaklineVerticesMeet(t *testing.T) {
	a, b := line("a", 10, 10, 12, 50, 50, 14), line("b", 50, 50, 14.02, 80, 20, 12)
	s := build(t, square(), a, b)
	assert.Equal(t, 14.01, levelAt(t, s, 50, 50))
	assert.Equal(t, bits(s), bits(build(t, square(), b, a)))

	b.Vertices[0].Level = 14.03
	e := inputError(t, tin.Options{}, tin.Source{Points: square(), Breaklines: []tin.Breakline{a, b}})
	assert.Equal(t, "breakline_level", e.Code)
	assert.Contains(t, e.Message, `breakline "b" has level 14.03, but breakline "a" (line 2) at the same place has 14`)
}

func TestBreaklineTooShort(t *testing.T) {
	for _, l := range []tin.Breakline{{}, {Name: "bank", Vertices: []tin.Point{spot(50, 50, 12, 8)}}} {
		e := inputError(t, tin.Options{}, tin.Source{Name: "bank.csv", Points: square(), Breaklines: []tin.Breakline{l}})
		assert.Equal(t, "breakline_short", e.Code)
		assert.Contains(t, e.Hint, "at least two")
		assert.Equal(t, "bank.csv", e.File)
	}
	// A repeated vertex counts once, with a note; a line of nothing else is a spot.
	s := build(t, square(), line("bank", 50, 50, 12, 50, 50, 12, 70, 50, 12), line("", 20, 20, 11, 20, 20, 11))
	assert.Equal(t, [][2]orb.Point{{{50, 50}, {70, 50}}}, breaklines(s))
	assert.Regexp(t, `^2 vert.* of breaklines repeated at the same place, the first in breakline "bank" \(line 2\)$`, notes(s)["breakline_repeat"])
	assert.Equal(t, 11.0, levelAt(t, s, 20, 20))
}

// crossing is two lines that cross at (50, 50), which is no vertex: the first
// at level 12, the second at 12 + d.
func crossing(d float64) (a, b tin.Breakline) {
	return line("a", 20, 20, 12, 80, 80, 12), line("b", 20, 80, 12+d, 80, 20, 12+d)
}

func TestCrossingBreaklinesAreSplit(t *testing.T) {
	for _, d := range []float64{0, 0.01, 0.02, -0.02} { // the last two exactly at the tolerance
		a, b := crossing(d)
		s := build(t, square(), a, b)
		assert.Len(t, breaklines(s), 4)
		assert.Equal(t, 9, s.Stats().Vertices)
		assert.Equal(t, 8, s.Stats().Points, "the crossing was not given")
		assert.InDelta(t, 12+d/2, levelAt(t, s, 50, 50), 1e-14)
		assert.Regexp(t, `^breaklines cross at 1 place and were split there, the first breakline "[ab]".* with breakline "[ab]"`, notes(s)["breaklines_cross"])
		assert.Equal(t, bits(s), bits(build(t, square(), b, a)))
	}
}

// 62.93 - 62.91 is a little over 0.02 in doubles, and exactly the tolerance on
// paper.
func TestToleranceIsMeantOnPaper(t *testing.T) {
	low, high := 62.91, 62.93
	require.Greater(t, high-low, 0.02)
	for _, lines := range [][]tin.Breakline{
		{line("a", 20, 20, low, 80, 80, low), line("b", 20, 80, high, 80, 20, high)}, // cross
		{line("a", 20, 20, low, 80, 80, low), line("b", 50, 50, high, 80, 20, high)}, // touch
		{line("a", 20, 20, low, 80, 80, low), line("b", 80, 80, high, 80, 20, high)}, // meet
	} {
		build(t, square(), lines...)
	}
	build(t, append(square(), spot(50, 50, high, 5)), line("a", 50, 50, low, 80, 80, low))
}

func TestCrossingBreaklinesDisagree(t *testing.T) {
	a, b := crossing(0.021)
	sources := []tin.Source{
		{Name: "job/a.csv", Points: square(), Breaklines: []tin.Breakline{a}},
		{Name: "job/b.csv", Breaklines: []tin.Breakline{b}},
	}
	e := inputError(t, tin.Options{}, sources...)
	assert.Equal(t, "crossing_levels", e.Code)
	assert.Equal(t, `job/b.csv:1: breakline "b" crosses breakline "a" (a.csv:1) at E 50.000 N 50.000 m with level 12.021 m against 12.000 m, `+
		`over the tolerance of 0.02 m; correct the levels, cut one of the lines, or set crossing_tolerance`, e.Error())
	assert.Equal(t, &orb.Point{50, 50}, e.At)

	_, err := tin.Build(t.Context(), sources, tin.Options{CrossingTolerance: 0.025})
	assert.NoError(t, err)
	_, err = tin.Build(t.Context(), sources, tin.Options{CrossingTolerance: 0.005})
	assert.ErrorContains(t, err, "over the tolerance of 0.005 m")
}

func TestThreeBreaklinesThroughOnePlace(t *testing.T) {
	lines := []tin.Breakline{
		line("a", 20, 20, 12, 80, 80, 12), line("b", 20, 80, 12.012, 80, 20, 12.012), line("c", 50, 10, 12.003, 50, 90, 12.003),
	}
	s := build(t, square(), lines...)
	assert.Len(t, breaklines(s), 6)
	assert.Equal(t, 11, s.Stats().Vertices)
	assert.InDelta(t, 12.005, levelAt(t, s, 50, 50), 1e-14)
	for _, order := range [][]int{{0, 2, 1}, {1, 0, 2}, {1, 2, 0}, {2, 0, 1}, {2, 1, 0}} {
		var turned []tin.Breakline
		for _, i := range order {
			turned = append(turned, lines[i])
		}
		assert.Equal(t, bits(s), bits(build(t, square(), turned...)))
	}
	// Through (20, 30), a third of the way, no decimals on the way there.
	s = build(t, square(), line("", 10, 20, 12, 49, 59, 12), line("", 13, 37, 12, 37, 13, 12), line("", 20, 1, 12, 20, 97, 12),
		line("", 17, 21, 12, 23.1, 39.3, 12))
	assert.Len(t, breaklines(s), 8)
}

func TestBreaklinesTouchAtEnds(t *testing.T) {
	s := build(t, square(), line("a", 10, 10, 12, 50, 50, 13), line("b", 50, 50, 13, 90, 10, 12), line("c", 50, 90, 14, 50, 50, 13))
	assert.Len(t, breaklines(s), 3)
	assert.Equal(t, 8, s.Stats().Vertices)
	assert.Equal(t, 13.0, levelAt(t, s, 50, 50))
	assert.Empty(t, s.Notes())
}

// The end of one line exactly on another splits it and keeps its level.
func TestBreaklineTouchesAnother(t *testing.T) {
	long := line("long", 10, 50, 12, 90, 50, 12)
	s := build(t, square(), long, line("side", 40, 50, 12.02, 40, 80, 13))
	assert.ElementsMatch(t, [][2]orb.Point{{{10, 50}, {40, 50}}, {{40, 50}, {90, 50}}, {{40, 50}, {40, 80}}}, breaklines(s))
	assert.Equal(t, 12.02, levelAt(t, s, 40, 50))

	e := inputError(t, tin.Options{},
		tin.Source{Name: "a.csv", Points: square(), Breaklines: []tin.Breakline{long}},
		tin.Source{Name: "b.csv", Breaklines: []tin.Breakline{line("side", 40, 50, 12.03, 40, 80, 13)}})
	assert.Equal(t, "breakline_level", e.Code)
	assert.Equal(t, `a.csv:1: breakline "long" passes breakline "side" (b.csv:1) with level 12.000 m against 12.030 m, `+
		`over the tolerance of 0.02 m; correct one of the levels, or set crossing_tolerance`, e.Error())
	assert.Equal(t, &orb.Point{40, 50}, e.At)
}

func TestBreaklinePassesASpot(t *testing.T) {
	bank := line("bank", 10, 20, 12, 90, 40, 12)
	s := build(t, append(square(), spot(50, 30, 11.98, 5)), bank)
	assert.Len(t, breaklines(s), 2)
	assert.Equal(t, 11.98, levelAt(t, s, 50, 30))

	e := inputError(t, tin.Options{}, tin.Source{Name: "ground.csv", Points: append(square(), spot(50, 30, 11.97, 5)), Breaklines: []tin.Breakline{bank}})
	assert.Equal(t, "breakline_level", e.Code)
	assert.Contains(t, e.Message, `breakline "bank" passes spot at 50, 30 (line 5) with level 12.000 m against 11.970 m`)
}

// Two lines that cross exactly at a spot, which is a vertex of neither: the
// spot keeps its level, within the tolerance.
func TestBreaklinesCrossAtASpot(t *testing.T) {
	a, b := crossing(0)
	s := build(t, append(square(), spot(50, 50, 12.02, 5)), a, b)
	assert.Len(t, breaklines(s), 4)
	assert.Equal(t, 12.02, levelAt(t, s, 50, 50))

	e := inputError(t, tin.Options{}, tin.Source{Name: "ground.csv", Points: append(square(), spot(50, 50, 17, 5)), Breaklines: []tin.Breakline{a, b}})
	assert.Equal(t, "breakline_level", e.Code)
	assert.Contains(t, e.Message, "spot at 50, 50 (line 5)")
}

// The same where the spot is a whole unit of the frame and the crossing is
// rounded onto it.
func TestBreaklinesCrossBesideASpot(t *testing.T) {
	points := append(square(), spot(50, 50, 17, 5))
	// These cross at (50.00002, 49.99998).
	a, b := line("a", 20, 20, 12, 80, 79.9999, 12), line("b", 20, 80, 12, 80, 20, 12)
	e := inputError(t, tin.Options{}, tin.Source{Name: "ground.csv", Points: points, Breaklines: []tin.Breakline{a, b}})
	assert.Equal(t, "breakline_level", e.Code)
}

func TestBreaklinesOverlapInLine(t *testing.T) {
	a, b := line("a", 10, 50, 12, 60, 50, 13), line("b", 40, 50, 12.6, 90, 50, 13.6)
	s := build(t, square(), a, b)
	want := [][2]orb.Point{{{10, 50}, {40, 50}}, {{40, 50}, {60, 50}}, {{60, 50}, {90, 50}}}
	assert.ElementsMatch(t, want, breaklines(s))
	assert.Equal(t, 12.6, levelAt(t, s, 40, 50))

	b.Vertices[1].Level = 15 // 13.08 at a's end
	e := inputError(t, tin.Options{}, tin.Source{Name: "ground.csv", Points: square(), Breaklines: []tin.Breakline{a, b}})
	assert.Equal(t, "breakline_level", e.Code)
}

// A line given twice, in either direction, is that line.
func TestBreaklineGivenTwice(t *testing.T) {
	a, b := line("a", 10, 10, 12, 50, 70, 13, 90, 10, 12), line("b", 10, 50, 12.69, 90, 55, 12.73)
	turned := tin.Breakline{Name: "turned", Vertices: reversed(a.Vertices)}
	want := build(t, square(), a, b)
	require.Len(t, breaklines(want), 7)
	assert.Equal(t, bits(want), bits(build(t, square(), a, b, a)), "twice")
	assert.Equal(t, bits(want), bits(build(t, square(), turned, b, a)), "and turned")
	assert.Equal(t, bits(want), bits(build(t, square(), b, a, turned, b, a)), "five times")
}

// One file's lines in any order and direction, with all kinds of coincidences.
func TestBreaklinesInAnyOrder(t *testing.T) {
	lines := []tin.Breakline{
		line("a", 10, 10, 12, 90, 90, 12.8),
		line("b", 10, 90, 12.8, 90, 10, 12),
		line("c", 30, 30, 12.2, 30, 70, 12.6, 70, 70, 12.6, 70, 30, 12.2, 30, 30, 12.2),
		line("d", 0, 50, 12.4, 100, 50, 12.4),
		line("e", 20, 50, 12.4, 80, 50, 12.4, 80, 80, 12.7),
		line("f", 13, 17, 12.07, 77, 91, 12.81),
	}
	points := spots(0, 0, 11.9, 100, 0, 11.9, 100, 100, 12.9, 0, 100, 12.9, 60, 40, 12.3, 25, 50, 12.4)
	want := build(t, points, lines...)
	for shift := range lines {
		var turned []tin.Breakline
		for i := range lines {
			l := lines[(i*5+shift)%len(lines)]
			if (i+shift)%2 == 0 {
				l.Vertices = reversed(l.Vertices)
			}
			turned = append(turned, l)
		}
		require.Equal(t, bits(want), bits(build(t, reversed(points), turned...)), "shift %d", shift)
	}
}

// Where rounded crossings would bend lines into others for ever, an error names
// them; until then every line is there.
func TestManyBreaklinesThroughAPinhole(t *testing.T) {
	var lines []tin.Breakline
	for i := range 40 {
		sin, cos := math.Sincos(math.Pi * float64(i) / 40)
		d := 1e-5 * float64(i%7)
		lines = append(lines, line("", 50+40*cos+d, 50+40*sin, 12, 50-40*cos+d, 50-40*sin, 12))
	}
	s, err := tin.Build(t.Context(), []tin.Source{{Points: square(), Breaklines: lines}}, tin.Options{})
	if err != nil {
		assert.Equal(t, "breaklines_tangled", asInputError(t, err).Code)
		return
	}
	for _, l := range lines {
		p, q := l.Vertices[0], l.Vertices[1]
		assert.Equal(t, 12.0, levelAt(t, s, p.E, p.N))
		assert.Equal(t, 12.0, levelAt(t, s, (p.E+q.E)/2, (p.N+q.N)/2))
	}
	assert.GreaterOrEqual(t, len(breaklines(s)), 80)
	assert.True(t, slices.ContainsFunc(s.Notes(), func(p tin.Problem) bool { return p.Code == "breaklines_cross" }))
}
