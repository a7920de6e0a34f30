package takeoff

import "barrow/tin/setout"

// SetOutResult is the pegs of a job and the levels to work to: units and rounding as in
// [Result], staff readings exact decimals.
type SetOutResult struct {
	Schema     int               `json:"schema"`
	Program    Program           `json:"program"`
	Job        string            `json:"job"`
	Units      Units             `json:"units"`
	Inputs     []Input           `json:"inputs"`
	Scale      float64           `json:"scale"`
	Interval   float64           `json:"interval"`
	Grid       float64           `json:"grid,omitempty"`
	Back       []float64         `json:"back"`
	OverDig    float64           `json:"over_dig,omitempty"`
	Trim       float64           `json:"trim,omitempty"`
	Staff      float64           `json:"staff,omitempty"`
	Instrument *InstrumentResult `json:"instrument,omitempty"` // nil: none is set up
	Pads       []SetOutPad       `json:"pads"`
	Pegs       []PegResult       `json:"pegs"`
	PegTops    []PegTopResult    `json:"peg_tops,omitempty"`
	Notes      []Remark          `json:"notes"` // of the takeoff too, as are Warnings
	Warnings   []Remark          `json:"warnings"`

	Takeoff *Result `json:"takeoff"` // the job measured: depths, clearances, and what was not measured
}

// InstrumentResult is the instrument on its benchmark.
type InstrumentResult struct {
	Name        string         `json:"benchmark"`
	Benchmark   setout.Decimal `json:"level"`
	Backsight   setout.Decimal `json:"backsight"`
	Collimation setout.Decimal `json:"collimation"` // their sum
}

// sight returns what to look for at a level; nil without an instrument.
func (i *InstrumentResult) sight(level float64) (*setout.Sight, error) {
	if i == nil {
		return nil, nil
	}
	d, err := setout.DecimalOf(level)
	if err != nil {
		return nil, err
	}
	s := setout.Instrument{Name: i.Name, Benchmark: i.Benchmark, Backsight: i.Backsight}.Sight(d)
	return &s, nil
}

// SetOutPad is the levels of a pad.
type SetOutPad struct {
	Name string     `json:"name"`
	Sets []LevelSet `json:"levels"`         // one of a level pad; else one at each corner
	Fall []SideFall `json:"fall,omitempty"` // of a falling pad, of each side of its outer ring
	Dug  []SetLevel `json:"thickenings"`    // levels of thickenings that have one; of a falling pad where the finished level holds
}

// LevelSet is the levels to work to at one place, from the top down.
type LevelSet struct {
	Corner string     `json:"corner,omitempty"` // empty: everywhere on the pad
	Levels []SetLevel `json:"levels"`
}

// What a level is.
const (
	LevelFinished  = "finished" // top of the finished work
	LevelLayer     = "layer"    // top of a layer under it
	LevelTrim      = "trim"     // what the first pass is dug to
	LevelFormation = "formation"
	LevelOverDig   = "over_dig"
	LevelDug       = "thickening" // what a thickening is dug to
)

// SetLevel is a level to work to.
type SetLevel struct {
	What       string        `json:"what"` // LevelFinished and its like
	Name       string        `json:"name"` // in words
	Level      float64       `json:"level"`
	AboveMarks []Above       `json:"above_benchmark"` // of the job's benchmarks
	Sight      *setout.Sight `json:"sight,omitempty"` // nil without an instrument
}

// SideFall is how a falling pad falls from one corner to the next, and across. Both are
// falls per length on the ground, above 0 down.
type SideFall struct {
	From   string  `json:"from"`
	To     string  `json:"to"`
	Along  float64 `json:"along"`  // from From towards To
	Across float64 `json:"across"` // to the right of that
}

// PegResult is a peg.
type PegResult struct {
	Number    string        `json:"number"`
	Pad       string        `json:"pad"`
	Kind      setout.Kind   `json:"kind"`
	At        Place         `json:"at"`
	Level     *float64      `json:"level,omitempty"`   // of the works there: formation, the daylight line; of a peg set back the ground
	Ground    *float64      `json:"ground,omitempty"`  // as it is; nil: there is none
	Topsoil   float64       `json:"topsoil,omitempty"` // stripped off it
	Formation float64       `json:"formation_level"`   // at the peg or, outside the outline, at the place of the outline that it stands for
	Depth     *float64      `json:"depth,omitempty"`   // Ground less Formation: cut where positive, fill below 0
	Batter    *BatterResult `json:"batter,omitempty"`  // of the side, in cut or in fill as the peg is; nil: upright, or a peg of the grid
	ToEdge    float64       `json:"to_edge"`           // distance in plan from the outline
	Levels    []PegLevel    `json:"levels"`            // from the top down
}

// PegLevel is a level to work to at a peg.
type PegLevel struct {
	What    string          `json:"what"`
	Name    string          `json:"name"`
	Level   float64         `json:"level"`
	Reading *setout.Decimal `json:"reading,omitempty"` // of the staff; nil without an instrument
}

// PegTopResult is a peg whose top was measured.
type PegTopResult struct {
	Number string    `json:"number"`
	Line   int       `json:"line,omitempty"` // in its file
	Top    float64   `json:"top"`
	Off    float64   `json:"off"`  // distance in plan from the peg's place
	Down   []PegDown `json:"down"` // from the top down
}

// PegDown is how far a level is below a peg's top; below 0 it is above.
type PegDown struct {
	What string  `json:"what"`
	Name string  `json:"name"`
	Down float64 `json:"down"`
}
