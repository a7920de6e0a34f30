package takeoff_test

import (
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/volume/takeoff"
)

// cutThenFill is a strip of 100 x 10 over level ground at 10: 50 m at 9, 1 deep, and 50 m
// at 11, as much above.
func cutThenFill(h *takeoff.Haul) *takeoff.Job {
	job := grounded(tin.Metre, spot(-50, -50, 10), spot(150, -50, 10), spot(150, 60, 10), spot(-50, 60, 10))
	job.Pads = []takeoff.Pad{{Name: "cut", Outline: ring(0, 0, 50, 10), Finished: 9}, {Name: "fill", Outline: ring(50, 0, 100, 10), Finished: 11}}
	job.Alignments = []takeoff.Alignment{{Name: "axis", Line: orb.LineString{{0, 5}, {100, 5}}, Start: 200, Interval: 10, Haul: h}}
	return job
}

// 500 of bank cut make 400 compacted: 100 are short. The haul goes from the middle
// outwards: 400 over a mean of 45 (the nearest no way, the farthest 50 + 40), and what
// goes beyond 30 is 2/3 of it, on average 30 beyond.
func TestSectionsMassHaul(t *testing.T) {
	job := cutThenFill(&takeoff.Haul{CompactedPerBank: 0.8, LoosePerBank: 1.25, FreeHaul: 30})
	r, err := takeoff.Sections(t.Context(), job, takeoff.SectionsOptions{})
	require.NoError(t, err)
	h := r.Alignments[0].Haul
	require.NotNil(t, h)
	assert.InDelta(t, 400, h.Hauled, 1e-9)
	assert.InDelta(t, 625, h.HauledLoose, 1e-9)
	assert.InDelta(t, 45, h.MeanHaul, 1e-9)
	assert.InDelta(t, 400*45, h.Moment, 1e-7)
	assert.InDelta(t, 400*2.0/3, h.OverhaulVolume, 1e-9)
	assert.InDelta(t, 400*2.0/3*30, h.Overhaul, 1e-7)
	assert.InDelta(t, 100, h.Import, 1e-9)
	assert.InDelta(t, 0, h.Spoil, 1e-9)
	require.Len(t, h.BalancePoints, 1)
	assert.InDelta(t, 290, h.BalancePoints[0], 1e-9)
	last := h.Ordinates[len(h.Ordinates)-1]
	assert.InDelta(t, 500, last.Cut, 1e-9)
	assert.InDelta(t, 400, last.CutCompacted, 1e-9)
	assert.InDelta(t, -100, last.Ordinate, 1e-9)
	assert.Len(t, h.Ordinates, len(r.Alignments[0].Sections))

	// In feet all lengths are so many, and volumes a 27th.
	job.Units = tin.Foot
	r, err = takeoff.Sections(t.Context(), job, takeoff.SectionsOptions{})
	require.NoError(t, err)
	assert.InDelta(t, 400.0/27, r.Alignments[0].Haul.Hauled, 1e-9)
	assert.InDelta(t, 45, r.Alignments[0].Haul.MeanHaul, 1e-6)

	r, err = takeoff.Sections(t.Context(), cutThenFill(nil), takeoff.SectionsOptions{})
	require.NoError(t, err)
	assert.Nil(t, r.Alignments[0].Haul)
}

// Works inside a sharp bend, wider than its legs can have: the volumes there are below 0.
// The sections are worth having still, and a warning says that no haul is.
func TestSectionsMassHaulAtBend(t *testing.T) {
	job := cutThenFill(&takeoff.Haul{CompactedPerBank: 0.8})
	job.Alignments[0].Line = orb.LineString{{0, -4}, {60, -4}, {45, 40}}
	job.Alignments[0].Interval = 2
	r, err := takeoff.Sections(t.Context(), job, takeoff.SectionsOptions{})
	require.NoError(t, err)
	least := 0.0
	for _, s := range r.Alignments[0].Spans {
		least = min(least, s.EndArea.Cut, s.EndArea.Fill)
	}
	require.Less(t, least, -1.0, "the case is none")
	assert.Nil(t, r.Alignments[0].Haul)
	codes := map[string]int{}
	for _, w := range r.Warnings {
		codes[w.Code]++
	}
	assert.Equal(t, 1, codes[takeoff.WarnNoHaul], r.Warnings)
}

// A wedge that runs out to nothing: the pyramid rule takes a third where the mean of both
// ends takes half; asked for in the job, or in its place.
func TestSectionsRunOut(t *testing.T) {
	job := grounded(tin.Metre, spot(0, 0, 10), spot(100, 0, 20), spot(100, 40, 20), spot(0, 40, 10))
	job.Pads = []takeoff.Pad{{Name: "pad", Outline: ring(0, 10, 40, 30), Finished: 10}}
	job.Alignments = []takeoff.Alignment{{Name: "axis", Line: orb.LineString{{0, 20}, {40, 20}}, Interval: 40}}
	for _, tt := range []struct {
		job, opts, said string
		want            float64
	}{
		{"", "", "averaged", 40 * 80 / 2}, {"pyramid", "", "pyramid", 40 * 80 / 3.0},
		{"", "pyramid", "pyramid", 40 * 80 / 3.0}, {"pyramid", "averaged", "averaged", 40 * 80 / 2},
	} {
		job.Alignments[0].RunOut = tt.job
		r, err := takeoff.Sections(t.Context(), job, takeoff.SectionsOptions{RunOut: tt.opts})
		require.NoError(t, err)
		a := r.Alignments[0]
		assert.Equal(t, tt.said, a.RunOut)
		assert.InDelta(t, tt.want, a.EndArea.Cut, 1e-9)
		assert.InDelta(t, 1600, a.Prismoidal.Cut, 1e-9)
	}
	_, err := takeoff.Sections(t.Context(), job, takeoff.SectionsOptions{RunOut: "cone"})
	var e *tin.InputError
	require.ErrorAs(t, err, &e)
	assert.Equal(t, []string{"bad_value", "run_out"}, []string{e.Code, e.Key})
}

func TestLoadHaul(t *testing.T) {
	const name, line = `name = "axis"`, "line = [[0, 15], [40, 15]]"
	job, err := load(t, aligned(name, line, `run_out = "pyramid"`, `haul = { compacted_per_bank = 0.9, loose_per_bank = 1.25, free_haul = "100 m", longest_haul = 500 }`))
	require.NoError(t, err)
	a := job.Alignments[0]
	assert.Equal(t, "pyramid", a.RunOut)
	assert.Equal(t, &takeoff.Haul{CompactedPerBank: 0.9, LoosePerBank: 1.25, FreeHaul: 100, LongestHaul: 500}, a.Haul)
	for _, tt := range []struct{ line, code, at, key string }{
		{`run_out = "cone"`, "bad_value", "11:11", "alignment[0].run_out"},
		{"haul = 0.9", "wrong_type", "11:8", "alignment[0].haul"},
		{"haul = { free_haul = 100 }", "missing_key", "11:8", "alignment[0].haul.compacted_per_bank"},
		{"haul = { compacted_per_bank = 0 }", "bad_value", "11:31", "alignment[0].haul.compacted_per_bank"},
		{"haul = { compacted_per_bank = 90 }", "factor_range", "11:31", "alignment[0].haul.compacted_per_bank"},
		{"haul = { compacted_per_bank = 0.9, free_haul = -1 }", "bad_value", "11:48", "alignment[0].haul.free_haul"},
		{"haul = { compacted_per_bank = 0.9, longest_haul = 0 }", "bad_value", "11:51", "alignment[0].haul.longest_haul"},
		{"haul = { compacted_per_bank = 0.9, loose_per_bank = 25 }", "factor_range", "11:53", "alignment[0].haul.loose_per_bank"},
		{"haul = { compacted_per_bank = 0.9, freehaul = 1 }", "unknown_key", "11:36", "alignment[0].haul.freehaul"},
	} {
		_, err := load(t, aligned(name, line, tt.line))
		var e *tin.InputError
		require.ErrorAs(t, err, &e, tt.line)
		assert.Equal(t, []string{tt.code, tt.key}, []string{e.Code, e.Key}, tt.line)
		assert.True(t, strings.Contains(e.Error(), ":"+tt.at+":"), "%s: %v", tt.line, e)
		assert.NotEmpty(t, e.Hint)
	}
}
