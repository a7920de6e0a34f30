package tin_test

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/tintest"
)

// minus is -0: a constant cannot be.
var minus = math.Copysign(0, -1)

func TestTooLittleGround(t *testing.T) {
	tests := []struct {
		name    string
		sources []tin.Source
		code    string
		want    string // in the message
	}{
		{"no sources", nil, "too_few_points", "0 points"},
		{"an empty source", []tin.Source{{Name: "ground.csv"}}, "too_few_points", "0 points"},
		{"one point", []tin.Source{{Points: square()[:1]}}, "too_few_points", "1 point "},
		{"two points", []tin.Source{{Points: square()[:2]}}, "too_few_points", "2 points"},
		{"three at two places", []tin.Source{{Points: spots(0, 0, 1, 1, 1, 1, 0, 0, 1)}}, "too_few_points", "2 points"},
		{"no levels", []tin.Source{{Points: spots(0, 0, none, 1, 0, none, 0, 1, none)}}, "too_few_points", "0 points"},
		{"in line", []tin.Source{{Points: tintest.Grid(50, 1, 0.1).Points}}, "points_in_line", "all 50 points lie on one line"},
		{"in line, upright", []tin.Source{{Points: tintest.Grid(1, 50, 0.1).Points}}, "points_in_line", "all 50 points lie on one line"},
		{"a breakline alone", []tin.Source{{Breaklines: []tin.Breakline{line("", 0, 0, 1, 5, 5, 1, 9, 9, 1)}}}, "points_in_line", "all 3 points"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			e := inputError(t, tin.Options{}, tt.sources...)
			assert.Equal(t, tt.code, e.Code)
			assert.Contains(t, e.Message, tt.want)
			assert.NotEmpty(t, e.Hint)
			if len(tt.sources) == 1 {
				assert.Equal(t, tt.sources[0].Name, e.File)
			}
		})
	}
	_, err := tin.FromPoints(nil)
	assert.Equal(t, "too_few_points", asInputError(t, err).Code)
}

func TestBadCoordinates(t *testing.T) {
	bad := []float64{math.Inf(1), math.Inf(-1), 1.1e9, -1e300, math.MaxFloat64}
	for _, v := range append(bad, math.NaN()) {
		for _, name := range []string{"easting", "northing", "level"} {
			p := spot(1, 2, 3, 17)
			switch name {
			case "easting":
				p.E = v
			case "northing":
				p.N = v
			case "level":
				p.Level = v
			}
			if name == "level" && math.IsNaN(v) {
				continue // a point in plan only
			}
			for _, source := range []tin.Source{
				{Name: "ground.csv", Points: append(square(), p)},
				{Name: "ground.csv", Points: square(), Breaklines: []tin.Breakline{{Vertices: []tin.Point{spot(1, 1, 1, 16), p}}}},
			} {
				e := inputError(t, tin.Options{}, source)
				assert.Equal(t, "bad_coordinate", e.Code)
				assert.Contains(t, e.Message, name)
				assert.Contains(t, e.Error(), "ground.csv:17: ")
			}
		}
	}
}

// Each policy for two spots at one place with different levels.
func TestDuplicates(t *testing.T) {
	points := append(square(), spot(50, 50, 12, 5), spot(50, 50, 10, 6), spot(50, 50, 17, 7))
	for policy, want := range map[tin.Duplicates]float64{
		tin.DuplicatesMean: 13, tin.DuplicatesFirst: 12, tin.DuplicatesLast: 17,
	} {
		s := buildWith(t, tin.Options{Duplicates: policy}, points)
		assert.Equal(t, want, levelAt(t, s, 50, 50))
		assert.Equal(t, 2, s.Stats().Merged)
		assert.Equal(t, 7, s.Stats().Points)
		assert.Equal(t, 5, s.Stats().Vertices)
		assert.Regexp(t, `^2 spots at the place of another.*\(line 6\).*\(line 5\)$`, notes(s)["duplicates"])
	}
	// The mean does not depend on the order: it is of the sorted levels.
	want := bits(buildWith(t, tin.Options{Duplicates: tin.DuplicatesMean}, points))
	assert.Equal(t, want, bits(buildWith(t, tin.Options{Duplicates: tin.DuplicatesMean}, reversed(points))))

	e := inputError(t, tin.Options{}, tin.Source{Name: "a/ground.csv", Points: points})
	assert.Equal(t, "duplicate_spots", e.Code)
	assert.Equal(t, "a/ground.csv:6: spot at 50, 50 has level 10, but spot at 50, 50 (line 5) at the same place has 12; "+
		`take one out, or say which counts: duplicates = "mean", "first" or "last"`, e.Error())
	assert.Equal(t, &orb.Point{50, 50}, e.At)
}

func TestDuplicatesOfTwoFilesNameBoth(t *testing.T) {
	a := tin.Source{Name: "a/monday.csv", Points: append(square(), spot(50, 50, 12, 5))}
	b := tin.Source{Name: "b/friday.csv", Points: []tin.Point{{E: 50, N: 50, Level: 12.5, Name: "P9", Line: 31}}}
	e := inputError(t, tin.Options{}, a, b)
	assert.Contains(t, e.Error(), "b/friday.csv:31: spot P9 has level 12.5, but spot at 50, 50 (monday.csv:5) at the same place has 12")
}

func TestEqualDuplicatesAreMerged(t *testing.T) {
	points := append(square(), spot(100, 100, 10, 5), spot(minus, 0, 10, 6))
	s := build(t, points)
	assert.Equal(t, 2, s.Stats().Merged)
	assert.Equal(t, 4, s.Stats().Vertices)
	assert.Regexp(t, `^2 spots at the place and level of another merged`, notes(s)["merged"])
	assert.Len(t, s.Notes(), 1)
}

// 0 and -0 are one number, as a place and as a level.
func TestSignedZeros(t *testing.T) {
	ground := func(zero func() float64) []tin.Point {
		return spots(zero(), zero(), zero(), 1, zero(), 5, zero(), 1, 6, -1, -1, 7, zero(), zero(), zero())
	}
	n := 0
	mixed := func() float64 { n++; return []float64{0, minus, minus}[n%3] }
	want := bits(build(t, ground(func() float64 { return 0 })))
	for range 3 {
		assert.Equal(t, want, bits(build(t, ground(mixed))))
	}
	s := build(t, ground(func() float64 { return minus }))
	assert.Equal(t, want, bits(s))
	assert.Equal(t, 0.0, levelAt(t, s, minus, 0))
}

func TestPlanOnlySpotsAreLeftOut(t *testing.T) {
	points := append(square(), spot(50, 50, none, 5), spot(5000, 50, none, 6))
	points[4].Name = "12"
	s := build(t, points)
	assert.Equal(t, "2 spots without a level left out, the first spot 12 (line 5)", notes(s)["no_level"])
	assert.Equal(t, 4, s.Stats().Vertices)
	assert.Equal(t, 6, s.Stats().Points)
	_, ok := s.LevelAt(4000, 50)
	assert.False(t, ok)
	require.NotNil(t, s.Notes()[0].At)
	assert.Equal(t, orb.Point{50, 50}, *s.Notes()[0].At)
}

func TestNotesAreACopy(t *testing.T) {
	s := build(t, append(square(), square()[0]))
	s.Notes()[0].Code = "spoilt"
	assert.Equal(t, "merged", s.Notes()[0].Code)
}

func TestCancelled(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	s, err := tin.Build(ctx, []tin.Source{{Points: square()}}, tin.Options{})
	assert.Nil(t, s)
	assert.ErrorIs(t, err, context.Canceled)

	ctx, cancel = context.WithCancel(t.Context())
	calls := 0
	_, err = tin.Build(ctx, []tin.Source{{Points: square()}}, tin.Options{Progress: func(done, total int) {
		if calls++; calls == 2 {
			cancel()
		}
	}})
	assert.ErrorIs(t, err, context.Canceled)
	assert.Equal(t, 2, calls, "nothing goes on after it")
}

// Many points are not gathered and merged without a look at the context.
func TestLongStepsAskTheContext(t *testing.T) {
	var points []tin.Point
	for i := range 20000 {
		points = append(points, tin.Point{E: float64(i % 100), N: float64(i / 100), Level: float64(i % 7)})
	}
	ctx := &asked{Context: t.Context(), most: math.MaxInt}
	var times []int
	_, err := tin.Build(ctx, []tin.Source{{Points: points}}, tin.Options{Progress: func(int, int) { times = append(times, ctx.times) }})
	require.NoError(t, err)
	assert.Greater(t, times[1]-times[0], 4, "gather")
	assert.Greater(t, times[2]-times[1], 4, "merge")
}

func TestProgress(t *testing.T) {
	var done, total []int
	buildWith(t, tin.Options{Progress: func(d, n int) { done, total = append(done, d), append(total, n) }}, square())
	require.NotEmpty(t, done)
	for i := range done {
		assert.Equal(t, total[0], total[i])
		assert.Equal(t, i+1, done[i])
	}
	assert.Equal(t, total[0], done[len(done)-1])
}

// What is given in feet comes out in metres.
func TestUnits(t *testing.T) {
	for unit, metres := range map[tin.Unit]float64{
		0: 1, tin.Metre: 1, tin.Foot: 0.3048, tin.SurveyFoot: 1200.0 / 3937,
	} {
		t.Run(unit.String(), func(t *testing.T) {
			points := spots(2000000.1, 600000, 100, 2000100.1, 600000, 110, 2000100.1, 600200, 130, 2000000.1, 600200, 120)
			opts := tin.Options{
				Unit: unit, MaxEdge: 230, // the diagonal is 223.6
				Boundary: orb.MultiPolygon{box(2000000.1, 600000, 2000050.1, 600200)},
				Voids:    orb.MultiPolygon{box(2000010.1, 600010, 2000020.1, 600020)},
			}
			s := buildWith(t, opts, points, line("bank", 2000010.1, 600100, 111, 2000090.1, 600100, 119))
			got := make(map[tin.Vertex]bool)
			for _, v := range s.Vertices() {
				got[v] = true
			}
			for _, p := range points {
				assert.True(t, got[tin.Vertex{E: p.E * metres, N: p.N * metres, Level: p.Level * metres}], "%v", p)
				z, ok := s.LevelAt(p.E*metres, p.N*metres)
				if assert.Equal(t, p.E < 2000050, ok, "%v", p) && ok {
					assert.Equal(t, p.Level*metres, z)
				}
			}
			// The ground is one plane: 0.1 up a unit east and north.
			assert.InDelta(t, (100+3+5)*metres, levelAt(t, s, 2000030.1*metres, 600050*metres), 1e-8)
			_, ok := s.LevelAt(2000015.1*metres, 600015*metres)
			assert.False(t, ok, "in the void")
			st := s.Stats()
			assert.InEpsilon(t, (50*200-100)*metres*metres, st.Area, 1e-9)
			assert.InEpsilon(t, 100*metres, st.LevelMin, 1e-12)
			assert.InEpsilon(t, 130*metres, st.LevelMax, 1e-12)
			assert.InDelta(t, 2000000.1*metres, s.Bound().Min[0], 1e-9)
			assert.InEpsilon(t, 100*metres, s.Bound().Max[0]-s.Bound().Min[0], 1e-6)
			profile, err := s.Profile(orb.LineString{{2000000.1 * metres, 600050 * metres}, {2000050.1 * metres, 600050 * metres}})
			require.NoError(t, err)
			assert.InEpsilon(t, 50*metres, profile[len(profile)-1].Chainage, 1e-6)
			assert.InEpsilon(t, 110*metres, profile[len(profile)-1].Level, 1e-9)
		})
	}
}

// A decimal in feet, given back in metres, is found again.
func TestFeetAndBack(t *testing.T) {
	rng := rand.New(rand.NewPCG(81, 1))
	for _, unit := range []tin.Unit{tin.Foot, tin.SurveyFoot} {
		var points []tin.Point
		for range 500 {
			points = append(points, tin.Point{
				E: float64(2000000000+rng.IntN(900000)) / 1000, N: float64(600000000+rng.IntN(900000)) / 1000, Level: 10 + rng.Float64(),
			})
		}
		s := buildWith(t, tin.Options{Unit: unit}, points)
		for _, v := range s.Vertices() {
			require.Equal(t, v.Level, levelAt(t, s, v.E, v.N))
		}
		for _, p := range points {
			require.Equal(t, p.Level*unit.Metres(), levelAt(t, s, p.E*unit.Metres(), p.N*unit.Metres()))
		}
	}
}

// A line straight on paper is straight in feet too.
func TestFeetKeepLinesStraight(t *testing.T) {
	for _, unit := range []tin.Unit{tin.Metre, tin.Foot, tin.SurveyFoot} {
		var values []float64
		for i := range 50 {
			values = append(values, (7e9+float64(101*i))/1000, float64(500000000+203*i)/1000, 10)
		}
		e := inputError(t, tin.Options{Unit: unit}, tin.Source{Points: spots(values...)})
		assert.Equal(t, "points_in_line", e.Code)
	}
}

func TestLevelsAreThoseGiven(t *testing.T) {
	for _, set := range tintest.Sets() {
		if set.InLine {
			continue
		}
		t.Run(set.Name, func(t *testing.T) {
			s := build(t, set.Points)
			for _, p := range set.Points {
				require.Equal(t, p.Level, levelAt(t, s, p.E, p.N))
			}
		})
	}
}

// An exact grid is nothing but ties; a million spots must do.
func TestMillionSpotsOnAGrid(t *testing.T) {
	set := tintest.Grid(1000, 1000, 0.5)
	s, err := tin.FromPoints(set.Points)
	require.NoError(t, err)
	n := 0
	for _, tri := range s.Triangles() {
		n++
		if n%1000 > 0 {
			continue
		}
		// Every diagonal runs down to the right: the greatest of the four is
		// the upper right.
		lo, hi := 0.0, 0.0
		for i, c := range tri.Corner {
			d := tri.Corner[(i+1)%3]
			lo, hi = min(lo, (d.E-c.E)*(d.N-c.N)), max(hi, (d.E-c.E)*(d.N-c.N))
		}
		require.Equal(t, [2]float64{-0.25, 0}, [2]float64{lo, hi})
	}
	assert.Equal(t, 2*999*999, n)
	for i := 0; i < len(set.Points); i += 9973 {
		p := set.Points[i]
		require.Equal(t, p.Level, levelAt(t, s, p.E, p.N))
	}
}
