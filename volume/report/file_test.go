package report_test

import (
	"bytes"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/pointfile"
	"barrow/volume/report"
	"barrow/volume/takeoff"
)

// Points in plan have no level, and none is made up for them.
func TestFileOfPointsWithoutLevels(t *testing.T) {
	d, err := pointfile.Describe(t.Context(), &pointfile.File{Points: []tin.Point{{E: 1, N: 2, Level: math.NaN()}, {E: 3, N: 2, Level: math.NaN()}}})
	require.NoError(t, err)
	var out bytes.Buffer
	require.NoError(t, report.File(&out, &takeoff.FileDescription{Name: "plan.geojson", Kind: "GeoJSON", Points: &d}))
	assert.Contains(t, out.String(), "easting    1.000 to 3.000")
	assert.NotContains(t, out.String(), "\n  level")
}
