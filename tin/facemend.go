package tin

import (
	"errors"

	"barrow/tin/internal/mesh"
	"barrow/tin/internal/robust"
)

// faceMender makes faces fit for [Build] again after the rounding of their corners: what
// was thinner than that may have become flat, or turned over.
type faceMender struct {
	points []Point
	faces  [][3]int32
	gone   []bool           // faces left out
	side   map[[2]int32]int // the face on the left of each side
	bad    []int
}

// mend returns a source whose faces all turn anticlockwise: places that fell on one become
// one, and a flat triangle gives way to the one beyond its longest side, which is led
// through its third corner.
func (s Source) mend() (Source, error) {
	m := faceMender{points: s.Points, faces: s.Faces, gone: make([]bool, len(s.Faces))}
	m.weld()
	for i := range m.faces {
		if !m.gone[i] && !m.turnsLeft(i) {
			m.bad = append(m.bad, i)
		}
	}
	if len(m.bad) > 0 {
		if err := m.flipAll(); err != nil {
			return Source{}, err
		}
	}
	return m.source(s.Name), nil
}

// weld makes places that are the same one point, the first.
func (m *faceMender) weld() {
	table := newPlaceTable(len(m.points))
	first := make([]int32, 0, len(m.points)) // the point that each place is
	to := make([]int32, len(m.points))
	for i, p := range m.points {
		place, added := table.add(p.E, p.N)
		if added {
			first = append(first, int32(i))
		}
		to[i] = first[place]
	}
	if len(first) == len(m.points) {
		return
	}
	for i, f := range m.faces {
		f = [3]int32{to[f[0]], to[f[1]], to[f[2]]}
		m.faces[i] = f
		m.gone[i] = f[0] == f[1] || f[1] == f[2] || f[2] == f[0]
	}
}

func (m *faceMender) turnsLeft(i int) bool {
	a, b, c := m.at(m.faces[i][0]), m.at(m.faces[i][1]), m.at(m.faces[i][2])
	return robust.Orient(a.X, a.Y, b.X, b.Y, c.X, c.Y) > 0
}

func (m *faceMender) at(v int32) mesh.XY { return mesh.XY{X: m.points[v].E, Y: m.points[v].N} }

// flipAll flips the longest sides of faces that do not turn left until all do.
func (m *faceMender) flipAll() error {
	m.side = make(map[[2]int32]int, 3*len(m.faces))
	for i := range m.faces {
		m.link(i)
	}
	// Each flip takes away a sliver, and seldom makes another.
	for left := 1000 + 100*len(m.bad); len(m.bad) > 0; left-- {
		if left == 0 {
			return errors.New("tin: faces thinner than the rounding of coordinates cannot be mended")
		}
		i := m.bad[len(m.bad)-1]
		m.bad = m.bad[:len(m.bad)-1]
		if !m.gone[i] && !m.turnsLeft(i) {
			m.flip(i)
		}
	}
	return nil
}

func (m *faceMender) link(i int) {
	if m.gone[i] {
		return
	}
	f := m.faces[i]
	for k, v := range f {
		m.side[[2]int32{v, f[(k+1)%3]}] = i
	}
}

// flip turns the longest side of a face, the diagonal of it and its neighbour; without a
// neighbour the face is left out.
func (m *faceMender) flip(i int) {
	f := m.faces[i]
	longest, most := 0, -1.0
	for k, v := range f {
		if d := squared(m.at(v), m.at(f[(k+1)%3])); d > most {
			longest, most = k, d
		}
	}
	u, v, p := f[longest], f[(longest+1)%3], f[(longest+2)%3]
	j, ok := m.side[[2]int32{v, u}]
	delete(m.side, [2]int32{u, v})
	if !ok {
		m.gone[i] = true
		delete(m.side, [2]int32{v, p})
		delete(m.side, [2]int32{p, u})
		return
	}
	delete(m.side, [2]int32{v, u})
	q := m.faces[j][0] + m.faces[j][1] + m.faces[j][2] - u - v
	m.faces[i], m.faces[j] = [3]int32{u, q, p}, [3]int32{q, v, p}
	m.link(i)
	m.link(j)
	m.bad = append(m.bad, i, j)
}

// source returns the faces that are left over the points they use.
func (m *faceMender) source(name string) Source {
	used := make([]int32, len(m.points))
	out := Source{Name: name, Points: m.points[:0:0]}
	for i, f := range m.faces {
		if !m.gone[i] {
			used[f[0]], used[f[1]], used[f[2]] = 1, 1, 1
		}
	}
	for v, is := range used {
		if is > 0 {
			used[v] = int32(len(out.Points))
			out.Points = append(out.Points, m.points[v])
		}
	}
	out.Faces = m.faces[:0:0]
	for i, f := range m.faces {
		if !m.gone[i] {
			out.Faces = append(out.Faces, [3]int32{used[f[0]], used[f[1]], used[f[2]]})
		}
	}
	return out
}
