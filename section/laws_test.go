package section_test

import (
	"cmp"
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"barrow/section"
	"barrow/tin"
)

// rough is ground of random spots round the origin, levels between -2 and 2.
func rough(t testing.TB, seed uint64, e, n, level float64) *tin.Surface {
	t.Helper()
	r := rand.New(rand.NewPCG(seed, 77))
	points := make([]tin.Point, 600)
	for i := range points {
		// Decimals of a quarter, so that a shift rounds nothing away.
		points[i] = tin.Point{E: e + math.Round(480*r.Float64()-240)/4, N: n + math.Round(480*r.Float64()-240)/4, Level: level + math.Round(16*r.Float64()-8)/4}
	}
	slices.SortFunc(points, func(p, q tin.Point) int { return cmp.Or(cmp.Compare(p.E, q.E), cmp.Compare(p.N, q.N)) })
	points = slices.CompactFunc(points, func(p, q tin.Point) bool { return p.E == q.E && p.N == q.N })
	return surface(t, points)
}

var bent = []orb.Point{{-35, -10}, {-10, 4}, {12, 0}, {33, 12}}

func moved(line []orb.Point, e, n float64) []orb.Point {
	out := make([]orb.Point, len(line))
	for i, p := range line {
		out[i] = orb.Point{p[0] + e, p[1] + n}
	}
	return out
}

// roughJob is a level pad on rough ground along a bent line.
func roughJob(t testing.TB, seed uint64, e, n, level float64, line ...orb.Point) *section.Run {
	t.Helper()
	ground := rough(t, seed, e, n, level)
	outline := box(e-30, n-14, e+30, n+14)
	f := pad(t, ground, outline, tin.LevelPlane(level+0.125), 0)
	return sectionsOf(t, ground, f, align(t, line...), section.Plan{Interval: 4, Corners: outline[0]})
}

func TestShiftAndLift(t *testing.T) {
	for seed := range uint64(4) {
		want := roughJob(t, seed, 0, 0, 0, bent...)
		got := roughJob(t, seed, 312540, 5812300, 64, moved(bent, 312540, 5812300)...)
		require.Len(t, got.Sections, len(want.Sections))
		for i, s := range want.Sections {
			require.InDelta(t, s.Cut.Area, got.Sections[i].Cut.Area, 1e-6)
			require.InDelta(t, s.Fill.Moment, got.Sections[i].Fill.Moment, 1e-4)
		}
		v, w := prismoidal(t, want), prismoidal(t, got)
		require.InEpsilon(t, v.Cut, w.Cut, 1e-8)
		require.InEpsilon(t, v.Fill, w.Fill, 1e-8)
	}
}

func TestReverse(t *testing.T) {
	for seed := range uint64(4) {
		ahead := roughJob(t, seed, 0, 0, 0, bent...)
		line := slices.Clone(bent)
		slices.Reverse(line)
		// The interval counts from the other end: the same chainages are listed.
		ground := rough(t, seed, 0, 0, 0)
		a := align(t, line...)
		var at []float64
		for _, s := range ahead.Sections {
			at = append(at, min(max(a.End()-s.Chainage, 0), a.End()))
		}
		outline := box(-30, -14, 30, 14)
		f := pad(t, ground, outline, tin.LevelPlane(0.125), 0)
		back := sectionsOf(t, ground, f, a, section.Plan{At: at, Corners: outline[0]})
		require.Len(t, back.Sections, len(ahead.Sections))
		for i, s := range ahead.Sections {
			b := back.Sections[len(back.Sections)-1-i]
			require.InDelta(t, s.Cut.Area, b.Cut.Area, 1e-8)
			require.InDelta(t, s.Cut.Moment, -b.Cut.Moment, 1e-7)
			require.InDelta(t, s.From, -b.To, 1e-8)
		}
		v, w := prismoidal(t, ahead), prismoidal(t, back)
		require.InEpsilon(t, v.Cut, w.Cut, 1e-10)
		require.InEpsilon(t, v.Fill, w.Fill, 1e-10)
		v, w = section.AverageEndArea(ahead.Spans(), section.AsPyramid), section.AverageEndArea(back.Spans(), section.AsPyramid)
		require.InEpsilon(t, v.Cut, w.Cut, 1e-10)
		require.InEpsilon(t, v.CutCurvature, w.CutCurvature, 1e-7)
	}
}

// Spans add up, and halving them is cutting at half the interval.
func TestSplitAndRefine(t *testing.T) {
	s := roughJob(t, 9, 0, 0, 0, bent...)
	run := s.Spans()
	whole := section.AverageEndArea(run, section.Averaged)
	for _, at := range []int{1, len(run) / 3, len(run) - 1} {
		a, b := section.AverageEndArea(run[:at], section.Averaged), section.AverageEndArea(run[at:], section.Averaged)
		require.InEpsilon(t, whole.Cut, a.Cut+b.Cut, 1e-14)
		require.InEpsilon(t, whole.Fill, a.Fill+b.Fill, 1e-14)
	}
	halves, err := section.Halve(run)
	require.NoError(t, err)
	fine := section.AverageEndArea(halves, section.Averaged)
	limit, off := section.Richardson(whole.Cut, fine.Cut, 2)
	require.InEpsilon(t, prismoidal(t, s).Cut, limit, 1e-13)
	require.InDelta(t, fine.Cut, limit+off, 1e-9)
	over, err := section.OverMeasure(run)
	require.NoError(t, err)
	require.InDelta(t, whole.Cut-limit, over.Cut, 1e-9)
	// Sections where the solid has no corner change nothing.
	natural := tin.Plane{Level: 2, Gradient: [2]float64{0.03, -0.01}}
	ground := planeGround(t, orb.Point{0, 0}, 90, natural)
	outline := box(-20, -8, 25, 9)
	f := pad(t, ground, outline, tin.LevelPlane(0), 0)
	volume := under(outline[0], func(p orb.Point) float64 { return natural.LevelAt(p[0], p[1]) })
	for _, interval := range []float64{0, 17, 3, 0.7} {
		s := sectionsOf(t, ground, f, align(t, orb.Point{-40, -3}, orb.Point{60, 20}), section.Plan{Interval: interval, Corners: outline[0]})
		require.InEpsilon(t, volume, prismoidal(t, s).Cut, 1e-12)
	}
}

// Ground and formation in each other's place: cut is fill and fill is cut, to the
// bit where both end at one rim.
func TestSwap(t *testing.T) {
	a := align(t, bent...)
	marks, err := a.Marks(section.Plan{Interval: 5})
	require.NoError(t, err)
	one, two := rough(t, 1, 0, 0, 0), rough(t, 2, 0, 0, 0)
	opts := section.Options{Reach: 12}
	s, err := section.Cut(t.Context(), one, section.Surface(two, 0), a, marks, opts)
	require.NoError(t, err)
	w, err := section.Cut(t.Context(), two, section.Surface(one, 0), a, marks, opts)
	require.NoError(t, err)
	for i := range s.Sections {
		require.Positive(t, s.Sections[i].Cut.Area)
		require.InDelta(t, s.Sections[i].Cut.Area, w.Sections[i].Fill.Area, 1e-10)
		require.InDelta(t, s.Sections[i].Fill.Area, w.Sections[i].Cut.Area, 1e-10)
	}
}

// Areas of a section against many depths asked of both surfaces one by one.
func TestAreasBySampling(t *testing.T) {
	one, two := rough(t, 3, 0, 0, 0), rough(t, 4, 0, 0, 0)
	a := align(t, bent...)
	marks, err := a.Marks(section.Plan{Interval: 9})
	require.NoError(t, err)
	const topsoil, reach, n = 0.2, 12.0, 40_000
	s, err := section.Cut(t.Context(), one, section.Surface(two, topsoil), a, marks, section.Options{Reach: reach})
	require.NoError(t, err)
	for _, s := range s.Sections {
		var cut, fill float64
		width := (s.To - s.From) / n
		for k := range n {
			offset := s.From + (float64(k)+0.5)*width
			e, m := s.At[0]+offset*s.Right[0], s.At[1]+offset*s.Right[1]
			ground, ok := one.LevelAt(e, m)
			require.True(t, ok)
			formation, ok := two.LevelAt(e, m)
			require.True(t, ok)
			depth := ground - topsoil - formation
			cut, fill = cut+max(depth, 0)*width, fill+max(-depth, 0)*width
			if k%97 == 0 {
				got, ok := s.DepthAt(offset)
				require.True(t, ok)
				require.InDelta(t, depth, got, 1e-9)
				level, ok := s.GroundAt(offset)
				require.True(t, ok)
				require.InDelta(t, ground, level, 1e-9)
				level, ok = s.FormationAt(offset)
				require.True(t, ok)
				require.InDelta(t, formation, level, 1e-9)
			}
		}
		require.InDelta(t, cut, s.Cut.Area, 1e-5)
		require.InDelta(t, fill, s.Fill.Area, 1e-5)
		_, ok := s.DepthAt(s.To + 1)
		require.False(t, ok)
	}
}

// A section does not depend on the order of faces, spots, or listed chainages.
func TestOrderOfInput(t *testing.T) {
	ground := rough(t, 5, 0, 0, 0)
	var faces []section.Face
	for i := range 12 {
		for k := range 5 {
			b := box(float64(5*i-30), float64(5*k-12), float64(5*i-25), float64(5*k-7))
			face := section.Face{}
			for _, p := range b[0][:4] {
				face.Corner = append(face.Corner, corner(p, float64(i%3)/4))
			}
			faces = append(faces, face)
		}
	}
	a := align(t, bent...)
	plan := section.Plan{Interval: 3, At: []float64{11.5, 2.25, 40}}
	want := sectionsOf(t, ground, facesOf(t, faces...), a, plan)
	r := rand.New(rand.NewPCG(1, 2))
	for range 5 {
		r.Shuffle(len(faces), func(i, j int) { faces[i], faces[j] = faces[j], faces[i] })
		r.Shuffle(len(plan.At), func(i, j int) { plan.At[i], plan.At[j] = plan.At[j], plan.At[i] })
		require.Equal(t, want, sectionsOf(t, ground, facesOf(t, faces...), a, plan))
	}
}

func TestNotes(t *testing.T) {
	ground := planeGround(t, orb.Point{0, 0}, 20, tin.LevelPlane(1))
	f := facesOf(t, section.Face{Corner: []section.Corner{{E: -10, N: -30}, {E: 10, N: -30}, {E: 10, N: 5}, {E: -10, N: 5}}})
	s := sectionsOf(t, ground, f, align(t, orb.Point{-10, 0}, orb.Point{10, 0}), section.Plan{})
	require.Len(t, s.Notes, 1)
	require.Equal(t, "ground_missing", s.Notes[0].Code)
	require.InDelta(t, 10, s.Sections[0].Uncovered, 1e-5)
	require.InDelta(t, 25, s.Sections[0].Cut.Area, 1e-5)
	// Two sections of a leg that cross in the works.
	ground = planeGround(t, orb.Point{0, 0}, 90, tin.LevelPlane(1))
	f = pad(t, ground, box(-20, -30, 30, 15), tin.LevelPlane(0), 0)
	bend := align(t, orb.Point{-20, 0}, orb.Point{0, 0}, orb.Point{0, 15})
	s = sectionsOf(t, ground, f, bend, section.Plan{Interval: 5})
	require.Equal(t, []string{"sections_cross"}, codes(s.Notes))
	marks := []section.Mark{{Chainage: 0}, {Chainage: 15}, {Chainage: 20}, {Chainage: 35}}
	s, err := section.Cut(t.Context(), ground, f, bend, marks, section.Options{Reach: 4})
	require.NoError(t, err)
	require.Empty(t, s.Notes)
	// There and back, with the works beside each other.
	loop := align(t, orb.Point{-20, 0}, orb.Point{30, 0}, orb.Point{30, 12}, orb.Point{-20, 12})
	s = sectionsOf(t, ground, f, loop, section.Plan{Interval: 10})
	require.Equal(t, []string{"sections_cross"}, codes(s.Notes))
	// Works past both ends.
	s = sectionsOf(t, ground, f, align(t, orb.Point{-15, 0}, orb.Point{10, 0}), section.Plan{})
	require.Equal(t, []string{"works_beyond_end", "works_beyond_end"}, codes(s.Notes))
}

func codes(notes []tin.Problem) (out []string) {
	for _, n := range notes {
		out = append(out, n.Code)
	}
	return out
}

func TestCancel(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	a := align(t, bent...)
	marks, err := a.Marks(section.Plan{Interval: 1})
	require.NoError(t, err)
	_, err = section.Cut(ctx, rough(t, 1, 0, 0, 0), section.Surface(rough(t, 2, 0, 0, 0), 0), a, marks, section.Options{})
	require.ErrorIs(t, err, context.Canceled)
}

// A part of the works, in the local units of its ground, is the same face as the facet
// it was cut from; ground can be shown past the works; progress is told.
func TestPieceFace(t *testing.T) {
	ground := rough(t, 6, 312540, 5812300, 0)
	frame := ground.Frame()
	plane := tin.Plane{At: orb.Point{312540, 5812300}, Level: -3, Gradient: [2]float64{0.1, 0}}
	cells, err := ground.Partition([]orb.Polygon{box(312530, 5812290, 312550, 5812310)}, nil)
	require.NoError(t, err)
	var facets, pieces []section.Face
	for _, c := range cells {
		facets = append(facets, section.FacetFace(tin.Facet{Cell: c, Plane: plane, Topsoil: 0.25}))
		piece := tin.FacePiece{Topsoil: 0.25}
		for _, p := range c.Corner {
			x, y := frame.Local(p)
			piece.Corner = append(piece.Corner, tin.FaceCorner{X: x, Y: y, Face: plane.LevelAt(p[0], p[1])})
		}
		pieces = append(pieces, section.PieceFace(frame, piece))
	}
	a := align(t, orb.Point{312530, 5812300}, orb.Point{312550, 5812301})
	marks, err := a.Marks(section.Plan{Interval: 3})
	require.NoError(t, err)
	told := 0
	opts := section.Options{Beyond: 2, Progress: func(done, total int) { told++ }}
	one, err := section.Cut(t.Context(), ground, facesOf(t, facets...), a, marks, opts)
	require.NoError(t, err)
	two, err := section.Cut(t.Context(), ground, facesOf(t, pieces...), a, marks, opts)
	require.NoError(t, err)
	require.Positive(t, told)
	for i, s := range one.Sections {
		require.Positive(t, s.Cut.Area)
		require.InDelta(t, s.Cut.Area, two.Sections[i].Cut.Area, 1e-7)
		_, ok := s.GroundAt(s.To + 1.9)
		require.True(t, ok)
		_, ok = s.FormationAt(s.To + 1.9)
		require.False(t, ok)
		_, ok = s.GroundAt(s.To + 2.1)
		require.False(t, ok)
	}
}
