package takeoff_test

import (
	"encoding/json"
	"math/big"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/volume/takeoff"
)

// The reference pad through the whole takeoff, from the job file to cubic
// yards, against testdata/autzen-pad/reference.json: the same pad clipped out of
// the same triangles by CGAL in exact rational arithmetic (see SOURCE.md there).
func TestReferencePadOnRealGround(t *testing.T) {
	data, err := os.ReadFile("../../testdata/autzen-pad/reference.json")
	require.NoError(t, err)
	var reference struct {
		Meshes struct {
			Delaunay struct {
				Pad struct {
					B struct {
						Cut      string
						Fill     string
						CutArea  string `json:"cut_area"`
						FillArea string `json:"fill_area"`
					}
				}
			}
		}
	}
	require.NoError(t, json.Unmarshal(data, &reference))
	job, err := takeoff.Load(t.Context(), os.DirFS("../../testdata/autzen-pad"), "reference-pad.toml", takeoff.DefaultLimits())
	require.NoError(t, err)
	result, err := takeoff.Run(t.Context(), job, takeoff.Options{})
	require.NoError(t, err)
	want := reference.Meshes.Delaunay.Pad.B
	for _, c := range []struct {
		what, want string
		per        int64 // cubic feet in a cubic yard
		got        float64
	}{
		{"cut", want.Cut, 27, result.Total.Cut},
		{"fill", want.Fill, 27, result.Total.Fill},
		{"cut area", want.CutArea, 1, result.Pads[0].CutArea},
		{"fill area", want.FillArea, 1, result.Pads[0].FillArea},
	} {
		exact, ok := new(big.Rat).SetString(c.want)
		require.True(t, ok, c.what)
		v, _ := exact.Quo(exact, big.NewRat(c.per, 1)).Float64()
		assert.InEpsilon(t, v, c.got, 1e-12, c.what)
	}
	require.Len(t, result.Warnings, 1)
	assert.Equal(t, "thin_ground", result.Warnings[0].Code)
}

// The job of the README is clean: a newcomer's first run ends with exit code 0.
func TestRealJobHasNoWarning(t *testing.T) {
	job, err := takeoff.Load(t.Context(), os.DirFS("../../testdata/autzen-pad"), "job.toml", takeoff.DefaultLimits())
	require.NoError(t, err)
	result, err := takeoff.Run(t.Context(), job, takeoff.Options{})
	require.NoError(t, err)
	assert.Empty(t, result.Warnings)
	assert.InEpsilon(t, 9600.0, result.Pads[0].OutlineArea, 1e-12, "80 x 120 ft")
	assert.InEpsilon(t, 9600.0, result.Pads[0].CutArea+result.Pads[0].FillArea, 1e-12)
}
