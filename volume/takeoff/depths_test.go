package takeoff_test

import (
	"encoding/json"
	"math"
	"os"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/volume/takeoff"
)

// Depths of a pad with a hole in a slope of 1 in 10, with topsoil, as worked by hand: on
// the outline and on the hole's rim too; beside them there are none.
func TestDepthsOfASlope(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		unit    tin.Unit
		scale   float64
		topsoil float64
	}{{tin.Metre, 0, 0}, {tin.Metre, 0.9996, 0.2}, {tin.Foot, 0, 0.2}, {tin.SurveyFoot, 1.0004, 0}} {
		job := slopeJob()
		job.Units, job.Scale, job.Ground.Topsoil.Depth = tt.unit, tt.scale, tt.topsoil
		job.Pads[0].Outline = append(job.Pads[0].Outline, orb.Ring{{16, 16}, {24, 16}, {24, 24}, {16, 24}})
		g := reported(t, job, takeoff.ReportOptions{}).Depths
		assert.LessOrEqual(t, len(g.Depths), 40000)
		assert.Equal(t, takeoff.Place{10, 10}, g.Origin)
		assert.Equal(t, 0.2, g.Step)
		assert.Len(t, g.Depths, g.Columns*g.Rows)
		for i, depth := range g.Depths {
			e, n := 10+0.2*float64(i%g.Columns), 10+0.2*float64(i/g.Columns)
			if off := max(math.Abs(e-20), math.Abs(n-20)); off > 10+1e-9 || off < 4-1e-9 {
				require.True(t, math.IsNaN(depth), "%v %v", e, n)
				continue
			}
			require.InDelta(t, 10+e/10-tt.topsoil-12, depth, 1e-9, "%v %v", e, n)
		}
	}
}

// At an upright step between pads the depth is the greater one; of works beyond the ground
// there is none.
func TestDepthsAtAStepAndBeyondTheGround(t *testing.T) {
	t.Parallel()
	job := slopeJob()
	job.Pads = append(job.Pads, takeoff.Pad{Name: "lower", Outline: square(30, 10, 20), Finished: 11})
	g := reported(t, job, takeoff.ReportOptions{}).Depths
	at := func(e, n float64) float64 {
		column, row := math.Round((e-g.Origin[0])/g.Step), math.Round((n-g.Origin[1])/g.Step)
		return g.Depths[int(row)*g.Columns+int(column)]
	}
	assert.InDelta(t, 13-11, at(30, 20), 1e-9)
	assert.InDelta(t, 12.9-12, at(29, 20), 1e-9)
	assert.InDelta(t, 14-11, at(40, 20), 1e-9)
	assert.True(t, math.IsNaN(at(41, 20)))
}

// However long and thin the works are, there are not too many places.
func TestDepthsOfThinWorks(t *testing.T) {
	t.Parallel()
	job := slopeJob()
	job.Pads[0].Outline = orb.Polygon{{{1, 20}, {39, 20}, {39, 20.001}, {1, 20.001}}}
	g := reported(t, job, takeoff.ReportOptions{}).Depths
	assert.LessOrEqual(t, len(g.Depths), 40000)
	some := 0
	for _, d := range g.Depths {
		if !math.IsNaN(d) {
			some++
		}
	}
	assert.Greater(t, some, 1000)
}

// On open lidar ground, over a formation at 420 ft, depths are what a general-purpose
// library interpolates there (testdata/contours/SOURCE.md) less 420.
func TestDepthsBesideAPeer(t *testing.T) {
	t.Parallel()
	var peer struct {
		Autzen struct{ Ground [][3]float64 } `json:"autzen-pad"`
	}
	text, err := os.ReadFile("../../testdata/contours/contours.json")
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(text, &peer))
	require.Greater(t, len(peer.Autzen.Ground), 150)
	g := reported(t, loaded(t, "../../testdata/autzen-pad", "reference-pad.toml"), takeoff.ReportOptions{}).Depths
	assert.Equal(t, 2.0, g.Step)
	for _, p := range peer.Autzen.Ground {
		column, row := int((p[0]-g.Origin[0])/g.Step), int((p[1]-g.Origin[1])/g.Step)
		require.Equal(t, [2]float64{p[0], p[1]}, [2]float64{g.Origin[0] + float64(column)*g.Step, g.Origin[1] + float64(row)*g.Step})
		require.InDelta(t, p[2]-420, g.Depths[row*g.Columns+column], 2e-8, "%v", p)
	}
}
