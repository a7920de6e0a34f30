package report_test

import (
	"bytes"
	"encoding/json"
	"encoding/xml"
	"errors"
	"io"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/volume/material"
	"barrow/volume/price"
	"barrow/volume/report"
	"barrow/volume/takeoff"
)

// terrace is a slope of 1 in 10 with three pads on it: level, falling, and with levels
// of its own.
func terrace(unit tin.Unit) *takeoff.Job {
	low := 11.5
	return &takeoff.Job{
		Name: "terrace", Units: unit,
		Surveys: []takeoff.Survey{{Points: []tin.Point{{E: 0, N: 0, Level: 10}, {E: 80, N: 0, Level: 18}, {E: 80, N: 60, Level: 18}, {E: 0, N: 60, Level: 10}}}},
		Ground:  takeoff.Ground{Topsoil: takeoff.Topsoil{Depth: 0.1}},
		Pads: []takeoff.Pad{
			{Name: "house", Outline: box(10, 10, 30, 30), Finished: 12.2, Layers: []takeoff.Layer{{Name: "slab", Thickness: 0.2}}, NotBelow: &low,
				Cut: takeoff.Batter{Along: 1}, Fill: takeoff.Batter{Along: 1.5}},
			{Name: "drive", Outline: box(40, 10, 50, 30), Finished: 14.3, Fall: &takeoff.Fall{Slope: 0.02, Bearing: 270, At: orb.Point{40, 10}}},
			{Name: "lawn", Outline: box(10, 40, 20, 50), Levels: &takeoff.Levels{Outline: [][]float64{{11, 12, 12, 11}}}},
		},
	}
}

// sortedTerrace is the terrace with topsoil that may become fill, clay and rock.
func sortedTerrace() *takeoff.Job {
	job := terrace(tin.Metre)
	job.Materials = []takeoff.Material{
		{Name: "topsoil", Topsoil: true, Reuse: 0.1, Factors: material.Factors{CompactedPerBank: 0.8}},
		{Name: "clay", To: 1, Factors: material.Factors{LoosePerBank: 1.25, CompactedPerBank: 0.9}, Reuse: 1},
		{Name: "rock", From: 1},
	}
	return job
}

func terraceRates(t *testing.T) *price.Rates {
	t.Helper()
	rates, err := price.ReadRates(strings.NewReader("currency,KWD\ncontingency,10\nitem,quantity,unit,rate,kind\nDig,cut,m3 bank,6.505,\nFill,fill,m3 compacted,9,\n"+
		"Spoil,spoil,m3 bank,12,\nStone,import_compacted,m3 compacted,30,\nSoft spots,10,m3 bank,40,provisional\n"), "rates.csv")
	require.NoError(t, err)
	return rates
}

func balanceOf(t *testing.T, job *takeoff.Job, opts takeoff.BalanceOptions) *takeoff.BalanceResult {
	t.Helper()
	r, err := takeoff.Balance(t.Context(), job, opts)
	require.NoError(t, err)
	return r
}

func balanceText(t *testing.T, r *takeoff.BalanceResult) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, report.Balance(&b, r))
	for line := range strings.SplitSeq(b.String(), "\n") {
		assert.LessOrEqual(t, utf8.RuneCountInString(line), 80, line)
	}
	if r.CompactedPerBank == nil && !r.ByMaterials {
		figures, _, _ := strings.Cut(b.String(), "HOW THE FIGURES")
		assert.NotRegexp(t, `(?i)surplus|short |balanced`, figures)
	}
	return b.String()
}

func TestBalanceGolden(t *testing.T) {
	t.Parallel()
	high := 11.9
	for name, r := range map[string]*takeoff.BalanceResult{
		"balance": balanceOf(t, terrace(tin.Metre), takeoff.BalanceOptions{CompactedPerBank: 0.9,
			Rates: &takeoff.EarthRates{Cut: 850, Fill: 600, Spoil: 2200, Import: 3000}}),
		"balance_bill":   balanceOf(t, sortedTerrace(), takeoff.BalanceOptions{Pads: []string{"house"}, Bill: terraceRates(t)}),
		"balance_feet":   balanceOf(t, terrace(tin.Foot), takeoff.BalanceOptions{}),
		"balance_limits": balanceOf(t, terrace(tin.Metre), takeoff.BalanceOptions{CompactedPerBank: 1.4, Pads: []string{"house"}, NotAbove: &high, Step: 0.02}),
	} {
		golden(t, name+".txt", []byte(balanceText(t, r)))
		var object, picture bytes.Buffer
		require.NoError(t, report.BalanceJSON(&object, r))
		assert.True(t, json.Valid(object.Bytes()))
		require.NoError(t, report.BalanceSVG(&picture, r))
		for d := xml.NewDecoder(bytes.NewReader(picture.Bytes())); ; {
			if _, err := d.Token(); errors.Is(err, io.EOF) {
				break
			} else {
				require.NoError(t, err)
			}
		}
		golden(t, name+".svg", picture.Bytes())
	}
}

// The JSON object holds every number the sheet shows, with its keys as they are listed.
func TestBalanceJSON(t *testing.T) {
	t.Parallel()
	r := balanceOf(t, terrace(tin.Metre), takeoff.BalanceOptions{CompactedPerBank: 0.9, Rates: &takeoff.EarthRates{Cut: 1}})
	var b bytes.Buffer
	require.NoError(t, report.BalanceJSON(&b, r))
	var back takeoff.BalanceResult
	d := json.NewDecoder(&b)
	d.DisallowUnknownFields()
	require.NoError(t, d.Decode(&back))
	assert.Equal(t, r.Balance, back.Balance)
	assert.Equal(t, r.Curve, back.Curve)
	assert.Equal(t, r.LeastCost, back.LeastCost)
}

// Without a factor nothing is called surplus, short or balanced.
func TestBalanceWithoutFactorSheet(t *testing.T) {
	t.Parallel()
	s := balanceText(t, balanceOf(t, terrace(tin.Metre), takeoff.BalanceOptions{}))
	assert.Contains(t, s, "CUT EQUALS FILL AT")
	assert.Contains(t, s, "no factor was given")
}

// What was measured in part is a least.
func TestBalanceAtLeast(t *testing.T) {
	job := terrace(tin.Metre)
	job.Pads[0].Outline = box(-5, 10, 30, 30)
	r := balanceOf(t, job, takeoff.BalanceOptions{CompactedPerBank: 0.9})
	assert.True(t, r.Balance.AtLeast)
	assert.NotEmpty(t, r.Warnings)
	assert.Contains(t, balanceText(t, r), "cut at least ")
}
