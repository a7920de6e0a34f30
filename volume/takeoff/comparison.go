package takeoff

import (
	"github.com/paulmach/orb"

	"barrow/tin"
)

// Codes of a comparison.
const (
	NoteSameFiles         = "same_files"         // A and B are the same files
	WarnBoundaryUncovered = "boundary_uncovered" // part of the boundary is not covered by both
	WarnLittleCommon      = "little_in_common"   // without a boundary, less than half of the smaller surface is common
	WarnDatumsDiffer      = "datums_differ"      // a large difference of level, everywhere alike
	WarnStableShift       = "stable_shift"       // the difference on stable ground is over 2 % of cut plus fill
	codeNoCommonGround    = "no_common_ground"   // an error: A and B share no ground
	codeAreaOffGround     = "area_off_ground"    // an error: nor do they within a boundary or stable ground
	codeAreasOverlap      = "areas_overlap"      // an error: outlines of one area overlap
	codeUnitsDiffer       = "units_differ"       // an error: A and B in two units
	codeScalesDiffer      = "scales_differ"      // an error: A and B on two scales
)

// Comparison is two surveyed surfaces to be held against each other, before and
// after. Both are in one unit and have one scale.
type Comparison struct {
	A, B   *Job // their units, scale, surveys and ground; pads are not looked at
	Within Area // where cut and fill are measured; empty: wherever A and B both are
	Stable Area // ground that nobody touched between the two; empty: none known
}

// Area is an area in plan, in the unit of the surveys.
type Area struct {
	Polygons orb.MultiPolygon // which do not overlap
	Inputs   []Input          // the file it was read from
	Notes    []tin.Problem    // what was noticed while it was read
	Warnings []tin.Problem    // likewise, which a person must read
}

// Compared is the outcome of a comparison: units, places and rounding as in
// [Result].
//
// Depth is A less B: cut where the ground went down from A to B, in bank measure,
// fill where it went up.
type Compared struct {
	Schema      int             `json:"schema"`
	Program     Program         `json:"program"`
	Units       Units           `json:"units"`
	Scale       float64         `json:"scale"`
	Inputs      []Input         `json:"inputs"`
	A           SurfaceResult   `json:"a"`
	B           SurfaceResult   `json:"b"`
	Total       ComparedTotal   `json:"total"`
	Difference  LevelDifference `json:"difference"` // over Total.CommonArea
	Stable      *StableResult   `json:"stable,omitempty"`
	Notes       []Remark        `json:"notes"`
	Warnings    []Remark        `json:"warnings"` // a person must read these
	NotMeasured []Omission      `json:"not_measured"`
}

// SurfaceResult is one of the two surfaces.
type SurfaceResult struct {
	Name    string         `json:"name"` // the job's name, or the file; empty for one made in memory
	Ground  GroundResult   `json:"ground"`
	Surveys []SurveyResult `json:"surveys"`
}

// ComparedTotal is what was measured within the boundary, or wherever both
// surfaces are.
type ComparedTotal struct {
	Cut           float64  `json:"cut"`
	Fill          float64  `json:"fill"`
	CutLessFill   float64  `json:"cut_less_fill"`
	CutArea       float64  `json:"cut_area"` // in plan, as all areas
	FillArea      float64  `json:"fill_area"`
	LevelArea     float64  `json:"level_area"`  // with no difference at all
	CommonArea    float64  `json:"common_area"` // covered by both: all of the above come from here
	OnlyAArea     float64  `json:"only_a_area"`
	OnlyBArea     float64  `json:"only_b_area"`
	BoundaryArea  *float64 `json:"boundary_area,omitempty"`  // nil without a boundary
	UncoveredArea *float64 `json:"uncovered_area,omitempty"` // of the boundary, less CommonArea
	MaxCutDepth   float64  `json:"max_cut_depth"`            // 0 where there is no cut
	MaxCutAt      *Place   `json:"max_cut_at,omitempty"`
	MaxFillDepth  float64  `json:"max_fill_depth"`
	MaxFillAt     *Place   `json:"max_fill_at,omitempty"`
}

// LevelDifference is the level of A less that of B over an area, every square
// metre counted alike.
type LevelDifference struct {
	Mean              float64 `json:"mean"`
	StandardDeviation float64 `json:"standard_deviation"`
	Least             float64 `json:"least"` // with its sign
	Greatest          float64 `json:"greatest"`
}

// StableResult is the difference on ground that nobody touched, and what it would
// make of the works' volume if they shared it.
type StableResult struct {
	Area          float64 `json:"area"`           // covered by both
	UncoveredArea float64 `json:"uncovered_area"` // the rest of the area given
	LevelDifference
	WorksArea float64  `json:"works_area"`      // Total.CommonArea
	Volume    float64  `json:"volume"`          // Mean times WorksArea: its share in CutLessFill
	Share     *float64 `json:"share,omitempty"` // its size over that of cut plus fill; nil where there is neither
}
