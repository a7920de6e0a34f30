package takeoff

import (
	"fmt"

	"github.com/paulmach/orb"

	"barrow/tin"
	"barrow/tin/formation"
)

// findTopsoil says how deep topsoil is stripped, in metres on the grid. What was
// surveyed after the strip has nothing taken off.
func (r *run) findTopsoil() error {
	if r.job.stripped() {
		return nil
	}
	t := r.job.Ground.Topsoil
	out := formation.Topsoil{Depth: t.Depth * r.unit}
	add := func(area orb.MultiPolygon, depth float64) {
		for _, p := range area {
			out.Areas = append(out.Areas, formation.TopsoilArea{Area: scalePolygon(p, r.unit), Depth: depth * r.unit})
		}
	}
	if len(t.Within) > 0 {
		out.Depth = 0
		add(t.Within, t.Depth)
	}
	for _, a := range t.Areas {
		add(a.Area, a.Depth)
	}
	r.soil = out
	if !r.job.anyStripped() || !hasTopsoil(out) {
		return nil
	}
	return r.leaveStripped()
}

// hasTopsoil reports whether there is any to strip.
func hasTopsoil(t formation.Topsoil) bool {
	for _, a := range t.Areas {
		if a.Depth > 0 {
			return true
		}
	}
	return t.Depth > 0
}

// stripped reports whether every survey was taken after the strip.
func (j *Job) stripped() bool {
	for _, s := range j.Surveys {
		if !s.Stripped {
			return false
		}
	}
	return true
}

func (j *Job) anyStripped() bool {
	for _, s := range j.Surveys {
		if s.Stripped {
			return true
		}
	}
	return false
}

// mergedStripped reports whether all surveys that replace no other were taken after the
// strip; of some that were and some that were not, all counts as not stripped.
func (j *Job) mergedStripped() bool {
	for _, s := range j.Surveys {
		if len(s.ReplacesWithin) == 0 && !s.Stripped {
			return false
		}
	}
	return true
}

// leaveStripped takes away topsoil where the ground is that of a survey taken after the
// strip: the plan is cut by the areas of topsoil and by those in which surveys replace
// others, of which the last rules.
func (r *run) leaveStripped() error {
	full := r.soil
	var polygons []orb.Polygon
	for _, a := range full.Areas {
		polygons = append(polygons, a.Area)
	}
	var stripped []bool
	for _, a := range r.job.ReplacedAreas() {
		for _, p := range a.Area {
			polygons, stripped = append(polygons, scalePolygon(p, r.unit)), append(stripped, a.Stripped)
		}
	}
	cells, err := r.ground.Partition(polygons, nil)
	if err != nil {
		return fmt.Errorf("topsoil: %w", err)
	}
	merged := r.job.mergedStripped()
	r.soil = formation.Topsoil{}
	if !merged {
		r.soil.Depth = full.Depth
	}
	for _, c := range cells {
		depth, gone := full.Depth, merged
		for _, k := range c.In {
			if k < len(full.Areas) {
				depth = full.Areas[k].Depth
			} else {
				gone = stripped[k-len(full.Areas)]
			}
		}
		if gone {
			depth = 0
		}
		if depth != r.soil.Depth {
			ring := orb.Ring(c.Corner[:])
			r.soil.Areas = append(r.soil.Areas, formation.TopsoilArea{Area: orb.Polygon{ring}, Depth: depth})
		}
	}
	return nil
}

// findStrip finds what is stripped, and what topsoil is spread again.
func (r *run) findStrip() error {
	if hasTopsoil(r.soil) {
		r.tell("stripping", 0, 1)
		strip, err := r.stripOf()
		if err != nil {
			return err
		}
		r.strip = strip
		r.noteStrip()
		r.tell("stripping", 1, 1)
	}
	return r.findRespread()
}

func (r *run) stripOf() (*formation.Strip, error) {
	t := r.job.Ground.Topsoil
	if len(t.Within) == 0 {
		return r.dig.Strip(r.ctx, t.Beyond*r.lengthUnit())
	}
	stated := scaleMultiPolygon(t.Within, r.unit)
	for _, a := range t.Areas {
		stated = append(stated, scaleMultiPolygon(a.Area, r.unit)...)
	}
	return r.soil.StripOf(r.ctx, r.ground, stated)
}

// noteStrip says what of the strip has no ground.
func (r *run) noteStrip() {
	if r.strip.Uncovered > leastThin {
		r.notes = append(r.notes, tin.Problem{Code: NoteStripUncovered, Message: fmt.Sprintf(
			"%s of the strip lie outside the surveyed ground and are not counted in its area or its topsoil", r.area(r.strip.Uncovered))})
	}
}

// findRespread measures the areas that topsoil is spread over again.
func (r *run) findRespread() error {
	list := r.job.Respread
	if len(list) == 0 {
		return nil
	}
	areas := make([]orb.MultiPolygon, len(list))
	for i, a := range list {
		areas[i] = scaleMultiPolygon(a.Area, r.unit)
	}
	covered, err := formation.GroundAreas(r.ctx, r.ground, areas)
	if err != nil {
		return err
	}
	for i, c := range covered {
		if c.Uncovered > leastThin {
			r.notes = append(r.notes, tin.Problem{Code: NoteRespreadUncovered, Message: fmt.Sprintf(
				"respread %s: %s of the area lie outside the surveyed ground and are not counted", list[i].Name, r.area(c.Uncovered))})
		}
		r.respread = append(r.respread, c.Ground)
	}
	return nil
}

// stripResult fills in what is stripped, spread again, and left.
func (r *run) stripResult(res *Result) {
	t := &res.Total
	if s := r.strip; s != nil {
		t.StripArea, t.Topsoil = s.Area/r.areaUnit(), s.Volume/r.volumeUnit()
		for _, d := range s.Depths {
			t.Strip = append(t.Strip, StripResult{Depth: d.Depth / r.unit, Area: d.Area / r.areaUnit(), Volume: d.Volume / r.volumeUnit()})
		}
		res.StripOutline = scaleMultiPolygon(s.Outline, 1/r.unit)
	}
	if len(r.respread) == 0 {
		return
	}
	left := t.Topsoil
	for i, a := range r.job.Respread {
		area := r.respread[i]
		p := RespreadResult{Name: a.Name, Area: area / r.areaUnit(), Depth: a.Depth, Volume: area * a.Depth * r.unit / r.volumeUnit()}
		left -= p.Volume
		t.Respread = append(t.Respread, p)
	}
	if r.strip != nil {
		t.TopsoilLeft = &left
	}
}
