package ply_test

import (
	"bufio"
	"bytes"
	"context"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/ply"
	"barrow/volume"
)

// read reads what this package writes: vertices, faces and comments.
func read(t *testing.T, data []byte) (vertices [][3]float64, faces [][3]int32, comments []string) {
	t.Helper()
	r := bufio.NewReader(bytes.NewReader(data))
	line := func() string {
		s, err := r.ReadString('\n')
		require.NoError(t, err)
		return strings.TrimSuffix(s, "\n")
	}
	require.Equal(t, "ply", line())
	format := line()
	var count [2]int
	var shape []string
	for s := line(); s != "end_header"; s = line() {
		if c, ok := strings.CutPrefix(s, "comment "); ok {
			comments = append(comments, c)
			continue
		}
		if n, ok := strings.CutPrefix(s, "element vertex "); ok {
			count[0], _ = strconv.Atoi(n)
			s = "element vertex"
		}
		if n, ok := strings.CutPrefix(s, "element face "); ok {
			count[1], _ = strconv.Atoi(n)
			s = "element face"
		}
		shape = append(shape, s)
	}
	require.Equal(t, "element vertex, property double x, property double y, property double z, element face, property list uchar int vertex_indices", strings.Join(shape, ", "))
	vertices, faces = make([][3]float64, count[0]), make([][3]int32, count[1])
	if format == "format ascii 1.0" {
		for i := range vertices {
			_, err := fmt.Sscan(line(), &vertices[i][0], &vertices[i][1], &vertices[i][2])
			require.NoError(t, err)
		}
		for i := range faces {
			n := 0
			_, err := fmt.Sscan(line(), &n, &faces[i][0], &faces[i][1], &faces[i][2])
			require.NoError(t, err)
			require.Equal(t, 3, n)
		}
	} else {
		require.Equal(t, "format binary_little_endian 1.0", format)
		require.NoError(t, binary.Read(r, binary.LittleEndian, vertices))
		for i := range faces {
			n, err := r.ReadByte()
			require.NoError(t, err)
			require.Equal(t, byte(3), n)
			require.NoError(t, binary.Read(r, binary.LittleEndian, &faces[i]))
		}
	}
	_, err := r.ReadByte()
	require.ErrorIs(t, err, io.EOF)
	return vertices, faces, comments
}

func meshes() []ply.Mesh {
	return []ply.Mesh{
		{
			Name:     "existing ground",
			Vertices: []tin.Vertex{{E: 312540, N: 5812300, Level: 62.5}, {E: 312550.1, N: 5812300, Level: 62.4}, {E: 312550, N: 5812310, Level: 0.1 + 0.2}, {E: 312540, N: 5812310, Level: 62}},
			Faces:    [][3]int32{{0, 1, 2}, {0, 2, 3}},
		},
		{
			Name:     "formation of \"store\"\nend_header",
			Vertices: []tin.Vertex{{E: 312541, N: 5812301, Level: 61}, {E: 312549, N: 5812301, Level: 61}, {E: 312549, N: 5812309, Level: 61}},
			Faces:    [][3]int32{{0, 1, 2}},
		},
	}
}

func TestWrite(t *testing.T) {
	for _, binary := range []bool{false, true} {
		var b, again bytes.Buffer
		require.NoError(t, ply.Write(&b, ply.Options{Binary: binary}, meshes()...))
		require.NoError(t, ply.Write(&again, ply.Options{Binary: binary}, meshes()...))
		require.Equal(t, b.Bytes(), again.Bytes())

		vertices, faces, comments := read(t, b.Bytes())
		require.Equal(t, [][3]float64{
			{312540, 5812300, 62.5}, {312550.1, 5812300, 62.4}, {312550, 5812310, 0.1 + 0.2}, {312540, 5812310, 62},
			{312541, 5812301, 61}, {312549, 5812301, 61}, {312549, 5812309, 61},
		}, vertices)
		require.Equal(t, [][3]int32{{0, 1, 2}, {0, 2, 3}, {4, 5, 6}}, faces)
		require.Equal(t, []string{
			"unit m",
			"origin 0 0 0: add to x (easting), y (northing), z (level)",
			`mesh "existing ground": 4 vertices from 0, 2 faces from 0`,
			`mesh "formation of \"store\"\nend_header": 3 vertices from 4, 1 faces from 2`,
		}, comments)
	}
}

func TestOriginAndUnit(t *testing.T) {
	for _, row := range []struct {
		unit     tin.Unit
		comments []string
		x        float64
	}{
		{0, []string{"unit m", "origin 312500 5812300 0: add to x (easting), y (northing), z (level)"}, 40},
		{tin.Foot, []string{"unit ft", "origin 1025300 19069200 0: add to x (easting), y (northing), z (level)"}, 93.7007874},
	} {
		origin := ply.NearOrigin(row.unit, meshes()...)
		var b bytes.Buffer
		require.NoError(t, ply.Write(&b, ply.Options{Unit: row.unit, Origin: origin}, meshes()...))
		vertices, _, comments := read(t, b.Bytes())
		require.Equal(t, row.comments, comments[:2])
		require.InDelta(t, row.x, vertices[0][0], 1e-7)
	}

	require.Equal(t, tin.Vertex{}, ply.NearOrigin(tin.Metre))
	below := ply.Mesh{Vertices: []tin.Vertex{{E: -1, N: -100, Level: -0.5}}}
	require.Equal(t, tin.Vertex{E: -100, N: -100, Level: -10}, ply.NearOrigin(tin.Metre, below))
}

func TestNoMesh(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, ply.Write(&b, ply.Options{}))
	vertices, faces, _ := read(t, b.Bytes())
	require.Empty(t, vertices)
	require.Empty(t, faces)
}

func TestWriteRefuses(t *testing.T) {
	for _, row := range []struct {
		name, message string
		change        func(m []ply.Mesh, o *ply.Options)
	}{
		{"vertex infinite in millimetres", "vertex 0 is at {1e+308", func(m []ply.Mesh, o *ply.Options) { m[0].Vertices[0].E, o.Unit = 1e308, 0.001 }},
		{"vertex infinite from the origin", "vertex 0 is at", func(m []ply.Mesh, o *ply.Options) { m[0].Vertices[0].E, o.Origin.E = -1e308, 1e308 }},
		{"no unit", "vertex 0 is at", func(_ []ply.Mesh, o *ply.Options) { o.Unit = tin.Unit(math.NaN()) }},
		{"vertex NaN", "vertex 1 is at", func(m []ply.Mesh, _ *ply.Options) { m[1].Vertices[1].Level = math.NaN() }},
		{"vertex infinite", "vertex 0 is at", func(m []ply.Mesh, _ *ply.Options) { m[0].Vertices[0].E = math.Inf(1) }},
		{"face beyond", "there are 3 vertices", func(m []ply.Mesh, _ *ply.Options) { m[1].Faces[0][2] = 3 }},
		{"face below", "there are 3 vertices", func(m []ply.Mesh, _ *ply.Options) { m[1].Faces[0][0] = -1 }},
		{"face flat", "no triangle", func(m []ply.Mesh, _ *ply.Options) { m[1].Faces[0][2] = 0 }},
		{"origin", "the origin is", func(_ []ply.Mesh, o *ply.Options) { o.Origin.N = math.NaN() }},
	} {
		m, o := meshes(), ply.Options{}
		row.change(m, &o)
		var b bytes.Buffer
		require.ErrorContains(t, ply.Write(&b, o, m...), row.message, row.name)
		require.Zero(t, b.Len())
	}
}

// A surface's mesh has the surface's triangles, each anticlockwise, and the same
// volume over a level.
func TestFromSurface(t *testing.T) {
	s := hill(t, 12)
	m := ply.FromSurface("hill", s)
	var b bytes.Buffer
	require.NoError(t, ply.Write(&b, ply.Options{Binary: true}, m))
	vertices, faces, _ := read(t, b.Bytes())
	require.Len(t, vertices, s.Size())
	area, held, triangles := 0.0, 0.0, 0
	for _, f := range faces {
		p, q, r := vertices[f[0]], vertices[f[1]], vertices[f[2]]
		a := ((q[0]-p[0])*(r[1]-p[1]) - (r[0]-p[0])*(q[1]-p[1])) / 2
		require.Positive(t, a)
		area += a
		held += a * ((p[2]+q[2]+r[2])/3 - 58)
	}
	for range s.Triangles() {
		triangles++
	}
	require.Len(t, faces, triangles)
	require.InDelta(t, 11*11, area, 1e-9)
	whole, err := volume.AgainstPlane(t.Context(), s, tin.LevelPlane(58), orb.Polygon{{{312500, 5812300}, {312511, 5812300}, {312511, 5812311}, {312500, 5812311}, {312500, 5812300}}})
	require.NoError(t, err)
	require.InDelta(t, whole.Cut, held, 1e-8)
}

// hill is a square grid of n x n spots, step 1 m.
func hill(t testing.TB, n int) *tin.Surface {
	var points []tin.Point
	for i := range n * n {
		e, north := float64(i%n), float64(i/n)
		points = append(points, tin.Point{E: 312500 + e, N: 5812300 + north, Level: 60 + math.Sin(e/5)*math.Cos(north/7)})
	}
	s, err := tin.FromPoints(points)
	require.NoError(t, err)
	return s
}

type full struct{ room int }

var errFull = errors.New("the disk is full")

func (f *full) Write(b []byte) (int, error) {
	if f.room -= len(b); f.room < 0 {
		return 0, errFull
	}
	return len(b), nil
}

func TestWriteErrors(t *testing.T) {
	m := ply.FromSurface("hill", hill(t, 80))
	for _, binary := range []bool{false, true} {
		for _, room := range []int{10, 70000, 200000} { // in the header, among vertices, among faces
			require.ErrorIs(t, ply.Write(&full{room}, ply.Options{Binary: binary}, m), errFull)
		}
	}
	require.ErrorIs(t, ply.Write(&full{10}, ply.Options{}, meshes()...), errFull)
}

func Example() {
	s, err := tin.Build(context.Background(), []tin.Source{{Points: []tin.Point{
		{E: 312540, N: 5812300, Level: 62.5}, {E: 312550, N: 5812300, Level: 62.4}, {E: 312540, N: 5812310, Level: 62.7},
	}}}, tin.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	ground := ply.FromSurface("existing ground", s)
	if err := ply.Write(os.Stdout, ply.Options{Origin: ply.NearOrigin(tin.Metre, ground)}, ground); err != nil {
		fmt.Println(err)
	}
	// Output:
	// ply
	// format ascii 1.0
	// comment unit m
	// comment origin 312500 5812300 60: add to x (easting), y (northing), z (level)
	// comment mesh "existing ground": 3 vertices from 0, 1 faces from 0
	// element vertex 3
	// property double x
	// property double y
	// property double z
	// element face 1
	// property list uchar int vertex_indices
	// end_header
	// 40 0 2.5
	// 40 10 2.700000000000003
	// 50 0 2.3999999999999986
	// 3 0 2 1
}

func BenchmarkWrite(b *testing.B) {
	n := 708 // 999,698 triangles
	m := ply.Mesh{Name: "grid"}
	for i := range n * n {
		e, north := float64(i%n), float64(i/n)
		m.Vertices = append(m.Vertices, tin.Vertex{E: 312500 + e, N: 5812300 + north, Level: math.Round(100*(60+math.Sin(e/50))) / 100})
	}
	for r := range int32(n - 1) {
		for c := range int32(n - 1) {
			v, w := r*int32(n)+c, (r+1)*int32(n)+c
			m.Faces = append(m.Faces, [3]int32{v, v + 1, w}, [3]int32{v + 1, w + 1, w})
		}
	}
	for _, binary := range []bool{false, true} {
		b.Run(fmt.Sprintf("faces=%d/binary=%v", len(m.Faces), binary), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if err := ply.Write(io.Discard, ply.Options{Binary: binary}, m); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
