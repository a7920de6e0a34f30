package report

import (
	"fmt"
	"io"

	"barrow/volume/takeoff"
)

// Corners writes cut and fill from a file of corners as a sheet: volumes, the corners by
// their weights, how the figures came about, and what they do not know. Lines have at
// most 80 characters.
func Corners(w io.Writer, r *takeoff.CornersResult) error {
	t := corners{paper: paper{n: numbersFor(r.Units, max(r.Total.Cut, r.Total.Fill), r.Total.Area)}, r: r}
	t.put("", r.Name)
	t.said("Cut and fill by the unit-area grid", r.Program, len(r.Warnings))
	t.volumes()
	t.weights()
	t.remarks("WARNINGS", r.Warnings)
	t.cameAbout()
	t.remarks("NOTES", r.Notes)
	t.cautions()
	return t.deliver(w)
}

// CornersJSON writes the same as one JSON object and a line feed, as [JSON] does.
func CornersJSON(w io.Writer, r *takeoff.CornersResult) error { return writeJSON(w, r) }

// corners is the sheet of a grid in the making.
type corners struct {
	paper
	r *takeoff.CornersResult
}

func (t *corners) volumes() {
	v := &t.r.Total
	t.title("VOLUMES")
	t.put("  ", "Cut is bank measure, fill the space to be filled. No factors.")
	t.row(2, "cut", volumeColumns(), t.n.volume(v.Cut))
	t.row(2, "fill", volumeColumns(), t.n.volume(v.Fill))
	t.put("  ", t.difference(v.CutLessFill))
	if s := v.Sampling; s != nil {
		t.put("  ", fmt.Sprintf("Ground is known at the corners only: cut may be off by %s, fill by %s, cut less fill by %s, as twice the spacing tells.",
			t.n.volume(s.Cut), t.n.volume(s.Fill), t.n.volume(s.CutLessFill)))
	}
	t.row(2, "area", volumeColumns(), t.n.area(v.Area))
	t.row(2, "mean depth, cut less fill over the area", volumeColumns(), signed(v.MeanDepth, 3)+" "+t.n.units.Length)
	t.row(2, "deepest cut at a corner", volumeColumns(), t.withUnit(v.MaxCutDepth))
	t.row(2, "deepest fill at a corner", volumeColumns(), t.withUnit(v.MaxFillDepth))
}

func (t *corners) weights() {
	what, share := "cells", 4
	if t.r.Rule != takeoff.RuleSquare {
		what, share = "triangles", 6
	}
	cubic := ""
	if !t.n.metric() {
		cubic = " in cubic feet, 27 to a cubic yard"
	}
	columns := []int{16, 32, 52, 72}
	t.title("CORNERS BY WEIGHT")
	t.put("  ", fmt.Sprintf("Weight is how many %s meet at a corner. Depth is ground less formation, cut above 0. The sum, over %d, times a cell's area is cut less fill%s.", what, share, cubic))
	t.heads(0, "", columns, "weight", "corners", "depths "+t.n.units.Length, "weight x depths")
	for _, w := range t.r.Weights {
		t.row(0, "", columns, fmt.Sprint(w.Meet), fmt.Sprint(w.Corners), fixed(w.Depths, 3), fixed(w.Product, 3))
	}
	t.row(2, "sum", []int{72}, fixed(t.r.Weighed, 3))
}

func (t *corners) cameAbout() {
	g, u := &t.r.Grid, t.r.Units.Length
	t.title("HOW THE FIGURES CAME ABOUT")
	t.item("Grid", fmt.Sprintf("cells of %s by %s %s, %s along bearing %s and %s to the right of it; %s measured",
		number(g.Along), number(g.Across), u, countOf(g.Rows, "row", "rows"), t.n.bearing(g.Bearing), countOf(g.Columns, "column", "columns"), countOf(t.r.Total.Cells, "cell", "cells")))
	t.item("Rule", map[string]string{
		takeoff.RuleSquare:  "square: a cell's area times the mean depth of its four corners",
		takeoff.RuleRising:  "triangles: each cell in two, from its first corner to that of the next row and column; each half has the mean depth of its three",
		takeoff.RuleFalling: "triangles: each cell in two, from the corner of the next column to that of the next row; each half has the mean depth of its three",
	}[t.r.Rule])
	t.item("Split", map[string]string{
		takeoff.SplitZero:  "a cell that has both is parted where its depth is zero",
		takeoff.SplitApart: "corners in cut and in fill are summed apart, over the whole cell: this overstates both, and their difference is right",
		takeoff.SplitFour:  "with C and F the sums of corner cuts and fills, cut is a quarter of the area times C2 / (C + F), fill times F2 / (C + F)",
	}[t.r.Split])
	if t.r.Formation != nil {
		t.item("Formation", "level at "+t.withUnit(*t.r.Formation))
	}
	if t.r.Topsoil > 0 {
		t.item("Topsoil", t.n.small(t.r.Topsoil)+" taken off every level")
	}
	t.sources(1, t.r.Inputs)
}

func (t *corners) cautions() {
	t.title("CAUTIONS")
	for _, words := range []string{
		"Between its corners a grid knows nothing of the ground: a bank or a hole that lies within a cell is in no figure.",
		"The works end with the grid, upright: margin, batters and ramps are not in these figures, and no face is said to stand.",
		"These are quantities for people to agree on, no certificate: the contract's rules of measurement, and the judgement of " +
			"licensed engineers and surveyors, come before this sheet.",
	} {
		t.point(words)
	}
}
