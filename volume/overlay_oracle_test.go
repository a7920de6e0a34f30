package volume_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/volume"
)

// duoTally counts what the jobs had in them.
type duoTally struct {
	jobs, mixed, near, uncovered, limited, outlined, wide, turned int
	kinds                                                         map[string]int
	worst                                                         float64
}

func (y *duoTally) count(kind string, n int) {
	if y.kinds == nil {
		y.kinds = make(map[string]int)
	}
	y.kinds[kind] += n
}

// holdOverlay measures n random jobs both ways.
func holdOverlay(t *testing.T, seed uint64, n int) (y duoTally) {
	t.Helper()
	rng := rand.New(rand.NewPCG(seed, 13))
	for y.jobs < n {
		d := randomDuo(t, rng)
		a, err := d.a.build(t)
		if err != nil {
			continue // all in line, or nothing left by max_edge
		}
		b, err := d.b.build(t)
		if err != nil {
			continue
		}
		y.jobs++
		got, err := volume.Between(t.Context(), a, b, d.outline)
		require.NoError(t, err, "seed %d, job %d: %s", seed, y.jobs, d)
		want := d.exactly(t, a, b)
		worst := d.hold(got, want, func(what string, got, v, relative float64) {
			t.Errorf("seed %d, job %d: %s %v, want %v (%.1e relative) %+v: %s", seed, y.jobs, what, got, v, relative, want, d)
		})
		y.worst = max(y.worst, worst)
		count := func(to *int, yes bool) {
			if yes {
				*to++
			}
		}
		count(&y.mixed, want.cut > 0 && want.fill > 0)
		count(&y.near, want.near > 1e-6*want.ground)
		count(&y.uncovered, want.uncovered > 1e-12*want.ground)
		o := [2]tin.Options{d.a.options, d.b.options}
		count(&y.limited, o[0].Boundary != nil || o[0].Voids != nil || o[1].Boundary != nil || o[1].Voids != nil)
		count(&y.outlined, d.outline != nil)
		count(&y.wide, want.isWide())
		count(&y.turned, want.turned)
		y.count(d.kind, 1)
	}
	return y
}

// hold holds a measurement to the exact one and returns the greatest relative
// difference.
func (d duo) hold(got volume.CutFill, want overlaid, fault func(what string, got, want, relative float64)) (worst float64) {
	moved := want.cut + want.fill
	if moved == 0 {
		moved = 1
	}
	area := want.ground + want.uncovered
	// Where surfaces nearly coincide, the rounding of levels is all there is.
	levels := want.noise
	// Corners of pieces are rounded to the steps of doubles at their distance from
	// the local origin. It shows where that is far in relation to the works: on a
	// site of a few millimetres, or of some metres between spots 10 km away.
	areas := 0.0
	if want.isWide() {
		areas = 0x1p-50 * want.wide * want.rims
		levels += areas * (want.highest - want.lowest)
	}
	for _, v := range []struct {
		what                    string
		got, want               float64
		whole, own, slack, more float64
	}{
		{"cut", got.Cut, want.cut, moved, want.cut, levels, 1},
		{"fill", got.Fill, want.fill, moved, want.fill, levels, 1},
		{"cut less fill", got.CutLessFill, want.cut - want.fill, moved, moved, levels, 1},
		{"cut area", got.CutArea, want.cutArea, area, want.cutArea, want.near + areas, 1},
		{"fill area", got.FillArea, want.fillArea, area, want.fillArea, want.near + areas, 1},
		{"area at level", got.LevelArea, want.levelArea, area, want.levelArea, want.near + areas, 1},
		{"area of cut, fill and level", got.CutArea + got.FillArea + got.LevelArea, want.ground, area, want.ground, areas, 1},
		// What a hull a hair too small leaves uncovered is a difference of areas:
		// some ten of their last digits.
		{"uncovered area", got.UncoveredArea, want.uncovered, area, want.uncovered, areas, 10},
	} {
		scale := max(v.own, v.more*oracleFloor*v.whole)
		difference := max(0, math.Abs(v.got-v.want)-v.slack*(1+1e-9))
		if difference == 0 {
			continue
		}
		worst = max(worst, difference/scale)
		if !(difference <= oracleTolerance*scale) {
			fault(v.what, v.got, v.want, difference/scale)
		}
	}
	return worst
}

func (y duoTally) require(t *testing.T) {
	t.Helper()
	t.Logf("%d jobs: %d with cut and fill, %d with area near level, %d with uncovered area, %d with boundary or voids, %d in an outline, %d in a wide frame, %d with a triangle turned over; greatest difference %.1e; %v",
		y.jobs, y.mixed, y.near, y.uncovered, y.limited, y.outlined, y.wide, y.turned, y.worst, y.kinds)
	require.Greater(t, y.mixed, y.jobs/3)
	require.Greater(t, y.near, y.jobs/20)
	require.Greater(t, y.uncovered, y.jobs/4)
	require.Greater(t, y.limited, y.jobs/4)
	require.Greater(t, y.outlined, y.jobs/3)
	require.Greater(t, y.worst, 0.0, "a difference of nothing at all would be suspicious")
}

// Held to exact rational arithmetic on all pairs of triangles.
func TestBetweenAgainstRationals(t *testing.T) {
	holdOverlay(t, 31, 200).require(t)
}
