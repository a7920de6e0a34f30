package report_test

import (
	"bytes"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/volume/material"
	"barrow/volume/report"
	"barrow/volume/takeoff"
)

// earthmoving is a pit in clay on rock and a bank beside it, with topsoil, trucks and
// machines.
func earthmoving(unit tin.Unit) *takeoff.Job {
	return &takeoff.Job{
		Name: "pit and bank", Units: unit,
		Surveys: []takeoff.Survey{{Points: []tin.Point{{E: 0, N: 0, Level: 10}, {E: 100, N: 0, Level: 10}, {E: 100, N: 50, Level: 10}, {E: 0, N: 50, Level: 10}}}},
		Ground:  takeoff.Ground{Topsoil: takeoff.Topsoil{Depth: 0.2}},
		Pads: []takeoff.Pad{
			{Name: "pit", Outline: box(10, 10, 30, 20), Finished: 8},
			{Name: "bank", Outline: box(60, 10, 70, 20), Finished: 11},
		},
		Respread: []takeoff.TopsoilArea{{Area: orb.MultiPolygon{box(0, 30, 50, 40)}, Depth: 0.05}},
		Materials: []takeoff.Material{
			{Name: "topsoil", Topsoil: true, Factors: material.Factors{LoosePerBank: 1.2, CompactedPerBank: 0.85}},
			{Name: "rock", Kind: "blasted rock", Density: 2.4, Below: []takeoff.Horizon{{Level: 8.5}}},
			{Name: "clay", Factors: material.Factors{LoosePerBank: 1.25, CompactedPerBank: 0.9}, Density: 2, Reuse: 0.75},
		},
		Trucks: []material.Truck{{Name: "tipper", Body: 10, Payload: 15, CycleMinutes: 25}, {Name: "dumper", Body: 6}},
		Machines: []material.Machine{
			{Name: "excavator", Bucket: 1.2, FillFactor: 0.9, CycleSeconds: 30, Efficiency: 0.83, HoursPerDay: 8, Work: material.DigsCut},
			{Name: "scraper", Bucket: 5, FillFactor: 0.8, CycleSeconds: 300, Efficiency: 0.8, Work: material.DigsTopsoil},
			{Name: "loader", Bucket: 1.2, FillFactor: 0.9, CycleSeconds: 30, Efficiency: 0.83, Work: material.LoadsSpoil, Truck: "tipper", Trucks: 2},
			{Name: "big loader", Bucket: 1.2, FillFactor: 0.9, CycleSeconds: 30, Efficiency: 0.83, Work: material.LoadsSpoil, Truck: "tipper"},
		},
	}
}

func moved(t *testing.T, job *takeoff.Job) *takeoff.Result {
	t.Helper()
	r, err := takeoff.Run(t.Context(), job, takeoff.Options{})
	require.NoError(t, err)
	return r
}

func TestMaterialsGolden(t *testing.T) {
	short := earthmoving(tin.Foot)
	short.Pads[1].Finished = 18
	short.Import = &material.Import{Name: "crushed stone", Factors: material.Factors{LoosePerBank: 1.4, CompactedPerBank: 1.1}, Density: 2.2, Measure: material.ByTonnes}
	for name, job := range map[string]*takeoff.Job{"materials": earthmoving(tin.Metre), "materials_feet": short} {
		r := moved(t, job)
		golden(t, name+".txt", []byte(text(t, r)))
		var b bytes.Buffer
		require.NoError(t, report.JSON(&b, r))
		golden(t, name+".json", b.Bytes())
		for _, line := range strings.Split(text(t, r), "\n") {
			assert.LessOrEqual(t, utf8.RuneCountInString(line), 80, line)
		}
	}
}

// The words surplus and short stand where factors say so, and nowhere else.
func TestSurplusAndShortOnlyAfterFactors(t *testing.T) {
	words := func(job *takeoff.Job) (surplus, short bool) {
		s := text(t, moved(t, job))
		return strings.Contains(s, "SURPLUS"), strings.Contains(s, "SHORT")
	}
	job := earthmoving(tin.Metre)
	surplus, short := words(job)
	assert.True(t, surplus)
	assert.False(t, short)

	job.Pads[1].Finished = 18
	surplus, short = words(job)
	assert.False(t, surplus)
	assert.True(t, short)

	job.Materials[2].Factors.CompactedPerBank = 0
	surplus, short = words(job)
	assert.False(t, surplus || short)
	assert.Contains(t, text(t, moved(t, job)), "No surplus and no shortage")

	job.Materials = nil
	surplus, short = words(job)
	assert.False(t, surplus || short)
	assert.NotContains(t, text(t, moved(t, job)), "MATERIALS")
}

func TestMaterialsWords(t *testing.T) {
	job := earthmoving(tin.Metre)
	job.Pads = job.Pads[:1]
	job.Import = &material.Import{Measure: material.ByLoose, Factors: material.Factors{LoosePerBank: 1.4, CompactedPerBank: 1}}
	job.Materials = []takeoff.Material{{Name: "clay", To: 1, Factors: material.Factors{LoosePerBank: 1.25}}}
	s := text(t, moved(t, job))
	assert.Contains(t, s, "of no material, bank")
	assert.Contains(t, s, "compacted per bank not given, no fill")

	job.Pads[0].Finished = 11 // all fill
	job.Materials[0].To = 0
	s = text(t, moved(t, job))
	assert.Regexp(t, `import +336\.0 m3 loose`, s)
	assert.Regexp(t, `import, by 10\.0 m3 \(body\) +34 loads`, s)

	job.Pads[0].Finished = 9.8 // at the stripped ground
	assert.Contains(t, text(t, moved(t, job)), "balanced: nothing over, nothing short")

	// Ground that was not surveyed may add to it.
	job.Pads[0].Finished = 9
	job.Pads[0].Outline = box(90, 10, 110, 20)
	assert.Regexp(t, `dug +at least 100\.00 m3 loose +at least 80\.00 m3 bank`, text(t, moved(t, job)))

	job.Materials[0].Factors, job.Materials[0].Reuse = material.Factors{LoosePerBank: 1.2, CompactedPerBank: 0.9}, 1
	job.Respread[0].Depth = 0.5
	job.Materials = append(job.Materials, takeoff.Material{Name: "topsoil", Topsoil: true, Factors: material.Factors{LoosePerBank: 1.2, CompactedPerBank: 0.8}})
	assert.Contains(t, text(t, moved(t, job)), "short for spreading again")
}

// A sum of loads or hours that lacks a material says so beside it, and spoil says what is
// in it.
func TestSumsSayWhatTheyLack(t *testing.T) {
	job := earthmoving(tin.Metre)
	s := text(t, moved(t, job))
	assert.Regexp(t, `spoil, with surplus and topsoil +352\.5 m3 loose`, s)
	assert.Contains(t, s, "spoil, all  ")
	assert.NotContains(t, s, "NOT IN THESE LOADS")

	job.Materials[0].Factors.LoosePerBank = 0
	s = text(t, moved(t, job))
	assert.Regexp(t, `spoil, these +33 loads`, s)
	assert.Contains(t, s, "NOT IN THESE LOADS, see the notes: topsoil")
	assert.Contains(t, s, "NOT IN THESE HOURS, see the notes: topsoil")

	job.Materials[2].To = 0.5 // clay has an end, and what lies between it and the rock no name
	s = text(t, moved(t, job))
	assert.Contains(t, s, "NOT IN THESE HOURS, see the notes: what is of no material")
}
