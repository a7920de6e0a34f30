package formation_test

import (
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/formation"
)

const foot = 0.3048

// inFeet makes an outline and levels of a job in feet into metres.
func inFeet(p orb.Polygon) orb.Polygon {
	p = p.Clone()
	for _, ring := range p {
		for i := range ring {
			ring[i] = orb.Point{ring[i][0] * foot, ring[i][1] * foot}
		}
	}
	return p
}

// Messages speak the unit of the job; areas and volumes are on the ground.
func TestMessagesInFeet(t *testing.T) {
	feet := formation.Options{Unit: tin.Foot, Scale: 0.5}
	ground := field(t, 0, 0)
	ring := inFeet(square(10))

	l, err := formation.Lay(t.Context(), ground, []formation.Pad{{Name: "a", Outline: ring}, {Name: "b", Outline: moved(ring, 4*foot, 0)}}, feet)
	require.NoError(t, err)
	require.Len(t, l.Notes, 1)
	assert.Contains(t, l.Notes[0].Message, "overlap by 240.00 ft2;", "60 square feet of the grid")

	// A square of 10 ft with levels 27, 0, 0, 0 holds 900 or 450 ft3.
	levels := [][]float64{{27 * foot, 0, 0, 0}}
	l, err = formation.Lay(t.Context(), ground, []formation.Pad{{Name: "a", Outline: ring, Levels: &formation.Levels{Outline: levels}}}, feet)
	require.NoError(t, err)
	require.Len(t, l.Notes, 1)
	assert.Contains(t, l.Notes[0].Message, "by up to 66.67 yd3;", "450 ft3 of the grid, four times that on the ground")

	fail := func(p formation.Pad) string {
		p.Name, p.Outline = "a", ring
		_, err := formation.Lay(t.Context(), ground, []formation.Pad{p}, feet)
		require.Error(t, err)
		return err.Error()
	}
	own := func(spots ...tin.Point) formation.Pad {
		return formation.Pad{Levels: &formation.Levels{Outline: [][]float64{{foot, foot, foot, foot}}, Spots: spots}}
	}
	assert.Contains(t, fail(own(tin.Point{E: 11 * foot, N: 5 * foot, Level: foot})), "at (11.000, 5.000) is outside")
	assert.Contains(t, fail(own(tin.Point{E: 5 * foot, N: 0, Level: 1.25 * foot})), "0.250 ft off the level between them (over 0.0656 ft)")
	assert.Contains(t, fail(own(tin.Point{E: 0, N: 0, Level: 2 * foot})), "1 ft away in level")
	assert.Contains(t, fail(formation.Pad{Layers: formation.BuildUp{{Name: "slab", Thickness: -2 * foot}}}), `layer "slab" of pad "a" is -2 ft thick`)
}

// A drawing of 100 ft on a grid drawn out by 1.01.
func TestPlanToSiteInFeet(t *testing.T) {
	plan, site := [2]orb.Point{{0, 0}, {100, 0}}, [2]orb.Point{{1000, 2000}, {1000, 2101}}
	move, err := formation.NewPlanToSite(plan, site, tin.Foot, 1.01)
	require.NoError(t, err)
	assert.InDelta(t, 0, move.Misfit(), 1e-12)
	got := move.Apply(orb.Point{10, 20})
	assert.InDelta(t, 1000-20.2, got[0], 1e-9)
	assert.InDelta(t, 2010.1, got[1], 1e-9)

	site[1][1] += 0.06 // 0.0594 ft on the ground
	_, err = formation.NewPlanToSite(plan, site, tin.Foot, 1.01)
	assert.NoError(t, err)
	site[1][1] += 0.01
	_, err = formation.NewPlanToSite(plan, site, tin.Foot, 1.01)
	assert.Contains(t, inputErr(t, err, formation.CodePlanToSiteLength).Message,
		"100.000 ft apart on the plan and 100.069 ft on the site, a difference of 0.069 ft (over 0.0656 ft)")

	var none *formation.PlanToSite
	assert.Equal(t, orb.Point{1, 2}, none.Apply(orb.Point{1, 2}))
}

func TestCheckMarksInFeet(t *testing.T) {
	marks := []formation.Mark{{Name: "A", Plan: 12, Measured: 12.03}, {Plan: 12, Measured: 11.9}}
	got := formation.CheckMarks(0, marks, 0, tin.Foot) // 10 mm are 0.0328 ft
	require.Len(t, got, 1)
	assert.Equal(t, "check mark 2 comes out 0.1 ft LOW: at 11.900, and at 12.000 in the plans (tolerance 0.0328)", got[0].Message)
}
