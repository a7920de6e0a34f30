package formation_test

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin/formation"
)

func TestRectangleQuarterTurns(t *testing.T) {
	corner := orb.Point{312540.25, 5812300.5}
	for _, c := range []struct {
		bearing       float64
		along, across orb.Point // of 24 by 12
	}{
		{0, orb.Point{0, 24}, orb.Point{12, 0}},
		{90, orb.Point{24, 0}, orb.Point{0, -12}},
		{180, orb.Point{0, -24}, orb.Point{-12, 0}},
		{270, orb.Point{-24, 0}, orb.Point{0, 12}},
		{360, orb.Point{0, 24}, orb.Point{12, 0}},
		{-90, orb.Point{-24, 0}, orb.Point{0, 12}},
	} {
		got, err := formation.Rectangle(corner, c.bearing, 24, 12)
		require.NoError(t, err)
		e, n := corner[0], corner[1]
		assert.Equal(t, orb.Polygon{{
			corner,
			{e + c.along[0], n + c.along[1]},
			{e + c.along[0] + c.across[0], n + c.along[1] + c.across[1]},
			{e + c.across[0], n + c.across[1]},
			corner,
		}}, got, "bearing %g", c.bearing)
	}
}

func TestRectangleSlantwise(t *testing.T) {
	got, err := formation.Rectangle(orb.Point{312540, 5812300}, 73.5, 24, 12)
	require.NoError(t, err)
	g, err := formation.Pad{Outline: got}.Geometry()
	require.NoError(t, err)
	const rounding = 2e-9 // of map coordinates
	assert.InDelta(t, 288, g.Area, 36*rounding)
	assert.InDelta(t, 72, g.Perimeter, 4*rounding)
	for i, want := range []struct{ length, bearing float64 }{{24, 73.5}, {12, 163.5}, {24, 253.5}, {12, 343.5}} {
		assert.InDelta(t, want.length, g.Sides[i].Length, rounding)
		assert.InDelta(t, want.bearing, g.Sides[i].Bearing, rounding/12*180/math.Pi*2)
	}
	for _, d := range g.Diagonals {
		assert.InDelta(t, math.Hypot(24, 12), d.Length, rounding)
	}
}

func TestRectangleRefuses(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, c := range []struct {
		name                   string
		corner                 orb.Point
		bearing, length, width float64
		key, code              string
	}{
		{"corner", orb.Point{nan, 0}, 0, 1, 1, "corner", formation.CodeBadPoint},
		{"corner far", orb.Point{0, inf}, 0, 1, 1, "corner", formation.CodeBadPoint},
		{"bearing", orb.Point{}, nan, 1, 1, "bearing", formation.CodeBadBearing},
		{"bearing in gon", orb.Point{}, 399, 1, 1, "bearing", formation.CodeBadBearing},
		{"no length", orb.Point{}, 0, 0, 1, "length", formation.CodeBadLength},
		{"negative length", orb.Point{}, 0, -1, 1, "length", formation.CodeBadLength},
		{"no width", orb.Point{}, 0, 1, 0, "width", formation.CodeBadLength},
		{"width not a number", orb.Point{}, 0, 1, nan, "width", formation.CodeBadLength},
		{"width without end", orb.Point{}, 0, 1, inf, "width", formation.CodeBadLength},
		{"corner out of range", orb.Point{1e308, 0}, 90, 1, 1, "corner", formation.CodeBadPoint},
		{"out of range", orb.Point{1e8, 0}, 90, 1.7e308, 1, "length", formation.CodeBadLength},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := formation.Rectangle(c.corner, c.bearing, c.length, c.width)
			assert.Equal(t, c.key, inputErr(t, err, c.code).Key)
		})
	}
}
