package formation_test

import (
	"math"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/formation"
)

// field is a ground of 200 m by 200 m about (e, n), which falls to the east.
func field(t testing.TB, e, n float64) *tin.Surface {
	t.Helper()
	s, err := tin.FromPoints([]tin.Point{
		{E: e - 100, N: n - 100, Level: 65}, {E: e + 100, N: n - 100, Level: 63},
		{E: e + 103, N: n + 101, Level: 63}, {E: e - 97, N: n + 99, Level: 65},
	})
	require.NoError(t, err)
	return s
}

// area is the plan area of facets, volume the integral of their levels over it.
func area(facets []tin.Facet) (sum float64) {
	for _, f := range facets {
		sum += f.Cell.Area
	}
	return sum
}

func volume(facets []tin.Facet) (sum float64) {
	for _, f := range facets {
		c := f.Cell.Corner
		sum += f.Cell.Area * (f.Plane.LevelAt(c[0][0], c[0][1]) + f.Plane.LevelAt(c[1][0], c[1][1]) + f.Plane.LevelAt(c[2][0], c[2][1])) / 3
	}
	return sum
}

func moved(p orb.Polygon, e, n float64) orb.Polygon {
	p = p.Clone()
	for _, ring := range p {
		for i := range ring {
			ring[i][0] += e
			ring[i][1] += n
		}
	}
	return p
}

func codes(problems []tin.Problem) []string {
	var c []string
	for _, p := range problems {
		c = append(c, p.Code)
	}
	return c
}

func TestLayLevelPad(t *testing.T) {
	pad := formation.Pad{Name: "store", Outline: square(10), Finished: 63.15, Layers: buildUp(0.175, 0.05)}
	l, err := formation.Lay(t.Context(), field(t, 0, 0), []formation.Pad{pad}, formation.Options{})
	require.NoError(t, err)
	require.Len(t, l.Pads, 1)
	p := l.Pads[0]
	assert.Equal(t, pad, p.Pad)
	assert.Equal(t, 62.925, p.FormationLevel)
	assert.Equal(t, tin.LevelPlane(62.925), p.Plane)
	assert.InDelta(t, 100, area(p.Facets), 1e-12)
	for _, f := range p.Facets {
		assert.Equal(t, p.Plane, f.Plane)
		assert.True(t, f.Cell.Ground)
	}
	assert.Zero(t, p.DiagonalSpread)
	assert.Empty(t, l.Notes)
	assert.Empty(t, l.Warnings)
	g, err := pad.Geometry()
	require.NoError(t, err)
	assert.Equal(t, g, p.Geometry)
}

func TestLayFallingPad(t *testing.T) {
	// 1:80 down to the north from (5, 0): formation there 62.925, at N = 10 by 0.125 lower.
	slope, err := formation.ParseSlope("1:80")
	require.NoError(t, err)
	pad := formation.Pad{Outline: square(10), Finished: 63.15, Layers: buildUp(0.175, 0.05),
		Fall: &formation.Fall{Slope: slope, Bearing: 0, At: orb.Point{5, 0}}}
	l, err := formation.Lay(t.Context(), field(t, 0, 0), []formation.Pad{pad}, formation.Options{})
	require.NoError(t, err)
	p := l.Pads[0]
	assert.Equal(t, 62.925, p.FormationLevel)
	assert.Equal(t, 62.925, p.Plane.LevelAt(5, 0))
	assert.InDelta(t, 62.8, p.Plane.LevelAt(5, 10), 1e-12)
	assert.InDelta(t, 100*(62.925-0.0625), volume(p.Facets), 1e-9)
	assert.InDelta(t, 62.8, p.Geometry.Low.Formation, 1e-12)
}

func TestLayOverlap(t *testing.T) {
	pads := []formation.Pad{
		{Name: "store", Outline: square(10), Finished: 63},
		{Outline: moved(square(10), 6, 4), Finished: 64},
	}
	l, err := formation.Lay(t.Context(), field(t, 0, 0), pads, formation.Options{})
	require.NoError(t, err)
	assert.InDelta(t, 100-24, area(l.Pads[0].Facets), 1e-12)
	assert.InDelta(t, 100, area(l.Pads[1].Facets), 1e-12)
	assert.InDelta(t, 76*63+100*64, volume(l.Pads[0].Facets)+volume(l.Pads[1].Facets), 1e-9)
	require.Equal(t, []string{formation.CodePadsOverlap, formation.CodePadsStep}, codes(l.Notes))
	assert.Equal(t, `pad "store" and pad "2" overlap by 24.00 m2; the later, pad "2", rules there`, l.Notes[0].Message)
	assert.Equal(t, `pad "2" is up to 1.000 m above pad "store" where they meet, most at (6.000, 4.000)`, l.Notes[1].Message)
	at := *l.Notes[0].At
	assert.True(t, at[0] > 6 && at[0] < 10 && at[1] > 4 && at[1] < 10, "%v is not in the overlap", at)

	slices.Reverse(pads)
	l, err = formation.Lay(t.Context(), field(t, 0, 0), pads, formation.Options{})
	require.NoError(t, err)
	assert.InDelta(t, 100-24, area(l.Pads[0].Facets), 1e-12)
	assert.InDelta(t, 100, area(l.Pads[1].Facets), 1e-12)
}

func TestLayThreeOnTop(t *testing.T) {
	// Each 10 m square is 2 m on: strips of 10 by 2 each are taken, and the
	// last takes what all three hold from both.
	pads := []formation.Pad{
		{Name: "a", Outline: square(10), Finished: 1},
		{Name: "b", Outline: moved(square(10), 2, 0), Finished: 2},
		{Name: "c", Outline: moved(square(10), 4, 0), Finished: 3},
	}
	l, err := formation.Lay(t.Context(), field(t, 0, 0), pads, formation.Options{})
	require.NoError(t, err)
	for i, want := range []float64{20, 20, 100} {
		assert.InDelta(t, want, area(l.Pads[i].Facets), 1e-12)
	}
	var messages []string
	for _, n := range l.Notes {
		messages = append(messages, n.Message)
	}
	assert.Equal(t, []string{
		`pad "a" and pad "b" overlap by 20.00 m2; the later, pad "b", rules there`,
		`pad "a" and pad "c" overlap by 60.00 m2; the later, pad "c", rules there`,
		`pad "b" and pad "c" overlap by 80.00 m2; the later, pad "c", rules there`,
		`pad "b" is up to 1.000 m above pad "a" where they meet, most at (2.000, 0.000)`,
		`pad "c" is up to 1.000 m above pad "b" where they meet, most at (4.000, 0.000)`,
	}, messages)
}

func TestLayTouchingPads(t *testing.T) {
	slant, err := formation.Rectangle(orb.Point{3.3, 4.7}, 73.5, 24, 12)
	require.NoError(t, err)
	ring := slant[0]
	// The second lies along a part of the first's long side, from a third of it on.
	third := orb.Point{ring[0][0] + (ring[1][0]-ring[0][0])/3, ring[0][1] + (ring[1][1]-ring[0][1])/3}
	next, err := formation.Rectangle(third, 73.5-90, 5, 9)
	require.NoError(t, err)
	l, err := formation.Lay(t.Context(), field(t, 0, 0), []formation.Pad{{Outline: slant, Finished: 63}, {Outline: next, Finished: 63.1}}, formation.Options{})
	require.NoError(t, err)
	assert.Equal(t, []string{formation.CodePadsStep}, codes(l.Notes), "a shared side is no overlap")
	assert.InDelta(t, 24*12, area(l.Pads[0].Facets), 1e-9)
	assert.InDelta(t, 5*9, area(l.Pads[1].Facets), 1e-9)
}

func TestLayPadWithHole(t *testing.T) {
	outline := append(square(10), orb.Ring{{2, 3}, {6, 3}, {6, 5}, {2, 5}})
	pads := []formation.Pad{
		{Name: "yard", Outline: outline, Finished: 63},
		{Name: "pit", Outline: orb.Polygon{outline[1]}, Finished: 60},
	}
	l, err := formation.Lay(t.Context(), field(t, 0, 0), pads, formation.Options{})
	require.NoError(t, err)
	assert.Equal(t, []string{formation.CodePadsStep}, codes(l.Notes))
	assert.InDelta(t, 92, area(l.Pads[0].Facets), 1e-12)
	assert.InDelta(t, 8, area(l.Pads[1].Facets), 1e-12)
	for _, f := range l.Pads[0].Facets {
		c := f.Cell.Corner
		e, n := (c[0][0]+c[1][0]+c[2][0])/3, (c[0][1]+c[1][1]+c[2][1])/3
		assert.False(t, e > 2 && e < 6 && n > 3 && n < 5, "a facet at (%g, %g) is in the hole", e, n)
	}
}

// Pads that run off the survey keep all their facets: what has no ground is for
// the volume to report.
func TestLayOffTheGround(t *testing.T) {
	pads := []formation.Pad{{Outline: moved(square(10), 95, 0), Finished: 63}, {Outline: moved(square(10), 500, 0), Finished: 63}}
	l, err := formation.Lay(t.Context(), field(t, 0, 0), pads, formation.Options{})
	require.NoError(t, err)
	assert.InDelta(t, 100, area(l.Pads[0].Facets), 1e-12)
	assert.InDelta(t, 100, area(l.Pads[1].Facets), 1e-12)
}

func TestLayErrors(t *testing.T) {
	ground := field(t, 0, 0)
	good := formation.Pad{Name: "store", Outline: square(10), Finished: 63}
	_, err := formation.Lay(t.Context(), nil, []formation.Pad{good}, formation.Options{})
	assert.Equal(t, formation.CodeNoGround, inputErr(t, err, formation.CodeNoGround).Code)

	l, err := formation.Lay(t.Context(), ground, nil, formation.Options{})
	require.NoError(t, err)
	assert.Empty(t, l.Pads)

	nameless := good
	nameless.Name, nameless.Finished = "", math.NaN()
	_, err = formation.Lay(t.Context(), ground, []formation.Pad{good, nameless}, formation.Options{})
	in := inputErr(t, err, formation.CodeBadLevel)
	assert.Equal(t, "pad[1].finished", in.Key)
	assert.Contains(t, in.Message, `pad "2"`)

	_, err = formation.Lay(t.Context(), ground, []formation.Pad{good, {Name: "x", Outline: orb.Polygon{{{0, 0}, {1, 1}}}}}, formation.Options{})
	var e *tin.InputError
	require.ErrorAs(t, err, &e)
	assert.Equal(t, "pad[1].outline", e.Key)
}

// Start and direction of outlines change nothing, to the last bit.
func TestLayDoesNotDependOnStart(t *testing.T) {
	const e, n = 312540.0, 5812300.0
	ground := field(t, e, n)
	slant, err := formation.Rectangle(orb.Point{e, n}, 73.5, 24, 12)
	require.NoError(t, err)
	ring := slant[0][:4]
	ell := orb.Ring{{0, 0}, {20, 0}, {20, 8.5}, {8.1, 8.5}, {8.1, 15.3}, {0, 15.3}}
	for i := range ell {
		ell[i] = orb.Point{ell[i][0] + e - 3, ell[i][1] + n - 5}
	}
	levels := []float64{63.1, 63, 63.05, 62.95, 63.2, 63.15}
	lay := func(start int, reverse bool) *formation.Layout {
		turn := func(r orb.Ring) orb.Ring {
			r = append(slices.Clone(r[start%len(r):]), r[:start%len(r)]...)
			if reverse {
				slices.Reverse(r)
			}
			return r
		}
		own := append(slices.Clone(levels[start:]), levels[:start]...)
		if reverse {
			slices.Reverse(own)
		}
		l, err := formation.Lay(t.Context(), ground, []formation.Pad{
			{Outline: orb.Polygon{turn(ring)}, Finished: 63, Fall: &formation.Fall{Slope: 0.01, Bearing: 200, At: orb.Point{e, n}}},
			{Outline: orb.Polygon{turn(ell)}, Layers: buildUp(0.3), Levels: &formation.Levels{
				Outline: [][]float64{own},
				Spots:   []tin.Point{{E: e + 1, N: n + 0.3, Level: 63.4}},
				Lines: []tin.Breakline{{Vertices: []tin.Point{
					{E: ell[0][0], N: ell[0][1], Level: math.NaN()}, {E: e + 5, N: n + 1.1, Level: 62.9}}}},
			}},
		}, formation.Options{})
		require.NoError(t, err)
		return l
	}
	want := lay(0, false)
	require.Equal(t, []string{formation.CodePadsOverlap, formation.CodePadsStep}, codes(want.Notes))
	for start := range len(ell) {
		for _, reverse := range []bool{false, true} {
			got := lay(start, reverse)
			for i := range got.Pads {
				require.Len(t, got.Pads[i].Facets, len(want.Pads[i].Facets))
				for k, f := range got.Pads[i].Facets {
					w := want.Pads[i].Facets[k]
					require.Equal(t, w.Cell.Corner, f.Cell.Corner)
					require.Equal(t, w.Plane, f.Plane)
					require.Equal(t, w.Cell.Area, f.Cell.Area)
				}
				require.Equal(t, want.Pads[i].Geometry.Area, got.Pads[i].Geometry.Area)
			}
			require.Equal(t, want.Notes, got.Notes)
		}
	}
}
