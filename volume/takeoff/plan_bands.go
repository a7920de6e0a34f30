package takeoff

import (
	"math"
	"slices"

	"github.com/paulmach/orb"

	"barrow/volume"
)

// planBands splits the works by depth, at multiples of one round step for cut and fill.
func (r *run) planBands(p *PlanResult) error {
	var cut, fill float64 // the greatest depths, in the job's unit
	for i := range r.measured {
		all := r.measured[i].all()
		cut, fill = max(cut, all.MaxCut.Depth/r.unit), max(fill, all.MaxFill.Depth/r.unit)
	}
	p.Step = roundUp(max(cut, fill)/planBands, 1, 2, 2.5, 5)
	// The outermost bands have no limit, so that nothing is lost.
	from, to := -steps(fill, p.Step), steps(cut, p.Step)
	var limits []float64
	for k := min(from+1, 0); k <= max(to-1, 0); k++ {
		limits = append(limits, multiple(k, p.Step)*r.unit)
	}
	split, err := volume.SplitDepths(r.ctx, r.allWorks(), limits)
	if err != nil {
		return err
	}
	first := min(from, -1)
	for i, b := range split.Bands {
		if len(b.Rings) > 0 {
			p.Bands = append(p.Bands, r.planBand(b, multiple(first+i, p.Step), multiple(first+i+1, p.Step)))
		}
	}
	slices.Reverse(p.Bands)
	p.Level = r.planBand(split.Level, 0, 0)
	return nil
}

// steps returns how many steps reach a depth.
func steps(depth, step float64) int { return int(math.Ceil(depth / step * (1 - 1e-12))) }

func (r *run) planBand(b volume.DepthBand, from, to float64) PlanBand {
	out := PlanBand{From: from, To: to, Area: b.Area / r.areaUnit()}
	for _, ring := range b.Rings {
		out.Rings = append(out.Rings, orb.Ring(scaleLineString(orb.LineString(ring), 1/r.unit)))
	}
	return out
}
