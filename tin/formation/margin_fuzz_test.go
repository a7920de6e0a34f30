package formation_test

import (
	"fmt"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/formation"
)

// Any two outlines with any margins by side: errors are of the input, and what is
// laid is within the formation outlines, square metre by square metre.
func FuzzLayMargins(f *testing.F) {
	f.Add([]byte{0, 0, 9, 0, 9, 9, 0, 9}, []byte{5, 5, 14, 5, 14, 14, 5, 14}, []byte{3, 0, 3, 7})
	f.Add([]byte{0, 0, 9, 0, 9, 9, 5, 9, 5, 3, 4, 3, 4, 9, 0, 9}, []byte{20, 0, 40, 1, 20, 2}, []byte{5})
	f.Add([]byte{0, 0, 30, 1, 30, 0}, []byte{0, 30, 30, 31, 0, 31}, []byte{10, 20, 0})
	f.Fuzz(func(t *testing.T, first, second, margins []byte) {
		if len(first) > 40 || len(second) > 40 || len(margins) == 0 {
			t.Skip()
		}
		margin := func(i int) *float64 {
			m := float64(margins[i%len(margins)]) / 10
			return &m
		}
		ground := field(t, 0, 0)
		var pads []formation.Pad
		for k, at := range [][]byte{first, second} {
			var ring orb.Ring
			for i := 1; i < len(at); i += 2 {
				ring = append(ring, orb.Point{float64(at[i-1]) / 3, float64(at[i]) / 3})
			}
			p := formation.Pad{Outline: orb.Polygon{ring}, Finished: 60 + float64(k*int(margins[0]%2)), Margin: *margin(0)}
			if len(margins) > 1 {
				for i := range ring {
					j := (i + 1) % len(ring)
					p.Edges = append(p.Edges, formation.Edge{From: fmt.Sprint(i + 1), To: fmt.Sprint(j + 1), Margin: margin(i + k)})
				}
			}
			if p.Check() == nil {
				pads = append(pads, p)
			}
		}
		l, err := formation.Lay(t.Context(), ground, pads, formation.Options{})
		if err != nil {
			var in *tin.InputError
			require.ErrorAs(t, err, &in)
			return
		}
		for _, o := range l.Outlines {
			wide, drawn := 0.0, 0.0
			for _, r := range corners(o) {
				wide += ringArea(r)
			}
			for _, i := range o.Pads {
				drawn += l.Pads[i].FormationArea
			}
			assert.InDelta(t, drawn, wide, 1e-5)
		}
	})
}
