package takeoff

import (
	"slices"

	"github.com/paulmach/orb"

	"barrow/volume"
)

// planBands splits the works by depth, at multiples of a round step for cut and of another
// for fill.
func (r *run) planBands(p *PlanResult) error {
	var cut, fill float64 // the greatest depths, in the job's unit
	for i := range r.measured {
		all := r.measured[i].all()
		cut, fill = max(cut, all.MaxCut.Depth/r.unit), max(fill, all.MaxFill.Depth/r.unit)
	}
	// Limits in the job's unit, upwards. The outermost bands go on without end, so that
	// nothing is lost.
	ends := []float64{0}
	if fill > 0 {
		p.FillStep = planStep(fill)
		for k := 1; k == 1 || multiple(k-1, p.FillStep) < fill; k++ {
			ends = append(ends, -multiple(k, p.FillStep))
		}
	}
	slices.Reverse(ends)
	if cut > 0 {
		p.CutStep = planStep(cut)
		for k := 1; k == 1 || multiple(k-1, p.CutStep) < cut; k++ {
			ends = append(ends, multiple(k, p.CutStep))
		}
	}
	return r.splitDepths(p, ends)
}

// planStep is the step of depth bands up to a depth, both in the job's unit.
func planStep(depth float64) float64 { return roundUp(max(depth/planBands, 1e-3), 1, 2, 2.5, 5) }

// splitDepths splits the works at the ends of bands, the outermost left out.
func (r *run) splitDepths(p *PlanResult, ends []float64) error {
	var limits []float64
	for i, end := range ends {
		if end == 0 || i > 0 && i < len(ends)-1 {
			limits = append(limits, end*r.unit)
		}
	}
	split, err := volume.SplitDepths(r.ctx, r.allWorks(), limits)
	if err != nil {
		return err
	}
	if ends[0] == 0 {
		split.Bands = split.Bands[1:] // there is no fill
	}
	for i := range len(ends) - 1 {
		if b := split.Bands[i]; len(b.Rings) > 0 {
			p.Bands = append(p.Bands, r.planBand(b, ends[i], ends[i+1]))
		}
	}
	slices.Reverse(p.Bands)
	p.Level = r.planBand(split.Level, 0, 0)
	return nil
}

func (r *run) planBand(b volume.DepthBand, from, to float64) PlanBand {
	out := PlanBand{From: from, To: to, Area: b.Area / r.areaUnit()}
	for _, ring := range b.Rings {
		out.Rings = append(out.Rings, orb.Ring(scaleLineString(orb.LineString(ring), 1/r.unit)))
	}
	return out
}
