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

func withBatter(th formation.Thickening, along float64) formation.Thickening {
	th.Along = along
	return th
}

// all returns plan area and volume of all thickenings together, and of their batters.
func all(frame tin.Frame, list []formation.Thickened) (area, volume, batter float64) {
	for _, th := range list {
		a, v := dug(frame, th.Pieces)
		b, w := dug(frame, th.Batter)
		area, volume, batter = area+a+b, volume+v+w, batter+w
	}
	return area, volume, batter
}

// A d + P n d^2 / 2 + (o pi / 4 - i) n^2 d^3 / 3, for o right corners outward and i
// inward.
func TestBatteredThickenings(t *testing.T) {
	pit4 := pit(0.8, rectangle(8, 8, 12, 13))
	ring := strip(0.5, 1, orb.Point{4, 4}, orb.Point{16, 4}, orb.Point{16, 16}, orb.Point{4, 16}, orb.Point{4, 4})
	for _, tt := range []struct {
		name                  string
		list                  []formation.Thickening
		area, perimeter, d, n float64
		outward, inward       float64
	}{
		{"pit", []formation.Thickening{withBatter(pit4, 1.5)}, 20, 18, 0.8, 1.5, 4, 0},
		{"strip", []formation.Thickening{withBatter(strip(0.5, 1, orb.Point{4, 10}, orb.Point{16, 10}), 0.5)}, 12, 26, 0.5, 0.5, 4, 0},
		{"cross", []formation.Thickening{withBatter(strip(0.5, 1, orb.Point{4, 10}, orb.Point{16, 10}), 0.5), withBatter(strip(0.5, 1, orb.Point{10, 4}, orb.Point{10, 16}), 0.5)},
			23, 48, 0.5, 0.5, 8, 4},
		{"ring", []formation.Thickening{withBatter(ring, 1)}, 48, 96, 0.5, 1, 4, 4},
		{"in a pit", []formation.Thickening{withBatter(pit4, 1), withBatter(strip(0.2, 1, orb.Point{9, 9}, orb.Point{11, 9}), 1)}, 20, 18, 0.8, 1, 4, 0},
		{"one half, then the other", []formation.Thickening{withBatter(pit(0.8, rectangle(8, 8, 10, 13)), 1), withBatter(pit(0.8, rectangle(10, 8, 12, 13)), 1)}, 20, 18, 0.8, 1, 4, 0},
	} {
		t.Run(tt.name, func(t *testing.T) {
			list, warnings, frame := thickened(t, thickPad(tt.list...))
			assert.Empty(t, warnings)
			_, volume, batter := all(frame, list)
			reach := tt.n * tt.d
			round := (tt.outward*math.Pi/4 - tt.inward) * reach * reach * tt.d / 3
			want := tt.perimeter*tt.n*tt.d*tt.d/2 + round
			assert.InDelta(t, want, batter, 2e-5*want)
			assert.GreaterOrEqual(t, batter, want-1e-9) // never understated
			assert.InDelta(t, tt.area*tt.d+want, volume, 2e-5*want)
			bound := 0.0
			for _, th := range list {
				bound += th.Bound
			}
			assert.LessOrEqual(t, batter-want, bound+1e-9)
		})
	}
}

// lowest returns by how much thickenings of a level pad are below formation at a place,
// by the definition: from each footprint the sides rise with the distance.
func lowest(e, n float64, list []formation.Thickening, boxes []orb.Bound) float64 {
	deepest := 0.0
	for k, b := range boxes {
		away := math.Hypot(max(b.Min[0]-e, 0, e-b.Max[0]), max(b.Min[1]-n, 0, n-b.Max[1]))
		if away == 0 {
			deepest = max(deepest, list[k].Depth)
		} else if list[k].Along > 0 {
			deepest = max(deepest, list[k].Depth-away/list[k].Along)
		}
	}
	return deepest
}

// Random pits and strips, upright and battered, some of them off the pad's edge, against
// a fine grid of the definition.
func TestBatteredThickeningsAgainstAGrid(t *testing.T) {
	rng := rand.New(rand.NewPCG(6, 7))
	const step = 0.05
	for range 12 {
		var list []formation.Thickening
		var boxes []orb.Bound
		for range 2 + rng.IntN(5) {
			e, n, long := step*float64(rng.IntN(360)), step*float64(rng.IntN(360)), 1+step*float64(rng.IntN(120))
			th := pit(0.2+rng.Float64(), rectangle(e, n, e+1.5, n+long))
			box := orb.Bound{Min: orb.Point{e, n}, Max: orb.Point{e + 1.5, n + long}}
			if rng.IntN(2) == 0 {
				th = strip(th.Depth, 0.8, orb.Point{e, n + 0.4}, orb.Point{e + long, n + 0.4})
				box = orb.Bound{Min: orb.Point{e, n}, Max: orb.Point{e + long, n + 0.8}}
			}
			if rng.IntN(3) > 0 {
				th.Along = 0.25 + rng.Float64()
			}
			list, boxes = append(list, th), append(boxes, box)
		}
		area, volume := 0.0, 0.0
		for i := range int(20 / step) {
			for j := range int(20 / step) {
				if d := lowest((float64(i)+0.5)*step, (float64(j)+0.5)*step, list, boxes); d > 0 {
					area, volume = area+step*step, volume+d*step*step
				}
			}
		}
		got, _, frame := thickened(t, thickPad(list...))
		a, v, _ := all(frame, got)
		assert.InEpsilon(t, area, a, 0.02) // the grid cuts the rim roughly
		assert.InEpsilon(t, volume, v, 0.001)
	}
}

// On a falling pad, with C(x) the least of [level at q + |x - q| / n] over many q on the
// rim of the pit.
func TestBatteredPitInAFallingPad(t *testing.T) {
	pad := thickPad(withBatter(pit(1, rectangle(8, 8, 12, 12)), 1))
	pad.Fall = &formation.Fall{Slope: 0.2, Bearing: 90, At: orb.Point{0, 0}}
	list, warnings, frame := thickened(t, pad)
	assert.Empty(t, warnings)
	area, volume, _ := all(frame, list)
	plane := func(e float64) float64 { return 8.775 - 0.2*e }
	var rim []orb.Point
	for i := range 200 {
		x := 8 + 4*float64(i)/200
		rim = append(rim, orb.Point{x, 8}, orb.Point{12, x}, orb.Point{20 - x, 12}, orb.Point{8, 20 - x})
	}
	const step = 0.04
	wantArea, want := 0.0, 0.0
	for i := range 200 {
		for j := range 200 {
			e, n := 6+(float64(i)+0.5)*step, 6+(float64(j)+0.5)*step
			low := plane(e) - 1
			if e < 8 || e > 12 || n < 8 || n > 12 {
				low = math.Inf(1)
				for _, q := range rim {
					low = min(low, plane(q[0])-1+math.Hypot(e-q[0], n-q[1]))
				}
			}
			if d := plane(e) - low; d > 0 {
				wantArea, want = wantArea+step*step, want+d*step*step
			}
		}
	}
	assert.InEpsilon(t, wantArea, area, 0.005)
	assert.InEpsilon(t, want, volume, 0.002)
}

// What of a batter reaches out of the formation is not measured, and told of.
func TestBatterOutOfTheFormation(t *testing.T) {
	pad := thickPad(withBatter(pit(1, rectangle(15, 5, 19.5, 9)), 1))
	list, warnings, frame := thickened(t, pad)
	require.Len(t, warnings, 1)
	assert.Equal(t, formation.CodeThickeningOutside, warnings[0].Code)
	assert.Contains(t, warnings[0].Message, "the batter of thickening 1")
	assert.GreaterOrEqual(t, warnings[0].At[0], 20.0)
	assert.Zero(t, list[0].Outside)
	// Half a metre along 4 m, and two parts of a quarter circle.
	assert.InDelta(t, 2+math.Acos(0.5)-0.5*math.Sqrt(0.75), list[0].BatterOutside, 1e-4)
	_, volume := dug(frame, list[0].Batter)
	whole := 17.0/2 + math.Pi/3
	assert.Less(t, volume, whole-4*0.5*0.5/2) // beyond lies a wedge, and parts of two cones

	pad.Margin = 1
	_, warnings, _ = thickened(t, pad)
	assert.Empty(t, warnings)
}

func TestBattersThatCannotBe(t *testing.T) {
	pad := thickPad(withBatter(pit(1, rectangle(8, 8, 12, 12)), 1))
	pad.Thickenings[0].Along = math.NaN()
	require.Error(t, pad.Check())
	pad.Thickenings[0].Along = 1
	pad.Levels = &formation.Levels{Outline: [][]float64{{9, 9, 9, 9}}}
	var e *tin.InputError
	require.ErrorAs(t, pad.Check(), &e)
	assert.Equal(t, formation.CodeThickeningBatter, e.Code)
	pad.Levels, pad.Fall = nil, &formation.Fall{Slope: 0.6, Bearing: 90}
	ground := groundAtTen(t)
	layout, err := formation.Lay(t.Context(), ground, []formation.Pad{pad}, formation.Options{})
	require.NoError(t, err)
	_, _, err = layout.Thickenings(t.Context(), ground, formation.Options{})
	require.ErrorAs(t, err, &e)
	assert.Equal(t, formation.CodeThickeningBatter, e.Code)
	assert.Equal(t, "pad[0].thickenings[0].batter", e.Key)
}

// Neither the direction of a line, nor where a closed one starts, nor the direction of a
// pit's outline reaches a single bit; nor does another pad's place in the list.
func TestThickeningsInAnyDirection(t *testing.T) {
	for _, along := range []float64{0, 0.75} {
		ring := []orb.Point{{4.1, 4.3}, {15.7, 5.2}, {13.3, 16.9}, {5.6, 12.2}, {4.1, 4.3}}
		turned := []orb.Point{{13.3, 16.9}, {15.7, 5.2}, {4.1, 4.3}, {5.6, 12.2}, {13.3, 16.9}}
		first, _, _ := thickened(t, thickPad(withBatter(strip(0.5, 0.7, ring...), along), withBatter(pit(0.7, rectangle(12.1, 9.2, 17.3, 12.4)), along)))
		other := orb.Polygon{{{17.3, 12.4}, {17.3, 9.2}, {12.1, 9.2}, {12.1, 12.4}, {17.3, 12.4}}}
		second, _, _ := thickened(t, thickPad(withBatter(strip(0.5, 0.7, turned...), along), withBatter(pit(0.7, other), along)))
		for k := range first {
			require.NotEmpty(t, first[k].Pieces)
			assert.Equal(t, along > 0, len(first[k].Batter) > 0)
			assert.Equal(t, first[k], second[k])
		}
	}
}

// A pad that another takes all of has no formation to thicken.
func TestThickeningOfAPadThatRulesNowhere(t *testing.T) {
	list, warnings, _ := thickened(t, thickPad(withBatter(pit(1, rectangle(8, 8, 12, 12)), 1)),
		formation.Pad{Name: "b", Outline: rectangle(-1, -1, 21, 21), Finished: 9})
	assert.Empty(t, list[0].Pieces)
	assert.Empty(t, list[0].Batter)
	assert.InEpsilon(t, 16, list[0].Outside, 1e-12)
	assert.Len(t, warnings, 1)
}

// Far from the origin of the grid, and turned, what rounding leaves is small.
func TestThickeningsOnAMapGrid(t *testing.T) {
	const east, north = 312540.0, 5812300.0
	var points []tin.Point
	for _, p := range [][2]float64{{-50, -50}, {80, -50}, {80, 80}, {-50, 80}} {
		points = append(points, tin.Point{E: east + p[0], N: north + p[1], Level: 64})
	}
	ground, err := tin.Build(t.Context(), []tin.Source{{Points: points}}, tin.Options{})
	require.NoError(t, err)
	sin, cos := math.Sincos(0.3)
	at := func(x, y float64) orb.Point { return orb.Point{east + x*cos - y*sin, north + x*sin + y*cos} }
	pad := thickPad(
		strip(0.5, 1, at(0.5, 0.5), at(19.5, 0.5), at(19.5, 19.5), at(0.5, 19.5), at(0.5, 0.5)),
		withBatter(strip(0.8, 0.6, at(10, 4), at(10, 16)), 0.5),
	)
	pad.Outline = orb.Polygon{{at(0, 0), at(20, 0), at(20, 20), at(0, 20)}}
	layout, err := formation.Lay(t.Context(), ground, []formation.Pad{pad}, formation.Options{})
	require.NoError(t, err)
	list, warnings, err := layout.Thickenings(t.Context(), ground, formation.Options{})
	require.NoError(t, err)
	assert.Empty(t, warnings)
	_, volume := dug(ground.Frame(), list[0][0].Pieces)
	assert.InEpsilon(t, 38, volume, 1e-8)
	_, volume = dug(ground.Frame(), list[0][1].Batter)
	assert.InEpsilon(t, 25.2*0.16+math.Pi*0.25*0.512/3, volume, 2e-5)
}
