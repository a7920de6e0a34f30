package volume_test

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/volume"
)

// What the tests on outside values share: reading them, and telling how near
// ours are. docs/checks.md is made of the rows they log under -v.

const yard3 = 27 // cubic feet in a cubic yard

// row logs a row of docs/checks.md.
func row(t *testing.T, what string, published any, ours, difference float64) {
	t.Helper()
	t.Logf("| %s | %v | %.15g | %.1e | %s |", what, published, ours, difference, t.Name())
}

// relative holds a value to a published one, by a tolerance relative to it. Below
// floor the tolerance stays what it is at floor.
func relative(t *testing.T, what string, published number, ours, tolerance, floor float64) {
	t.Helper()
	want := float64(published)
	scale := max(math.Abs(want), floor)
	if want == 0 && ours == 0 {
		scale = 1
	}
	difference := (ours - want) / scale
	row(t, what, published, ours, difference)
	if !(math.Abs(difference) <= tolerance) {
		t.Errorf("%s: %.17g, want %v: %.1e relative", what, ours, published, difference)
	}
}

// digits holds a value to a published one that was rounded to so many decimals.
func digits(t *testing.T, what string, published float64, decimals int, ours float64) {
	t.Helper()
	row(t, what, fmt.Sprintf("%.*f", decimals, published), ours, ours-published)
	half := 0.5 * math.Pow10(-decimals)
	if !(math.Abs(ours-published) <= half*(1+1e-9)) {
		t.Errorf("%s: %.17g, want %.*f", what, ours, decimals, published)
	}
}

// number is a number of a reference file, as number or as text.
type number float64

func (n *number) UnmarshalJSON(b []byte) error {
	var text string
	if json.Unmarshal(b, &text) != nil {
		text = string(b)
	}
	v, err := strconv.ParseFloat(text, 64)
	*n = number(v)
	return err
}

func (n number) String() string { return strconv.FormatFloat(float64(n), 'g', 15, 64) }

// reference is a reference.json: values of two independent routes for one set of
// points. Route B is exact (CGAL, rational arithmetic) and is the one used.
type reference struct {
	Set      string
	Rows     int
	Meshes   map[string]referenceMesh
	HullArea number `json:"hull_area"`
	ZMin     number `json:"z_min"`
	ZMax     number `json:"z_max"`
	ZMean    number `json:"z_mean"`
}

type referenceMesh struct {
	Triangles int
	PlanArea  number `json:"plan_area"`
	SlopeArea number `json:"slope_area"`
	Segments  int    `json:"breakline_segments"`
	Levels    []struct {
		Level number
		B     referenceVolumes
		All   map[string][2]number `json:"over_all_delaunay_meshes"`
	}
	Pad *struct {
		Rectangle [4]number `json:"rectangle_e0_n0_e1_n1"`
		Level     number
		B         referenceVolumes
	}
}

type referenceVolumes struct {
	Cut, Fill, Net number
	CutArea        number `json:"cut_area"`
	FillArea       number `json:"fill_area"`
	LevelArea      number `json:"on_level_area"`
	PlanArea       number `json:"plan_area"`
}

func readJSON(t testing.TB, path string, into any) {
	t.Helper()
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(text, into), path)
}

// readPoints reads a file of point,easting,northing,elevation,code. The reader
// of point files has tests of its own; this one shares nothing with it.
func readPoints(t testing.TB, path string) []tin.Point {
	t.Helper()
	f, err := os.Open(path)
	require.NoError(t, err)
	defer f.Close()
	records, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	require.Equal(t, []string{"point", "easting", "northing", "elevation", "code"}, records[0])
	points := make([]tin.Point, 0, len(records)-1)
	for i, r := range records[1:] {
		var v [3]float64
		for k := range v {
			v[k], err = strconv.ParseFloat(r[k+1], 64)
			require.NoError(t, err)
		}
		points = append(points, tin.Point{E: v[0], N: v[1], Level: v[2], Name: r[0], Code: r[4], Line: int32(i + 2)})
	}
	return points
}

// testdata is the path of a file of a whole job.
func testdata(name ...string) string {
	return filepath.Join(append([]string{"..", "testdata"}, name...)...)
}

// box is a rectangle in metres.
func box(e0, n0, e1, n1 float64) orb.Polygon {
	return orb.Polygon{{{e0, n0}, {e1, n0}, {e1, n1}, {e0, n1}, {e0, n0}}}
}

// beyond is a box past the surface on every side, and its area.
func beyond(s *tin.Surface) (outline orb.Polygon, area float64) {
	b := s.Bound()
	e0, n0 := math.Floor(b.Min[0])-10, math.Floor(b.Min[1])-10
	e1, n1 := math.Ceil(b.Max[0])+10, math.Ceil(b.Max[1])+10
	return box(e0, n0, e1, n1), (e1 - e0) * (n1 - n0)
}

// against measures a surface against a plane and wants no error.
func against(t testing.TB, s *tin.Surface, p tin.Plane, outline orb.Polygon) volume.CutFill {
	t.Helper()
	r, err := volume.AgainstPlane(t.Context(), s, p, outline)
	require.NoError(t, err)
	return r
}

// holdTo measures a surface against every level and the pad of a reference
// mesh, and holds its statistics to it. u is the length in metres of the
// reference's unit: feet are rounded on their way, metres are not, and are held
// to the last digit but one.
func holdTo(t *testing.T, s *tin.Surface, ref reference, mesh referenceMesh, u float64) {
	t.Helper()
	tolerance := 1e-12
	if u == 1 {
		tolerance = 5e-15
	}
	st := s.Stats()
	require.Equal(t, ref.Rows, st.Vertices+st.Merged, "rows")
	require.Equal(t, mesh.Triangles, st.Triangles, "triangles")
	row(t, "triangles", mesh.Triangles, float64(st.Triangles), 0)
	relative(t, "plan area", mesh.PlanArea, st.Area/(u*u), tolerance, 0)
	relative(t, "slope area", mesh.SlopeArea, s.SlopeArea()/(u*u), tolerance, 0)
	relative(t, "hull area", ref.HullArea, st.Area/(u*u), tolerance, 0)
	relative(t, "least level", ref.ZMin, st.LevelMin/u, tolerance, 0)
	relative(t, "greatest level", ref.ZMax, st.LevelMax/u, tolerance, 0)
	relative(t, "mean level", ref.ZMean, st.LevelMean/u, tolerance, 0)

	outline, area := beyond(s)
	require.NotEmpty(t, mesh.Levels)
	for _, l := range mesh.Levels {
		got := against(t, s, tin.LevelPlane(float64(l.Level)*u), outline)
		at := fmt.Sprintf("level %v: ", l.Level)
		holdVolumes(t, at, l.B, got, u, tolerance)
		relative(t, at+"uncovered area", number(area/(u*u))-mesh.PlanArea, got.UncoveredArea/(u*u), tolerance, 0)
	}
	if mesh.Pad == nil {
		return
	}
	r := mesh.Pad.Rectangle
	pad := box(float64(r[0])*u, float64(r[1])*u, float64(r[2])*u, float64(r[3])*u)
	got := against(t, s, tin.LevelPlane(float64(mesh.Pad.Level)*u), pad)
	holdVolumes(t, "pad: ", mesh.Pad.B, got, u, tolerance)
	relative(t, "pad: plan area", mesh.Pad.B.PlanArea, (got.CutArea+got.FillArea+got.LevelArea)/(u*u), tolerance, 0)
	require.Zero(t, got.UncoveredArea, "pad")
}

// holdVolumes holds each value to a tolerance relative to itself, but to no less
// than a thousandth of all that is moved.
func holdVolumes(t *testing.T, what string, want referenceVolumes, got volume.CutFill, u, tolerance float64) {
	t.Helper()
	moved := 1e-3 * float64(want.Cut+want.Fill)
	area := 1e-3 * float64(want.CutArea+want.FillArea+want.LevelArea)
	relative(t, what+"cut", want.Cut, got.Cut/(u*u*u), tolerance, moved)
	relative(t, what+"fill", want.Fill, got.Fill/(u*u*u), tolerance, moved)
	relative(t, what+"cut less fill", want.Net, got.CutLessFill/(u*u*u), tolerance, float64(want.Cut+want.Fill))
	relative(t, what+"cut area", want.CutArea, got.CutArea/(u*u), tolerance, area)
	relative(t, what+"fill area", want.FillArea, got.FillArea/(u*u), tolerance, area)
	relative(t, what+"area at level", want.LevelArea, got.LevelArea/(u*u), tolerance, area)
}
