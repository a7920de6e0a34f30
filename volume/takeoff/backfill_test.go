package takeoff_test

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/volume/takeoff"
)

// basement is dug 2 m below the stripped ground, 10 by 10 m with a margin of 1 m and
// sides of 1V:1H, in ground that is level at 11 with 0.2 m of topsoil.
func basement(to takeoff.BackfillTo, level float64) *takeoff.Job {
	return &takeoff.Job{
		Surveys: []takeoff.Survey{{Points: []tin.Point{
			{E: 0, N: 0, Level: 11}, {E: 40, N: 0, Level: 11}, {E: 40, N: 40, Level: 11}, {E: 0, N: 40, Level: 11},
		}}},
		Ground: takeoff.Ground{Topsoil: takeoff.Topsoil{Depth: 0.2}},
		Pads: []takeoff.Pad{{
			Name: "basement", Outline: square(15, 15, 10), Finished: 9.3, Layers: []takeoff.Layer{{Name: "slab", Thickness: 0.5}},
			Margin: 1, Cut: takeoff.Batter{Along: 1}, Backfill: &takeoff.Backfill{UpTo: to, Level: level},
		}},
	}
}

// Up to a height h there is a ring of the margin, a wedge along each side, and a part of
// a cone at each corner: 44 h + 48 h^2 / 2 + pi h^3 / 3.
func TestBackfillRoundABasement(t *testing.T) {
	ring := func(h float64) float64 { return 44 * h }
	wedge := func(h float64) float64 { return 24*h*h + math.Pi*h*h*h/3 }
	topsoil := 0.2 * (44 + 48*2 + math.Pi*4)
	for _, tt := range []struct {
		name         string
		to           takeoff.BackfillTo
		level        float64
		margin, more float64
	}{
		{"stripped ground", takeoff.BackfillStripped, 0, ring(2), wedge(2)},
		{"ground", takeoff.BackfillGround, 0, ring(2) + 0.2*44, wedge(2) + topsoil - 0.2*44},
		{"level", takeoff.BackfillLevel, 9.8, ring(1), wedge(1)},
		{"level above the ground", takeoff.BackfillLevel, 12, ring(2), wedge(2)},
		{"level below the formation", takeoff.BackfillLevel, 8, 0, 0},
		{"finished", takeoff.BackfillFinished, 0, ring(0.5), wedge(0.5)},
	} {
		t.Run(tt.name, func(t *testing.T) {
			r := run(t, basement(tt.to, tt.level))
			b := r.Pads[0].Backfill
			require.NotNil(t, b)
			assert.Zero(t, b.NetVoid)
			assert.InDelta(t, tt.margin, b.Margin, 1e-9)
			assert.InDelta(t, tt.more, b.Batter, 2e-6*tt.more) // facets of the cones
			assert.Equal(t, b.Margin+b.Batter, b.AsDug)
			assert.Equal(t, b.AsDug, r.Total.BackfillAsDug)
			assert.Equal(t, tt.to, b.To)
			assert.Equal(t, tt.to == takeoff.BackfillLevel, b.Level != nil)
		})
	}
	assert.Nil(t, run(t, slopeJob()).Pads[0].Backfill)
}

// What is filled up to the stripped ground is all that was dug beside the outline.
func TestBackfillIsWhatWasDugBesideTheOutline(t *testing.T) {
	p := run(t, basement(takeoff.BackfillStripped, 0)).Pads[0]
	assert.InEpsilon(t, p.MarginCut, p.Backfill.Margin, 1e-12)
	assert.InEpsilon(t, p.BatterCut, p.Backfill.Batter, 1e-12)
	assert.InEpsilon(t, p.FormationArea-p.OutlineArea+p.BatterArea, p.Backfill.Area, 1e-12)
}

// On ground that rises 1 in 10 the level to fill to comes out of the ground half-way.
func TestBackfillToALevelInASlope(t *testing.T) {
	job := slopeJob()
	p := &job.Pads[0]
	p.Finished, p.Margin, p.Backfill = 9, 1, &takeoff.Backfill{UpTo: takeoff.BackfillStripped}
	assert.InEpsilon(t, 84*3, run(t, job).Pads[0].Backfill.AsDug, 1e-12)
	p.Backfill = &takeoff.Backfill{UpTo: takeoff.BackfillLevel, Level: 12}
	// West of E 20: 22 * 1.95 + 2 * (10 + 15); east of it 3 m over half of the ring.
	assert.InEpsilon(t, 42.9+50+42*3, run(t, job).Pads[0].Backfill.AsDug, 1e-12)
	// A fill has no void round it: with the pad at 12 only the east side is dug.
	p.Finished, p.Backfill.UpTo = 12, takeoff.BackfillStripped
	assert.InEpsilon(t, 10+22*1.05, run(t, job).Pads[0].Backfill.AsDug, 1e-12)
}

// Round a structure that is smaller than the outline there is a void inside that too.
func TestBackfillAroundAStructure(t *testing.T) {
	job := slopeJob()
	p := &job.Pads[0]
	p.Finished, p.Margin = 9, 1
	p.Backfill = &takeoff.Backfill{UpTo: takeoff.BackfillStripped, Around: orb.MultiPolygon{square(12, 12, 16)}}
	b := run(t, job).Pads[0].Backfill
	assert.InEpsilon(t, (400-256)*3, b.NetVoid, 1e-12)
	assert.InEpsilon(t, 84*3, b.Margin, 1e-12)
	assert.InEpsilon(t, (144+84)*3, b.AsDug, 1e-12)

	// Where a later pad rules, the void is not this pad's.
	job.Pads = append(job.Pads, takeoff.Pad{Name: "b", Outline: square(10, 10, 2), Finished: 9})
	b = run(t, job).Pads[0].Backfill
	assert.InEpsilon(t, (400-256)*3-4*(11.1-9), b.NetVoid, 1e-12)

	p.Backfill.Around = orb.MultiPolygon{square(12, 12, 19)}
	_, err := takeoff.Run(t.Context(), job, takeoff.Options{})
	e := inputError(t, err)
	assert.Equal(t, "around_outside", e.Code)
	assert.Equal(t, "pad[0].backfill.around", e.Key)
}

func TestBackfillThatCannotBe(t *testing.T) {
	for _, tt := range []struct {
		name string
		edit func(*takeoff.Pad)
		code string
	}{
		{"no level", func(p *takeoff.Pad) { p.Backfill = &takeoff.Backfill{UpTo: takeoff.BackfillLevel, Level: math.NaN()} }, "bad_level"},
		{"no such top", func(p *takeoff.Pad) { p.Backfill = &takeoff.Backfill{UpTo: "sky"} }, "bad_value"},
		{"own levels", func(p *takeoff.Pad) {
			p.Finished, p.Levels = 0, &takeoff.Levels{Outline: [][]float64{{9, 9, 9, 9}}}
			p.Backfill = &takeoff.Backfill{UpTo: takeoff.BackfillFinished}
		}, "backfill_finished"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			job := slopeJob()
			tt.edit(&job.Pads[0])
			_, err := takeoff.Run(t.Context(), job, takeoff.Options{})
			assert.Equal(t, tt.code, inputError(t, err).Code)
		})
	}
}
