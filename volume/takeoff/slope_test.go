package takeoff_test

import (
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/formation"
	"barrow/volume/takeoff"
)

// The published maxima (SLOPE-1: 29 CFR 1926 Subpart P, Appendix B, Table B-1, as quoted
// on a page about the regulation), with the angles printed there, in EM 385-1-1, 25.C and
// in secondary files.
func TestSlopeRulesAsPublished(t *testing.T) {
	want := []struct {
		soil     takeoff.Soil
		along    float64
		notation string
		degrees  float64
	}{
		{"stable rock", 0, "vertical", 90},
		{"type A", 3.0 / 4, "3/4:1", 53},
		{"type B", 1, "1:1", 45},
		{"type C", 1.5, "1 1/2:1", 34},
	}
	for i, r := range takeoff.SlopeRules() {
		assert.Equal(t, want[i].soil, r.Soil)
		assert.Equal(t, want[i].along, r.Along)
		assert.True(t, strings.HasPrefix(r.Notation, want[i].notation), r.Notation)
		assert.Equal(t, want[i].degrees, math.Round(takeoff.SlopeDegrees(r.Along)))
	}
	assert.Len(t, takeoff.SlopeRules(), len(want))
}

// The depths of SLOPE-2 (Indiana Constructors, Excavation by the Numbers: 4, 5 and 20 ft).
func TestDepthRulesAsPublished(t *testing.T) {
	var feet []float64
	for _, r := range takeoff.DepthRules() {
		if r.Feet > 0 {
			feet = append(feet, r.Feet)
			assert.InDelta(t, 0.3048*r.Feet, r.Metres, 1e-12)
			assert.Equal(t, r.Feet < 20, r.Begins(r.Metres))
			assert.True(t, r.Begins(r.Metres+1e-6))
			assert.False(t, r.Begins(r.Metres-1e-6))
		}
	}
	assert.Equal(t, []float64{4, 5, 20}, feet)
}

func TestSlopeWords(t *testing.T) {
	for along, want := range map[float64]string{
		2: "1V:2H (1 up, 2 along, 27 deg)", 0.75: "1V:0.75H (1 up, 0.75 along, 53 deg)", 0: "upright (90 deg)",
		1.5: "1V:1.5H (1 up, 1.5 along, 34 deg)", 0.5: "1V:0.5H (1 up, 0.5 along, 63 deg)",
	} {
		assert.Equal(t, want, takeoff.SlopeWords(along))
	}
}

// dugIn is a pit of a depth and a batter in level ground at 100, in a unit.
func dugIn(t *testing.T, unit tin.Unit, depth float64, pad takeoff.Pad, change func(*takeoff.Job)) *takeoff.Result {
	t.Helper()
	pad.Name, pad.Finished = "pit", 100-depth
	if pad.Outline == nil {
		pad.Outline = ring(100, 100, 120, 110)
	}
	job := grounded(unit, spot(0, 0, 100), spot(220, 0, 100), spot(220, 210, 100), spot(0, 210, 100))
	job.Pads = []takeoff.Pad{pad}
	if change != nil {
		change(job)
	}
	r, err := takeoff.Run(t.Context(), job, takeoff.Options{})
	require.NoError(t, err)
	return r
}

func cautionsOf(r *takeoff.Result, code string) (words []string) {
	for _, c := range r.Cautions {
		if c.Code == code {
			words = append(words, c.Message)
		}
	}
	return words
}

// Each class of soil against a slope at its maximum and one a little steeper: deep enough
// for the rule to ask for protection a steeper one is a warning, less deep a caution.
func TestSlopesAgainstTheRuleOfTheSoil(t *testing.T) {
	for _, tt := range []struct {
		unit    tin.Unit
		soil    takeoff.Soil
		along   float64
		depth   float64
		steeper bool
		warns   bool
	}{
		{tin.Metre, takeoff.SoilStableRock, 0, 3, false, false},
		{tin.Metre, takeoff.SoilTypeA, 0.75, 3, false, false},
		{tin.Metre, takeoff.SoilTypeA, 0.7499, 3, true, true},
		{tin.Metre, takeoff.SoilTypeB, 1, 3, false, false},
		{tin.Metre, takeoff.SoilTypeB, 0.999, 3, true, true},
		{tin.Metre, takeoff.SoilTypeC, 1.5, 3, false, false},
		{tin.Metre, takeoff.SoilTypeC, 1, 3, true, true},
		{tin.Metre, takeoff.SoilTypeC, 1, 1.5, true, false},
		{tin.Metre, takeoff.SoilTypeC, 0, 1.53, true, true},
		{tin.Foot, takeoff.SoilTypeC, 0, 4.99, true, false},
		{tin.Foot, takeoff.SoilTypeC, 0, 5, true, true},
		{tin.Foot, takeoff.SoilTypeC, 2, 20, false, false},
	} {
		for _, scale := range []float64{1, 0.9996} {
			r := dugIn(t, tt.unit, tt.depth, takeoff.Pad{Cut: takeoff.Batter{Along: tt.along}, Soil: tt.soil}, func(j *takeoff.Job) { j.Scale = scale })
			words := cautionsOf(r, takeoff.CodeSlopeCompared)
			require.Len(t, words, 1, "%+v", tt)
			assert.Equal(t, tt.steeper, strings.Contains(words[0], "STEEPER"), words[0])
			assert.Contains(t, words[0], "face in cut "+takeoff.SlopeWords(tt.along))
			assert.Equal(t, tt.warns, contains(codes(r.Warnings), takeoff.WarnSlopeSteeper), "%+v", tt)
			assert.Empty(t, cautionsOf(r, takeoff.CodeNoSoil))
		}
	}
	r := dugIn(t, tin.Foot, 20.1, takeoff.Pad{Cut: takeoff.Batter{Along: 3}}, func(j *takeoff.Job) { j.Ground.Soil = takeoff.SoilTypeC })
	assert.Empty(t, cautionsOf(r, takeoff.CodeSlopeCompared))
	assert.Contains(t, cautionsOf(r, takeoff.CodeSlopeBeyond)[0], "registered professional engineer")
}

func contains(list []string, word string) bool {
	for _, w := range list {
		if w == word {
			return true
		}
	}
	return false
}

// Nothing is passed over: a job without a class says so, and so does each pad of a job
// that states one for others; a pad that is filled alone has nothing to compare.
func TestSlopesNotComparedAreTold(t *testing.T) {
	r := dugIn(t, tin.Metre, 2, takeoff.Pad{}, nil)
	assert.Equal(t, []string{"no soil class stated: no slope has been compared with any rule"}, cautionsOf(r, takeoff.CodeNoSoil))
	r = dugIn(t, tin.Metre, 2, takeoff.Pad{}, func(j *takeoff.Job) {
		j.Pads = append(j.Pads, takeoff.Pad{Name: "bank", Outline: ring(20, 20, 30, 30), Finished: 101, Soil: takeoff.SoilTypeB})
	})
	assert.Len(t, cautionsOf(r, takeoff.CodeNoSoil), 1)
	assert.Equal(t, "pit", r.Cautions[0].Pad)
	assert.Equal(t, []string{"no face in cut to compare with the greatest slope for type B"}, cautionsOf(r, takeoff.CodeNoCutFace))
	assert.NotEmpty(t, cautionsOf(r, takeoff.CodeNoClearances))
	r = dugIn(t, tin.Metre, 2, takeoff.Pad{}, func(j *takeoff.Job) {
		j.Clearances = []takeoff.Clearance{{Name: "tree", Points: orb.MultiPoint{{10, 10}}, Distance: 3}}
	})
	assert.Contains(t, cautionsOf(r, takeoff.CodeClearances)[0], "1 clearance given")
}

// Sides that have rules of their own are faces of their own; where all have, the pad's
// rule stands nowhere. A trench below formation counts by its own depth.
func TestSlopesOfSidesAndTrenches(t *testing.T) {
	one := &takeoff.Batter{Along: 1}
	all := []takeoff.Edge{{From: "1", To: "3", Cut: one}, {From: "3", To: "1", Cut: &takeoff.Batter{Along: 2}}}
	r := dugIn(t, tin.Metre, 2, takeoff.Pad{Edges: all, Soil: takeoff.SoilTypeB}, nil)
	words := cautionsOf(r, takeoff.CodeSlopeCompared)
	require.Len(t, words, 2)
	assert.Contains(t, words[0], "1V:1H (1 up")
	assert.Contains(t, words[1], "1V:2H (1 up")
	assert.Empty(t, r.Warnings)
	assert.Empty(t, cautionsOf(r, takeoff.CodeUprightSupport))

	sump := takeoff.Thickening{Name: "sump", Areas: orb.MultiPolygon{ring(105, 104, 107, 106)}, Depth: 1.6, From: formation.FromFormation}
	r = dugIn(t, tin.Metre, 2, takeoff.Pad{Cut: *one, Soil: takeoff.SoilTypeB, Thickenings: []takeoff.Thickening{sump}}, nil)
	assert.Contains(t, cautionsOf(r, takeoff.CodeSlopeCompared)[1], "sump upright (90 deg), up to 1.60 m below formation: STEEPER")
	assert.Equal(t, []string{takeoff.WarnSlopeSteeper}, codes(r.Warnings))
	assert.Len(t, cautionsOf(r, takeoff.CodeUprightSupport), 1)
}

// An upright face counts by the ground at it, topsoil too, from 4 ft on.
func TestUprightFacesNeedSupport(t *testing.T) {
	assert.Empty(t, cautionsOf(dugIn(t, tin.Metre, 1.2, takeoff.Pad{}, nil), takeoff.CodeUprightSupport))
	r := dugIn(t, tin.Foot, 4, takeoff.Pad{}, nil)
	require.Len(t, cautionsOf(r, takeoff.CodeUprightSupport), 1)
	assert.Contains(t, cautionsOf(r, takeoff.CodeUprightSupport)[0], "up to 4.00 ft deep: its support must be designed")
	r = dugIn(t, tin.Metre, 1.3, takeoff.Pad{}, func(j *takeoff.Job) { j.Ground.Topsoil.Depth = 0.2 })
	assert.Contains(t, cautionsOf(r, takeoff.CodeUprightSupport)[0], "up to 1.30 m deep")
}

// Water has no outlet where all ground round the works is higher than the lowest
// formation; where a side runs out level or lower it has, and where the ground ends
// nobody knows.
func TestNoOutletForWater(t *testing.T) {
	r := dugIn(t, tin.Metre, 1, takeoff.Pad{Cut: takeoff.Batter{Along: 1}}, nil)
	require.Len(t, cautionsOf(r, takeoff.CodeNoOutlet), 1)
	assert.Contains(t, cautionsOf(r, takeoff.CodeNoOutlet)[0], "pit: formation down to 99.000 m, below all ground round it, which is 100.000 m at the lowest: no outlet for water: drain or sump not measured")

	slope := func(pad takeoff.Pad) *takeoff.Result {
		job := grounded(tin.Metre, spot(0, 0, 98), spot(100, 0, 103), spot(100, 100, 103), spot(0, 100, 98))
		pad.Name, pad.Outline = "pit", ring(40, 40, 60, 60)
		job.Pads = []takeoff.Pad{pad}
		r, err := takeoff.Run(t.Context(), job, takeoff.Options{})
		require.NoError(t, err)
		return r
	}
	assert.Empty(t, cautionsOf(slope(takeoff.Pad{Finished: 100.5}), takeoff.CodeNoOutlet)) // the ground is 100 to 101 there
	assert.Empty(t, cautionsOf(slope(takeoff.Pad{Finished: 100}), takeoff.CodeNoOutlet))
	assert.Len(t, cautionsOf(slope(takeoff.Pad{Finished: 99.99}), takeoff.CodeNoOutlet), 1)

	// A lower pad that adjoins is one with it, and no way out.
	r = dugIn(t, tin.Metre, 1, takeoff.Pad{}, func(j *takeoff.Job) {
		j.Pads = append(j.Pads, takeoff.Pad{Name: "drain", Outline: ring(120, 102, 124, 106), Finished: 98.5})
	})
	require.Len(t, cautionsOf(r, takeoff.CodeNoOutlet), 1)
	assert.Contains(t, cautionsOf(r, takeoff.CodeNoOutlet)[0], "pit, drain: formation down to 98.500 m")
	r = dugIn(t, tin.Metre, 1, takeoff.Pad{Outline: ring(210, 100, 230, 110)}, nil)
	assert.Empty(t, cautionsOf(r, takeoff.CodeNoOutlet))
	assert.Len(t, cautionsOf(r, takeoff.CodeOutletUnknown), 1)
}

func TestSoilOfAJobIsChecked(t *testing.T) {
	job := inclined(tin.Metre, takeoff.Pad{Name: "pit", Outline: ring(40, 50, 100, 90), Finished: 9, Soil: "clay"})
	_, err := takeoff.Run(t.Context(), job, takeoff.Options{})
	var e *tin.InputError
	require.ErrorAs(t, err, &e)
	assert.Equal(t, []string{"bad_value", "pad[0].soil"}, []string{e.Code, e.Key})
}

// A trench of 1 m at the foot of an upright face of 1 m is a face of 2 m: each alone is
// below the 5 ft from which the rule asks for protection.
func TestTrenchAtTheFootOfAFace(t *testing.T) {
	trench := func(along float64) *takeoff.Result {
		strip := takeoff.Thickening{Name: "strip", Areas: orb.MultiPolygon{ring(along, 102, along+0.6, 108)}, Depth: 1, From: formation.FromFormation}
		return dugIn(t, tin.Metre, 1, takeoff.Pad{Soil: takeoff.SoilTypeB, Thickenings: []takeoff.Thickening{strip}}, nil)
	}
	r := trench(100)
	assert.Contains(t, codes(r.Warnings), takeoff.WarnSlopeSteeper)
	assert.Contains(t, cautionsOf(r, takeoff.CodeSlopeCompared)[1], "strip upright (90 deg), up to 2.00 m deep with the upright face above it: STEEPER")
	assert.Len(t, cautionsOf(r, takeoff.CodeUprightSupport), 1)
	r = trench(105)
	assert.NotContains(t, codes(r.Warnings), takeoff.WarnSlopeSteeper)
	assert.Contains(t, cautionsOf(r, takeoff.CodeSlopeCompared)[1], "up to 1.00 m below formation")
}
