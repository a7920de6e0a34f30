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

// claim is a comparison within a boundary that reaches beyond the ground, with
// stable ground that does not agree. Its numbers are made up, and only agree where
// a reader would look.
func claim() *takeoff.Compared {
	m := metric()
	ground := m.Ground
	survey := m.Surveys[0]
	later := takeoff.SurveyResult{Name: "ground.csv", Points: 500, Used: 500, Codes: []takeoff.CodeCount{{Count: 500, Use: "spot"}}}
	return &takeoff.Compared{
		Schema: 1, Program: m.Program, Units: m.Units, Scale: 1,
		Inputs: []takeoff.Input{{Path: "jan/job.toml", SHA256: m.Inputs[0].SHA256}, {Path: "feb/ground.csv", SHA256: m.Inputs[1].SHA256, Points: 500}},
		A:      takeoff.SurfaceResult{Name: "Tannery Field store, January", Ground: ground, Surveys: []takeoff.SurveyResult{survey}},
		B:      takeoff.SurfaceResult{Name: "feb/ground.csv", Ground: ground, Surveys: []takeoff.SurveyResult{later}},
		Total: takeoff.ComparedTotal{
			Cut: 1234.5678, Fill: 234.5, CutLessFill: 1000.0678, CutArea: 1500.25, FillArea: 400.5, LevelArea: 2.25, CommonArea: 1903,
			OnlyAArea: 40, OnlyBArea: 12.5, BoundaryArea: ptr(2000), UncoveredArea: ptr(97),
			MaxCutDepth: 2.5, MaxCutAt: &takeoff.Place{312540, 5812300}, MaxFillDepth: 0.75, MaxFillAt: &takeoff.Place{312564, 5812312},
		},
		Difference: takeoff.LevelDifference{Mean: 0.5255, StandardDeviation: 0.8125, Least: -0.75, Greatest: 2.5},
		Stable: &takeoff.StableResult{Area: 150, UncoveredArea: 10, LevelDifference: takeoff.LevelDifference{Mean: 0.0215, StandardDeviation: 0.0074, Least: -0.003, Greatest: 0.041},
			WorksArea: 1903, Volume: 40.9145, Share: ptr(0.02785)},
		Notes: []takeoff.Remark{{Code: "merged", Message: "A: 3 spots at the place of another"}},
		Warnings: []takeoff.Remark{{Code: "boundary_uncovered", Message: "97.0 m2 of the boundary's 2000.0 m2 (4.9 %) are not covered by both A and B and are not measured"},
			{Code: "stable_shift", Message: "on the stable ground A is above B by 0.022 m on average"}},
		NotMeasured: []takeoff.Omission{{Code: "between_surveys", Message: "what was dug and filled again between the two surveys"}},
	}
}

// lift is a small comparison in feet on a scaled grid, from memory, of fill only.
func lift() *takeoff.Compared {
	f := feet()
	return &takeoff.Compared{
		Schema: 1, Program: f.Program, Units: f.Units, Scale: f.Scale, Inputs: []takeoff.Input{},
		A:          takeoff.SurfaceResult{Ground: f.Ground, Surveys: f.Surveys},
		B:          takeoff.SurfaceResult{Ground: f.Ground, Surveys: f.Surveys},
		Total:      takeoff.ComparedTotal{Fill: 3.7, CutLessFill: -3.7, FillArea: 99, CommonArea: 99, MaxFillDepth: 1.01, MaxFillAt: &takeoff.Place{1, 2}},
		Difference: takeoff.LevelDifference{Mean: -1.009, StandardDeviation: 0.0001, Least: -1.01, Greatest: -1.0},
		Notes:      []takeoff.Remark{}, Warnings: []takeoff.Remark{}, NotMeasured: []takeoff.Omission{},
	}
}

func comparison(t *testing.T, c *takeoff.Compared) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, report.Comparison(&b, c))
	return b.String()
}

func TestComparisonGolden(t *testing.T) {
	for name, c := range map[string]*takeoff.Compared{"comparison": claim(), "comparison_feet": lift()} {
		golden(t, name+".txt", []byte(comparison(t, c)))
		var b bytes.Buffer
		require.NoError(t, report.ComparisonJSON(&b, c))
		golden(t, name+".json", b.Bytes())
	}
}

func TestComparisonFits80Columns(t *testing.T) {
	wide := claim()
	long := strings.Repeat("W", 200)
	wide.A.Name, wide.Inputs[0].Path, wide.Total.Cut, wide.Total.CommonArea, wide.Difference.Mean = long, long, 1e15, 1e15, 1e12
	for _, c := range []*takeoff.Compared{claim(), lift(), wide, {}} {
		for line := range strings.SplitSeq(comparison(t, c), "\n") {
			assert.LessOrEqual(t, utf8.RuneCountInString(line), 80, line)
		}
		assert.Empty(t, notWords.FindAllString(comparison(t, c), -1))
	}
}

func TestComparisonSays(t *testing.T) {
	s := comparison(t, claim())
	assert.Equal(t, 1, strings.Count(s, "at least 1234.6"))
	assert.Contains(t, s, "READ THE 2 WARNINGS")
	assert.Contains(t, s, "cut is where the ground went down from A to B")
	other := comparison(t, lift())
	assert.NotContains(t, other, "at least")
	assert.NotContains(t, other, "STABLE GROUND")
	assert.Contains(t, other, "fill exceeds cut by 3.70 yd3")
}
