package volume_test

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/tintest"
	"barrow/volume"
)

// decodeParts reads parts in four bytes each: what limits it has, its depths, the level
// of a horizon, and the corner of its area.
func decodeParts(data []byte, rock *tin.Surface, value func(byte) float64) (s volume.Split) {
	for ; len(data) >= 4 && len(s.Parts) < 6; data = data[4:] {
		p := volume.Part{By: volume.DepthBy(data[0] >> 7)}
		p.From = float64(data[1]%8) / 4
		if to := data[1] >> 4; to > 0 {
			p.To = p.From + float64(to)/4
		}
		level, onRock := volume.Horizon{Level: float64(data[2]%32) / 8}, volume.Horizon{Surface: rock}
		for bit, add := range []func(){
			func() { p.Below = append(p.Below, onRock) }, func() { p.Above = append(p.Above, onRock) },
			func() { p.Below = append(p.Below, level) }, func() { p.Above = append(p.Above, level) },
			func() {
				w, s := value(data[3]%8), value(data[3]>>4%8)
				p.Within = orb.MultiPolygon{box(w, s, value(8+data[2]>>5), value(15))}
			},
		} {
			if data[0]>>bit&1 == 1 {
				add()
			}
		}
		s.Parts = append(s.Parts, p)
	}
	return s
}

// FuzzSplitWorks splits the cut on ground of a few places by rock that has most of them in
// common. Parts and cells make up the whole, and nothing is less than nothing.
func FuzzSplitWorks(f *testing.F) {
	for i, set := range tintest.Sets() {
		points := set.Points[:min(len(set.Points), 30)]
		f.Add(encodeDuo([4]byte{byte(i), 0, byte(i), 0}, points, 1, 1, 13, 2, 12, 14, 6, 7), []byte{1, 0x20, 9, 0, byte(i * 31), 0x11, byte(i), 0x21, 3, 0, 0, 0})
		f.Add(encodeDuo([4]byte{byte(i), byte(37 * i), byte(i), 1}, points, 0, 0, 15, 0, 15, 15, 0, 15), []byte{0x85, 0x20, 9, 0, byte(i * 57), 0, 0, 0x45, 0x1f, 0x31, 70, 0})
	}
	f.Fuzz(func(t *testing.T, data, parts []byte) {
		d, ok := decodeDuo(data)
		if !ok {
			return
		}
		ground, err := d.a.build(t)
		if err != nil {
			return
		}
		rock, err := d.b.build(t)
		if err != nil {
			return
		}
		bound := ground.Bound()
		wide := bound.Max[0] - bound.Min[0] + bound.Max[1] - bound.Min[1]
		if d.outline == nil {
			d.outline = bound.Pad(wide / 100).ToPolygon()
		}
		if tin.CheckOutline(d.outline) != nil {
			return
		}
		s := decodeParts(parts, rock, func(b byte) float64 { return bound.Min[0] + wide*float64(b)/30 })
		s.CellSize, s.MaxCells = wide/7, 1000
		w := worksOn(t, ground, tin.LevelPlane(1), d.outline)
		got, err := volume.SplitWorks(t.Context(), w, s)
		if err != nil {
			var e *tin.InputError
			require.ErrorAs(t, err, &e)
			return
		}
		whole, err := volume.AgainstFacets(t.Context(), ground, w.Facets)
		require.NoError(t, err)
		far := max(math.Abs(bound.Max[0]), math.Abs(bound.Max[1]), math.Abs(bound.Min[0]))
		loose := (1e-11 + 100*0x1p-52*far/wide) * (whole.Cut + whole.Fill + wide*wide)
		require.InDelta(t, whole.Cut, got.Cut, loose)
		require.InDelta(t, whole.Fill, got.Fill, loose)
		sum := 0.0
		for _, v := range splitParts(got) {
			require.GreaterOrEqual(t, v, 0.0)
			sum += v
		}
		require.InDelta(t, got.Cut, sum, loose, "parts")
		sum = 0
		for _, c := range got.Cells {
			for _, v := range c.Cut {
				sum += v
			}
		}
		require.InDelta(t, got.Cut, sum, loose, "cells")
	})
}
