package takeoff

import (
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
)

// The ground handed out, read again as it was built, measures the same to the last bit.
func TestGroundHandedOutMeasuresTheSame(t *testing.T) {
	for _, of := range [][2]string{
		{"../../cmd/barrow/demo", "job.toml"}, {"../../testdata/autzen-pad", "job.toml"}, {"../../testdata/autzen-pad", "reference-pad.toml"},
	} {
		job, err := Load(t.Context(), os.DirFS(of[0]), of[1], DefaultLimits())
		require.NoError(t, err)
		job.Ground.Boundary = nil // it would cut triangles, and round where it does
		r, err := takeOff(t.Context(), job, Options{})
		require.NoError(t, err)
		source, err := r.ground.AsFaces(t.Context())
		require.NoError(t, err)
		ground, err := tin.Build(t.Context(), []tin.Source{source}, tin.Options{Unit: job.Units})
		require.NoError(t, err)

		again := r.with(job)
		again.ground, again.stats = ground, ground.Stats()
		require.NoError(t, again.do(again.padSteps()...))
		want, got := r.result(), again.result()
		assert.Positive(t, want.Total.Cut)
		assert.Equal(t, want.Total, got.Total, of)
		assert.Equal(t, want.Pads, got.Pads, of)
	}
}
