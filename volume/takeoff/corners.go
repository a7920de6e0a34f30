package takeoff

import (
	"context"
	"fmt"
	"io"

	"barrow/tin"
	"barrow/volume/grid"
	"barrow/volume/takeoff/internal/tomltree"
)

// Rules and splits of [CornersOptions].
const (
	RuleSquare  = "square"       // the mean depth of four corners
	RuleRising  = "rising"       // two triangles, the diagonal from the first corner to that of the next row and column
	RuleFalling = "falling"      // the other diagonal
	SplitZero   = "zero-line"    // a cell with both cut and fill is parted where depth is zero
	SplitApart  = "corners"      // corners in cut and in fill are summed apart: overstates both
	SplitFour   = "four-corners" // squares of the sums of both over their sum
)

// NoteCellsIncomplete is the code of a note: cells with a depth at some corners and not
// at all four are left out.
const NoteCellsIncomplete = "cells_incomplete"

// CornersOptions say how a file of corner levels or depths is measured. Lengths are in
// the file's unit.
type CornersOptions struct {
	Unit      tin.Unit
	Spacing   float64  // side of a cell along the bearing
	Across    float64  // its other side; 0: a square
	Bearing   float64  // in which rows count up, degrees from north clockwise
	Formation *float64 // level, for a file with levels and no column of it
	Topsoil   float64  // taken off the levels
	Rule      string   // RuleSquare and its like; empty: square
	Split     string   // SplitZero and its like; empty: zero-line
}

// CornersResult is cut and fill by the unit-area grid from a file of corners: units and
// rounding as in [Result].
type CornersResult struct {
	Schema    int            `json:"schema"`
	Program   Program        `json:"program"`
	Name      string         `json:"name"` // of the file
	Units     Units          `json:"units"`
	Inputs    []Input        `json:"inputs"`
	Grid      CornersGrid    `json:"grid"`
	Rule      string         `json:"rule"`
	Split     string         `json:"split"`
	Formation *float64       `json:"formation,omitempty"` // absent: in the file, or depths
	Topsoil   float64        `json:"topsoil,omitempty"`
	Total     CornersTotal   `json:"total"`
	Weights   []CornerWeight `json:"weights"`
	Weighed   float64        `json:"weighed"` // sum of their products
	Corners   []CornerResult `json:"corners"`
	Notes     []Remark       `json:"notes"`
	Warnings  []Remark       `json:"warnings"`
}

// CornersGrid is the grid's cells.
type CornersGrid struct {
	Bearing float64 `json:"bearing"`
	Along   float64 `json:"along"` // sides of a cell
	Across  float64 `json:"across"`
	Rows    int     `json:"rows"`
	Columns int     `json:"columns"`
}

// CornersTotal is what the grid measures.
type CornersTotal struct {
	Cut          float64      `json:"cut"`
	Fill         float64      `json:"fill"`
	CutLessFill  float64      `json:"cut_less_fill"`
	Area         float64      `json:"area"`
	MeanDepth    float64      `json:"mean_depth"` // cut less fill over the area
	MaxCutDepth  float64      `json:"max_cut_depth"`
	MaxFillDepth float64      `json:"max_fill_depth"`
	Cells        int          `json:"cells"` // measured
	Incomplete   int          `json:"incomplete"`
	Sampling     *CornersSure `json:"sampling,omitempty"` // nil: no cell of twice the spacing is complete
}

// CornersSure is how far volumes may be off because ground is known at the corners only.
type CornersSure struct {
	Cut         float64 `json:"cut"`
	Fill        float64 `json:"fill"`
	CutLessFill float64 `json:"cut_less_fill"`
}

// CornerWeight is the corners at which as many cells, or triangles, meet: their products
// over Share, times a cell's area, add up to cut less fill.
type CornerWeight struct {
	Meet    int     `json:"meet"`
	Share   int     `json:"share"` // 4 of cells, 6 of triangles
	Corners int     `json:"corners"`
	Depths  float64 `json:"depths"`  // their sum
	Product float64 `json:"product"` // Meet times Depths
}

// CornerResult is a corner with its depth, cut where positive.
type CornerResult struct {
	Row    int     `json:"row"`
	Column int     `json:"column"`
	Depth  float64 `json:"depth"`
	Meet   int     `json:"meet"`
}

// MeasureCorners reads a file of corner levels or depths, see [grid.ReadTable], and
// measures it by the unit-area grid.
//
// Errors in the file are those of ReadTable and [grid.Table.Measure], of options
// "bad_value", with the key spacing, across, bearing, formation, topsoil, rule or split.
func MeasureCorners(ctx context.Context, f DataFile, o CornersOptions, limits Limits) (*CornersResult, error) {
	gridOptions, err := o.check()
	if err != nil {
		return nil, err
	}
	l := newLoader(ctx, f.FS, f.Name, newBudget(limits))
	l.job.Units = o.Unit
	var table grid.Table
	l.read(&tomltree.Node{}, f.Name, func(r io.Reader) (Input, error) {
		var err error
		table, err = grid.ReadTable(ctx, r, f.Name, o.table())
		return Input{Points: len(table.Corners)}, err
	})
	if l.err != nil {
		return nil, l.err
	}
	measured, err := table.Measure(ctx, gridOptions)
	if err != nil {
		return nil, inFile(err, f.Name)
	}
	weights, err := table.Weights(gridOptions.Rule)
	if err != nil {
		return nil, inFile(err, f.Name)
	}
	meet, err := table.Meeting(gridOptions.Rule)
	if err != nil {
		return nil, inFile(err, f.Name)
	}
	res := o.result(&table, &measured, weights, meet)
	res.Name, res.Inputs = f.Name, l.job.Inputs
	return res, nil
}

// inFile has an error about input name its file.
func inFile(err error, name string) error {
	e := asInputError(err)
	if e == nil || e.File != "" {
		return err
	}
	named := *e
	named.File = name
	return &named
}

// check refuses options that are none, and returns how the grid is measured.
func (o *CornersOptions) check() (g grid.Options, err error) {
	g.Halve = true
	least := 1e-3 / o.Unit.Metres()
	switch {
	case !(o.Spacing >= least && o.Spacing <= 1e6):
		return g, badJob(codeBadValue, "spacing", "a side of "+formatNumber(o.Spacing), "give the side of the cells, 1 mm at least")
	case o.Across != 0 && !(o.Across >= least && o.Across <= 1e6):
		return g, badJob(codeBadValue, "across", "a side of "+formatNumber(o.Across), "give the other side of the cells, or leave it out for squares")
	case !(o.Bearing >= -360 && o.Bearing <= 360):
		return g, badJob(codeBadValue, "bearing", "a bearing of "+formatNumber(o.Bearing), "give degrees from north clockwise")
	case o.Formation != nil && !finite(*o.Formation):
		return g, badJob(codeBadValue, "formation", "a formation level of "+formatNumber(*o.Formation), "give a finite number")
	case !(o.Topsoil >= 0 && o.Topsoil*o.Unit.Metres() <= 100):
		return g, badJob(codeBadValue, "topsoil", "topsoil of "+formatNumber(o.Topsoil), "give its depth, 0 or more")
	case !known(o.Rule, RuleSquare, RuleRising, RuleFalling):
		return g, badJob(codeBadValue, "rule", fmt.Sprintf("unknown word %q", o.Rule), `use "square", "rising" or "falling"`)
	case !known(o.Split, SplitZero, SplitApart, SplitFour):
		return g, badJob(codeBadValue, "split", fmt.Sprintf("unknown word %q", o.Split), `use "zero-line", "corners" or "four-corners"`)
	}
	g.Rule = map[string]grid.Rule{RuleRising: grid.TrianglesRising, RuleFalling: grid.TrianglesFalling}[o.Rule]
	g.Split = map[string]grid.Split{SplitApart: grid.CornerSums, SplitFour: grid.FourPoint}[o.Split]
	return g, nil
}

// table is how the file is read.
func (o *CornersOptions) table() grid.TableOptions {
	m := o.Unit.Metres()
	t := grid.TableOptions{Unit: o.Unit, Topsoil: o.Topsoil * m, Grid: grid.Layout{Bearing: o.Bearing, Along: o.Spacing * m, Across: o.across() * m}}
	if o.Formation != nil {
		plane := tin.LevelPlane(*o.Formation * m)
		t.Formation = &plane
	}
	return t
}

func (o *CornersOptions) across() float64 {
	if o.Across == 0 {
		return o.Spacing
	}
	return o.Across
}

// result turns metres into the file's unit.
func (o *CornersOptions) result(t *grid.Table, m *grid.Result, weights []grid.Weight, meet []int) *CornersResult {
	r := run{job: &Job{Units: o.Unit}, unit: o.Unit.Metres(), scale: 1}
	res := &CornersResult{
		Schema: SchemaVersion, Program: Program{Name: "barrow", Version: Version}, Units: r.job.units(),
		Grid: CornersGrid{o.Bearing, o.Spacing, o.across(), t.Layout.Rows, t.Layout.Columns},
		Rule: o.Rule, Split: o.Split, Formation: o.Formation, Topsoil: o.Topsoil, Notes: []Remark{}, Warnings: []Remark{},
		Total: CornersTotal{
			Cut: m.Cut / r.volumeUnit(), Fill: m.Fill / r.volumeUnit(), CutLessFill: m.CutLessFill / r.volumeUnit(),
			Area: m.Area / r.areaUnit(), MeanDepth: m.MeanDepth / r.unit,
			MaxCutDepth: m.MaxCut.Depth / r.unit, MaxFillDepth: m.MaxFill.Depth / r.unit, Cells: m.Cells, Incomplete: m.Incomplete,
		},
	}
	if s := m.Sampling; s != nil {
		res.Total.Sampling = &CornersSure{s.Cut.Error / r.volumeUnit(), s.Fill.Error / r.volumeUnit(), s.CutLessFill.Error / r.volumeUnit()}
	}
	if res.Rule == "" {
		res.Rule = RuleSquare
	}
	if res.Split == "" {
		res.Split = SplitZero
	}
	share := 6
	if res.Rule == RuleSquare {
		share = 4
	}
	for _, w := range weights {
		depths := w.Depths / r.unit
		product := float64(float64(w.Meet) * depths)
		res.Weights = append(res.Weights, CornerWeight{w.Meet, share, w.Corners, depths, product})
		res.Weighed += product
	}
	for i, c := range t.Corners {
		res.Corners = append(res.Corners, CornerResult{c.Row, c.Column, c.Depth / r.unit, meet[i]})
	}
	if m.Incomplete > 0 {
		res.Notes = append(res.Notes, Remark{Code: NoteCellsIncomplete, Message: fmt.Sprintf(
			"%s a depth at some corners and not at all four, and in no volume", cellsHave(m.Incomplete))})
	}
	return res
}

func cellsHave(n int) string {
	if n == 1 {
		return "1 cell has"
	}
	return fmt.Sprintf("%d cells have", n)
}
