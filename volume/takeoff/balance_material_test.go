package takeoff_test

import (
	"runtime"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin/formation"
	"barrow/volume/material"
	"barrow/volume/price"
	"barrow/volume/takeoff"
)

// sorted is the rolling job with clay over rock of which a third is fit, thickenings and
// topsoil as a material.
func sorted(t *testing.T, reuseOfTopsoil float64) *takeoff.Job {
	t.Helper()
	job := rolling(2)
	job.Pads = job.Pads[:2]
	job.Pads[0].Thickenings = []takeoff.Thickening{{Name: "beam", Lines: []orb.LineString{{{38, 40}, {50, 40}}}, Width: 0.6, Depth: 0.5, From: formation.FromFormation}}
	job.Materials = []takeoff.Material{
		{Name: "topsoil", Topsoil: true, Reuse: reuseOfTopsoil, Factors: material.Factors{CompactedPerBank: 0.8}},
		{Name: "clay", To: 0.4, Reuse: 1, Factors: material.Factors{CompactedPerBank: 0.85}},
		{Name: "rock", From: 0.4, Reuse: 1.0 / 3, Factors: material.Factors{CompactedPerBank: 1.3}},
	}
	return job
}

// A balance by materials is that of bisection on what whole takeoffs call surplus and
// short, whether it is proved to be the only one or looked for at steps.
func TestBalanceByMaterialsEqualsBisection(t *testing.T) {
	t.Parallel()
	for name, job := range map[string]*takeoff.Job{"the only one": sorted(t, 0), "topsoil too": sorted(t, 0.5)} {
		b := balance(t, job, takeoff.BalanceOptions{Pads: []string{"a"}})
		require.NotNil(t, b.Balance, name)
		assert.Equal(t, name != "the only one", slices.Contains(codes(b.Notes), takeoff.NoteMayTurn), name)
		over := func(shift float64) bool { return *run(t, shiftedJob(job, shift, "a")).Materials.Surplus > 0 }
		low, high := b.Balance.Shift-0.1, b.Balance.Shift+0.1
		require.True(t, over(low), name)
		require.False(t, over(high), name)
		for high-low > 1e-6 {
			if middle := (low + high) / 2; over(middle) {
				low = middle
			} else {
				high = middle
			}
		}
		assert.InDelta(t, low, b.Balance.Shift, 5e-6, name)
		m := run(t, shiftedJob(job, b.Balance.Shift, "a")).Materials
		for _, got := range b.Balance.Materials {
			i := slices.IndexFunc(job.Materials, func(m takeoff.Material) bool { return m.Name == got.Name })
			assert.Equal(t, m.Materials[i].Dug, got.Dug, name)
			assert.Equal(t, *m.Materials[i].ToFill, *got.ToFill, name)
		}
		assert.Equal(t, name != "the only one", b.Balance.Materials[0].Name == "topsoil", name)
		assert.Equal(t, float64(m.Fill), *b.Balance.FillToMake, name)
		assert.InDelta(t, *b.Balance.FillToMake, *b.Balance.Supply, 2e-3, name)
	}
}

// Where one material makes it, it is the balance of its factor.
func TestBalanceOfOneMaterial(t *testing.T) {
	job := slopeJob()
	by := balance(t, job, takeoff.BalanceOptions{CompactedPerBank: 0.9})
	assert.NotContains(t, codes(by.Notes), takeoff.NoteFactorCounts)
	job.Materials = []takeoff.Material{{Name: "clay", Factors: material.Factors{CompactedPerBank: 0.9}, Reuse: 1}}
	b := balance(t, job, takeoff.BalanceOptions{})
	assert.True(t, b.ByMaterials)
	assert.InDelta(t, by.Balance.Shift, b.Balance.Shift, 2e-6)
	flagged := balance(t, job, takeoff.BalanceOptions{CompactedPerBank: 0.9})
	assert.Contains(t, codes(flagged.Notes), takeoff.NoteFactorCounts)
	assert.Equal(t, by.Balance, flagged.Balance)
}

// A pit on level ground beside a bank of 180 m3: ground dug no more than 1 m deep in all
// is fit, else none of it. What is left over is 200 h - 180 in a pit h deep, but -180
// where it is deeper than 1 m, so that 1 m and 0.9 m both cross.
func TestBalanceTurns(t *testing.T) {
	job := cutAndFill()
	job.Materials = []takeoff.Material{
		{Name: "shallow", To: 1, TotalDepth: true, Reuse: 1, Factors: material.Factors{CompactedPerBank: 1}},
		{Name: "deep", From: 1, TotalDepth: true},
	}
	low, high := 7.0, 9.6
	b := balance(t, job, takeoff.BalanceOptions{Pads: []string{"pit"}, NotBelow: &low, NotAbove: &high})
	assert.InDelta(t, 1, b.Balance.Shift, 2e-6)
	assert.InDelta(t, 20, *b.Balance.Surplus, 1e-3)
	assert.Contains(t, codes(b.Notes), takeoff.NoteMayTurn)
	assert.Contains(t, codes(b.Warnings), takeoff.WarnSeveral)
	assert.Contains(t, codes(b.Warnings), takeoff.WarnJump)
	assert.Empty(t, b.Jumps)
	// above the jump there is one
	low = 9.05
	b = balance(t, job, takeoff.BalanceOptions{Pads: []string{"pit"}, NotBelow: &low, NotAbove: &high})
	assert.InDelta(t, 1.1, b.Balance.Shift, 2e-6)
	assert.NotContains(t, codes(b.Warnings), takeoff.WarnSeveral)
	// below it there is none
	high, low = 8.9, 7
	b = balance(t, job, takeoff.BalanceOptions{Pads: []string{"pit"}, NotBelow: &low, NotAbove: &high})
	assert.Nil(t, b.Balance)
	assert.InDelta(t, 180, *b.Nearest.Short, 1e-9)
}

// hauled is the slope with a truck for what leaves it, and rates with whole loads, whole
// quantities, contingency and a provisional item.
func hauled(t *testing.T) (*takeoff.Job, *price.Rates) {
	t.Helper()
	job := slopeJob()
	job.Pads[0].Finished = 12.3
	job.Materials = []takeoff.Material{{Name: "clay", Factors: material.Factors{LoosePerBank: 1.25, CompactedPerBank: 0.9}, Reuse: 0.8}}
	job.Import = &material.Import{Name: "stone", Measure: material.ByCompacted, Factors: material.Factors{LoosePerBank: 1.4, CompactedPerBank: 1.1}}
	job.Trucks = []material.Truck{{Name: "tipper", Body: 10}}
	rates, err := price.ReadRates(strings.NewReader("currency,XTS\ncontingency,5\nquantities,whole\nitem,quantity,unit,rate,kind\n"+
		"Dig,cut,m3 bank,6.5,\nFill,fill,m3 compacted,9,\nLoads,truck.tipper.spoil_loads,load,150,\nStone,import_compacted,m3 compacted,30,\nSoft spots,10,m3 bank,40,provisional\n"), "rates.csv")
	require.NoError(t, err)
	job.Rates = rates
	return job, rates
}

// firmAt is what the bill of a job comes to at another level, provisional items left out.
func firmAt(t *testing.T, job *takeoff.Job, shift float64) int64 {
	t.Helper()
	priced, err := takeoff.Price(t.Context(), shiftedJob(job, shift), takeoff.Options{})
	require.NoError(t, err)
	return priced.Bill.Firm
}

// The bill's least cost is no dearer than the bills of 41 levels, and it is that of the
// bill at its level and at the ends of what costs the same.
func TestBalanceLeastCostByBill(t *testing.T) {
	job, rates := hauled(t)
	b := balance(t, job, takeoff.BalanceOptions{Bill: rates})
	least := b.LeastCost
	assert.Equal(t, "XTS", b.Currency.Code)
	assert.Equal(t, "rates.csv", b.RatesFile)
	for k := range 41 {
		shift := least.Least + (least.Most-least.Least)*float64(k)/40.3
		assert.LessOrEqual(t, *least.Cost, firmAt(t, job, shift), shift)
	}
	for k := range 41 {
		shift := least.Shift + 0.05*(float64(k)/20-1)
		assert.LessOrEqual(t, *least.Cost, firmAt(t, job, shift), shift)
	}
	for _, shift := range []float64{least.Shift, *least.SameFrom, *least.SameTo} {
		assert.Equal(t, *least.Cost, firmAt(t, job, shift))
	}
	for _, shift := range []float64{*least.SameFrom - 2e-4, *least.SameTo + 2e-4} {
		assert.NotEqual(t, *least.Cost, firmAt(t, job, shift))
	}
	assert.Less(t, *least.SameFrom, *least.SameTo)
	assert.True(t, slices.ContainsFunc(b.Curve, func(p takeoff.LevelPoint) bool { return p.Shift == least.Shift }))
	for _, p := range b.WhatIf {
		assert.Equal(t, firmAt(t, job, p.Shift), *p.Cost)
	}
}

// Work without a rate is a warning, and so is a cost that lacks what is not known.
func TestBalanceByBillLacks(t *testing.T) {
	job, rates := hauled(t)
	rates.Items = rates.Items[:1]
	b := balance(t, job, takeoff.BalanceOptions{Bill: rates})
	assert.Contains(t, codes(b.Warnings), price.WarnNotPriced)
	assert.NotContains(t, codes(b.Warnings), takeoff.WarnCostInPart)

	// dug deeper than 0.8 m some of it is of no material
	job, rates = hauled(t)
	job.Materials[0].To = 0.8
	b = balance(t, job, takeoff.BalanceOptions{Bill: rates})
	assert.Contains(t, codes(b.Warnings), takeoff.WarnCostInPart)
	assert.False(t, b.LeastCost.CostInPart)
}

// The rates file is among the inputs only where it priced something.
func TestBalanceInputs(t *testing.T) {
	job, rates := hauled(t)
	job.Inputs = []takeoff.Input{{Path: "job.toml", SHA256: "1"}, {Path: rates.Name, SHA256: rates.SHA256}}
	assert.Equal(t, job.Inputs[:1], balance(t, job, takeoff.BalanceOptions{}).Inputs)
	assert.Equal(t, job.Inputs, balance(t, job, takeoff.BalanceOptions{Bill: rates}).Inputs)
}

// By the rates of a quick look what leaves the site is what the materials say.
func TestEarthRatesByMaterials(t *testing.T) {
	job, _ := hauled(t)
	b := balance(t, job, takeoff.BalanceOptions{Rates: &takeoff.EarthRates{Cut: 100, Fill: 200, Spoil: 1000, Import: 5000}})
	for _, p := range b.WhatIf {
		m := run(t, shiftedJob(job, p.Shift)).Materials
		assert.InDelta(t, 100*p.Cut+200*p.Fill+1000*float64(*m.Spoil)+5000*float64(*m.Short), float64(*p.Cost), 0.6)
	}
}

// Points in another order, again and on one processor, give the same to the last bit.
func TestBalanceByBillRepeats(t *testing.T) {
	job, rates := hauled(t)
	want := balance(t, job, takeoff.BalanceOptions{Bill: rates})
	slices.Reverse(job.Surveys[0].Points)
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	got := balance(t, job, takeoff.BalanceOptions{Bill: rates})
	assert.Equal(t, want.Curve, got.Curve)
	assert.Equal(t, want.LeastCost, got.LeastCost)
}
