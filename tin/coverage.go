package tin

import (
	"context"
	"math"

	"github.com/paulmach/orb"
)

// Coverage says how closely the vertices of a surface cover some cells.
type Coverage struct {
	// Gap is the greatest distance in plan, in metres, from a place of the cells
	// to the vertex nearest to it, 0 without cells. Every vertex counts, those
	// outside boundary, voids and MaxEdge too, and so does every place of a cell,
	// beyond the hull too. It is off by less than 1e-10 of itself, and by
	// rounding.
	Gap float64
	// ThinArea is the plan area, square metres, of the ground in the cells whose
	// triangle has a side over a given length, and ThinAt a place of it.
	ThinArea float64
	ThinAt   orb.Point
}

// Coverage looks at cells of the surface; long is the length of side, in
// metres, over which a triangle is thin ground. If ctx ends its error is
// returned.
func (s *Surface) Coverage(ctx context.Context, cells []Cell, long float64) (Coverage, error) {
	var c Coverage
	var thin Sum
	limit := long / s.frame.Length()
	n := 0
	for i, p := range s.Pieces(cells) {
		if n++; n%4096 == 0 && ctx.Err() != nil {
			return c, ctx.Err()
		}
		a, b, d := s.corners(int32(p.Triangle))
		if max(squared(a, b), squared(b, d), squared(d, a)) <= limit*limit || !p.Ground || !cells[i].Ground {
			continue
		}
		if thin.Value() == 0 {
			c.ThinAt = s.frame.Metres(p.Corner[0].X, p.Corner[0].Y)
		}
		thin.Add(p.Area() * s.frame.Area())
	}
	c.ThinArea = thin.Value()
	gap := s.gap(ctx, cells)
	c.Gap = math.Sqrt(gap/(s.frame.per*s.frame.per)) * s.frame.unit
	return c, ctx.Err()
}
