package takeoff_test

import (
	"encoding/json"
	"math/big"
	"os"
	"slices"
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
	p := result.Pads[0]
	assert.InEpsilon(t, 9600.0, p.OutlineArea, 1e-12, "80 x 120 ft")
	assert.InEpsilon(t, 84.0*124, p.FormationArea, 1e-12, "2 ft wider on each side")
	assert.InEpsilon(t, 84.0*124, p.CutArea+p.FillArea, 1e-12)
}

// bare takes margins, batters and topsoil out of a job.
func bare(job *takeoff.Job) *takeoff.Job {
	out := *job
	out.Ground.Topsoil = takeoff.Topsoil{}
	out.Pads = slices.Clone(job.Pads)
	for i := range out.Pads {
		p := &out.Pads[i]
		p.Margin, p.Cut, p.Fill, p.Edges = 0, takeoff.Batter{}, takeoff.Batter{}, nil
	}
	return &out
}

// The net void of the two jobs that come with the program is what it was before
// they had margins, batters and topsoil, with those taken out; and margins and
// batters alone do not change it.
func TestNetVoidOfTheJobsThatComeAlong(t *testing.T) {
	for _, tt := range []struct {
		folder             string
		cut, fill, cutArea float64 // of the first pad
	}{
		{"../../cmd/barrow/demo", 233.84426540070496, 58.74738108597749, 577.6050380358115},
		{"../../testdata/autzen-pad", 376.4716447619422, 195.4388892090615, 4449.745606322555},
	} {
		job, err := takeoff.Load(t.Context(), os.DirFS(tt.folder), "job.toml", takeoff.DefaultLimits())
		require.NoError(t, err)
		got := run(t, bare(job)).Pads[0]
		assert.InEpsilon(t, tt.cut, got.Cut, 1e-12, tt.folder)
		assert.InEpsilon(t, tt.fill, got.Fill, 1e-12, tt.folder)
		assert.InEpsilon(t, tt.cutArea, got.CutArea, 1e-12, tt.folder)
		assert.Zero(t, got.BatterCut+got.MarginCut+got.BatterArea, tt.folder)

		job.Ground.Topsoil = takeoff.Topsoil{}
		wide := run(t, job).Pads[0]
		assert.InEpsilon(t, tt.cut, wide.OutlineCut, 1e-12, tt.folder)
		assert.InEpsilon(t, tt.fill, wide.OutlineFill, 1e-12, tt.folder)
		assert.Greater(t, wide.Cut, wide.OutlineCut)
	}
}
