package material_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/volume/material"
)

// A factor outside of its range is an error that shows what may have been meant.
func TestFactorsOutOfRange(t *testing.T) {
	for _, c := range []struct {
		check func(float64) error
		x     float64
		hint  string
	}{
		{material.CheckLoosePerBank, 0.25, `swell = "25 %"`},
		{material.CheckLoosePerBank, 0.8, "loose_per_bank = 1.25"},
		{material.CheckLoosePerBank, 25, `swell = "25 %"`},
		{material.CheckLoosePerBank, 125, "loose_per_bank = 1.25"},
		{material.CheckLoosePerBank, -1.25, "such as 1.25"},
		{material.CheckLoosePerBank, 0, "such as 1.25"},
		{material.CheckLoosePerBank, math.NaN(), "such as 1.25"},
		{material.CheckLoosePerBank, math.Inf(1), "such as 1.25"},
		{material.CheckCompactedPerBank, 0.1, `shrink = { percent = 10, of = "bank" }, which is 0.9, or of = "compacted", which is 0.9091`},
		{material.CheckCompactedPerBank, 10, `shrink = { percent = 10, of = "bank" }, which is 0.9, or of = "compacted", which is 0.9091`},
		{material.CheckCompactedPerBank, 90, "compacted_per_bank = 0.9"},
		{material.CheckCompactedPerBank, 0.5, "such as 0.90"},
		{material.CheckCompactedPerBank, -0.9, "such as 0.90"},
		{material.CheckCompactedPerBank, math.NaN(), "such as 0.90"},
	} {
		var e *tin.InputError
		require.ErrorAs(t, c.check(c.x), &e, "%v", c.x)
		assert.Equal(t, "factor_range", e.Code)
		assert.Contains(t, e.Hint, c.hint, "%v", c.x)
	}
	for _, x := range []float64{1, 1.25, 2} {
		assert.NoError(t, material.CheckLoosePerBank(x))
	}
	for _, x := range []float64{0.6, 0.9, 1.3, 1.5} {
		assert.NoError(t, material.CheckCompactedPerBank(x))
	}
}

func TestPercentages(t *testing.T) {
	for text, want := range map[string]float64{"25 %": 1.25, "25 % ": 1.25, " 12.5%": 1.125, "0 %": 1, "+100 %": 2} {
		got, err := material.ParseSwell(text)
		require.NoError(t, err, text)
		assert.InDelta(t, want, got, 1e-15, text)
	}
	for _, text := range []string{"", "25", "0.25", "x %", "-5 %", "101 %", "0.25 %", "1e3 %", "%", "NaN %", "25 percent"} {
		_, err := material.ParseSwell(text)
		var e *tin.InputError
		require.ErrorAs(t, err, &e, text)
		assert.Equal(t, "bad_percent", e.Code, text)
	}
	for _, c := range []struct {
		percent float64
		of      material.ShrinkOf
	}{{10, ""}, {10, "loose"}, {0.1, material.OfBank}, {90, material.OfBank}, {-100, material.OfCompacted}, {math.NaN(), material.OfBank}, {math.Inf(1), material.OfCompacted}} {
		_, err := material.Shrink(c.percent, c.of)
		var e *tin.InputError
		require.ErrorAs(t, err, &e, "%v", c)
		assert.Equal(t, "bad_percent", e.Code)
	}
	grown, err := material.Shrink(-30, material.OfBank)
	require.NoError(t, err)
	assert.InDelta(t, 1.3, grown, 1e-15)
}

func FuzzParseSwell(f *testing.F) {
	for _, text := range []string{"25 %", "25", "0.5 %", "-1%", "999999.999999999 %", ""} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		factor, err := material.ParseSwell(text)
		if err == nil && material.CheckLoosePerBank(factor) != nil {
			t.Fatalf("%q gave %v", text, factor)
		}
	})
}

// From one measure to another and back is where it began.
func TestMeasuresAndBack(t *testing.T) {
	f := material.Factors{LoosePerBank: 1.28, CompactedPerBank: 0.91}
	assert.InDelta(t, 123.4, float64(f.BankOfLoose(f.Loose(123.4))), 1e-12)
	assert.InDelta(t, 123.4, float64(f.BankOfCompacted(f.Compacted(123.4))), 1e-12)
	assert.Zero(t, material.Factors{}.BankOfLoose(5))
}
