package section_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"barrow/section"
)

func levels(v ...float64) (out []section.Level) {
	for i := 0; i+1 < len(v); i += 2 {
		out = append(out, section.Level{Offset: v[i], Level: v[i+1]})
	}
	return out
}

func TestFromLevels(t *testing.T) {
	for _, tt := range []struct {
		name                       string
		ground, formation          []section.Level
		cut, fill, uncovered, from float64
	}{
		{"cut", levels(-10, 3, 10, 3), levels(-5, 1, 5, 1), 20, 0, 0, -5},
		{"fill", levels(-10, 3, 10, 3), levels(-5, 4, 5, 4), 0, 10, 0, -5},
		{"side hill", levels(-10, -2, 10, 2), levels(-10, 0, 10, 0), 10, 10, 0, -10},
		{"crossing off the offsets", levels(0, 0, 3, 3), levels(0, 1, 3, 1), 2, 0.5, 0, 0},
		{"upright sides", levels(-10, 0, 10, 0), levels(-5, 0, -5, -2, 5, -2, 5, 0), 20, 0, 0, -5},
		{"a step in the ground", levels(0, 0, 2, 0, 2, 1, 4, 1), levels(0, 0, 4, 0), 2, 0, 0, 0},
		{"ground short on both sides", levels(-3, 1, 4, 1), levels(-5, 0, 5, 0), 7, 0, 3, -5},
		{"no ground at all", levels(20, 1, 30, 1), levels(-5, 0, 5, 0), 0, 0, 10, -5},
		{"at formation", levels(-5, 0, 5, 0), levels(-5, 0, 5, 0), 0, 0, 0, -5},
	} {
		t.Run(tt.name, func(t *testing.T) {
			s, err := section.FromLevels(100, tt.ground, tt.formation)
			require.NoError(t, err)
			require.InDelta(t, tt.cut, s.Cut.Area, 1e-14)
			require.InDelta(t, tt.fill, s.Fill.Area, 1e-14)
			require.InDelta(t, tt.uncovered, s.Uncovered, 1e-14)
			require.InDelta(t, tt.from, s.From, 0)
			require.InDelta(t, 100, s.End().Chainage, 0)
		})
	}
}

// The moment of a triangle 3 m wide and high whose upright side is at offset 5:
// 4.5 m2 at a third of its width.
func TestMoment(t *testing.T) {
	s, err := section.FromLevels(0, levels(2, 0, 5, 3), levels(2, 0, 5, 0))
	require.NoError(t, err)
	require.InDelta(t, 4.5, s.Cut.Area, 1e-14)
	require.InDelta(t, 4, s.Cut.Eccentricity(), 1e-14)
	require.Zero(t, s.Fill.Eccentricity())
}

// At an upright step depth is that to the right; beyond the works there is none.
func TestDepthAtStep(t *testing.T) {
	s, err := section.FromLevels(0, levels(-9, 1, 9, 1), levels(-5, 0, 0, 0, 0, -1, 5, -1))
	require.NoError(t, err)
	for offset, want := range map[float64]float64{-5: 1, -2: 1, 0: 2, 3: 2, 5: 2} {
		depth, ok := s.DepthAt(offset)
		require.True(t, ok)
		require.InDelta(t, want, depth, 1e-14)
	}
	for _, offset := range []float64{-5.1, 5.1} {
		_, ok := s.DepthAt(offset)
		require.False(t, ok)
	}
}

func TestCrissCross(t *testing.T) {
	require.InDelta(t, 12, section.CrissCross(levels(0, 0, 0, 3, 4, 3, 4, 0)), 1e-14)
	require.InDelta(t, -12, section.CrissCross(levels(4, 0, 4, 3, 0, 3, 0, 0)), 1e-14)
	require.Zero(t, section.CrissCross(levels(0, 0, 3, 1)))
	require.Zero(t, section.CrissCross(nil))
	// An irregular section by both roads.
	ground := levels(-8, 3, -4, 3.4, 0, 2.5, 3, 2.9, 9, 4)
	formation := levels(-8, 3, -5, 0, 5, 0, 9, 4)
	s, err := section.FromLevels(0, ground, formation)
	require.NoError(t, err)
	ring := append(levels(-5, 0), ground...)
	require.InDelta(t, section.CrissCross(append(ring, levels(5, 0)...)), s.Cut.Area, 1e-13)
}

func TestThreeLevelFill(t *testing.T) {
	three := section.ThreeLevel{Width: 8, Centre: -2, LeftOffset: 7, LeftHeight: -1.5, RightOffset: 9, RightHeight: -2.5}
	s, err := three.Section(0)
	require.NoError(t, err)
	require.InDelta(t, -three.Area(), s.Fill.Area, 1e-14)
	require.Zero(t, s.Cut.Area)
	upright := section.ThreeLevel{Width: 8, Centre: 2, LeftOffset: 4, LeftHeight: 2, RightOffset: 4, RightHeight: 2}
	s, err = upright.Section(0)
	require.NoError(t, err)
	require.InDelta(t, 16, s.Cut.Area, 1e-14)
	require.InDelta(t, 16, upright.Area(), 1e-14)
}
