package report_test

import (
	"bytes"
	"context"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"regexp"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/geojson"
	"barrow/tin/landxml"
	"barrow/tin/pointfile"
	"barrow/volume/report"
	"barrow/volume/takeoff"
)

var surfacesAt = time.Date(2024, 2, 29, 12, 30, 0, 0, time.UTC)

// demoSurfaces are the surfaces of the demo.
var demoSurfaces = sync.OnceValues(func() (*takeoff.SurfacesResult, error) {
	return surfacesOf(func(*takeoff.Job) {})
})

// surfacesOf are the surfaces of the demo, changed before.
func surfacesOf(change func(*takeoff.Job)) (*takeoff.SurfacesResult, error) {
	ctx := context.Background()
	job, err := takeoff.Load(ctx, os.DirFS("../../cmd/barrow/demo"), "job.toml", takeoff.Limits{})
	if err != nil {
		return nil, err
	}
	change(job)
	return takeoff.Surfaces(ctx, job, takeoff.SurfacesOptions{})
}

func filesOf(t *testing.T, r *takeoff.SurfacesResult) map[string][]byte {
	t.Helper()
	files, err := report.SurfacesFiles(t.Context(), r, surfacesAt)
	require.NoError(t, err)
	out := make(map[string][]byte)
	for _, f := range files {
		assert.Equal(t, len(f.Data), f.Bytes)
		out[f.Name] = f.Data
	}
	return out
}

// What the files hold is what the result does, to the last bit where they have full
// coordinates.
func TestSurfacesFilesComeBack(t *testing.T) {
	t.Parallel()
	r, err := demoSurfaces()
	require.NoError(t, err)
	files := filesOf(t, r)

	xml, err := landxml.Read(t.Context(), bytes.NewReader(files["surfaces.xml"]), "surfaces.xml", landxml.Options{})
	require.NoError(t, err)
	assert.Equal(t, tin.Metre, xml.Unit)
	require.Len(t, xml.Surfaces, len(r.Surfaces))
	for i, s := range xml.Surfaces {
		want, err := tin.Build(t.Context(), []tin.Source{r.Surfaces[i].Source()}, tin.Options{})
		require.NoError(t, err)
		got, err := tin.Build(t.Context(), []tin.Source{{Points: s.Points, Faces: s.Faces}}, tin.Options{})
		require.NoError(t, err)
		require.Equal(t, want.Size(), got.Size())
		for v := range want.Size() {
			require.Equal(t, want.Vertex(v), got.Vertex(v))
		}
		assert.Equal(t, want.Stats().Triangles, got.Stats().Triangles)
		assert.Equal(t, []string{"existing", "proposed"}[min(1, i/2)], s.State, s.Name)
	}
	padLines := 0
	for _, l := range r.Lines {
		if l.Pad != "" {
			padLines++
		}
	}
	assert.Len(t, xml.Features, padLines)

	lines, err := geojson.ReadLines(bytes.NewReader(files["lines.geojson"]), "lines.geojson", geojson.Options{})
	require.NoError(t, err)
	require.Len(t, lines, len(r.Lines))
	for i, l := range lines {
		require.Len(t, l.Vertices, len(r.Lines[i].Points))
		for k, v := range l.Vertices {
			want := r.Lines[i].Points[k]
			require.Equal(t, [3]float64{want.E, want.N, want.Level}, [3]float64{v.E, v.N, v.Level})
		}
	}

	points, err := pointfile.Read(t.Context(), bytes.NewReader(files["points.csv"]), "points.csv", pointfile.Options{})
	require.NoError(t, err)
	assert.Len(t, points.Points, len(r.Points))

	ground, works := readPLY(t, files["ground.ply"]), readPLY(t, files["works.ply"])
	assert.Equal(t, r.Surfaces[0].Vertices+r.Surfaces[1].Vertices, len(ground))
	of := r.Surfaces[len(r.Surfaces)-1]
	require.Len(t, works, of.Vertices)
	for i, p := range of.Points {
		for k, want := range [3]float64{p.E, p.N, p.Level} {
			require.InDelta(t, want, works[i][k]+r.Origin[k], 1e-8)
			require.GreaterOrEqual(t, works[i][k], 0.0)
		}
	}
}

// readPLY returns the vertices of a binary file.
func readPLY(t *testing.T, data []byte) [][3]float64 {
	t.Helper()
	head, body, ok := bytes.Cut(data, []byte("end_header\n"))
	require.True(t, ok)
	n, err := strconv.Atoi(string(regexp.MustCompile(`element vertex (\d+)`).FindSubmatch(head)[1]))
	require.NoError(t, err)
	out := make([][3]float64, n)
	require.NoError(t, binary.Read(bytes.NewReader(body[:24*n]), binary.LittleEndian, out))
	return out
}

func TestSurfacesFilesAreTheSameEachTime(t *testing.T) {
	t.Parallel()
	once, err := demoSurfaces()
	require.NoError(t, err)
	again, err := surfacesOf(func(j *takeoff.Job) {
		points := j.Surveys[0].Points
		for i := range points[:len(points)/2] {
			k := len(points) - 1 - i
			if points[i].Code == "" && points[k].Code == "" { // others are lines by their order
				points[i], points[k] = points[k], points[i]
			}
		}
	})
	require.NoError(t, err)
	a, b := filesOf(t, once), filesOf(t, again)
	for name, data := range a {
		assert.Equal(t, data, b[name], name)
	}
}

// Names from a job of strangers harm no file.
func TestSurfacesHostileNames(t *testing.T) {
	t.Parallel()
	hostile := "=x()\"</Project>\u0001\u202e\n" + strings.Repeat("long ", 100)
	r, err := surfacesOf(func(j *takeoff.Job) { j.Name, j.Pads[0].Name = hostile, hostile })
	require.NoError(t, err)
	files := filesOf(t, r)
	xml, err := landxml.Read(t.Context(), bytes.NewReader(files["surfaces.xml"]), "surfaces.xml", landxml.Options{})
	require.NoError(t, err)
	assert.Contains(t, xml.Project, `=x()"</Project>`)
	assert.True(t, json.Valid(files["lines.geojson"]))
	points, err := pointfile.Read(t.Context(), bytes.NewReader(files["points.csv"]), "points.csv", pointfile.Options{})
	require.NoError(t, err)
	assert.True(t, strings.HasPrefix(points.Points[0].Name, "'=x()"))
	var sheet bytes.Buffer
	require.NoError(t, report.Surfaces(&sheet, r, nil))
	assert.NotContains(t, sheet.String(), "\u202e")
}

func TestSurfacesSheet(t *testing.T) {
	t.Parallel()
	r, err := demoSurfaces()
	require.NoError(t, err)
	files, err := report.SurfacesFiles(t.Context(), r, surfacesAt)
	require.NoError(t, err)
	var sheet, object bytes.Buffer
	require.NoError(t, report.Surfaces(&sheet, r, files))
	for _, line := range strings.Split(sheet.String(), "\n") {
		assert.LessOrEqual(t, utf8.RuneCountInString(line), 80, line)
	}
	for i := range r.Surfaces {
		s := &r.Surfaces[i]
		assert.Contains(t, sheet.String(), fmt.Sprintf("%d", s.Triangles))
	}
	require.NoError(t, report.SurfacesJSON(&object, r, files))
	var got struct {
		Schema   int
		Surfaces []struct {
			Kind      string
			Triangles int
			Area      float64
		}
		Files []struct {
			Name  string
			Bytes int
		}
		Between struct {
			Cut float64 `json:"cut"`
		}
	}
	require.NoError(t, json.Unmarshal(object.Bytes(), &got))
	assert.Equal(t, 1, got.Schema)
	require.Len(t, got.Surfaces, len(r.Surfaces))
	assert.Equal(t, r.Surfaces[3].Area, got.Surfaces[3].Area)
	require.Len(t, got.Files, 5)
	assert.Equal(t, len(files[0].Data), got.Files[0].Bytes)
	assert.False(t, math.IsNaN(got.Between.Cut))
	assert.NotContains(t, object.String(), "null")
}
