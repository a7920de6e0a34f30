package takeoff_test

import (
	"encoding/json"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/volume/takeoff"
)

// An L-shaped pad with batters in cut and fill, from the job file to cubic metres,
// against booleans of closed meshes by manifold-3d: testdata/mesh-boolean/SOURCE.md.
// That has 1,024 facets a turn, whose cones reach (1/cos(pi/1024) - 1) = 5e-6 farther
// than round ones, and single precision.
func TestWorksAgainstMeshBooleans(t *testing.T) {
	data, err := os.ReadFile("../../testdata/mesh-boolean/result.json")
	require.NoError(t, err)
	var want struct{ Cut, Fill float64 }
	require.NoError(t, json.Unmarshal(data, &want))
	job, err := takeoff.Load(t.Context(), os.DirFS("../../testdata/mesh-boolean"), "ell.toml", takeoff.DefaultLimits())
	require.NoError(t, err)
	result, err := takeoff.Run(t.Context(), job, takeoff.Options{})
	require.NoError(t, err)
	require.Empty(t, result.Warnings)
	require.Greater(t, result.Total.Cut, 1.5*result.Total.OutlineCut) // the batters matter
	assert.InEpsilon(t, want.Cut, result.Total.Cut, 1e-6)
	assert.InEpsilon(t, want.Fill, result.Total.Fill, 1e-6)
}
