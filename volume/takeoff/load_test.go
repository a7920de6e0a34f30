package takeoff_test

import (
	"context"
	"errors"
	"io/fs"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/volume/takeoff"
)

// spots is a file of points on a plane that rises 1 in 10 to the east.
const spots = `number,easting,northing,level,code
P1,0,0,10,
P2,40,0,14,
P3,40,40,14,
P4,0,40,10,
P5,20,20,12,
C1,10,10,11,PEG
C2,30,10,13,PEG
C3,30,30,13,PEG
C4,10,30,11,PEG
`

// site is a file system with the points and a job file.
func site(job string) fstest.MapFS {
	return fstest.MapFS{
		"job.toml":   {Data: []byte(job)},
		"spots.csv":  {Data: []byte(spots)},
		"square.csv": {Data: []byte("name,easting,northing\nA,10,10\nB,20,10\nC,20,20\nD,10,20\n")},
		"levels.csv": {Data: []byte("easting,northing,level\n10,10,11.2\n20,10,11.2\n20,20,11.4\n10,20,11.4\n")},
	}
}

const head = "units = \"m\"\n[[survey]]\npoints = \"spots.csv\"\n"

// pad is a job of one pad with the lines given.
func pad(lines ...string) string {
	return head + "[[pad]]\nname = \"a\"\n" + strings.Join(lines, "\n") + "\n"
}

func load(t *testing.T, files fs.FS) (*takeoff.Job, error) {
	t.Helper()
	return takeoff.Load(t.Context(), files, "job.toml", takeoff.Limits{})
}

func inputError(t *testing.T, err error) *tin.InputError {
	t.Helper()
	require.Error(t, err)
	e, ok := errors.AsType[*tin.InputError](err)
	require.True(t, ok, "%T: %v", err, err)
	return e
}

func TestLoadOutlines(t *testing.T) {
	for _, tt := range []struct {
		name, outline string
		want          orb.Ring
		corners       []string
	}{
		{"point file", `"square.csv"`, orb.Ring{{10, 10}, {20, 10}, {20, 20}, {10, 20}}, []string{"A", "B", "C", "D"}},
		{"point file with columns", `{ file = "levels.csv", columns = "easting, northing, level" }`, orb.Ring{{10, 10}, {20, 10}, {20, 20}, {10, 20}}, nil},
		{"coordinates", "[[10, 10], [20, 10], [20, 20]]", orb.Ring{{10, 10}, {20, 10}, {20, 20}}, nil},
		{"closed coordinates", "[[10, 10], [20, 10], [20, 20], [10, 10]]", orb.Ring{{10, 10}, {20, 10}, {20, 20}}, nil},
		{"spots", `{ points = ["C1", "C2", "C3", "C4"] }`, orb.Ring{{10, 10}, {30, 10}, {30, 30}, {10, 30}}, []string{"C1", "C2", "C3", "C4"}},
		{"closed spots", `{ points = ["C1", "C2", "C3", "C1"] }`, orb.Ring{{10, 10}, {30, 10}, {30, 30}}, []string{"C1", "C2", "C3"}},
		// Along bearing 90 the length goes east, and the width to the right, south.
		{"corner by name", `{ corner = "C4", bearing = 90, length = "10 m", width = 5 }`, orb.Ring{{10, 30}, {20, 30}, {20, 25}, {10, 25}}, []string{"C4", "2", "3", "4"}},
		{"corner by place", `{ corner = [10, 30], bearing = 90, length = 10, width = 5 }`, orb.Ring{{10, 30}, {20, 30}, {20, 25}, {10, 25}}, nil},
	} {
		t.Run(tt.name, func(t *testing.T) {
			job, err := load(t, site(pad("outline = "+tt.outline, "finished = 11")))
			require.NoError(t, err)
			require.Len(t, job.Pads, 1)
			assert.Equal(t, orb.Polygon{tt.want}, job.Pads[0].Outline)
			assert.Equal(t, tt.corners, job.Pads[0].Corners)
		})
	}
}

func TestLoadOutlineWithHole(t *testing.T) {
	job, err := load(t, site(pad("outline = [ [[0,0],[30,0],[30,30],[0,30]], [[10,10],[20,10],[20,20]] ]", "finished = 11")))
	require.NoError(t, err)
	assert.Len(t, job.Pads[0].Outline, 2)
}

// A drawing's (0, 0) and (20, 0) are the pegs C1 and C4: it is turned by a
// quarter, its x goes north.
func TestLoadPlanToSite(t *testing.T) {
	move := `plan_to_site = { plan = [[0, 0], [20, 0]], site = ["C1", [10, 30]] }`
	want := orb.Polygon{{{10, 10}, {10, 15}, {8, 15}}}
	lines := []string{"outline = [[0, 0], [5, 0], [5, 2]]", "finished = 11",
		`fall = { slope = "1 %", bearing = 0, at = [5, 2] }`}

	job, err := load(t, site(move+"\n"+pad(lines...)))
	require.NoError(t, err)
	assert.Equal(t, want, job.Pads[0].Outline)
	assert.Equal(t, orb.Point{8, 15}, job.Pads[0].Fall.At)
	require.Len(t, job.Notes, 1)
	assert.Equal(t, takeoff.NoteSiteBearing, job.Notes[0].Code)

	job, err = load(t, site(pad(append(lines, move)...)))
	require.NoError(t, err)
	assert.Equal(t, want, job.Pads[0].Outline)

	t.Run("spots stay where they are", func(t *testing.T) {
		job, err := load(t, site(move+"\n"+pad(`outline = { points = ["C1", "C2", "C3"] }`, "finished = 11")))
		require.NoError(t, err)
		assert.Equal(t, orb.Polygon{{{10, 10}, {30, 10}, {30, 30}}}, job.Pads[0].Outline)
	})
	t.Run("never scaled", func(t *testing.T) {
		_, err := load(t, site(pad(append(lines, strings.Replace(move, "20, 0", "20.03, 0", 1))...)))
		e := inputError(t, err)
		assert.Equal(t, "plan_to_site_distances", e.Code)
		assert.Contains(t, e.Message, "20.030")
		assert.Contains(t, e.Message, "20.000")
		assert.Equal(t, 9, e.Line)
	})
	t.Run("a drawing is in ground lengths", func(t *testing.T) {
		job, err := load(t, site("scale = 0.9\n"+strings.Replace(move, "20, 0", "22.222222222222222, 0", 1)+"\n"+
			pad("outline = [[0, 0], [10, 0], [10, 1]]", "finished = 11")))
		require.NoError(t, err)
		assert.InDelta(t, 19, job.Pads[0].Outline[0][1][1], 1e-12)
	})
}

func TestLoadLevels(t *testing.T) {
	for _, tt := range []struct {
		name  string
		lines []string
		want  takeoff.Levels
	}{
		{"list", []string{`outline = "square.csv"`, "levels = [1, 2, 3, \"400 cm\"]"}, takeoff.Levels{Outline: [][]float64{{1, 2, 3, 4}}}},
		{"from the outline", []string{`outline = "levels.csv"`, `levels = "outline"`}, takeoff.Levels{Outline: [][]float64{{11.2, 11.2, 11.4, 11.4}}}},
		{"with spots and lines", []string{`outline = "square.csv"`, "levels = [1, 2, 3, 4]", "spots = [[15, 15, 2.5]]", "breaklines = [ [[11, 11, 2], [12, 12, 3]] ]"},
			takeoff.Levels{
				Outline: [][]float64{{1, 2, 3, 4}},
				Spots:   []tin.Point{{E: 15, N: 15, Level: 2.5, Line: 8}},
				Lines: []tin.Breakline{{Name: "pad[0].breaklines[0]", Vertices: []tin.Point{
					{E: 11, N: 11, Level: 2, Line: 9}, {E: 12, N: 12, Level: 3, Line: 9}}}},
			}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			job, err := load(t, site(pad(tt.lines...)))
			require.NoError(t, err)
			assert.Equal(t, &tt.want, job.Pads[0].Levels)
		})
	}
}

func TestLoadWholeJob(t *testing.T) {
	job, err := load(t, site(`name  = "Tannery Field store"
units = "ft"
scale = 0.9996
[[survey]]
points = "spots.csv"
state = "stripped"
ignore_codes = ["BM", "TREE"]
line_codes = "TB"
breaklines = [ [[0, 0], [40, 40]] ]
benchmark = { name = "BM1", plan = 62.5, measured = "0.3048 m" }
check = [ { name = "BM2", plan = 1, measured = 2 } ]
check_tolerance = "6 in"
[ground]
boundary = [[0, 0], [40, 0], [40, 40], [0, 40]]
voids = [ [[1, 1], [2, 1], [2, 2]] ]
max_edge = 40.0
duplicates = "mean"
crossing_tolerance = 0.1
[[pad]]
name = "store"
outline = "square.csv"
finished = "3.048 m"
layers = [ { name = "slab", thickness = "6 in" }, { name = "sand", thickness = 0.2 } ]
fall = { slope = "1:100", bearing = 90, at = "P2" }
margin = 0
`))
	require.NoError(t, err)
	assert.Equal(t, "Tannery Field store", job.Name)
	assert.Equal(t, tin.Foot, job.Units)
	assert.Equal(t, 0.9996, job.Scale)
	s := job.Surveys[0]
	assert.Len(t, s.Points, 9)
	assert.True(t, s.Stripped)
	assert.Equal(t, []string{"BM", "TREE"}, s.IgnoreCodes)
	assert.Equal(t, []string{"TB"}, s.LineCodes)
	assert.Len(t, s.Breaklines, 1)
	assert.Equal(t, &takeoff.Mark{Name: "BM1", Plan: 62.5, Measured: 1}, s.Benchmark)
	assert.Equal(t, []takeoff.Mark{{Name: "BM2", Plan: 1, Measured: 2}}, s.Checks)
	assert.Equal(t, 0.5, s.CheckTolerance)
	assert.Equal(t, takeoff.Ground{
		Boundary: orb.MultiPolygon{{{{0, 0}, {40, 0}, {40, 40}, {0, 40}}}},
		Voids:    orb.MultiPolygon{{{{1, 1}, {2, 1}, {2, 2}}}},
		MaxEdge:  40, Duplicates: tin.DuplicatesMean, CrossingTolerance: 0.1,
	}, job.Ground)
	p := job.Pads[0]
	assert.Equal(t, 10.0, p.Finished)
	assert.Equal(t, []takeoff.Layer{{Name: "slab", Thickness: 0.5}, {Name: "sand", Thickness: 0.2}}, p.Layers)
	assert.Equal(t, &takeoff.Fall{Slope: 0.01, Bearing: 90, At: orb.Point{40, 0}}, p.Fall)
	require.Len(t, job.Inputs, 3)
	assert.Equal(t, "job.toml", job.Inputs[0].Path)
	assert.Equal(t, "spots.csv", job.Inputs[1].Path)
	assert.Equal(t, 9, job.Inputs[1].Points)
	assert.Equal(t, 4, job.Inputs[2].Points)
}

func TestLoadHashesTheWholeFile(t *testing.T) {
	files := site(pad(`outline = "square.csv"`, "finished = 11"))
	files["spots.csv"] = &fstest.MapFile{Data: []byte("e n z\n1 2 3\n")}
	job, err := load(t, files)
	require.NoError(t, err)
	// printf 'e n z\n1 2 3\n' | sha256sum
	assert.Equal(t, "d0086ee1903a96986972cc7b2ec52679ba4406f309ec35c470258c5c3ed0dfb5", job.Inputs[1].SHA256)
}

func TestLoadPathsBelowTheJob(t *testing.T) {
	files := site("")
	files["a/b/job.toml"] = &fstest.MapFile{Data: []byte(strings.ReplaceAll(pad(`outline = "in/square.csv"`, "finished = 11"), `"spots.csv"`, `"./spots.csv"`))}
	files["a/b/spots.csv"], files["a/b/in/square.csv"] = files["spots.csv"], files["square.csv"]
	job, err := takeoff.Load(t.Context(), files, "a/b/job.toml", takeoff.Limits{})
	require.NoError(t, err)
	assert.Equal(t, "a/b/in/square.csv", job.Inputs[2].Path)
}

func TestLoadEndsWithItsContext(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	_, err := takeoff.Load(ctx, site(pad(`outline = "square.csv"`, "finished = 11")), "job.toml", takeoff.Limits{})
	assert.ErrorIs(t, err, context.Canceled)
}

func TestLoadNotesLevelsOfAnOutlineThatAreNotUsed(t *testing.T) {
	for _, tt := range []struct {
		lines []string
		want  []string
	}{
		{[]string{`outline = "levels.csv"`, "finished = 11"}, []string{takeoff.NoteOutlineLevels}},
		{[]string{`outline = "levels.csv"`, "levels = [1, 2, 3, 4]"}, []string{takeoff.NoteOutlineLevels}},
		{[]string{`outline = "levels.csv"`, `levels = "outline"`}, nil},
		{[]string{`outline = "square.csv"`, "finished = 11"}, nil},
		{[]string{`outline = { points = ["C1", "C2", "C3"] }`, "finished = 11"}, nil},
	} {
		job, err := load(t, site(pad(tt.lines...)))
		require.NoError(t, err)
		var got []string
		for _, n := range job.Notes {
			got = append(got, n.Code)
		}
		assert.Equal(t, tt.want, got, tt.lines)
	}
}
