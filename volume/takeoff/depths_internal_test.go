package takeoff

import (
	"math"
	"os"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
)

func foundWorks(t testing.TB, folder, name string) *run {
	t.Helper()
	job, err := Load(t.Context(), os.DirFS(folder), name, Limits{})
	require.NoError(t, err)
	r, err := takeOff(t.Context(), job, Options{})
	require.NoError(t, err)
	return r
}

// At every place the depth is that of the ground there, by location, less the topsoil and
// the face there, by another search.
func TestDepthsAreLevelDifferences(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct{ folder, name string }{
		{"../../cmd/barrow/demo", "job.toml"}, {"../../testdata/autzen-pad", "job.toml"}, {"../../testdata/mesh-boolean", "ell.toml"},
	} {
		r := foundWorks(t, tt.folder, tt.name)
		g, err := r.depthGrid()
		require.NoError(t, err)
		works := r.allWorks()
		faces := newFacesAt(r.ground.Frame(), works.Facets, works.Faces)
		inside := 0
		for i, depth := range g.Depths {
			at := orb.Point{(g.Origin[0] + float64(i%g.Columns)*g.Step) * r.unit, (g.Origin[1] + float64(i/g.Columns)*g.Step) * r.unit}
			face, in := faces.at(at)
			ground, covered := r.ground.LevelAt(at[0], at[1])
			if math.IsNaN(depth) {
				require.False(t, in && covered && !faces.onRimAt(at), "%s: %v is in the works", tt.name, at)
				continue
			}
			inside++
			require.True(t, in && covered, "%s: %v is not in the works", tt.name, at)
			if faces.onRimAt(at) {
				continue // beside an upright face two levels are right
			}
			require.InDelta(t, (ground-face.topsoil-face.plane.LevelAt(at[0], at[1]))/r.unit, depth, 1e-6, "%s: %v", tt.name, at)
		}
		assert.Greater(t, inside, 3000, tt.name)
	}
}

// onRimAt reports whether a place is so near to the side of a face that either side of it
// may be meant.
func (d *facesAt) onRimAt(p orb.Point) bool {
	for i := range d.faces {
		if d.faces[i].box.Pad(1e-5).Contains(p) && d.faces[i].away(p) < 1e-5 {
			return true
		}
	}
	return false
}

// Each depth stands for a square round its place: together they are cut less fill, but for
// what squares on the rim have outside, and for what depths bend within a square. Works
// that are turned against the grid have both in both signs, one square unlike the next:
// four times the root of the sum of squares is a bound that chance does not reach.
func TestDepthsAddUp(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct{ folder, name string }{{"../../cmd/barrow/demo", "job.toml"}, {"../../testdata/autzen-pad", "job.toml"}} {
		r := foundWorks(t, tt.folder, tt.name)
		g, err := r.depthGrid()
		require.NoError(t, err)
		total := r.result().Total
		square := float64(g.Step*g.Step) * r.unit * r.unit * r.unit / r.volumeUnit()
		var sum tin.Sum
		squares := 0.0
		for i := range g.Depths {
			if d := g.Depths[i]; !math.IsNaN(d) {
				sum.Add(d)
			}
			doubt := g.doubt(i%g.Columns, i/g.Columns)
			squares += float64(doubt * doubt)
		}
		bound := 4 * math.Sqrt(squares) * square
		off := sum.Value()*square - total.CutLessFill
		t.Logf("%s: %d by %d places, each %g; off by %.3f of %.3f, bound %.3f", tt.folder, g.Columns, g.Rows, g.Step, off, total.CutLessFill, bound)
		assert.LessOrEqual(t, math.Abs(off), bound)
		assert.Less(t, bound, 0.02*(total.Cut+total.Fill), "a bound that says something")
	}
}

// doubt returns by how much the mean depth over the square of a place may differ from the
// depth there: on the rim by all of the greatest depth round about; inside by an eighth of
// the second differences, which is what a line with one bend can be off from its middle.
func (g *DepthGrid) doubt(column, row int) float64 {
	at := func(c, r int) float64 {
		if c < 0 || r < 0 || c >= g.Columns || r >= g.Rows {
			return math.NaN()
		}
		return g.Depths[r*g.Columns+c]
	}
	deepest, rim := 0.0, false
	for dr := -1; dr <= 1; dr++ {
		for dc := -1; dc <= 1; dc++ {
			if d := at(column+dc, row+dr); math.IsNaN(d) {
				rim = true
			} else {
				deepest = max(deepest, math.Abs(d))
			}
		}
	}
	if rim {
		return deepest
	}
	d := at(column, row)
	return (math.Abs(at(column-1, row)-2*d+at(column+1, row)) + math.Abs(at(column, row-1)-2*d+at(column, row+1))) / 8
}
