package takeoff

import (
	"barrow/tin/formation"
	"barrow/volume"
)

// metric returns the thickening in metres on the grid.
func (t *Thickening) metric(unit, scale float64) formation.Thickening {
	out := formation.Thickening{
		Name: t.Name, Width: t.Width * unit * scale, Areas: scaleMultiPolygon(t.Areas, unit),
		Depth: t.Depth * unit, From: t.From, Slab: t.Slab, Along: t.Along * scale,
	}
	for _, line := range t.Lines {
		out.Lines = append(out.Lines, scaleLineString(line, unit))
	}
	if t.Underside != nil {
		level := *t.Underside * unit
		out.Underside = &level
	}
	for _, l := range t.Layers {
		out.Layers = append(out.Layers, formation.Layer{Name: l.Name, Thickness: l.Thickness * unit})
	}
	return out
}

// thicken lays out the thickenings of all pads.
func (r *run) thicken() error {
	thick, warnings, err := r.layout.Thickenings(r.ctx, r.ground, r.formationOptions())
	if err != nil {
		return err
	}
	r.thick = thick
	r.warnings = append(r.warnings, warnings...)
	return nil
}

// thickenings fills in the thickenings of a pad. Levels are reckoned in the job's unit,
// so that decimals stay decimals.
func (r *run) thickenings(p *PadResult, i int) {
	job := &r.job.Pads[i]
	own := job.metric(1, r.scale)
	for k := range job.Thickenings {
		t, laid := &job.Thickenings[k], &r.thick[i][k]
		dug, sides := volume.Faces(r.ground.Frame(), laid.Pieces), volume.Faces(r.ground.Frame(), laid.Batter)
		out := ThickeningResult{
			Name: t.Name, From: t.From, Depth: t.Depth, Length: laid.Length / r.lengthUnit(), Width: t.Width,
			Footprint: laid.Footprint / r.areaUnit(), Outside: laid.Outside / r.areaUnit(),
			Area: dug.CutArea / r.areaUnit(), Volume: (dug.Cut + sides.Cut) / r.volumeUnit(), Layers: []LayerAmount{},
			Along: t.Along, BatterVolume: sides.Cut / r.volumeUnit(), BatterArea: sides.CutArea / r.areaUnit(),
			BatterOutside: laid.BatterOutside / r.areaUnit(), Bound: laid.Bound / r.volumeUnit(),
		}
		if level := own.DigTo(own.Thickenings[k]); finite(level) {
			out.Level, out.AboveMarks = &level, r.above(level)
		}
		if below := own.Below(own.Thickenings[k]); finite(below) {
			out.Below = &below
		}
		out.Body = dug.Cut / r.volumeUnit()
		for _, l := range t.Layers {
			amount := LayerAmount{Name: l.Name, Thickness: l.Thickness, Area: out.Area, Volume: r.layerVolume(dug.CutArea, l.Thickness)}
			out.Body -= amount.Volume
			out.Layers = append(out.Layers, amount)
		}
		out.Body = max(0, out.Body)
		p.Thickenings = append(p.Thickenings, out)
		p.ThickeningVolume += out.Volume
	}
}
