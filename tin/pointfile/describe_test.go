package pointfile_test

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/pointfile"
)

func TestDescribe(t *testing.T) {
	// A cross with a side of 3 and 4: nearest distances 3, 3, 3, 4, 4.
	f := &pointfile.File{Points: []tin.Point{
		{Name: "1", E: 0, N: 0, Level: 2, Code: "A", Line: 1},
		{Name: "2", E: 3, N: 0, Level: 4, Code: "B", Line: 2},
		{Name: "3", E: -3, N: 0, Level: 4, Code: "B", Line: 3},
		{Name: "4", E: 0, N: 4, Level: 4, Line: 4},
		{Name: "5", E: 0, N: -4, Level: 6, Code: "A", Line: 5},
		{Name: "6", E: 9, N: 0, Level: math.NaN(), Code: "TREE", Line: 6},
		{Name: "7", E: 3, N: 0, Level: 4, Code: "A", Line: 7},
		{Name: "8", E: 0, N: 4, Level: 5, Line: 8},
	}}
	d := describe(t, f)
	assert.Equal(t, 8, d.Points)
	assert.Equal(t, 1, d.PlanOnly)
	assert.Equal(t, orb.Bound{Min: orb.Point{-3, -4}, Max: orb.Point{9, 4}}, d.Extent)
	assert.Equal(t, 7, d.Levels.Count)
	assert.Equal(t, 2.0, d.Levels.Min)
	assert.Equal(t, 6.0, d.Levels.Max)
	assert.InDelta(t, 29.0/7, d.Levels.Mean, 1e-12)
	// Squares of the differences from 29/7 add up to 62/7; six degrees of freedom.
	assert.InDelta(t, math.Sqrt(62.0/7/6), d.Levels.SD, 1e-12)
	assert.Equal(t, 3.0, d.Spacing)
	assert.Equal(t, []pointfile.CodeCount{{"A", 3}, {"B", 2}, {"TREE", 1}}, d.Codes)
	assert.Equal(t, 2, d.Uncoded)
	assert.Equal(t, []pointfile.Duplicate{
		{First: f.Points[1], Second: f.Points[6], SameLevel: true},
		{First: f.Points[3], Second: f.Points[7], SameLevel: false},
	}, d.Duplicates)
	assert.Empty(t, d.Suspects)
}

func TestDescribeSmall(t *testing.T) {
	assert.Zero(t, describe(t, &pointfile.File{}))
	one := describe(t, &pointfile.File{Points: []tin.Point{{E: 1, N: 2, Level: 3}}})
	assert.Equal(t, pointfile.Levels{Count: 1, Min: 3, Max: 3, Mean: 3}, one.Levels)
	assert.Zero(t, one.Spacing)
	plan := describe(t, &pointfile.File{Points: []tin.Point{{E: 1, Level: math.NaN()}, {E: 3, Level: math.NaN()}}})
	assert.Equal(t, 2, plan.PlanOnly)
	assert.Equal(t, 2.0, plan.Spacing)
	assert.Zero(t, plan.Levels)
	odd := describe(t, &pointfile.File{Points: []tin.Point{
		{E: math.Inf(1)}, {E: math.NaN(), N: math.NaN()}, {E: math.Inf(-1)}, {N: math.Inf(1)}, {}, {E: 1, Level: math.Inf(1)}, {E: 2},
	}})
	assert.Equal(t, 7, odd.Points, "a file made by hand, with anything in it, does not panic")
}

// hillside makes a rough slope of n x n points about 10 units apart.
func hillside(n int) []tin.Point {
	rng := rand.New(rand.NewPCG(9, 10))
	var points []tin.Point
	for i := range n * n {
		e := 312000 + 10*float64(i%n) + 4*rng.Float64()
		u := 5812000 + 10*float64(i/n) + 4*rng.Float64()
		points = append(points, tin.Point{E: e, N: u, Level: 60 + 0.1*(e-312000) + 0.3*rng.Float64(), Line: int32(i + 1)})
	}
	return points
}

func TestDescribeSuspects(t *testing.T) {
	type doubt struct {
		kind string
		line int32
	}
	tests := []struct {
		name string
		add  func([]tin.Point) []tin.Point
		want []doubt
	}{
		{"none", func(p []tin.Point) []tin.Point { return p }, nil},
		{"a level 5 too high", func(p []tin.Point) []tin.Point { p[210].Level += 5; return p }, []doubt{{"level", 211}}},
		{"a level of 0", func(p []tin.Point) []tin.Point { p[0].Level = 0; return p }, []doubt{{"level", 1}}},
		{"a bank of 6", func(p []tin.Point) []tin.Point {
			for i := range p {
				if p[i].E > 312100 {
					p[i].Level += 6
				}
			}
			return p
		}, nil},
		{"a far spot", func(p []tin.Point) []tin.Point {
			return append(p, tin.Point{E: 313000, N: 5812000, Level: 160, Line: 500})
		}, []doubt{{"far", 500}}},
		{"other origin", func(p []tin.Point) []tin.Point {
			return append(p, tin.Point{E: 12, N: 30, Level: 61, Line: 500}, tin.Point{E: 15, N: 40, Level: 61, Line: 501})
		}, []doubt{{"apart", 500}, {"apart", 501}}},
		{"swapped, and an absurd one", func(p []tin.Point) []tin.Point {
			return append(p, tin.Point{E: 5812050, N: 312050, Level: 65, Line: 500}, tin.Point{E: -9e8, N: 1, Level: 65, Line: 501})
		}, []doubt{{"swapped", 500}, {"apart", 501}}},
		{"on both sides", func(p []tin.Point) []tin.Point {
			return append(p, tin.Point{E: 212000, N: 5812050, Level: 65, Line: 500}, tin.Point{E: 412000, N: 5812050, Level: 65, Line: 501})
		}, []doubt{{"apart", 500}, {"apart", 501}}},
		{"on two sides of a corner", func(p []tin.Point) []tin.Point {
			return append(p, tin.Point{E: 312050, N: 5712000, Level: 65, Line: 500}, tin.Point{E: 412000, N: 5812050, Level: 65, Line: 501})
		}, []doubt{{"apart", 500}, {"apart", 501}}},
		{"swapped, and as far on the other side", func(p []tin.Point) []tin.Point {
			return append(p, tin.Point{E: 5812050, N: 312050, Level: 65, Line: 500}, tin.Point{E: -5187950, N: 11312050, Level: 65, Line: 501})
		}, []doubt{{"swapped", 500}, {"apart", 501}}},
		{"three parts of a size", func(p []tin.Point) []tin.Point {
			for i := range p {
				p[i].E += float64(i%20/7) * 1e6
			}
			return p
		}, nil},
		{"close", func(p []tin.Point) []tin.Point {
			q := p[5]
			q.E += 0.01
			q.Line = 500
			return append(p, q)
		}, []doubt{{"close", 500}}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			d := describe(t, &pointfile.File{Points: tt.add(hillside(20))})
			var got []doubt
			for _, s := range d.Suspects {
				got = append(got, doubt{s.Doubt.String(), s.Point.Line})
				assert.NotEmpty(t, s.Message)
			}
			assert.Equal(t, tt.want, got, fmt.Sprint(d.Suspects))
			assert.InDelta(t, 8, d.Spacing, 1.5)
		})
	}
}

// The order of the points must not matter.
func TestDescribeOrder(t *testing.T) {
	points := hillside(15)
	points[20].Level += 9
	points = append(points, tin.Point{E: 1, N: 1, Line: 500})
	want := describe(t, &pointfile.File{Points: points})
	require.NotEmpty(t, want.Suspects)
	rng := rand.New(rand.NewPCG(1, 1))
	for range 5 {
		rng.Shuffle(len(points), func(i, j int) { points[i], points[j] = points[j], points[i] })
		got := describe(t, &pointfile.File{Points: points})
		assert.Equal(t, want.Spacing, got.Spacing)
		assert.Len(t, got.Suspects, len(want.Suspects))
		for _, s := range got.Suspects {
			assert.Contains(t, fmt.Sprint(want.Suspects), s.Message)
		}
	}
}

// describe describes a file.
func describe(t *testing.T, f *pointfile.File) pointfile.Description {
	t.Helper()
	d, err := pointfile.Describe(t.Context(), f)
	require.NoError(t, err)
	return d
}

func TestDescribeEndsWithItsContext(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	for _, f := range []*pointfile.File{{}, {Points: hillside(20)}} {
		_, err := pointfile.Describe(ctx, f)
		assert.ErrorIs(t, err, context.Canceled)
	}
}
