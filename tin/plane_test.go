package tin_test

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
)

func TestFallingPlane(t *testing.T) {
	tests := []struct {
		name           string
		slope, bearing float64
		e, n           float64 // from the place the plane goes through
		want           float64
	}{
		{"1:80 to the north", 0.0125, 0, 3, 80, -1},
		{"1:80 to the east", 0.0125, 90, 80, 7, -1},
		{"1:80 to the south", 0.0125, 180, 5, -80, -1},
		{"1:80 to the west", 0.0125, 270, -80, 5, -1},
		{"a turn more", 0.0125, 450, 80, 7, -1},
		{"a turn less", 0.0125, -90, -80, 7, -1},
		{"full circle", 0.0125, 360, 3, 80, -1},
		{"up against the fall", 0.0125, 90, -80, 0, 1},
		{"across the fall", 0.02, 45, 10, -10, 0},
		{"along 45 degrees", 0.02, 45, 10, 10, -0.02 * 10 * math.Sqrt2},
		{"3-4-5", 0.5, math.Atan2(3, 4) * 180 / math.Pi, 3, 4, -2.5},
		{"a rising plane is a negative fall", -0.0125, 90, 80, 0, 1},
	}
	at := orb.Point{512340, 5812300}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			p := tin.FallingPlane(at, 62.925, tt.slope, tt.bearing)
			assert.InDelta(t, 62.925+tt.want, p.LevelAt(at[0]+tt.e, at[1]+tt.n), 1e-13)
			assert.Equal(t, 62.925, p.LevelAt(at[0], at[1]))
			assert.False(t, p.IsLevel())
			slope, bearing := p.Fall()
			assert.InDelta(t, math.Abs(tt.slope), slope, 1e-15)
			want := math.Mod(tt.bearing+720, 360)
			if tt.slope < 0 {
				want = math.Mod(want+180, 360)
			}
			assert.InDelta(t, want, bearing, 1e-12)
		})
	}
	east := tin.FallingPlane(at, 0, 0.0125, 90)
	assert.Equal(t, [2]float64{-0.0125, 0}, [2]float64{east.Gradient[0], east.Gradient[1] + 0}, "exact at quarter turns")
}

func TestLevelPlane(t *testing.T) {
	p := tin.LevelPlane(62.925)
	assert.True(t, p.IsLevel())
	assert.Equal(t, 62.925, p.LevelAt(1e6, -1e6))
	slope, bearing := p.Fall()
	assert.Equal(t, [2]float64{0, 0}, [2]float64{slope, bearing})
	assert.True(t, tin.FallingPlane(orb.Point{1, 2}, 3, 0, 77).IsLevel())
}

func TestUnit(t *testing.T) {
	// Foot: 0.3048 m by international agreement of 1959; survey foot: 1200/3937 m
	// (EPSG units 9002, 9003).
	for name, metres := range map[string]float64{"m": 1, "ft": 0.3048, "ftUS": 1200.0 / 3937, " m\n": 1} {
		u, err := tin.ParseUnit(name)
		require.NoError(t, err)
		assert.Equal(t, metres, u.Metres())
		again, err := tin.ParseUnit(u.String())
		require.NoError(t, err)
		assert.Equal(t, u, again)
	}
	for _, name := range []string{"", "M", "FT", "feet", "metre", "usft", "0.3048"} {
		_, err := tin.ParseUnit(name)
		assert.ErrorContains(t, err, "unknown unit")
	}
	assert.Equal(t, "m", tin.Unit(0).String())
	assert.Equal(t, 1.0, tin.Unit(0).Metres())
	assert.Equal(t, "0.9144 m", tin.Unit(0.9144).String())
}

// Codes of the EPSG dataset; those from 9001 to 9003 as in OGC 19-008r4, the others from
// memory.
func TestUnitOfFiles(t *testing.T) {
	for code, want := range map[int]tin.Unit{9001: tin.Metre, 9002: tin.Foot, 9003: tin.SurveyFoot, 9036: 1000, 1033: 0.01, 1025: 0.001, 0: 0, 9102: 0, 32767: 0} {
		u, ok := tin.UnitOfEPSG(code)
		assert.Equal(t, want, u, "%d", code)
		assert.Equal(t, want != 0, ok, "%d", code)
	}
	for _, row := range []struct {
		metres float64
		want   tin.Unit
	}{
		{1, tin.Metre}, {0.3048, tin.Foot}, {0.3048006, tin.SurveyFoot}, {0.304800609601219, tin.SurveyFoot}, {0.3047999999, tin.Foot},
		{0.3048003, 0.3048003}, {0.9144, 0.9144}, {0.001, 0.001}, {1000, 1000},
		{0, 0}, {-1, 0}, {0.00099, 0}, {1000.1, 0}, {math.NaN(), 0}, {math.Inf(1), 0},
	} {
		u, ok := tin.UnitOfMetres(row.metres)
		assert.Equal(t, row.want, u, "%v", row.metres)
		assert.Equal(t, row.want != 0, ok, "%v", row.metres)
	}
}

func TestSum(t *testing.T) {
	sum := func(terms ...float64) float64 {
		var s tin.Sum
		for _, v := range terms {
			s.Add(v)
		}
		return s.Value()
	}
	assert.Zero(t, sum())
	assert.Equal(t, 2.0, sum(1, 1e100, 1, -1e100))
	assert.Equal(t, 2.0, sum(1e100, 1, -1e100, 1))
	var tenths []float64
	for range 1_000_000 {
		tenths = append(tenths, 0.1)
	}
	assert.Equal(t, 100000.0, sum(tenths...))
}

func TestInputError(t *testing.T) {
	tests := []struct {
		e    tin.InputError
		want string
	}{
		{tin.InputError{Message: "no points"}, "no points"},
		{tin.InputError{Message: "no points", Hint: "add some"}, "no points; add some"},
		{tin.InputError{Message: "m", File: "a.csv"}, "a.csv: m"},
		{tin.InputError{Message: "m", File: "a.csv", Line: 7}, "a.csv:7: m"},
		{tin.InputError{Message: "m", File: "a.csv", Line: 7, Column: 3, Hint: "h"}, "a.csv:7:3: m; h"},
		{tin.InputError{Message: "m", File: "a.csv", Column: 3}, "a.csv: m"},
		{tin.InputError{Message: "m", File: "job.toml", Line: 2, Key: "pad[0].finished"}, "job.toml:2: pad[0].finished: m"},
	}
	for _, tt := range tests {
		assert.EqualError(t, &tt.e, tt.want)
	}
	cause := assert.AnError
	assert.ErrorIs(t, &tin.InputError{Err: cause}, cause)
}

func TestFrame(t *testing.T) {
	for _, points := range [][]tin.Point{
		square(),
		spots(500000.123, 6200000.4567, 1, 500010, 6200000, 1, 500000, 6200010, 1),
		spots(1.0/3, -1.0/7, 1, 10, 0, 1, 0, 10, 1),
		spots(-1e8, 1, 1, 10, 0, 1, 0, 1e8, 1),
	} {
		for _, unit := range []tin.Unit{tin.Metre, tin.Foot, tin.SurveyFoot} {
			s := buildWith(t, tin.Options{Unit: unit}, points)
			f := s.Frame()
			assert.InEpsilon(t, f.Length()*f.Length(), f.Area(), 1e-15)
			for _, p := range points {
				at := orb.Point{p.E * unit.Metres(), p.N * unit.Metres()}
				back := f.Metres(f.Local(at))
				for i := range at {
					assert.InDelta(t, at[i], back[i], math.Abs(at[i])*0x1p-51)
				}
			}
		}
	}
}
