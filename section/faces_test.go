package section_test

import (
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"barrow/section"
	"barrow/tin"
)

// A section along a side that two faces share but for rounding: they seem to overlap on
// it by 13 m, and do so by some nanometres. It is no error, and counts once.
func TestProfileAlongASide(t *testing.T) {
	f := facesOf(t,
		section.Face{Corner: []section.Corner{{E: 0, N: -3e-8, Level: 4}, {E: 40, N: 3e-8, Level: 4}, {E: 40, N: 5, Level: 4}, {E: 0, N: 5, Level: 4}}},
		section.Face{Corner: []section.Corner{{E: 0, N: -5, Level: 4}, {E: 40, N: -5, Level: 4}, {E: 40, N: 5e-8, Level: 4}, {E: 0, N: -1e-8, Level: 4}}},
	)
	for _, side := range []section.Side{section.Ahead, section.Behind} {
		stretches, err := f.Profile(orb.Point{-5, 0}, orb.Point{45, 0}, side)
		require.NoError(t, err)
		require.Len(t, stretches, 2)
		require.InDelta(t, 5, min(stretches[0].From, stretches[1].From), 1e-9)
		require.InDelta(t, 45, max(stretches[0].To, stretches[1].To), 1e-9)
	}
	s, err := section.Cut(t.Context(), planeGround(t, orb.Point{20, 0}, 60, tin.LevelPlane(10)), f, align(t, orb.Point{20, -4}, orb.Point{20, 4}), []section.Mark{{Chainage: 0}, {Chainage: 4}, {Chainage: 8}}, section.Options{})
	require.NoError(t, err)
	require.InDelta(t, 40*6, s.Sections[1].Cut.Area, 1e-9)
}
