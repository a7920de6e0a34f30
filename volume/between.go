package volume

import (
	"cmp"
	"context"
	"maps"
	"slices"

	"github.com/paulmach/orb"

	"barrow/tin"
)

// Between measures ground against a formation that is a surface of its own,
// within a polygon in metres or, where that is empty, wherever the ground is.
// UncoveredArea is the part of it where either has none.
//
// It is the general road: on planar formations it agrees with [AgainstPlane],
// by other code from the pieces on.
func Between(ctx context.Context, ground, formation *tin.Surface, within orb.Polygon) (CutFill, error) {
	o, err := tin.NewOverlay(ground, formation, within)
	if err != nil {
		return CutFill{}, err
	}
	parts := make([]meter, o.Parts())
	err = o.Visit(ctx, func(part int, p *tin.CommonPiece) {
		m := &parts[part]
		m.corners = m.corners[:0]
		for i := range p.Corner {
			c := &p.Corner[i]
			m.corners = append(m.corners, corner{c.X, c.Y, c.A - c.B})
		}
		m.addLevelled()
	}, func(part int, area float64) {
		parts[part].uncovered.Add(area)
	})
	if err != nil {
		return CutFill{}, err
	}
	total := meter{frame: o.Frame()}
	total.uncovered.Add(o.Beyond())
	for i := range parts {
		total.join(&parts[i])
	}
	return total.result(), nil
}

// addLevelled adds the piece over the corners, unless its area is rounded to
// nothing or less. Where surfaces lie on one another the signs of its depths may
// be nothing but rounding, and no one line parts cut from fill: then it goes by
// triangles, on which depth is linear.
func (m *meter) addLevelled() {
	if !m.folded() {
		if area, six := integrate(m.corners); area > 0 {
			m.add(area, six)
		}
		return
	}
	p := slices.Clone(m.corners)
	for i := 2; i < len(p); i++ {
		m.corners = append(m.corners[:0], p[0], p[i-1], p[i])
		if area, six := integrate(m.corners); area > 0 {
			m.add(area, six)
		}
	}
}

// folded reports whether the depth is zero at other than two places round a piece
// of cut and fill.
func (m *meter) folded() bool {
	above, below, zeros := false, false, 0
	last := m.corners[len(m.corners)-1].depth
	for i := range m.corners {
		d := m.corners[i].depth
		above, below = above || d > 0, below || d < 0
		if d == 0 || (last < 0 && d > 0) || (last > 0 && d < 0) {
			zeros++
		}
		last = d
	}
	return above && below && zeros != 2
}

// join adds what another meter has added up.
func (m *meter) join(n *meter) {
	m.cut.Add(n.cut.Value())
	m.fill.Add(n.fill.Value())
	m.net.Add(n.net.Value())
	m.cutArea.Add(n.cutArea.Value())
	m.fillArea.Add(n.fillArea.Value())
	m.levelArea.Add(n.levelArea.Value())
	m.uncovered.Add(n.uncovered.Value())
	m.corners = append(m.corners[:0], n.maxCut, n.maxFill)
	m.deepest()
	m.zero.pieces = append(m.zero.pieces, n.zero.pieces...)
	// Edges of zero depth whose two sides lie in different parts.
	for _, edge := range slices.SortedFunc(maps.Keys(n.zero.seen), func(a, b [4]float64) int {
		return cmp.Or(cmp.Compare(a[0], b[0]), cmp.Compare(a[1], b[1]), cmp.Compare(a[2], b[2]), cmp.Compare(a[3], b[3]))
	}) {
		if beside := n.zero.seen[edge]; beside == 3 { // its part has it
			m.zero.see(edge, 0)
			m.zero.seen[edge] = 3
		} else {
			m.zero.see(edge, beside)
		}
	}
}
