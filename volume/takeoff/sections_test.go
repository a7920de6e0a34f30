package takeoff_test

import (
	"context"
	"math"
	"os"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/volume/takeoff"
)

func sections(t *testing.T, job *takeoff.Job, opts takeoff.SectionsOptions) *takeoff.SectionsResult {
	t.Helper()
	r, err := takeoff.Sections(t.Context(), job, opts)
	require.NoError(t, err)
	return r
}

// through is the alignment through the middle of the pit, from west to east.
func through() []takeoff.Alignment {
	return []takeoff.Alignment{{Name: "axis", Line: orb.LineString{{0, 30}, {60, 30}}, Interval: 4}}
}

// A pit with batters: a section through its middle is a trapezium, and the prismoidal
// rule, whose area is of the second degree between its sections but at the cones, comes
// near the prisms.
func TestSectionsPit(t *testing.T) {
	job := pit()
	job.Pads[0].Cut.Along = 1
	job.Alignments = through()
	r := sections(t, job, takeoff.SectionsOptions{})
	prisms := run(t, job)
	assert.Equal(t, takeoff.PrismVolumes{Cut: prisms.Total.Cut, WorksArea: prisms.Total.WorksArea}, r.Prisms)
	require.Len(t, r.Alignments, 1)
	a := r.Alignments[0]
	assert.Empty(t, r.Warnings)
	assert.Equal(t, "axis", a.Name)
	assert.False(t, a.LongAxis || a.Chosen)
	var chainages []float64
	for _, s := range a.Sections {
		chainages = append(chainages, s.Chainage)
		assert.Empty(t, s.Side)
		assert.Equal(t, s.Cut, s.SquareCut)
		assert.Zero(t, s.Skew)
	}
	assert.InDeltaSlice(t, []float64{23, 24, 25, 28, 32, 35, 36, 37}, chainages, 1e-9)
	middle := a.Sections[3]
	assert.InDelta(t, (10+14)/2*2, middle.Cut, 1e-9)
	assert.Equal(t, takeoff.Place{28, 30}, middle.At)
	assert.Equal(t, 180.0, middle.Bearing)
	assert.InDelta(t, -7, middle.From, 1e-9)
	assert.InDelta(t, 7, middle.To, 1e-9)
	assert.InEpsilon(t, r.Prisms.Cut, a.Prismoidal.Cut, 1e-3)
	assert.InEpsilon(t, r.Prisms.Cut, a.EndArea.Cut, 2e-2)
	assert.Equal(t, a.EndArea.Cut-r.Prisms.Cut, a.EndArea.CutDifference.Volume)
	assert.InEpsilon(t, 100*a.EndArea.CutDifference.Volume/r.Prisms.Cut, *a.EndArea.CutDifference.PerCent, 1e-12)
	assert.InEpsilon(t, a.EndArea.CutDifference.Volume/r.Prisms.WorksArea, a.EndArea.CutDifference.Mean, 1e-12)
	assert.Nil(t, a.EndArea.FillDifference.PerCent)
	last := a.Spans[len(a.Spans)-1]
	assert.InEpsilon(t, a.EndArea.Cut, last.EndArea.CumulativeCut, 1e-12)
	assert.InEpsilon(t, a.Prismoidal.Cut, last.Prismoidal.CumulativeCut, 1e-12)
}

// A finer interval brings both sums to the prisms, by the long axis of the works too.
func TestSectionsConverge(t *testing.T) {
	job := pit()
	job.Pads[0].Cut.Along = 1
	last := math.Inf(1)
	for _, interval := range []float64{0, 0.25, 0.05} {
		r := sections(t, job, takeoff.SectionsOptions{Interval: interval})
		a := r.Alignments[0]
		assert.True(t, a.LongAxis)
		assert.Equal(t, interval == 0, a.Chosen)
		assert.GreaterOrEqual(t, len(a.Sections), 20)
		off := math.Abs(a.EndArea.CutDifference.Volume)
		assert.Less(t, off, last)
		last = off
	}
	assert.Less(t, last, 0.01)
}

// A profile closes on its own area, and says where topsoil is off and where lines begin.
func TestSectionsProfile(t *testing.T) {
	job := &takeoff.Job{Surveys: []takeoff.Survey{{Points: slope()}}, Pads: []takeoff.Pad{{Name: "a", Outline: square(10, 10, 20), Finished: 12}}}
	job.Ground.Topsoil.Depth = 0.2
	job.Alignments = []takeoff.Alignment{{Name: "across", Line: orb.LineString{{20, 0}, {20, 40}}, At: []float64{15}}}
	a := sections(t, job, takeoff.SectionsOptions{}).Alignments[0]
	for _, s := range a.Sections {
		area, crossings := 0.0, 0
		for i := range len(s.Profile) - 1 {
			p, q := s.Profile[i], s.Profile[i+1]
			assert.LessOrEqual(t, p.Offset, q.Offset)
			if p.Stripped == nil || q.Stripped == nil {
				continue
			}
			assert.InDelta(t, *p.Ground-0.2, *p.Stripped, 1e-9)
			d, e := *p.Stripped-*p.Formation, *q.Stripped-*q.Formation
			assert.Greater(t, d*e, -1e-12, "cut and fill in one part")
			if math.Abs(e) < 1e-9 {
				crossings++
			}
			area += (q.Offset - p.Offset) * (d + e) / 2
		}
		assert.InDelta(t, s.Cut-s.Fill, area, 1e-9)
		assert.Equal(t, 1, crossings)
		first, last := s.Profile[0], s.Profile[len(s.Profile)-1]
		assert.Nil(t, first.Formation)
		assert.Nil(t, last.Stripped)
		assert.NotNil(t, first.Ground)
		assert.InDelta(t, -11, first.Offset, 1e-5) // a metre beside the works
	}
}

// Where works of another width begin at an upright face, a section stands twice.
func TestSectionsAtAStep(t *testing.T) {
	job := pit()
	job.Pads = append(job.Pads, takeoff.Pad{Name: "deeper", Outline: square(35, 25, 10), Finished: 9})
	job.Alignments = through()
	a := sections(t, job, takeoff.SectionsOptions{}).Alignments[0]
	i := slices.IndexFunc(a.Sections, func(s takeoff.SectionResult) bool { return s.Side != "" })
	require.GreaterOrEqual(t, i, 0)
	assert.Equal(t, []string{takeoff.SideBehind, takeoff.SideAhead}, []string{a.Sections[i].Side, a.Sections[i+1].Side})
	assert.InDelta(t, 20, a.Sections[i].Cut, 1e-9)
	assert.InDelta(t, 30, a.Sections[i+1].Cut, 1e-9)
	assert.Zero(t, a.Spans[i].EndArea.Cut)
	assert.InEpsilon(t, 500, a.EndArea.Cut, 1e-9)
	assert.InEpsilon(t, 500, a.Prismoidal.Cut, 1e-9)
}

// A section at a bend is longer than one square to a leg, and the volumes count that.
func TestSectionsAtABend(t *testing.T) {
	job := pit()
	job.Alignments = []takeoff.Alignment{{Name: "bent", Line: orb.LineString{{20, 30}, {30, 30}, {40, 35}}, Interval: 0.1, Reach: 20}}
	r := sections(t, job, takeoff.SectionsOptions{})
	a := r.Alignments[0]
	i := slices.IndexFunc(a.Sections, func(s takeoff.SectionResult) bool { return s.Skew != 0 })
	require.GreaterOrEqual(t, i, 0)
	s, turn := a.Sections[i], math.Atan(0.5)/2
	assert.InDelta(t, 10, s.Chainage, 1e-9)
	assert.InDelta(t, turn*180/math.Pi, math.Abs(s.Skew), 1e-9)
	assert.InDelta(t, s.SquareCut, s.Cut*math.Cos(turn), 1e-9)
	assert.NotZero(t, a.Prismoidal.CutCurvature)
	assert.Equal(t, 20.0, a.Reach)
}

// A job in feet on a scaled grid gives the figures of the same job in metres: lengths by
// the foot, volumes in cubic yards, chainages on the ground.
func TestSectionsInFeetOnAScaledGrid(t *testing.T) {
	const foot, scale = 0.3048, 0.9996
	plain, feet := pit(), pit()
	feet.Units, feet.Scale = tin.Foot, scale
	grow := func(p orb.Point) orb.Point { return orb.Point{p[0] / foot * scale, p[1] / foot * scale} }
	for i, p := range feet.Surveys[0].Points {
		at := grow(orb.Point{p.E, p.N})
		feet.Surveys[0].Points[i].E, feet.Surveys[0].Points[i].N, feet.Surveys[0].Points[i].Level = at[0], at[1], p.Level/foot
	}
	for i, p := range feet.Pads[0].Outline[0] {
		feet.Pads[0].Outline[0][i] = grow(p)
	}
	feet.Pads[0].Finished /= foot
	plain.Pads[0].Cut.Along, feet.Pads[0].Cut.Along = 1, 1
	plain.Alignments, feet.Alignments = through(), through()
	plain.Alignments[0].At, plain.Alignments[0].Start = []float64{131}, 100
	b := &feet.Alignments[0]
	b.Line, b.Interval, b.At, b.Start = orb.LineString{grow(b.Line[0]), grow(b.Line[1])}, 4/foot, []float64{131 / foot}, 100/foot
	want, got := sections(t, plain, takeoff.SectionsOptions{}), sections(t, feet, takeoff.SectionsOptions{})
	assert.Equal(t, takeoff.Units{Length: "ft", Area: "ft2", Volume: "yd3"}, got.Units)
	yard := math.Pow(3*foot, 3)
	v, w := want.Alignments[0], got.Alignments[0]
	assert.InEpsilon(t, v.EndArea.Cut, w.EndArea.Cut*yard, 1e-9)
	assert.InEpsilon(t, v.Prismoidal.Cut, w.Prismoidal.Cut*yard, 1e-9)
	assert.InEpsilon(t, v.EndArea.CutDifference.Mean, w.EndArea.CutDifference.Mean*foot, 1e-5)
	require.Len(t, w.Sections, len(v.Sections))
	for i := range v.Sections {
		assert.InEpsilon(t, v.Sections[i].Chainage, w.Sections[i].Chainage*foot, 1e-9)
		assert.InDelta(t, v.Sections[i].Cut, w.Sections[i].Cut*foot*foot, 1e-9)
		assert.InDelta(t, v.Sections[i].From, w.Sections[i].From*foot, 1e-9)
	}
	for i := range v.Spans {
		assert.InDelta(t, v.Spans[i].MiddleCut, w.Spans[i].MiddleCut*foot*foot, 1e-9)
	}
}

func TestSectionsWarn(t *testing.T) {
	job := pit()
	job.Alignments = []takeoff.Alignment{{Name: "axis", Line: orb.LineString{{20, 30}, {31, 30}}, Interval: 2, Reach: 4, At: []float64{1}}}
	r := sections(t, job, takeoff.SectionsOptions{})
	assert.Equal(t, []string{"works_beyond_end", "works_not_in_sections", "works_not_in_sections"}, codes(r.Warnings))
	assert.Equal(t, "axis: works lie up to 4.000 m past an end of the alignment: they are in the prisms, and in no section; draw the line on", r.Warnings[1].Message)
	assert.Contains(t, r.Warnings[2].Message, "up to 1.000 m beyond its reach")
	assert.Equal(t, takeoff.Place{25, 25}, *r.Warnings[2].At)
	assert.Contains(t, codes(r.Notes), "no_section")
	for range 20 {
		job.Alignments[0].At = append(job.Alignments[0].At, 2)
	}
	assert.Contains(t, sections(t, job, takeoff.SectionsOptions{}).Notes[0].Message, "no section at 1, 2, 2, 2, 2, 2, 2, 2, 2, 2 and 11 more: the works go from")
	job.Units = tin.Foot
	assert.Contains(t, sections(t, job, takeoff.SectionsOptions{}).Warnings[0].Message, "chainage 11.000:")
}

// Ground that is missing under the works is a length in each section.
func TestSectionsWithoutGround(t *testing.T) {
	job := &takeoff.Job{Surveys: []takeoff.Survey{{Points: slope()}}, Pads: []takeoff.Pad{{Name: "a", Outline: square(30, 10, 20), Finished: 8}}}
	job.Alignments = []takeoff.Alignment{{Name: "axis", Line: orb.LineString{{20, 20}, {60, 20}}, Interval: 3}}
	r := sections(t, job, takeoff.SectionsOptions{})
	assert.Equal(t, []string{"works_uncovered", "ground_missing"}, codes(r.Warnings))
	for _, s := range r.Alignments[0].Sections {
		if s.Chainage > 20.001 {
			assert.InDelta(t, 20, s.Uncovered, 1e-6)
			assert.Zero(t, s.Cut)
		} else if s.Chainage < 19.999 {
			assert.Zero(t, s.Uncovered)
		}
	}
	assert.Positive(t, r.Prisms.UncoveredArea)
}

func TestSectionsOfOneAlignment(t *testing.T) {
	job := pit()
	job.Alignments = append(through(), takeoff.Alignment{Name: "across", Line: orb.LineString{{30, 0}, {30, 60}}})
	assert.Len(t, sections(t, job, takeoff.SectionsOptions{}).Alignments, 2)
	r := sections(t, job, takeoff.SectionsOptions{Alignment: "across", Interval: 2.5})
	require.Len(t, r.Alignments, 1)
	assert.Equal(t, "across", r.Alignments[0].Name)
	assert.Equal(t, 2.5, r.Alignments[0].Interval)
	assert.False(t, r.Alignments[0].Chosen)
}

// What is dug below formation, and filled back, stands beside cut and fill.
func TestSectionsBesideThickenings(t *testing.T) {
	job := pit()
	assert.NotContains(t, codes(sections(t, job, takeoff.SectionsOptions{}).Notes), "beside_sections")
	job.Pads[0].Thickenings = []takeoff.Thickening{{Name: "sump", Areas: orb.MultiPolygon{square(28, 28, 2)}, Depth: 1, From: "formation"}}
	r := sections(t, job, takeoff.SectionsOptions{})
	assert.Contains(t, codes(r.Notes), "beside_sections")
	assert.InEpsilon(t, 200, r.Prisms.Cut, 1e-12)
	assert.InEpsilon(t, 200, r.Alignments[0].Prismoidal.Cut, 1e-9)
}

func TestSectionsErrors(t *testing.T) {
	two := pit()
	two.Alignments = append(through(), takeoff.Alignment{Name: "across", Line: orb.LineString{{30, 0}, {30, 60}}})
	for _, tt := range []struct {
		name, code, key string
		opts            takeoff.SectionsOptions
		job             *takeoff.Job
	}{
		{"no such alignment", "no_alignment", "alignment", takeoff.SectionsOptions{Alignment: "axes"}, two},
		{"no alignment at all", "no_alignment", "alignment", takeoff.SectionsOptions{Alignment: "axis"}, pit()},
		{"interval below 0", "bad_value", "interval", takeoff.SectionsOptions{Interval: -1}, two},
		{"interval of none", "bad_value", "interval", takeoff.SectionsOptions{Interval: math.NaN()}, two},
		{"too fine", "too_many_sections", "alignment[0]", takeoff.SectionsOptions{Interval: 1e-6}, two},
		{"too fine for the long axis", "too_many_sections", "", takeoff.SectionsOptions{Interval: 1e-6}, pit()},
		{"too many of both", "too_many_sections", "alignment[1]", takeoff.SectionsOptions{Most: 5}, two},
		{"a line with more bends", "too_many_sections", "alignment[0]", takeoff.SectionsOptions{Most: 3}, func() *takeoff.Job {
			j := pit()
			j.Alignments = through()
			j.Alignments[0].Line = orb.LineString{{0, 30}, {10, 30}, {30, 31}, {60, 30}}
			return j
		}()},
		{"name twice", "duplicate_alignment_name", "alignment[1].name", takeoff.SectionsOptions{}, func() *takeoff.Job {
			j := pit()
			j.Alignments = append(through(), through()...)
			return j
		}()},
		{"interval that is none", "bad_value", "alignment[0].interval", takeoff.SectionsOptions{}, func() *takeoff.Job {
			j := pit()
			j.Alignments = through()
			j.Alignments[0].Interval = math.Inf(1)
			return j
		}()},
		{"no pad", "no_pad", "pad", takeoff.SectionsOptions{}, &takeoff.Job{Surveys: levelGround(1)}},
	} {
		_, err := takeoff.Sections(t.Context(), tt.job, tt.opts)
		e := inputError(t, err)
		assert.Equal(t, tt.code, e.Code, "%s: %v", tt.name, e)
		assert.Equal(t, tt.key, e.Key, tt.name)
		assert.NotEmpty(t, e.Hint, tt.name)
	}
}

func TestSectionsEndWithTheirContext(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	job := pit()
	_, err := takeoff.Sections(ctx, job, takeoff.SectionsOptions{Progress: func(stage string, _, _ int) {
		if stage == "cutting sections" {
			cancel()
		}
	}})
	assert.ErrorIs(t, err, context.Canceled)
}

// The order of the survey's points, and where an outline starts, change no bit.
func TestSectionsRepeatToTheBit(t *testing.T) {
	job := slopeJob()
	job.Pads[0].Cut.Along, job.Pads[0].Fill.Along = 1, 2
	want := sections(t, job, takeoff.SectionsOptions{})
	slices.Reverse(job.Surveys[0].Points)
	ring := job.Pads[0].Outline[0]
	job.Pads[0].Outline[0] = append(slices.Clone(ring[2:]), ring[:2]...)
	got := sections(t, job, takeoff.SectionsOptions{})
	assert.Equal(t, want.Alignments, got.Alignments)
	assert.Equal(t, want.Prisms, got.Prisms)
}

// The real site, in feet, with margin, batters and topsoil: sections and prisms come
// together as the interval falls.
func TestSectionsOnRealGround(t *testing.T) {
	job, err := takeoff.Load(t.Context(), os.DirFS("../../testdata/autzen-pad"), "job.toml", takeoff.Limits{})
	require.NoError(t, err)
	for _, tt := range []struct{ interval, endArea, prismoidal float64 }{{0, 4e-3, 6e-4}, {0.5, 2.5e-4, 1e-5}, {0.1, 5e-6, 1e-6}} {
		r := sections(t, job, takeoff.SectionsOptions{Interval: tt.interval})
		a := r.Alignments[0]
		for _, m := range []struct {
			of     takeoff.MethodVolumes
			within float64
		}{{a.EndArea, tt.endArea}, {a.Prismoidal, tt.prismoidal}} {
			t.Logf("every %v ft: cut %+.1e, fill %+.1e of %.1f and %.1f yd3", a.Interval, m.of.Cut/r.Prisms.Cut-1, m.of.Fill/r.Prisms.Fill-1, r.Prisms.Cut, r.Prisms.Fill)
			assert.InEpsilon(t, r.Prisms.Cut, m.of.Cut, m.within)
			assert.InEpsilon(t, r.Prisms.Fill, m.of.Fill, m.within)
		}
	}
}

// A ring of sections whose works go on past its beginning has all of them.
func TestSectionsRoundARing(t *testing.T) {
	job := inclined(tin.Metre, takeoff.Pad{Name: "ditch", Finished: 9, Outline: orb.Polygon{
		{{40, 40}, {120, 40}, {120, 120}, {40, 120}, {40, 40}}, {{46, 46}, {46, 114}, {114, 114}, {114, 46}, {46, 46}}}})
	job.Alignments = []takeoff.Alignment{{Name: "round", Line: orb.LineString{{83, 43}, {117, 43}, {117, 117}, {43, 117}, {43, 43}, {83, 43}}, Reach: 5, Interval: 7}}
	r, err := takeoff.Sections(t.Context(), job, takeoff.SectionsOptions{})
	require.NoError(t, err)
	assert.Empty(t, r.Warnings)
}
