package takeoff_test

import (
	"fmt"
	"math/rand/v2"
	"runtime"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/volume/material"
	"barrow/volume/takeoff"
)

// cutAndFill is level ground at 10 with a pit of 20 x 10 m, 2 m deep, and 40 m east of
// it a bank of 10 x 10 m, 1.8 m high: 400 m3 of cut, 180 of fill.
func cutAndFill() *takeoff.Job {
	return &takeoff.Job{
		Surveys: []takeoff.Survey{{Points: []tin.Point{{E: 0, N: 0, Level: 10}, {E: 100, N: 0, Level: 10}, {E: 100, N: 50, Level: 10}, {E: 0, N: 50, Level: 10}}}},
		Pads: []takeoff.Pad{
			{Name: "pit", Outline: ring(10, 10, 30, 20), Finished: 8},
			{Name: "bank", Outline: ring(60, 10, 70, 20), Finished: 11.8},
		},
		Materials: []takeoff.Material{{Name: "clay", Factors: material.Factors{LoosePerBank: 1.25, CompactedPerBank: 0.9}, Density: 2, Reuse: 1}},
	}
}

// digOf is what is dug of each material.
func digOf(r *takeoff.Result) (list []float64) {
	for _, m := range r.Materials.Materials {
		list = append(list, float64(m.Dug))
	}
	return list
}

func TestMaterialsOfOne(t *testing.T) {
	r := run(t, cutAndFill())
	m := r.Materials
	assert.InDelta(t, 400, digOf(r)[0], 1e-9)
	assert.InDelta(t, 180, float64(m.Fill), 1e-9)
	assert.InDelta(t, 200, float64(*m.Surplus), 1e-9) // 180 / 0.9 of it becomes fill
	assert.InDelta(t, 250, float64(*m.SpoilLoose), 1e-9)
	require.NotNil(t, m.Haul)
	assert.InDelta(t, 180, float64(m.Haul.Volume), 1e-9)

	// The 200 m3 nearest to the bank are the pit's east half, its middle 40 m away; the
	// cells of 5 m follow that half.
	assert.InDelta(t, 5, m.Haul.Cell, 1e-12)
	assert.InDelta(t, 40, m.Haul.MeanDistance, 0.5)
	assert.Contains(t, codes(r.Notes), "haul_cells")
}

func TestMaterialsAreNotReckonedUnasked(t *testing.T) {
	job := cutAndFill()
	job.Materials = nil
	r := run(t, job)
	assert.Nil(t, r.Materials)
	assert.Contains(t, omissions(r), "rock")
	assert.Contains(t, omissions(run(t, cutAndFill())), "rock")
}

func omissions(r *takeoff.Result) (list []string) {
	for _, o := range r.NotMeasured {
		list = append(list, o.Code)
	}
	return list
}

// The pit of 2 m by slices, by total depth, by a polygon, and by a level.
func TestMaterialsLieWhereTheyAreSaidTo(t *testing.T) {
	west := orb.MultiPolygon{ring(0, 0, 15, 50)}
	level := []takeoff.Horizon{{Level: 8.5}}
	sloping := []takeoff.Horizon{{Survey: &takeoff.Survey{Points: []tin.Point{
		{E: 0, N: 0, Level: 8.5}, {E: 100, N: 0, Level: 8.5}, {E: 100, N: 50, Level: 11}, {E: 0, N: 50, Level: 11}, {E: 0, N: 15, Level: 9}, {E: 100, N: 15, Level: 9},
	}}}} // 9 along the middle of the pit, to the south down by 0.1 in 3, to the north up by 2 in 35
	for name, tt := range map[string]struct {
		list []takeoff.Material
		want []float64
	}{
		"slices":      {[]takeoff.Material{{To: 0.5}, {From: 0.5, To: 1.5}, {From: 1.5}}, []float64{100, 200, 100}},
		"total depth": {[]takeoff.Material{{To: 1, TotalDepth: true}, {From: 1, TotalDepth: true}}, []float64{0, 400}},
		"polygon":     {[]takeoff.Material{{Within: west}, {}}, []float64{100, 300}},
		"level":       {[]takeoff.Material{{Below: level}, {}}, []float64{100, 300}},
		"above":       {[]takeoff.Material{{Above: level}, {}}, []float64{300, 100}},
		"both":        {[]takeoff.Material{{Below: level, Within: west}, {Below: level}, {}}, []float64{25, 75, 300}},
		"surface":     {[]takeoff.Material{{Below: sloping}, {}}, []float64{20*10*1 + 20*(5*5/2.0*2/35-5*5/2.0*0.1/3), 200 - 20*(5*5/2.0*2/35-5*5/2.0*0.1/3)}},
	} {
		t.Run(name, func(t *testing.T) {
			job := cutAndFill()
			job.Materials = nil
			for i, m := range tt.list {
				m.Name = string(rune('a' + i))
				job.Materials = append(job.Materials, m)
			}
			r := run(t, job)
			assert.InDeltaSlice(t, tt.want, digOf(r), 1e-9)
			assert.Zero(t, r.Materials.Unassigned)
			assert.NotContains(t, omissions(r), "rock")
		})
	}
}

// Cut of no material is said, and then nothing is called surplus.
func TestCutWithoutMaterial(t *testing.T) {
	job := cutAndFill()
	job.Materials[0].To = 0.5
	r := run(t, job)
	assert.InDelta(t, 300, float64(r.Materials.Unassigned), 1e-9)
	assert.Contains(t, codes(r.Warnings), "cut_without_material")
	assert.Nil(t, r.Materials.Surplus)

	job = cutAndFill()
	job.Materials[0].Below = []takeoff.Horizon{{Survey: &takeoff.Survey{Points: []tin.Point{{E: 0, N: 0, Level: 20}, {E: 20, N: 0, Level: 20}, {E: 20, N: 50, Level: 20}, {E: 0, N: 50, Level: 20}}}}}
	r = run(t, job)
	assert.InDelta(t, 200, digOf(r)[0], 1e-9)
	assert.InDelta(t, 200, float64(r.Materials.Unassigned), 1e-9)
	assert.Contains(t, codes(r.Warnings), "horizon_without_data")
}

// What thickenings dig is dug too.
func TestMaterialsOfThickenings(t *testing.T) {
	job := cutAndFill()
	job.Pads[0].Thickenings = []takeoff.Thickening{{Name: "trench", Lines: []orb.LineString{{{12, 15}, {28, 15}}}, Width: 1, Depth: 0.5, From: "formation"}}
	r := run(t, job)
	require.InDelta(t, 8, r.Total.ThickeningVolume, 1e-9)
	assert.InDelta(t, 408, digOf(r)[0], 1e-9)

	job.Materials = []takeoff.Material{{Name: "over", Above: []takeoff.Horizon{{Level: 7.75}}}, {Name: "rock"}}
	assert.InDeltaSlice(t, []float64{404, 4}, digOf(run(t, job)), 1e-9)

	job.Materials = []takeoff.Material{{Name: "top", To: 1}, {Name: "deep", From: 1}}
	r = run(t, job)
	assert.InDeltaSlice(t, []float64{200, 208}, digOf(r), 1e-9)
	assert.Contains(t, codes(r.Notes), "thickenings_material")

	job.Materials = []takeoff.Material{{Name: "top", To: 3}}
	r = run(t, job)
	assert.InDelta(t, 8, float64(r.Materials.Unassigned), 1e-9)
}

func TestMaterialOfTopsoil(t *testing.T) {
	job := cutAndFill()
	job.Ground.Topsoil = takeoff.Topsoil{Depth: 0.2}
	r := run(t, job)
	assert.Contains(t, codes(r.Notes), "topsoil_no_material")
	job.Materials = append(job.Materials, takeoff.Material{Name: "topsoil", Topsoil: true, Factors: material.Factors{LoosePerBank: 1.2}})
	job.Respread = []takeoff.TopsoilArea{{Area: orb.MultiPolygon{ring(0, 30, 50, 40)}, Depth: 0.05}}
	r = run(t, job)
	assert.NotContains(t, codes(r.Notes), "topsoil_no_material")
	assert.Contains(t, codes(r.Notes), "spread_as_bank")
	top := r.Materials.Materials[1]
	assert.InDelta(t, 60, float64(top.Dug), 1e-9)
	assert.InDelta(t, 25, float64(top.Spread), 1e-9)
	assert.InDelta(t, 35, float64(*top.Spoil), 1e-9)
	assert.Zero(t, *top.ToFill) // it is no fill unless that is said

	job.Materials[1].Factors.CompactedPerBank = 0.8
	r = run(t, job)
	assert.InDelta(t, 25/0.8, float64(r.Materials.Materials[1].Spread), 1e-9)
	assert.NotContains(t, codes(r.Notes), "spread_as_bank")
}

func TestMaterialNotes(t *testing.T) {
	job := cutAndFill()
	job.Materials[0] = takeoff.Material{Name: "soil", Kind: "mixed soils", Reuse: 1}
	r := run(t, job)
	assert.Equal(t, 1.25, r.Materials.Materials[0].LoosePerBank)
	assert.Contains(t, codes(r.Notes), "default_factor")
	assert.Contains(t, codes(r.Notes), "factor_needed")
	assert.Nil(t, r.Materials.Surplus)

	job.Materials[0].Factors = material.Factors{LoosePerBank: 1.3, CompactedPerBank: 0.9} // overrides
	job.Trucks = []material.Truck{{Name: "tipper", Body: 10, Payload: 15}}
	r = run(t, job)
	assert.Equal(t, 1.3, r.Materials.Materials[0].LoosePerBank)
	assert.NotContains(t, codes(r.Notes), "default_factor")
	assert.Contains(t, codes(r.Notes), "payload_unweighed")
	assert.Equal(t, 26, r.Materials.Trucks[0].Loads)
}

// Of a material that rock as high as the ground leaves no room for, rounding leaves none
// either: it is in no load, and its factors are not asked for.
func TestRoundingIsNoMaterial(t *testing.T) {
	job := slopeJob()
	job.Pads[0].Finished = 11.1
	rock := takeoff.Survey{Points: job.Surveys[0].Points}
	job.Materials = []takeoff.Material{
		{Name: "rock", Factors: material.Factors{LoosePerBank: 1.5, CompactedPerBank: 1.1}, Below: []takeoff.Horizon{{Survey: &rock}}},
		{Name: "soil", Reuse: 1},
	}
	job.Trucks = []material.Truck{{Name: "tipper", Body: 10}}
	for _, by := range []float64{0, 0.1, 0.3, 1.0 / 3, 0.7} { // where rounding is not the same
		job.Pads[0].Outline = ring(10+by, 10+by, 30-by, 30-by)
		r := run(t, job)
		assert.Zero(t, digOf(r)[1])
		require.NotNil(t, r.Materials.Spoil)
		require.Len(t, r.Materials.Trucks[0].Materials, 1)
		assert.Empty(t, r.Materials.Needs)
	}
}

// With more materials than a plan takes places there is no plan, and a note.
func TestNoHaulOfTooManyMaterials(t *testing.T) {
	job := cutAndFill()
	clay := job.Materials[0]
	job.Materials = nil
	const many = material.MostHaulPlaces + 1
	for i := range many {
		m := clay
		m.Name = fmt.Sprint(i)
		m.From, m.To = 2*float64(i)/many, 2*float64(i+1)/many
		job.Materials = append(job.Materials, m)
	}
	job.Materials[many-1].To = 0
	r := run(t, job)
	assert.Nil(t, r.Materials.Haul)
	assert.Contains(t, codes(r.Notes), "haul_not_found")
	assert.InDelta(t, 200, float64(*r.Materials.Surplus), 1e-9)
}

// Of topsoil that becomes fill no place is known: a plan without it would move more of
// the cut than becomes fill.
func TestNoHaulOfTopsoil(t *testing.T) {
	job := cutAndFill()
	job.Ground.Topsoil.Depth = 0.3
	top := takeoff.Material{Name: "topsoil", Topsoil: true, Factors: material.Factors{CompactedPerBank: 0.9}}
	job.Materials = append([]takeoff.Material{top}, job.Materials...)
	r := run(t, job)
	require.NotNil(t, r.Materials.Haul)
	assert.InDelta(t, float64(*r.Materials.FillFromSite), float64(r.Materials.Haul.Volume), 1e-9)

	job.Materials[0].Reuse = 1
	r = run(t, job)
	assert.Positive(t, r.Materials.Materials[0].Fill)
	assert.Less(t, r.Materials.Materials[1].Fill, r.Materials.Fill)
	assert.Nil(t, r.Materials.Haul)
	assert.Contains(t, codes(r.Notes), "haul_not_found")
}

// The same site in feet, its densities in t/m3 all the same.
func TestMaterialsInFeet(t *testing.T) {
	job := cutAndFill()
	const foot = 0.3048
	metric := run(t, job).Materials
	job.Units = tin.Foot
	for i := range job.Surveys[0].Points {
		p := &job.Surveys[0].Points[i]
		p.E, p.N, p.Level = p.E/foot, p.N/foot, p.Level/foot
	}
	for i := range job.Pads {
		p := &job.Pads[i]
		p.Finished /= foot
		for k := range p.Outline[0] {
			p.Outline[0][k][0] /= foot
			p.Outline[0][k][1] /= foot
		}
	}
	feet := run(t, job).Materials
	yard3 := 27 * foot * foot * foot
	assert.InDelta(t, float64(*metric.Spoil)/yard3, float64(*feet.Spoil), 1e-9)
	assert.InDelta(t, *metric.SpoilTonnes, *feet.SpoilTonnes, 1e-9)
}

// A grid that is drawn out by its scale changes nothing on the ground.
func TestMaterialsOnAScaledGrid(t *testing.T) {
	job := cutAndFill()
	plain := run(t, job).Materials
	job.Scale = 1.05
	for i := range job.Surveys[0].Points {
		job.Surveys[0].Points[i].E *= 1.05
		job.Surveys[0].Points[i].N *= 1.05
	}
	for i := range job.Pads {
		for k := range job.Pads[i].Outline[0] {
			job.Pads[i].Outline[0][k][0] *= 1.05
			job.Pads[i].Outline[0][k][1] *= 1.05
		}
	}
	scaled := run(t, job).Materials
	assert.InDelta(t, float64(*plain.Spoil), float64(*scaled.Spoil), 1e-9)
	assert.InDelta(t, plain.Haul.MeanDistance, scaled.Haul.MeanDistance, 0.6) // cells lie otherwise
}

func materialSite(lines ...string) fstest.MapFS {
	files := site(pad("outline = \"square.csv\"", "finished = 10", strings.Join(lines, "\n")))
	files["rock.csv"] = &fstest.MapFile{Data: []byte("easting,northing,level,code\n0,0,1,\n100,0,1,\n0,100,1,\n5,5,50,BM\n")}
	return files
}

func TestLoadMaterials(t *testing.T) {
	job, err := load(t, materialSite(`[[material]]`, `name = "rock"`, `kind = "blasted rock"`, `below = [ { points = "rock.csv", ignore_codes = "BM", benchmark = { plan = 10, measured = 1 } }, 12 ]`, `above = "rock.csv"`, `reuse = 0.5`,
		`[[material]]`, `name = "clay"`, `swell = "25 %"`, `shrink = { percent = 25, of = "compacted" }`, `density = 1.9`, `from = "500 mm"`, `to = 2`, `by = "total depth"`, `within = "square.csv"`,
		`[[material]]`, `name = "topsoil"`, `lies = "topsoil"`, `loose_per_bank = 1.2`, `compacted_per_bank = 0.85`,
		`[import]`, `measure = "tonnes"`, `compacted_per_bank = 1.1`, `density = 2.2`,
		`[[truck]]`, `name = "tipper"`, `body = 10`, `payload = 15`, `cycle = "0.5 h"`,
		`[[machine]]`, `name = "digger"`, `work = "spoil"`, `bucket = 1`, `fill_factor = 0.9`, `cycle = "30 s"`, `efficiency = 0.8`, `truck = "tipper"`, `trucks = 3`))
	require.NoError(t, err)
	require.Len(t, job.Materials, 3)
	rock, clay, top := job.Materials[0], job.Materials[1], job.Materials[2]
	assert.Equal(t, "blasted rock", rock.Kind)
	assert.Equal(t, 0.5, rock.Reuse)
	require.Len(t, rock.Below, 2)
	assert.Equal(t, []string{"BM"}, rock.Below[0].Survey.IgnoreCodes)
	assert.Equal(t, 9.0, rock.Below[0].Survey.Benchmark.Plan-rock.Below[0].Survey.Benchmark.Measured)
	assert.Equal(t, 12.0, rock.Below[1].Level)
	assert.Len(t, rock.Above[0].Survey.Points, 4)
	assert.Equal(t, material.Factors{LoosePerBank: 1.25, CompactedPerBank: 0.8}, clay.Factors)
	assert.Equal(t, [3]float64{0.5, 2, 1.9}, [3]float64{clay.From, clay.To, clay.Density})
	assert.True(t, clay.TotalDepth)
	assert.Equal(t, 1.0, clay.Reuse)
	assert.Len(t, clay.Within, 1)
	assert.True(t, top.Topsoil)
	assert.Zero(t, top.Reuse)
	assert.Equal(t, &material.Import{Measure: material.ByTonnes, Factors: material.Factors{CompactedPerBank: 1.1}, Density: 2.2}, job.Import)
	assert.Equal(t, []material.Truck{{Name: "tipper", Body: 10, Payload: 15, CycleMinutes: 30}}, job.Trucks)
	assert.Equal(t, 3, job.Machines[0].Trucks)
	assert.Equal(t, 30.0, job.Machines[0].CycleSeconds)
}

func TestLoadMaterialErrors(t *testing.T) {
	const clay = "[[material]]\nname = \"clay\"\n"
	const truck = clay + "[[truck]]\nname = \"t\"\n"
	const digger = clay + "[[machine]]\nname = \"d\"\nwork = \"cut\"\nbucket = 1\nfill_factor = 1\nefficiency = 1\n"
	for _, tt := range []struct{ lines, code, key, hint string }{
		{clay + "loose_per_bank = 25", "factor_range", "material[0].loose_per_bank", `swell = "25 %"`},
		{clay + "loose_per_bank = -1", "factor_range", "material[0].loose_per_bank", "such as 1.25"},
		{clay + "loose_per_bank = 0", "factor_range", "material[0].loose_per_bank", "such as 1.25"},
		{clay + "compacted_per_bank = 10", "factor_range", "material[0].compacted_per_bank", `of = "compacted"`},
		{clay + "swell = 25", "wrong_type", "material[0].swell", `swell = "25 %"`},
		{clay + `swell = "25"`, "bad_percent", "material[0].swell", `swell = "25 %"`},
		{clay + `loose_per_bank = 1.2` + "\n" + `swell = "20 %"`, "bad_value", "material[0].swell", "leave one"},
		{clay + `shrink = "10 %"`, "wrong_type", "material[0].shrink", `of = "bank"`},
		{clay + "shrink = { percent = 10 }", "missing_key", "material[0].shrink.of", "sources differ"},
		{clay + `shrink = { percent = 90, of = "bank" }`, "bad_percent", "material[0].shrink", "what is left"},
		{clay + "compacted_per_bank = 0.9\nshrink = { percent = 10, of = \"bank\" }", "bad_value", "material[0].shrink", "leave one"},
		{clay + "density = 1900", "bad_value", "material[0].density", "density = 1.9"},
		{clay + "density = -2", "bad_value", "material[0].density", "such as 1.9"},
		{clay + "reuse = 1.5", "bad_amount", "material[0].reuse", "0 to 1"},
		{clay + `reuse = "some"`, "bad_value", "material[0].reuse", `"all" or "none"`},
		{clay + `reuse = true`, "wrong_type", "material[0].reuse", `"all"`},
		{clay + `kind = "clay"`, "bad_value", "material[0].kind", "mixed soils"},
		{clay + "from = 1", "missing_key", "material[0].by", "slices"},
		{clay + `by = "slices"`, "missing_key", "material[0].by", "from or to"},
		{clay + "from = 2\nto = 1\nby = \"slices\"", "bad_value", "material[0].to", "deeper"},
		{clay + "from = -2\nby = \"slices\"", "bad_value", "material[0].from", ""},
		{clay + `below = "none.csv"`, "file_missing", "material[0].below", ""},
		{clay + `below = true`, "wrong_type", "material[0].below", "rock.csv"},
		{clay + `below = { columns = "x" }`, "missing_key", "material[0].below.points", "rock.csv"},
		{clay + "lies = \"topsoil\"\nfrom = 1\nby = \"slices\"", "bad_value", "material[0]", "leave depths"},
		{clay + clay, "duplicate_material_name", "material[1].name", ""},
		{clay + "[[material]]\nname = \"b\"", "materials_overlap", "material[1]", "put what is everywhere last"},
		{clay + "to = 1\nby = \"slices\"\n[[material]]\nname = \"b\"\nfrom = 0.5\nby = \"slices\"", "materials_overlap", "material[1]", "not overlap"},
		{clay + "lies = \"topsoil\"\n[[material]]\nname = \"b\"\nlies = \"topsoil\"", "materials_overlap", "material[1]", ""},
		{"[[truck]]\nname = \"t\"\nbody = 1", "missing_key", "truck", "[[material]]"},
		{"[import]\nmeasure = \"loose\"", "missing_key", "import", "[[material]]"},
		{clay + "[import]", "missing_key", "import.measure", "tonnes"},
		{clay + "[import]\nmeasure = \"bank\"", "bad_value", "import.measure", "compacted"},
		{clay + "[import]\nmeasure = \"loose\"", "factor_missing", "import", ""},
		{truck + "body = 0", "bad_amount", "truck[0].body", ""},
		{truck + "body = 1\ncycle = 30", "wrong_type", "truck[0].cycle", "40 min"},
		{truck + "body = 1\ncycle = \"30\"", "bad_value", "truck[0].cycle", "with its unit"},
		{truck + "body = 1\ncycle = \"0 s\"", "bad_value", "truck[0].cycle", "40 min"},
		{truck + "body = 1\n[[truck]]\nname = \"t\"\nbody = 2", "duplicate_truck_name", "truck[1].name", ""},
		{digger, "missing_key", "machine[0].cycle", "30 s"},
		{digger + "cycle = \"30 s\"\ntrucks = 2.5", "bad_value", "machine[0].trucks", ""},
		{digger + "cycle = \"30 s\"\ntruck = \"x\"", "unknown_truck", "machine[0].truck", ""},
		{clay + "bulking = 1.2", "unknown_key", "material[0].bulking", "loose_per_bank"},
		{clay + "shrink = { percent = 10, off = \"bank\" }", "unknown_key", "material[0].shrink.off", `"of"`},
	} {
		_, err := load(t, materialSite(tt.lines))
		e := inputError(t, err)
		assert.Equal(t, tt.code, e.Code, "%s: %v", tt.lines, e)
		assert.Equal(t, tt.key, e.Key, tt.lines)
		assert.Equal(t, "job.toml", e.File, tt.lines)
		assert.Positive(t, e.Line, tt.lines)
		assert.Contains(t, e.Hint, tt.hint, tt.lines)
	}
}

// The order of spots, where an outline begins and how many threads there are change no
// bit of it.
func TestMaterialsRepeatToTheBit(t *testing.T) {
	job := func() *takeoff.Job {
		job := cutAndFill()
		r := rand.New(rand.NewPCG(7, 7))
		for range 60 {
			job.Surveys[0].Points = append(job.Surveys[0].Points, tin.Point{E: 1 + 98*r.Float64(), N: 1 + 48*r.Float64(), Level: 9.5 + r.Float64()})
		}
		for i := range job.Pads {
			job.Pads[i].Cut, job.Pads[i].Fill = takeoff.Batter{Along: 1}, takeoff.Batter{Along: 2}
		}
		rock := takeoff.Material{Name: "rock", Factors: material.Factors{LoosePerBank: 1.5, CompactedPerBank: 1.2}, Reuse: 0.5,
			Below: []takeoff.Horizon{{Survey: &takeoff.Survey{Points: []tin.Point{{E: -9, N: -9, Level: 8.1}, {E: 120, N: -9, Level: 9.3}, {E: 120, N: 70, Level: 9}, {E: -9, N: 70, Level: 8.7}, {E: 20, N: 14, Level: 9.2}}}}}}
		job.Materials = append([]takeoff.Material{rock}, job.Materials...)
		return job
	}
	want := run(t, job()).Materials
	require.NotNil(t, want.Haul)

	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	other := job()
	slices.Reverse(other.Surveys[0].Points)
	slices.Reverse(other.Materials[0].Below[0].Survey.Points)
	for i := range other.Pads {
		r := other.Pads[i].Outline[0]
		other.Pads[i].Outline[0] = append(r[2:len(r):len(r)], r[:2]...)
	}
	assert.Equal(t, want, run(t, other).Materials)
}

// A surface that is none is an error at its key.
func TestMaterialSurfaceOfTwoSpots(t *testing.T) {
	files := materialSite("[[material]]\nname = \"rock\"\nbelow = \"rock.csv\"")
	files["rock.csv"] = &fstest.MapFile{Data: []byte("easting,northing,level\n0,0,1\n100,0,1\n")}
	job, err := load(t, files)
	require.NoError(t, err)
	_, err = takeoff.Run(t.Context(), job, takeoff.Options{})
	e := inputError(t, err)
	assert.Equal(t, "too_few_points", e.Code)
	assert.Equal(t, "material[0].below", e.Key)
	assert.Equal(t, "rock.csv", e.File)
}

// What the split refuses is at the key of the material.
func TestMaterialWithinOverlappingAreas(t *testing.T) {
	job := cutAndFill()
	job.Materials = append([]takeoff.Material{{Name: "topsoil", Topsoil: true}, {Name: "rock", Within: orb.MultiPolygon{ring(0, 0, 20, 20), ring(15, 15, 30, 30)}}}, job.Materials...)
	_, err := takeoff.Run(t.Context(), job, takeoff.Options{})
	e := inputError(t, err)
	assert.Equal(t, "areas_overlap", e.Code)
	assert.True(t, strings.HasPrefix(e.Key, "material[1].within"), e.Key)
}
