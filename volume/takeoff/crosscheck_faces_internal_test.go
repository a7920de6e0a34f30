package takeoff

import (
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"

	"barrow/tin"
)

// facesOf gathers faces on the ground of a square, 100 by 100 at level 0.
func facesOf(t *testing.T, faces ...[]tin.FaceCorner) *facesAt {
	t.Helper()
	ground, err := tin.Build(t.Context(), []tin.Source{{Points: []tin.Point{{}, {E: 100}, {E: 100, N: 100}, {N: 100}}}}, tin.Options{})
	assert.NoError(t, err)
	frame := ground.Frame()
	var pieces []tin.FacePiece
	for _, f := range faces {
		var p tin.FacePiece
		for _, c := range f {
			x, y := frame.Local(orb.Point{c.X, c.Y})
			p.Corner = append(p.Corner, tin.FaceCorner{X: x, Y: y, Face: c.Face})
		}
		pieces = append(pieces, p)
	}
	return newFacesAt(frame, nil, pieces)
}

// square is a face of 20 by 20 at level 5.
func square() []tin.FaceCorner {
	return []tin.FaceCorner{{X: 40, Y: 40, Face: 5}, {X: 60, Y: 40, Face: 5}, {X: 60, Y: 60, Face: 5}, {X: 40, Y: 60, Face: 5}}
}

// A face of no width, as batters leave them at round corners, holds no place: a point
// of three corners held all of its bin, and a line all that it points to.
func TestFaceWithoutWidthHoldsNothing(t *testing.T) {
	for name, c := range map[string][]tin.FaceCorner{
		"point":  {{X: 50, Y: 50, Face: 1}, {X: 50, Y: 50, Face: 1}, {X: 50, Y: 50, Face: 1}},
		"line":   {{X: 41, Y: 50, Face: 1}, {X: 44, Y: 50, Face: 1}, {X: 44, Y: 50, Face: 1}},
		"sliver": {{X: 41, Y: 50, Face: 1}, {X: 59, Y: 50, Face: 1}, {X: 50, Y: 50 + 1e-9, Face: 1}},
	} {
		d := facesOf(t, square(), c)
		for _, p := range []orb.Point{{50, 50}, {50.5, 50.5}, {58, 50}, {42, 50}} {
			face, ok := d.at(p)
			if assert.True(t, ok, "%s at %v", name, p) {
				assert.Equal(t, 5.0, face.plane.LevelAt(p[0], p[1]), "%s at %v", name, p)
			}
		}
		_, ok := d.at(orb.Point{39, 50})
		assert.False(t, ok, name)
	}
}

// A side too short to have a direction, run the wrong way by rounding, cuts nothing off.
func TestFaceWithShortSide(t *testing.T) {
	c := square()
	c = append(c[:2:2], append([]tin.FaceCorner{{X: 60, Y: 40 - 1e-12, Face: 5}, {X: 60 - 1e-9, Y: 40 - 1e-9, Face: 5}}, c[2:]...)...)
	d := facesOf(t, c)
	for _, p := range []orb.Point{{41, 41}, {59, 59}, {50, 50}, {41, 59}, {60, 50}, {40, 40}} {
		assert.True(t, d.holds(p[0], p[1]), "%v", p)
	}
	assert.False(t, d.holds(61, 50))
}
