package report_test

import (
	"bytes"
	"io"
	"math"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/volume/report"
	"barrow/volume/takeoff"
)

// pegged is a grid by triangles in feet. Its numbers are made up.
func pegged() *takeoff.CornersResult {
	f := feet()
	level := 358.0
	return &takeoff.CornersResult{
		Schema: 1, Program: f.Program, Name: "pegs.csv", Units: f.Units, Inputs: []takeoff.Input{},
		Grid: takeoff.CornersGrid{Bearing: 17.25, Along: 20, Across: 10, Rows: 3, Columns: 4}, Rule: takeoff.RuleRising, Split: takeoff.SplitFour,
		Formation: &level, Topsoil: 0.5,
		Total:   takeoff.CornersTotal{Cut: 337.4, Fill: 12.25, CutLessFill: 325.15, Area: 4800, MeanDepth: 1.829, MaxCutDepth: 3.3, MaxFillDepth: 0.25, Cells: 12, Incomplete: 2, Sampling: &takeoff.CornersSure{Cut: 4.2, Fill: 1, CutLessFill: 3.9}},
		Weights: []takeoff.CornerWeight{{Meet: 1, Share: 6, Corners: 4, Depths: 7.5, Product: 7.5}, {Meet: 6, Share: 6, Corners: 2, Depths: -1, Product: -6}}, Weighed: 1.5,
		Corners: []takeoff.CornerResult{{Depth: 1.5, Meet: 2}}, Notes: []takeoff.Remark{{Code: "cells_incomplete", Message: "2 cells have a depth at some corners"}}, Warnings: []takeoff.Remark{},
	}
}

func TestCornersGolden(t *testing.T) {
	var text, object bytes.Buffer
	require.NoError(t, report.Corners(&text, pegged()))
	require.NoError(t, report.CornersJSON(&object, pegged()))
	golden(t, "corners.txt", text.Bytes())
	golden(t, "corners.json", object.Bytes())
	for line := range strings.SplitSeq(text.String(), "\n") {
		assert.LessOrEqual(t, utf8.RuneCountInString(line), 80, line)
	}
	assert.Empty(t, notWords.FindAllString(text.String(), -1))
}

func TestCornersTellOfErrors(t *testing.T) {
	bad := pegged()
	bad.Total.Cut = math.NaN()
	assert.Error(t, report.CornersJSON(io.Discard, bad))
	assert.ErrorContains(t, report.Corners(fullDisk{}, pegged()), "disk full")
}
