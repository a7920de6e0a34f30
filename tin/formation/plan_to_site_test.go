package formation_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/formation"
)

func TestPlanToSiteQuarterTurns(t *testing.T) {
	site := orb.Point{312540.25, 5812300.5}
	for _, c := range []struct {
		name   string
		second orb.Point // on site, from the first
		want   orb.Point // where plan (12, 5) comes to, from the first
	}{
		{"shift", orb.Point{30, 0}, orb.Point{12, 5}},
		{"quarter turn", orb.Point{0, 30}, orb.Point{-5, 12}},
		{"half turn", orb.Point{-30, 0}, orb.Point{-12, -5}},
		{"three quarters", orb.Point{0, -30}, orb.Point{5, -12}},
	} {
		t.Run(c.name, func(t *testing.T) {
			move, err := formation.NewPlanToSite([2]orb.Point{{100, 200}, {130, 200}},
				[2]orb.Point{site, {site[0] + c.second[0], site[1] + c.second[1]}}, tin.Metre, 1)
			require.NoError(t, err)
			assert.Equal(t, orb.Point{site[0] + c.want[0], site[1] + c.want[1]}, move.Apply(orb.Point{112, 205}))
			assert.Equal(t, site, move.Apply(orb.Point{100, 200}))
			assert.Zero(t, move.Misfit())
		})
	}
}

// A turn and shift keeps distances, whatever the points.
func TestPlanToSiteKeepsDistances(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	point := func(size float64) orb.Point { return orb.Point{size * (r.Float64() - 0.5), size * (r.Float64() - 0.5)} }
	for range 200 {
		turn, shift := 2*math.Pi*r.Float64(), point(1000)
		sin, cos := math.Sincos(turn)
		want := func(p orb.Point) orb.Point {
			return orb.Point{shift[0] + cos*p[0] - sin*p[1], shift[1] + sin*p[0] + cos*p[1]}
		}
		plan := [2]orb.Point{point(100), point(100)}
		if math.Hypot(plan[0][0]-plan[1][0], plan[0][1]-plan[1][1]) < 1 {
			continue
		}
		move, err := formation.NewPlanToSite(plan, [2]orb.Point{want(plan[0]), want(plan[1])}, tin.Metre, 1)
		require.NoError(t, err)
		for range 5 {
			p := point(100)
			got := move.Apply(p)
			require.InDelta(t, want(p)[0], got[0], 1e-9)
			require.InDelta(t, want(p)[1], got[1], 1e-9)
		}
	}
}

func TestPlanToSiteMisfit(t *testing.T) {
	plan := [2]orb.Point{{0, 0}, {30, 0}}
	b1 := orb.Point{312540.1, 5812300.7}
	for _, c := range []struct {
		off  float64
		fine bool
	}{
		{0, true}, {0.01, true}, {-0.01, true}, {0.02, true}, {-0.02, true},
		{0.021, false}, {0.03, false}, {-0.03, false}, {2.5, false},
	} {
		move, err := formation.NewPlanToSite(plan, [2]orb.Point{b1, {b1[0], b1[1] + 30 + c.off}}, tin.Metre, 1)
		if !c.fine {
			in := inputErr(t, err, formation.CodePlanToSiteLength)
			assert.Contains(t, in.Message, "30.000 m apart on the plan")
			if c.off == 0.03 {
				assert.Contains(t, in.Message, "30.030 m on the site, a difference of 0.030 m")
			}
			continue
		}
		require.NoError(t, err)
		assert.InDelta(t, c.off, move.Misfit(), 2e-9)
		// Never scaled: 30 m on the plan are 30 m on site, and the first point is held.
		assert.Equal(t, b1, move.Apply(plan[0]))
		assert.InDelta(t, b1[1]+30, move.Apply(plan[1])[1], 2e-9)
		assert.InDelta(t, b1[0], move.Apply(plan[1])[0], 2e-9)
	}
}

func TestPlanToSiteRefuses(t *testing.T) {
	good := [2]orb.Point{{0, 0}, {30, 0}}
	same := [2]orb.Point{{1, 1}, {1, 1}}
	for _, c := range []struct {
		name       string
		plan, site [2]orb.Point
		key        string
	}{
		{"plan at one place", same, good, "plan"},
		{"site at one place", good, same, "site"},
		{"plan not a number", [2]orb.Point{{math.NaN(), 0}, {1, 0}}, good, "plan"},
		{"site infinite", good, [2]orb.Point{{0, 0}, {0, math.Inf(1)}}, "site"},
		{"distance out of range", good, [2]orb.Point{{-1.7e308, 0}, {1.7e308, 0}}, "site"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := formation.NewPlanToSite(c.plan, c.site, tin.Metre, 1)
			assert.Equal(t, c.key, inputErr(t, err, formation.CodePlanToSite).Key)
		})
	}
}
