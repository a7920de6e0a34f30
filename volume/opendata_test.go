package volume_test

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"testing"

	"github.com/stretchr/testify/require"

	"barrow/tin"
)

// openData is a file of the open terrain data that cannot travel with the
// repository, because of its licence. The folder is named by the environment
// variable BARROW_OPEN_DATA.
func openData(t *testing.T, name ...string) string {
	t.Helper()
	folder := os.Getenv("BARROW_OPEN_DATA")
	if folder == "" {
		t.Skip("BARROW_OPEN_DATA names no folder: this set may not travel with the repository")
	}
	return filepath.Join(append([]string{folder}, name...)...)
}

// The volcano grid (R data set volcano, GPL-2+) is 10 m squares throughout, each
// a tie. Any choice of diagonals lies within over_all_delaunay_meshes; the rule
// of this project (the greatest of the four corners by (x, y) is not on the
// diagonal) gives every square the diagonal from its north-west to its
// south-east corner, the reference's mesh nw.
func TestVolcano(t *testing.T) {
	var ref reference
	readJSON(t, openData(t, "volcano", "reference.json"), &ref)
	s, err := tin.FromPoints(readPoints(t, openData(t, "volcano", "points.csv")))
	require.NoError(t, err)
	holdTo(t, s, ref, ref.Meshes["nw"], 1)

	outline, _ := beyond(s)
	for _, l := range ref.Meshes["delaunay"].Levels {
		got := against(t, s, tin.LevelPlane(float64(l.Level)), outline)
		for _, v := range []struct {
			name string
			got  float64
		}{{"cut", got.Cut}, {"fill", got.Fill}, {"net", got.CutLessFill}} {
			bounds, ok := l.All[v.name]
			require.True(t, ok, v.name)
			slack := 1e-12 * float64(l.B.Cut+l.B.Fill)
			if v.got < float64(bounds[0])-slack || v.got > float64(bounds[1])+slack {
				t.Errorf("level %v: %s %v is not between %v and %v", l.Level, v.name, v.got, bounds[0], bounds[1])
			}
		}
	}
}

// The glacier's points (R data set glacier, GPL-2+) lie along contours. Its plan
// unit is not stated: taken as metres.
func TestGlacier(t *testing.T) {
	var ref reference
	readJSON(t, openData(t, "glacier-contours", "reference.json"), &ref)
	s, err := tin.FromPoints(readPoints(t, openData(t, "glacier-contours", "points.csv")))
	require.NoError(t, err)
	require.Empty(t, s.Ties())
	holdTo(t, s, ref, ref.Meshes["delaunay"], 1)
}

// strings makes a breakline of each run of points of one code.
func strings(points []tin.Point) (lines []tin.Breakline, segments int) {
	for lo, hi := 0, 0; lo < len(points); lo = hi {
		for hi = lo; hi < len(points) && points[hi].Code == points[lo].Code; hi++ {
		}
		if hi-lo > 1 {
			lines = append(lines, tin.Breakline{Name: points[lo].Code, Vertices: points[lo:hi]})
			segments += hi - lo - 1
		}
	}
	return lines, segments
}

func TestGlacierBreaklines(t *testing.T) {
	var ref reference
	readJSON(t, openData(t, "glacier-contours", "reference_breaklines.json"), &ref)
	mesh := ref.Meshes["strings"]
	points := readPoints(t, openData(t, "glacier-contours", "points_clean.csv"))
	lines, segments := strings(points)
	require.Equal(t, mesh.Segments, segments)
	s, err := tin.Build(context.Background(), []tin.Source{{Points: points, Breaklines: lines}}, tin.Options{})
	require.NoError(t, err)
	forced := 0
	for _, e := range s.Edges() {
		if e.Breakline {
			forced++
		}
	}
	require.Equal(t, mesh.Segments, forced)
	// reference_breaklines.json has neither hull area nor levels of its own.
	var plain reference
	readJSON(t, openData(t, "glacier-contours", "reference.json"), &plain)
	plain.Meshes = ref.Meshes
	holdTo(t, s, plain, mesh, 1)
}

// Joined as they were digitised, the strings cross themselves at 5 places. That
// must be said, and must not be an error: a contour meets itself at one level.
func TestGlacierStringsThatCross(t *testing.T) {
	points := readPoints(t, openData(t, "glacier-contours", "points.csv"))
	lines, segments := strings(points)
	require.Len(t, lines, 50, "51 strings, one of a single point")
	s, err := tin.Build(context.Background(), []tin.Source{{Points: points, Breaklines: lines}}, tin.Options{})
	require.NoError(t, err)
	var notes []string
	for _, n := range s.Notes() {
		notes = append(notes, fmt.Sprintf("%s: %s", n.Code, n.Message))
	}
	t.Log(notes)
	require.Len(t, notes, 1)
	require.Regexp(t, regexp.MustCompile(`^breaklines_cross: .* 5 places`), notes[0])
	require.NotNil(t, s.Notes()[0].At)
	forced := 0
	for _, e := range s.Edges() {
		if e.Breakline {
			forced++
		}
	}
	require.Equal(t, segments+2*5, forced, "each crossing cuts two segments in two")
	require.Equal(t, len(points)+5, s.Stats().Vertices)
}
