package report_test

import (
	"bytes"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/volume/report"
	"barrow/volume/takeoff"
)

// secondOpinion is a crosscheck in which the grid is beyond what is expected of it, a
// claim is outside, and shots are off. Its numbers are made up, and only agree where a
// reader would look.
func secondOpinion() *takeoff.CrosscheckResult {
	m := metric()
	figure := func(volume, difference, expected float64) takeoff.CrosscheckFigure {
		return takeoff.CrosscheckFigure{Volume: volume, Difference: difference, Percent: ptr(100 * difference / 1234.5), Height: difference / 2000, Expected: expected}
	}
	none := takeoff.CrosscheckFigure{}
	off := figure(1210, -24.5, 3.25)
	off.Beyond, off.Where = true, &takeoff.CrosscheckWhere{Rows: &[2]int{30, 36}, Columns: &[2]int{7, 13}, At: takeoff.Place{312550.25, 5812310.5}, Difference: -20.25}
	ends := figure(1240.75, 6.25, 5)
	ends.Beyond, ends.Where = true, &takeoff.CrosscheckWhere{Chainage: &[2]float64{20, 22}, At: takeoff.Place{312551, 5812311}, Difference: 5.5}
	basis := takeoff.CrosscheckBasis{
		Basis: takeoff.BasisAsDug, Area: 2000, Prism: takeoff.CrosscheckVolumes{Cut: 1234.5, CutLessFill: 1234.5},
		Methods: []takeoff.CrosscheckMethod{
			{Method: takeoff.MethodEndArea, Cut: ends, Fill: none, CutLessFill: figure(1240.75, 6.25, 8.5)},
			{Method: takeoff.MethodPrismoidal, Cut: figure(1234.25, -0.25, 0.5), Fill: none, CutLessFill: figure(1234.25, -0.25, 0.5)},
			{Method: takeoff.MethodGrid, Cells: 12345, Uncovered: 3, Cut: off, Fill: none, CutLessFill: off},
		},
	}
	before := basis
	before.Basis, before.TopsoilIn, before.AtLeast = takeoff.BasisNetVoid, true, true
	return &takeoff.CrosscheckResult{
		Schema: 1, Program: m.Program, Job: m.Job, Units: m.Units, Scale: 1, Inputs: m.Inputs,
		Alignment: takeoff.CrosscheckAlignment{Name: "centre line", Line: []takeoff.Place{{312540, 5812300}, {312570, 5812305}, {312600, 5812300}}, Start: 100, Reach: 30, From: takeoff.Place{312540, 5812300}, To: takeoff.Place{312600, 5812300}, Length: 60, Bearing: 90, Interval: 2, Sections: 37},
		Grid:      takeoff.CrosscheckGrid{Origin: takeoff.Place{312530, 5812290}, Bearing: 121.717474, Spacing: 0.2, Rows: 150, Columns: 120},
		Bases:     []takeoff.CrosscheckBasis{basis, before},
		Claim: &takeoff.ClaimResult{Name: "claim.toml", Measure: takeoff.MeasureLoads, Factor: 1.25, Load: 8, Basis: takeoff.BasisNetVoid, TopsoilIn: true,
			Cut:  &takeoff.ClaimFigure{Claimed: 250, Restated: 1600, Rounding: 3.2, Least: 1210, Greatest: 1243, Difference: 365.5, Percent: ptr(29.607), Height: 0.18275},
			Fill: &takeoff.ClaimFigure{Inside: true}},
		Shots: &takeoff.ShotsResult{Name: "shots.csv", Count: 41, OffGround: 2, NoLevel: 1, Mean: 0.0125, StandardDeviation: ptr(0.0214), Worst: -0.061,
			WorstName: "C17", WorstLine: 18, WorstAt: takeoff.Place{312570, 5812320}, Volume: 25},
		Notes: []takeoff.Remark{{Code: "works_beyond_end", Message: "the works go on past the section at chainage 60.000"}},
		Warnings: []takeoff.Remark{{Code: "methods_disagree", Message: "as dug, cut: by the unit-area grid it is 24.5 m3 less", At: &takeoff.Place{312550.25, 5812310.5}},
			{Code: "claim_outside", Message: "the cut claimed is above the range that the methods support"}},
		NotMeasured: []takeoff.Omission{{Code: "survey_error", Message: "the survey: its errors are the same for all methods here"}},
	}
}

// betweenSurveys is a small crosscheck in feet that agrees.
func betweenSurveys() *takeoff.CrosscheckResult {
	f := feet()
	agrees := takeoff.CrosscheckFigure{Volume: 3.71, Difference: 0.01, Percent: ptr(0.27), Height: 0.0027, Expected: 0.02}
	return &takeoff.CrosscheckResult{
		Schema: 1, Program: f.Program, Surveys: []string{"may.csv", "june.csv"}, Units: f.Units, Scale: f.Scale, Inputs: []takeoff.Input{},
		Alignment: takeoff.CrosscheckAlignment{Name: "long axis of the works", LongAxis: true, Line: []takeoff.Place{{}, {0, 40}}, To: takeoff.Place{0, 40}, Length: 40, Interval: 2, Sections: 21},
		Grid:      takeoff.CrosscheckGrid{Spacing: 0.1, Rows: 400, Columns: 100},
		Bases: []takeoff.CrosscheckBasis{{Basis: takeoff.BasisSurveys, Area: 99, Prism: takeoff.CrosscheckVolumes{Fill: 3.7, CutLessFill: -3.7},
			Methods: []takeoff.CrosscheckMethod{{Method: takeoff.MethodEndArea, Fill: agrees}}}},
		Claim: &takeoff.ClaimResult{Measure: takeoff.MeasureBank, Basis: takeoff.BasisSurveys, Cut: &takeoff.ClaimFigure{Claimed: 3.7, Restated: 3.7, Inside: true}},
		Notes: []takeoff.Remark{}, Warnings: []takeoff.Remark{}, NotMeasured: []takeoff.Omission{},
	}
}

func crosscheckSheet(t *testing.T, c *takeoff.CrosscheckResult) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, report.Crosscheck(&b, c))
	return b.String()
}

func TestCrosscheckGolden(t *testing.T) {
	for name, c := range map[string]*takeoff.CrosscheckResult{"crosscheck": secondOpinion(), "crosscheck_feet": betweenSurveys()} {
		golden(t, name+".txt", []byte(crosscheckSheet(t, c)))
		var b bytes.Buffer
		require.NoError(t, report.CrosscheckJSON(&b, c))
		golden(t, name+".json", b.Bytes())
	}
}

func TestCrosscheckFits80Columns(t *testing.T) {
	wide := secondOpinion()
	long := strings.Repeat("W", 200)
	wide.Job, wide.Shots.Name, wide.Claim.Name, wide.Shots.WorstName = long, long, long, long
	wide.Bases[0].Prism.Cut, wide.Alignment.Length = 1e9, 1e9
	for _, c := range []*takeoff.CrosscheckResult{secondOpinion(), betweenSurveys(), wide, {}} {
		for line := range strings.SplitSeq(crosscheckSheet(t, c), "\n") {
			assert.LessOrEqual(t, utf8.RuneCountInString(line), 80, line)
		}
		assert.Empty(t, notWords.FindAllString(crosscheckSheet(t, c), -1))
	}
}

func TestCrosscheckSays(t *testing.T) {
	s := strings.Join(strings.Fields(crosscheckSheet(t, secondOpinion())), " ")
	for _, words := range []string{
		"Agreement of the methods tests the arithmetic, not the survey", "READ THE 2 WARNINGS", "unit-area grid, BEYOND",
		"in rows 30 to 36, columns 7 to 13 of the grid", "between chainages 20.000 and 22.000",
		"OUTSIDE the range that survey and methods support", "INSIDE the range that survey and methods support", "the spread of the methods alone",
		"ground HIGH by 12.5 mm", "ground LOW by 61 mm", "cut less fill is too great",
		"volumes are at least those given",
	} {
		assert.Contains(t, s, words)
	}
	assert.NotContains(t, strings.ToLower(s), "correct", "no figure is ever found so")
}
