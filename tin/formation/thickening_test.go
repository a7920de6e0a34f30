package formation_test

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/formation"
)

// groundAtTen is level at 10 from -100 to 100 both ways.
func groundAtTen(t *testing.T) *tin.Surface {
	t.Helper()
	var points []tin.Point
	for _, p := range [][2]float64{{-100, -100}, {100, -100}, {100, 100}, {-100, 100}, {3, 7}} {
		points = append(points, tin.Point{E: p[0], N: p[1], Level: 10})
	}
	ground, err := tin.Build(t.Context(), []tin.Source{{Points: points}}, tin.Options{})
	require.NoError(t, err)
	return ground
}

// thickPad is 20 by 20 m with its formation at 8.775.
func thickPad(list ...formation.Thickening) formation.Pad {
	return formation.Pad{Name: "store", Outline: square(20), Finished: 9, Thickenings: list,
		Layers: formation.BuildUp{{Name: "concrete slab", Thickness: 0.175}, {Name: "sand", Thickness: 0.05}}}
}

func strip(depth, width float64, line ...orb.Point) formation.Thickening {
	return formation.Thickening{Lines: []orb.LineString{line}, Width: width, Depth: depth, From: formation.FromFormation}
}

func pit(depth float64, area orb.Polygon) formation.Thickening {
	return formation.Thickening{Areas: orb.MultiPolygon{area}, Depth: depth, From: formation.FromFormation}
}

func rectangle(e1, n1, e2, n2 float64) orb.Polygon {
	return orb.Polygon{{{e1, n1}, {e2, n1}, {e2, n2}, {e1, n2}}}
}

// thickened lays out pads on level ground, and returns the thickenings of the first.
func thickened(t *testing.T, pads ...formation.Pad) ([]formation.Thickened, []tin.Problem, tin.Frame) {
	t.Helper()
	ground := groundAtTen(t)
	layout, err := formation.Lay(t.Context(), ground, pads, formation.Options{})
	require.NoError(t, err)
	all, warnings, err := layout.Thickenings(t.Context(), ground, formation.Options{})
	require.NoError(t, err)
	return all[0], warnings, ground.Frame()
}

// dug returns plan area and volume of pieces, worked out apart from package volume.
func dug(frame tin.Frame, pieces []tin.FacePiece) (area, volume float64) {
	for _, p := range pieces {
		for i := 2; i < len(p.Corner); i++ {
			a, b, c := p.Corner[0], p.Corner[i-1], p.Corner[i]
			part := ((b.X-a.X)*(c.Y-a.Y) - (b.Y-a.Y)*(c.X-a.X)) / 2 * frame.Area()
			area += part
			volume += part * (a.Ground - a.Face + b.Ground - b.Face + c.Ground - c.Face) / 3
		}
	}
	return area, volume
}

func TestThickeningsCross(t *testing.T) {
	list, warnings, frame := thickened(t, thickPad(
		strip(0.5, 0.6, orb.Point{2, 10}, orb.Point{18, 10}),
		strip(0.8, 1.0, orb.Point{10, 2}, orb.Point{10, 18}),
	))
	assert.Empty(t, warnings)
	area, volume := dug(frame, list[0].Pieces)
	assert.InEpsilon(t, 16*0.6-0.6, area, 1e-12) // the crossing is the deeper one's
	assert.InEpsilon(t, 9*0.5, volume, 1e-12)
	area, volume = dug(frame, list[1].Pieces)
	assert.InEpsilon(t, 16, area, 1e-12)
	assert.InEpsilon(t, 16*0.8, volume, 1e-12)
	assert.InEpsilon(t, 9.6, list[0].Footprint, 1e-12)
	assert.Equal(t, 16.0, list[0].Length)
	assert.Zero(t, list[0].Outside)
}

// As deep as each other, the later has the crossing; a line may cross itself.
func TestThickeningsOfOneDepth(t *testing.T) {
	list, _, frame := thickened(t, thickPad(
		strip(0.5, 1, orb.Point{2, 10}, orb.Point{18, 10}),
		strip(0.5, 1, orb.Point{10, 2}, orb.Point{10, 18}),
	))
	first, _ := dug(frame, list[0].Pieces)
	second, _ := dug(frame, list[1].Pieces)
	assert.InEpsilon(t, 15, first, 1e-12)
	assert.InEpsilon(t, 16, second, 1e-12)

	one := strip(0.5, 1, orb.Point{2, 10}, orb.Point{18, 10})
	one.Lines = append(one.Lines, orb.LineString{{10, 2}, {10, 18}})
	list, _, frame = thickened(t, thickPad(one))
	area, volume := dug(frame, list[0].Pieces)
	assert.InEpsilon(t, 31, area, 1e-12)
	assert.InEpsilon(t, 15.5, volume, 1e-12)
	assert.InEpsilon(t, 31, list[0].Footprint, 1e-12)
	assert.Equal(t, 32.0, list[0].Length)
}

// Round a square the corners are mitred: the footprint is the square outside less the
// square inside, which is length times width.
func TestEdgeBeamRoundASquare(t *testing.T) {
	for _, line := range [][]orb.Point{
		{{0.5, 0.5}, {19.5, 0.5}, {19.5, 19.5}, {0.5, 19.5}, {0.5, 0.5}},
		{{19.5, 19.5}, {19.5, 0.5}, {0.5, 0.5}, {0.5, 19.5}, {19.5, 19.5}}, // the other way round
	} {
		list, warnings, frame := thickened(t, thickPad(strip(0.4, 1, line...)))
		assert.Empty(t, warnings)
		area, volume := dug(frame, list[0].Pieces)
		assert.InEpsilon(t, 400-18*18, area, 1e-12)
		assert.InEpsilon(t, 76*0.4, volume, 1e-12)
		assert.Equal(t, 76.0, list[0].Length)
	}
}

// Where a line bends by less than 120 degrees, the mitre adds outside what the two
// stretches share inside: the area is length times width. An open line has square ends.
func TestBendsAreMitred(t *testing.T) {
	for _, turn := range []float64{1, 30, 89, 119} {
		for _, sign := range []float64{1, -1} {
			sin, cos := math.Sincos(sign * turn * math.Pi / 180)
			list, _, frame := thickened(t, thickPad(strip(1, 0.8, orb.Point{5, 10}, orb.Point{10, 10}, orb.Point{10 + 5*cos, 10 + 5*sin})))
			area, _ := dug(frame, list[0].Pieces)
			assert.InEpsilon(t, 8, area, 1e-9, "%g degrees", sign*turn)
		}
	}
	// Back on itself: two square ends.
	list, _, frame := thickened(t, thickPad(strip(1, 0.8, orb.Point{5, 10}, orb.Point{10, 10}, orb.Point{5, 10})))
	area, _ := dug(frame, list[0].Pieces)
	assert.InEpsilon(t, 4, area, 1e-12)
	// A sharper bend is cut off square at the width from its corner: 135 degrees.
	list, _, frame = thickened(t, thickPad(strip(1, 2, orb.Point{2, 10}, orb.Point{10, 10}, orb.Point{4, 16})))
	area, _ = dug(frame, list[0].Pieces)
	sin, cos := math.Sincos(67.5 * math.Pi / 180)
	cut := (2 - cos) / sin             // along each margin line, from the normal to the cut
	half := math.Sqrt(cut*cut + 1 - 4) // half the cut, which is 2 from the corner
	want := (8+6*math.Sqrt2)*2 - sin/cos + cut + 2*half
	assert.InEpsilon(t, want, area, 1e-9)
}

// A pit goes down by its depth everywhere, whichever way the pad falls; one with a level
// underside goes down to that.
func TestPitInAFallingPad(t *testing.T) {
	pad := thickPad(pit(0.7, rectangle(3, 4, 7, 9)))
	pad.Fall = &formation.Fall{Slope: 0.05, Bearing: 90, At: orb.Point{0, 0}}
	list, _, frame := thickened(t, pad)
	area, volume := dug(frame, list[0].Pieces)
	assert.InEpsilon(t, 20, area, 1e-12)
	assert.InEpsilon(t, 14, volume, 1e-12)
	assert.InEpsilon(t, 8.075, pad.DigTo(pad.Thickenings[0]), 1e-15) // at Fall.At

	under := 8.0
	pad.Thickenings[0] = formation.Thickening{Areas: orb.MultiPolygon{rectangle(3, 4, 7, 9)}, Underside: &under, Layers: buildUp(0.1)}
	list, _, frame = thickened(t, pad)
	_, volume = dug(frame, list[0].Pieces)
	assert.InEpsilon(t, 20*(8.775-0.05*5-7.9), volume, 1e-12) // at its middle, E 5
	assert.Equal(t, 7.9, pad.DigTo(pad.Thickenings[0]))
	assert.True(t, math.IsNaN(pad.Below(pad.Thickenings[0])))
}

// A level pit and one that falls with the pad: the lower has each place.
func TestLevelPitCrossesAFallingOne(t *testing.T) {
	under := 8.0 // under the pad's 8.275 less 0.5 west of E 5.5, where that is 8
	level := formation.Thickening{Areas: orb.MultiPolygon{rectangle(1, 4, 10, 6)}, Underside: &under}
	pad := thickPad(level, pit(0.5, rectangle(1, 4, 10, 6)))
	pad.Fall = &formation.Fall{Slope: 0.05, Bearing: 90, At: orb.Point{0, 0}}
	list, _, frame := thickened(t, pad)
	area, volume := dug(frame, list[0].Pieces)
	assert.InEpsilon(t, 4.5*2, area, 1e-12)
	assert.InEpsilon(t, 9*(8.775-0.05*3.25-8), volume, 1e-12)
	area, volume = dug(frame, list[1].Pieces)
	assert.InEpsilon(t, 4.5*2, area, 1e-12)
	assert.InEpsilon(t, 9*0.5, volume, 1e-12)
}

func TestThickeningOfAPadWithItsOwnLevels(t *testing.T) {
	pad := thickPad(pit(0.7, rectangle(3, 4, 7, 9)))
	pad.Finished, pad.Levels = 0, &formation.Levels{Outline: [][]float64{{9, 9, 9, 9}}, Spots: []tin.Point{{E: 5, N: 6, Level: 9.4}}}
	list, _, frame := thickened(t, pad)
	area, volume := dug(frame, list[0].Pieces)
	assert.InEpsilon(t, 20, area, 1e-12)
	assert.InEpsilon(t, 14, volume, 1e-12)
	assert.True(t, math.IsNaN(pad.DigTo(pad.Thickenings[0])))
}

func TestDepthsCountFromWhatTheySay(t *testing.T) {
	area := orb.MultiPolygon{rectangle(3, 4, 7, 9)}
	for _, tt := range []struct {
		from         formation.DepthFrom
		slab         string
		below, digTo float64
	}{
		{formation.FromFinished, "", 0.3 - 0.225 + 0.3, 8.625 - 0.225},
		{formation.FromSlab, "", 0.55, 8.225},
		{formation.FromSlab, "concrete slab", 0.55, 8.225},
		{formation.FromSlab, "sand", 0.6, 8.175},
		{formation.FromFormation, "", 0.6, 8.175},
	} {
		th := formation.Thickening{Areas: area, Depth: 0.5, From: tt.from, Slab: tt.slab, Layers: buildUp(0.1)}
		pad := thickPad(th)
		require.NoError(t, pad.Check())
		assert.InDelta(t, tt.below, pad.Below(th), 1e-15, tt.from)
		assert.Equal(t, tt.digTo, pad.DigTo(th), tt.from) // decimals stay decimals
	}
}

// What reaches out of the formation is not measured, and told of; a margin is formation.
func TestThickeningOutside(t *testing.T) {
	pad := thickPad(pit(1, rectangle(18, 5, 22, 6)))
	list, warnings, frame := thickened(t, pad)
	_, volume := dug(frame, list[0].Pieces)
	assert.InEpsilon(t, 2, volume, 1e-12)
	assert.InEpsilon(t, 2, list[0].Outside, 1e-12)
	require.Len(t, warnings, 1)
	assert.Equal(t, formation.CodeThickeningOutside, warnings[0].Code)
	assert.Contains(t, warnings[0].Message, `thickening 1 of pad "store" lies outside its formation, or where another pad rules, over 2.00 m2 of its 4.00 m2`)
	assert.Greater(t, warnings[0].At[0], 20.0)

	pad.Margin = 1
	list, _, _ = thickened(t, pad)
	assert.InEpsilon(t, 1, list[0].Outside, 1e-12)

	// Another pad rules over a part of it.
	list, warnings, frame = thickened(t, thickPad(pit(1, rectangle(2, 2, 6, 6))),
		formation.Pad{Name: "b", Outline: rectangle(4, 2, 8, 8), Finished: 9})
	_, volume = dug(frame, list[0].Pieces)
	assert.InEpsilon(t, 8, volume, 1e-12)
	assert.InEpsilon(t, 8, list[0].Outside, 1e-12)
	assert.Len(t, warnings, 1)
}

// Random strips and pits whose sides lie on a grid of whole metres: one look at each
// square of the grid gives areas and volumes.
func TestThickeningsAgainstAGrid(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 5))
	for range 50 {
		var list []formation.Thickening
		var boxes []orb.Bound
		for range 2 + rng.IntN(6) {
			e, n, long := float64(1+rng.IntN(9)), float64(1+rng.IntN(9)), float64(2+rng.IntN(8))
			depth := float64(1+rng.IntN(4)) / 4
			if rng.IntN(2) == 0 {
				list = append(list, strip(depth, 2, orb.Point{e, n + 1}, orb.Point{e + long, n + 1}))
				boxes = append(boxes, orb.Bound{Min: orb.Point{e, n}, Max: orb.Point{e + long, n + 2}})
			} else {
				list = append(list, pit(depth, rectangle(e, n, e+3, n+long)))
				boxes = append(boxes, orb.Bound{Min: orb.Point{e, n}, Max: orb.Point{e + 3, n + long}})
			}
		}
		want := make([]float64, len(list))
		for e := 0.5; e < 20; e++ {
			for n := 0.5; n < 20; n++ {
				ruler := -1
				for k, b := range boxes {
					if b.Contains(orb.Point{e, n}) && (ruler < 0 || list[k].Depth >= list[ruler].Depth) {
						ruler = k
					}
				}
				if ruler >= 0 {
					want[ruler]++
				}
			}
		}
		got, _, frame := thickened(t, thickPad(list...))
		total, expected := 0.0, 0.0
		for k := range list {
			area, volume := dug(frame, got[k].Pieces)
			assert.InDelta(t, want[k], area, 1e-10)
			total, expected = total+volume, expected+want[k]*list[k].Depth
		}
		assert.InDelta(t, expected, total, 1e-10)

		// In any order, the same in all but who has what is level.
		slices.Reverse(list)
		again := 0.0
		got, _, frame = thickened(t, thickPad(list...))
		for k := range got {
			_, volume := dug(frame, got[k].Pieces)
			again += volume
		}
		assert.InDelta(t, expected, again, 1e-10)
	}
}

func TestBadThickenings(t *testing.T) {
	nan, high := math.NaN(), 8.8
	line := []orb.LineString{{{1, 1}, {2, 2}}}
	area := orb.MultiPolygon{rectangle(3, 4, 7, 9)}
	for _, tt := range []struct {
		name      string
		th        formation.Thickening
		code, key string
	}{
		{"no shape", formation.Thickening{Depth: 1, From: formation.FromFormation}, formation.CodeThickeningShape, "thickenings[0]"},
		{"two shapes", formation.Thickening{Lines: line, Width: 1, Areas: area, Depth: 1, From: formation.FromFormation}, formation.CodeThickeningShape, "thickenings[0]"},
		{"no width", formation.Thickening{Lines: line, Depth: 1, From: formation.FromFormation}, formation.CodeThickeningWidth, "thickenings[0].width"},
		{"line of a point", formation.Thickening{Lines: []orb.LineString{{{1, 1}, {1, 1}}}, Width: 1, Depth: 1, From: formation.FromFormation}, formation.CodeThickeningShape, "thickenings[0].lines[0]"},
		{"line to nowhere", formation.Thickening{Lines: []orb.LineString{{{1, 1}, {1, nan}}}, Width: 1, Depth: 1, From: formation.FromFormation}, formation.CodeBadPoint, "thickenings[0].lines[0]"},
		{"crossed area", formation.Thickening{Areas: orb.MultiPolygon{{{{0, 0}, {1, 1}, {1, 0}, {0, 1}}}}, Depth: 1, From: formation.FromFormation}, "", "thickenings[0].areas"},
		{"no depth", formation.Thickening{Areas: area, From: formation.FromFormation}, formation.CodeThickeningDepth, "thickenings[0].depth"},
		{"from nowhere", formation.Thickening{Areas: area, Depth: 1}, formation.CodeThickeningFrom, "thickenings[0].from"},
		{"no such slab", formation.Thickening{Areas: area, Depth: 1, From: formation.FromSlab, Slab: "floor"}, formation.CodeThickeningSlab, "thickenings[0].slab"},
		{"not below formation", formation.Thickening{Areas: area, Depth: 0.225, From: formation.FromFinished}, formation.CodeThickeningShallow, "thickenings[0].depth"},
		{"two depths", formation.Thickening{Areas: area, Depth: 1, From: formation.FromFinished, Underside: &high}, formation.CodeThickeningFrom, "thickenings[0].underside"},
		{"underside of nothing", formation.Thickening{Areas: area, Underside: &nan}, formation.CodeBadLevel, "thickenings[0].underside"},
		{"layer of nothing", formation.Thickening{Areas: area, Depth: 1, From: formation.FromFinished, Layers: buildUp(0)}, formation.CodeBadThickness, "thickenings[0].layers[0].thickness"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			err := thickPad(tt.th).Check()
			var e *tin.InputError
			require.ErrorAs(t, err, &e)
			if tt.code != "" {
				assert.Equal(t, tt.code, e.Code)
			}
			assert.Equal(t, tt.key, e.Key)
			assert.NotEmpty(t, e.Hint)
		})
	}
	twoSlabs := thickPad(formation.Thickening{Areas: area, Depth: 1, From: formation.FromSlab})
	twoSlabs.Layers[1].Name = "slab of sand"
	require.Error(t, twoSlabs.Check())

	// A level that is not below formation is found when it is laid out.
	ground := groundAtTen(t)
	layout, err := formation.Lay(t.Context(), ground, []formation.Pad{thickPad(formation.Thickening{Areas: area, Underside: &high})}, formation.Options{})
	require.NoError(t, err)
	_, _, err = layout.Thickenings(t.Context(), ground, formation.Options{})
	var e *tin.InputError
	require.ErrorAs(t, err, &e)
	assert.Equal(t, "pad[0].thickenings[0].underside", e.Key)
	assert.Equal(t, formation.CodeThickeningShallow, e.Code)

	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	_, _, err = layout.Thickenings(ctx, ground, formation.Options{})
	assert.ErrorIs(t, err, context.Canceled)
}
