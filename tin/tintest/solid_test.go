package tintest_test

import (
	"testing"

	"github.com/paulmach/orb/planar"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/tintest"
)

// volumes measures a surface against a level by other means than package
// volume: a triangle with corners on one side is its area times its mean depth;
// one across the level loses the tip beyond it, a similar triangle.
func volumes(s *tin.Surface, level float64) (cut, fill float64) {
	for _, t := range s.Triangles() {
		a, b, c := t.Corner[0], t.Corner[1], t.Corner[2]
		area := ((b.E-a.E)*(c.N-a.N) - (b.N-a.N)*(c.E-a.E)) / 2
		d := [3]float64{a.Level - level, b.Level - level, c.Level - level}
		whole := area * (d[0] + d[1] + d[2]) / 3
		tip := 0.0 // signed volume at the corner that is alone on its side
		for i := range 3 {
			p, q, r := d[i], d[(i+1)%3], d[(i+2)%3]
			if p*q < 0 && p*r <= 0 || p*r < 0 && p*q <= 0 {
				tip = area * p / 3 * p / (p - q) * p / (p - r)
			}
		}
		for _, v := range []float64{tip, whole - tip} {
			cut, fill = cut+max(v, 0), fill+max(-v, 0)
		}
	}
	return cut, fill
}

func TestSolidsHaveTheirVolumes(t *testing.T) {
	for _, solid := range tintest.Solids() {
		for _, s := range []tintest.Solid{solid, solid.Moved(500000, 6.2e6, 117.5), solid.Moved(-0.1, 33.3, -2)} {
			t.Run(s.Name, func(t *testing.T) {
				ground, err := s.Surface()
				require.NoError(t, err)
				require.NoError(t, tintest.Check(ground, s.Points...))
				cut, fill := volumes(ground, s.Level)
				assert.InDelta(t, s.Cut, cut, 1e-7*(s.Cut+s.Fill), "cut")
				assert.InDelta(t, s.Fill, fill, 1e-7*(s.Cut+s.Fill), "fill")
				assert.Greater(t, s.Cut+s.Fill, 0.0)
				assert.InDelta(t, planar.Area(s.Outline), ground.Stats().Area, 1e-6, "the outline is the hull")
				assert.NoError(t, tin.CheckOutline(s.Outline))
			})
		}
	}
}

// Volumes to check in the head.
func TestSolidsInFigures(t *testing.T) {
	tests := []struct {
		solid     tintest.Solid
		cut, fill float64
	}{
		{tintest.Prism(10, 10, 0.5), 50, 0},
		{tintest.Prism(10, 10, -0.5), 0, 50},
		{tintest.Wedge(30, 10, 0, 2), 300, 0},
		{tintest.Wedge(30, 10, -1, 2), 200, 50}, // 20 m of cut to 2 m, 10 m of fill to 1 m
		{tintest.Wedge(30, 10, 2, -1), 200, 50},
		{tintest.Pyramid(12, 12, 3), 144, 0},
		// Areas 240, middle 17 x 9 = 153, 84: 2/6 (240 + 612 + 84).
		{tintest.Frustum([2]float64{20, 12}, [2]float64{14, 6}, 2), 312, 0},
		{tintest.Frustum([2]float64{20, 12}, [2]float64{14, 6}, -2), 0, 312},
		// One square, k = 1, a = 1: four corners at level 2 over 4 m2.
		{tintest.Bowl(1, 1, 1), 8, 0},
	}
	for _, tt := range tests {
		assert.InDelta(t, tt.cut, tt.solid.Cut, 1e-12*(tt.cut+tt.fill), tt.solid.Name)
		assert.InDelta(t, tt.fill, tt.solid.Fill, 1e-12*(tt.cut+tt.fill), tt.solid.Name)
	}
	smooth := 8.0 / 3 * 0.01 * 20 * 20 * 20 * 20
	assert.InEpsilon(t, smooth, tintest.Bowl(0.01, 20, 1000).Cut, 1e-5, "a fine grid comes near the smooth bowl")
}

func TestMovedLeavesTheSolidAlone(t *testing.T) {
	s := tintest.Frustum([2]float64{20, 12}, [2]float64{14, 6}, 2)
	moved := s.Moved(1, 2, 3)
	assert.Equal(t, tintest.Frustum([2]float64{20, 12}, [2]float64{14, 6}, 2), s)
	assert.Equal(t, tin.Point{E: 1, N: 2, Level: 3}, moved.Points[0])
	assert.Equal(t, moved.Outline[0][0], moved.Outline[0][4])
}
