package section_test

import (
	"errors"
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"barrow/section"
	"barrow/tin"
)

// Every kind of input that cannot be used is an error with its code and a hint.
func TestInputErrors(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	a := align(t, orb.Point{0, 0}, orb.Point{20, 0}, orb.Point{40, 10})
	ground := planeGround(t, orb.Point{0, 0}, 90, tin.LevelPlane(1))
	f := pad(t, ground, box(0, -5, 30, 5), tin.LevelPlane(0), 0)
	line := func(p ...orb.Point) error { _, err := section.NewAlignment(p, 0); return err }
	marks := func(p section.Plan) error { _, err := a.Marks(p); return err }
	cutAt := func(o section.Options, at ...float64) error {
		var m []section.Mark
		for _, c := range at {
			m = append(m, section.Mark{Chainage: c})
		}
		_, err := section.Cut(t.Context(), ground, f, a, m, o)
		return err
	}
	faces := func(fs ...section.Face) error { _, err := section.NewFaces(t.Context(), fs); return err }
	typed := func(ground, formation []section.Level) error {
		_, err := section.FromLevels(0, ground, formation)
		return err
	}
	three := func(s section.ThreeLevel) error { _, err := s.Section(0); return err }
	book := func(e ...section.End) error { _, err := section.Spans(e); return err }
	alternate := func(e ...section.End) error { _, err := section.Alternate(e); return err }
	hauled := func(h section.Haulage, v ...section.Volume) error { _, err := section.MassHaul(v, h); return err }
	level := levels(-5, 0, 5, 0)
	end := a.End()
	for _, tt := range []struct {
		code string
		err  error
	}{
		{"alignment_short", line()},
		{"alignment_short", line(orb.Point{1, 1}, orb.Point{1, 1})},
		{"leg_short", line(orb.Point{1, 1}, orb.Point{1, 1.000001}, orb.Point{5, 5})},
		{"bad_coordinate", line(orb.Point{0, 0}, orb.Point{nan, 0})},
		{"bad_coordinate", line(orb.Point{0, 0}, orb.Point{1e300, 0})},
		{"bad_coordinate", func() error { _, err := section.NewAlignment(orb.LineString{{0, 0}, {1, 0}}, inf); return err }()},
		{"alignment_turns_back", line(orb.Point{0, 0}, orb.Point{10, 0}, orb.Point{0, 0})},
		{"alignment_turns_back", line(orb.Point{0, 0}, orb.Point{10, 0}, orb.Point{0, 1})},
		{"alignment_short", func() error { _, err := section.Default([]orb.Point{{1, 1}, {1, 1}}); return err }()},
		{"bad_coordinate", func() error { _, err := section.Default([]orb.Point{{1, 1}, {1, inf}}); return err }()},
		{"bad_interval", marks(section.Plan{Interval: -1})},
		{"bad_interval", marks(section.Plan{Interval: nan})},
		{"too_many_sections", marks(section.Plan{Interval: 1e-300})},
		{"too_many_sections", marks(section.Plan{Interval: 1, Most: 10})},
		{"too_many_sections", marks(section.Plan{At: []float64{1, 2, 3, 4}, Most: 3})},
		{"chainage_outside", marks(section.Plan{At: []float64{-1}})},
		{"chainage_outside", marks(section.Plan{At: []float64{nan}})},
		{"bad_coordinate", marks(section.Plan{Corners: []orb.Point{{nan, 0}}})},
		{"bad_coordinate", marks(section.Plan{Works: []orb.Point{{nan, 0}}})},
		{"works_off_alignment", marks(section.Plan{Works: []orb.Point{{-9, 0}, {-4, 3}}})},
		{"too_few_sections", cutAt(section.Options{}, 3)},
		{"chainage_outside", cutAt(section.Options{}, 0, 999)},
		{"chainage_outside", cutAt(section.Options{}, nan, 9)},
		{"chainages_order", cutAt(section.Options{}, 5, 5)},
		{"bend_without_section", cutAt(section.Options{}, 0, end)},
		{"bend_without_section", cutAt(section.Options{}, 5, 10, end)},
		{"bad_reach", cutAt(section.Options{Reach: -1}, 0, 20, end)},
		{"bad_reach", cutAt(section.Options{Beyond: nan}, 0, 20, end)},
		{"bad_unit", cutAt(section.Options{Scale: -1}, 0, 20, end)},
		{"bad_unit", cutAt(section.Options{Unit: tin.Unit(nan)}, 0, 20, end)},
		{"bad_face", faces(section.Face{Corner: make([]section.Corner, 2)})},
		{"bad_face", faces(section.Face{Corner: make([]section.Corner, 3), Topsoil: -1})},
		{"bad_coordinate", faces(section.Face{Corner: []section.Corner{{}, {E: 1}, {N: inf}}})},
		{"bad_section", typed(levels(-5, nan, 5, 0), level)},
		{"offsets_order", typed(level, levels(-5, 0, 5, 0, 4, 0))},
		{"section_narrow", typed(nil, level)},
		{"section_narrow", typed(level, levels(1, 0, 1, 2))},
		{"bad_section", func() error { _, err := section.FromLevels(inf, level, level); return err }()},
		{"bad_section", three(section.ThreeLevel{Width: -1})},
		{"bad_section", three(section.ThreeLevel{Width: 8, LeftOffset: 3, RightOffset: 5})},
		{"section_mixed", three(section.ThreeLevel{Width: 8, Centre: 1, LeftHeight: -1, LeftOffset: 6, RightOffset: 6})},
		{"too_few_sections", book()},
		{"too_few_sections", book(cut(0, 1))},
		{"chainages_order", book(cut(5, 1), cut(0, 1))},
		{"bad_section", book(cut(0, -1), cut(5, 1))},
		{"bad_section", book(cut(0, 1), cut(inf, 1))},
		{"sections_even", alternate(cut(0, 1), cut(5, 1))},
		{"not_half_way", alternate(cut(0, 1), cut(5, 1), cut(9, 1))},
		{"bad_radius", func() error { _, err := section.OnCurve(nil, 0); return err }()},
		{"no_middle_section", func() error { _, err := section.Prismoidal(spans(t, cut(0, 1), cut(5, 1))); return err }()},
		{"no_middle_section", func() error { _, err := section.OverMeasure(spans(t, cut(0, 1), cut(5, 1))); return err }()},
		{"no_middle_section", func() error { _, err := section.Halve(spans(t, cut(0, 1), cut(5, 1))); return err }()},
		{"bad_haulage", hauled(section.Haulage{CompactedPerBank: -1})},
		{"bad_haulage", hauled(section.Haulage{FreeHaul: nan})},
		{"bad_volume", hauled(section.Haulage{}, section.Volume{To: 5, Cut: -1})},
		{"chainages_order", hauled(section.Haulage{}, section.Volume{To: 5}, section.Volume{From: 6, To: 9})},
	} {
		var input *tin.InputError
		require.True(t, errors.As(tt.err, &input), "%s: %v", tt.code, tt.err)
		require.Equal(t, tt.code, input.Code, "%v", tt.err)
		require.NotEmpty(t, input.Hint, tt.code)
	}
	// What overlaps is found where it is met.
	square := section.Face{Corner: []section.Corner{{E: 0, N: -5}, {E: 30, N: -5}, {E: 30, N: 5}, {E: 0, N: 5}}}
	f = facesOf(t, square, square)
	var input *tin.InputError
	require.True(t, errors.As(cutAt(section.Options{}, 0, 20, end), &input))
	require.Equal(t, "faces_overlap", input.Code)
	// A formation of no faces is no works.
	f = facesOf(t)
	require.NoError(t, cutAt(section.Options{}, 0, 20, end))
}
