package formation_test

import (
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin/formation"
)

func TestSideRules(t *testing.T) {
	margin := 0.3
	p := formation.Pad{Name: "p", Finished: 1, Margin: 1, Cut: formation.Batter{Along: 1}, Fill: formation.Batter{Along: 2},
		Outline: orb.Polygon{{{0, 0}, {8, 0}, {8, 8}, {0, 8}}, {{2, 2}, {4, 2}, {4, 4}}},
		Edges:   []formation.Edge{{From: "2", To: "3", Upright: true, Margin: &margin}}}
	rules, err := p.SideRules()
	require.NoError(t, err)
	all := formation.SideRule{Margin: 1, Cut: formation.Batter{Along: 1}, Fill: formation.Batter{Along: 2}}
	assert.Equal(t, [][]formation.SideRule{{all, {Margin: 0.3}, all, all}, {all, all, all}}, rules)
	p.Edges[0].From = "9"
	_, err = p.SideRules()
	require.Error(t, err)
}
