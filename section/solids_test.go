package section_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/section"
	"barrow/tin"
	"barrow/tin/tintest"
)

// The shared solids, whose volumes are known, with sections at every corner. Between
// corners the area of each is of the second degree, so the prismoidal rule is exact.
func TestSolids(t *testing.T) {
	for _, s := range tintest.Solids() {
		t.Run(s.Name, func(t *testing.T) {
			ground := surface(t, s.Points, s.Breaklines...)
			b := s.Outline.Bound()
			middle := (b.Min[1] + b.Max[1]) / 2
			a := align(t, orb.Point{b.Min[0], middle}, orb.Point{b.Max[0], middle})
			plan := section.Plan{Corners: s.Outline[0]}
			for _, p := range s.Points {
				plan.Corners = append(plan.Corners, orb.Point{p.E, p.N})
			}
			plan.Corners = append(plan.Corners, zeros(ground, s.Level)...)
			sections := sectionsOf(t, ground, pad(t, ground, s.Outline, tin.LevelPlane(s.Level), 0), a, plan)
			v := prismoidal(t, sections)
			assert.InEpsilon(t, 1+s.Cut, 1+v.Cut, 1e-12)
			assert.InEpsilon(t, 1+s.Fill, 1+v.Fill, 1e-12)
			assert.Empty(t, sections.Notes)
		})
	}
}

// zeros are the places where sides of the ground's triangles pass a level.
func zeros(ground *tin.Surface, level float64) (out []orb.Point) {
	for _, tr := range ground.Triangles() {
		for i, p := range tr.Corner {
			q := tr.Corner[(i+1)%3]
			if d, e := p.Level-level, q.Level-level; d*e < 0 {
				f := d / (d - e)
				out = append(out, orb.Point{p.E + f*(q.E-p.E), p.N + f*(q.N-p.N)})
			}
		}
	}
	return out
}

// A pyramid lies along the alignment: its area grows with the square of the way. From
// its two ends the average is wrong by half, the prismoidal rule is exact.
func TestPyramid(t *testing.T) {
	const length, half, deep = 30.0, 6.0, 2.0
	ground := planeGround(t, orb.Point{15, 0}, 50, tin.LevelPlane(0))
	f := facesOf(t, section.Face{Corner: []section.Corner{{E: 0, N: 0, Level: 0}, {E: length, N: -half, Level: -deep}, {E: length, N: half, Level: -deep}}})
	a := align(t, orb.Point{0, 0}, orb.Point{length, 0})
	s := sectionsOf(t, ground, f, a, section.Plan{})
	require.Len(t, s.Sections, 2)
	volume := 2 * half * deep * length / 3
	require.InDelta(t, volume*1.5, section.AverageEndArea(s.Spans(), section.Averaged).Cut, 1e-12*volume)
	require.InDelta(t, volume, section.AverageEndArea(s.Spans(), section.AsPyramid).Cut, 1e-12*volume)
	require.InDelta(t, volume, prismoidal(t, s).Cut, 1e-12*volume)
	over, err := section.OverMeasure(s.Spans())
	require.NoError(t, err)
	require.InDelta(t, volume/2, over.Cut, 1e-12*volume)
}

// A wedge from 2 m of cut to 1 m of fill: average end areas are exact where the zero
// line crosses the alignment square, and there is a section at it.
func TestWedge(t *testing.T) {
	ground := planeGround(t, orb.Point{15, 0}, 50, tin.Plane{At: orb.Point{0, 0}, Level: 2, Gradient: [2]float64{-0.1, 0}})
	f := pad(t, ground, box(0, -5, 30, 5), tin.LevelPlane(0), 0)
	a := align(t, orb.Point{0, 0}, orb.Point{30, 0})
	s := sectionsOf(t, ground, f, a, section.Plan{At: []float64{20}})
	v := section.AverageEndArea(s.Spans(), section.Averaged)
	require.InDelta(t, 10*20*1.0, v.Cut, 1e-11)
	require.InDelta(t, 10*10*0.5, v.Fill, 1e-11)
	// Without it each is over-measured, by the same.
	s = sectionsOf(t, ground, f, a, section.Plan{})
	v = section.AverageEndArea(s.Spans(), section.Averaged)
	require.InDelta(t, 300, v.Cut, 1e-11)
	require.InDelta(t, 150, v.Fill, 1e-11)
}

// Pads of random outline on sloping ground, along random lines: with a section at
// every corner the area is of the second degree between sections, whichever way the
// alignment runs.
func TestRandomPads(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 1))
	for i := range 60 {
		at := orb.Point{312540, 5812300}
		if i%2 == 0 {
			at = orb.Point{0, 0}
		}
		formation := tin.Plane{At: at, Level: -4, Gradient: [2]float64{0.05 * r.NormFloat64(), 0.05 * r.NormFloat64()}}
		natural := tin.Plane{At: at, Level: 3, Gradient: [2]float64{0.05 * r.NormFloat64(), 0.05 * r.NormFloat64()}}
		ground := planeGround(t, at, 200, natural)
		outline := star(r, at, 3+r.IntN(9), 8, 30)
		topsoil := 0.3 * r.Float64()
		f := pad(t, ground, orb.Polygon{outline}, formation, topsoil)
		sin, cos := math.Sincos(2 * math.Pi * r.Float64())
		a := align(t, orb.Point{at[0] - 50*cos, at[1] - 50*sin}, orb.Point{at[0] + 50*cos, at[1] + 50*sin})
		s := sectionsOf(t, ground, f, a, section.Plan{Interval: 20 * r.Float64(), Corners: outline, Works: outline})
		want := under(outline, func(p orb.Point) float64 {
			return natural.LevelAt(p[0], p[1]) - topsoil - formation.LevelAt(p[0], p[1])
		})
		v := prismoidal(t, s)
		require.InEpsilon(t, want, v.Cut, 1e-9, "pad %d", i)
		require.Zero(t, v.Fill)
		require.Empty(t, s.Notes)
	}
}

// An L-shaped pad, its arms square to the alignment: at the inner corner the width
// changes at once, and there are two sections of one chainage. Both rules are exact.
func TestStepAcross(t *testing.T) {
	outline := orb.Polygon{{{0, 0}, {30, 0}, {30, 10}, {20, 10}, {20, 25}, {0, 25}, {0, 0}}}
	natural := tin.Plane{Level: 1, Gradient: [2]float64{0.02, 0}}
	ground := planeGround(t, orb.Point{15, 10}, 60, natural)
	want := 25*20*1.2 + 10*10*1.5
	for name, f := range map[string]section.Profiler{
		"faces":   pad(t, ground, outline, tin.LevelPlane(0), 0),
		"surface": section.Surface(levelWithin(t, outline, 0), 0),
	} {
		t.Run(name, func(t *testing.T) {
			a := align(t, orb.Point{-5, 8}, orb.Point{40, 8})
			s := sectionsOf(t, ground, f, a, section.Plan{Interval: 7, Corners: outline[0]})
			var at []string
			for _, c := range s.Sections {
				at = append(at, fmt.Sprintf("%.0f:%.0f", c.Chainage, c.To-c.From))
			}
			require.Equal(t, []string{"0:0", "5:0", "5:25", "7:25", "14:25", "21:25", "25:25", "25:10", "28:10", "35:10", "35:0", "42:0", "45:0"}, at)
			require.InDelta(t, want, section.AverageEndArea(s.Spans(), section.Averaged).Cut, 1e-10)
			require.InDelta(t, want, prismoidal(t, s).Cut, 1e-10)
		})
	}
}

// levelWithin is a level surface whose boundary is an outline.
func levelWithin(t *testing.T, outline orb.Polygon, level float64) *tin.Surface {
	t.Helper()
	var points []tin.Point
	for _, p := range outline[0][1:] {
		points = append(points, tin.Point{E: p[0], N: p[1], Level: level})
	}
	s, err := tin.Build(t.Context(), []tin.Source{{Points: points}}, tin.Options{Boundary: orb.MultiPolygon{outline}})
	require.NoError(t, err)
	return s
}

// A ditch of one section along a ring of n legs, with its centroid off the alignment:
// area times the way of the centroid (Pappus), exactly.
func TestRing(t *testing.T) {
	const inner = 40.0 // from the centre square to each leg
	// Offsets to the right, towards the centre, and depths: area 6.75, centroid at 2.
	profile := []section.Level{{Offset: -1, Level: 0}, {Offset: 0.5, Level: -1.5}, {Offset: 3.5, Level: -1.5}, {Offset: 5, Level: 0}}
	typed, err := section.FromLevels(0, []section.Level{{Offset: -9}, {Offset: 9}}, profile)
	require.NoError(t, err)
	require.InDelta(t, 6.75, typed.Cut.Area, 1e-12)
	require.InDelta(t, 2, typed.Cut.Eccentricity(), 1e-12)
	for _, n := range []int{3, 4, 7, 24} {
		t.Run(fmt.Sprint(n), func(t *testing.T) {
			at := func(offset float64, i int) orb.Point { // clockwise, so that the centre is on the right
				sin, cos := math.Sincos(-2 * math.Pi * float64(i%n) / float64(n))
				r := (inner - offset) / math.Cos(math.Pi/float64(n))
				return orb.Point{r * cos, r * sin}
			}
			var line []orb.Point
			var faces []section.Face
			for i := range n + 1 {
				line = append(line, at(0, i))
				for k := 1; k < len(profile) && i < n; k++ {
					p, q := profile[k-1], profile[k]
					faces = append(faces, section.Face{Corner: []section.Corner{
						corner(at(p.Offset, i), p.Level), corner(at(p.Offset, i+1), p.Level),
						corner(at(q.Offset, i+1), q.Level), corner(at(q.Offset, i), q.Level)}})
				}
			}
			ground := planeGround(t, orb.Point{0, 0}, 200, tin.LevelPlane(0))
			a := align(t, line...)
			marks, err := a.Marks(section.Plan{})
			require.NoError(t, err)
			s, err := section.Cut(t.Context(), ground, facesOf(t, faces...), a, marks, section.Options{Middles: true, Reach: 8})
			require.NoError(t, err)
			require.Len(t, s.Sections, n+1)
			want := 6.75 * 2 * float64(n) * (inner - 2) * math.Tan(math.Pi/float64(n))
			v := section.AverageEndArea(s.Spans(), section.Averaged)
			require.InEpsilon(t, want, v.Cut, 1e-11)
			require.InEpsilon(t, want, prismoidal(t, s).Cut, 1e-11)
			require.InEpsilon(t, -6.75*2*float64(n)*2*math.Tan(math.Pi/float64(n)), v.CutCurvature, 1e-10)
		})
	}
	// Round a circle, of typed sections.
	ends := []section.End{typed.End(), typed.End(), typed.End()}
	ends[1].Chainage, ends[2].Chainage = math.Pi*inner, 2*math.Pi*inner
	round, err := section.OnCurve(spans(t, ends...), inner)
	require.NoError(t, err)
	require.InEpsilon(t, 6.75*2*math.Pi*(inner-2), section.AverageEndArea(round, section.Averaged).Cut, 1e-12)
	left, err := section.OnCurve(round, -inner)
	require.NoError(t, err)
	require.InEpsilon(t, 6.75*2*math.Pi*(inner+2), section.AverageEndArea(left, section.Averaged).Cut, 1e-12)
}

func corner(p orb.Point, level float64) section.Corner {
	return section.Corner{E: p[0], N: p[1], Level: level}
}
