package tin

import (
	"fmt"
	"path"
	"slices"

	"github.com/paulmach/orb"

	"barrow/tin/internal/mesh"
)

// faces are the triangles that sources give, on their way into the mesh. As given they
// are numbered through all sources; in the order of their vertices, what is near in plan
// is near in memory.
type faces struct {
	from    []faceRun
	corner  [][3]int32 // inputs, as given; once there is a mesh its vertices, in their order
	number  []int32    // of each face in that order, its number as given
	covered []bool     // of each triangle of the mesh, whether it is a face
	vertex  []bool     // of each vertex, whether it is one of a face
}

// faceRun says which source gave the faces from a number on.
type faceRun struct {
	start int
	block int // of the source's points
}

func (f *faces) any() bool { return len(f.corner) > 0 }

// run returns the run that holds a face by its number as given.
func (f *faces) run(number int32) faceRun {
	k, found := slices.BinarySearchFunc(f.from, int(number), func(r faceRun, i int) int { return r.start - i })
	if !found {
		k--
	}
	return f.from[k]
}

// gatherFaces lists the faces by their inputs and marks the points of none.
func (b *builder) gatherFaces() error {
	for k := range b.blocks {
		bl := &b.blocks[k]
		given := b.sources[bl.source].Faces
		if bl.line >= 0 || len(given) == 0 {
			continue
		}
		start := len(b.faces.corner)
		b.faces.from = append(b.faces.from, faceRun{start, k})
		b.faces.corner = slices.Grow(b.faces.corner, len(given))
		bl.unused = make([]bool, len(bl.points))
		for i := range bl.unused {
			bl.unused[i] = true
		}
		for i, f := range given {
			var corner [3]int32
			for c, p := range f {
				if p < 0 || int(p) >= len(bl.points) {
					return b.faceError("face_point", int32(start+i), nil, "number the points from 0",
						"names point %d of %d", p, len(bl.points))
				}
				bl.unused[p] = false
				corner[c] = int32(bl.start) + p
			}
			b.faces.corner = append(b.faces.corner, corner)
		}
		if err := b.checkFaceLevels(bl, given, start); err != nil {
			return err
		}
	}
	return nil
}

// checkFaceLevels refuses a face with a point in plan only.
func (b *builder) checkFaceLevels(bl *block, given [][3]int32, start int) error {
	bare := func(p int32) bool { return !bl.unused[p] && !bl.points[p].HasLevel() }
	if !slices.ContainsFunc(bl.points, func(p Point) bool { return !p.HasLevel() }) {
		return nil
	}
	for i, f := range given {
		if c := slices.IndexFunc(f[:], bare); c >= 0 {
			p := &bl.points[f[c]]
			err := b.faceError("face_no_level", int32(start+i), nil, "give it a level, or take the face out",
				"has %s, which has no level", pointName(p, false))
			err.Line = int(p.Line)
			return err
		}
	}
	return nil
}

func (b *builder) noteUnused() {
	n, first := 0, int32(0)
	for _, r := range b.faces.from {
		bl := &b.blocks[r.block]
		for i, unused := range bl.unused {
			if !unused {
				continue
			}
			if n == 0 {
				first = int32(bl.start + i)
			}
			n++
		}
	}
	if n > 0 {
		b.note("face_points_unused", first, "%s of no face left out, the first %s", count(n, "point"), b.describe(first))
	}
}

// settleFaces turns the faces' inputs into vertices, from the least on, and puts them in
// the order of their least vertex: a counting sort. vertex holds that of each place.
func (b *builder) settleFaces(vertex []int32) {
	if !b.faces.any() {
		return
	}
	f := &b.faces
	of := make([]int32, len(b.at)) // the vertex of each input
	for j, place := range b.at {
		of[j] = vertex[place]
	}
	given := f.corner
	f.vertex = make([]bool, len(vertex))
	begin := make([]int32, len(vertex)+1)
	for i := range given {
		c := &given[i]
		*c = leastFirst([3]int32{of[c[0]], of[c[1]], of[c[2]]})
		f.vertex[c[0]], f.vertex[c[1]], f.vertex[c[2]] = true, true, true
		begin[c[0]+1]++
	}
	for v := range vertex {
		begin[v+1] += begin[v]
	}
	f.corner, f.number = make([][3]int32, len(given)), make([]int32, len(given))
	for i, c := range given {
		k := begin[c[0]]
		begin[c[0]]++
		f.corner[k], f.number[k] = c, int32(i)
	}
}

func leastFirst(c [3]int32) [3]int32 {
	switch {
	case c[1] < c[0] && c[1] < c[2]:
		return [3]int32{c[1], c[2], c[0]}
	case c[2] < c[0] && c[2] < c[1]:
		return [3]int32{c[2], c[0], c[1]}
	}
	return c
}

// turnFaces makes every face turn anticlockwise.
func (b *builder) turnFaces() error {
	for i := range b.faces.corner {
		c := &b.faces.corner[i]
		switch turn := b.mesh.Orient(c[0], c[1], c[2]); {
		case c[0] == c[1] || c[1] == c[2] || c[2] == c[0]:
			return b.faceError("face_repeats_point", b.faces.number[i], b.placeOf(c[0]), "take the face out", "has one place for two of its corners")
		case turn == 0:
			return b.faceError("face_flat", b.faces.number[i], b.placeOf(c[0]), "take the face out, or use the points without the faces",
				"has its corners in one line")
		case turn < 0:
			c[1], c[2] = c[2], c[1]
		}
	}
	return nil
}

// forceFaces makes the sides of the faces edges of the mesh. Those that are triangles
// of it already, nearly all of most surfaces, stay without a search.
func (b *builder) forceFaces() error {
	if !b.faces.any() {
		return nil
	}
	if err := b.turnFaces(); err != nil {
		return err
	}
	var left []int32
	for i, t := range b.mesh.Match(b.faces.corner) {
		if t < 0 {
			left = append(left, int32(i))
			continue
		}
		b.mesh.ForceFace(t)
	}
	for n, i := range left {
		if err := b.ended(n); err != nil {
			return err
		}
		c := b.faces.corner[i]
		for k, v := range c {
			through, crossed := b.mesh.Force(v, c[(k+1)%3], mesh.FaceEdge)
			switch {
			case crossed != nil:
				return b.sidesCross(i, [2]int32{v, c[(k+1)%3]}, *crossed)
			case len(through) > 0:
				return b.onSide(i, through[0])
			}
		}
	}
	if len(left) > 0 {
		b.mesh.Settle()
		b.hull = b.mesh.Border()
	}
	return nil
}

// coverFaces finds the triangle that each face is. Its sides are edges by now, so it is
// one unless a vertex lies inside; and triangles of the mesh share no area, so that two
// faces that do are the same or one of them is no triangle.
func (b *builder) coverFaces() error {
	if !b.faces.any() {
		return nil
	}
	b.faces.covered = make([]bool, b.mesh.Triangles())
	repeats, first := 0, int32(0)
	for i, t := range b.mesh.Match(b.faces.corner) {
		switch {
		case t < 0:
			return b.inFace(int32(i))
		case b.faces.covered[t]:
			if repeats == 0 {
				first = int32(i)
			}
			repeats++
		}
		b.faces.covered[t] = true
	}
	if repeats > 0 {
		b.notes = append(b.notes, Problem{
			Code: "face_repeated", At: b.placeOf(b.faces.corner[first][0]),
			Message: fmt.Sprintf("%s given again and counted once, the first %s", count(repeats, "face"), b.faceName(b.faces.number[first], -1)),
		})
	}
	return nil
}

// beyondFaces marks the triangles that are no ground because sources gave faces: those
// that are no face and reach no vertex but of faces. It returns nil if there are none.
func (b *builder) beyondFaces() []bool {
	if !b.faces.any() {
		return nil
	}
	beyond := make([]bool, len(b.faces.covered))
	none, joined := true, 0
	for t, face := range b.faces.covered {
		v := b.mesh.V[3*t : 3*t+3]
		switch reaches := !b.faces.vertex[v[0]] || !b.faces.vertex[v[1]] || !b.faces.vertex[v[2]]; {
		case face:
		case reaches:
			joined++
		default:
			beyond[t], none = true, false
		}
	}
	if joined > 0 {
		b.notes = append(b.notes, Problem{Code: "faces_joined", Message: fmt.Sprintf(
			"%s of ground join spots and breaklines beyond the faces with them and one another", count(joined, "triangle"))})
	}
	if none {
		return nil
	}
	return beyond
}

// placeOf returns the place of a vertex in metres.
func (b *builder) placeOf(v int32) *orb.Point {
	at := b.frame.Metres(b.mesh.P[v].X, b.mesh.P[v].Y)
	return &at
}

// faceName names a face, numbered as given, by its number in its source, from 1, and its
// file, if it is of another source than the one given.
func (b *builder) faceName(number int32, source int) string {
	r := b.faces.run(number)
	name := fmt.Sprintf("face %d", int(number)-r.start+1)
	of := b.blocks[r.block].source
	if file := b.sources[of].Name; of != source && file != "" {
		return fmt.Sprintf("%s (%s)", name, path.Base(file))
	}
	return name
}

// faceError is an error about a face, numbered as given, which its message goes on from.
func (b *builder) faceError(code string, number int32, at *orb.Point, hint, format string, args ...any) *InputError {
	source := b.sourceOf(number)
	message := b.faceName(number, source)
	if at != nil {
		message += " at " + b.whereabouts(*at)
	}
	return &InputError{
		Code: code, File: b.sources[source].Name, At: at, Hint: hint,
		Message: message + " " + fmt.Sprintf(format, args...),
	}
}
