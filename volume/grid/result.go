package grid

import (
	"github.com/paulmach/orb"

	"barrow/tin"
)

// Result is what a grid measures. Volumes are cubic metres, areas square metres
// in plan, depths metres.
type Result struct {
	Cut, Fill   float64
	CutLessFill float64 // the same however mixed cells are parted
	Area        float64 // measured
	MeanDepth   float64 // cut less fill over the area, 0 of none
	// WeightSum is the sum of the corner weights, four for each whole cell;
	// WeightedDepths that of weight times depth, a quarter of which times a
	// cell's area is cut less fill. What has no corner to go by (see Measure)
	// counts with its own depth.
	WeightSum, WeightedDepths float64
	// MaxCut and MaxFill are the greatest depths at a corner of a whole cell
	// and of a part, both as positive numbers.
	MaxCut, MaxFill Deepest
	// Cells are all that were measured: in cut, in fill, with both, and with
	// neither.
	Cells, CutCells, FillCells, MixedCells, LevelCells int
	PartCells                                          int // of all, those measured in part
	Incomplete                                         int // cells left out that have a depth at some corners, but not at all four
	// UncoveredArea is the area within without a depth, and beyond the grid. It
	// is in no volume.
	UncoveredArea float64
	BeyondArea    float64 // of it, beyond the grid
	// Sampling says how far the volumes may be off, if it was asked for and
	// could be found.
	Sampling *Sampling
}

// Deepest is a greatest depth and where it is; 0 if there is none.
type Deepest struct {
	Depth float64
	At    orb.Point // easting and northing, metres
}

// total adds up cells. Each is in units of cells until the end.
type total struct {
	cut, fill, net, share, uncovered, within tin.Sum
	Result
}

// add counts a measured part.
func (t *total) add(v volumes, share float64) {
	t.cut.Add(v.cut)
	t.fill.Add(v.fill)
	t.net.Add(v.net)
	t.share.Add(share)
	t.Cells++
	if share < 1 {
		t.PartCells++
	}
	switch {
	case v.cut > 0 && v.fill > 0:
		t.MixedCells++
	case v.cut > 0:
		t.CutCells++
	case v.fill > 0:
		t.FillCells++
	default:
		t.LevelCells++
	}
}

// deepest takes note of a depth at a place of the grid.
func (t *total) deepest(g *Layout, depth, u, v float64) {
	switch {
	case depth > t.MaxCut.Depth:
		t.MaxCut = Deepest{depth, g.place(u, v)}
	case -depth > t.MaxFill.Depth:
		t.MaxFill = Deepest{-depth, g.place(u, v)}
	}
}

// result turns cells into metres.
func (t *total) result(g Layout, outline *outline) Result {
	r, cell := t.Result, g.cellArea()
	r.Cut, r.Fill, r.CutLessFill = t.cut.Value()*cell, t.fill.Value()*cell, t.net.Value()*cell
	r.Area = t.share.Value() * cell
	r.WeightSum, r.WeightedDepths = 4*t.share.Value(), 4*t.net.Value()
	if r.Area > 0 {
		r.MeanDepth = t.net.Value() / t.share.Value()
	}
	r.UncoveredArea = t.uncovered.Value() * cell
	if outline != nil {
		if beyond := outline.area - t.within.Value(); beyond > 1e-9*outline.area {
			r.BeyondArea = beyond * cell
			r.UncoveredArea += r.BeyondArea
		}
	}
	return r
}
