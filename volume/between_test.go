package volume_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/volume"
)

func TestBetweenAgreesWithAgainstPlane(t *testing.T) {
	rng := rand.New(rand.NewPCG(31, 32))
	for job := 0; job < 1000; {
		j := randomJob(rng, 0)
		ground, err := tin.Build(t.Context(), []tin.Source{{Points: j.points}}, j.options)
		if err != nil {
			continue // all spots in line
		}
		job++
		want := against(t, ground, j.plane, j.outline)
		// The plane as a surface of its own, with spots where the ground has
		// none, and some where it has.
		b := ground.Bound().Union(j.outline.Bound()).Pad(1 + rng.Float64())
		var spots []tin.Point
		add := func(p orb.Point) {
			spots = append(spots, tin.Point{E: p[0], N: p[1], Level: j.plane.LevelAt(p[0], p[1])})
		}
		for _, p := range b.ToRing()[:4] {
			add(p)
		}
		for range rng.IntN(12) {
			add(orb.Point{b.Min[0] + rng.Float64()*(b.Max[0]-b.Min[0]), b.Min[1] + rng.Float64()*(b.Max[1]-b.Min[1])})
		}
		if rng.IntN(2) == 0 {
			unit := j.options.Unit.Metres()
			for _, p := range j.points[:len(j.points)/2] {
				add(orb.Point{p.E * unit, p.N * unit})
			}
		}
		formation, err := tin.FromPoints(spots)
		require.NoError(t, err)
		got, err := volume.Between(t.Context(), ground, formation, j.outline)
		require.NoError(t, err)
		scale := 1e-12 * (want.Cut + want.Fill)
		if !j.plane.IsLevel() || j.tiny {
			// The levels of a falling plane at map offsets are rounded when it
			// becomes spots; a site of a few millimetres has fewer digits.
			scale *= 1000
		}
		near := func(what string, got, want, tol float64) {
			t.Helper()
			if math.Abs(got-want) > tol {
				t.Fatalf("job %d: %s %v, want %v", job, what, got, want)
			}
		}
		near("cut", got.Cut, want.Cut, scale)
		near("fill", got.Fill, want.Fill, scale)
		near("uncovered", got.UncoveredArea, want.UncoveredArea, 1e-9*(want.CutArea+want.FillArea+want.UncoveredArea))
	}
}

// Ground that touches the outline at one corner only shares no area with it: the
// piece in common has no area, and the lines of its sides alone do not bound it.
func TestBetweenWhereGroundTouchesTheOutline(t *testing.T) {
	ground, err := tin.FromPoints([]tin.Point{
		{E: 5.0 / 3, N: 0, Level: 10}, {E: 5.0 / 3, N: 5.0 / 3, Level: 10}, {E: 10.0 / 3, N: 0, Level: 10},
	})
	require.NoError(t, err)
	formation, err := tin.FromPoints([]tin.Point{{E: -10, N: -10, Level: 9}, {E: 20, N: -10, Level: 9}, {E: -10, N: 20, Level: 9}})
	require.NoError(t, err)
	outline := orb.Polygon{{{5.0 / 3, 5.0 / 3}, {10, 25.0 / 3}, {20.0 / 3, 10.0 / 3}}}
	got, err := volume.Between(t.Context(), ground, formation, outline)
	require.NoError(t, err)
	require.Zero(t, got.CutArea)
	require.InEpsilon(t, 9.722222222222221, got.UncoveredArea, 1e-12)
}

// A boundary that follows an edge of the ground puts a side of the cell on a side
// of the triangle: where they meet along their common line is nobody's corner.
func TestBetweenWithABoundaryAlongTheGroundsEdge(t *testing.T) {
	boundary := orb.MultiPolygon{{{{500617.2, 500651.7}, {500954.8, 500791}, {500169.7, 500220.2}, {500530.7, 500383.9}, {500039.4, 500149.2}}}}
	a, err := tin.Build(t.Context(), []tin.Source{{Points: []tin.Point{
		{E: 500954.8, N: 500791, Level: 10.437226321641079},
		{E: 500169.7, N: 500220.2, Level: 10.241817354021984},
		{E: 500039.4, N: 500149.2, Level: 10.15688101196712},
	}}}, tin.Options{Boundary: boundary})
	require.NoError(t, err)
	b, err := tin.FromPoints([]tin.Point{
		{E: 500893.3, N: 500864.9, Level: 10.74402414416846},
		{E: 500240.5, N: 500919.2, Level: 10.540688646260213},
		{E: 500803.5, N: 500590.2, Level: 10.201395771230564},
	})
	require.NoError(t, err)
	outline := orb.Polygon{{{500796, 500312.4}, {500873.7, 500920.2}, {500538, 500540.3}}}
	there, err := volume.Between(t.Context(), a, b, outline)
	require.NoError(t, err)
	back, err := volume.Between(t.Context(), b, a, outline)
	require.NoError(t, err)
	require.InEpsilon(t, there.Cut, back.Fill, 1e-12)
	require.InEpsilon(t, there.Fill, back.Cut, 1e-12)
	require.InDelta(t, 28.9, there.Cut, 0.1) // four million samples of both surfaces: 28.945
}
