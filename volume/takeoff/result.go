package takeoff

import (
	"github.com/paulmach/orb"

	"barrow/tin/formation"
	"barrow/volume/material"
)

// SchemaVersion is the version of the JSON form of [Result]. Keys are added in
// later versions of the program; none changes its meaning.
const SchemaVersion = 1

// Program is what made a result.
type Program struct {
	Name    string `json:"name"`
	Version string `json:"version"`
}

// Version is the version of the program and of its figures.
const Version = "0.1.0"

// Units are the units of the numbers in a result.
type Units struct {
	Length string `json:"length"` // "m", "ft" or "ftUS"
	Area   string `json:"area"`   // its square: "m2", "ft2" or "ftUS2"
	Volume string `json:"volume"` // "m3", or "yd3": 27 cubic feet of the job's foot
}

// Result is the outcome of a job. Every number is in its Units and unrounded;
// lengths and areas are on the ground (grid lengths by the job's scale), places
// are grid coordinates. Its JSON form is the machine's result: what is absent
// is left out.
//
// Depth is ground less formation. Cut is bank measure, fill the space to be
// filled; CutLessFill is their difference before any factor.
type Result struct {
	Schema      int            `json:"schema"`
	Program     Program        `json:"program"`
	Job         string         `json:"job"`
	Units       Units          `json:"units"`
	Inputs      []Input        `json:"inputs"`
	Ground      GroundResult   `json:"ground"`
	Pads        []PadResult    `json:"pads"`
	Total       Total          `json:"total"`
	StripRule   *StripRule     `json:"strip_rule,omitempty"` // nil: no topsoil is taken off
	Notes       []Remark       `json:"notes"`
	Warnings    []Remark       `json:"warnings"` // a person must read these
	NotMeasured []Omission     `json:"not_measured"`
	Cautions    []Caution      `json:"cautions"` // what those who dig must know; none of them, or their absence, is an approval
	Scale       float64        `json:"scale"`
	Surveys     []SurveyResult `json:"surveys"`

	Clearances []ClearanceResult `json:"clearances,omitempty"` // in the order of the job

	// Materials is what becomes of what is dug; nil for a job without materials. Of its
	// volumes those dug in thickenings are a part, beside the cut, and backfill is a part
	// of its fill.
	Materials *material.Result `json:"materials,omitempty"`
	site      material.Site    // that they were reckoned from

	Uncertainty *UncertaintyResult `json:"uncertainty,omitempty"` // nil: there are no works

	Plan *PlanResult `json:"-"` // nil: not asked for in [Options]

	WorksOutline orb.MultiPolygon `json:"-"` // the rim of all works, grid coordinates: closed rings, outer ones anticlockwise
	StripOutline orb.MultiPolygon `json:"-"` // what is stripped: it may reach beyond the ground and over places without topsoil
}

// GroundResult is the surface before the work.
type GroundResult struct {
	Points     int     `json:"points"`    // spots and breakline vertices taken
	Merged     int     `json:"merged"`    // of them, at the place of another
	LeftOut    int     `json:"left_out"`  // spots not taken: ignored codes, no level, replaced
	Triangles  int     `json:"triangles"` // of the domain
	Area       float64 `json:"area"`      // in plan, of the domain
	LevelMin   float64 `json:"level_min"` // after the benchmark's shift
	LevelMax   float64 `json:"level_max"`
	EdgeMedian float64 `json:"edge_median"` // length of the ground's edges in plan
}

// PadResult is what was measured of one pad, where it rules.
type PadResult struct {
	Name           string   `json:"name"`
	FinishedLevel  *float64 `json:"finished_level,omitempty"`  // nil for a pad with levels of its own
	FormationLevel *float64 `json:"formation_level,omitempty"` // of a level pad, or at Fall.At; nil as above
	OutlineArea    float64  `json:"outline_area"`              // in plan
	FormationArea  float64  `json:"formation_area"`            // of the outline with its margin
	BatterArea     float64  `json:"batter_area"`

	OutlineCut  float64 `json:"outline_cut"` // upright faces on the outline: the net void
	OutlineFill float64 `json:"outline_fill"`
	MarginCut   float64 `json:"margin_cut"`
	MarginFill  float64 `json:"margin_fill"`
	BatterCut   float64 `json:"batter_cut"`
	BatterFill  float64 `json:"batter_fill"`
	Cut         float64 `json:"cut"` // the three parts together: as dug
	Fill        float64 `json:"fill"`
	CutLessFill float64 `json:"cut_less_fill"`

	CutArea       float64 `json:"cut_area"` // in plan, inside the formation outline
	FillArea      float64 `json:"fill_area"`
	MaxCutDepth   float64 `json:"max_cut_depth"` // 0 where there is no cut
	MaxFillDepth  float64 `json:"max_fill_depth"`
	UncoveredArea float64 `json:"uncovered_area"` // without ground: the volumes are at least those given
	OpenLength    float64 `json:"open_length"`    // of the ground's rim that batters reach with depth: theirs are at least those given

	MakeupFill float64 `json:"makeup_fill,omitempty"` // part of Fill that makes up for topsoil stripped below formation
	MakeupArea float64 `json:"makeup_area,omitempty"`

	Thickenings      []ThickeningResult `json:"thickenings,omitempty"`
	ThickeningVolume float64            `json:"thickening_volume,omitempty"` // dug below formation, beside Cut
	Backfill         *BackfillResult    `json:"backfill,omitempty"`

	Margin     float64       `json:"margin"`                // as the job gives it
	CutBatter  *BatterResult `json:"cut_batter,omitempty"`  // nil: upright (no batter given)
	FillBatter *BatterResult `json:"fill_batter,omitempty"` // likewise
	Edges      []EdgeResult  `json:"edges,omitempty"`       // sides with rules of their own

	WorksCutDepth  float64  `json:"works_cut_depth"` // greatest of all works, batters too; from stripped ground
	WorksFillDepth float64  `json:"works_fill_depth"`
	WorksCutAt     *Place   `json:"works_cut_at,omitempty"`
	WorksFillAt    *Place   `json:"works_fill_at,omitempty"`
	BatterTop      *LevelAt `json:"batter_top,omitempty"`  // highest place of the cut batters; nil without any
	BatterFoot     *LevelAt `json:"batter_foot,omitempty"` // lowest of the fill batters

	LevelArea  float64    `json:"level_area"` // ground at formation already
	TrimArea   float64    `json:"trim_area"`  // to trim and roll: formation where this pad rules, in plan
	MaxCutAt   *Place     `json:"max_cut_at,omitempty"`
	MaxFillAt  *Place     `json:"max_fill_at,omitempty"`
	Layers     []Rung     `json:"layers"`
	Fall       *Slope     `json:"fall,omitempty"`
	OwnLevels  bool       `json:"own_levels,omitempty"`
	Perimeter  float64    `json:"perimeter"`
	Corners    []Corner   `json:"corners"`
	Sides      []Side     `json:"sides"`
	Diagonals  []Diagonal `json:"diagonals"`
	High       Corner     `json:"high"` // of a level pad the same as Low
	Low        Corner     `json:"low"`
	AboveMarks []Above    `json:"above_benchmark"` // of FormationLevel; empty without it or a benchmark

	CrestLength float64 `json:"crest_length,omitempty"` // in plan, where cut batters meet the ground
	ToeLength   float64 `json:"toe_length,omitempty"`   // where fill batters do

	ZeroLines  orb.MultiLineString `json:"-"` // where cut turns to fill, grid coordinates
	ZeroLevels []LevelLine         `json:"-"` // the same, with the level of formation and stripped ground there

	// Crest and Toe are where batters meet the ground, with the levels of the
	// stripped ground and the works on their left. FormationOutline is the outline with
	// its margin, with formation levels; of pads that are one, the first has it.
	Crest, Toe, FormationOutline []LevelLine `json:"-"`
}

// What the works must do about a clearance.
const (
	StayInside  = "inside"
	StayOutside = "outside"
)

// ClearanceResult is how the works lie to a clearance.
type ClearanceResult struct {
	Name     string   `json:"name"`
	Stay     string   `json:"stay"` // "inside" or "outside"
	Distance float64  `json:"distance"`
	Kept     bool     `json:"kept"`
	Least    *float64 `json:"least_distance,omitempty"` // of the works from the shape; where they stay inside, from its rim; below 0 they reach across; nil without works
	Area     float64  `json:"area"`                     // in plan, of the works that break it; 0 if it is kept
	Overlap  float64  `json:"overlap"`                  // how far the works reach past the line at most; 0 if it is kept
	At       *Place   `json:"at,omitempty"`             // where they are nearest, or reach farthest past
	Pads     []string `json:"pads"`                     // whose works break it
}

// Place is easting and northing on the grid.
type Place [2]float64

// LevelAt is a level and its place.
type LevelAt struct {
	Level float64 `json:"level"`
	At    Place   `json:"at"`
}

// Rung is a layer of the build-up with its levels. Those of a pad without one
// finished level are left out.
type Rung struct {
	Name      string   `json:"name"`
	Thickness float64  `json:"thickness"`
	Top       *float64 `json:"top,omitempty"`
	Underside *float64 `json:"underside,omitempty"`
	To        LayersTo `json:"to,omitempty"`     // how far it goes: "outline" or "margin"
	Area      float64  `json:"area,omitempty"`   // in plan, where the pad rules
	Volume    float64  `json:"volume,omitempty"` // as built: area by thickness
}

// LayerAmount is how much there is of a layer, in place, as built.
type LayerAmount struct {
	Name      string  `json:"name"`
	Thickness float64 `json:"thickness,omitempty"`
	Area      float64 `json:"area"` // in plan
	Volume    float64 `json:"volume"`
}

// ThickeningResult is what was measured of a thickening. All of it is below formation,
// and in no cut or fill.
type ThickeningResult struct {
	Name          string              `json:"name"`
	From          formation.DepthFrom `json:"from,omitempty"`   // what Depth counts from
	Depth         float64             `json:"depth,omitempty"`  // to the underside of what stands in it; 0 where its level was given
	Length        float64             `json:"length,omitempty"` // in plan, of its lines, crossings in each
	Width         float64             `json:"width,omitempty"`
	Level         *float64            `json:"level,omitempty"`               // to dig to; of a falling pad at Fall.At; nil: along with levels of its own
	Below         *float64            `json:"below_formation,omitempty"`     // how far that is below formation; nil where a level was given
	AboveMarks    []Above             `json:"above_benchmark,omitempty"`     // of Level
	Footprint     float64             `json:"footprint_area"`                // in plan, as drawn
	Outside       float64             `json:"outside_area,omitempty"`        // of it, outside the pad's formation: not measured
	Area          float64             `json:"area"`                          // in plan, where it rules
	Volume        float64             `json:"volume"`                        // dug below formation, bank measure
	Body          float64             `json:"body_volume"`                   // of Volume, between upright sides and above its own layers
	Along         float64             `json:"batter,omitempty"`              // n of its sides 1V:nH; 0: upright
	BatterVolume  float64             `json:"batter_volume,omitempty"`       // of Volume, beside its footprint
	BatterArea    float64             `json:"batter_area,omitempty"`         // in plan
	BatterOutside float64             `json:"batter_outside_area,omitempty"` // outside the pad's formation: not measured
	Bound         float64             `json:"facet_bound,omitempty"`         // by how much facets overstate BatterVolume at most
	Layers        []LayerAmount       `json:"layers"`                        // its own
}

// BackfillResult is the void outside the structure that is filled up again: space to be
// filled, compacted measure.
type BackfillResult struct {
	To      BackfillTo `json:"to"`
	Level   *float64   `json:"level,omitempty"` // of BackfillLevel
	NetVoid float64    `json:"net_void"`        // inside the outline
	Margin  float64    `json:"margin"`
	Batter  float64    `json:"batter"`
	AsDug   float64    `json:"as_dug"` // the three together
	Area    float64    `json:"area"`   // in plan, of all of it
}

// Slope is the fall of a pad.
type Slope struct {
	Slope   float64 `json:"slope"`   // 0.01 for 1:100, on the ground
	Bearing float64 `json:"bearing"` // in which it goes down, degrees from grid north clockwise
	At      Place   `json:"at"`      // where FinishedLevel holds
}

// Corner is a corner of an outline, or a spot inside with a level of its own.
type Corner struct {
	Name       string  `json:"name"`
	At         Place   `json:"at"`
	Finished   float64 `json:"finished_level"`
	Formation  float64 `json:"formation_level"`
	Ring       int     `json:"ring"` // 0: outer; -1: inside
	AboveMarks []Above `json:"above_benchmark,omitempty"`
}

// Side is a side of an outline, to hold against the drawing.
type Side struct {
	From    string  `json:"from"`
	To      string  `json:"to"`
	Length  float64 `json:"length"`
	Bearing float64 `json:"bearing"` // degrees from grid north clockwise
	Ring    int     `json:"ring"`
}

// Diagonal is a diagonal of a four-sided outline.
type Diagonal struct {
	From   string  `json:"from"`
	To     string  `json:"to"`
	Length float64 `json:"length"`
}

// Above is a level's height above a benchmark; below 0 it is under it.
type Above struct {
	Mark  string  `json:"mark"`
	Level float64 `json:"level"` // of the mark, in the plans
	Above float64 `json:"above"`
}

// Total is the sums over the pads.
type Total struct {
	Cut           float64 `json:"cut"`
	Fill          float64 `json:"fill"`
	CutLessFill   float64 `json:"cut_less_fill"`
	OutlineCut    float64 `json:"outline_cut"`
	OutlineFill   float64 `json:"outline_fill"`
	MarginCut     float64 `json:"margin_cut"`
	MarginFill    float64 `json:"margin_fill"`
	BatterCut     float64 `json:"batter_cut"`
	BatterFill    float64 `json:"batter_fill"`
	BatterArea    float64 `json:"batter_area"`
	FacetBound    float64 `json:"facet_bound,omitempty"` // volume that the facets of round corners add at most, all pads together; they take none away
	WorksArea     float64 `json:"works_area"`            // in plan, of all works together
	StripArea     float64 `json:"strip_area,omitempty"`
	Topsoil       float64 `json:"topsoil,omitempty"`
	MakeupFill    float64 `json:"makeup_fill,omitempty"`
	MakeupArea    float64 `json:"makeup_area,omitempty"`
	UncoveredArea float64 `json:"uncovered_area"`
	OpenLength    float64 `json:"open_length"`
	ThinArea      float64 `json:"thin_area"` // works on triangles with a side over 5 times Ground.EdgeMedian
	MaxGap        float64 `json:"max_gap"`   // from the works to the nearest point of the ground, see Run
	TrimArea      float64 `json:"trim_area"`

	Strip            []StripResult    `json:"strip,omitempty"`        // StripArea and Topsoil by depth, the least first
	Respread         []RespreadResult `json:"respread,omitempty"`     // of the job, in its order
	TopsoilLeft      *float64         `json:"topsoil_left,omitempty"` // Topsoil less what is spread again, in bank measure without factors; below 0 it is short; nil without Respread, or without a strip
	Layers           []LayerAmount    `json:"layers,omitempty"`       // of all pads and thickenings, by name
	ThickeningVolume float64          `json:"thickening_volume,omitempty"`
	BackfillNetVoid  float64          `json:"backfill_net_void,omitempty"`
	BackfillAsDug    float64          `json:"backfill_as_dug,omitempty"`
}

// StripResult is what is stripped to one depth.
type StripResult struct {
	Depth  float64 `json:"depth"`
	Area   float64 `json:"area"`   // in plan
	Volume float64 `json:"volume"` // bank
}

// RespreadResult is an area that topsoil is spread over again.
type RespreadResult struct {
	Name   string  `json:"name"`
	Area   float64 `json:"area"` // in plan, of ground
	Depth  float64 `json:"depth"`
	Volume float64 `json:"volume"` // area by depth
}

// Remark is a note or a warning.
type Remark struct {
	Code    string `json:"code"`
	Message string `json:"message"`
	At      *Place `json:"at,omitempty"`
}

// Omission is work that is in none of the figures.
type Omission struct {
	Code    string `json:"code"`
	Message string `json:"message"`
}

// SurveyResult is what became of a survey's points.
type SurveyResult struct {
	Name       string      `json:"name"`
	Points     int         `json:"points"`     // spot heights in it
	Used       int         `json:"used"`       // as spots or on lines
	LeftOut    int         `json:"left_out"`   // by code
	NoLevel    int         `json:"no_level"`   // left out since they have no level
	Breaklines int         `json:"breaklines"` // given, or formed by line codes
	Stripped   bool        `json:"stripped,omitempty"`
	Codes      []CodeCount `json:"codes"` // every code met, in alphabetical order
	Benchmark  *MarkResult `json:"benchmark,omitempty"`
	Shift      float64     `json:"shift"` // added to every level
	Checks     []MarkCheck `json:"checks,omitempty"`

	Replaced          int            `json:"replaced,omitempty"`           // of its points, left out since a later survey replaces them
	ReplacedVertices  int            `json:"replaced_vertices,omitempty"`  // of its breaklines but those of line codes, likewise
	ReplacedStretches int            `json:"replaced_stretches,omitempty"` // of all its breaklines, likewise
	Replaces          *ReplaceResult `json:"replaces,omitempty"`           // nil: it is merged with those before it
}

// ReplaceResult is what a survey took the place of.
type ReplaceResult struct {
	Area      float64     `json:"area"`      // in plan, of the area in which it replaces
	Points    int         `json:"points"`    // of earlier surveys, left out
	Vertices  int         `json:"vertices"`  // of their breaklines but those of line codes
	Stretches int         `json:"stretches"` // of all their breaklines, from where one goes in to where it comes out or ends
	Step      *StepResult `json:"step,omitempty"`
}

// StepResult is how a survey's own ground lies to the earlier one along the
// edge of the new ground: the rim of its area and, where its points do not reach
// that, the border of the surface of its own points. Above 0 the new ground is
// higher.
type StepResult struct {
	Length    float64 `json:"length"` // of the edge on which both have ground, in plan
	Mean      float64 `json:"mean"`   // new level less old
	Greatest  float64 `json:"greatest"`
	At        Place   `json:"at"` // of Greatest
	Tolerance float64 `json:"tolerance"`
}

// What is made of the points of a code.
const (
	UseSpot    = "spot"
	UseLine    = "line"
	UseLeftOut = "left out"
)

// CodeCount is a code with its number of points.
type CodeCount struct {
	Code  string `json:"code"` // empty: points without one
	Count int    `json:"count"`
	Use   string `json:"use"` // "spot", "line" or "left out"
}

// MarkResult is the benchmark of a survey.
type MarkResult struct {
	Name     string  `json:"name"`
	Plan     float64 `json:"plan"`
	Measured float64 `json:"measured"`
}

// MarkCheck is a further mark held against the shifted survey.
type MarkCheck struct {
	Name     string  `json:"name"`
	Plan     float64 `json:"plan"`
	Measured float64 `json:"measured"`
	Off      float64 `json:"off"` // shifted measured level less plan level: above 0 is high
}
