package landxml

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"barrow/tin"
	"barrow/tin/internal/robust"
)

// faceMaker makes the triangles of a surface from its faces.
type faceMaker struct {
	*reader
	d       *definition
	surface string

	faces [][3]int32
	lines []int32 // of each face, for messages

	flat, repeated tally
	quads          int
	spread         tin.Sum // of volume between the two diagonals of all split faces
}

// triangles gives the visible faces as triangles that turn anticlockwise, in the
// order of the file.
func (r *reader) triangles(s *surface) (*faceMaker, error) {
	m := &faceMaker{reader: r, d: s.definition, surface: s.Name}
	m.faces = make([][3]int32, 0, len(m.d.faces))
	m.lines = make([]int32, 0, len(m.d.faces))
	for i, f := range m.d.faces {
		if err := m.stopped(i); err != nil {
			return nil, err
		}
		if err := m.face(f); err != nil {
			return nil, err
		}
	}
	return m, m.sort()
}

// face looks up the corners of a face, and splits it where it has four.
func (m *faceMaker) face(f face) error {
	var corner [4]int32
	n := 0
	for _, id := range f.id {
		if id == 0 {
			break
		}
		v, ok := m.d.ids.find(id)
		if !ok {
			return m.failAt(int(f.line), "missing_id", fmt.Sprintf("the surface %q has no point with the id %d, which a face names", short(m.surface), id), "add the point, or take the face out")
		}
		if !m.d.points[v].HasLevel() {
			return m.failAt(int(f.line), "face_without_level", fmt.Sprintf("the point with the id %d, in line %d, has no level, and a face names it", id, m.d.points[v].Line), "give it a level, or take the face out")
		}
		if n == 0 || corner[n-1] != v && (n < 3 || corner[0] != v) {
			corner[n] = v // a face of four with one named twice is one of three
			n++
		}
	}
	switch n {
	case 3:
		m.add(corner[0], corner[1], corner[2], f.line)
		return nil
	case 4:
		return m.split(corner[0], corner[1], corner[2], corner[3], f.line)
	}
	m.flat.add(int(f.line))
	return nil
}

// turn is positive where three points turn anticlockwise, exactly.
func (m *faceMaker) turn(a, b, c int32) int {
	p, q, r := &m.d.points[a], &m.d.points[b], &m.d.points[c]
	return robust.Orient(p.E, p.N, q.E, q.N, r.E, r.N)
}

// add adds a triangle, turned anticlockwise, unless it covers no ground.
func (m *faceMaker) add(a, b, c, line int32) {
	switch m.turn(a, b, c) {
	case 0:
		m.flat.add(int(line))
		return
	case -1:
		b, c = c, b
	}
	m.faces = append(m.faces, [3]int32{a, b, c})
	m.lines = append(m.lines, line)
}

// split cuts a face of four corners in two. Where both diagonals lie inside it,
// the one is taken that the greatest corner by (easting, northing) is not on, as
// [tin.Build] does with points on one circle.
func (m *faceMaker) split(a, b, c, d, line int32) error {
	abc, acd := m.turn(a, b, c), m.turn(a, c, d)
	abd, bcd := m.turn(a, b, d), m.turn(b, c, d)
	first, second := abc != 0 && abc == acd, abd != 0 && abd == bcd
	switch {
	case first && second:
		m.quads++
		m.spread.Add(m.between(a, b, c, d))
		greatest := slices.MaxFunc([]int32{a, b, c, d}, m.compare)
		first = greatest != a && greatest != c
	case first, second:
		m.quads++
	case abc == 0 && acd == 0 && abd == 0 && bcd == 0:
		m.flat.add(int(line))
		return nil
	default:
		return m.failAt(int(line), "crossed_face", fmt.Sprintf("the sides of a face of the surface %q cross", short(m.surface)), "put its corners in order round it")
	}
	if first {
		m.add(a, b, c, line)
		m.add(a, c, d, line)
	} else {
		m.add(a, b, d, line)
		m.add(b, c, d, line)
	}
	return nil
}

// compare is the order of (easting, northing).
func (m *faceMaker) compare(v, w int32) int {
	p, q := &m.d.points[v], &m.d.points[w]
	return cmp.Or(cmp.Compare(p.E, q.E), cmp.Compare(p.N, q.N))
}

// between gives the volume between the two ways to cut a face of four: that of the
// tetrahedron of its corners, a sixth of their determinant.
func (m *faceMaker) between(a, b, c, d int32) float64 {
	o := m.d.points[a]
	from := func(v int32) (x, y, z float64) {
		p := &m.d.points[v]
		return p.E - o.E, p.N - o.N, p.Level - o.Level
	}
	bx, by, bz := from(b)
	cx, cy, cz := from(c)
	dx, dy, dz := from(d)
	det := float64(bx*(float64(cy*dz)-float64(cz*dy))) + float64(by*(float64(cz*dx)-float64(cx*dz))) + float64(bz*(float64(cx*dy)-float64(cy*dx)))
	return math.Abs(det) / 6
}

// side is a side of a face, seen from the point it begins at.
type side struct{ to, face int32 }

// sort looks at the sides that begin at each point. Two faces on one side of an
// edge are the same face given twice, which is taken once, or fold over.
func (m *faceMaker) sort() error {
	start := make([]int32, len(m.d.points)+1)
	for _, f := range m.faces {
		for _, v := range f {
			start[v+1]++
		}
	}
	for v := range m.d.points {
		start[v+1] += start[v]
	}
	sides := make([]side, 3*len(m.faces))
	next := slices.Clone(start)
	for i, f := range m.faces {
		for k, v := range f {
			sides[next[v]] = side{f[(k+1)%3], int32(i)}
			next[v]++
		}
	}
	var drop []int32
	for v := range m.d.points {
		err := m.stopped(v)
		if err != nil {
			return err
		}
		if drop, err = m.sidesFrom(int32(v), sides[start[v]:start[v+1]], drop); err != nil {
			return err
		}
	}
	m.drop(drop)
	return nil
}

// sidesFrom appends the faces that are given again among those with a side from a
// point; each is found three times.
func (m *faceMaker) sidesFrom(v int32, sides []side, drop []int32) ([]int32, error) {
	slices.SortFunc(sides, func(a, b side) int { return cmp.Or(cmp.Compare(a.to, b.to), cmp.Compare(a.face, b.face)) })
	for i, first := 1, 0; i < len(sides); i++ {
		if sides[i].to != sides[first].to {
			first = i
			continue
		}
		f, g := sides[first].face, sides[i].face
		if m.apex(f, v) != m.apex(g, v) {
			at := m.d.points[v]
			return nil, m.failAt(int(m.lines[g]), "folded_faces", fmt.Sprintf("the surface %q folds over: this face and that in line %d lie on the same side of an edge at E %.3f N %.3f",
				short(m.surface), m.lines[f], at.E, at.N), "take one of them out, or read the points without the faces")
		}
		drop = append(drop, g)
	}
	return drop, nil
}

// apex gives the corner of a face before a corner: the one across the side that
// begins there.
func (m *faceMaker) apex(f, v int32) int32 {
	corner := m.faces[f]
	return corner[(slices.Index(corner[:], v)+2)%3]
}

// drop takes faces out that are given again.
func (m *faceMaker) drop(faces []int32) {
	if len(faces) == 0 {
		return
	}
	slices.Sort(faces)
	faces = slices.Compact(faces)
	kept := m.faces[:0]
	for i, f := range m.faces {
		if _, again := slices.BinarySearch(faces, int32(i)); again {
			m.repeated.add(int(m.lines[i]))
			continue
		}
		kept = append(kept, f)
	}
	m.faces = kept
}

// used gives the points that faces name, in the order of the file, with the faces
// renumbered, and counts the others.
func (m *faceMaker) used() (points []tin.Point, others tally) {
	named := make([]bool, len(m.d.points))
	for _, f := range m.faces {
		for _, v := range f {
			named[v] = true
		}
	}
	for v, is := range named {
		if !is {
			others.add(int(m.d.points[v].Line))
		}
	}
	if others.count == 0 {
		return m.d.points, others
	}
	index := make([]int32, len(m.d.points))
	for v, p := range m.d.points {
		if named[v] {
			index[v] = int32(len(points))
			points = append(points, p)
		}
	}
	for i, f := range m.faces {
		m.faces[i] = [3]int32{index[f[0]], index[f[1]], index[f[2]]}
	}
	return points, others
}
