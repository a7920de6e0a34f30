package report_test

import (
	"math"

	"barrow/volume/takeoff"
)

// profileOf is a profile of a formation between two offsets, with upright faces, in
// ground of some levels at equal steps over them; without a topsoil depth nothing is
// stripped.
func profileOf(from, to, formation, topsoil float64, ground ...float64) (p []takeoff.ProfilePoint) {
	step := (to - from) / float64(len(ground)-1)
	p = append(p, takeoff.ProfilePoint{Offset: from - 1, Ground: ptr(ground[0])}, takeoff.ProfilePoint{Offset: from, Ground: ptr(ground[0])})
	for i, z := range ground {
		p = append(p, takeoff.ProfilePoint{Offset: from + float64(i)*step, Ground: ptr(z), Stripped: ptr(z - topsoil), Formation: ptr(formation)})
	}
	last := ground[len(ground)-1]
	return append(p, takeoff.ProfilePoint{Offset: to, Ground: ptr(last)}, takeoff.ProfilePoint{Offset: to + 1, Ground: ptr(last)})
}

// cutUp is the sections of a job along two alignments, one of them bent, with all that
// a sheet can show. Its numbers are made up, and only agree where a reader would look.
func cutUp() *takeoff.SectionsResult {
	m := metric()
	at := takeoff.Place{312540, 5812300}
	axis := takeoff.AlignmentResult{
		Name: "centre line", Line: []takeoff.Place{{312540, 5812300}, {312560, 5812300}, {312575, 5812310}}, Start: 100, End: 138.027756, Interval: 10, Reach: 25,
		Sections: []takeoff.SectionResult{
			{Chainage: 104, At: at, Bearing: 180, Profile: []takeoff.ProfilePoint{}},
			{Chainage: 110, At: at, Bearing: 180, Cut: 12.3456, SquareCut: 12.3456, From: -5, To: 5, Profile: profileOf(-5, 5, 60, 0.2, 61, 61.5, 62)},
			{Chainage: 115, Side: takeoff.SideBehind, At: at, Bearing: 180, Cut: 15.5, Fill: 0.25, SquareCut: 15.5, SquareFill: 0.25, From: -5, To: 5, Profile: profileOf(-5, 5, 60, 0.2, 60.2, 61, 62)},
			{Chainage: 115, Side: takeoff.SideAhead, At: at, Bearing: 180, Cut: 5.5, Fill: 1.25, SquareCut: 5.5, SquareFill: 1.25, From: -5, To: 5, Profile: profileOf(-5, 5, 60.5, 0.2, 60.2, 60.7, 62)},
			{Chainage: 120, At: at, Bearing: 163.155, Skew: -16.845, Cut: 10.5, Fill: 2.5, SquareCut: 10.0495, SquareFill: 2.3927, From: -5.2, To: 5.2, Uncovered: 1.25, Profile: profileOf(-5.2, 5.2, 60, 0.2, 59.5, 60.2, 61, 62)},
		},
		Spans: []takeoff.SpanResult{
			{From: 104, To: 110, MiddleCut: 6, EndArea: takeoff.SpanVolume{Cut: 37.037, CumulativeCut: 37.037}, Prismoidal: takeoff.SpanVolume{Cut: 36.3, CumulativeCut: 36.3}},
			{From: 110, To: 115, MiddleCut: 14, EndArea: takeoff.SpanVolume{Cut: 69.6, Fill: 0.6, CumulativeCut: 106.637, CumulativeFill: 0.6}, Prismoidal: takeoff.SpanVolume{Cut: 69.9, Fill: 0.4, CumulativeCut: 106.2, CumulativeFill: 0.4}},
			{From: 115, To: 115, MiddleCut: 15.5, MiddleFill: 0.25, EndArea: takeoff.SpanVolume{CumulativeCut: 106.637, CumulativeFill: 0.6}, Prismoidal: takeoff.SpanVolume{CumulativeCut: 106.2, CumulativeFill: 0.4}},
			{From: 115, To: 120, MiddleCut: 8, MiddleFill: 2, EndArea: takeoff.SpanVolume{Cut: 38.9, Fill: 9.1, CumulativeCut: 145.5, CumulativeFill: 9.7}, Prismoidal: takeoff.SpanVolume{Cut: 39.1, Fill: 9.3, CumulativeCut: 145.3, CumulativeFill: 9.7}},
		},
		EndArea: takeoff.MethodVolumes{Cut: 145.5, Fill: 9.7, CutCurvature: -0.75, FillCurvature: 0.1,
			CutDifference: takeoff.MethodDifference{Volume: 1.25, PerCent: ptr(0.8666), Mean: 0.00285}, FillDifference: takeoff.MethodDifference{Volume: -0.3, PerCent: ptr(-3), Mean: -0.0006849}},
		Prismoidal: takeoff.MethodVolumes{Cut: 145.3, Fill: 9.7, CutCurvature: -0.7, FillCurvature: 0.1,
			CutDifference: takeoff.MethodDifference{Volume: 1.05, PerCent: ptr(0.728), Mean: 0.0024}, FillDifference: takeoff.MethodDifference{Volume: -0.3, PerCent: ptr(-3), Mean: -0.0006849}},
	}
	across := takeoff.AlignmentResult{Name: `across <the> "site" & back`, Line: []takeoff.Place{{312540, 5812300}, {312540, 5812320}}, End: 20, Interval: 0.5, Chosen: true,
		Sections: []takeoff.SectionResult{axis.Sections[1], axis.Sections[2]}, Spans: axis.Spans[:1], EndArea: axis.EndArea, Prismoidal: axis.Prismoidal}
	return &takeoff.SectionsResult{
		Schema: 1, Program: m.Program, Job: m.Job, Units: m.Units, Scale: 1, Inputs: m.Inputs,
		Prisms:     takeoff.PrismVolumes{Cut: 144.25, Fill: 10, WorksArea: 438, UncoveredArea: 12},
		Alignments: []takeoff.AlignmentResult{axis, across}, StripRule: &takeoff.StripRule{Depth: 0.2},
		Notes:       []takeoff.Remark{{Code: "no_section", Message: "centre line: no section at 5: the works go from chainage 104.000 to 130.000"}},
		Warnings:    []takeoff.Remark{{Code: "ground_missing", Message: "centre line: 1 section has formation without ground", At: &at}},
		NotMeasured: m.NotMeasured, Surveys: m.Surveys,
	}
}

// longAxis is the sections of a small job in feet that has no alignment, no topsoil and
// no fill.
func longAxis() *takeoff.SectionsResult {
	f := feet()
	return &takeoff.SectionsResult{
		Schema: 1, Program: f.Program, Units: f.Units, Scale: f.Scale, Inputs: []takeoff.Input{},
		Prisms: takeoff.PrismVolumes{Cut: 37.04, WorksArea: 99},
		Alignments: []takeoff.AlignmentResult{{Name: "long axis of the works", LongAxis: true, Line: []takeoff.Place{{0, 0}, {10, 0}}, End: 10, Interval: 10, Chosen: true,
			Sections: []takeoff.SectionResult{
				{Bearing: 180, Cut: 100, SquareCut: 100, From: -5, To: 5, Profile: profileOf(-5, 5, 90, 0, 100, 100)},
				{Chainage: 10, Bearing: 180, Cut: 100, SquareCut: 100, From: -5, To: 5, Profile: profileOf(-5, 5, 90, 0, 100, 100)}},
			Spans:   []takeoff.SpanResult{{To: 10, MiddleCut: 100, EndArea: takeoff.SpanVolume{Cut: 37.04, CumulativeCut: 37.04}, Prismoidal: takeoff.SpanVolume{Cut: 37.04, CumulativeCut: 37.04}}},
			EndArea: takeoff.MethodVolumes{Cut: 37.04, CutDifference: takeoff.MethodDifference{PerCent: ptr(0)}}, Prismoidal: takeoff.MethodVolumes{Cut: 37.04, CutDifference: takeoff.MethodDifference{Volume: 1e-15, PerCent: ptr(1e-15), Mean: 1e-17}}}},
		Notes: []takeoff.Remark{}, Warnings: []takeoff.Remark{}, NotMeasured: []takeoff.Omission{}, Surveys: f.Surveys,
	}
}

// oneSection is a result of one section with a profile.
func oneSection(p []takeoff.ProfilePoint) *takeoff.SectionsResult {
	r := longAxis()
	r.StripRule = &takeoff.StripRule{Depth: 0.1}
	r.Alignments[0].Sections = []takeoff.SectionResult{{Chainage: 12.5, Cut: 1, Fill: 2, Profile: p}}
	return r
}

// rolling is ground of n steps that rolls round a level.
func rolling(n int, level, height float64) (z []float64) {
	for i := range n {
		z = append(z, level+height*math.Sin(float64(i)/float64(n)*7))
	}
	return z
}
