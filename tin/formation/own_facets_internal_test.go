package formation

import (
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"

	"barrow/tin"
	"barrow/tin/formation/internal/boxtree"
)

func at(e, n, level float64) tin.Vertex { return tin.Vertex{E: e, N: n, Level: level} }

func TestTrianglePlane(t *testing.T) {
	for _, c := range []struct {
		name string
		t    [3]tin.Vertex
		want [2]float64
	}{
		{"level", [3]tin.Vertex{at(0, 0, 5), at(1, 0, 5), at(0, 1, 5)}, [2]float64{0, 0}},
		{"falls east and north", [3]tin.Vertex{at(10, 20, 5), at(14, 20, 4), at(10, 22, 4)}, [2]float64{-0.25, -0.5}},
		// Third vertex a hair beside the longest side: the plane runs along that.
		{"a hair thick", [3]tin.Vertex{at(0, 0, 1), at(10, 0, 2), at(4, 1e-9, 1.41)}, [2]float64{0.1, 0}},
		{"flat", [3]tin.Vertex{at(0, 0, 1), at(0, 10, 2), at(0, 4, 1.4)}, [2]float64{0, 0.1}},
		{"a point", [3]tin.Vertex{at(3, 3, 1), at(3, 3, 1), at(3, 3, 1)}, [2]float64{0, 0}},
	} {
		t.Run(c.name, func(t *testing.T) {
			for range 3 {
				got := trianglePlane(c.t)
				assert.InDelta(t, c.want[0], got.Gradient[0], 1e-15)
				assert.InDelta(t, c.want[1], got.Gradient[1], 1e-15)
				for _, v := range c.t {
					assert.InDelta(t, v.Level, got.LevelAt(v.E, v.N), 0.011)
				}
				c.t[0], c.t[1], c.t[2] = c.t[1], c.t[2], c.t[0]
			}
		})
	}
}

// A cell that rounding left beside a kinked side takes its levels from the
// triangles at its corners, not from one of them drawn out.
func TestPlaneOfASliverCell(t *testing.T) {
	const off = 1e-12 // how far the cell lies beside the triangles
	o := &ownTriangles{corners: [][3]tin.Vertex{
		{at(0, 0, 0), at(1, 0, 0.02), at(1, 5, 0)},
		{at(1, 0, 0.02), at(50, 0, 0), at(1, 5, 0)},
	}}
	o.tree = boxtree.New([]orb.Bound{{Min: orb.Point{0, 0}, Max: orb.Point{1, 5}}, {Min: orb.Point{1, 0}, Max: orb.Point{50, 5}}})
	plane, ok := o.planeIn(tin.Cell{Corner: [3]orb.Point{{0, 0}, {50, 0}, {1, -off}}})
	assert.True(t, ok)
	for e := range 51 {
		z := plane.LevelAt(float64(e), 0)
		assert.True(t, z > -1e-9 && z < 0.02+1e-9, "level %g at %d", z, e)
	}
	// A cell of some size is in one triangle.
	plane, ok = o.planeIn(tin.Cell{Corner: [3]orb.Point{{10, 1}, {20, 1}, {10, 2}}})
	assert.True(t, ok)
	assert.InDelta(t, 0.02, plane.LevelAt(1, 0), 1e-12)
	assert.InDelta(t, 0, plane.LevelAt(50, 0), 1e-12)
	// One that is far from all still gets one.
	_, ok = o.planeIn(tin.Cell{Corner: [3]orb.Point{{1000, 1000}, {2000, 1000}, {1000, 2000}}})
	assert.True(t, ok)

	_, ok = (&ownTriangles{}).planeIn(tin.Cell{})
	assert.False(t, ok)
}
