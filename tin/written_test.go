package tin_test

import (
	"math/big"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
)

// metresOf converts by rational arithmetic, rounded once, what is US survey feet with two
// decimals.
func metresOf(v float64) float64 {
	r := big.NewRat(int64(v*100+0.5), 100)
	m, _ := r.Mul(r, big.NewRat(1200, 3937)).Float64()
	return m
}

// A turned grid in US survey feet, all of whose cells are ties, far from the origin, with
// a breakline through spots: converted to metres it is the same surface, triangle by
// triangle, as long as Build is told what it was written in.
func TestWrittenKeepsTiesAndStraightLines(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 4))
	var feet, metres tin.Source
	for i := range 30 {
		for k := range 30 {
			p := tin.Point{E: 1_512_300.25 + float64(4*i-3*k), N: 698_400.75 + float64(3*i+4*k), Level: float64(rng.IntN(2000)) / 100}
			feet.Points = append(feet.Points, p)
			metres.Points = append(metres.Points, tin.Point{E: metresOf(p.E), N: metresOf(p.N), Level: metresOf(p.Level)})
		}
	}
	line := func(points []tin.Point) tin.Breakline { // through every second spot of two columns on
		return tin.Breakline{Vertices: []tin.Point{points[0], points[30*28+14]}}
	}
	feet.Breaklines, metres.Breaklines = []tin.Breakline{line(feet.Points)}, []tin.Breakline{line(metres.Points)}
	corner := func(i int, of []tin.Point) orb.Point { return orb.Point{of[i].E, of[i].N} }
	boundary := func(of []tin.Point) orb.MultiPolygon {
		return orb.MultiPolygon{{{corner(0, of), corner(29*30, of), corner(899, of), corner(29, of)}}}
	}
	const tolerance = 1e3 // levels are of no matter here
	direct, err := tin.Build(t.Context(), []tin.Source{feet}, tin.Options{Unit: tin.SurveyFoot, Boundary: boundary(feet.Points), CrossingTolerance: tolerance})
	require.NoError(t, err)
	converted, err := tin.Build(t.Context(), []tin.Source{metres}, tin.Options{Written: tin.SurveyFoot, Boundary: boundary(metres.Points), CrossingTolerance: tolerance})
	require.NoError(t, err)
	bare, err := tin.Build(t.Context(), []tin.Source{metres}, tin.Options{Boundary: boundary(metres.Points), CrossingTolerance: tolerance})
	require.NoError(t, err)

	require.Equal(t, direct.Size(), converted.Size())
	for i := range direct.Size() {
		one, _ := direct.LocalTriangle(i)
		other, _ := converted.LocalTriangle(i)
		require.Equal(t, one, other)
	}
	assert.InEpsilon(t, direct.Stats().Area, converted.Stats().Area, 1e-14)
	assert.Len(t, converted.Ties(), len(direct.Ties()))
	others := 0
	for i := range min(direct.Size(), bare.Size()) {
		one, _ := direct.LocalTriangle(i)
		other, _ := bare.LocalTriangle(i)
		if one != other {
			others++
		}
	}
	assert.Greater(t, others, 100, "without it rounding turns the diagonals of many cells")

	_, err = tin.Build(t.Context(), []tin.Source{metres}, tin.Options{Written: -1})
	var bad *tin.InputError
	require.ErrorAs(t, err, &bad)
	assert.Equal(t, "bad_unit", bad.Code)
}

// Levels, lengths and places keep the unit of the caller.
func TestWrittenConvertsNothingElse(t *testing.T) {
	points := []tin.Point{{E: 0, N: 0, Level: 1}, {E: metresOf(100), N: 0, Level: 1}, {E: metresOf(100), N: metresOf(100), Level: 3}, {E: 0, N: metresOf(100), Level: 3}, {E: metresOf(900), N: 0, Level: 1}}
	s, err := tin.Build(t.Context(), []tin.Source{{Points: points}}, tin.Options{Written: tin.SurveyFoot, MaxEdge: 50})
	require.NoError(t, err)
	level, ok := s.LevelAt(10, metresOf(50))
	require.True(t, ok)
	assert.InDelta(t, 2, level, 1e-12)
	assert.InEpsilon(t, metresOf(100)*metresOf(100), s.Stats().Area, 1e-14, "the far spot's triangle is taken away")
}
