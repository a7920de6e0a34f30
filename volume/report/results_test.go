package report_test

import (
	"barrow/volume/takeoff"
	"barrow/volume/uncertainty"
)

func ptr(x float64) *float64 { return &x }

// metric is a job of three pads, level, falling and with levels of its own,
// with all that a sheet can show. Its numbers are made up, and only agree where
// a reader would look.
func metric() *takeoff.Result {
	bm := func(above float64) []takeoff.Above { return []takeoff.Above{{Mark: "BM1", Level: 62.5, Above: above}} }
	corner := func(name string, e, n, finished, formation float64, ring int) takeoff.Corner {
		return takeoff.Corner{Name: name, At: takeoff.Place{e, n}, Finished: finished, Formation: formation, Ring: ring, AboveMarks: bm(formation - 62.5)}
	}
	store := takeoff.PadResult{
		Name: "store", FinishedLevel: ptr(63.15), FormationLevel: ptr(62.925),
		OutlineArea: 288, FormationArea: 288, OutlineCut: 431.2345, OutlineFill: 12.25, Cut: 431.2345, Fill: 12.25, CutLessFill: 418.9845,
		CutArea: 250.5, FillArea: 37.5, MaxCutDepth: 2.3456, MaxFillDepth: 0.5, TrimArea: 288,
		MaxCutAt: &takeoff.Place{312540, 5812300}, MaxFillAt: &takeoff.Place{312564, 5812312},
		Layers: []takeoff.Rung{
			{Name: "concrete slab", Thickness: 0.175, Top: ptr(63.15), Underside: ptr(62.975)},
			{Name: "sand blinding", Thickness: 0.05, Top: ptr(62.975), Underside: ptr(62.925)},
		},
		Perimeter: 72,
		Corners: []takeoff.Corner{
			corner("P12", 312540, 5812300, 63.15, 62.925, 0), corner("P13", 312564, 5812300, 63.15, 62.925, 0),
			corner("P14", 312564, 5812312, 63.15, 62.925, 0), corner("P15", 312540, 5812312, 63.15, 62.925, 0),
		},
		Sides: []takeoff.Side{
			{From: "P12", To: "P13", Length: 24, Bearing: 90}, {From: "P13", To: "P14", Length: 12, Bearing: 0},
			{From: "P14", To: "P15", Length: 24, Bearing: 270}, {From: "P15", To: "P12", Length: 12, Bearing: 180},
		},
		Diagonals:  []takeoff.Diagonal{{From: "P12", To: "P14", Length: 26.8328}, {From: "P13", To: "P15", Length: 26.8328}},
		AboveMarks: bm(0.425),
	}
	store.High, store.Low = store.Corners[0], store.Corners[0]

	yard := takeoff.PadResult{
		Name: "yard", FinishedLevel: ptr(62.5), FormationLevel: ptr(62.5),
		OutlineArea: 100, FormationArea: 100, OutlineFill: 55, Fill: 55, CutLessFill: -55,
		FillArea: 90, LevelArea: 10, MaxFillDepth: 1.25, MaxFillAt: &takeoff.Place{312500, 5812300}, TrimArea: 100,
		Layers: []takeoff.Rung{}, Fall: &takeoff.Slope{Slope: 0.0125, Bearing: 90, At: takeoff.Place{312500, 5812300}}, Perimeter: 40,
		Corners: []takeoff.Corner{
			corner("1", 312500, 5812300, 62.5, 62.5, 0), corner("2", 312510, 5812300, 62.375, 62.375, 0),
			corner("3", 312510, 5812310, 62.375, 62.375, 0), corner("4", 312500, 5812310, 62.5, 62.5, 0),
		},
		Sides: []takeoff.Side{{From: "1", To: "2", Length: 10, Bearing: 90}, {From: "2", To: "3", Length: 10},
			{From: "3", To: "4", Length: 10, Bearing: 270}, {From: "4", To: "1", Length: 10, Bearing: 180}},
		Diagonals:  []takeoff.Diagonal{},
		AboveMarks: bm(0),
	}
	yard.High, yard.Low = yard.Corners[0], yard.Corners[1]

	ramp := takeoff.PadResult{
		Name:        "apron with a name so long that no column of a sheet could hold it, and then some more",
		OutlineArea: 50, FormationArea: 50, CutArea: 50, MaxCutDepth: 1, MaxCutAt: &takeoff.Place{1, 2}, TrimArea: 50,
		OutlineCut: 30, OutlineFill: 30, Cut: 30, Fill: 30,
		Layers:    []takeoff.Rung{{Name: "asphalt", Thickness: 0.0625}, {Name: "crushed stone", Thickness: 1.25}},
		OwnLevels: true, Perimeter: 30,
		Corners: []takeoff.Corner{corner("a", 0, 0, 64, 62.6875, 0), corner("b", 10, 0, 64, 62.6875, 0), corner("c", 0, 10, 63, 61.6875, 0),
			corner("hole 1: 1", 2, 2, 63.5, 62.1875, 1)},
		High:  corner("crown", 3, 3, 64.2, 62.8875, -1),
		Sides: []takeoff.Side{{From: "a", To: "b", Length: 10, Bearing: 90}},
	}
	ramp.Low = ramp.Corners[2]

	return &takeoff.Result{
		Schema: 1, Program: takeoff.Program{Name: "barrow", Version: "0.0.0"}, Job: "Tannery Field store",
		Units: takeoff.Units{Length: "m", Area: "m2", Volume: "m3"},
		Inputs: []takeoff.Input{
			{Path: "job.toml", SHA256: "9f86d081884c7d659a2feaa0c55ad015a3bf4f1b2b0b822cd15d6c15b0f00a08"},
			{Path: "ground.csv", SHA256: "60303ae22b998861bce3b28f33eec1be758a213c86c93c076dbe9f558c11c752", Points: 427},
		},
		Ground: takeoff.GroundResult{Points: 412, Merged: 3, LeftOut: 15, Triangles: 798, Area: 12345.678, LevelMin: 60.1234, LevelMax: 64.5678, EdgeMedian: 4.96},
		Pads:   []takeoff.PadResult{store, yard, ramp},
		Total: takeoff.Total{Cut: 461.2345, Fill: 97.25, CutLessFill: 363.9845, OutlineCut: 461.2345, OutlineFill: 97.25,
			WorksArea: 438, TrimArea: 438, MaxGap: 4.26},
		Notes:       []takeoff.Remark{{Code: "pads_overlap", Message: "pad yard takes 2.00 m2 from pad store", At: &takeoff.Place{312540, 5812300}}},
		Warnings:    []takeoff.Remark{},
		NotMeasured: []takeoff.Omission{{Code: "margin", Message: "working space round the outlines: the margin is 0"}},
		Scale:       1,
		Surveys: []takeoff.SurveyResult{{
			Name: "ground.csv", Points: 427, Used: 412, LeftOut: 12, NoLevel: 3, Breaklines: 2,
			Codes:     []takeoff.CodeCount{{Code: "", Count: 380, Use: "spot"}, {Code: "BM", Count: 12, Use: "left out"}, {Code: "TB", Count: 35, Use: "line"}},
			Benchmark: &takeoff.MarkResult{Name: "BM1", Plan: 62.5, Measured: 10.134}, Shift: 52.366,
			Checks: []takeoff.MarkCheck{{Name: "BM2", Plan: 63.21, Measured: 10.846, Off: 0.002}, {Name: "BM3", Plan: 63, Measured: 10.634},
				{Name: "BM4", Plan: 63, Measured: 9, Off: -1.634}},
			Replaced: 21, ReplacedVertices: 1, ReplacedStretches: 2,
		}, {
			Name: "strip.csv", Points: 30, Used: 30, Stripped: true, Codes: []takeoff.CodeCount{{Code: "", Count: 30, Use: "spot"}},
			Replaces: &takeoff.ReplaceResult{Area: 512.25, Points: 21, Vertices: 1, Stretches: 2, Step: &takeoff.StepResult{
				Length: 96.25, Mean: -0.2034, Greatest: -0.251, At: takeoff.Place{312544, 5812301}, Tolerance: 0.3}},
		}, {
			Name: "heap.csv", Points: 1, Used: 1, Codes: []takeoff.CodeCount{{Code: "", Count: 1, Use: "spot"}},
			Replaces: &takeoff.ReplaceResult{Area: 10},
		}},
	}
}

// feet is a job whose pad reaches beyond the ground, in feet on a scaled grid.
func feet() *takeoff.Result {
	p := takeoff.PadResult{
		Name: "shed", FinishedLevel: ptr(103), FormationLevel: ptr(102.5),
		OutlineArea: 1000, FormationArea: 1000, OutlineCut: 37.037, OutlineFill: 0.004, Cut: 37.037, Fill: 0.004, CutLessFill: 37.033,
		CutArea: 600, MaxCutDepth: 2, MaxCutAt: &takeoff.Place{2000000.125, 500000}, UncoveredArea: 400, TrimArea: 1000,
		Layers:     []takeoff.Rung{{Name: "slab", Thickness: 0.5, Top: ptr(103), Underside: ptr(102.5)}},
		AboveMarks: []takeoff.Above{{Mark: "", Level: 104, Above: -1.5}}, Perimeter: 130,
	}
	return &takeoff.Result{
		Schema: 1, Program: takeoff.Program{Name: "barrow", Version: "0.0.0"},
		Units: takeoff.Units{Length: "ft", Area: "ft2", Volume: "yd3"}, Scale: 0.99987,
		Ground: takeoff.GroundResult{Points: 1, Triangles: 1, Area: 20000, LevelMin: 100, LevelMax: 110, EdgeMedian: 20},
		Pads:   []takeoff.PadResult{p},
		Total: takeoff.Total{Cut: 37.037, Fill: 0.004, CutLessFill: 37.033, OutlineCut: 37.037, OutlineFill: 0.004, WorksArea: 1000, TrimArea: 1000,
			UncoveredArea: 400, ThinArea: 12.5, MaxGap: 31},
		Warnings: []takeoff.Remark{{Code: "works_uncovered", Message: "pad shed: 400.0 ft2 of its 1000.0 ft2 lie outside the surveyed ground and are not measured: its volumes are at least those given"},
			{Code: "thin_ground", Message: "12.5 ft2 of the works lie on long triangles"}},
		Surveys: []takeoff.SurveyResult{{Points: 1, Used: 1, Stripped: true}},
		Uncertainty: &takeoff.UncertaintyResult{
			Coverage: 0.95, Factor: 1.96, NotStated: uncertainty.OffGround,
			Parts: []takeoff.UncertaintyPart{}, Shots: []takeoff.ShotResult{},
			Missing: []takeoff.MissingDeviation{
				{Input: takeoff.MissingBenchmark, Per: 0.05, Cut: 1.1, Fill: -0.01},
			},
		},
	}
}

// works is a job with margins, batters, berms, edges and topsoil, one pad of which
// runs off the ground. Its numbers are made up, and add up.
func works() *takeoff.Result {
	r := metric()
	r.Job = "Tannery Field basement"
	along := func(n float64) *takeoff.BatterResult {
		return &takeoff.BatterResult{Along: n, Degrees: takeoff.SlopeDegrees(n)}
	}
	p := &r.Pads[0]
	p.Margin, p.CutBatter, p.FillBatter = 0.75, &takeoff.BatterResult{Along: 0.75, Every: 3, Berm: 1.5, Degrees: takeoff.SlopeDegrees(0.75)}, along(2)
	p.Edges = []takeoff.EdgeResult{
		{From: "P13", To: "P14", Upright: true, Margin: ptr(0)},
		{From: "P14", To: "P15", CutBatter: along(1.5), FillBatter: along(3)},
		{From: "P15", To: "P12"},
	}
	p.FormationArea, p.TrimArea, p.BatterArea = 330.5, 330.5, 120.25
	p.MarginCut, p.MarginFill, p.BatterCut, p.BatterFill = 60.5, 1.75, 140.25, 3.5
	p.Cut, p.Fill, p.CutLessFill = 631.9845, 17.5, 614.4845
	p.MakeupFill, p.MakeupArea = 2.25, 11.5
	p.WorksCutDepth, p.WorksCutAt, p.WorksFillDepth, p.WorksFillAt = 6.5, &takeoff.Place{312541, 5812290}, 0.5, p.MaxFillAt
	p.CrestLength, p.ToeLength = 61.25, 33.5
	p.BatterTop, p.BatterFoot = &takeoff.LevelAt{Level: 69.25, At: takeoff.Place{312541, 5812289}}, &takeoff.LevelAt{Level: 62.1, At: takeoff.Place{312566, 5812313}}
	q := &r.Pads[1]
	q.FillBatter, q.BatterArea, q.BatterFill, q.Fill, q.CutLessFill, q.OpenLength = along(2), 12, 5, 60, -60, 4.5
	q.BatterFoot, q.WorksFillDepth, q.WorksFillAt = &takeoff.LevelAt{Level: 61, At: takeoff.Place{312499, 5812299}}, 1.5, &takeoff.Place{312498, 5812299}
	u := &r.Total
	u.MarginCut, u.MarginFill, u.BatterCut, u.BatterFill = 60.5, 1.75, 140.25, 8.5
	u.Cut, u.Fill, u.CutLessFill = 661.9845, 107.5, 554.4845
	u.MakeupFill, u.MakeupArea, u.BatterArea, u.WorksArea, u.TrimArea = 2.25, 11.5, 132.25, 612.75, 480.5
	u.StripArea, u.Topsoil, u.OpenLength, u.FacetBound = 700.5, 152.625, 4.5, 0.000123
	u.Strip = []takeoff.StripResult{{Depth: 0.2, Area: 617, Volume: 123.4}, {Depth: 0.35, Area: 83.5, Volume: 29.225}}
	left := 127.125
	u.Respread, u.TopsoilLeft = []takeoff.RespreadResult{{Name: "garden", Area: 170, Depth: 0.15, Volume: 25.5}}, &left
	r.StripRule = &takeoff.StripRule{Depth: 0.2, Beyond: 1, Areas: []takeoff.StripArea{{Name: "paddock", Depth: 0.35}}}
	r.NotMeasured = []takeoff.Omission{{Code: "rock", Message: "rock: no rock level given, so all cut counts as one material"}}
	r.Uncertainty = sure()
	return r
}

// sure is how sure a job is that gives all standard deviations but that of the build-up.
// Its numbers are made up.
func sure() *takeoff.UncertaintyResult {
	return &takeoff.UncertaintyResult{
		Coverage: 0.95, Factor: 1.96, Cut: ptr(39.2), Fill: ptr(19.6), CutLessFill: ptr(49),
		Covariance: uncertainty.Covariance{{400, -62.5}, {-62.5, 100}},
		Parts: []takeoff.UncertaintyPart{
			{Kind: uncertainty.Levels, Cut: 3, Fill: 1.25, CutLessFill: 3.5},
			{Kind: uncertainty.Benchmark, Cut: 2.5, Fill: 1, CutLessFill: 3.5},
			{Kind: uncertainty.BetweenSpots, Cut: 17.5, Fill: 8.5, CutLessFill: 21},
			{Kind: uncertainty.Bias, Cut: 4.5, Fill: 2.75, CutLessFill: 1.75},
			{Kind: uncertainty.OtherInput, Name: "topsoil", Cut: 6, Fill: 2, CutLessFill: 8},
		},
		Missing:    []takeoff.MissingDeviation{{Input: takeoff.MissingBuildUp, Per: 0.01, Cut: 2, Fill: -0.75}},
		LevelsBias: [2]float64{0.25, 0.25}, BetweenBias: [2]float64{-4.75, -3},
		Surveys: 2, SurveysWithSD: 1, FitSpots: 86, FitOff: 0.071,
		Shots: []takeoff.ShotResult{
			{At: takeoff.Place{312545.125, 5812300.25}, Cut: 35, Fill: 18, CutLessFill: 44},
			{At: takeoff.Place{312558.5, 5812306}, Cut: 32.5, Fill: 17.25, CutLessFill: 41},
		},
	}
}
