package takeoff_test

import (
	"context"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/volume/takeoff"
)

func reported(t testing.TB, job *takeoff.Job, opts takeoff.ReportOptions) *takeoff.ReportResult {
	t.Helper()
	r, err := takeoff.Report(t.Context(), job, opts)
	require.NoError(t, err)
	return r
}

func loaded(t testing.TB, folder, name string) *takeoff.Job {
	t.Helper()
	job, err := takeoff.Load(t.Context(), os.DirFS(folder), name, takeoff.Limits{})
	require.NoError(t, err)
	return job
}

// Every part is what its own function makes of the job, to the last bit.
func TestReportIsItsParts(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct{ folder, name string }{
		{"../../cmd/barrow/demo", "job.toml"}, {"../../testdata/autzen-pad", "job.toml"}, {"../../testdata/mesh-boolean", "ell.toml"},
	} {
		job := loaded(t, tt.folder, tt.name)
		opts := takeoff.ReportOptions{
			SetOut: takeoff.SetOutOptions{Interval: 8, Back: []float64{1}}, Sections: takeoff.SectionsOptions{Interval: 7},
			Crosscheck: takeoff.CrosscheckOptions{Spacing: 0.7},
		}
		r := reported(t, job, opts)

		crosscheck, err := takeoff.Crosscheck(t.Context(), job, opts.Crosscheck)
		require.NoError(t, err)
		assert.Equal(t, crosscheck, r.Crosscheck, tt.name)
		sections, err := takeoff.Sections(t.Context(), job, opts.Sections)
		require.NoError(t, err)
		assert.Equal(t, sections, r.Sections, tt.name)
		setOut, err := takeoff.SetOut(t.Context(), job, opts.SetOut)
		require.NoError(t, err)
		assert.Same(t, r.Takeoff, r.SetOut.Takeoff, "the same one")
		setOut.Takeoff = r.Takeoff
		assert.Equal(t, setOut, r.SetOut, tt.name)

		plan := takeoff.PlanOptions{Alignments: sections.Alignments}
		for _, p := range r.SetOut.Pegs {
			plan.Pegs = append(plan.Pegs, takeoff.PlanPeg{Number: p.Number, Pad: p.Pad, Kind: p.Kind, At: p.At})
		}
		assert.Equal(t, planned(t, job, plan), r.Takeoff, tt.name)
		assert.NotEmpty(t, r.Takeoff.Plan.Pegs)
		if job.Rates != nil {
			price, err := takeoff.Price(t.Context(), job, takeoff.Options{})
			require.NoError(t, err)
			assert.Equal(t, price, r.Price, tt.name)
			assert.Empty(t, r.Left)
		}
		assert.NotNil(t, r.Depths)
	}
}

// What several parts remark on is said once, and nothing that one of them says is lost.
func TestReportRemarksOnce(t *testing.T) {
	t.Parallel()
	r := reported(t, loaded(t, "../../cmd/barrow/demo", "job.toml"), takeoff.ReportOptions{
		SetOut: takeoff.SetOutOptions{Back: []float64{1}}, Crosscheck: takeoff.CrosscheckOptions{Spacing: 5},
	})
	for _, list := range []struct {
		all   []takeoff.Remark
		parts [][]takeoff.Remark
	}{
		{r.Warnings, [][]takeoff.Remark{r.Takeoff.Warnings, r.Crosscheck.Warnings, r.Sections.Warnings, r.SetOut.Warnings, r.Price.Warnings}},
		{r.Notes, [][]takeoff.Remark{r.Takeoff.Notes, r.Crosscheck.Notes, r.Sections.Notes, r.SetOut.Notes, r.Price.Notes}},
	} {
		require.NotEmpty(t, list.all)
		for i, a := range list.all {
			for _, b := range list.all[:i] {
				assert.NotEqual(t, a, b)
			}
		}
		for _, part := range list.parts {
			assert.Subset(t, list.all, part)
		}
		assert.Subset(t, slices.Concat(list.parts...), list.all, "nothing else was left out")
	}
	assert.Contains(t, codes(r.Warnings), takeoff.WarnPegInWorks, "the set-out's own")
	for i, a := range r.NotMeasured {
		assert.NotContains(t, r.NotMeasured[:i], a)
	}
	assert.Subset(t, r.NotMeasured, r.Price.NotMeasured)
}

// What cannot be made is left out, with the reason, and the rest stands.
func TestReportLeavesOut(t *testing.T) {
	t.Parallel()
	backsight := 1.5
	job := slopeJob()
	job.Alignments = []takeoff.Alignment{{Name: "far", Line: orb.LineString{{5000, 5000}, {5100, 5000}}}}
	r := reported(t, job, takeoff.ReportOptions{
		SetOut:     takeoff.SetOutOptions{Backsight: &backsight},
		Crosscheck: takeoff.CrosscheckOptions{Spacing: 1e-3},
	})
	var left []string
	for _, o := range r.Left {
		left = append(left, o.Code)
		assert.NotEmpty(t, o.Message)
	}
	assert.Equal(t, []string{"no_benchmark", "works_off_alignment", "too_many_cells", "no_rates"}, left)
	assert.Equal(t, []string{takeoff.WarnPartLeftOut, takeoff.WarnPartLeftOut, takeoff.WarnPartLeftOut}, codes(r.Warnings), "no rates is no warning")
	assert.Nil(t, r.Sections)
	assert.Nil(t, r.Crosscheck)
	assert.Nil(t, r.Price)
	require.NotNil(t, r.SetOut)
	assert.Nil(t, r.SetOut.Instrument)
	assert.NotNil(t, r.Takeoff.Plan)
	assert.NotNil(t, r.Depths)

	r = reported(t, slopeJob(), takeoff.ReportOptions{SetOut: takeoff.SetOutOptions{Back: []float64{3, 3}}})
	assert.Nil(t, r.SetOut)
	assert.NotNil(t, r.Sections)
	assert.NotNil(t, r.Crosscheck)
	assert.Empty(t, r.Takeoff.Plan.Pegs)
}

// A rates file other than the job's may price it.
func TestReportByOtherRates(t *testing.T) {
	t.Parallel()
	job := loaded(t, "../../cmd/barrow/demo", "job.toml")
	rates := job.Rates
	job.Rates = nil
	r := reported(t, job, takeoff.ReportOptions{Rates: rates, Crosscheck: takeoff.CrosscheckOptions{Spacing: 5}})
	require.NotNil(t, r.Price)
	assert.Equal(t, rates.Name, r.Price.Rates)
}

func TestReportErrors(t *testing.T) {
	t.Parallel()
	backsight := 1e9
	for _, opts := range []takeoff.ReportOptions{
		{SetOut: takeoff.SetOutOptions{Staff: -1}}, {SetOut: takeoff.SetOutOptions{Backsight: &backsight}},
		{SetOut: takeoff.SetOutOptions{Interval: -1}}, {SetOut: takeoff.SetOutOptions{Interval: 0.05}}, {SetOut: takeoff.SetOutOptions{Grid: math.NaN()}},
		{SetOut: takeoff.SetOutOptions{Back: []float64{2, math.Inf(1)}}}, {SetOut: takeoff.SetOutOptions{Back: []float64{0}}},
		{Sections: takeoff.SectionsOptions{Interval: math.NaN()}}, {Sections: takeoff.SectionsOptions{Alignment: "none such"}},
		{Crosscheck: takeoff.CrosscheckOptions{Spacing: -1}}, {Crosscheck: takeoff.CrosscheckOptions{Alignment: "none such"}},
	} {
		_, err := takeoff.Report(t.Context(), slopeJob(), opts)
		var e *tin.InputError
		require.ErrorAs(t, err, &e)
		assert.Contains(t, []string{"bad_value", "bad_spacing", "no_alignment"}, e.Code)
	}
	_, err := takeoff.Report(t.Context(), &takeoff.Job{}, takeoff.ReportOptions{})
	var e *tin.InputError
	require.ErrorAs(t, err, &e)
	assert.Equal(t, "no_survey", e.Code)
}

// A report that is stopped is no report with parts left out.
func TestReportEndsWithItsContext(t *testing.T) {
	t.Parallel()
	for _, at := range []string{"building the ground", "setting out pegs", "cutting sections", "measuring by sections and grid", "laying out the plan"} {
		ctx, stop := context.WithCancel(t.Context())
		seen := false
		opts := takeoff.Options{Progress: func(stage string, _, _ int) {
			if stage == at {
				seen = true
				stop()
			}
		}}
		r, err := takeoff.Report(ctx, slopeJob(), takeoff.ReportOptions{Options: opts})
		require.ErrorIs(t, err, context.Canceled, at)
		assert.Nil(t, r)
		assert.True(t, seen, at)
	}
}

// The order of a survey's points changes no bit.
func TestReportInAnyOrder(t *testing.T) {
	t.Parallel()
	job := loaded(t, "../../testdata/autzen-pad", "job.toml")
	want := reported(t, job, takeoff.ReportOptions{})
	points := job.Surveys[0].Points
	r := rand.New(rand.NewPCG(8, 1))
	r.Shuffle(len(points), func(i, k int) { points[i], points[k] = points[k], points[i] })
	got := reported(t, job, takeoff.ReportOptions{})
	assert.Equal(t, len(want.Depths.Depths), len(got.Depths.Depths))
	for i, d := range want.Depths.Depths {
		require.Equal(t, math.Float64bits(d), math.Float64bits(got.Depths.Depths[i]))
	}
	assert.Equal(t, want.Crosscheck.Bases, got.Crosscheck.Bases)
	assert.Equal(t, want.Sections.Alignments, got.Sections.Alignments)
	assert.Equal(t, want.SetOut.Pegs, got.SetOut.Pegs)
	assert.Equal(t, want.Takeoff.Plan.Bands, got.Takeoff.Plan.Bands)
}
