package takeoff_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/volume/material"
	"barrow/volume/price"
	"barrow/volume/takeoff"
)

// layered is the slope with rock below 11.5 that makes no fill, and clay that makes 0.9.
func layered() *takeoff.Job {
	job := slopeJob()
	job.Pads[0].Finished = 11.2
	job.Pads[0].Backfill = &takeoff.Backfill{UpTo: takeoff.BackfillStripped, Around: nil}
	job.Pads[0].Margin = 0.5
	job.Materials = []takeoff.Material{
		{Name: "rock", Below: []takeoff.Horizon{{Level: 11.5}}, Factors: material.Factors{CompactedPerBank: 1.2}},
		{Name: "clay", Factors: material.Factors{CompactedPerBank: 0.9}, Reuse: 1},
	}
	return job
}

// By the materials of a job balanced is where its takeoff has neither surplus nor
// shortage, and each level has the takeoff's own.
func TestBalanceByMaterials(t *testing.T) {
	job := layered()
	b := balance(t, job, takeoff.BalanceOptions{})
	require.NotNil(t, b.Balance)
	assert.True(t, b.ByMaterials)
	assert.Nil(t, b.CompactedPerBank)
	assert.NotContains(t, codes(b.Notes), takeoff.NoteNoFactor)
	for _, p := range append(b.WhatIf, *b.Balance) {
		m := run(t, shiftedJob(job, p.Shift)).Materials
		assert.InDelta(t, float64(*m.Surplus), *p.Surplus, 1e-6)
		assert.InDelta(t, float64(*m.Short), *p.Short, 1e-6)
	}
	assert.InDelta(t, 0, *b.Balance.Surplus+*b.Balance.Short, 2e-3)
	// one factor for all goes before them
	assert.False(t, balance(t, job, takeoff.BalanceOptions{CompactedPerBank: 0.9}).ByMaterials)
}

// For want of a factor cut is held against fill as they are, and the factor is named.
func TestBalanceByMaterialsUnknown(t *testing.T) {
	job := layered()
	plain := balance(t, without(job), takeoff.BalanceOptions{})
	job.Materials[1].Factors.CompactedPerBank = 0
	b := balance(t, job, takeoff.BalanceOptions{})
	assert.False(t, b.ByMaterials)
	assert.Equal(t, []material.Need{{Material: "clay", Key: "compacted_per_bank", For: "a balance after factors"}}, b.Needs)
	assert.Contains(t, codes(b.Warnings), takeoff.WarnNotAfterFactors)
	assert.Nil(t, b.Balance.Surplus)
	assert.Equal(t, plain.Balance.Shift, b.Balance.Shift)
	// what makes no fill needs none
	job.Materials[1].Factors.CompactedPerBank = 0.9
	job.Materials[0].Factors.CompactedPerBank = 0
	assert.True(t, balance(t, job, takeoff.BalanceOptions{}).ByMaterials)
}

// without is a job without its materials.
func without(job *takeoff.Job) *takeoff.Job {
	out := *job
	out.Materials = nil
	return &out
}

// Where some of the cut at the balance is of no material there is none after factors.
func TestBalanceOfNoMaterial(t *testing.T) {
	job := slopeJob()
	job.Materials = []takeoff.Material{{Name: "clay", To: 0.2, Factors: material.Factors{CompactedPerBank: 0.9}, Reuse: 1}}
	b := balance(t, job, takeoff.BalanceOptions{})
	assert.False(t, b.ByMaterials)
	assert.Contains(t, codes(b.Warnings), takeoff.WarnNotAfterFactors)
	assert.InDelta(t, 0, b.Balance.Shift, 1e-6)
}

// A bill prices each level as it prices the takeoff there.
func TestBalanceByBill(t *testing.T) {
	rates, err := price.ReadRates(strings.NewReader("currency,KWD\nitem,quantity,unit,rate\nDig,cut,m3 bank,6.5\nFill,fill,m3 compacted,9\nTrim,trim_area,m2,1\n"), "rates.csv")
	require.NoError(t, err)
	job := slopeJob()
	job.Pads[0].Finished = 12.3
	b := balance(t, job, takeoff.BalanceOptions{CompactedPerBank: 0.9, Bill: rates})
	assert.Equal(t, "KWD", b.Currency.Code)
	for _, p := range append(b.WhatIf, b.LeastCost.LevelPoint) {
		at := shiftedJob(job, 0)
		at.Pads[0].Finished = *p.Levels[0].FinishedLevel
		priced, err := takeoff.PriceResult(run(t, at), rates)
		require.NoError(t, err)
		assert.Equal(t, priced.Bill.Firm, *p.Cost)
	}
	// 6.5 x 100 (1 - d)^2 + 9 x 100 (1 + d)^2 is least where d = (6.5 - 9) / 15.5; the
	// bill takes quantities to a tenth
	assert.InDelta(t, -2.5/15.5-0.3, b.LeastCost.Shift, 0.02)
}
