package takeoff_test

import (
	"math"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/volume/takeoff"
)

func surfaces(t testing.TB, job *takeoff.Job, opts takeoff.SurfacesOptions) *takeoff.SurfacesResult {
	t.Helper()
	r, err := takeoff.Surfaces(t.Context(), job, opts)
	require.NoError(t, err)
	return r
}

func jobIn(t testing.TB, folder, name string) *takeoff.Job {
	t.Helper()
	job, err := takeoff.Load(t.Context(), os.DirFS(folder), name, takeoff.DefaultLimits())
	require.NoError(t, err)
	return job
}

// surfacesOf returns the surfaces of a kind.
func surfacesOf(r *takeoff.SurfacesResult, kind string) (out []*takeoff.BuiltSurface) {
	for i := range r.Surfaces {
		if r.Surfaces[i].Kind == kind {
			out = append(out, &r.Surfaces[i])
		}
	}
	return out
}

// The demo and the real site, there and back: the ground handed out, read again as a
// survey, measures the same to the last bit where it has no boundary, and the works handed
// out hold the takeoff's volumes against it.
func TestSurfacesHoldTheVolumes(t *testing.T) {
	for _, of := range [][2]string{
		{"../../cmd/barrow/demo", "job.toml"}, {"../../testdata/autzen-pad", "job.toml"}, {"../../testdata/autzen-pad", "reference-pad.toml"},
	} {
		t.Run(of[0]+"/"+of[1], func(t *testing.T) {
			job := jobIn(t, of[0], of[1])
			r := surfaces(t, job, takeoff.SurfacesOptions{})
			b := r.Between
			t.Logf("%+v", b)
			for _, s := range r.Surfaces {
				t.Logf("%s: %d vertices, %d triangles, %.3f, %.3f to %.3f, %.3f", s.Name, s.Vertices, s.Triangles, s.Area, s.LevelMin, s.LevelMax, s.Topsoil)
			}
			for _, g := range r.Groups {
				t.Logf("%+v", g)
			}
			for _, n := range append(r.Notes, r.Warnings...) {
				t.Log(n.Code, n.Message)
			}
			scale := 1e-9 * (b.TakeoffCut + b.TakeoffFill)
			assert.InDelta(t, b.TakeoffCut, b.Cut, scale)
			assert.InDelta(t, b.TakeoffFill, b.Fill, scale)

			want, err := takeoff.Run(t.Context(), job, takeoff.Options{})
			require.NoError(t, err)
			assert.Equal(t, want.Total.Cut, b.TakeoffCut)
			ground := surfacesOf(r, takeoff.SurfaceGround)
			require.Len(t, ground, 1)
			s, err := tin.Build(t.Context(), []tin.Source{ground[0].Source()}, tin.Options{Unit: job.Units})
			require.NoError(t, err)
			assert.Equal(t, ground[0].Triangles, s.Stats().Triangles)
			for _, l := range r.Lines {
				require.GreaterOrEqual(t, len(l.Points), 2)
				for _, p := range l.Points {
					require.False(t, math.IsNaN(p.Level+p.E+p.N))
				}
			}
		})
	}
}
