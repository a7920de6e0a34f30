package takeoff_test

import (
	"math"
	"math/rand/v2"
	"os"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/volume/takeoff"
)

// Along a bent alignment, the job's first or the one asked for, the methods agree as
// along the long axis; prisms and grid do not change by it.
func TestCrosscheckAlongAlignment(t *testing.T) {
	job := func() *takeoff.Job {
		return inclined(tin.Metre, takeoff.Pad{Name: "pit", Outline: ring(40, 50, 100, 90), Finished: 9})
	}
	axis := crosscheck(t, job(), takeoff.CrosscheckOptions{Spacing: 1})
	assert.True(t, axis.Alignment.LongAxis)
	assert.Equal(t, "long axis of the works", axis.Alignment.Name)
	bent := job()
	bent.Alignments = []takeoff.Alignment{
		{Name: "bent", Line: orb.LineString{{30, 60}, {70, 72}, {110, 64}}, Start: 100, Interval: 4, At: []float64{133.3}, Reach: 60},
		{Name: "across", Line: orb.LineString{{60, 40}, {60, 100}}},
	}
	r := crosscheck(t, bent, takeoff.CrosscheckOptions{Spacing: 1})
	require.Empty(t, r.Notes)
	require.Empty(t, r.Warnings)
	a := r.Alignment
	assert.Equal(t, []any{"bent", false, 3, 100.0, 4.0, 60.0}, []any{a.Name, a.LongAxis, len(a.Line), a.Start, a.Interval, a.Reach})
	assert.Equal(t, axis.Bases[0].Prism, r.Bases[0].Prism)
	assert.Equal(t, axis.Bases[0].Methods[2], r.Bases[0].Methods[2])
	b := r.Bases[0]
	assert.InEpsilon(t, b.Prism.Cut, b.Methods[0].Cut.Volume, 1e-3)
	assert.InEpsilon(t, b.Prism.Cut, b.Methods[1].Cut.Volume, 2e-4)

	r = crosscheck(t, bent, takeoff.CrosscheckOptions{Spacing: 1, Alignment: "across", Interval: 5})
	require.Empty(t, r.Warnings)
	assert.Equal(t, []any{"across", 5.0}, []any{r.Alignment.Name, r.Alignment.Interval})
	assert.InEpsilon(t, b.Prism.Cut, r.Bases[0].Methods[0].Cut.Volume, 1e-9)
}

// An alignment that sections cannot be laid along without missing works, or meeting
// some twice, is not taken: no false alarm, but a note with the remedy; a warning where
// it was asked for.
func TestCrosscheckAlignmentNotTaken(t *testing.T) {
	for name, tt := range map[string]struct {
		a      takeoff.Alignment
		remedy string
	}{
		"ends within":    {takeoff.Alignment{Line: orb.LineString{{30, 70}, {90, 70}}}, "works lie up to 10.000 m past an end of the alignment.*draw the line on"},
		"off the works":  {takeoff.Alignment{Line: orb.LineString{{130, 70}, {190, 70}}}, "past an end.*draw the alignment along|draw the line on"},
		"beyond reach":   {takeoff.Alignment{Line: orb.LineString{{30, 70}, {110, 70}}, Reach: 15}, "works lie up to 5.000 m beyond its reach"},
		"met twice":      {takeoff.Alignment{Line: orb.LineString{{30, 55}, {110, 55}, {110, 85}, {30, 85}}}, "give a reach"},
		"ends at a bend": {takeoff.Alignment{Line: orb.LineString{{30, 93}, {98, 93}, {198, 193}}}, "past a bend at which they end"},
	} {
		tt.a.Name = "axis"
		job := inclined(tin.Metre, takeoff.Pad{Name: "pit", Outline: ring(40, 50, 100, 90), Finished: 9})
		job.Alignments = []takeoff.Alignment{tt.a}
		r := crosscheck(t, job, takeoff.CrosscheckOptions{Spacing: 1})
		require.Empty(t, r.Warnings, name)
		require.Equal(t, []string{"alignment_not_taken"}, codes(r.Notes), name)
		assert.Contains(t, r.Notes[0].Message, `and not along alignment "axis"`, name)
		assert.Regexp(t, tt.remedy, r.Notes[0].Message, name)
		assert.True(t, r.Alignment.LongAxis, name)
		r = crosscheck(t, job, takeoff.CrosscheckOptions{Spacing: 1, Alignment: "axis"})
		require.Equal(t, []string{"alignment_not_taken"}, codes(r.Warnings), name)
		require.Empty(t, r.Notes, name)
	}
}

// Round a ring whose beginning lies in the midst of the works nothing is missed.
func TestCrosscheckAlongRing(t *testing.T) {
	job := inclined(tin.Metre, takeoff.Pad{Name: "ditch", Finished: 9, Outline: orb.Polygon{
		{{40, 40}, {120, 40}, {120, 120}, {40, 120}, {40, 40}}, {{46, 46}, {46, 114}, {114, 114}, {114, 46}, {46, 46}}}})
	job.Alignments = []takeoff.Alignment{{Name: "round", Line: orb.LineString{{80, 43}, {117, 43}, {117, 117}, {43, 117}, {43, 43}, {80, 43}}, Reach: 5}}
	r := crosscheck(t, job, takeoff.CrosscheckOptions{Spacing: 1, Interval: 10})
	require.Empty(t, r.Warnings)
	require.Empty(t, r.Notes)
	assert.False(t, r.Alignment.LongAxis)
	assert.InEpsilon(t, r.Bases[0].Prism.Cut, r.Bases[0].Methods[1].Cut.Volume, 3e-3)
}

// On rough ground with a bend through the middle of the works at random, what is
// expected holds as it does along the long axis.
func TestCrosscheckAlongBendsExpects(t *testing.T) {
	t.Parallel()
	r := rand.New(rand.NewPCG(11, 13))
	beyond, all, taken := 0, 0, 0
	for range 5 {
		job := rough(r)
		turn, at := r.Float64()*2*math.Pi, orb.Point{312600 + 4*r.Float64(), 5812360 + 4*r.Float64()}
		arm := func(by float64) orb.Point {
			sin, cos := math.Sincos(turn + by)
			return orb.Point{at[0] + 70*cos, at[1] + 70*sin}
		}
		job.Alignments = []takeoff.Alignment{{Name: "bent", Line: orb.LineString{arm(0), at, arm(math.Pi - 0.8*r.Float64())}}}
		res := crosscheck(t, job, takeoff.CrosscheckOptions{Spacing: 0.5})
		if !res.Alignment.LongAxis {
			taken++
		}
		for _, b := range res.Bases {
			for _, m := range b.Methods[:2] {
				for _, f := range figures(&m) {
					all++
					if f.Beyond {
						beyond++
					}
				}
			}
		}
	}
	t.Logf("%d of %d figures beyond, along %d bent alignments", beyond, all, taken)
	assert.LessOrEqual(t, beyond, 1)
	assert.GreaterOrEqual(t, taken, 3)
}

// The demo's alignment has a bend and is taken.
func TestCrosscheckDemoAlongItsAlignment(t *testing.T) {
	t.Parallel()
	job, err := takeoff.Load(t.Context(), os.DirFS("../../cmd/barrow/demo"), "job.toml", takeoff.Limits{})
	require.NoError(t, err)
	r := crosscheck(t, job, takeoff.CrosscheckOptions{})
	assert.Equal(t, "centre line", r.Alignment.Name)
	assert.Len(t, r.Alignment.Line, 3)
}

func TestCrosscheckAlignmentErrors(t *testing.T) {
	job := inclined(tin.Metre, takeoff.Pad{Name: "pit", Outline: ring(40, 50, 100, 90), Finished: 9})
	job.Alignments = []takeoff.Alignment{{Name: "axis", Line: orb.LineString{{30, 70}, {110, 70}}, Interval: 1e-5}}
	for _, tt := range []struct {
		opts      takeoff.CrosscheckOptions
		code, key string
	}{
		{takeoff.CrosscheckOptions{Alignment: "axes"}, "no_alignment", "alignment"},
		{takeoff.CrosscheckOptions{}, "too_many_sections", "alignment[0]"},
		{takeoff.CrosscheckOptions{Interval: 1e-6}, "too_many_sections", "interval"},
	} {
		_, err := takeoff.Crosscheck(t.Context(), job, tt.opts)
		var e *tin.InputError
		require.ErrorAs(t, err, &e)
		assert.Equal(t, []string{tt.code, tt.key}, []string{e.Code, e.Key})
	}
	c := &takeoff.Comparison{A: inclined(tin.Metre), B: twoLevel(11)}
	_, err := takeoff.CrosscheckSurveys(t.Context(), c, takeoff.CrosscheckOptions{Alignment: "axis"})
	var e *tin.InputError
	require.ErrorAs(t, err, &e)
	assert.Equal(t, "alignment", e.Key)
}
