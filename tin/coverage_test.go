package tin_test

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
)

// farthestOf is the greatest distance from a place of the cells to the nearest
// of some vertices: over each cell, the farthest corner of each vertex's Voronoi
// cell, cut out by all other vertices.
func farthestOf(cells []tin.Cell, vertices []orb.Point) float64 {
	most := 0.0
	for _, c := range cells {
		for i, v := range vertices {
			share := c.Corner[:]
			for j, w := range vertices {
				if j != i {
					share = nearerTo(share, v, w)
				}
			}
			for _, p := range share {
				most = max(most, math.Hypot(p[0]-v[0], p[1]-v[1]))
			}
		}
	}
	return most
}

// nearerTo is the part of a convex polygon that is nearer to v than to w.
func nearerTo(polygon []orb.Point, v, w orb.Point) []orb.Point {
	off := func(p orb.Point) float64 {
		return (v[0]-w[0])*((p[0]-w[0])+(p[0]-v[0])) + (v[1]-w[1])*((p[1]-w[1])+(p[1]-v[1]))
	}
	var out []orb.Point
	for i, p := range polygon {
		q := polygon[(i+1)%len(polygon)]
		a, b := off(p), off(q)
		if a >= 0 {
			out = append(out, p)
		}
		if a*b < 0 {
			t := a / (a - b)
			out = append(out, orb.Point{p[0] + t*(q[0]-p[0]), p[1] + t*(q[1]-p[1])})
		}
	}
	return out
}

func verticesOf(s *tin.Surface) []orb.Point {
	var list []orb.Point
	for _, v := range s.Vertices() {
		list = append(list, orb.Point{v.E, v.N})
	}
	return list
}

func TestGapIsThatOfTheVoronoiDiagram(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 10))
	for round := range 600 {
		var points []tin.Point
		for range 3 + r.IntN(60) {
			p := tin.Point{E: 10 * r.Float64(), N: 10 * r.Float64()}
			switch round % 4 {
			case 1: // millimetres
				p.E, p.N = math.Round(p.E*1e3)/1e3, math.Round(p.N*1e3)/1e3
			case 2: // ties
				p.E, p.N = math.Round(p.E), math.Round(p.N)
			case 3: // lines
				p.N = math.Round(p.N / 4)
			}
			points = append(points, p)
			if round%7 == 0 { // and one right beside it
				points = append(points, tin.Point{E: math.Nextafter(p.E, 0), N: math.Nextafter(p.N, 20)})
			}
		}
		var lines []tin.Breakline
		if round%5 == 0 {
			lines = append(lines, line("l", 1, 1.5, 0, 9, 8.5, 0))
		}
		ground, err := tin.Build(t.Context(), []tin.Source{{Points: points, Breaklines: lines}}, tin.Options{})
		if err != nil {
			continue // in line
		}
		size := 1 + 14*r.Float64() // some reach beyond the hull, some hold it
		e, n := 10*r.Float64()-size/2, 10*r.Float64()-size/2
		cells, err := ground.Partition([]orb.Polygon{{{{e, n}, {e + size, n + 0.1*size}, {e + 0.8*size, n + size}, {e - 0.1*size, n + 0.7*size}}}}, nil)
		require.NoError(t, err)
		got, err := ground.Coverage(t.Context(), cells, 1)
		require.NoError(t, err)
		require.InEpsilon(t, farthestOf(cells, verticesOf(ground)), got.Gap, 1e-9, "round %d", round)
	}
}

func TestGapBesideMaxEdgeAndVoids(t *testing.T) {
	points := spots(0, 0, 0, 2, 0, 0, 0, 2, 0, 2, 2, 0, 30, 1, 0)
	plain := build(t, points)
	cells, err := plain.Partition([]orb.Polygon{{{{1, 0.5}, {20, 0.5}, {20, 1.5}, {1, 1.5}}}}, nil)
	require.NoError(t, err)
	want := farthestOf(cells, verticesOf(plain))
	for _, opts := range []tin.Options{{}, {MaxEdge: 3}, {Voids: orb.MultiPolygon{{{{5, 0}, {9, 0}, {9, 2}, {5, 2}}}}}} {
		ground, err := tin.Build(t.Context(), []tin.Source{{Points: points}}, opts)
		require.NoError(t, err)
		cells, err := ground.Partition([]orb.Polygon{{{{1, 0.5}, {20, 0.5}, {20, 1.5}, {1, 1.5}}}}, nil)
		require.NoError(t, err)
		got, err := ground.Coverage(t.Context(), cells, 1)
		require.NoError(t, err)
		assert.InEpsilon(t, want, got.Gap, 1e-9)
	}
}

func TestGapOfManyVerticesOnACircle(t *testing.T) {
	var points []tin.Point
	for i := range 20_000 {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / 20_000)
		points = append(points, tin.Point{E: 100 * cos, N: 100 * sin})
	}
	ground := build(t, points)
	cells, err := ground.Partition([]orb.Polygon{{{{-10, -10}, {10, -10}, {10, 10}, {-10, 10}}}}, nil)
	require.NoError(t, err)
	got, err := ground.Coverage(t.Context(), cells, 1)
	require.NoError(t, err)
	assert.InEpsilon(t, 100, got.Gap, 1e-9)
}

func TestGapWithoutCellsAndWithoutTime(t *testing.T) {
	ground := build(t, square())
	got, err := ground.Coverage(t.Context(), nil, 1)
	require.NoError(t, err)
	assert.Zero(t, got)
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	_, err = ground.Coverage(ctx, nil, 1)
	assert.ErrorIs(t, err, context.Canceled)
}

func TestCoverageThinGround(t *testing.T) {
	// Two dense squares with the strip between them, 8 m wide and 2 m high.
	points := spots(0, 0, 0, 1, 0, 0, 0, 1, 0, 1, 1, 0, 0, 2, 0, 1, 2, 0, 9, 0, 0, 9, 1, 0, 9, 2, 0, 10, 0, 0, 10, 1, 0, 10, 2, 0)
	ground, err := tin.Build(t.Context(), []tin.Source{{Points: points}}, tin.Options{Voids: orb.MultiPolygon{{{{3, 0.5}, {4, 0.5}, {4, 1.5}, {3, 1.5}}}}})
	require.NoError(t, err)
	cells, err := ground.Partition([]orb.Polygon{{{{0, 0.5}, {20, 0.5}, {20, 1.5}, {0, 1.5}}}}, nil)
	require.NoError(t, err)
	got, err := ground.Coverage(t.Context(), cells, 2)
	require.NoError(t, err)
	assert.InEpsilon(t, 7, got.ThinArea, 1e-14) // less the void
	assert.InDelta(t, 5, got.ThinAt[0], 4)
	got, err = ground.Coverage(t.Context(), cells, 9)
	require.NoError(t, err)
	assert.Zero(t, got.ThinArea)
}
