package material_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/volume/material"
)

var (
	clay = material.Material{Name: "clay", Factors: material.Factors{LoosePerBank: 1.25, CompactedPerBank: 0.9}, Density: 2, Reuse: 1, Dug: 1000}
	rock = material.Material{Name: "rock", Factors: material.Factors{LoosePerBank: 1.6, CompactedPerBank: 1.3}, Density: 2.6, Dug: 100}
)

func reckon(t *testing.T, s material.Site) *material.Result {
	t.Helper()
	r, err := material.Reckon(s)
	require.NoError(t, err)
	return r
}

func TestSurplus(t *testing.T) {
	r := reckon(t, material.Site{Materials: []material.Material{clay, rock}, Fill: 450,
		Trucks: []material.Truck{{Name: "tipper", Body: 10, Payload: 14}}})
	assert.InDelta(t, 500, float64(*r.Materials[0].ToFill), 1e-9) // 450 / 0.9
	assert.InDelta(t, 500, float64(*r.Surplus), 1e-9)
	assert.Zero(t, *r.Short)
	assert.InDelta(t, 600, float64(*r.Spoil), 1e-9) // the rock may not become fill
	assert.InDelta(t, 500*1.25+160, float64(*r.SpoilLoose), 1e-9)
	assert.InDelta(t, 1260, *r.SpoilTonnes, 1e-9)

	// A load of clay is 14 / (2 / 1.25) = 8.75 by payload, 72 of them for 625; of rock
	// 14 / (2.6 / 1.6) = 8.615, 19 for 160.
	truck := r.Trucks[0]
	assert.Equal(t, material.ByPayload, truck.Materials[0].Governs)
	assert.InDelta(t, 8.75, float64(truck.Materials[0].Load), 1e-12)
	assert.Equal(t, 72, truck.Materials[0].Loads)
	assert.Equal(t, 19, truck.Materials[1].Loads)
	assert.Equal(t, 91, truck.Loads)
}

func TestShortage(t *testing.T) {
	s := material.Site{Materials: []material.Material{clay}, Fill: 1800,
		Import: &material.Import{Name: "crushed rock", Factors: material.Factors{LoosePerBank: 1.5, CompactedPerBank: 1.2}, Density: 2.4, Measure: material.ByTonnes},
		Trucks: []material.Truck{{Name: "tipper", Body: 10}}}
	r := reckon(t, s)
	assert.InDelta(t, 900, float64(*r.FillFromSite), 1e-9)
	assert.InDelta(t, 900, float64(*r.Short), 1e-9)
	assert.Zero(t, *r.Surplus)
	assert.Zero(t, *r.Spoil)
	assert.InDelta(t, 900/1.2*2.4, r.Import.Amount, 1e-9)
	assert.InDelta(t, 900/1.2*1.5, float64(r.Import.Loose), 1e-9)
	assert.Equal(t, 113, r.Trucks[0].Import.Loads)
	assert.Zero(t, r.Trucks[0].Loads)

	s.Import.Measure = material.ByLoose
	assert.InDelta(t, 1125, reckon(t, s).Import.Amount, 1e-9)
	s.Import = &material.Import{Measure: material.ByCompacted}
	assert.InDelta(t, 900, reckon(t, s).Import.Amount, 1e-9)
}

// Materials become fill in their order, and each as far as its share.
func TestOrderAndShareOfReuse(t *testing.T) {
	some := rock
	some.Reuse = 0.5
	r := reckon(t, material.Site{Materials: []material.Material{some, clay}, Fill: 500})
	assert.InDelta(t, 50, float64(*r.Materials[0].ToFill), 1e-9)
	assert.InDelta(t, 65, float64(r.Materials[0].Fill), 1e-9)
	assert.InDelta(t, 435/0.9, float64(*r.Materials[1].ToFill), 1e-9)
	assert.InDelta(t, 50+1000-435/0.9, float64(*r.Spoil), 1e-9)
	assert.InDelta(t, 1000-435/0.9, float64(*r.Surplus), 1e-9)
}

// What goes in comes out: bank volume to fill, to spread, to spoil; fill from site and
// from outside.
func TestNothingIsLost(t *testing.T) {
	for _, fill := range []material.Compacted{0, 100, 899.9, 900, 901, 5000} {
		top := material.Material{Name: "topsoil", Topsoil: true, Factors: material.Factors{CompactedPerBank: 0.85}, Dug: 200, Spread: 90, Reuse: 0.25}
		r := reckon(t, material.Site{Materials: []material.Material{clay, rock, top}, Fill: fill})
		var dug, gone material.Bank
		for _, m := range r.Materials {
			dug += m.Dug
			gone += m.Spread + *m.ToFill + *m.Spoil
		}
		assert.InDelta(t, float64(dug), float64(gone), 1e-9)
		assert.InDelta(t, float64(fill), float64(*r.FillFromSite+*r.Short), 1e-9)
		assert.True(t, *r.Short == 0 || *r.Surplus == 0)
	}
}

func TestTopsoilIsSpreadFirst(t *testing.T) {
	top := material.Material{Name: "topsoil", Topsoil: true, Factors: material.Factors{LoosePerBank: 1.2, CompactedPerBank: 0.8}, Dug: 200, Spread: 80}
	r := reckon(t, material.Site{Materials: []material.Material{top}, Fill: 50})
	assert.InDelta(t, 100, float64(r.Materials[0].Spread), 1e-9)
	assert.InDelta(t, 100, float64(*r.Spoil), 1e-9)
	assert.InDelta(t, 50, float64(*r.Short), 1e-9) // it is no fill

	top.Spread = 200
	r = reckon(t, material.Site{Materials: []material.Material{top}})
	assert.InDelta(t, 200, float64(r.Materials[0].Spread), 1e-9)
	assert.InDelta(t, 40, float64(r.Materials[0].SpreadShort), 1e-9)

	top.CompactedPerBank = 0 // what is spread counts as in bank measure
	top.Spread = 250
	assert.InDelta(t, 50, float64(reckon(t, material.Site{Materials: []material.Material{top}}).Materials[0].SpreadShort), 1e-9)
}

// Nothing is guessed: what hangs on a factor that is not there is left out and named.
func TestMissingFactorsAreNamed(t *testing.T) {
	bare := material.Material{Name: "ground", Dug: 100, Reuse: 1}
	digger := material.Machine{Name: "digger", Bucket: 1, FillFactor: 1, CycleSeconds: 36, Efficiency: 1, Work: material.DigsCut}
	loader := digger
	loader.Name, loader.Work = "loader", material.LoadsSpoil
	site := material.Site{Materials: []material.Material{bare}, Fill: 50, Trucks: []material.Truck{{Name: "tipper", Body: 10}},
		Machines: []material.Machine{digger, loader}}
	r := reckon(t, site)
	assert.Nil(t, r.Surplus)
	assert.Nil(t, r.Short)
	assert.Nil(t, r.Spoil)
	assert.Nil(t, r.Materials[0].ToFill)
	assert.Empty(t, r.Trucks)
	require.Len(t, r.Machines, 1)
	assert.Zero(t, r.Machines[0].Hours)
	assert.Equal(t, []material.Need{
		{Material: "ground", Key: "compacted_per_bank", For: "surplus and shortage"}, {Material: "ground", Key: "loose_per_bank", For: "machine hours"}}, r.Needs)

	site.Fill = 0 // no factor is needed to know that all of it leaves
	r = reckon(t, site)
	assert.InDelta(t, 100, float64(*r.Spoil), 0)
	assert.Nil(t, r.SpoilLoose)
	assert.Nil(t, r.SpoilTonnes)
	assert.Equal(t, "loads", r.Needs[0].For)
	assert.Equal(t, []string{"ground"}, r.Trucks[0].Without)
	assert.Equal(t, []string{"ground"}, r.Machines[0].Without)
	assert.Equal(t, []string{"ground"}, r.Machines[1].Without)

	site.Materials = append(site.Materials, clay) // whose loads and hours are not all
	r = reckon(t, site)
	assert.Equal(t, 125, r.Trucks[0].Loads)
	assert.Equal(t, []string{"ground"}, r.Trucks[0].Without)
	assert.InDelta(t, 12.5, r.Machines[0].Hours, 1e-12)
	assert.Equal(t, []string{"ground"}, r.Machines[0].Without)

	r = reckon(t, material.Site{Materials: []material.Material{clay}, Unassigned: 1})
	assert.Nil(t, r.Surplus) // what the rest is nobody said
}

func TestMachines(t *testing.T) {
	m := material.Machine{Name: "digger", Bucket: 1, FillFactor: 0.9, CycleSeconds: 27, Efficiency: 0.8, HoursPerDay: 8, Work: material.DigsCut} // 96 an hour
	load := m
	load.Name, load.Work, load.Truck, load.Trucks = "loader", material.LoadsSpoil, "tipper", 2
	many := load
	many.Name, many.Trucks = "second loader", 0
	top := material.Material{Name: "topsoil", Topsoil: true, Factors: material.Factors{LoosePerBank: 1.2}, Dug: 80}
	strip := m
	strip.Name, strip.Work = "dozer", material.DigsTopsoil
	r := reckon(t, material.Site{Materials: []material.Material{clay, top}, Machines: []material.Machine{m, load, many, strip},
		Trucks: []material.Truck{{Name: "tipper", Body: 10, CycleMinutes: 25}}})
	require.Len(t, r.Machines, 4)

	dig := r.Machines[0]
	assert.InDelta(t, 96, float64(dig.Rate), 1e-12)
	assert.InDelta(t, 1250, float64(dig.Loose), 1e-9)
	assert.InDelta(t, 1250.0/96, dig.Hours, 1e-12)
	assert.InDelta(t, 1250.0/96/8, dig.Days, 1e-12)
	assert.Equal(t, material.ByMachine, dig.Materials[0].Governs)

	two := r.Machines[1] // 24 an hour each
	assert.InDelta(t, (1250+96)/48.0, two.Hours, 1e-9)
	assert.Equal(t, material.ByTrucks, two.Materials[0].Governs)
	assert.InDelta(t, 4, two.Materials[0].Balance, 1e-12)

	enough := r.Machines[2]
	assert.Equal(t, 4, enough.Materials[0].Trucks)
	assert.InDelta(t, (1250+96)/96.0, enough.Hours, 1e-9)
	assert.InDelta(t, 1, r.Machines[3].Hours, 1e-12)
}

func TestHaulOfCells(t *testing.T) {
	site := material.Site{Materials: []material.Material{clay, rock}, Fill: 90, Cells: []material.Cell{
		{Dug: []material.Bank{500, 100}, DugAt: [2]float64{0, 0}},
		{Dug: []material.Bank{500, 0}, DugAt: [2]float64{30, 0}, Fill: 45, FillAt: [2]float64{30, 40}},
		{Fill: 45, FillAt: [2]float64{0, 10}},
	}}
	r := reckon(t, site)
	assert.InDelta(t, 90, float64(r.Haul.Volume), 1e-9)
	assert.InDelta(t, 45*40+45*10, r.Haul.VolumeDistance, 1e-9)
	assert.InDelta(t, 25, r.Haul.MeanDistance, 1e-9)

	site.Materials[0].CompactedPerBank = 0
	assert.Nil(t, reckon(t, site).Haul)
}

func TestLoadsAreRoundedUp(t *testing.T) {
	truck := material.Truck{Body: 0.1}
	for loads := range 200 { // 0.1 is no binary fraction: a full truck is not one and a bit
		n, _ := truck.Loads(material.Loose(float64(loads)*0.1), 0)
		assert.Equal(t, loads, n)
	}
	n, _ := truck.Loads(0.1001, 0)
	assert.Equal(t, 2, n)
}

// Input that cannot be is refused with its key.
func TestReckonRefuses(t *testing.T) {
	machine := material.Machine{Name: "digger", Bucket: 1, FillFactor: 1, CycleSeconds: 30, Efficiency: 0.8, Work: material.DigsCut}
	with := func(change func(*material.Machine)) material.Site {
		m := machine
		change(&m)
		return material.Site{Machines: []material.Machine{m}, Trucks: []material.Truck{{Name: "tipper", Body: 1}}}
	}
	of := func(change func(*material.Material)) material.Site {
		m := clay
		change(&m)
		return material.Site{Materials: []material.Material{m}}
	}
	for _, c := range []struct {
		code, key string
		site      material.Site
	}{
		{"factor_range", "material[0].loose_per_bank", of(func(m *material.Material) { m.LoosePerBank = -1.2 })},
		{"factor_range", "material[0].compacted_per_bank", of(func(m *material.Material) { m.CompactedPerBank = 10 })},
		{"factor_range", "material[0].compacted_per_bank", of(func(m *material.Material) { m.CompactedPerBank = math.NaN() })},
		{"bad_amount", "material[0].density", of(func(m *material.Material) { m.Density = -1 })},
		{"bad_amount", "material[0].reuse", of(func(m *material.Material) { m.Reuse = 1.5 })},
		{"bad_amount", "material[0].dug", of(func(m *material.Material) { m.Dug = material.Bank(math.Inf(1)) })},
		{"bad_amount", "material[0].spread", of(func(m *material.Material) { m.Spread = -1 })},
		{"duplicate_material_name", "material[1].name", material.Site{Materials: []material.Material{clay, clay}}},
		{"duplicate_material_name", "material[0].name", of(func(m *material.Material) { m.Name = "" })},
		{"bad_amount", "fill", material.Site{Fill: -1}},
		{"bad_amount", "unassigned", material.Site{Unassigned: material.Bank(math.NaN())}},
		{"bad_amount", "import.measure", material.Site{Import: &material.Import{}}},
		{"factor_missing", "import.compacted_per_bank", material.Site{Import: &material.Import{Measure: material.ByLoose}}},
		{"factor_missing", "import.loose_per_bank", material.Site{Import: &material.Import{Measure: material.ByLoose, Factors: material.Factors{CompactedPerBank: 1}}}},
		{"factor_missing", "import.density", material.Site{Import: &material.Import{Measure: material.ByTonnes, Factors: material.Factors{CompactedPerBank: 1}}}},
		{"factor_range", "import.loose_per_bank", material.Site{Import: &material.Import{Measure: material.ByLoose, Factors: material.Factors{LoosePerBank: 9}}}},
		{"duplicate_truck_name", "truck[1].name", material.Site{Trucks: []material.Truck{{Name: "tipper", Body: 1}, {Name: "tipper", Body: 2}}}},
		// hours are priced by the machine's name
		{"duplicate_machine_name", "machine[1].name", material.Site{Machines: []material.Machine{machine, machine}}},
		{"bad_amount", "truck[0].body", material.Site{Trucks: []material.Truck{{Name: "tipper"}}}},
		{"bad_amount", "truck[0].payload", material.Site{Trucks: []material.Truck{{Body: 1, Payload: -2}}}},
		{"bad_amount", "truck[0].cycle", material.Site{Trucks: []material.Truck{{Body: 1, CycleMinutes: -2}}}},
		// so little that loads and trucks are more than an int counts, so much that rates are infinite
		{"bad_amount", "truck[0].body", material.Site{Trucks: []material.Truck{{Body: 1e-300}}}},
		{"bad_amount", "truck[0].payload", material.Site{Trucks: []material.Truck{{Body: 1, Payload: 1e-300}}}},
		{"bad_amount", "truck[0].cycle", material.Site{Trucks: []material.Truck{{Body: 1, CycleMinutes: 1e300}}}},
		{"bad_amount", "machine[0].bucket", with(func(m *material.Machine) { m.Bucket = 1e308 })},
		{"bad_amount", "machine[0].efficiency", with(func(m *material.Machine) { m.Efficiency = 1e-300 })},
		{"bad_amount", "machine[0].bucket", with(func(m *material.Machine) { m.Bucket = 0 })},
		{"bad_amount", "machine[0].cycle", with(func(m *material.Machine) { m.CycleSeconds = math.NaN() })},
		{"bad_amount", "machine[0].fill_factor", with(func(m *material.Machine) { m.FillFactor = 90 })},
		{"bad_amount", "machine[0].efficiency", with(func(m *material.Machine) { m.Efficiency = 83 })},
		{"bad_amount", "machine[0].hours_per_day", with(func(m *material.Machine) { m.HoursPerDay = 25 })},
		{"bad_amount", "machine[0].work", with(func(m *material.Machine) { m.Work = "" })},
		{"bad_amount", "machine[0].trucks", with(func(m *material.Machine) { m.Trucks = 3 })},
		{"bad_amount", "machine[0].trucks", with(func(m *material.Machine) { m.Trucks = -1 })},
		{"unknown_truck", "machine[0].truck", with(func(m *material.Machine) { m.Truck = "lorry" })},
		{"bad_amount", "truck[0].cycle", with(func(m *material.Machine) { m.Truck = "tipper" })},
		{"bad_cells", "", material.Site{Cells: []material.Cell{{Dug: []material.Bank{1}}}}},
		{"bad_amount", "cells", material.Site{Materials: []material.Material{clay}, Cells: []material.Cell{{Dug: []material.Bank{-1}}}}},
		{"bad_amount", "cells", material.Site{Materials: []material.Material{clay}, Cells: []material.Cell{{Fill: -1}}}},
	} {
		_, err := material.Reckon(c.site)
		var e *tin.InputError
		if assert.ErrorAs(t, err, &e, "%s %s", c.code, c.key) {
			assert.Equal(t, c.code, e.Code, c.key)
			assert.Equal(t, c.key, e.Key)
			assert.NotEmpty(t, e.Hint)
		}
	}
}
