package formation_test

import (
	"errors"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/formation"
)

// Any two lines of any width, depth and batter: errors are of the input, and each square
// metre of footprint is dug by one of them or lies outside.
func FuzzThickenings(f *testing.F) {
	f.Add([]byte{10, 60, 110, 60}, []byte{60, 10, 60, 110}, byte(6), byte(8), byte(5))
	f.Add([]byte{10, 10, 110, 10, 110, 110, 10, 110, 10, 10}, []byte{10, 10, 110, 110, 10, 110, 110, 10}, byte(10), byte(3), byte(10))
	f.Add([]byte{0, 0, 200, 1, 0, 1, 200, 0}, []byte{0, 0, 1, 0, 0, 0}, byte(1), byte(30), byte(0))
	f.Fuzz(func(t *testing.T, first, second []byte, width, depth, along byte) {
		if len(first) > 16 || len(second) > 16 {
			t.Skip()
		}
		pad := thickPad()
		pad.Margin, pad.Fall = 2, &formation.Fall{Slope: 0.02, Bearing: 60, At: orb.Point{0, 0}}
		for k, at := range [][]byte{first, second} {
			th := strip(float64(1+int(depth))/100+float64(k)/10, float64(1+int(width))/50)
			for i := 1; i < len(at); i += 2 {
				th.Lines[0] = append(th.Lines[0], orb.Point{float64(at[i-1]) / 6, float64(at[i]) / 6})
			}
			if k == 0 {
				th.Along = float64(along) / 200
			}
			pad.Thickenings = append(pad.Thickenings, th)
		}
		ground := groundAtTen(t)
		layout, err := formation.Lay(t.Context(), ground, []formation.Pad{pad}, formation.Options{})
		var in *tin.InputError
		if errors.As(err, &in) {
			return
		}
		require.NoError(t, err)
		all, _, err := layout.Thickenings(t.Context(), ground, formation.Options{})
		if errors.As(err, &in) {
			return
		}
		require.NoError(t, err)
		frame := ground.Frame()
		last := all[0][1] // the deeper: nothing is below its underside
		area, volume := dug(frame, last.Pieces)
		assert.InDelta(t, last.Footprint, area+last.Outside, 1e-5)
		assert.InDelta(t, area*pad.Thickenings[1].Depth, volume, 1e-6)
		both := 0.0
		for _, th := range all[0] {
			for _, list := range [][]tin.FacePiece{th.Pieces, th.Batter} {
				a, v := dug(frame, list)
				assert.GreaterOrEqual(t, v, 0.0)
				both += a
			}
		}
		assert.LessOrEqual(t, both, layout.Pads[0].FormationArea+1e-5)
	})
}
