package volume

import (
	"context"
	"fmt"

	"github.com/paulmach/orb"

	"barrow/tin"
)

// AgainstPlane measures ground against one plane within an outline, whose
// sides stand upright. The outline is in metres; one that is not simple is a
// [*tin.InputError].
func AgainstPlane(ctx context.Context, ground *tin.Surface, plane tin.Plane, within orb.Polygon) (CutFill, error) {
	cells, err := ground.Partition([]orb.Polygon{within}, nil)
	if err != nil {
		return CutFill{}, err
	}
	facets := make([]tin.Facet, len(cells))
	for i, c := range cells {
		facets[i] = tin.Facet{Cell: c, Plane: plane}
	}
	return AgainstFacets(ctx, ground, facets)
}

// AgainstFacets measures ground against facets of a formation. They come out
// of one [tin.Surface.Partition] of the same ground and do not overlap. A plane
// that is not finite is a [*tin.InputError].
func AgainstFacets(ctx context.Context, ground *tin.Surface, facets []tin.Facet) (CutFill, error) {
	if err := ctx.Err(); err != nil {
		return CutFill{}, err
	}
	cells := make([]tin.Cell, 0, len(facets))
	planes := make([]localPlane, 0, len(facets))
	frame := ground.Frame()
	var m meter
	for i, f := range facets {
		if !f.Plane.IsFinite() {
			return CutFill{}, &tin.InputError{
				Code: "bad_plane", Message: fmt.Sprintf("the plane of facet %d has no finite level, place or gradient", i+1),
				Hint: "give finite numbers",
			}
		}
		if !f.Cell.Ground {
			m.uncovered.Add(f.Cell.Area)
			continue
		}
		cells = append(cells, f.Cell)
		planes = append(planes, newLocalPlane(frame, f.Plane, f.Topsoil))
	}
	m.frame = frame
	m.covered = make([]tin.Sum, len(cells))
	n := 0
	for i, p := range ground.Pieces(cells) {
		if n++; n%4096 == 0 && ctx.Err() != nil {
			return CutFill{}, ctx.Err()
		}
		m.piece(i, p, &planes[i])
	}
	for i := range cells {
		rest := cells[i].Area - m.covered[i].Value()/2*frame.Area()
		if rest > rounding*cells[i].Area || !ground.InHull(&cells[i]) {
			m.uncovered.Add(max(0, rest))
		}
	}
	return m.result(), nil
}

// rounding bounds the share of a cell's area that rounding can lose.
const rounding = 1e-9

// localPlane is a plane over local coordinates: level + gx*(x-ax) + gy*(y-ay).
// Its level is that of the formation and the topsoil above it that has gone.
type localPlane struct{ ax, ay, level, gx, gy, topsoil float64 }

func newLocalPlane(f tin.Frame, p tin.Plane, topsoil float64) localPlane {
	if p.IsLevel() {
		return localPlane{level: p.Level + topsoil, topsoil: topsoil}
	}
	x, y := f.Local(p.At)
	return localPlane{x, y, p.Level + topsoil, p.Gradient[0] * f.Length(), p.Gradient[1] * f.Length(), topsoil}
}

// depth returns the ground's level at a corner less the plane's.
func (p *localPlane) depth(c tin.PieceCorner) float64 {
	return (c.Level - p.level) - (float64(p.gx*(c.X-p.ax)) + float64(p.gy*(c.Y-p.ay)))
}
