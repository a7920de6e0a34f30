package formation_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/formation"
)

func TestGeometryOfRectangle(t *testing.T) {
	const e, n = 312540.0, 5812300.0
	p := formation.Pad{
		Name:     "store",
		Outline:  orb.Polygon{{{e, n}, {e, n + 3}, {e + 4, n + 3}, {e + 4, n}}},
		Corners:  []string{"P12", "", "P14", "P15"},
		Finished: 63.15, Layers: buildUp(0.175, 0.05),
	}
	g, err := p.Geometry()
	require.NoError(t, err)
	corner := func(name string, de, dn float64) formation.Corner {
		return formation.Corner{Name: name, E: e + de, N: n + dn, Finished: 63.15, Formation: 62.925}
	}
	assert.Equal(t, formation.Geometry{
		Corners: []formation.Corner{corner("P12", 0, 0), corner("2", 0, 3), corner("P14", 4, 3), corner("P15", 4, 0)},
		Sides: []formation.Side{
			{From: "P12", To: "2", Length: 3, Bearing: 0},
			{From: "2", To: "P14", Length: 4, Bearing: 90},
			{From: "P14", To: "P15", Length: 3, Bearing: 180},
			{From: "P15", To: "P12", Length: 4, Bearing: 270},
		},
		Diagonals: []formation.Diagonal{{From: "P12", To: "P14", Length: 5}, {From: "2", To: "P15", Length: 5}},
		Area:      12, Perimeter: 14,
		High: corner("P12", 0, 0), Low: corner("P12", 0, 0),
	}, g)

	p.Outline[0] = append(p.Outline[0], p.Outline[0][0]) // closed
	closed, err := p.Geometry()
	require.NoError(t, err)
	assert.Equal(t, g, closed)
}

func TestGeometryWithHole(t *testing.T) {
	p := formation.Pad{Outline: orb.Polygon{
		{{0, 0}, {10, 0}, {10, 10}, {0, 10}, {0, 0}},
		{{2, 2}, {5, 2}, {5, 6}, {2, 2}},
		{{6, 6}, {8, 6}, {8, 8}, {6, 8}},
	}}
	g, err := p.Geometry()
	require.NoError(t, err)
	assert.Equal(t, 100.0-6-4, g.Area)
	assert.Equal(t, 40.0+12+8, g.Perimeter)
	assert.Empty(t, g.Diagonals)
	var names []string
	for i, c := range g.Corners {
		names = append(names, c.Name)
		assert.Equal(t, c.Name, g.Sides[i].From)
		assert.Equal(t, c.Ring, g.Sides[i].Ring)
	}
	assert.Equal(t, []string{"1", "2", "3", "4", "hole 1: 1", "hole 1: 2", "hole 1: 3",
		"hole 2: 1", "hole 2: 2", "hole 2: 3", "hole 2: 4"}, names)
	assert.Equal(t, "hole 1: 1", g.Sides[6].To)
}

func TestGeometryOfTriangleHasNoDiagonals(t *testing.T) {
	g, err := formation.Pad{Outline: orb.Polygon{{{0, 0}, {4, 0}, {0, 3}}}}.Geometry()
	require.NoError(t, err)
	assert.Empty(t, g.Diagonals)
	assert.Equal(t, 6.0, g.Area)
	assert.Equal(t, 12.0, g.Perimeter)
}

func TestBearings(t *testing.T) {
	const e, n = 312540.1, 5812300.7
	for _, c := range []struct{ de, dn, want float64 }{
		{0, 1, 0}, {1, 1, 45}, {1, 0, 90}, {1, -1, 135}, {0, -1, 180}, {-1, -1, 225}, {-1, 0, 270}, {-1, 1, 315},
		{-1e-20, 1, 0}, {3, 4, 36.86989764584402},
	} {
		for _, at := range []orb.Point{{}, {e, n}} {
			if c.de == -1e-20 && at != (orb.Point{}) {
				continue
			}
			p := formation.Pad{Outline: orb.Polygon{{at, {at[0] + c.de, at[1] + c.dn}, {at[0] + 7, at[1] - 11}}}}
			g, err := p.Geometry()
			require.NoError(t, err)
			got := g.Sides[0].Bearing
			assert.InDelta(t, c.want, got, 1e-7, "(%g, %g)", c.de, c.dn)
			assert.True(t, got >= 0 && got < 360)
			if math.Mod(c.want, 90) == 0 {
				assert.Equal(t, c.want, got)
			}
		}
	}
}

func TestHighLowOfFallingPad(t *testing.T) {
	// Falls 1:100 due east; formation 62.925 at the middle of a 20 m square.
	p := formation.Pad{
		Outline:  orb.Polygon{{{0, 0}, {20, 0}, {20, 20}, {0, 20}}},
		Finished: 63.15, Layers: buildUp(0.175, 0.05),
		Fall: &formation.Fall{Slope: 0.01, Bearing: 90, At: orb.Point{10, 10}},
	}
	g, err := p.Geometry()
	require.NoError(t, err)
	assert.InDelta(t, 63.025, g.High.Formation, 1e-12)
	assert.InDelta(t, 63.25, g.High.Finished, 1e-12)
	assert.InDelta(t, 62.825, g.Low.Formation, 1e-12)
	// Two corners share each; the first by easting, then northing, is named.
	assert.Equal(t, "1", g.High.Name)
	assert.Equal(t, "2", g.Low.Name)

	p.Fall.Slope = 0
	g, err = p.Geometry()
	require.NoError(t, err)
	assert.Equal(t, g.High, g.Low)
	assert.Equal(t, 62.925, g.Low.Formation)
}

// A pad that falls slantwise along its own sides has two highest corners but
// for rounding; the one named does not change with the outline's start.
func TestHighLowIgnoresRounding(t *testing.T) {
	outline, err := formation.Rectangle(orb.Point{312540, 5812300}, 73.5, 24, 12)
	require.NoError(t, err)
	p := formation.Pad{Outline: outline, Finished: 63,
		Fall: &formation.Fall{Slope: 0.0125, Bearing: 73.5, At: outline[0][0]}}
	g, err := p.Geometry()
	require.NoError(t, err)
	assert.InDelta(t, 63, g.High.Formation, 1e-8)
	assert.InDelta(t, 63-0.3, g.Low.Formation, 1e-8)
	assert.Equal(t, "1", g.High.Name) // corner 4 is 12 m to the right, east of it
	assert.Equal(t, "2", g.Low.Name)
}

func TestHighLowLooksAtOwnSpots(t *testing.T) {
	p := formation.Pad{
		Outline: orb.Polygon{{{0, 0}, {20, 0}, {20, 20}, {0, 20}}},
		Layers:  buildUp(0.1),
		Levels: &formation.Levels{
			Outline: [][]float64{{10, 10, 10.1, 10}},
			Spots:   []tin.Point{{E: 5, N: 5, Level: 9.5, Name: "sump"}},
			Lines:   []tin.Breakline{{Name: "ridge", Vertices: []tin.Point{{E: 12, N: 12, Level: 10.3}, {E: 20, N: 20, Level: math.NaN()}}}},
		},
	}
	g, err := p.Geometry()
	require.NoError(t, err)
	assert.Equal(t, formation.Corner{Name: "sump", E: 5, N: 5, Finished: 9.5, Formation: 9.4, Ring: -1}, g.Low)
	assert.Equal(t, formation.Corner{Name: `line "ridge"`, E: 12, N: 12, Finished: 10.3, Formation: 10.2, Ring: -1}, g.High)
	assert.Equal(t, 10.0, g.Corners[2].Formation)
	assert.Equal(t, 10.1, g.Corners[2].Finished)
}

// Areas and lengths are the same to the last bit from any start, in both
// directions, at map coordinates.
func TestGeometryDoesNotDependOnStart(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	for range 50 {
		var ring orb.Ring
		k := 3 + r.IntN(9)
		for i := range k {
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(k))
			size := 20 + 30*r.Float64()
			ring = append(ring, orb.Point{312540.3 + size*cos, 5812300.9 + size*sin})
		}
		p := formation.Pad{Outline: orb.Polygon{ring}, Finished: 63.1,
			Fall: &formation.Fall{Slope: 0.01, Bearing: 33, At: orb.Point{312540, 5812300}}}
		want, err := p.Geometry()
		require.NoError(t, err)
		// Against the sum about the origin of the plane, in exact arithmetic
		// good to the rounding of the coordinates.
		require.InDelta(t, exactArea(ring), want.Area, 1e-10)
		for start := range k {
			turned := append(slices.Clone(ring[start:]), ring[:start]...)
			for range 2 {
				p.Outline = orb.Polygon{turned}
				got, err := p.Geometry()
				require.NoError(t, err)
				require.Equal(t, want.Area, got.Area)
				require.Equal(t, want.Perimeter, got.Perimeter)
				require.Equal(t, want.High.Formation, got.High.Formation)
				require.Equal(t, [2]float64{want.Low.E, want.Low.N}, [2]float64{got.Low.E, got.Low.N})
				slices.Reverse(turned)
			}
		}
	}
}
