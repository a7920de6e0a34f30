package takeoff

import (
	"fmt"
	"math"
	"slices"

	"barrow/tin"
	"barrow/volume"
)

// What makes a comparison doubtful. Common practice, no source.
const (
	littleShare = 0.5  // of the smaller surface, in common with the other
	datumLeast  = 1.0  // metres between two surfaces everywhere alike that look like two datums
	datumSpread = 0.1  // of the mean difference: a spread below it is alike
	stableShare = 0.02 // of cut plus fill: a level error this large is not small any more
)

// assess looks for what a person must know before using the figures.
func (m *comparing) assess() {
	warn := func(code, format string, args ...any) {
		m.warnings = append(m.warnings, tin.Problem{Code: code, Message: fmt.Sprintf(format, args...)})
	}
	common, r := m.total.Area, m.a
	smaller := min(m.cover.a, m.cover.b)
	switch {
	case m.uncovered > 0:
		warn(WarnBoundaryUncovered, "%s of the boundary's %s (%s) are not covered by both A and B and are not measured: cut and fill are at least those given",
			r.area(m.uncovered), r.area(m.cover.area), percent(m.uncovered/m.cover.area))
	case m.cover.area == 0 && common < littleShare*smaller:
		warn(WarnLittleCommon, "A and B share %s, %s of the smaller of the two: what lies outside is not measured", r.area(common), percent(common/smaller))
	}
	if t := &m.total; alike(&t.Spread) {
		warn(WarnDatumsDiffer, "A is %s B everywhere, by %s on average with a standard deviation of %s: two datums, or a benchmark left out?",
			side(t.Mean), r.levelText(t.Mean), r.levelText(t.StandardDeviation))
	}
	if s := &m.stable; s.Area > 0 && m.shift() > stableShare*m.moved() {
		of := ""
		if m.moved() > 0 {
			of = fmt.Sprintf(", %s of cut plus fill", percent(m.shift()/m.moved()))
		}
		warn(WarnStableShift, "on the stable ground A is %s B by %s on average: over the %s compared that is %s%s: see whether both surveys stand on one benchmark before using the volumes",
			side(s.Mean), r.levelText(s.Mean), r.area(common), r.volumeText(m.shift()), of)
	}
}

// shift returns the volume that the stable ground's mean difference makes over the
// area compared, without its sign; moved returns cut plus fill. Cubic metres.
func (m *comparing) shift() float64 { return math.Abs(m.stable.Mean * m.total.Area) }
func (m *comparing) moved() float64 { return m.total.Cut + m.total.Fill }

// alike reports whether a difference is large, and nearly the same everywhere.
func alike(s *volume.Spread) bool {
	nearest := max(s.Least, -s.Greatest) // above 0: of one sign everywhere
	return nearest > farApart || math.Abs(s.Mean) > datumLeast && s.StandardDeviation < datumSpread*math.Abs(s.Mean)
}

func side(mean float64) string {
	if mean < 0 {
		return "below"
	}
	return "above"
}

func percent(share float64) string { return fmt.Sprintf("%.1f %%", 100*share) }

// levelText writes a difference of levels in metres, without its sign, in the unit of
// the surveys; volumeText a volume in cubic metres.
func (r *run) levelText(m float64) string {
	return fmt.Sprintf("%.3f %s", math.Abs(m)/r.unit, r.job.units().Length)
}
func (r *run) volumeText(m3 float64) string {
	return fmt.Sprintf("%.1f %s", m3/r.volumeUnit(), r.job.units().Volume)
}

// result turns what was measured into the unit of the surveys, on the ground.
func (m *comparing) result() *Compared {
	r := m.a
	out := &Compared{
		Schema: SchemaVersion, Program: Program{Name: "barrow", Version: Version},
		Units: r.job.units(), Scale: r.scale, Inputs: []Input{},
		A: m.a.surface(), B: m.b.surface(),
		Total: m.totals(), Difference: r.difference(&m.total.Spread),
		NotMeasured: m.notMeasured(),
	}
	for _, inputs := range [][]Input{m.c.A.Inputs, m.c.B.Inputs, m.c.Within.Inputs, m.c.Stable.Inputs} {
		out.Inputs = append(out.Inputs, inputs...)
	}
	if m.stable.Area > 0 {
		out.Stable = m.stableResult()
	}
	notes, warnings := m.remarks()
	out.Notes, out.Warnings = r.remarks(notes), r.remarks(warnings)
	return out
}

func (r *run) surface() SurfaceResult {
	s := SurfaceResult{Name: r.job.Name, Ground: r.groundResult(), Surveys: []SurveyResult{}}
	if s.Name == "" && len(r.job.Inputs) > 0 {
		s.Name = r.job.Inputs[0].Path
	}
	for _, p := range r.surveys {
		if p.result.Codes == nil {
			p.result.Codes = []CodeCount{}
		}
		s.Surveys = append(s.Surveys, p.result)
	}
	return s
}

func (m *comparing) totals() ComparedTotal {
	r, d := m.a, &m.total
	area, vol := r.areaUnit(), r.volumeUnit()
	t := ComparedTotal{
		Cut: d.Cut / vol, Fill: d.Fill / vol, CutLessFill: d.CutLessFill / vol,
		CutArea: d.CutArea / area, FillArea: d.FillArea / area, LevelArea: d.LevelArea / area,
		CommonArea: d.Area / area, OnlyAArea: m.onlyA / area, OnlyBArea: m.onlyB / area,
	}
	if m.cover.area > 0 {
		boundary, uncovered := m.cover.area/area, m.uncovered/area
		t.BoundaryArea, t.UncoveredArea = &boundary, &uncovered
	}
	t.MaxCutDepth, t.MaxCutAt = r.depth(d.MaxCut)
	t.MaxFillDepth, t.MaxFillAt = r.depth(d.MaxFill)
	return t
}

func (r *run) difference(s *volume.Spread) LevelDifference {
	return LevelDifference{Mean: s.Mean / r.unit, StandardDeviation: s.StandardDeviation / r.unit,
		Least: s.Least / r.unit, Greatest: s.Greatest / r.unit}
}

func (m *comparing) stableResult() *StableResult {
	r, s := m.a, &m.stable
	out := &StableResult{
		Area: s.Area / r.areaUnit(), UncoveredArea: beyond(m.stableCover.area, s.Area) / r.areaUnit(),
		LevelDifference: r.difference(&s.Spread),
		WorksArea:       m.total.Area / r.areaUnit(), Volume: s.Mean * m.total.Area / r.volumeUnit(),
	}
	if moved := m.moved(); moved > 0 {
		share := m.shift() / moved
		out.Share = &share
	}
	return out
}

// remarks gathers notes and warnings, each with what it is about.
func (m *comparing) remarks() (notes, warnings []tin.Problem) {
	about := func(what string, list ...[]tin.Problem) (out []tin.Problem) {
		for _, p := range slices.Concat(list...) {
			p.Message = what + ": " + p.Message
			out = append(out, p)
		}
		return out
	}
	c := m.c
	if c.sameFiles() {
		notes = append(notes, tin.Problem{Code: NoteSameFiles, Message: "A and B were read from the same files"})
	}
	notes = slices.Concat(notes, about("A", c.A.Notes, m.a.notes), about("B", c.B.Notes, m.b.notes),
		about("boundary", c.Within.Notes), about("stable ground", c.Stable.Notes))
	warnings = slices.Concat(m.warnings, about("A", c.A.Warnings, m.a.warnings), about("B", c.B.Warnings, m.b.warnings),
		about("boundary", c.Within.Warnings), about("stable ground", c.Stable.Warnings))
	return notes, warnings
}

// notMeasured lists what no comparison of two surfaces can see.
func (m *comparing) notMeasured() []Omission {
	list := []Omission{
		{"between_surveys", "what was dug and filled again, or brought and taken away, between the two surveys"},
		{"bulking", "loosening and compaction: a heap counts with the room it takes up, and ground that settled or heaved counts as cut or fill"},
		{"outside", "ground that only one of the two covers, and ground between spots that is no straight line"},
	}
	if m.stable.Area == 0 {
		each, volume := "10 mm", 0.010*m.total.Area
		if m.a.unit != 1 {
			each, volume = "0.01 "+m.a.job.units().Length, 0.01*m.a.unit*m.total.Area
		}
		list = append(list, Omission{"shared_level_error", fmt.Sprintf(
			"a level error shared by a whole survey: no stable ground was given to see it on; each %s of it makes %s of cut less fill",
			each, m.a.volumeText(volume))})
	}
	return list
}
