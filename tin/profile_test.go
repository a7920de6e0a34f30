package tin_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/tintest"
)

func TestProfile(t *testing.T) {
	noGround := math.NaN()
	voids := tin.Options{Voids: orb.MultiPolygon{box(20, 20, 40, 80)}}
	bounded := tin.Options{Boundary: orb.MultiPolygon{box(10, -10, 30, 110), box(60, 40, 90, 60)}}
	tests := []struct {
		name string
		opts tin.Options
		line orb.LineString
		want []tin.Station
	}{
		{"across, and out on both sides", tin.Options{}, orb.LineString{{-50, 50}, {150, 50}}, []tin.Station{
			{0, -50, 50, noGround, false}, {50, 0, 50, 10, true}, {100, 50, 50, 10.5, true}, {150, 100, 50, 11, false}, {200, 150, 50, noGround, false},
		}},
		{"inside, with a bend", tin.Options{}, orb.LineString{{10, 10}, {40, 10}, {40, 50}}, []tin.Station{
			{0, 10, 10, 10.1, true}, {30, 40, 10, 10.4, true}, {70, 40, 50, 10.4, false},
		}},
		{"a point twice counts once", tin.Options{}, orb.LineString{{10, 10}, {10, 10}, {40, 10}, {40, 10}}, []tin.Station{
			{0, 10, 10, 10.1, true}, {30, 40, 10, 10.4, false},
		}},
		{"along the diagonal", tin.Options{}, orb.LineString{{0, 100}, {100, 0}}, []tin.Station{
			{0, 0, 100, 10, true}, {100 * math.Sqrt2, 100, 0, 11, false},
		}},
		{"along the rim", tin.Options{}, orb.LineString{{-20, 0}, {0, 0}, {100, 0}, {120, 0}}, []tin.Station{
			{0, -20, 0, noGround, false}, {20, 0, 0, 10, true}, {120, 100, 0, 11, false}, {140, 120, 0, noGround, false},
		}},
		{"beside the ground", tin.Options{}, orb.LineString{{-20, 101}, {200, 101}}, []tin.Station{
			{0, -20, 101, noGround, false}, {220, 200, 101, noGround, false},
		}},
		{"touching a corner", tin.Options{}, orb.LineString{{-10, 10}, {10, -10}}, []tin.Station{
			{0, -10, 10, noGround, false}, {10 * math.Sqrt2, 0, 0, 10, false}, {20 * math.Sqrt2, 10, -10, noGround, false},
		}},
		{"over a void", voids, orb.LineString{{10, 30}, {60, 30}}, []tin.Station{
			{0, 10, 30, 10.1, true}, {10, 20, 30, 10.2, false}, {30, 40, 30, 10.4, true}, {50, 60, 30, 10.6, false},
		}},
		{"beginning in a void", voids, orb.LineString{{30, 30}, {60, 30}}, []tin.Station{
			{0, 30, 30, noGround, false}, {10, 40, 30, 10.4, true}, {30, 60, 30, 10.6, false},
		}},
		{"along a void", voids, orb.LineString{{20, 10}, {20, 90}}, []tin.Station{
			{0, 20, 10, 10.2, true}, {10, 20, 20, 10.2, true}, {70, 20, 80, 10.2, true}, {80, 20, 90, 10.2, false},
		}},
		{"through two boundaries", bounded, orb.LineString{{0, 50}, {100, 50}}, []tin.Station{
			{0, 0, 50, noGround, false}, {10, 10, 50, 10.1, true}, {30, 30, 50, 10.3, false},
			{50, 50, 50, noGround, false}, // the diagonal, where there is no ground
			{60, 60, 50, 10.6, true}, {90, 90, 50, 10.9, false}, {100, 100, 50, noGround, false},
		}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, err := buildWith(t, tt.opts, onPlane()).Profile(tt.line)
			require.NoError(t, err)
			require.Len(t, got, len(tt.want), "%v", got)
			for i, want := range tt.want {
				assert.InDelta(t, want.Chainage, got[i].Chainage, 1e-11, "chainage %d", i)
				assert.InDelta(t, want.E, got[i].E, 1e-11, "easting %d", i)
				assert.InDelta(t, want.N, got[i].N, 1e-11, "northing %d", i)
				if math.IsNaN(want.Level) {
					assert.True(t, math.IsNaN(got[i].Level), "level %d: %v", i, got[i].Level)
				} else {
					assert.InDelta(t, want.Level, got[i].Level, 1e-11, "level %d", i)
				}
				assert.Equal(t, want.Ground, got[i].Ground, "ground %d", i)
			}
		})
	}
}

func TestProfileRefusesWhatIsNoLine(t *testing.T) {
	s := build(t, square())
	for _, tt := range []struct {
		line orb.LineString
		code string
	}{
		{nil, "line_short"},
		{orb.LineString{{1, 1}}, "line_short"},
		{orb.LineString{{1, 1}, {1, 1}, {1, 1}}, "line_short"},
		{orb.LineString{{1, 1}, {math.NaN(), 1}}, "bad_coordinate"},
		{orb.LineString{{1, math.Inf(1)}, {2, 1}}, "bad_coordinate"},
		{orb.LineString{{1, 1}, {2, 2}, {-1e300, 1}}, "bad_coordinate"},
	} {
		got, err := s.Profile(tt.line)
		assert.Nil(t, got)
		assert.Equal(t, tt.code, asInputError(t, err).Code)
	}
}

// checkProfile holds a profile against the line and LevelAt.
func checkProfile(t *testing.T, s *tin.Surface, line orb.LineString, got []tin.Station, slack float64) {
	t.Helper()
	require.GreaterOrEqual(t, len(got), 2)
	last := got[len(got)-1]
	require.Zero(t, got[0].Chainage)
	require.InEpsilon(t, planar.Length(line), last.Chainage, 1e-12)
	require.Equal(t, line[0], orb.Point{got[0].E, got[0].N})
	require.Equal(t, line[len(line)-1], orb.Point{last.E, last.N})
	require.False(t, last.Ground)
	for i, p := range got[:len(got)-1] {
		q := got[i+1]
		require.Less(t, p.Chainage, q.Chainage)
		require.InDelta(t, q.Chainage-p.Chainage, math.Hypot(q.E-p.E, q.N-p.N), 1e-9)
		for _, w := range []float64{0.5, 0.3, 0.85} {
			z, ok := s.LevelAt(p.E+w*(q.E-p.E), p.N+w*(q.N-p.N))
			if q.Chainage-p.Chainage > 1e-6 {
				require.Equal(t, ok, p.Ground, "ground at %v from %v", w, p)
			}
			if ok && p.Ground {
				require.InDelta(t, z, p.Level+w*(q.Level-p.Level), slack, "level at %v from %v to %v", w, p, q)
			}
		}
		if p.Ground {
			require.False(t, math.IsNaN(p.Level) || math.IsNaN(q.Level), "levels at the ends of ground: %v %v", p, q)
		}
	}
}

func TestProfilesAgreeWithLevels(t *testing.T) {
	rng := rand.New(rand.NewPCG(41, 1))
	opts := tin.Options{
		Boundary: orb.MultiPolygon{box(-20, 3.3, 95.5, 300), {{{120, 0}, {200, 0}, {150, 90}}}},
		Voids:    orb.MultiPolygon{{{{20, 20}, {50, 30}, {33, 71}}}, box(80, 80, 110, 110)},
		MaxEdge:  25,
	}
	for _, wild := range []bool{false, true} {
		var points []tin.Point
		for range 400 {
			p := tin.Point{E: float64(rng.IntN(100000)) / 1000, N: float64(rng.IntN(100000)) / 1000, Level: 10 + 5*rng.Float64()}
			if wild {
				p.E, p.N = 100*rng.Float64(), 100*rng.Float64()
			}
			points = append(points, p)
		}
		for _, o := range []tin.Options{{}, opts} {
			s := buildWith(t, o, points)
			for range 60 {
				var line orb.LineString
				for range 2 + rng.IntN(3) {
					p := orb.Point{-30 + 160*rng.Float64(), -30 + 160*rng.Float64()}
					if q := points[rng.IntN(len(points))]; rng.IntN(3) == 0 {
						p = orb.Point{q.E, q.N}
					}
					line = append(line, p)
				}
				got, err := s.Profile(line)
				require.NoError(t, err)
				checkProfile(t, s, line, got, 1e-9)
				// Back along the same line: the same stations.
				back, err := s.Profile(reversed(line))
				require.NoError(t, err)
				require.Len(t, back, len(got))
				for i, p := range reversed(back) {
					require.InDelta(t, got[i].E, p.E, 1e-9)
					require.InDelta(t, got[i].N, p.N, 1e-9)
				}
			}
		}
	}
}

// On a grid every line along a row, a column or a diagonal goes through
// vertices and along edges.
func TestProfileThroughVerticesAndAlongEdges(t *testing.T) {
	s := build(t, tintest.Grid(7, 7, 10).Points)
	for _, line := range []orb.LineString{
		{{0, 30}, {60, 30}}, {{30, -10}, {30, 70}}, {{60, 60}, {0, 0}}, {{0, 60}, {60, 0}},
		{{0, 0}, {60, 30}}, {{10, 10}, {10, 10.5}}, {{-60, 0}, {120, 60}}, {{5, 0}, {5, 60}},
	} {
		got, err := s.Profile(line)
		require.NoError(t, err)
		checkProfile(t, s, line, got, 1e-12)
	}
	got, err := s.Profile(orb.LineString{{0, 30}, {60, 30}})
	require.NoError(t, err)
	require.Len(t, got, 7)
	for i, p := range got {
		assert.Equal(t, levelAt(t, s, float64(10*i), 30), p.Level)
	}
}

// A line along a side of the hull is on the rim, which is ground, whatever the
// rounding of the places between.
func TestProfileAlongTheRim(t *testing.T) {
	rng := rand.New(rand.NewPCG(41, 2))
	for range 100 {
		corner := func(k int) tin.Point {
			sin, cos := math.Sincos(2 * math.Pi / 3 * (float64(k) + rng.Float64()*0.3))
			return tin.Point{E: 50 + 40*cos, N: 50 + 40*sin, Level: 10 + rng.Float64()}
		}
		p := []tin.Point{corner(0), corner(1), corner(2)}
		s, err := tin.FromPoints(p)
		require.NoError(t, err)
		for i := range p {
			a, b := p[i], p[(i+1)%3]
			got, err := s.Profile(orb.LineString{{a.E, a.N}, {b.E, b.N}})
			require.NoError(t, err)
			require.Len(t, got, 2)
			assert.True(t, got[0].Ground, "%v to %v", a, b)
			assert.Equal(t, a.Level, got[0].Level)
			assert.Equal(t, b.Level, got[1].Level)
		}
	}
}

// Two places that differ by one unit in the last place are a line.
func TestProfileOfAnAlmostEmptyLine(t *testing.T) {
	var points []tin.Point
	for _, p := range tintest.Grid(3, 3, 0.7).Points {
		points = append(points, tin.Point{E: p.E + 6.2e6, N: p.N, Level: 10})
	}
	s := build(t, points)
	for _, e := range []float64{6.2e6 + 0.3, 6.2e6, 6.2e6 + 1.4, 6.3e6} {
		for _, to := range []float64{math.Nextafter(e, 0), math.Nextafter(e, 1e9)} {
			got, err := s.Profile(orb.LineString{{e, 0.3}, {to, 0.3}})
			require.NoError(t, err)
			require.GreaterOrEqual(t, len(got), 2)
			for _, p := range got {
				if p.Ground {
					assert.Equal(t, 10.0, p.Level)
				}
			}
		}
	}
}
