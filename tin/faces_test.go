package tin_test

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/tintest"
)

// turned is ground whose two faces meet on the diagonal that a survey of the same
// spots does not take: the greatest spot, at 10, 10, is on it.
func turned() tin.Source {
	return tin.Source{
		Name: "built.xml", Points: spots(0, 0, 1, 10, 0, 2, 10, 10, 9, 0, 10, 3),
		Faces: [][3]int32{{0, 1, 2}, {0, 3, 2}}, // the second turns clockwise
	}
}

func TestFacesAreTheSurface(t *testing.T) {
	s := buildSources(t, tin.Options{}, turned())
	assert.Equal(t, 5.0, levelAt(t, s, 5, 5), "between the levels 1 and 9 of the diagonal")
	assert.Empty(t, s.Notes())
	assert.Empty(t, breaklines(s))
	faces := 0
	for _, e := range s.Edges() {
		assert.True(t, e.Face)
		faces++
	}
	assert.Equal(t, 5, faces)
	assert.Empty(t, s.Ties(), "the diagonal is no choice")

	plain := turned()
	plain.Faces = nil
	assert.Equal(t, 2.5, levelAt(t, buildSources(t, tin.Options{}, plain), 5, 5))
}

func buildSources(t testing.TB, opts tin.Options, sources ...tin.Source) *tin.Surface {
	t.Helper()
	s, err := tin.Build(t.Context(), sources, opts)
	require.NoError(t, err)
	require.NoError(t, tintest.Check(s))
	return s
}

// asked is a context that counts how often it is asked, and ends after so many times.
type asked struct {
	context.Context
	times, most int
}

func (a *asked) Err() error {
	if a.times++; a.times > a.most {
		return context.Canceled
	}
	return nil
}

// To make edges of sides and breaklines takes long where many meet: a context that ends
// meanwhile ends it. The rim goes in and out, so that the mesh of the spots has other
// edges than these spokes.
func TestBuildEndsWhileForcing(t *testing.T) {
	const n = 320
	wheel := tin.Source{Points: []tin.Point{{Level: 5}}}
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / n)
		r := 1000 - 100*float64(i%2)
		wheel.Points = append(wheel.Points, tin.Point{E: r * cos, N: r * sin, Level: 1})
	}
	faces, lines := wheel, wheel
	for i := range int32(n) {
		faces.Faces = append(faces.Faces, [3]int32{0, i + 1, (i+1)%n + 1})
		lines.Breaklines = append(lines.Breaklines, tin.Breakline{Vertices: []tin.Point{wheel.Points[0], wheel.Points[i+1]}})
	}
	plain := &asked{Context: t.Context(), most: n}
	_, err := tin.Build(plain, []tin.Source{wheel}, tin.Options{})
	require.NoError(t, err)
	for _, s := range []tin.Source{faces, lines} {
		whole := &asked{Context: t.Context(), most: n}
		_, err := tin.Build(whole, []tin.Source{s}, tin.Options{})
		require.NoError(t, err)
		require.Greater(t, whole.times, plain.times+n/20)
		for most := range whole.times {
			_, err := tin.Build(&asked{Context: t.Context(), most: most}, []tin.Source{s}, tin.Options{})
			require.ErrorIs(t, err, context.Canceled)
		}
	}
}

// What no face covers is no ground: beyond them, and in a hole.
func TestNoGroundBeyondFaces(t *testing.T) {
	ring := tin.Source{Points: spots(0, 0, 1, 9, 0, 1, 9, 9, 1, 0, 9, 1, 3, 3, 1, 6, 3, 1, 6, 6, 1, 3, 6, 1)}
	for i := range int32(4) {
		j := (i + 1) % 4
		ring.Faces = append(ring.Faces, [3]int32{i, j, 4 + i}, [3]int32{j, 4 + j, 4 + i})
	}
	island := tin.Source{Points: spots(20, 0, 5, 23, 0, 5, 20, 3, 5), Faces: [][3]int32{{0, 1, 2}}}
	s := buildSources(t, tin.Options{}, ring, island)
	assert.InDelta(t, 81-9+4.5, s.Stats().Area, 1e-12)
	assert.Equal(t, 9, s.Stats().Triangles)
	for _, at := range []orb.Point{{4.5, 4.5}, {15, 1}, {22, 2}} {
		_, ok := s.LevelAt(at[0], at[1])
		assert.False(t, ok, "%v", at)
	}
	assert.Equal(t, 1.0, levelAt(t, s, 3, 4.5), "the rim of the hole")
	assert.Equal(t, 5.0, levelAt(t, s, 21, 1))
	rim := 0
	for range s.Rim() {
		rim++
	}
	assert.Equal(t, 4+4+3, rim)
}

// Spots beyond the faces are ground with them, by the triangles that reach one.
func TestSpotsBesideFaces(t *testing.T) {
	more := tin.Source{Name: "more.csv", Points: spots(30, 0, 2, 30, 10, 2)}
	s := buildSources(t, tin.Options{}, turned(), more)
	assert.InDelta(t, 300, s.Stats().Area, 1e-12)
	assert.Equal(t, 5.0, levelAt(t, s, 5, 5))
	assert.Regexp(t, `^2 triangles of ground join`, notes(s)["faces_joined"])

	s = buildSources(t, tin.Options{MaxEdge: 12}, turned(), more)
	assert.InDelta(t, 100, s.Stats().Area, 1e-12)
	assert.Equal(t, "max_edge takes none of 2 faces away, however long their edges", notes(s)["max_edge_not_faces"])
	assert.Regexp(t, `^2 triangles at the rim`, notes(s)["max_edge"])

	// A corner that both have counts once, and a breakline may follow a side.
	follows := tin.Source{Points: spots(10, 0, 2), Breaklines: []tin.Breakline{line("kerb", 10, 0, 2, 10, 10, 9)}}
	s = buildSources(t, tin.Options{}, turned(), follows)
	assert.InDelta(t, 100, s.Stats().Area, 1e-12)
	assert.Equal(t, [][2]orb.Point{{{10, 0}, {10, 10}}}, breaklines(s))
}

func TestPointsOfNoFaceAreLeftOut(t *testing.T) {
	source := turned()
	source.Points = append(source.Points, spot(5, 4, 100, 5), spot(50, 4, none, 6))
	s := buildSources(t, tin.Options{}, source)
	assert.Equal(t, 4, s.Stats().Vertices)
	assert.Equal(t, 6, s.Stats().Points)
	assert.Equal(t, "2 points of no face left out, the first spot at 5, 4 (built.xml:5)", notes(s)["face_points_unused"])
	assert.Len(t, s.Notes(), 1)
}

// Each face with points of its own, as some programs write it.
func TestFacesWithPointsOfTheirOwn(t *testing.T) {
	whole := turned()
	var soup tin.Source
	for _, f := range append(whole.Faces, whole.Faces[0]) {
		at := int32(len(soup.Points))
		for _, p := range f {
			soup.Points = append(soup.Points, whole.Points[p])
		}
		soup.Faces = append(soup.Faces, [3]int32{at, at + 1, at + 2})
	}
	s := buildSources(t, tin.Options{}, soup)
	assert.Equal(t, bits(buildSources(t, tin.Options{}, whole)), bits(s))
	assert.Regexp(t, "^1 face given again and counted once, the first face 3", notes(s)["face_repeated"])
	assert.Regexp(t, "^5 spots at the place and level", notes(s)["merged"])
}

func TestBadFaces(t *testing.T) {
	with := func(points []tin.Point, faces ...[3]int32) []tin.Source {
		return []tin.Source{{Name: "built.xml", Points: points, Faces: faces}}
	}
	corners := spots(0, 0, 1, 10, 0, 1, 10, 10, 1, 0, 10, 1, 5, 0, 1, 5, 5, 1)
	other := func(s tin.Source) []tin.Source { return append(with(corners, [3]int32{0, 1, 2}), s) }
	at := func(e, n float64) *orb.Point { return &orb.Point{e, n} }
	tests := []struct {
		name    string
		sources []tin.Source
		code    string
		at      *orb.Point
		want    string // in the message
	}{
		{"a point too many", with(corners, [3]int32{0, 1, 2}, [3]int32{0, 2, 6}), "face_point", nil, "face 2 names point 6 of 6"},
		{"a negative point", with(corners, [3]int32{0, -1, 2}), "face_point", nil, "face 1 names point -1 of 6"},
		{"no level", with(append(spots(0, 0, none), corners[1:]...), [3]int32{0, 1, 2}), "face_no_level", nil, "face 1 has spot at 0, 0, which has no level"},
		{"one point twice", with(corners, [3]int32{0, 1, 2}, [3]int32{3, 2, 3}), "face_repeats_point", at(0, 10), "face 2 at E 0.000 N 10.000 m has one place"},
		{"one place twice", with(append(spots(0, 0, 1), corners...), [3]int32{0, 2, 3}, [3]int32{0, 1, 3}), "face_repeats_point", at(0, 0), "face 2"},
		{"flat", with(corners, [3]int32{0, 4, 1}, [3]int32{0, 1, 2}), "face_flat", at(0, 0), "face 1"},
		{"sides that cross", with(corners, [3]int32{0, 1, 2}, [3]int32{1, 2, 3}), "faces_overlap", at(5, 5), "face 1"},
		{"one in another", with(append(corners, spots(8, 1, 1, 9, 1, 1, 9, 2, 1)...), [3]int32{0, 1, 2}, [3]int32{6, 7, 8}), "faces_overlap", nil, "face 1 at E"},
		{"folded over a side", with(append(corners, spots(6, 1, 1)...), [3]int32{0, 1, 2}, [3]int32{0, 1, 6}), "faces_overlap", at(6, 1), "face 1 at E 6.000 N 1.000 m overlaps face 2, whose corner lies in it"},
		{"three on an edge", with(corners, [3]int32{0, 2, 3}, [3]int32{0, 2, 1}, [3]int32{0, 2, 4}), "face_side", at(5, 0), "face 2 at E 5.000 N 0.000 m has a corner of face 3 on its side"},
		{"corner on a side", with(corners, [3]int32{0, 1, 2}, [3]int32{0, 3, 5}), "face_side", at(5, 5), "face 1 at E 5.000 N 5.000 m has a corner of face 2"},
		{"a spot inside", other(tin.Source{Name: "more.csv", Points: spots(7, 2, 1)}), "faces_overlap", at(7, 2), "face 1 at E 7.000 N 2.000 m holds spot at 7, 2 (more.csv:1)"},
		{"a spot on a side", other(tin.Source{Name: "more.csv", Points: spots(7, 7, 1)}), "faces_overlap", at(7, 7), "has spot at 7, 7 (more.csv:1) on its side"},
		{"a breakline into it", other(tin.Source{Name: "more.csv", Breaklines: []tin.Breakline{line("kerb", 5, 11, 1, 5, 8, 1, 9, 8, 1, 12, 8, 1)}}), "faces_overlap", at(8, 8), `face 1 at E 8.000 N 8.000 m is crossed by breakline "kerb" (more.csv:2)`},
		{"a breakline inside", other(tin.Source{Name: "more.csv", Breaklines: []tin.Breakline{line("kerb", 8, 2, 1, 9, 2, 1)}}), "faces_overlap", nil, `N 2.000 m holds breakline "kerb" (more.csv:`},
		{"a breakline right through", other(tin.Source{Name: "more.csv", Breaklines: []tin.Breakline{line("kerb", 5, 8, 1, 12, 8, 1)}}), "faces_overlap", at(8, 8), `face 1 at E 8.000 N 8.000 m is crossed by breakline "kerb" (more.csv:1)`},
		{"a spot at a corner with another level", other(tin.Source{Points: spots(0, 0, 3)}), "duplicate_spots", at(0, 0), "has level 3"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			e := inputError(t, tin.Options{}, tt.sources...)
			assert.Equal(t, tt.code, e.Code)
			assert.Contains(t, e.Message, tt.want)
			assert.NotEmpty(t, e.Hint)
			if tt.at != nil {
				assert.Equal(t, tt.at, e.At)
			}
			if tt.code != "duplicate_spots" {
				assert.Equal(t, "built.xml", e.File)
			}
		})
	}
}

// placed is a triangle by its corners, the least first.
type placed [3][3]float64

func placedTriangles(s *tin.Surface) map[placed]int {
	out := make(map[placed]int)
	for _, t := range s.Triangles() {
		var p placed
		for i, c := range t.Corner {
			p[i] = [3]float64{c.E, c.N, c.Level}
		}
		out[p.least()]++
	}
	return out
}

// least turns a triangle to begin with its least corner.
func (p placed) least() placed {
	for range 2 {
		if slices.Compare(p[0][:], p[1][:]) < 0 && slices.Compare(p[0][:], p[2][:]) < 0 {
			break
		}
		p[0], p[1], p[2] = p[1], p[2], p[0]
	}
	return p
}

// anyMesh makes a triangulation that is not Delaunay: that of random whole places,
// edges turned at random wherever four corners are convex, some faces left away.
func anyMesh(t testing.TB, rng *rand.Rand, n, turns int, keep float64) tin.Source {
	t.Helper()
	source := tin.Source{Name: "built.xml"}
	seen := make(map[orb.Point]bool)
	for len(source.Points) < n {
		p := spot(float64(rng.IntN(12*n)), float64(rng.IntN(12*n)), float64(rng.IntN(9000))/1000, int32(len(source.Points)+1))
		if at := (orb.Point{p.E, p.N}); !seen[at] {
			seen[at] = true
			source.Points = append(source.Points, p)
		}
	}
	s, err := tin.FromPoints(source.Points)
	require.NoError(t, err)
	number := make(map[orb.Point]int32)
	for i, p := range source.Points {
		number[orb.Point{p.E, p.N}] = int32(i)
	}
	for _, tri := range s.Triangles() {
		var f [3]int32
		for k, c := range tri.Corner {
			f[k] = number[orb.Point{c.E, c.N}]
		}
		source.Faces = append(source.Faces, f)
	}
	for range turns {
		turnAnEdge(rng, source)
	}
	source.Faces = slices.DeleteFunc(source.Faces, func([3]int32) bool { return rng.Float64() >= keep })
	return source
}

// turnAnEdge turns a random edge between two faces, if it can be.
func turnAnEdge(rng *rand.Rand, source tin.Source) {
	i, k := rng.IntN(len(source.Faces)), rng.IntN(3)
	f := source.Faces[i]
	a, b, c := f[k], f[(k+1)%3], f[(k+2)%3]
	for j, g := range source.Faces {
		for l := range g {
			if g[l] != b || g[(l+1)%3] != a {
				continue
			}
			d := g[(l+2)%3]
			if turnsLeft(source, a, d, c) && turnsLeft(source, d, b, c) {
				source.Faces[i], source.Faces[j] = [3]int32{a, d, c}, [3]int32{d, b, c}
			}
			return
		}
	}
}

// turnsLeft reports whether three points of whole coordinates turn anticlockwise.
func turnsLeft(s tin.Source, a, b, c int32) bool {
	p, q, r := s.Points[a], s.Points[b], s.Points[c]
	return (q.E-p.E)*(r.N-p.N)-(q.N-p.N)*(r.E-p.E) > 0
}

func placedFaces(s tin.Source) map[placed]int {
	out := make(map[placed]int)
	for _, f := range s.Faces {
		var p placed
		for i, v := range f {
			p[i] = [3]float64{s.Points[v].E, s.Points[v].N, s.Points[v].Level}
		}
		out[p.least()]++
	}
	return out
}

// shuffled returns the same faces over the same points, in another order, from other
// corners and either way round.
func shuffled(rng *rand.Rand, s tin.Source) tin.Source {
	order := rng.Perm(len(s.Points))
	out := tin.Source{Name: s.Name, Points: make([]tin.Point, len(s.Points))}
	for i, p := range s.Points {
		out.Points[order[i]] = p
	}
	for _, f := range s.Faces {
		for i := range f {
			f[i] = int32(order[f[i]])
		}
		for range rng.IntN(3) {
			f[0], f[1], f[2] = f[1], f[2], f[0]
		}
		if rng.IntN(2) == 0 {
			f[1], f[2] = f[2], f[1]
		}
		out.Faces = append(out.Faces, f)
	}
	rng.Shuffle(len(out.Faces), func(i, j int) { out.Faces[i], out.Faces[j] = out.Faces[j], out.Faces[i] })
	return out
}

func TestAnyMeshComesBack(t *testing.T) {
	rng := rand.New(rand.NewPCG(31, 7))
	for trial := range 120 {
		n := 3 + rng.IntN(60)
		source := anyMesh(t, rng, n, rng.IntN(20*n), []float64{1, 0.9, 0.3}[trial%3])
		if len(source.Faces) == 0 {
			continue
		}
		s := buildSources(t, tin.Options{}, source)
		require.Equal(t, placedFaces(source), placedTriangles(s))
		assert.InDelta(t, areaOf(source), s.Stats().Area, 1e-9*areaOf(source))
		again := buildSources(t, tin.Options{}, shuffled(rng, source))
		require.Equal(t, bits(s), bits(again))

		// In two files, and in feet.
		half := len(source.Faces) / 2
		a, b := source, source
		a.Faces, b.Faces = source.Faces[:half], source.Faces[half:]
		if half > 0 {
			require.Equal(t, bits(s), bits(buildSources(t, tin.Options{}, b, a)))
		}
		feet, err := tin.Build(context.Background(), []tin.Source{source}, tin.Options{Unit: tin.Foot})
		require.NoError(t, err)
		assert.InDelta(t, areaOf(source)*0.3048*0.3048, feet.Stats().Area, 1e-9*areaOf(source))
	}
}

func areaOf(s tin.Source) (sum float64) {
	for _, f := range s.Faces {
		p, q, r := s.Points[f[0]], s.Points[f[1]], s.Points[f[2]]
		sum += math.Abs((q.E-p.E)*(r.N-p.N)-(q.N-p.N)*(r.E-p.E)) / 2
	}
	return sum
}

// A face that does not fit is refused, wherever it lies: against a brute search for
// triangles that share an area.
func FuzzFaces(f *testing.F) {
	f.Add([]byte{0, 0, 9, 0, 9, 9, 0, 9, 4, 4}, []byte{0, 1, 4, 1, 2, 4, 2, 3, 4, 3, 0, 4})
	f.Add([]byte{0, 0, 9, 0, 9, 9, 0, 9, 4, 4}, []byte{0, 1, 2, 0, 2, 3})
	f.Add([]byte{0, 0, 8, 0, 8, 8, 0, 8, 4, 4}, []byte{0, 1, 3, 1, 2, 3, 1, 2, 3})
	f.Add([]byte{0, 0, 8, 0, 8, 8, 0, 8, 4, 0}, []byte{0, 4, 3, 4, 1, 2, 0, 1, 4})
	f.Fuzz(func(t *testing.T, places, corners []byte) {
		var source tin.Source
		for i := 0; i+1 < len(places) && i < 60; i += 2 {
			source.Points = append(source.Points, spot(float64(places[i]%16), float64(places[i+1]%16), 1, 0))
		}
		for i := 0; i+2 < len(corners) && i < 90; i += 3 {
			source.Faces = append(source.Faces, [3]int32{int32(corners[i]), int32(corners[i+1]), int32(corners[i+2])})
		}
		s, err := tin.Build(t.Context(), []tin.Source{source}, tin.Options{})
		if len(source.Faces) == 0 {
			return
		}
		want := faultOf(source)
		if err != nil {
			e := asInputError(t, err)
			require.NotEqual(t, "", want, "%v: %v", e.Code, err)
			return
		}
		require.Equal(t, "", want)
		require.NoError(t, tintest.Check(s))
		whole := make(map[placed]bool)
		for p := range placedFaces(anticlockwise(source)) {
			whole[p] = true
		}
		got := placedTriangles(s)
		require.Len(t, got, len(whole))
		for p := range whole {
			require.Equal(t, 1, got[p])
		}
	})
}

func anticlockwise(s tin.Source) tin.Source {
	s.Faces = slices.Clone(s.Faces)
	for i, f := range s.Faces {
		if !turnsLeft(s, f[0], f[1], f[2]) {
			s.Faces[i] = [3]int32{f[0], f[2], f[1]}
		}
	}
	return s
}

// faultOf says what is wrong with faces over whole places, "" for nothing.
func faultOf(s tin.Source) string {
	for i, f := range s.Faces {
		for _, p := range f {
			if int(p) >= len(s.Points) {
				return fmt.Sprintf("face %d: point %d", i, p)
			}
		}
	}
	for i, f := range s.Faces {
		if !turnsLeft(s, f[0], f[1], f[2]) && !turnsLeft(s, f[0], f[2], f[1]) {
			return fmt.Sprintf("face %d is flat", i)
		}
	}
	s = anticlockwise(s)
	at := func(i int32) [2]float64 { return [2]float64{s.Points[i].E, s.Points[i].N} }
	key := func(f [3]int32) placed {
		var p placed
		for k, v := range f {
			p[k] = [3]float64{at(v)[0], at(v)[1]}
		}
		return p.least()
	}
	for i, f := range s.Faces {
		for j, g := range s.Faces {
			if i == j || key(f) == key(g) {
				continue
			}
			if !apart(s, f, g) && !apart(s, g, f) {
				return fmt.Sprintf("faces %d and %d overlap", i, j)
			}
			for k := range f {
				for _, v := range g {
					if between(at(f[k]), at(f[(k+1)%3]), at(v)) {
						return fmt.Sprintf("face %d has a corner of %d on its side", i, j)
					}
				}
			}
		}
	}
	return ""
}

// apart reports whether one of f's sides has all of g on its outer side or on it.
func apart(s tin.Source, f, g [3]int32) bool {
	for k := range f {
		if !slices.ContainsFunc(g[:], func(v int32) bool { return turnsLeft(s, f[k], f[(k+1)%3], v) }) {
			return true
		}
	}
	return false
}

// between reports whether c lies on the side from a to b, ends left out.
func between(a, b, c [2]float64) bool {
	along := (b[0]-a[0])*(c[0]-a[0]) + (b[1]-a[1])*(c[1]-a[1])
	return (b[0]-a[0])*(c[1]-a[1]) == (b[1]-a[1])*(c[0]-a[0]) && along > 0 &&
		along < (b[0]-a[0])*(b[0]-a[0])+(b[1]-a[1])*(b[1]-a[1])
}

// A hole in the faces is as a void over the same place.
func TestHolesInFacesAreAsVoids(t *testing.T) {
	rng := rand.New(rand.NewPCG(12, 1))
	for range 30 {
		all := anyMesh(t, rng, 60, 400, 1)
		holed, voids := all, orb.MultiPolygon{}
		holed.Faces = nil
		for _, f := range all.Faces {
			if rng.Float64() < 0.8 {
				holed.Faces = append(holed.Faces, f)
				continue
			}
			var ring orb.Ring
			for _, v := range f {
				ring = append(ring, orb.Point{all.Points[v].E, all.Points[v].N})
			}
			voids = append(voids, orb.Polygon{ring})
		}
		a, b := buildSources(t, tin.Options{}, holed), buildSources(t, tin.Options{Voids: voids}, all)
		assert.InEpsilon(t, b.Stats().Area, a.Stats().Area, 1e-9)
		for range 20 {
			line := orb.LineString{{720 * rng.Float64(), 720 * rng.Float64()}, {720 * rng.Float64(), 720 * rng.Float64()}}
			assert.InDelta(t, onGround(t, b, line), onGround(t, a, line), 1e-6)
		}
		ca, err := a.Contours(t.Context(), []float64{2, 4.5}, a.Bound())
		require.NoError(t, err)
		cb, err := b.Contours(t.Context(), []float64{2, 4.5}, b.Bound())
		require.NoError(t, err)
		assert.InDelta(t, contourLength(cb), contourLength(ca), 1e-6)
	}
}

// onGround returns the integral of the level along a line, where there is ground.
func onGround(t testing.TB, s *tin.Surface, line orb.LineString) (sum float64) {
	t.Helper()
	stations, err := s.Profile(line)
	require.NoError(t, err)
	for i := 1; i < len(stations); i++ {
		if a, b := stations[i-1], stations[i]; a.Ground {
			sum += (b.Chainage - a.Chainage) * (a.Level + b.Level) / 2
		}
	}
	return sum
}

func contourLength(lines []tin.Contour) (sum float64) {
	for _, l := range lines {
		for i := 1; i < len(l.Line); i++ {
			sum += math.Hypot(l.Line[i][0]-l.Line[i-1][0], l.Line[i][1]-l.Line[i-1][1])
		}
	}
	return sum
}
