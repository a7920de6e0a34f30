package takeoff

import (
	"math"
	"slices"

	"barrow/section"
	"barrow/tin"
)

// SectionsResult is the outcome of [Sections]: units, places and rounding as in
// [Result]. Chainages, offsets and section areas are on the ground, levels as surveyed.
type SectionsResult struct {
	Schema      int               `json:"schema"`
	Program     Program           `json:"program"`
	Job         string            `json:"job"`
	Units       Units             `json:"units"`
	Scale       float64           `json:"scale"`
	Inputs      []Input           `json:"inputs"`
	Prisms      PrismVolumes      `json:"prisms"`
	Alignments  []AlignmentResult `json:"alignments"`
	StripRule   *StripRule        `json:"strip_rule,omitempty"` // nil: no topsoil is taken off
	Notes       []Remark          `json:"notes"`
	Warnings    []Remark          `json:"warnings"` // a person must read these
	NotMeasured []Omission        `json:"not_measured"`
	Surveys     []SurveyResult    `json:"surveys"`
}

// PrismVolumes is what the takeoff measures of the same works, as dug.
type PrismVolumes struct {
	Cut           float64 `json:"cut"`
	Fill          float64 `json:"fill"`
	WorksArea     float64 `json:"works_area"`     // in plan
	UncoveredArea float64 `json:"uncovered_area"` // without ground: all volumes are at least those given
	OpenLength    float64 `json:"open_length"`    // of the ground's rim that batters reach with depth: likewise
}

// AlignmentResult is the sections along one alignment, and the volumes over them.
type AlignmentResult struct {
	Name     string          `json:"name"`
	LongAxis bool            `json:"long_axis"` // made up: the job has no alignment
	Line     []Place         `json:"line"`
	Start    float64         `json:"start"` // chainages of the line's ends
	End      float64         `json:"end"`
	Interval float64         `json:"interval"`
	Chosen   bool            `json:"interval_chosen"` // for at least 20 sections
	Reach    float64         `json:"reach,omitempty"` // absent: as far as the works
	Sections []SectionResult `json:"sections"`
	Spans    []SpanResult    `json:"spans"`

	RunOut     string        `json:"run_out"` // how end areas that run out to nothing count: "averaged" or "pyramid"
	EndArea    MethodVolumes `json:"average_end_area"`
	Prismoidal MethodVolumes `json:"prismoidal"`     // with the middle sections as measured
	Haul       *HaulResult   `json:"haul,omitempty"` // nil: no factors were given, or a warning says why
}

// The sides of a section that is cut twice.
const (
	SideBehind = "behind"
	SideAhead  = "ahead"
)

// SectionResult is one section. Areas are those of the vertical plane it lies in; at a
// bend that is on the bisector, and the areas square to the alignment are less.
type SectionResult struct {
	Chainage   float64        `json:"chainage"`
	Side       string         `json:"side,omitempty"` // where works change at once: "behind" or "ahead" is what it shows
	At         Place          `json:"at"`             // on the alignment
	Bearing    float64        `json:"bearing"`        // of growing offsets, degrees from grid north clockwise
	Skew       float64        `json:"skew,omitempty"` // degrees off the square to its leg, right end ahead positive; absent: square
	Cut        float64        `json:"cut_area"`
	Fill       float64        `json:"fill_area"`
	SquareCut  float64        `json:"square_cut_area"` // square to the alignment: these make the volumes
	SquareFill float64        `json:"square_fill_area"`
	From       float64        `json:"from"` // offsets between which the works lie
	To         float64        `json:"to"`
	Uncovered  float64        `json:"uncovered,omitempty"` // length of formation without ground, which counts in no area
	Profile    []ProfilePoint `json:"profile"`             // from left to right
	Layers     []SectionLayer `json:"layers,omitempty"`    // of the build-ups, those of each pad from the top down
}

// ProfilePoint is the levels at an offset, nil where there is none. Between two points
// they go straight; at an upright face, and where a line begins or ends, there are two
// points at one offset. Where stripped ground crosses the formation there is a point.
type ProfilePoint struct {
	Offset    float64  `json:"offset"` // right of the alignment positive
	Ground    *float64 `json:"ground,omitempty"`
	Stripped  *float64 `json:"stripped,omitempty"` // ground less topsoil, within the works
	Formation *float64 `json:"formation,omitempty"`
}

// SpanResult is what lies between two neighbouring sections.
type SpanResult struct {
	From       float64    `json:"from"` // chainages
	To         float64    `json:"to"`
	MiddleCut  float64    `json:"middle_cut_area"` // half way, square to the alignment
	MiddleFill float64    `json:"middle_fill_area"`
	EndArea    SpanVolume `json:"average_end_area"`
	Prismoidal SpanVolume `json:"prismoidal"`
}

// SpanVolume is the volumes of a span, and from the first section to its end.
type SpanVolume struct {
	Cut            float64 `json:"cut"`
	Fill           float64 `json:"fill"`
	CumulativeCut  float64 `json:"cumulative_cut"`
	CumulativeFill float64 `json:"cumulative_fill"`
}

// MethodVolumes is the volumes of all spans, and how they lie to the prisms.
type MethodVolumes struct {
	Cut            float64          `json:"cut"`
	Fill           float64          `json:"fill"`
	CutCurvature   float64          `json:"cut_curvature,omitempty"` // of Cut, the correction for bends
	FillCurvature  float64          `json:"fill_curvature,omitempty"`
	CutDifference  MethodDifference `json:"cut_difference"`
	FillDifference MethodDifference `json:"fill_difference"`
}

// MethodDifference is a volume less that of the prisms.
type MethodDifference struct {
	Volume  float64  `json:"volume"`
	PerCent *float64 `json:"per_cent,omitempty"` // of the prisms; nil where they have none
	Mean    float64  `json:"mean"`               // over PrismVolumes.WorksArea, a length
}

// sectionsResult turns what was cut, in metres on the grid, into the job's unit on the
// ground.
func (r *run) sectionsResult(whole *Result, cuts []sectioned) (*SectionsResult, error) {
	res := &SectionsResult{
		Schema: whole.Schema, Program: whole.Program, Job: whole.Job, Units: whole.Units, Scale: whole.Scale, Inputs: whole.Inputs,
		Prisms: PrismVolumes{whole.Total.Cut, whole.Total.Fill, whole.Total.WorksArea, whole.Total.UncoveredArea, whole.Total.OpenLength},
		Notes:  slices.Clip(whole.Notes), Warnings: slices.Clip(whole.Warnings), NotMeasured: whole.NotMeasured, Surveys: whole.Surveys, StripRule: whole.StripRule,
		Alignments: []AlignmentResult{},
	}
	if r.besideCut() {
		res.Notes = append(res.Notes, Remark{Code: NoteBesideSections, Message: "thickenings, below formation, and backfill are volumes beside cut and fill: they are in no section, and not in the prisms beside them"})
	}
	for i := range cuts {
		s := &cuts[i]
		along := r.alignmentResult(s, &res.Prisms)
		if s.of.Haul != nil {
			warning, err := along.haulAlong(s.of.Haul)
			if err != nil {
				return nil, r.atAlignment(err, s)
			}
			if warning != nil {
				s.warnings = append(s.warnings, *warning)
			}
		}
		res.Alignments = append(res.Alignments, along)
		res.Notes = append(res.Notes, r.remarks(s.about(s.notes))...)
		res.Warnings = append(res.Warnings, r.remarks(s.about(s.warnings))...)
	}
	return res, nil
}

// about has problems name the alignment they are of.
func (s *sectioned) about(problems []tin.Problem) []tin.Problem {
	out := slices.Clone(problems)
	for i := range out {
		out[i].Message = s.of.Name + ": " + out[i].Message
	}
	return out
}

func (r *run) alignmentResult(s *sectioned, prisms *PrismVolumes) AlignmentResult {
	l := r.lengthUnit()
	out := AlignmentResult{
		Name: s.of.Name, LongAxis: s.chosen, Start: s.line.Start() / l, End: s.line.End() / l,
		Interval: s.interval / l, Chosen: s.of.Interval == 0, Reach: s.of.Reach, RunOut: s.of.RunOut,
		EndArea: r.method(&s.endArea, prisms), Prismoidal: r.method(&s.prismoidal, prisms),
	}
	for _, p := range s.line.Line() {
		out.Line = append(out.Line, Place{p[0] / r.unit, p[1] / r.unit})
	}
	for i := range s.cut.Sections {
		res := r.section(&s.cut.Sections[i])
		res.Layers = s.layers[i]
		if c := &s.cut.Sections; i > 0 && (*c)[i-1].Chainage == (*c)[i].Chainage {
			out.Sections[i-1].Side, res.Side = SideBehind, SideAhead
		}
		out.Sections = append(out.Sections, res)
	}
	var end, prismoidal SpanVolume
	for i := range s.spans {
		span, middle := &s.spans[i], s.spans[i].Middle
		end.add(&s.endArea.Spans[i], r.volumeUnit())
		prismoidal.add(&s.prismoidal.Spans[i], r.volumeUnit())
		out.Spans = append(out.Spans, SpanResult{
			From: span.From.Chainage / l, To: span.To.Chainage / l,
			MiddleCut: middle.Cut.Area / r.sectionUnit(), MiddleFill: middle.Fill.Area / r.sectionUnit(),
			EndArea: end, Prismoidal: prismoidal,
		})
	}
	return out
}

// add goes on to the next span.
func (v *SpanVolume) add(span *section.Volume, unit float64) {
	v.Cut, v.Fill = span.Cut/unit, span.Fill/unit
	v.CumulativeCut += v.Cut
	v.CumulativeFill += v.Fill
}

// sectionUnit is how many square metres of a section on the grid make one unit of area:
// offsets are scaled, levels are not.
func (r *run) sectionUnit() float64 { return r.lengthUnit() * r.unit }

func (r *run) section(s *section.Section) SectionResult {
	area, square := r.sectionUnit(), s.End()
	bearing := math.Atan2(s.Right[0], s.Right[1]) * 180 / math.Pi
	if bearing < 0 {
		bearing += 360
	}
	uncovered := s.Uncovered
	if uncovered <= sameOffset { // rounding
		uncovered = 0
	}
	return SectionResult{
		Chainage: s.Chainage / r.lengthUnit(), At: Place{s.At[0] / r.unit, s.At[1] / r.unit},
		Bearing: bearing, Skew: math.Atan(s.Skew) * 180 / math.Pi,
		Cut: s.Cut.Area / area, Fill: s.Fill.Area / area, SquareCut: square.Cut.Area / area, SquareFill: square.Fill.Area / area,
		From: s.From / r.lengthUnit(), To: s.To / r.lengthUnit(), Uncovered: uncovered / r.lengthUnit(),
		Profile: r.profile(s),
	}
}

// method returns the volumes of a method beside those of the prisms.
func (r *run) method(v *section.Volumes, prisms *PrismVolumes) MethodVolumes {
	unit := r.volumeUnit()
	out := MethodVolumes{Cut: v.Cut / unit, Fill: v.Fill / unit, CutCurvature: v.CutCurvature / unit, FillCurvature: v.FillCurvature / unit}
	out.CutDifference = r.methodDifference(out.Cut, prisms.Cut, prisms.WorksArea)
	out.FillDifference = r.methodDifference(out.Fill, prisms.Fill, prisms.WorksArea)
	return out
}

// methodDifference compares volumes in the job's unit, over an area in it.
func (r *run) methodDifference(volume, prisms, area float64) MethodDifference {
	d := MethodDifference{Volume: volume - prisms}
	if prisms > 0 {
		share := 100 * d.Volume / prisms
		d.PerCent = &share
	}
	if area > 0 {
		d.Mean = d.Volume * (r.volumeUnit() / (r.areaUnit() * r.unit)) / area
	}
	return d
}
