package formation_test

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin/formation"
)

func TestCheckMarginsAndBatters(t *testing.T) {
	number := func(x float64) *float64 { return &x }
	batter := func(b formation.Batter) *formation.Batter { return &b }
	edge := func(e ...formation.Edge) func(*formation.Pad) { return func(p *formation.Pad) { p.Edges = e } }
	for name, c := range map[string]struct {
		change    func(*formation.Pad)
		code, key string
	}{
		"margin below 0":     {func(p *formation.Pad) { p.Margin = -0.1 }, formation.CodeBadMargin, "margin"},
		"margin no number":   {func(p *formation.Pad) { p.Margin = math.NaN() }, formation.CodeBadMargin, "margin"},
		"margin endless":     {func(p *formation.Pad) { p.Margin = math.Inf(1) }, formation.CodeBadMargin, "margin"},
		"margin too far":     {func(p *formation.Pad) { p.Margin = 20000 }, formation.CodeBadMargin, "margin"},
		"cut below 0":        {func(p *formation.Pad) { p.Cut.Along = -1 }, formation.CodeBatterNumbers, "cut.along"},
		"fill no number":     {func(p *formation.Pad) { p.Fill.Along = math.NaN() }, formation.CodeBatterNumbers, "fill.along"},
		"berm without slope": {func(p *formation.Pad) { p.Cut = formation.Batter{Every: 2, Berm: 1} }, formation.CodeBatterNumbers, "cut.berm"},
		"berm without rise":  {func(p *formation.Pad) { p.Cut = formation.Batter{Along: 1, Berm: 1} }, formation.CodeBatterNumbers, "cut.berm"},
		"rise without berm":  {func(p *formation.Pad) { p.Cut = formation.Batter{Along: 1, Every: 1} }, formation.CodeBatterNumbers, "cut.berm"},
		"berms for ever": {func(p *formation.Pad) { p.Cut = formation.Batter{Along: 1, Every: 1e-9, Berm: 1} },
			formation.CodeBatterNumbers, "cut.every"},
		"no such corner":    {edge(formation.Edge{From: "A", To: "X"}), formation.CodeEdgeCorner, "edges[0].to"},
		"no corner 5":       {edge(formation.Edge{From: "5", To: "A"}), formation.CodeEdgeCorner, "edges[0].from"},
		"no corner +1":      {edge(formation.Edge{From: "+1", To: "B"}), formation.CodeEdgeCorner, "edges[0].from"},
		"from and to one":   {edge(formation.Edge{From: "A", To: "1"}), formation.CodeEdgeCorner, "edges[0].to"},
		"ruled twice":       {edge(formation.Edge{From: "A", To: "C"}, formation.Edge{From: "C", To: "B"}), formation.CodeEdgeTwice, "edges[1].from"},
		"edge margin":       {edge(formation.Edge{From: "A", To: "B", Margin: number(-1)}), formation.CodeBadMargin, "edges[0].margin"},
		"edge batter":       {edge(formation.Edge{From: "A", To: "B", Fill: batter(formation.Batter{Along: -1})}), formation.CodeBatterNumbers, "edges[0].fill.along"},
		"upright and a cut": {edge(formation.Edge{From: "A", To: "B", Upright: true, Cut: batter(formation.Batter{Along: 1})}), formation.CodeEdgeUpright, "edges[0].cut"},
	} {
		t.Run(name, func(t *testing.T) {
			p := formation.Pad{Name: "store", Outline: square(10), Corners: []string{"A", "B", "C", "D"}, Finished: 63}
			c.change(&p)
			assert.Equal(t, c.key, inputErr(t, p.Check(), c.code).Key)
		})
	}
}

// Which sides an edge rules, seen by their margin on the formation outline.
func TestEdgeSides(t *testing.T) {
	zero := 0.0
	for _, c := range []struct {
		from, to   string
		west, east bool // whether there is no margin there
		low, high  bool
	}{
		{"A", "B", false, false, true, false},
		{"B", "A", false, false, true, false},
		{"4", "1", true, false, false, false},
		{"1", "D", true, false, false, false},
		{"A", "C", false, true, true, false},
		{"C", "A", true, false, false, true},
		{"D", "B", true, false, true, false},
	} {
		p := formation.Pad{Outline: square(10), Corners: []string{"A", "B", "C", "D"}, Finished: 63, Margin: 1,
			Edges: []formation.Edge{{From: c.from, To: c.to, Margin: &zero}}}
		require.NoError(t, p.Check())
		b := corners(layPads(t, p).Outlines[0]).Bound()
		assert.Equal(t, []bool{c.west, c.east, c.low, c.high},
			[]bool{b.Min[0] == 0, b.Max[0] == 10, b.Min[1] == 0, b.Max[1] == 10}, "from %s to %s", c.from, c.to)
	}
}

func TestBatterNames(t *testing.T) {
	assert.Equal(t, "1V:1.5H", formation.Batter{Along: 1.5, Every: 3, Berm: 1}.String())
}

// From a corner to the one before it is one side, and may have been meant otherwise.
func TestEdgeBackwardsIsTold(t *testing.T) {
	lay := func(from, to string) *formation.Layout {
		l, err := formation.Lay(t.Context(), site(t, 0, 0, levelAll(10)), []formation.Pad{{
			Name: "store", Outline: orb.Polygon{{{-5, -5}, {5, -5}, {5, 5}, {-5, 5}}}, Finished: 9,
			Cut: formation.Batter{Along: 1}, Edges: []formation.Edge{{From: from, To: to, Upright: true}},
		}}, formation.Options{})
		require.NoError(t, err)
		return l
	}
	l := lay("1", "4")
	require.Len(t, l.Notes, 1)
	require.Equal(t, formation.CodeEdgeOneSide, l.Notes[0].Code)
	require.Contains(t, l.Notes[0].Message, `edges[0] of pad "store", from "1" to "4"`)
	require.Empty(t, lay("4", "1").Notes)
	require.Empty(t, lay("1", "3").Notes)
}
