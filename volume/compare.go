package volume

import (
	"cmp"
	"context"
	"slices"

	"github.com/paulmach/orb"

	"barrow/tin"
)

// Difference is what lies between two surfaces where both are.
type Difference struct {
	CutFill // from the first surface to the second: cut where the second is lower
	Spread  // of the level of the first less that of the second
}

// Compare measures what was cut and filled between two surfaces, before and
// after, within polygons in metres that do not overlap, or wherever both are if
// there are none. Depth is before less after. UncoveredArea is that of the
// polygons where either surface has no ground, and 0 without polygons. ZeroLine is
// empty: between two surveys of ground at rest it is a tangle of their errors.
//
// The two the other way round give cut for fill to the last bit, and the polygons
// may come in any order. A polygon that is no simple outline is a
// [*tin.InputError].
func Compare(ctx context.Context, before, after *tin.Surface, within orb.MultiPolygon) (Difference, error) {
	if order(before, after) <= 0 {
		return compare(ctx, before, after, within)
	}
	d, err := compare(ctx, after, before, within)
	return d.reversed(), err
}

// reversed is the difference of the two surfaces the other way round.
func (d Difference) reversed() Difference {
	d.Cut, d.Fill, d.CutLessFill = d.Fill, d.Cut, 0-d.CutLessFill
	d.CutArea, d.FillArea = d.FillArea, d.CutArea
	d.MaxCut, d.MaxFill = d.MaxFill, d.MaxCut
	d.Spread = d.Spread.reversed()
	return d
}

// part is what is added up of one part of an overlay.
type part struct {
	meter
	spread
}

func compare(ctx context.Context, a, b *tin.Surface, within orb.MultiPolygon) (Difference, error) {
	for _, p := range within { // one without rings would mean no polygon
		if err := tin.CheckOutline(p); err != nil {
			return Difference{}, err
		}
	}
	var total meter
	var spreads []*spread
	polygons := inOrder(within)
	if len(polygons) == 0 {
		polygons = []orb.Polygon{nil} // wherever both are
	}
	for _, p := range polygons {
		if err := ctx.Err(); err != nil {
			return Difference{}, err
		}
		o, err := tin.NewOverlay(a, b, p)
		if err != nil {
			return Difference{}, err
		}
		parts, err := visit(ctx, o)
		if err != nil {
			return Difference{}, err
		}
		total.frame = o.Frame()
		total.uncovered.Add(o.Beyond())
		for _, p := range parts {
			total.join(&p.meter)
			spreads = append(spreads, &p.spread)
		}
	}
	d := Difference{total.result(), spreadOf(spreads, total.frame.Area())}
	if len(within) == 0 {
		d.UncoveredArea = 0
	}
	return d, nil
}

// visit measures the parts of an overlay.
func visit(ctx context.Context, o *tin.Overlay) ([]*part, error) {
	parts := make([]*part, o.Parts()) // each on its own: they are written to side by side
	for i := range parts {
		parts[i] = new(part)
	}
	err := o.Visit(ctx, func(i int, p *tin.CommonPiece) {
		m := &parts[i].meter
		m.corners = m.corners[:0]
		for k := range p.Corner {
			c := &p.Corner[k]
			m.corners = append(m.corners, corner{c.X, c.Y, c.A - c.B})
		}
		area, six := integrate(m.corners)
		parts[i].spread.add(m.corners, area)
		m.add(area, six)
		m.zero = zeroLine{}
	}, func(i int, area float64) {
		parts[i].uncovered.Add(area)
	})
	return parts, err
}

// inOrder returns polygons in the order of their outer rings' corners, each ring's
// sorted: wherever a ring begins and whichever comes first.
func inOrder(polygons orb.MultiPolygon) []orb.Polygon {
	type keyed struct {
		polygon orb.Polygon
		corners []orb.Point
	}
	list := make([]keyed, len(polygons))
	for i, p := range polygons {
		list[i].polygon = p
		if len(p) > 0 {
			list[i].corners = slices.SortedFunc(slices.Values(p[0]), comparePoints)
		}
	}
	slices.SortStableFunc(list, func(p, q keyed) int { return slices.CompareFunc(p.corners, q.corners, comparePoints) })
	out := make([]orb.Polygon, len(list))
	for i, k := range list {
		out[i] = k.polygon
	}
	return out
}

func comparePoints(p, q orb.Point) int {
	return cmp.Or(cmp.Compare(p[0], q[0]), cmp.Compare(p[1], q[1]))
}
