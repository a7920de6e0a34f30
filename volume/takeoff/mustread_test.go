package takeoff_test

import (
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/volume/takeoff"
)

// What a reader noticed that can make every figure wrong is a warning, not a note.
func TestWhatAPersonMustReadOfAPointFile(t *testing.T) {
	const job = `units = "m"
[[survey]]
points = "ground.csv"
[[pad]]
name = "store"
outline = [[10, 10], [30, 10], [30, 30], [10, 30]]
finished = 10.5
`
	warnings := func(ground string) []string {
		fsys := fstest.MapFS{"job.toml": {Data: []byte(job)}, "ground.csv": {Data: []byte(ground)}}
		j, err := takeoff.Load(t.Context(), fsys, "job.toml", takeoff.DefaultLimits())
		require.NoError(t, err)
		r, err := takeoff.Run(t.Context(), j, takeoff.Options{})
		require.NoError(t, err)
		var codes []string
		for _, w := range r.Warnings {
			codes = append(codes, w.Code)
		}
		return codes
	}
	rows := "1,0,0,10\n2,40,0,11\n3,40,40,12\n4,0,40,11\n5,20,20,11\n"
	assert.Empty(t, warnings("number,easting (m),northing (m),level (m)\n"+rows))
	assert.Equal(t, []string{"header_units"}, warnings("number,easting (ft),northing (ft),level (ft)\n"+rows))
}
