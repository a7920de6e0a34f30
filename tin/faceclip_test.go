package tin_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"barrow/tin"
)

func TestWhereFace(t *testing.T) {
	square := []tin.FaceCorner{{X: 0, Y: 0, Ground: 1, Face: 0}, {X: 4, Y: 0, Ground: 5, Face: 2}, {X: 4, Y: 4, Ground: 5, Face: 2}, {X: 0, Y: 4, Ground: 1, Face: 0}}
	east := func(c tin.FaceCorner) float64 { return c.X - 1 }
	west := func(c tin.FaceCorner) float64 { return 1 - c.X }
	cut := []tin.FaceCorner{{X: 1, Y: 0, Ground: 2, Face: 0.5}, {X: 1, Y: 4, Ground: 2, Face: 0.5}}
	assert.Equal(t, []tin.FaceCorner{cut[0], square[1], square[2], cut[1]}, tin.WhereFace(square, east))
	assert.Equal(t, []tin.FaceCorner{square[0], cut[0], cut[1], square[3]}, tin.WhereFace(square, west))
	assert.Equal(t, square, tin.WhereFace(square, func(tin.FaceCorner) float64 { return 0 }))
	assert.Empty(t, tin.WhereFace(square, func(tin.FaceCorner) float64 { return -1 }))
	assert.Empty(t, tin.WhereFace(nil, east))
	// Only a side is left where the value is 0 at its ends.
	assert.Len(t, tin.WhereFace(square, func(c tin.FaceCorner) float64 { return -c.X }), 2)
}
