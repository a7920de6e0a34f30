package tin

import (
	"fmt"

	"github.com/paulmach/orb"

	"barrow/tin/internal/mesh"
)

// What follows finds the words for faces that cannot stand beside what else is given.
// It searches all faces or vertices: there is one error a build.

const (
	useThePoints = "use the points without the faces, or keep the two apart"
	mendTheFaces = "mend the faces, or use the points without them"
)

// sidesCross says that a face's side crosses an edge of another.
func (b *builder) sidesCross(face int32, side, edge [2]int32) error {
	number := b.faces.number[face]
	other, _ := b.faceWith(edge[0], edge[1])
	at := b.crossingOf(side, edge)
	return b.faceError("faces_overlap", number, at, mendTheFaces,
		"overlaps %s: their sides cross", b.faceName(other, b.sourceOf(number)))
}

// onSide says that a vertex lies on a face's side.
func (b *builder) onSide(face, v int32) error {
	number, at := b.faces.number[face], b.placeOf(v)
	of := b.sourceOf(number)
	other, ok := b.faceWith(v, v)
	if !ok {
		return b.faceError("faces_overlap", number, at, useThePoints, "has %s on its side", b.vertexName(v, of))
	}
	return b.faceError("face_side", number, at, mendTheFaces, "has a corner of %s on its side: faces meet corner to corner",
		b.faceName(other, of))
}

// inFace says which vertex lies in a face.
func (b *builder) inFace(face int32) error {
	number, c := b.faces.number[face], b.faces.corner[face]
	for v := range int32(len(b.level)) {
		if b.mesh.Orient(c[0], c[1], v) <= 0 || b.mesh.Orient(c[1], c[2], v) <= 0 || b.mesh.Orient(c[2], c[0], v) <= 0 {
			continue
		}
		at, of := b.placeOf(v), b.sourceOf(number)
		other, ok := b.faceWith(v, v)
		if !ok {
			return b.faceError("faces_overlap", number, at, useThePoints, "holds %s", b.vertexName(v, of))
		}
		return b.faceError("faces_overlap", number, at, mendTheFaces, "overlaps %s, whose corner lies in it", b.faceName(other, of))
	}
	return fmt.Errorf("tin: %s is no triangle of the mesh", b.faceName(number, -1)) // not reached
}

// lineAcross says that a breakline crosses an edge, the side of a face.
func (b *builder) lineAcross(s segment, number int32, edge [2]int32) error {
	p, bl := b.input(b.chains[s.line].from)
	return b.faceError("faces_overlap", number, b.crossingOf([2]int32{s.a, s.b}, edge), useThePoints,
		"is crossed by %s", b.describeIn(p, bl, b.sourceOf(number)))
}

// crossingOf returns where two lines between vertices cross, in metres.
func (b *builder) crossingOf(p, q [2]int32) *orb.Point {
	c := mesh.Cross(b.mesh.P, mesh.Segment{A: p[0], B: p[1]}, mesh.Segment{A: q[0], B: q[1]}, false)
	at := b.frame.Metres(c.X, c.Y)
	return &at
}

// faceWith returns the number as given of the first face that has two vertices among its
// corners.
func (b *builder) faceWith(v, w int32) (number int32, ok bool) {
	has := func(c *[3]int32, u int32) bool { return c[0] == u || c[1] == u || c[2] == u }
	for i := range b.faces.corner {
		if c := &b.faces.corner[i]; has(c, v) && has(c, w) {
			return b.faces.number[i], true
		}
	}
	return 0, false
}

// sourceOf returns the source of a face numbered as given.
func (b *builder) sourceOf(number int32) int { return b.blocks[b.faces.run(number).block].source }

// vertexName names what was given at a vertex.
func (b *builder) vertexName(v int32, source int) string {
	if b.first[v] < 0 {
		return "a crossing of breaklines"
	}
	p, bl := b.input(b.first[v])
	return b.describeIn(p, bl, source)
}
