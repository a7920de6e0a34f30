package takeoff_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/volume/takeoff"
)

// twoLevel is level ground over 0..100 both ways.
func twoLevel(level float64) *takeoff.Job {
	return grounded(tin.Metre, spot(0, 0, level), spot(100, 0, level), spot(100, 100, level), spot(0, 100, level))
}

// Ground went down from 12 to 10, by 20,000 in all. Shots say it went down to 9.9: the
// ground after is high by 0.1, and cut is 1,000 too small. Held against the one before,
// it is high by 2.1, and cut would be 21,000 too great.
func TestCrosscheckShotsOfTwoSurveys(t *testing.T) {
	before, after := twoLevel(12), twoLevel(10)
	c := &takeoff.Comparison{A: before, B: after}
	shots := &takeoff.Shots{Name: "shots.csv", Points: []tin.Point{{E: 20, N: 20, Level: 9.9}, {E: 70, N: 60, Level: 9.9}}}
	hold := func() *takeoff.CrosscheckResult {
		r, err := takeoff.CrosscheckSurveys(t.Context(), c, takeoff.CrosscheckOptions{Spacing: 5, Shots: shots})
		require.NoError(t, err)
		return r
	}
	r := hold()
	assert.Equal(t, "after", r.Shots.Against)
	assert.InDelta(t, 0.1, r.Shots.Mean, 1e-12)
	assert.InDelta(t, -1000, r.Shots.Volume, 1e-6)
	assert.Nil(t, r.Shots.Shift)
	require.Contains(t, codes(r.Warnings), "shots_off")
	assert.Contains(t, r.Warnings[0].Message, "the ground after lies above the check shots by 0.100 m")

	shots.Before = true
	r = hold()
	assert.Equal(t, "before", r.Shots.Against)
	assert.InDelta(t, 2.1, r.Shots.Mean, 1e-12)
	assert.InDelta(t, 21000, r.Shots.Volume, 1e-6)

	shots.Before, shots.Benchmark = false, &takeoff.Mark{Plan: 62.5, Measured: 62.4}
	r = hold()
	assert.Equal(t, 0.1, *r.Shots.Shift)
	assert.InDelta(t, 0, r.Shots.Mean, 1e-12)
	assert.Equal(t, []string{"datums_differ"}, codes(r.Warnings))
}

func TestCrosscheckShotsErrors(t *testing.T) {
	job := inclined(tin.Metre, takeoff.Pad{Name: "pit", Outline: ring(40, 50, 100, 90), Finished: 9})
	for key, s := range map[string]*takeoff.Shots{
		"check_against":   {Before: true},
		"check_benchmark": {Benchmark: &takeoff.Mark{Plan: math.Inf(1)}},
	} {
		_, err := takeoff.Crosscheck(t.Context(), job, takeoff.CrosscheckOptions{Shots: s})
		var e *tin.InputError
		require.ErrorAs(t, err, &e)
		assert.Equal(t, []string{"bad_value", key}, []string{e.Code, e.Key})
	}
}

func TestParseMark(t *testing.T) {
	m, err := takeoff.ParseMark("62.500 = 10134 mm", tin.Metre)
	require.NoError(t, err)
	assert.Equal(t, takeoff.Mark{Plan: 62.5, Measured: 10.134}, m)
	m, err = takeoff.ParseMark("205=-33.25", tin.Foot)
	require.NoError(t, err)
	assert.Equal(t, takeoff.Mark{Plan: 205, Measured: -33.25}, m)
	for _, text := range []string{"", "62.5", "62.5=", "=62.5", "a=b", "1=2=3", "NaN=1"} {
		_, err := takeoff.ParseMark(text, tin.Metre)
		var e *tin.InputError
		require.ErrorAs(t, err, &e, text)
		assert.Equal(t, "bad_value", e.Code)
	}
}

// Of shots as far off, the worst is the same whatever their order: the ground lies 0.5 to
// either side of them.
func TestCrosscheckWorstShotInAnyOrder(t *testing.T) {
	c := &takeoff.Comparison{A: twoLevel(12), B: twoLevel(10)}
	points := []tin.Point{{Name: "low", E: 10, N: 20, Level: 10.5}, {Name: "north", E: 20, N: 70, Level: 9.5}, {Name: "west", E: 20, N: 60, Level: 9.5}, {Name: "east", E: 70, N: 10, Level: 9.5}}
	for range points {
		points = append(points[1:], points[0])
		r, err := takeoff.CrosscheckSurveys(t.Context(), c, takeoff.CrosscheckOptions{Spacing: 5, Shots: &takeoff.Shots{Points: points}})
		require.NoError(t, err)
		assert.Equal(t, "west", r.Shots.WorstName)
		assert.InDelta(t, 0.5, r.Shots.Worst, 1e-12)
	}
}
