package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/landxml"
	"barrow/tin/las"
)

// inFolderWith runs a command in a new folder that holds files.
func inFolderWith(t *testing.T, files map[string]string, args ...string) (stdout, stderr string, code int) {
	t.Helper()
	t.Chdir(t.TempDir())
	for name, text := range files {
		require.NoError(t, os.WriteFile(name, []byte(text), 0o666))
	}
	var out, errs bytes.Buffer
	code = run(args, strings.NewReader(""), &out, &errs)
	return out.String(), errs.String(), code
}

// lasText is a LAS file with ground at 11 round a square of 40, and a tree on it.
func lasText(t *testing.T, unit tin.Unit) string {
	t.Helper()
	points := []tin.Point{{E: 1000, N: 2000, Level: 11}, {E: 1040, N: 2000, Level: 11}, {E: 1040, N: 2040, Level: 11}, {E: 1000, N: 2040, Level: 11}, {E: 1020, N: 2020, Level: 19, Code: "class 5"}}
	var b bytes.Buffer
	require.NoError(t, las.Write(&b, points, las.WriteOptions{Day: 1, Year: 2026, Unit: unit}))
	return b.String()
}

const lasJob = `units = "m"
[[survey]]
points = %s
[[pad]]
name = "pad"
outline = [[1010, 2010], [1030, 2010], [1030, 2030], [1010, 2030]]
finished = 10.5
`

func TestTakeoffOfLAS(t *testing.T) {
	for points, want := range map[string]string{
		`"cloud.las"`: "as dug                                         200.0",
		`{ file = "cloud.las", classes = [2, 5], overlap = true, thin = { cell = 1, keep = "lowest" } }`: "as dug                                        2333.3", // 4.5 x 400, and a pyramid of 4 x 400 / 3
	} {
		out, errs, code := inFolderWith(t, map[string]string{"cloud.las": lasText(t, 0), "job.toml": fmt.Sprintf(lasJob, points)}, "takeoff", "job.toml")
		require.Zero(t, code, errs)
		assert.Contains(t, out, want, points)
	}
	_, errs, code := inFolderWith(t, map[string]string{"cloud.las": lasText(t, 0), "job.toml": fmt.Sprintf(lasJob, `{ file = "cloud.las", classes = [6] }`)}, "takeoff", "job.toml")
	assert.Equal(t, 2, code)
	assert.Contains(t, errs, "none of its 5 points is of class 6")
	_, errs, code = inFolderWith(t, map[string]string{"cloud.las": lasText(t, 0), "job.toml": fmt.Sprintf(lasJob, `{ file = "cloud.las", classes = [300] }`)}, "takeoff", "job.toml")
	assert.Equal(t, 2, code)
	assert.Contains(t, errs, "300 is no class of points")
}

func TestPointsOfLAS(t *testing.T) {
	out, errs, code := inFolderWith(t, map[string]string{"cloud.las": lasText(t, tin.SurveyFoot)}, "points", "cloud.las")
	require.Zero(t, code, errs)
	for _, line := range []string{"  kind       LAS 1.2, point format 0\n", "  points     5\n", "  classes    2, ground: 4\n             5, high vegetation: 1\n", "  ground     4 points", "  level      11.000 to 11.000\n", "  unit       ftUS\n"} {
		assert.Contains(t, out, line)
	}
	out, _, _ = inFolderWith(t, map[string]string{"cloud.las": lasText(t, 0)}, "points", "--json", "cloud.las")
	var got struct {
		Kind, Units string
		Cloud       struct {
			Points, Ground int
			Classes        []struct{ Class, Points int }
		}
	}
	require.NoError(t, json.Unmarshal([]byte(out), &got))
	assert.Equal(t, "LAS m 5 4 [{2 4} {5 1}]", fmt.Sprint(got.Kind, " ", got.Units, " ", got.Cloud.Points, " ", got.Cloud.Ground, " ", got.Cloud.Classes))

	trees := strings.ReplaceAll(lasText(t, 0), "\x02\x00\x00\x00\x00", "\x05\x00\x00\x00\x00") // class 2 becomes 5
	out, errs, code = inFolderWith(t, map[string]string{"trees.las": trees}, "points", "trees.las")
	require.Zero(t, code, errs)
	assert.Contains(t, out, "ground     NONE")
	assert.Contains(t, out, "level      11.000 to 19.000")
}

// Names in files come from strangers: none reaches a terminal, or a reader of JSON, with
// what could steer it.
func TestHostileNamesInFilesOfEveryKind(t *testing.T) {
	const evil = "\u202epad\x1b[31m\u2028<b>\"\n"
	escaped, err := json.Marshal(evil)
	require.NoError(t, err)
	var xml bytes.Buffer
	require.NoError(t, landxml.Write(&xml, &landxml.File{Date: "2026-01-01", Time: "00:00:00", Unit: tin.Metre,
		Surfaces: []landxml.Surface{{Name: strings.ReplaceAll(evil, "\x1b", ""), Points: []tin.Point{{E: 1000, N: 2000, Level: 11}, {E: 1040, N: 2000, Level: 11}, {E: 1040, N: 2040, Level: 11}}, Faces: [][3]int32{{0, 1, 2}}}}}))
	cloud := strings.Replace(lasText(t, 0), "metre", "me\x1b[1m", 1)
	geo := fmt.Sprintf(`{"type":"FeatureCollection","features":[
{"type":"Feature","properties":{"name":%s,"code":%s},"geometry":{"type":"Point","coordinates":[1000,2000,11]}},
{"type":"Feature","properties":{"name":%s,"code":%s},"geometry":{"type":"Point","coordinates":[1000,2000,12]}},
{"type":"Feature","properties":{"name":%s},"geometry":{"type":"LineString","coordinates":[[1000,2000],[1001,2001]]}}]}`, escaped, escaped, escaped, escaped, escaped)
	files := map[string]string{"evil.xml": xml.String(), "evil.geojson": geo, "evil.las": cloud, "bad.xml": "<a\x1b[31m", "bad.las": "LASF\x1b[31m", "bad.tif": "II*\x1b[31m", "bad.asc": "\x1b[31m 3"}
	for name := range files {
		for _, form := range [][]string{{"points", name}, {"points", "--json", name}, {"takeoff", "job.toml"}, {"takeoff", "--json", "job.toml"}} {
			files["job.toml"] = fmt.Sprintf(lasJob, fmt.Sprintf("%q", name))
			out, errs, _ := inFolderWith(t, files, form...)
			for _, bad := range []string{"\x1b", "\u2028"} {
				assert.NotContains(t, out+errs, bad, "%v of %s", form, name)
			}
			if form[1] == "--json" {
				assert.True(t, json.Valid([]byte(out)), "%v of %s", form, name)
			} else {
				assert.NotContains(t, out+errs, "\u202e", "%v of %s", form, name)
			}
		}
	}
}
