package volume

import "barrow/tin"

// Faces measures parts of the works that are all cut or all fill: the prisms between
// the ground and plane faces. ZeroLine and UncoveredArea stay empty. Pieces are added
// in the order given.
func Faces(frame tin.Frame, pieces []tin.FacePiece) CutFill {
	m := meter{frame: frame}
	for i := range pieces {
		p := &pieces[i]
		m.corners = m.corners[:0]
		for _, c := range p.Corner {
			m.corners = append(m.corners, corner{c.X, c.Y, c.Ground - c.Face})
		}
		area, six := integrate(m.corners)
		if !(area > 0) {
			continue
		}
		m.deepest()
		m.net.Add(six)
		if six >= 0 {
			m.cutArea.Add(area)
			m.cut.Add(six)
		} else {
			m.fillArea.Add(area)
			m.fill.Add(-six)
			m.topsoil = p.Topsoil
			m.makeUp(m.corners)
		}
	}
	return m.result()
}
