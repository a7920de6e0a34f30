package volume_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/volume"
)

// Wedges of cut and fill over a triangle of 6 m2, and a piece without area.
func TestFacesAreWedges(t *testing.T) {
	s, err := tin.FromPoints([]tin.Point{{E: 0, N: 0}, {E: 10, N: 0}, {E: 0, N: 10}})
	require.NoError(t, err)
	wedge := func(sign, topsoil float64) tin.FacePiece {
		p := tin.FacePiece{Topsoil: topsoil}
		for _, c := range [][3]float64{{1, 1, 0}, {5, 1, 2}, {1, 4, 1}} {
			x, y := s.Frame().Local([2]float64{c[0], c[1]})
			p.Corner = append(p.Corner, tin.FaceCorner{X: x, Y: y, Ground: 50 + sign*c[2], Face: 50})
		}
		return p
	}
	flat := wedge(1, 0)
	flat.Corner[2] = flat.Corner[1]

	c := volume.Faces(s.Frame(), []tin.FacePiece{wedge(1, 0), flat, wedge(-1, 1)})
	assert.InDelta(t, 6, c.Cut, 1e-12)
	assert.InDelta(t, 6, c.CutArea, 1e-12)
	assert.InDelta(t, 6, c.Fill, 1e-12)
	assert.InDelta(t, 6, c.FillArea, 1e-12)
	assert.InDelta(t, 0, c.CutLessFill, 1e-12)
	assert.InDelta(t, 2, c.MaxCut.Depth, 1e-12)
	assert.InDelta(t, 2, c.MaxFill.Depth, 1e-12)
	assert.InDelta(t, 5, c.MaxFill.At[0], 1e-12)
	// Where fill is less than 1 m deep: half the triangle, 0, 1 and 1 m deep at its corners.
	assert.InDelta(t, 3, c.MakeupArea, 1e-12)
	assert.InDelta(t, 2, c.MakeupFill, 1e-12)
	assert.Empty(t, c.ZeroLine)
	assert.Zero(t, c.UncoveredArea)

	assert.Equal(t, volume.CutFill{}, volume.Faces(s.Frame(), nil))
}
