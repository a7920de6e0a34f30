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
	// Each on its own: parts side by side must not share a line of the cache.
	parts := make([]*meter, o.Parts())
	for i := range parts {
		parts[i] = new(meter)
	}
	err = o.Visit(ctx, func(part int, p *tin.CommonPiece) {
		m := parts[part]
		m.corners = slices.Grow(m.corners[:0], len(p.Corner))[:len(p.Corner)]
		for i := range p.Corner {
			from, to := &p.Corner[i], &m.corners[i]
			to.x, to.y, to.depth = from.X, from.Y, from.A-from.B
		}
		m.add(integrate(m.corners))
	}, func(part int, area float64) {
		parts[part].uncovered.Add(area)
	})
	if err != nil {
		return CutFill{}, err
	}
	total := meter{frame: o.Frame()}
	total.uncovered.Add(o.Beyond())
	for i := range parts {
		total.join(parts[i])
	}
	return total.result(), nil
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
		m.zero.see(edge, n.zero.seen[edge])
	}
}
