package volume_test

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"barrow/tin"
)

// The reference results that travel with the repository. Their sources and
// licences stand beside them in SOURCE.md: autzen-pad is open lidar ground, topo52
// the 52 spot heights of Davis (1973), Statistics and Data Analysis in Geology.
// Neither mesh has a tie, so every number is fixed.
func TestReferenceSets(t *testing.T) {
	for _, set := range []struct{ folder, points string }{
		{"topo52", "points.csv"},
		{"autzen-pad", "ground.csv"},
	} {
		var ref reference
		readJSON(t, testdata(set.folder, "reference.json"), &ref)
		points := readPoints(t, testdata(set.folder, set.points))
		for _, unit := range []tin.Unit{tin.Foot, tin.Metre} {
			// As metres the same numbers are a site of another size.
			t.Run(set.folder+"/"+unit.String(), func(t *testing.T) {
				s, err := tin.Build(context.Background(), []tin.Source{{Points: points}}, tin.Options{Unit: unit})
				require.NoError(t, err)
				require.Len(t, ref.Meshes, 1)
				require.Empty(t, s.Ties())
				holdTo(t, s, ref, ref.Meshes["delaunay"], unit.Metres())
			})
		}
	}
}
