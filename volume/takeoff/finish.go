package takeoff

import (
	"github.com/paulmach/orb"

	"barrow/tin"
	"barrow/tin/formation"
	"barrow/volume"
)

// result turns what was measured, in metres on the grid, into the job's unit
// on the ground.
func (r *run) result() *Result {
	res := &Result{
		Schema:  SchemaVersion,
		Program: Program{Name: "barrow", Version: Version},
		Job:     r.job.Name,
		Units:   r.job.units(),
		Inputs:  r.job.measuredFrom(),
		Scale:   r.scale,
		Ground:  r.groundResult(),
		Pads:    []PadResult{},
		Surveys: []SurveyResult{},
	}
	for _, s := range r.surveys {
		if s.result.Codes == nil {
			s.result.Codes = []CodeCount{}
		}
		res.Surveys = append(res.Surveys, s.result)
	}
	for i := range r.layout.Pads {
		p := r.pad(i)
		res.Pads = append(res.Pads, p)
		res.Total.add(&p)
		res.Total.addStructure(&p)
	}
	r.stripResult(res)
	res.WorksOutline = scaleMultiPolygon(r.dig.Outline, 1/r.unit)
	res.Total.FacetBound = r.dig.Bound / r.volumeUnit()
	res.StripRule = r.job.stripRule()
	res.Total.ThinArea = r.thinArea / r.areaUnit()
	res.Total.MaxGap = r.maxGap / r.lengthUnit()
	res.Notes = r.remarks(append(append([]tin.Problem{}, r.job.Notes...), r.notes...))
	res.Warnings = r.remarks(append(append([]tin.Problem{}, r.job.Warnings...), r.warnings...))
	res.NotMeasured = r.job.notMeasured()
	res.Clearances = r.clearances()
	res.Uncertainty = r.uncertaintyResult()
	r.cautions(res)
	return res
}

// add adds a pad to the sums.
func (t *Total) add(p *PadResult) {
	t.Cut += p.Cut
	t.Fill += p.Fill
	t.CutLessFill += p.CutLessFill
	t.OutlineCut += p.OutlineCut
	t.OutlineFill += p.OutlineFill
	t.MarginCut += p.MarginCut
	t.MarginFill += p.MarginFill
	t.BatterCut += p.BatterCut
	t.BatterFill += p.BatterFill
	t.BatterArea += p.BatterArea
	t.WorksArea += p.TrimArea + p.BatterArea
	t.TrimArea += p.TrimArea
	t.UncoveredArea += p.UncoveredArea
	t.OpenLength += p.OpenLength
	t.MakeupFill += p.MakeupFill
	t.MakeupArea += p.MakeupArea
}

// units names the units of results in the job's unit.
func (j *Job) units() Units {
	u := j.Units.String()
	if j.Units == tin.Metre || j.Units == 0 {
		return Units{Length: u, Area: "m2", Volume: "m3"}
	}
	return Units{Length: u, Area: u + "2", Volume: "yd3"}
}

// lengthUnit is how many metres on the grid make one unit on the ground;
// areaUnit and volumeUnit likewise. Depths are not scaled: a volume is an area
// on the ground by a true depth.
func (r *run) lengthUnit() float64 { return r.unit * r.scale }
func (r *run) areaUnit() float64   { return r.lengthUnit() * r.lengthUnit() }
func (r *run) volumeUnit() float64 {
	v := r.areaUnit() * r.unit
	if r.unit != 1 {
		v *= 27 // cubic feet in a cubic yard
	}
	return v
}

func (r *run) groundResult() GroundResult {
	s := r.stats
	g := GroundResult{
		Points: s.Points, Merged: s.Merged, Triangles: s.Triangles,
		Area: s.Area / r.areaUnit(), LevelMin: s.LevelMin / r.unit, LevelMax: s.LevelMax / r.unit,
		EdgeMedian: s.EdgeMedian / r.lengthUnit(),
	}
	for _, v := range r.surveys {
		g.LeftOut += v.result.LeftOut + v.result.NoLevel + v.result.Replaced
	}
	return g
}

func (r *run) pad(i int) PadResult {
	job, laid, m := &r.job.Pads[i], &r.layout.Pads[i], &r.measured[i]
	c, all := m.formed(), m.all()
	g := &laid.Geometry
	area, vol := r.areaUnit(), r.volumeUnit()
	p := PadResult{
		Name:        job.Name,
		OutlineArea: g.Area / area, FormationArea: laid.FormationArea / area, BatterArea: (m.batter.CutArea + m.batter.FillArea) / area,
		OutlineCut: m.outline.Cut / vol, OutlineFill: m.outline.Fill / vol,
		MarginCut: m.margin.Cut / vol, MarginFill: m.margin.Fill / vol,
		BatterCut: m.batter.Cut / vol, BatterFill: m.batter.Fill / vol,
		Cut: all.Cut / vol, Fill: all.Fill / vol, CutLessFill: all.CutLessFill / vol, MakeupFill: all.MakeupFill / vol, MakeupArea: all.MakeupArea / area,
		CutArea: c.CutArea / area, FillArea: c.FillArea / area, LevelArea: c.LevelArea / area,
		UncoveredArea: uncovered(laid, &c) / area, OpenLength: r.dig.Pads[i].OpenLength / r.lengthUnit(),
		TrimArea:  facetArea(laid.Facets, laid.Margin) / area,
		Perimeter: g.Perimeter / r.lengthUnit(),
		OwnLevels: job.Levels != nil,
		Corners:   []Corner{}, Sides: []Side{}, Diagonals: []Diagonal{},
		High: r.corner(g.High), Low: r.corner(g.Low),
		AboveMarks: []Above{},
		Layers:     []Rung{},
	}
	p.MaxCutDepth, p.MaxCutAt = r.depth(c.MaxCut)
	p.MaxFillDepth, p.MaxFillAt = r.depth(c.MaxFill)
	p.ZeroLines = scaleLineStrings(c.ZeroLine, r.unit)
	r.lines(&p, i)
	for _, corner := range g.Corners {
		p.Corners = append(p.Corners, r.corner(corner))
	}
	r.levels(&p, job)
	r.works(&p, i)
	r.layers(&p, i)
	r.thickenings(&p, i)
	p.Backfill = r.backfillOf(i)
	for _, s := range g.Sides {
		p.Sides = append(p.Sides, Side{s.From, s.To, s.Length / r.lengthUnit(), s.Bearing, s.Ring})
	}
	for _, d := range g.Diagonals {
		p.Diagonals = append(p.Diagonals, Diagonal{d.From, d.To, d.Length / r.lengthUnit()})
	}
	return p
}

// levels fills in finished and formation level and the build-up, reckoned in
// the job's unit so that decimals stay decimals.
func (r *run) levels(p *PadResult, job *Pad) {
	build := job.layers()
	if job.Levels != nil {
		for _, l := range job.Layers {
			p.Layers = append(p.Layers, Rung{Name: l.Name, Thickness: l.Thickness})
		}
		return
	}
	finished, level := job.Finished, formation.FormationLevel(job.Finished, build)
	p.FinishedLevel, p.FormationLevel = &finished, &level
	for _, rung := range build.Ladder(finished) {
		p.Layers = append(p.Layers, Rung{Name: rung.Name, Thickness: rung.Thickness, Top: &rung.Top, Underside: &rung.Underside})
	}
	p.AboveMarks = r.above(level)
	if f := job.Fall; f != nil {
		p.Fall = &Slope{f.Slope, f.Bearing, Place(f.At)}
		return
	}
	for _, c := range append(pointersTo(p.Corners), &p.High, &p.Low) {
		c.Finished, c.Formation, c.AboveMarks = finished, level, r.above(level)
	}
}

// pointersTo returns pointers to the corners.
func pointersTo(corners []Corner) []*Corner {
	var list []*Corner
	for i := range corners {
		list = append(list, &corners[i])
	}
	return list
}

func (r *run) corner(c formation.Corner) Corner {
	out := Corner{Name: c.Name, At: Place{c.E / r.unit, c.N / r.unit},
		Finished: c.Finished / r.unit, Formation: c.Formation / r.unit, Ring: c.Ring}
	out.AboveMarks = r.above(out.Formation)
	return out
}

// above holds a level against every benchmark, each once.
func (r *run) above(level float64) []Above {
	above := []Above{}
	seen := map[Mark]bool{}
	for _, s := range r.job.Surveys {
		if s.Benchmark == nil {
			continue
		}
		m := Mark{Name: s.Benchmark.Name, Plan: s.Benchmark.Plan}
		if !seen[m] {
			seen[m] = true
			above = append(above, Above{m.Name, m.Plan, addLevels(level, -m.Plan)})
		}
	}
	return above
}

func (r *run) depth(d volume.Depth) (float64, *Place) {
	if !(d.Depth > 0) {
		return 0, nil
	}
	return d.Depth / r.unit, &Place{d.At[0] / r.unit, d.At[1] / r.unit}
}

func (r *run) remarks(problems []tin.Problem) []Remark {
	remarks := []Remark{}
	for _, p := range problems {
		m := Remark{Code: p.Code, Message: p.Message}
		if p.At != nil {
			m.At = &Place{p.At[0] / r.unit, p.At[1] / r.unit}
		}
		remarks = append(remarks, m)
	}
	return remarks
}

func scaleLineStrings(lines orb.MultiLineString, unit float64) orb.MultiLineString {
	out := make(orb.MultiLineString, len(lines))
	for i, line := range lines {
		for _, p := range line {
			out[i] = append(out[i], orb.Point{p[0] / unit, p[1] / unit})
		}
	}
	return out
}
