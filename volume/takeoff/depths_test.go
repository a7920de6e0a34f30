package takeoff_test

import (
	"encoding/json"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/volume/takeoff"
)

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
