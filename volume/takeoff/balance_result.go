package takeoff

import (
	"barrow/volume/material"
	"barrow/volume/price"
)

// BalanceResult is where cut and fill of a job balance, and what other levels make of
// them. Every number is in its Units and unrounded; levels are finished levels, and a
// shift is by how much they are above those of the job. What is absent is left out.
type BalanceResult struct {
	Schema  int     `json:"schema"`
	Program Program `json:"program"`
	Job     string  `json:"job"`
	Units   Units   `json:"units"`
	Inputs  []Input `json:"inputs"`
	Scale   float64 `json:"scale"`

	Surveys []SurveyResult `json:"surveys"`

	CompactedPerBank *float64        `json:"compacted_per_bank,omitempty"` // nil: no factor was given, and without materials 1 is taken
	ByMaterials      bool            `json:"by_materials,omitempty"`       // the job's materials say what fill is made of all that is dug
	Needs            []material.Need `json:"needs,omitempty"`              // factors for want of which they do not
	Currency         *price.Currency `json:"currency,omitempty"`           // of costs; nil: not said, and minor units are hundredths
	Rates            *EarthRates     `json:"rates,omitempty"`              // that costs are by
	RatesFile        string          `json:"rates_file,omitempty"`         // instead: its bill, works with contingency
	Moved            []MovedPad      `json:"moved"`
	Limits           ShiftLimits     `json:"limits"`

	AsGiven LevelPoint  `json:"as_given"`          // the job as it stands
	Balance *LevelPoint `json:"balance,omitempty"` // nil: none within the limits
	Nearest *LevelPoint `json:"nearest,omitempty"` // what is nearest to one then
	PerStep *StepChange `json:"per_step"`          // at Balance, or Nearest
	Jumps   []LevelJump `json:"jumps"`             // where the curve jumps

	LeastCost *LeastCost `json:"least_cost,omitempty"` // nil: no rates were given

	WhatIf   []LevelPoint `json:"what_if"`              // the job as it stands, and five steps below and above
	Table    []LevelPoint `json:"table"`                // whole steps about the balance, and that itself
	Curve    []LevelPoint `json:"curve"`                // over all of these
	OneByOne []AlonePad   `json:"one_by_one,omitempty"` // each pad moved alone; empty where only one moves

	TopsoilApart bool       `json:"topsoil_apart"` // topsoil is stripped first, and is neither cut nor fill
	Notes        []Remark   `json:"notes"`
	Warnings     []Remark   `json:"warnings"` // a person must read these
	NotMeasured  []Omission `json:"not_measured"`
}

// MovedPad is a pad that moves, as the job has it.
type MovedPad struct {
	Name          string   `json:"name"`
	FinishedLevel *float64 `json:"finished_level,omitempty"` // nil for levels of its own
	At            *Place   `json:"at,omitempty"`             // where it holds; nil for a level pad
	Lowest        *float64 `json:"lowest,omitempty"`         // of levels of its own
	Highest       *float64 `json:"highest,omitempty"`
	NotBelow      *float64 `json:"not_below,omitempty"` // its own limits
	NotAbove      *float64 `json:"not_above,omitempty"`
}

// ShiftLimits are the shifts that all limits allow.
type ShiftLimits struct {
	Least   *float64 `json:"least,omitempty"` // nil: no limit
	Most    *float64 `json:"most,omitempty"`
	LeastOf string   `json:"least_of,omitempty"` // what sets it
	MostOf  string   `json:"most_of,omitempty"`
}

// LevelPoint is the job measured with its pads at one shift. Cut and fill are those of
// all pads as dug; areas those of the works of the pads that move, batters too.
type LevelPoint struct {
	Shift       float64         `json:"shift"`
	Levels      []PadLevel      `json:"levels"` // of the pads that move
	Cut         float64         `json:"cut"`
	Fill        float64         `json:"fill"`
	CutLessFill float64         `json:"cut_less_fill"`
	Surplus     *float64        `json:"surplus,omitempty"`      // cut left over, bank measure; nil without a factor, as Short is
	Short       *float64        `json:"short,omitempty"`        // fill missing, compacted measure
	Supply      *float64        `json:"supply,omitempty"`       // fill that can be made of what is dug, compacted
	FillToMake  *float64        `json:"fill_to_make,omitempty"` // by materials backfill too
	Unassigned  float64         `json:"unassigned,omitempty"`   // dug, of no material
	Materials   []LevelMaterial `json:"materials,omitempty"`    // where they make the balance; topsoil only where it can be fill, or is priced
	CutArea     float64         `json:"cut_area"`               // by which cut falls with the level
	FillArea    float64         `json:"fill_area"`              // by which fill rises with it
	Cost        *int64          `json:"cost,omitempty"`         // minor units of money; nil without rates
	CostInPart  bool            `json:"cost_in_part,omitempty"` // spoil and import are not known, and not in Cost
	AtLeast     bool            `json:"at_least,omitempty"`     // part of the works has no ground
	Outside     bool            `json:"outside,omitempty"`      // outside of the limits
}

// PadLevel is the level of a pad at one shift.
type PadLevel struct {
	Name           string   `json:"name"`
	FinishedLevel  *float64 `json:"finished_level,omitempty"` // nil for levels of its own
	FormationLevel *float64 `json:"formation_level,omitempty"`
}

// StepChange is by how much cut falls and fill rises with one step up.
type StepChange struct {
	Step     float64 `json:"step"`
	CutFalls float64 `json:"cut_falls"`
	FillRise float64 `json:"fill_rises"`
}

// LevelJump is a level at which works join or part, so that the volumes jump.
type LevelJump struct {
	Below LevelPoint `json:"below"`
	Above LevelPoint `json:"above"`
	Cut   float64    `json:"cut"`  // by which it is greater below
	Fill  float64    `json:"fill"` // by which it is greater above
}

// Where a level of least cost may lie at the end of those looked at.
const (
	EndLimit  = "limit"  // of the levels allowed
	EndSearch = "search" // of the levels looked at, for want of a limit
)

// LeastCost is the level of least cost among those looked at.
type LeastCost struct {
	LevelPoint
	Least    float64  `json:"least"` // shifts looked at
	Most     float64  `json:"most"`
	Saved    int64    `json:"saved,omitempty"`     // against the job as it stands; 0 where either cost is in part
	SameFrom *float64 `json:"same_from,omitempty"` // by a bill: shifts about it that cost the same
	SameTo   *float64 `json:"same_to,omitempty"`
	AtEnd    string   `json:"at_end,omitempty"` // "limit" or "search": it may be less beyond
}

// AlonePad is where the job balances with one pad moved and all others as the job has
// them.
type AlonePad struct {
	Name    string      `json:"name"`
	Balance *LevelPoint `json:"balance,omitempty"`
	Nearest *LevelPoint `json:"nearest,omitempty"` // where none within its limits balances; nil as Balance: not known, for cut of no material
	Jump    bool        `json:"jump,omitempty"`    // the volumes, or what they are of, jump across the balance
}
