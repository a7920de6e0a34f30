package takeoff_test

import (
	"math"
	"slices"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/volume/takeoff"
)

func ptrTo(v float64) *float64 { return &v }

// claimedPit is a pit of 60 x 40, 4.5 below the ground's level in its middle, with
// 0.25 of topsoil: 10800 with it, 10200 from stripped ground.
func claimedPit() *takeoff.Job {
	job := inclined(tin.Metre, takeoff.Pad{Name: "pit", Outline: ring(40, 50, 100, 90), Finished: 9})
	job.Ground.Topsoil.Depth = 0.25
	return job
}

func TestCrosscheckClaim(t *testing.T) {
	for name, tt := range map[string]struct {
		claim    takeoff.Claim
		restated float64
		inside   bool
	}{
		"right":             {takeoff.Claim{Cut: ptrTo(10200)}, 10200, true},
		"wrong":             {takeoff.Claim{Cut: ptrTo(10450)}, 10450, false},
		"with the topsoil":  {takeoff.Claim{Cut: ptrTo(10800), TopsoilIn: true}, 10800, true},
		"topsoil left out":  {takeoff.Claim{Cut: ptrTo(10200), TopsoilIn: true}, 10200, false},
		"loose":             {takeoff.Claim{Cut: ptrTo(12750), Measure: "loose", Factor: 1.25}, 10200, true},
		"loads":             {takeoff.Claim{Cut: ptrTo(1530), Measure: "loads", Factor: 1.2, Load: 8}, 10200, true},
		"compacted":         {takeoff.Claim{Cut: ptrTo(9180), Measure: "compacted", Factor: 0.9}, 10200, true},
		"net void":          {takeoff.Claim{Cut: ptrTo(10200), Basis: "net-void"}, 10200, true},
		"rounded":           {takeoff.Claim{Cut: ptrTo(10250), CutRounding: 50}, 10250, true},
		"rounded, and less": {takeoff.Claim{Cut: ptrTo(10000), CutRounding: 50}, 10000, false},
	} {
		r := crosscheck(t, claimedPit(), takeoff.CrosscheckOptions{Spacing: 1, Claim: &tt.claim})
		f := r.Claim.Cut
		require.Nil(t, r.Claim.Fill, name)
		assert.InDelta(t, tt.restated, f.Restated, 1e-9, name)
		assert.Equal(t, tt.inside, f.Inside, name)
		assert.Less(t, f.Greatest-f.Least, 40.0, name)
		if tt.inside {
			assert.Empty(t, r.Warnings, name)
			continue
		}
		require.Equal(t, []string{"claim_outside"}, codes(r.Warnings), name)
		assert.Contains(t, r.Warnings[0].Message, "the range that survey and methods support")
	}
}

// Fill of 2 over 60 x 40, as the space to be filled; loose it takes 1.4 times as much.
func TestCrosscheckClaimedFill(t *testing.T) {
	job := inclined(tin.Metre, takeoff.Pad{Name: "bank", Outline: ring(40, 50, 100, 90), Finished: 15.5})
	r := crosscheck(t, job, takeoff.CrosscheckOptions{Spacing: 1, Claim: &takeoff.Claim{Cut: ptrTo(0), Fill: ptrTo(6720), Measure: "loose", Factor: 1.2, FillFactor: 1.4}})
	assert.InDelta(t, 4800, r.Claim.Fill.Restated, 1e-9)
	assert.True(t, r.Claim.Fill.Inside)
	assert.True(t, r.Claim.Cut.Inside)
	assert.Nil(t, r.Claim.Cut.Percent)
	assert.Empty(t, r.Warnings)
}

// A claim between two surveys.
func TestCrosscheckClaimBetweenSurveys(t *testing.T) {
	c := &takeoff.Comparison{A: plane(tin.Metre, flat(10)), B: plane(tin.Metre, flat(9.5)), Within: area(ring(5, 5, 45, 35))}
	r, err := takeoff.CrosscheckSurveys(t.Context(), c, takeoff.CrosscheckOptions{Spacing: 1, Claim: &takeoff.Claim{Cut: ptrTo(640)}})
	require.NoError(t, err)
	require.Equal(t, []string{"claim_outside"}, codes(r.Warnings))
	assert.InDelta(t, 40, r.Claim.Cut.Difference, 1e-9)
	assert.InDelta(t, 40.0/1200, r.Claim.Cut.Height, 1e-12)
}

// A file too long is named for what it is.
func TestLoadClaimTooLong(t *testing.T) {
	_, err := takeoff.LoadClaim(t.Context(), takeoff.DataFile{FS: fstest.MapFS{"claim.toml": {Data: []byte("cut = 1\n")}}, Name: "claim.toml"}, takeoff.Limits{JobBytes: 4})
	require.ErrorContains(t, err, "the claim's file is longer than the limit of 4 bytes")
}

func TestLoadClaim(t *testing.T) {
	load := func(text string) (*takeoff.Claim, error) {
		return takeoff.LoadClaim(t.Context(), takeoff.DataFile{FS: fstest.MapFS{"claim.toml": {Data: []byte(text)}}, Name: "claim.toml"}, takeoff.Limits{})
	}
	c, err := load("cut = 1234.5\nfill = 1_200\nmeasure = \"loads\"\nfactor = 1.25\nfill_factor = 1.4\nload = 8\nbasis = \"net-void\"\ntopsoil = \"in\"\n")
	require.NoError(t, err)
	require.Len(t, c.Inputs, 1)
	c.Inputs = nil
	assert.Equal(t, &takeoff.Claim{Name: "claim.toml", Cut: ptrTo(1234.5), Fill: ptrTo(1200), CutRounding: 0.05, FillRounding: 0.5,
		Measure: "loads", Factor: 1.25, FillFactor: 1.4, Load: 8, Basis: "net-void", TopsoilIn: true}, c)
	for _, tt := range []struct {
		text, code, key string
		line            int
	}{
		{"", "missing_key", "cut", 0},
		{"cot = 1", "unknown_key", "cot", 1},
		{"cut = \"a\"", "wrong_type", "cut", 1},
		{"cut = -1", "bad_value", "cut", 1},
		{"cut = nan", "bad_value", "cut", 1},
		{"cut = 1\nfill = inf", "bad_value", "fill", 2},
		{"cut = 1\nmeasure = \"wet\"", "bad_value", "measure", 2},
		{"cut = 1\nmeasure = \"loose\"", "missing_key", "factor", 0},
		{"fill = 1\nmeasure = \"loads\"\nload = 8", "missing_key", "fill_factor", 0},
		{"cut = 1\nmeasure = \"loads\"\nfactor = 1.2", "missing_key", "load", 0},
		{"cut = 1\nload = 8", "bad_value", "load", 2},
		{"cut = 1\nmeasure = \"loads\"\nfactor = 1.2\nload = 1e300", "bad_value", "load", 4},
		{"cut = 1e300", "bad_value", "cut", 1},
		{"cut = 1\nfactor = 1.2", "bad_value", "factor", 2},
		{"fill = 1\nmeasure = \"bank\"\nfill_factor = 1.2", "bad_value", "fill_factor", 3},
		{"cut = 1\nfactor = 125", "bad_value", "factor", 2},
		{"cut = 1\nfactor = 0", "bad_value", "factor", 2},
		{"cut = 1\nbasis = \"as_dug\"", "bad_value", "basis", 2},
		{"cut = 1\ntopsoil = true", "wrong_type", "topsoil", 2},
		{"cut = 1\nunits = \"ft3\"", "bad_value", "units", 2},
		{"cut = ", "job_syntax", "", 1},
	} {
		_, err := load(tt.text)
		var e *tin.InputError
		require.ErrorAs(t, err, &e, tt.text)
		assert.Equal(t, tt.code, e.Code, tt.text)
		assert.Equal(t, tt.line, e.Line, tt.text)
		assert.Equal(t, "claim.toml", e.File, tt.text)
		if tt.key != "" {
			assert.Equal(t, tt.key, e.Key, tt.text)
		}
	}
}

// A claim in the other unit of volume is restated in the job's: a cubic yard of
// international feet is 0.764554857984 m3.
func TestCrosscheckClaimInItsOwnUnit(t *testing.T) {
	for _, tt := range []struct {
		units      tin.Unit
		claim      string
		cut, round float64
	}{
		{tin.Metre, "units = \"yd3\"\ncut = 1000\n", 764.554857984, 0.382277428992},
		{tin.Foot, "units = \"m3\"\ncut = 764.55\n", 999.993646, 0.00653975},
		{tin.Metre, "units = \"m3\"\ncut = 1000\n", 1000, 0.5},
		{tin.Metre, "units = \"yd3\"\ncut = 100\nmeasure = \"loads\"\nload = 10\nfactor = 1.25\n", 764.554857984 / 1.25, 5 * 0.764554857984 / 1.25},
	} {
		files := fstest.MapFS{"claim.toml": {Data: []byte(tt.claim)}}
		claim, err := takeoff.LoadClaim(t.Context(), takeoff.DataFile{FS: files, Name: "claim.toml"}, takeoff.Limits{})
		require.NoError(t, err)
		job := claimedPit()
		job.Units = tt.units
		r := crosscheck(t, job, takeoff.CrosscheckOptions{Spacing: 1, Claim: claim})
		assert.InEpsilon(t, tt.cut, r.Claim.Cut.Restated, 1e-8, tt.claim)
		assert.InEpsilon(t, tt.round, r.Claim.Cut.Rounding, 1e-6, tt.claim)
		converted := claim.Units != r.Units.Volume
		assert.Equal(t, converted, slices.Contains(codes(r.Notes), takeoff.NoteUnitsConverted), tt.claim)
	}
}

func TestParseClaim(t *testing.T) {
	c, err := takeoff.ParseClaim("cut=1234.50, fill = 2e2")
	require.NoError(t, err)
	assert.Equal(t, &takeoff.Claim{Cut: ptrTo(1234.5), CutRounding: 0.005, Fill: ptrTo(200)}, c)
	for _, text := range []string{"", "cut", "cut=", "cut=x", "cut=1,cut=2", "net=3", "cut=1,", "cut=nan", "cut=inf"} {
		_, err := takeoff.ParseClaim(text)
		var e *tin.InputError
		require.ErrorAs(t, err, &e, text)
		assert.Equal(t, "claim", e.Key)
	}
}

// Shots 20 mm below the ground and one 50 mm above it: the ground is high by 6 mm on
// average, which over 2400 is 14.4 of 10200.
func TestCrosscheckShots(t *testing.T) {
	job := claimedPit()
	level := func(e float64) float64 { return 10 + e/20 }
	shots := &takeoff.Shots{Name: "shots.csv", Points: []tin.Point{
		{E: 10, N: 10, Level: level(10) - 0.02, Name: "a", Line: 2}, {E: 50, N: 60, Level: level(50) - 0.02, Name: "b"},
		{E: 70, N: 20, Level: level(70) - 0.02, Name: "c"}, {E: 90, N: 150, Level: level(90) - 0.02, Name: "d"},
		{E: 120, N: 20, Level: level(120) + 0.05, Name: "e", Line: 6}, {E: 300, N: 20, Level: 10}, {E: 20, N: 20, Level: math.NaN()},
	}}
	r := crosscheck(t, job, takeoff.CrosscheckOptions{Spacing: 1, Shots: shots})
	s := r.Shots
	assert.Equal(t, []int{5, 1, 1}, []int{s.Count, s.OffGround, s.NoLevel})
	assert.InDelta(t, 0.006, s.Mean, 1e-12)
	assert.InDelta(t, 0.0313049516849970, *s.StandardDeviation, 1e-12) // sqrt(0.00098)
	assert.InDelta(t, -0.05, s.Worst, 1e-12)
	assert.Equal(t, "e", s.WorstName)
	assert.Equal(t, 6, s.WorstLine)
	assert.InDelta(t, 14.4, s.Volume, 1e-9)
	assert.Empty(t, r.Warnings)

	for i := range shots.Points {
		shots.Points[i].Level += 0.2
	}
	r = crosscheck(t, job, takeoff.CrosscheckOptions{Spacing: 1, Shots: shots})
	require.Equal(t, []string{"shots_off"}, codes(r.Warnings))
	assert.Contains(t, r.Warnings[0].Message, "the ground lies below the check shots by 0.194 m on average")
	shots.Points = shots.Points[:1]
	assert.Nil(t, crosscheck(t, job, takeoff.CrosscheckOptions{Spacing: 1, Shots: shots}).Shots.StandardDeviation)
}

func TestLoadShots(t *testing.T) {
	files := fstest.MapFS{"a.csv": {Data: []byte("name,e,n,z\nq,1,2,3\n")}, "b.csv": {Data: []byte("1,2,3\n")}}
	s, err := takeoff.LoadShots(t.Context(), takeoff.DataFile{FS: files, Name: "a.csv"}, tin.Metre, takeoff.Limits{})
	require.NoError(t, err)
	require.Len(t, s.Points, 1)
	require.Len(t, s.Inputs, 1)
	for _, name := range []string{"b.csv", "c.csv"} {
		_, err = takeoff.LoadShots(t.Context(), takeoff.DataFile{FS: files, Name: name}, tin.Metre, takeoff.Limits{})
		var e *tin.InputError
		require.ErrorAs(t, err, &e)
		assert.Equal(t, "check_shots", e.Key)
	}
}

// The survey's own interval reaches beyond the methods' range at both ends, on the basis
// of the claim: a figure beyond what the methods alone support may yet be inside.
func TestCrosscheckClaimHoldsTheSurvey(t *testing.T) {
	t.Parallel()
	for _, basis := range []string{"as-dug", "net-void"} {
		job := roughSite(120)
		job.Surveys[0].BenchmarkDeviation = 0.05
		x := crosscheck(t, job, takeoff.CrosscheckOptions{Claim: &takeoff.Claim{Cut: ptrTo(0), Fill: ptrTo(0), Basis: basis}})
		u := x.Claim.Survey
		require.NotNil(t, u)
		require.Empty(t, u.NotStated)
		b := x.Bases[0]
		if basis == "net-void" {
			b = x.Bases[1]
		}
		assert.InDelta(t, b.Range.Cut[1]+*u.Cut, x.Claim.Cut.Greatest, 1e-9)
		assert.InDelta(t, max(0, b.Range.Cut[0]-*u.Cut), x.Claim.Cut.Least, 1e-9)
		assert.InDelta(t, b.Range.Fill[1]+*u.Fill, x.Claim.Fill.Greatest, 1e-9)
		within := takeoff.Claim{Cut: ptrTo(b.Range.Cut[1] + 0.9**u.Cut), Basis: basis}
		assert.True(t, crosscheck(t, job, takeoff.CrosscheckOptions{Claim: &within}).Claim.Cut.Inside)
	}
}
