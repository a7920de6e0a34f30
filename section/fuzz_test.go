package section_test

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"barrow/section"
	"barrow/tin"
)

// Bytes make an alignment, faces on a square grid, and marks, all on small numbers
// where corners and sections meet often. Nothing panics; areas and volumes are
// finite and not negative on the straight; cut less fill is the unsplit sum.
func FuzzCut(f *testing.F) {
	f.Add([]byte{0, 8, 16, 8, 1, 2, 3, 4, 5})
	f.Add([]byte{0, 0, 16, 16, 0, 16, 200, 7, 7, 7, 7, 1})
	ground := surface(f, []tin.Point{{E: -20, N: -20}, {E: 40, N: -20, Level: 3}, {E: 40, N: 40, Level: -2}, {E: -20, N: 40, Level: 1}, {E: 8, N: 8, Level: 2}})
	f.Fuzz(func(t *testing.T, data []byte) {
		next := func() float64 {
			if len(data) == 0 {
				return 0
			}
			b := data[0]
			data = data[1:]
			return float64(b % 17)
		}
		var line orb.LineString
		for range 2 + int(next())%3 {
			line = append(line, orb.Point{next(), next()})
		}
		var faces []section.Face
		for i := range 16 {
			x, y, z := float64(i%4*4), float64(i/4*4), next()/4-2
			if z > 1.8 {
				continue
			}
			faces = append(faces, section.Face{Topsoil: next() / 50, Corner: []section.Corner{{E: x, N: y, Level: z}, {E: x + 4, N: y, Level: z}, {E: x + 4, N: y + 4, Level: z}, {E: x, N: y + 4, Level: z}}})
		}
		a, err := section.NewAlignment(line, next())
		if err != nil {
			return
		}
		var corners []orb.Point
		for _, face := range faces {
			for _, c := range face.Corner {
				corners = append(corners, orb.Point{c.E, c.N})
			}
		}
		marks, err := a.Marks(section.Plan{Interval: next() / 3, Corners: corners})
		require.NoError(t, err)
		s, err := section.Cut(t.Context(), ground, facesOf(t, faces...), a, marks, section.Options{Middles: true, Reach: next()})
		require.NoError(t, err)
		for _, s := range s.Sections {
			require.GreaterOrEqual(t, s.Cut.Area, 0.0)
			require.GreaterOrEqual(t, s.Fill.Area, 0.0)
			unsplit := 0.0
			for _, p := range s.Strips {
				unsplit += (p.To - p.From) * ((p.Ground - p.Formation) + (p.GroundTo - p.FormationTo)) / 2
			}
			require.InDelta(t, unsplit, s.Cut.Area-s.Fill.Area, 1e-9)
		}
		v, err := section.Prismoidal(s.Spans())
		require.NoError(t, err)
		require.False(t, math.IsNaN(v.Cut) || math.IsInf(v.Cut, 0) || math.IsNaN(v.Fill) || math.IsInf(v.Fill, 0))
		if len(line) == 2 && a.Length() > 0 && len(s.Notes) == 0 && len(faces) > 0 {
			require.GreaterOrEqual(t, v.Cut+v.Fill, 0.0)
		}
	})
}

// Any numbers whatever, typed.
func FuzzTyped(f *testing.F) {
	f.Add(0.0, -5.0, 1.0, 0.0, 2.0, 5.0, 1.5, 3.0)
	f.Add(1.0, math.NaN(), 1.0, math.Inf(1), 2.0, 5.0, 1e300, -3.0)
	f.Fuzz(func(t *testing.T, c, a, b, d, e, g, h, i float64) {
		s, err := section.FromLevels(c, levels(a, b, d, e, g, h), levels(a, i, g, b))
		if err == nil {
			require.False(t, math.IsNaN(s.Cut.Area+s.Fill.Area))
			require.GreaterOrEqual(t, min(s.Cut.Area, s.Fill.Area), 0.0)
		}
		_, _ = section.ThreeLevel{Width: a, Centre: b, LeftOffset: d, LeftHeight: e, RightOffset: g, RightHeight: h}.Section(c)
		run, err := section.Spans([]section.End{{Chainage: a, Cut: section.Area{Area: b, Moment: c}}, {Chainage: d, Fill: section.Area{Area: e, Moment: g}}})
		if err == nil {
			v := section.AverageEndArea(run, section.AsPyramid)
			require.False(t, math.IsNaN(v.Cut+v.Fill))
		}
		hauled, err := section.MassHaul([]section.Volume{{From: a, To: d, Cut: b, Fill: e}, {From: d, To: g, Cut: h, Fill: i}}, section.Haulage{CompactedPerBank: c, FreeHaul: e, Longest: i})
		if err == nil {
			require.False(t, math.IsNaN(hauled.Moment+hauled.Overhaul+hauled.Waste+hauled.Import))
		}
		section.Interval(c, tin.Metre)
	})
}
