package formation_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/formation"
)

func layOne(t *testing.T, p formation.Pad) *formation.Layout {
	t.Helper()
	at := orb.Point{}
	if len(p.Outline) > 0 && len(p.Outline[0]) > 0 {
		at = orb.Point{math.Round(p.Outline[0][0][0]), math.Round(p.Outline[0][0][1])}
	}
	l, err := formation.Lay(t.Context(), field(t, at[0], at[1]), []formation.Pad{p}, formation.Options{})
	require.NoError(t, err)
	return l
}

// A pad whose levels lie on a plane is the falling pad on that plane.
func TestOwnLevelsOnAPlane(t *testing.T) {
	const e, n = 312540.0, 5812300.0
	outline := orb.Polygon{
		{{e, n}, {e + 20, n}, {e + 20, n + 8}, {e + 9, n + 8}, {e + 9, n + 15}, {e, n + 15}},
		{{e + 3, n + 3}, {e + 6, n + 3}, {e + 6, n + 6}},
	}
	fall := formation.Fall{Slope: 0.0125, Bearing: 250, At: orb.Point{e + 4, n + 1}}
	falling := formation.Pad{Outline: outline, Finished: 63.15, Layers: buildUp(0.175, 0.05), Fall: &fall}
	plane := tin.FallingPlane(fall.At, 63.15, fall.Slope, fall.Bearing)
	levels := formation.Levels{Spots: []tin.Point{{E: e + 12, N: n + 4, Level: plane.LevelAt(e+12, n+4)}}}
	for _, ring := range outline {
		var l []float64
		for _, v := range ring {
			l = append(l, plane.LevelAt(v[0], v[1]))
		}
		levels.Outline = append(levels.Outline, l)
	}
	own := formation.Pad{Outline: outline, Finished: math.NaN(), Layers: falling.Layers, Levels: &levels}

	want, got := layOne(t, falling).Pads[0], layOne(t, own).Pads[0]
	assert.True(t, math.IsNaN(got.FormationLevel))
	assert.Zero(t, got.Plane)
	assert.Zero(t, got.DiagonalSpread)
	assert.Greater(t, len(got.Facets), 4)
	assert.InDelta(t, want.Geometry.Area, area(got.Facets), 1e-9)
	assert.InDelta(t, volume(want.Facets), volume(got.Facets), 1e-9)
	for _, f := range got.Facets {
		assert.InDelta(t, want.Plane.Gradient[0], f.Plane.Gradient[0], 1e-12)
		assert.InDelta(t, want.Plane.Gradient[1], f.Plane.Gradient[1], 1e-12)
		assert.InDelta(t, want.Plane.LevelAt(e, n), f.Plane.LevelAt(e, n), 1e-11)
	}
	assert.InDelta(t, want.Geometry.High.Formation, got.Geometry.High.Formation, 1e-12)
	assert.InDelta(t, want.Geometry.Low.Formation, got.Geometry.Low.Formation, 1e-12)
}

// A square of 10 m with levels 1, 0, 0, 0 holds 33.33 or 16.67 m3, as the
// diagonal goes: closed form, a pyramid on one triangle or on both.
func TestTiedLevels(t *testing.T) {
	pad := formation.Pad{Name: "ramp", Outline: square(10), Levels: &formation.Levels{Outline: [][]float64{{1, 0, 0, 0}}}}
	l := layOne(t, pad)
	require.Equal(t, []string{formation.CodeTiedLevels}, codes(l.Notes))
	assert.Contains(t, l.Notes[0].Message, `pad "ramp": in one place`)
	assert.Contains(t, l.Notes[0].Message, "16.67 m3")
	assert.InDelta(t, 5, l.Notes[0].At[0], 1e-12)
	assert.InDelta(t, 5, l.Notes[0].At[1], 1e-12)
	p := l.Pads[0]
	assert.InDelta(t, 100.0/6, p.DiagonalSpread, 1e-12)
	// The greatest corner by coordinates, (10, 10), is not on the diagonal.
	assert.InDelta(t, 100.0/6, volume(p.Facets), 1e-12)

	pad.Levels.Outline[0] = []float64{0, 1, 0, 0}
	assert.InDelta(t, 100.0/3, volume(layOne(t, pad).Pads[0].Facets), 1e-12)

	// A line along a diagonal settles it.
	for _, c := range []struct {
		a, b orb.Point
		want float64
	}{{orb.Point{10, 0}, orb.Point{0, 10}, 100.0 / 6}, {orb.Point{0, 0}, orb.Point{10, 10}, 100.0 / 3}} {
		pad.Levels.Outline[0] = []float64{1, 0, 0, 0}
		pad.Levels.Lines = []tin.Breakline{{Vertices: []tin.Point{
			{E: c.a[0], N: c.a[1], Level: math.NaN()}, {E: c.b[0], N: c.b[1], Level: math.NaN()},
		}}}
		l := layOne(t, pad)
		assert.Empty(t, l.Notes)
		assert.Zero(t, l.Pads[0].DiagonalSpread)
		assert.InDelta(t, c.want, volume(l.Pads[0].Facets), 1e-12)
	}

	// Four levels in a plane are no tie.
	pad.Levels = &formation.Levels{Outline: [][]float64{{1, 0, 0, 1}}}
	l = layOne(t, pad)
	assert.Empty(t, l.Notes)
	assert.InDelta(t, 50, volume(l.Pads[0].Facets), 1e-12)
}

// Ties outside the outline, in a bay or a hole, are not the pad's.
func TestTiedLevelsOutside(t *testing.T) {
	// A U, whose bay is a square with four tied corners, and a square hole.
	u := orb.Polygon{{{0, 0}, {30, 0}, {30, 20}, {20, 20}, {20, 10}, {10, 10}, {10, 20}, {0, 20}}}
	ring := append(square(30), orb.Ring{{10, 12}, {20, 12}, {20, 22}, {10, 22}})
	for _, p := range []formation.Pad{
		{Outline: u, Levels: &formation.Levels{Outline: [][]float64{{0, 0, 0, 0, 0, 1, 0, 0}}}},
		{Outline: ring, Levels: &formation.Levels{Outline: [][]float64{{0, 0, 0, 0}, {1, 0, 0, 0}}}},
	} {
		var points []tin.Point
		for r, ring := range p.Outline {
			for i, v := range p.Levels.Outline[r] {
				points = append(points, tin.Point{E: ring[i][0], N: ring[i][1], Level: v})
			}
		}
		all, err := tin.FromPoints(points)
		require.NoError(t, err)
		outside := 0
		for _, tie := range all.Ties() {
			if len(tie.Corners) == 4 && math.Abs(tie.Corners[0].E-tie.Corners[2].E) == 10 && math.Abs(tie.Spread-100.0/6) < 1e-9 {
				outside++
			}
		}
		require.Equal(t, 1, outside, "no tie outside, and this test shows nothing")
		l := layOne(t, p)
		inside := 0.0
		for _, tie := range all.Ties() {
			inside += tie.Spread
		}
		assert.InDelta(t, inside-100.0/6, l.Pads[0].DiagonalSpread, 1e-9)
		assert.InDelta(t, l.Pads[0].Geometry.Area, area(l.Pads[0].Facets), 1e-9)
	}
}

// Convex outlines with spots: the facets are the ground's own rules over the
// same points.
func TestOwnLevelsFollowTheGroundsRules(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 8))
	for round := range 20 {
		const e, n = 4000.0, 7000.0
		k := 3 + r.IntN(6)
		p := formation.Pad{Levels: &formation.Levels{Outline: [][]float64{nil}}}
		var ring orb.Ring
		var points []tin.Point
		for i := range k {
			sin, cos := math.Sincos(2 * math.Pi * (float64(i) + 0.3*r.Float64()) / float64(k))
			v := tin.Point{E: e + 30*cos, N: n + 30*sin, Level: 60 + r.Float64()}
			ring = append(ring, orb.Point{v.E, v.N})
			p.Levels.Outline[0] = append(p.Levels.Outline[0], v.Level)
			points = append(points, v)
		}
		for range r.IntN(12) {
			sin, cos := math.Sincos(2 * math.Pi * r.Float64())
			d := 6 * r.Float64()
			v := tin.Point{E: e + d*cos, N: n + d*sin, Level: 60 + r.Float64()}
			p.Levels.Spots = append(p.Levels.Spots, v)
			points = append(points, v)
		}
		p.Outline = orb.Polygon{ring}
		want, err := tin.FromPoints(points)
		require.NoError(t, err)
		l := layOne(t, p)
		assert.InDelta(t, l.Pads[0].Geometry.Area, area(l.Pads[0].Facets), 1e-9)
		for _, f := range l.Pads[0].Facets {
			c := f.Cell.Corner
			at := orb.Point{(c[0][0] + c[1][0] + c[2][0]) / 3, (c[0][1] + c[1][1] + c[2][1]) / 3}
			level, ok := want.LevelAt(at[0], at[1])
			if ok {
				require.InDelta(t, level, f.Plane.LevelAt(at[0], at[1]), 1e-9, "round %d", round)
			}
		}
	}
}

func TestOwnLevelsAreFinishedLevels(t *testing.T) {
	p := formation.Pad{Outline: square(10), Layers: buildUp(0.175, 0.05), Levels: &formation.Levels{
		Outline: [][]float64{{63.15, 63.15, 63.15, 63.15}},
		Spots:   []tin.Point{{E: 5, N: 5, Level: 63.15}},
	}}
	l := layOne(t, p)
	require.NotEmpty(t, l.Pads[0].Facets)
	for _, f := range l.Pads[0].Facets {
		assert.Equal(t, 62.925, f.Plane.LevelAt(5, 5))
		assert.True(t, f.Plane.IsLevel())
	}
	assert.Equal(t, 62.925, l.Pads[0].Geometry.Corners[3].Formation)
}

// A ridge from side to side, and a spot where the rounding of coordinates puts
// it beside a slanting side: both count on the side.
func TestOwnLevelsOnASide(t *testing.T) {
	for _, corner := range []orb.Point{{0, 0}, {312540.3, 5812300.9}} {
		for _, bearing := range []float64{0, 30, 73.5, 200} {
			outline, err := formation.Rectangle(corner, bearing, 30, 10)
			require.NoError(t, err)
			ring := outline[0]
			for k := 1; k < 8; k++ {
				s := float64(k) / 8
				a := orb.Point{ring[0][0] + (ring[1][0]-ring[0][0])*s, ring[0][1] + (ring[1][1]-ring[0][1])*s}
				b := orb.Point{ring[3][0] + (ring[2][0]-ring[3][0])*s, ring[3][1] + (ring[2][1]-ring[3][1])*s}
				p := formation.Pad{Outline: outline, Levels: &formation.Levels{
					Outline: [][]float64{{5, 5, 5, 5}},
					Lines:   []tin.Breakline{{Vertices: []tin.Point{{E: a[0], N: a[1], Level: 5.015}, {E: b[0], N: b[1], Level: 5.015}}}},
				}}
				l := layOne(t, p)
				// Two wedges with their ridge 0.015 up: half of it on average.
				assert.InDelta(t, 300*5+300*0.0075, volume(l.Pads[0].Facets), 1e-6, "bearing %g, place %d", bearing, k)
				assert.InDelta(t, 300, area(l.Pads[0].Facets), 1e-7)
			}
		}
	}
}

func TestOwnLevelsErrors(t *testing.T) {
	nan := math.NaN()
	line := func(v ...tin.Point) []tin.Breakline { return []tin.Breakline{{Vertices: v}} }
	for _, c := range []struct {
		name      string
		levels    formation.Levels
		code, key string
		message   string
	}{
		{"incomplete", formation.Levels{Outline: [][]float64{{1, nan, 1, 1}}},
			formation.CodeLevelsIncomplete, "pad[0].levels.outline[0][1]", `pad "ramp" has no level at corner "2"`},
		{"spot outside", formation.Levels{Spots: []tin.Point{{E: 5, N: 5, Level: 1}, {E: 10.00001, N: 5, Level: 1, Name: "S2"}}},
			formation.CodeOutsideOutline, "pad[0].levels.spots[1]", `spot "S2" of pad "ramp" at (10.000, 5.000) is outside`},
		{"line outside", formation.Levels{Lines: line(tin.Point{E: 5, N: 5, Level: 1}, tin.Point{E: 5, N: 11, Level: 1})},
			formation.CodeOutsideOutline, "pad[0].levels.lines[0][1]", "vertex 2 of line 1"},
		{"spot off its side", formation.Levels{Spots: []tin.Point{{E: 5, N: 0, Level: 1.021}}},
			formation.CodeLevelsDisagree, "pad[0].levels.spots[0]", `the side between corners "1" and "2", 0.021 m off`},
		{"spot off its corner", formation.Levels{Spots: []tin.Point{{E: 10, N: 1e-9, Level: 1.5}}},
			formation.CodeLevelsDisagree, "pad[0].levels.spots[0]", `spot 1 of pad "ramp" is at the same place as corner "2", 0.5 m`},
		{"two spots at one place", formation.Levels{Spots: []tin.Point{{E: 5, N: 5, Level: 1}, {E: 5, N: 5, Level: 1.001}}},
			formation.CodeLevelsDisagree, "pad[0].levels.spots[1]", "same place as spot 1, 0.001 m"},
		{"line vertex without level", formation.Levels{Lines: line(tin.Point{E: 5, N: 5, Level: 1}, tin.Point{E: 6, N: 6, Level: nan})},
			formation.CodeLevelsIncomplete, "pad[0].levels.lines[0][1]", "vertex 2 of line 1"},
		{"lines that disagree", formation.Levels{Lines: []tin.Breakline{
			{Name: "R1", Vertices: []tin.Point{{E: 2, N: 2, Level: 1}, {E: 8, N: 8, Level: 1}}},
			{Vertices: []tin.Point{{E: 2, N: 8, Level: 2}, {E: 8, N: 2, Level: 2}}}}},
			"crossing_levels", "pad[0].levels", "R1"},
		{"line of one vertex", formation.Levels{Lines: line(tin.Point{E: 5, N: 5, Level: 1})},
			"breakline_short", "pad[0].levels", "line 1"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if c.levels.Outline == nil {
				c.levels.Outline = [][]float64{{1, 1, 1, 1}}
			}
			_, err := formation.Lay(t.Context(), field(t, 0, 0), []formation.Pad{{Name: "ramp", Outline: square(10), Levels: &c.levels}}, formation.Options{})
			in := inputErr(t, err, c.code)
			assert.Equal(t, c.key, in.Key)
			assert.Contains(t, in.Message, c.message)
			assert.NotContains(t, in.Hint, "tolerance")
		})
	}
}

// Spots given twice at one level, corners repeated at once, and lines over
// spots are all the same surface.
func TestOwnLevelsRepeated(t *testing.T) {
	p := formation.Pad{Outline: orb.Polygon{{{0, 0}, {10, 0}, {10, 0}, {10, 10}, {0, 10}}}, Levels: &formation.Levels{
		Outline: [][]float64{{1, 2, 2, 3, 4}},
		Spots:   []tin.Point{{E: 4, N: 5, Level: 6}, {E: 4, N: 5, Level: 6}, {E: 0, N: 10, Level: 4}, {E: 5, N: 0, Level: 1.5}, {E: 5, N: 0, Level: 1.5}},
		Lines: []tin.Breakline{{Vertices: []tin.Point{{E: 5, N: 0, Level: 1.5}, {E: 4, N: 5, Level: math.NaN()}, {E: 10, N: 10, Level: math.NaN()}}},
			{Vertices: []tin.Point{{E: 5, N: 0, Level: math.NaN()}, {E: 10, N: 0, Level: 2}}}},
	}}
	l := layOne(t, p)
	assert.Empty(t, l.Notes)
	assert.Equal(t, 100.0, l.Pads[0].Geometry.Area)
	assert.Equal(t, 40.0, l.Pads[0].Geometry.Perimeter)
	assert.InDelta(t, 100, area(l.Pads[0].Facets), 1e-12)
}

// Two pads with levels of their own that overlap: each rules with its own
// triangles.
func TestOwnLevelsOverlap(t *testing.T) {
	a := formation.Pad{Name: "a", Outline: square(10), Levels: &formation.Levels{
		Outline: [][]float64{{0, 0, 0, 0}}, Spots: []tin.Point{{E: 5, N: 5, Level: 3}}}}
	b := formation.Pad{Name: "b", Outline: moved(square(10), 5, 0), Levels: &formation.Levels{
		Outline: [][]float64{{0, 0, 0, 0}}, Spots: []tin.Point{{E: 10, N: 5, Level: 3}}}}
	l, err := formation.Lay(t.Context(), field(t, 0, 0), []formation.Pad{a, b}, formation.Options{})
	require.NoError(t, err)
	// Pyramids of 100 m3; the half of the first that is left is half of it.
	assert.InDelta(t, 50, volume(l.Pads[0].Facets), 1e-9)
	assert.InDelta(t, 100, volume(l.Pads[1].Facets), 1e-9)
	assert.Equal(t, []string{formation.CodePadsOverlap, formation.CodePadsStep}, codes(l.Notes))
}

func FuzzLay(f *testing.F) {
	f.Add([]byte{0, 0, 9, 0, 9, 9, 0, 9}, []byte{1, 2, 3, 4}, []byte{5, 5, 1, 2, 3, 4})
	f.Add([]byte{0, 0, 9, 0, 9, 3, 4, 3, 4, 9, 0, 9}, []byte{1, 2, 3, 4, 1, 2}, []byte{1, 1, 7, 3, 3, 1, 8, 2, 2})
	f.Add([]byte{0, 0, 9, 0, 9, 9, 5, 2, 0, 9}, []byte{1, 0, 1, 0, 1}, []byte{1, 3, 0, 8, 4, 0})
	// Found by fuzzing: corners and spots that are on a line but for rounding.
	f.Add([]byte(",Z0.C\xed00"), []byte("0010"), []byte("0"))
	f.Add([]byte(",Z0.C\xed\xff9"), []byte("0000"), []byte("0"))
	f.Add([]byte{12, 10, 1, 14, 3, 13, 15, 9}, []byte{0, 0, 1, 0}, []byte{})
	f.Add([]byte{0, 0, 0, 0, 1, 0, 2, 0, 7, 4, 0, 11}, []byte{0, 0, 0, 0, 1, 0}, []byte{1, 10, 0})
	ground := field(f, 0, 0)
	f.Fuzz(func(t *testing.T, outline, levels, inner []byte) {
		if len(outline) > 40 || len(inner) > 40 {
			return
		}
		var ring orb.Ring
		for i := 0; i+1 < len(outline); i += 2 {
			ring = append(ring, orb.Point{float64(outline[i]%16) / 3, float64(outline[i+1]%16) / 3})
		}
		p := formation.Pad{Outline: orb.Polygon{ring}, Levels: &formation.Levels{Outline: [][]float64{nil}}}
		for _, b := range levels {
			p.Levels.Outline[0] = append(p.Levels.Outline[0], float64(b%16)/100)
		}
		var line tin.Breakline
		for i := 0; i+2 < len(inner); i += 3 {
			v := tin.Point{E: float64(inner[i]%16) / 3, N: float64(inner[i+1]%16) / 3, Level: float64(inner[i+2]%16) / 100}
			if inner[i+2] < 128 {
				p.Levels.Spots = append(p.Levels.Spots, v)
			} else {
				line.Vertices = append(line.Vertices, v)
			}
		}
		if len(line.Vertices) > 1 {
			p.Levels.Lines = []tin.Breakline{line}
		}
		l, err := formation.Lay(t.Context(), ground, []formation.Pad{{Outline: square(3), Finished: 1}, p}, formation.Options{})
		if err != nil {
			var in *tin.InputError
			require.ErrorAs(t, err, &in)
			return
		}
		laid := l.Pads[1]
		if got := area(laid.Facets); math.Abs(got-laid.Geometry.Area) > 1e-9 {
			t.Fatalf("facets cover %g of %g m2", got, laid.Geometry.Area)
		}
		if got := area(l.Pads[0].Facets); got > 9+1e-9 || got < 9-laid.Geometry.Area-1e-9 {
			t.Fatalf("%g m2 of the first pad are left", got)
		}
		// No level lies outside those given.
		low, high := laid.Geometry.Low.Formation, laid.Geometry.High.Formation
		for _, facet := range laid.Facets {
			for _, c := range facet.Cell.Corner {
				if z := facet.Plane.LevelAt(c[0], c[1]); z < low-1e-6 || z > high+1e-6 {
					t.Fatalf("level %g at %v is outside %g to %g", z, c, low, high)
				}
			}
		}
	})
}
