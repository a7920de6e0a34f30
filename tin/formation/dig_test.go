package formation_test

import (
	"context"
	"math"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/formation"
)

// site is spots two metres apart over a square of 80 m round (e, n).
func site(t testing.TB, e, n float64, level func(x, y float64) float64) *tin.Surface {
	t.Helper()
	var points []tin.Point
	for x := -40.0; x <= 40; x += 2 {
		for y := -40.0; y <= 40; y += 2 {
			points = append(points, tin.Point{E: e + x, N: n + y, Level: level(x, y)})
		}
	}
	s, err := tin.Build(context.Background(), []tin.Source{{Points: points}}, tin.Options{})
	require.NoError(t, err)
	return s
}

// dig lays out pads and finds their batters.
func digOut(t testing.TB, ground *tin.Surface, opts formation.Options, pads ...formation.Pad) *formation.Dig {
	t.Helper()
	l, err := formation.Lay(t.Context(), ground, pads, opts)
	require.NoError(t, err)
	d, err := l.Dig(context.Background(), ground, opts)
	require.NoError(t, err)
	return d
}

// dug is the volume under the faces of a pad, cut positive.
func dugUnder(ground *tin.Surface, p formation.PadDig) (sum float64) {
	for _, f := range p.Faces {
		a := f.Corner[0]
		for i := 2; i < len(f.Corner); i++ {
			b, c := f.Corner[i-1], f.Corner[i]
			area := ((b.X-a.X)*(c.Y-a.Y) - (b.Y-a.Y)*(c.X-a.X)) / 2 * ground.Frame().Area()
			sum += area * (a.Ground - a.Face + b.Ground - b.Face + c.Ground - c.Face) / 3
		}
	}
	return sum
}

func boxRound(e, n, half float64) orb.Polygon {
	return orb.Polygon{{{e - half, n - half}, {e + half, n - half}, {e + half, n + half}, {e - half, n + half}}}
}

func levelAll(z float64) func(x, y float64) float64 { return func(x, y float64) float64 { return z } }

// Round a square of 10 m, d deep at 1V:nH: prisms along the sides and a whole cone.
func TestDigIsPrismsAndACone(t *testing.T) {
	for _, off := range []orb.Point{{0, 0}, {312540, 5812300}} {
		for _, z := range []float64{3, -2} {
			d := digOut(t, site(t, off[0], off[1], levelAll(z)), formation.Options{},
				formation.Pad{Outline: boxRound(off[0], off[1], 5), Cut: formation.Batter{Along: 1.5}, Fill: formation.Batter{Along: 2}})
			n := 1.5
			if z < 0 {
				n = 2
			}
			want := 40*n*z*z/2 + math.Pi*n*n*math.Abs(z*z*z)/3
			got := math.Abs(dugUnder(site(t, off[0], off[1], levelAll(z)), d.Pads[0]))
			assert.GreaterOrEqual(t, got, want*(1-1e-9))
			assert.LessOrEqual(t, got, want*(1+1e-9)+d.Bound)
			assert.Less(t, d.Bound, 1.01e-6*want)
			assert.Positive(t, d.Angle)
			assert.Empty(t, d.Notes)
			assert.Empty(t, d.Warnings)
		}
	}
}

func TestDigWithoutBattersFindsNothing(t *testing.T) {
	d := digOut(t, site(t, 0, 0, levelAll(3)), formation.Options{}, formation.Pad{Outline: boxRound(0, 0, 5)})
	assert.Equal(t, make([]formation.PadDig, 1), d.Pads)
	assert.Zero(t, d.Bound)
	assert.Zero(t, d.Angle)
	assert.Empty(t, append(d.Notes, d.Warnings...))
}

func TestDigEndsWithItsContext(t *testing.T) {
	ground := site(t, 0, 0, levelAll(3))
	l, err := formation.Lay(t.Context(), ground, []formation.Pad{{Outline: boxRound(0, 0, 5), Cut: formation.Batter{Along: 1}}}, formation.Options{})
	require.NoError(t, err)
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	_, err = l.Dig(ctx, ground, formation.Options{})
	require.ErrorIs(t, err, context.Canceled)
}

// Topsoil comes off before: everywhere, but for areas with a depth of their own.
func TestDigIsFromStrippedGround(t *testing.T) {
	ground, pad := site(t, 0, 0, levelAll(3)), formation.Pad{Outline: boxRound(0, 0, 5), Cut: formation.Batter{Along: 1}}
	want := dugUnder(ground, digOut(t, site(t, 0, 0, levelAll(2.5)), formation.Options{}, pad).Pads[0])
	for _, soil := range []formation.Topsoil{
		{Depth: 0.5},
		{Depth: 0.1, Areas: []formation.TopsoilArea{{boxRound(0, 0, 35), 0.25}, {boxRound(0, 0, 30), 0.5}}},
	} {
		d := digOut(t, ground, formation.Options{Topsoil: soil}, pad)
		assert.InEpsilon(t, want, dugUnder(ground, d.Pads[0]), 1e-9)
		for _, f := range d.Pads[0].Faces {
			require.Equal(t, 0.5, f.Topsoil)
		}
	}
}

func TestDigTellsWhatItFound(t *testing.T) {
	one := formation.Batter{Along: 1}
	steep := formation.Pad{Outline: boxRound(0, 0, 5), Cut: one, Fill: one, Levels: &formation.Levels{Outline: [][]float64{{0, 0, 14, 14}}}}
	for _, c := range []struct {
		code, text string
		ground     func(x, y float64) float64
		pads       []formation.Pad
	}{
		// To 45 m from the outline: all 80 m of the rim beside it, and of each rim 39 m off
		// sqrt(45^2 - 39^2) + 3 m.
		{formation.CodeOpenBatter, `pad "1" reach the end of the surveyed ground along 130.9 m`, levelAll(3),
			[]formation.Pad{{Outline: boxRound(38, 0, 1), Cut: formation.Batter{Along: 15}}}},
		{formation.CodeWorksClash, `cut batter of pad "1" and the fill batter of pad "2" run into each other over `, levelAll(3),
			[]formation.Pad{{Outline: boxRound(-8, 0, 5), Cut: one}, {Outline: boxRound(8, 0, 5), Finished: 6, Fill: formation.Batter{Along: 2}}}},
		{formation.CodeSteepFormation, "stands 4.000 m above the batter that rises from its outline", levelAll(3), []formation.Pad{steep}},
		{formation.CodePadOnBatter, `pad "2" stands up to 3.00 m above the cut batter of pad "1"`, levelAll(10),
			[]formation.Pad{{Outline: boxRound(-8, 0, 5), Cut: one}, {Outline: boxRound(6, 0, 5), Finished: 7}}},
	} {
		t.Run(c.code, func(t *testing.T) {
			d := digOut(t, site(t, 0, 0, c.ground), formation.Options{}, c.pads...)
			i := slices.IndexFunc(d.Warnings, func(p tin.Problem) bool { return p.Code == c.code })
			require.GreaterOrEqual(t, i, 0, "%v", d.Warnings)
			assert.Contains(t, d.Warnings[i].Message, c.text)
			assert.NotNil(t, d.Warnings[i].At)
		})
	}
}

// Where an outline starts, and which way round it runs, changes no bit.
func TestDigDoesNotDependOnStart(t *testing.T) {
	const e, n = 312540.0, 5812300.0
	ground := site(t, e, n, func(x, y float64) float64 { return 64 + math.Sin(x/7) + math.Cos(y/9) })
	ell := orb.Ring{{-6, -7}, {9, -5.3}, {9.2, 3}, {1, 2.5}, {0.7, 8.1}, {-6, 8}}
	levels := []float64{63.1, 63, 64.05, 63.95, 65.2, 64.15}
	lay := func(start int, reverse bool) *formation.Dig {
		var ring, hole orb.Ring
		var names []string
		var own []float64
		for i := range ell {
			k := (start + i) % len(ell)
			if reverse {
				k = (start + len(ell) - i) % len(ell)
			}
			ring, names = append(ring, orb.Point{ell[k][0] + e, ell[k][1] + n}), append(names, string(rune('A'+k)))
			own = append(own, levels[k])
		}
		for i := range 3 {
			hole = append(hole, []orb.Point{{e + 15, n - 12}, {e + 16, n - 9}, {e + 18, n - 11}}[(start+i)%3])
		}
		if reverse {
			slices.Reverse(hole)
		}
		return digOut(t, ground, formation.Options{Topsoil: formation.Topsoil{Depth: 0.2}},
			formation.Pad{Outline: orb.Polygon{ring}, Corners: names, Levels: &formation.Levels{Outline: [][]float64{own}}, Margin: 0.6,
				Cut: formation.Batter{Along: 1}, Fill: formation.Batter{Along: 2},
				Edges: []formation.Edge{{From: "B", To: "C", Cut: &formation.Batter{Along: 2}}, {From: "D", To: "E", Upright: true}}},
			formation.Pad{Outline: orb.Polygon{boxRound(e+16, n-10, 6)[0], hole}, Finished: 62.5,
				Cut: formation.Batter{Along: 1.5, Every: 0.5, Berm: 0.4}, Fill: formation.Batter{Along: 2}})
	}
	want := lay(0, false)
	require.NotEmpty(t, want.Pads[0].Faces)
	require.NotEmpty(t, want.Pads[1].Faces)
	for start := range len(ell) {
		for _, reverse := range []bool{false, true} {
			got := lay(start, reverse)
			require.Equal(t, want.Pads, got.Pads, "from corner %d, reversed %v", start, reverse)
			require.Equal(t, []any{want.Bound, want.Angle, want.Outline, want.Notes, want.Warnings},
				[]any{got.Bound, got.Angle, got.Outline, got.Notes, got.Warnings}, "from corner %d, reversed %v", start, reverse)
		}
	}
}
