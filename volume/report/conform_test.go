package report_test

import (
	"bytes"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/setout"
	"barrow/volume/report"
	"barrow/volume/takeoff"
)

// finished holds shots of every kind against a level and a falling pad.
func finished(t *testing.T, unit tin.Unit, change func(*takeoff.Job, *takeoff.ConformOptions)) *takeoff.ConformResult {
	t.Helper()
	job := &takeoff.Job{
		Name: "store", Units: unit,
		Surveys: []takeoff.Survey{{Points: []tin.Point{{E: 0, N: 0, Level: 11}, {E: 60, N: 0, Level: 11}, {E: 60, N: 40, Level: 11}, {E: 0, N: 40, Level: 11}}}},
		Pads: []takeoff.Pad{{
			Name: "store", Outline: box(10, 10, 25, 20), Finished: 9.65, Tolerance: &setout.Tolerance{Up: 0.010, Down: 0.030},
			Layers: []takeoff.Layer{{Name: "slab", Thickness: 0.15}, {Name: "sub-base", Thickness: 0.2}},
		}, {
			Name: "yard", Outline: box(40, 10, 50, 20), Finished: 12, Fall: &takeoff.Fall{Slope: 0.01, Bearing: 90, At: [2]float64{40, 10}},
		}},
	}
	s := &takeoff.Shots{Name: "shots.csv", Benchmark: &takeoff.Mark{Name: "BM1", Plan: 10, Measured: 9}}
	for i, p := range []struct{ e, n, level float64 }{
		{10, 10, 8.312}, {25, 10, 8.3}, {25, 20, 8.258}, {10, 20, 8.301}, {17, 15, 8.292}, {13, 13, 8.308},
		{41, 11, 11.003}, {45, 15, 10.940}, {5, 5, 10},
	} {
		s.Points = append(s.Points, tin.Point{E: p.e, N: p.n, Level: p.level, Name: []string{"a", "b", "c", "d", "e", "", "the corner by the gate", "g", "h"}[i], Line: int32(i + 2)})
	}
	opts := takeoff.ConformOptions{Shots: s, StandardDeviation: 0.002}
	if change != nil {
		change(job, &opts)
	}
	r, err := takeoff.Conform(t.Context(), job, opts)
	require.NoError(t, err)
	return r
}

func conformText(t *testing.T, r *takeoff.ConformResult) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, report.Conform(&b, r))
	return b.String()
}

func TestConformGolden(t *testing.T) {
	for name, unit := range map[string]tin.Unit{"conform": tin.Metre, "conform_feet": tin.Foot} {
		r := finished(t, unit, nil)
		s := conformText(t, r)
		golden(t, name+".txt", []byte(s))
		var object, table bytes.Buffer
		require.NoError(t, report.ConformJSON(&object, r))
		golden(t, name+".json", object.Bytes())
		require.NoError(t, report.ConformCSV(&table, r))
		golden(t, name+".csv", table.Bytes())
		for line := range strings.SplitSeq(s, "\n") {
			assert.LessOrEqual(t, utf8.RuneCountInString(line), 80, line)
		}
		assert.Empty(t, notWords.FindAllString(s, -1))
	}
}

// Each verdict has its words, and what is unknown is said.
func TestConformVerdictWords(t *testing.T) {
	five := func(level float64) func(*takeoff.Job, *takeoff.ConformOptions) {
		return func(j *takeoff.Job, o *takeoff.ConformOptions) {
			o.Pads, o.StandardDeviation = []string{"store"}, 0
			o.Shots.Points = o.Shots.Points[:6]
			for i := range o.Shots.Points {
				o.Shots.Points[i].Level = level
			}
			j.Pads[0].Outline = box(10, 10, 20, 15)
			for i, at := range [][2]float64{{10, 10}, {20, 10}, {20, 15}, {10, 15}, {15, 12}, {14, 13}} {
				o.Shots.Points[i].E, o.Shots.Points[i].N = at[0], at[1]
			}
		}
	}
	s := conformText(t, finished(t, tin.Metre, five(8.3)))
	assert.Contains(t, s, "VERDICT\n  WITHIN TOLERANCE, every shot\n")
	assert.Contains(t, s, "that of the shots is unknown")
	assert.Contains(t, s, "10.00  10.00     9.300  level\n")
	s = conformText(t, finished(t, tin.Metre, five(8.32)))
	assert.Contains(t, s, "VERDICT\n  OUT OF TOLERANCE\n")
	assert.Contains(t, s, "HIGH 20 mm, still to cut: OUT")
	s = conformText(t, finished(t, tin.Metre, func(j *takeoff.Job, o *takeoff.ConformOptions) {
		five(8.308)(j, o)
		o.StandardDeviation = 0.003
	}))
	assert.Contains(t, s, "VERDICT\n  UNDECIDED: shots are too near to a limit\n")
	s = conformText(t, finished(t, tin.Metre, func(j *takeoff.Job, o *takeoff.ConformOptions) {
		five(8.49)(j, o)
		o.Layer, j.Pads[0].Tolerance = "sub-base", nil
	}))
	assert.Contains(t, s, "Finished shots against top of sub-base")
	assert.Contains(t, s, "VERDICT\n  NO VERDICT: no tolerance given\n")
	assert.Contains(t, s, "LOW 10 mm, to make up\n")
	assert.NotContains(t, s, "share within")
}
