package volume_test

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
)

// contourReference is what a general-purpose contouring library makes of a set: see
// testdata/contours/SOURCE.md.
type contourReference struct {
	Triangles int
	Levels    []struct {
		Level float64
		contourFigures
		AreaAbove float64 `json:"area_above"`
	}
}

// contourFigures are those of all lines of a level.
type contourFigures struct {
	Length       float64
	Open, Closed int
	EnclosedArea float64 `json:"enclosed_area"` // within closed lines, each taken for itself
}

// Contours have the lengths and enclose the areas, and the ground above each level has the
// area, that the peer finds. They are as many, too, but where they go through a vertex of
// just their level: there lines that meet may be joined in two ways. Ground is taken in its
// own unit, as metres.
func TestContoursBesideAPeer(t *testing.T) {
	var peer struct {
		Topo52  contourReference
		Autzen  contourReference `json:"autzen-pad"`
		Volcano contourReference
	}
	readJSON(t, testdata("contours", "contours.json"), &peer)
	for _, set := range []struct {
		name string
		path func(t *testing.T) string
		want contourReference
	}{
		{"topo52", func(*testing.T) string { return testdata("topo52", "points.csv") }, peer.Topo52},
		{"autzen-pad", func(*testing.T) string { return testdata("autzen-pad", "ground.csv") }, peer.Autzen},
		{"volcano", func(t *testing.T) string { return openData(t, "volcano", "points.csv") }, peer.Volcano},
	} {
		t.Run(set.name, func(t *testing.T) {
			points := readPoints(t, set.path(t))
			s, err := tin.FromPoints(points)
			require.NoError(t, err)
			require.Equal(t, set.want.Triangles, s.Stats().Triangles)
			require.NotEmpty(t, set.want.Levels)
			outline, _ := beyond(s)
			for _, want := range set.want.Levels {
				what := fmt.Sprintf("level %v: ", want.Level)
				got := contoursAt(t, s, want.Level)
				relative(t, what+"length", number(want.Length), got.Length, 5e-12, 0)
				relative(t, what+"area within closed lines", number(want.EnclosedArea), got.EnclosedArea, 5e-11, 0)
				above := against(t, s, tin.LevelPlane(want.Level), outline)
				relative(t, what+"area above", number(want.AreaAbove), above.CutArea+above.LevelArea, 1e-12, 0)
				if !slices.ContainsFunc(points, func(p tin.Point) bool { return p.Level == want.Level }) {
					assert.Equal(t, [2]int{want.Open, want.Closed}, [2]int{got.Open, got.Closed}, what)
				}
			}
		})
	}
}

// contoursAt measures the contours of a level.
func contoursAt(t *testing.T, s *tin.Surface, level float64) (c contourFigures) {
	t.Helper()
	lines, err := s.Contours(t.Context(), []float64{level}, s.Bound().Pad(1))
	require.NoError(t, err)
	for _, l := range lines {
		c.Length += planar.Length(l.Line)
		if l.Line[0] != l.Line[len(l.Line)-1] {
			c.Open++
			continue
		}
		c.Closed++
		c.EnclosedArea += math.Abs(planar.Area(orb.Ring(l.Line)))
	}
	return c
}
