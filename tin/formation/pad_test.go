package formation_test

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/formation"
)

func square(side float64) orb.Polygon {
	return orb.Polygon{{{0, 0}, {side, 0}, {side, side}, {0, side}, {0, 0}}}
}

func TestPadCheck(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	good := func() formation.Pad {
		return formation.Pad{Name: "store", Outline: square(10), Finished: 63.15, Layers: buildUp(0.175, 0.05)}
	}
	falling := func(f formation.Fall) func(p *formation.Pad) {
		return func(p *formation.Pad) { p.Fall = &f }
	}
	levels := func(l formation.Levels) func(p *formation.Pad) {
		return func(p *formation.Pad) { p.Levels, p.Finished = &l, nan }
	}
	four := [][]float64{{1, 2, 3, 4}}
	for _, c := range []struct {
		name    string
		change  func(p *formation.Pad)
		code    string // empty: good
		key     string
		message string
	}{
		{"level", func(*formation.Pad) {}, "", "", ""},
		{"no layers", func(p *formation.Pad) { p.Layers = nil }, "", "", ""},
		{"falling", falling(formation.Fall{Slope: 0.01, Bearing: 300}), "", "", ""},
		{"falling by nothing", falling(formation.Fall{}), "", "", ""},
		{"own levels", levels(formation.Levels{Outline: four}), "", "", ""},
		{"named corners", func(p *formation.Pad) { p.Corners = []string{"a", "b", "c", "d"} }, "", "", ""},

		{"finished NaN", func(p *formation.Pad) { p.Finished = nan }, formation.CodeBadLevel, "finished", `pad "store"`},
		{"finished infinite", func(p *formation.Pad) { p.Finished = inf }, formation.CodeBadLevel, "finished", "Inf"},
		{"layer of nothing", func(p *formation.Pad) { p.Layers[1].Thickness = 0 }, formation.CodeBadThickness, "layers[1].thickness", `layer "layer 2" of pad "store" is 0 m thick`},
		{"layer below nothing", func(p *formation.Pad) { p.Layers[0].Thickness = -0.1 }, formation.CodeBadThickness, "layers[0].thickness", "-0.1"},
		{"layer NaN", func(p *formation.Pad) { p.Layers[0].Thickness = nan }, formation.CodeBadThickness, "layers[0].thickness", "NaN"},
		{"layer infinite", func(p *formation.Pad) { p.Layers[0] = formation.Layer{Thickness: inf} }, formation.CodeBadThickness, "layers[0].thickness", "layer 1 of"},
		{"names too few", func(p *formation.Pad) { p.Corners = []string{"a", "b", "c"} }, formation.CodeCornerNames, "corners", "3 names for its 4 corners"},
		{"names too many", func(p *formation.Pad) { p.Corners = []string{"a", "b", "c", "d", "a"} }, formation.CodeCornerNames, "corners", "5 names for its 4 corners"},
		{"names repeated", func(p *formation.Pad) { p.Corners = []string{"a", "b", "a", "d"} }, formation.CodeCornerNames, "corners[2]", `corners 1 and 3 of pad "store" are both named "a"`},
		{"name taken by a number", func(p *formation.Pad) { p.Corners = []string{"2", "", "c", "d"} }, formation.CodeCornerNames, "corners[1]", "corners 1 and 2"},
		{"slope too steep", falling(formation.Fall{Slope: 1.25}), formation.CodeBadSlope, "fall.slope", "1.25"},
		{"slope below nothing", falling(formation.Fall{Slope: -0.01}), formation.CodeBadSlope, "fall.slope", "-0.01"},
		{"slope NaN", falling(formation.Fall{Slope: nan}), formation.CodeBadSlope, "fall.slope", "NaN"},
		{"bearing NaN", falling(formation.Fall{Bearing: nan}), formation.CodeBadBearing, "fall.bearing", `pad "store"`},
		{"bearing too great", falling(formation.Fall{Bearing: 361}), formation.CodeBadBearing, "fall.bearing", "361"},
		{"at NaN", falling(formation.Fall{At: orb.Point{0, nan}}), formation.CodeBadPoint, "fall.at", "(0, NaN)"},
		{"fall and levels", func(p *formation.Pad) {
			p.Fall, p.Levels = &formation.Fall{}, &formation.Levels{Outline: four}
		}, formation.CodeFallAndLevels, "fall", "both"},
		{"no levels", levels(formation.Levels{}), formation.CodeLevelsIncomplete, "levels.outline[0][0]", `no level at corner "1"`},
		{"a level short", levels(formation.Levels{Outline: [][]float64{{1, 2, 3}}}), formation.CodeLevelsIncomplete, "levels.outline[0][3]", `no level at corner "4"`},
		{"a level NaN", levels(formation.Levels{Outline: [][]float64{{1, nan, 3, 4}}}), formation.CodeLevelsIncomplete, "levels.outline[0][1]", `no level at corner "2"`},
		{"a level too many", levels(formation.Levels{Outline: [][]float64{{1, 2, 3, 4, 1}}}), formation.CodeLevelsIncomplete, "levels.outline[0]", "5 levels for the 4 corners of the outline"},
		{"a ring too many", levels(formation.Levels{Outline: [][]float64{{1, 2, 3, 4}, {1}}}), formation.CodeLevelsIncomplete, "levels.outline[1]", "2 rings, but its outline has 1"},
		{"hole without levels", func(p *formation.Pad) {
			p.Outline = append(p.Outline, orb.Ring{{2, 2}, {4, 2}, {4, 4}})
			levels(formation.Levels{Outline: four})(p)
		}, formation.CodeLevelsIncomplete, "levels.outline[1][0]", `"hole 1: 1"`},
		{"named corner without a level", func(p *formation.Pad) {
			p.Corners = []string{"P1", "P2", "P3", "P4"}
			levels(formation.Levels{Outline: [][]float64{{1, 2, nan, 4}}})(p)
		}, formation.CodeLevelsIncomplete, "levels.outline[0][2]", `no level at corner "P3"`},
		{"spot without a level", levels(formation.Levels{Outline: four, Spots: []tin.Point{{E: 1, N: 1, Level: 1}, {E: 2, N: 2, Level: nan, Name: "S7"}}}),
			formation.CodeLevelsIncomplete, "levels.spots[1]", `spot "S7"`},
		{"spot nowhere", levels(formation.Levels{Outline: four, Spots: []tin.Point{{E: nan, N: 1, Level: 1}}}),
			formation.CodeBadPoint, "levels.spots[0]", "spot 1"},
		{"line nowhere", levels(formation.Levels{Outline: four, Lines: []tin.Breakline{{Vertices: []tin.Point{{E: 1, N: 1, Level: 1}, {E: 2, N: inf, Level: 1}}}}}),
			formation.CodeBadPoint, "levels.lines[0][1]", "vertex 2 of line 1"},
		{"line without end", levels(formation.Levels{Outline: four, Lines: []tin.Breakline{{Name: "R", Vertices: []tin.Point{{E: 1, N: 1, Level: inf}}}}}),
			formation.CodeBadPoint, "levels.lines[0][0]", `vertex 1 of line "R"`},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := good()
			c.change(&p)
			err := p.Check()
			if c.code == "" {
				require.NoError(t, err)
				return
			}
			in := inputErr(t, err, c.code)
			assert.Equal(t, c.key, in.Key)
			assert.Contains(t, in.Message, c.message)
			_, err = p.Geometry()
			assert.Error(t, err)
		})
	}
}

func TestPadCheckOutline(t *testing.T) {
	for name, outline := range map[string]orb.Polygon{
		"none":           nil,
		"no corners":     {{}},
		"two corners":    {{{0, 0}, {1, 1}}},
		"sides cross":    {{{0, 0}, {10, 10}, {10, 0}, {0, 10}}},
		"flat":           {{{0, 0}, {10, 0}, {20, 0}}},
		"NaN":            {{{0, 0}, {10, 0}, {math.NaN(), 10}}},
		"hole outside":   {square(10)[0], {{20, 20}, {21, 20}, {21, 21}}},
		"hole touches":   {square(10)[0], {{0, 5}, {5, 5}, {5, 6}}},
		"corner twice":   {{{0, 0}, {10, 0}, {10, 10}, {0, 0}, {0, 10}}},
		"infinite":       {{{0, 0}, {math.Inf(1), 0}, {10, 10}}},
		"empty hole":     {square(10)[0], {}},
		"hole in a hole": {square(10)[0], {{1, 1}, {9, 1}, {9, 9}, {1, 9}}, {{3, 3}, {5, 3}, {5, 5}}},
	} {
		t.Run(name, func(t *testing.T) {
			err := formation.Pad{Name: "store", Outline: outline}.Check()
			var in *tin.InputError
			require.ErrorAs(t, err, &in)
			assert.Contains(t, in.Key, "outline")
			assert.Contains(t, in.Message, `pad "store"`)
		})
	}
}
