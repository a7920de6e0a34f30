package tin_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
)

// areas adds up the cells by the polygons that hold them.
func areas(cells []tin.Cell) (in map[int]float64, both float64) {
	in = make(map[int]float64)
	for _, c := range cells {
		for _, k := range c.In {
			in[k] += c.Area
		}
		if len(c.In) > 1 {
			both += c.Area
		}
	}
	return in, both
}

func partition(t testing.TB, s *tin.Surface, polygons ...orb.Polygon) []tin.Cell {
	t.Helper()
	cells, err := s.Partition(polygons, nil)
	require.NoError(t, err)
	for i, c := range cells {
		a, b, d := c.Corner[0], c.Corner[1], c.Corner[2]
		area := ((b[0]-a[0])*(d[1]-a[1]) - (b[1]-a[1])*(d[0]-a[0])) / 2
		require.InDelta(t, area, c.Area, 1e-9+1e-9*c.Area, "cell %d", i)
		require.Greater(t, c.Area, -1e-12, "cell %d is anticlockwise", i)
		require.NotEmpty(t, c.In)
		require.True(t, slices.IsSorted(c.In))
	}
	return cells
}

func TestPartition(t *testing.T) {
	s := build(t, square())
	withHole := orb.Polygon{box(10, 10, 50, 50)[0], box(20, 20, 30, 30)[0]}
	tests := []struct {
		name     string
		polygons []orb.Polygon
		want     []float64 // area of each polygon
		both     float64   // area in two of them or more
	}{
		{"none", nil, nil, 0},
		{"one", []orb.Polygon{box(10, 10, 50, 50)}, []float64{1600}, 0},
		{"beyond the hull", []orb.Polygon{box(-50, -50, 150, 150)}, []float64{40000}, 0},
		{"apart", []orb.Polygon{box(0, 0, 10, 10), box(20, 0, 30, 30)}, []float64{100, 300}, 0},
		{"crossing", []orb.Polygon{box(10, 10, 50, 50), box(40, 45, 80, 95)}, []float64{1600, 2000}, 50},
		{"like a plus", []orb.Polygon{box(10, 40, 90, 60), box(40, 10, 60, 90)}, []float64{1600, 1600}, 400},
		{"one in another", []orb.Polygon{box(10, 10, 50, 50), box(20, 20, 30, 30)}, []float64{1600, 100}, 100},
		{"equal", []orb.Polygon{box(10, 10, 50, 50), box(10, 10, 50, 50)}, []float64{1600, 1600}, 1600},
		{"sharing a side", []orb.Polygon{box(10, 10, 50, 50), box(50, 10, 60, 50)}, []float64{1600, 400}, 0},
		{"sharing part of a side", []orb.Polygon{box(10, 10, 50, 50), box(50, 20, 60, 90)}, []float64{1600, 700}, 0},
		{"touching at a corner", []orb.Polygon{box(10, 10, 50, 50), box(50, 50, 60, 60)}, []float64{1600, 100}, 0},
		{"a corner on a side", []orb.Polygon{box(10, 10, 50, 50), {{{50, 30}, {70, 20}, {70, 40}}}}, []float64{1600, 200}, 0},
		{"with a hole", []orb.Polygon{withHole}, []float64{1500}, 0},
		{"filling a hole", []orb.Polygon{withHole, box(20, 20, 30, 30)}, []float64{1500, 100}, 0},
		{"across a hole", []orb.Polygon{withHole, box(25, 0, 28, 60)}, []float64{1500, 180}, 90},
		// Turned by 45 degrees, the square |x| + |y| <= 20 has 800 m2; 10 x 10
		// of each quarter of it lies within 10 of the axes but for a corner of
		// no area: 400.
		{"turned square", []orb.Polygon{box(40, 40, 60, 60), {{{50, 30}, {70, 50}, {50, 70}, {30, 50}}}}, []float64{400, 800}, 400},
		// The star of two triangles, sides 30: each has 30^2 * sqrt(3)/4, the
		// hexagon between them 2/3 of it.
		{"star", []orb.Polygon{star(0), star(math.Pi)}, []float64{225 * math.Sqrt(3), 225 * math.Sqrt(3)}, 150 * math.Sqrt(3)},
		{"three", []orb.Polygon{box(0, 0, 30, 30), box(10, 10, 40, 40), box(20, 20, 50, 50)}, []float64{900, 900, 900}, 700},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			cells := partition(t, s, tt.polygons...)
			in, both := areas(cells)
			require.Len(t, in, len(tt.want))
			for k, want := range tt.want {
				assert.InEpsilon(t, want, in[k], 1e-12, "polygon %d", k)
			}
			assert.InDelta(t, tt.both, both, 1e-9)
			for _, c := range cells {
				assert.True(t, c.Ground, "the hull is not looked at")
			}
			// The same cells to the bit, wherever rings begin and which way they run.
			for turn := range 4 {
				var turned []orb.Polygon
				for i, p := range tt.polygons {
					all := turnings(p)
					turned = append(turned, all[(turn*3+i)%len(all)])
				}
				assert.Equal(t, cells, partition(t, s, turned...))
			}
		})
	}
}

// star is a triangle round (50, 50) with sides of 30 m.
func star(turn float64) orb.Polygon {
	var ring orb.Ring
	for i := range 3 {
		sin, cos := math.Sincos(turn + 2*math.Pi/3*float64(i))
		ring = append(ring, orb.Point{50 + 30/math.Sqrt(3)*cos, 50 + 30/math.Sqrt(3)*sin})
	}
	return orb.Polygon{ring}
}

func TestPartitionKnowsTheGround(t *testing.T) {
	s := buildWith(t, tin.Options{
		Boundary: orb.MultiPolygon{box(0, 0, 50, 100), box(40, 0, 60, 20)},
		Voids:    orb.MultiPolygon{box(10, 10, 20, 20), box(15, 15, 30, 30)},
	}, square())
	on, off := 0.0, 0.0
	for _, c := range partition(t, s, box(0, 0, 100, 50)) {
		if c.Ground {
			on += c.Area
		} else {
			off += c.Area
		}
	}
	// 50 x 50 and 10 x 20 within the boundary, 100 + 225 - 25 of voids.
	assert.InEpsilon(t, 2500+200-300, on, 1e-12)
	assert.InEpsilon(t, 5000, on+off, 1e-12)
}

func TestPartitionByLines(t *testing.T) {
	s := build(t, square())
	line := orb.LineString{{0, 30}, {60, 30}, {60, 30}, {60, 100}}
	cells, err := s.Partition([]orb.Polygon{box(10, 10, 50, 50)}, []orb.LineString{line, {{70, 70}}, nil, {{70, 10}, {90, 10}}})
	require.NoError(t, err)
	below := 0.0
	for _, c := range cells {
		n := []float64{c.Corner[0][1], c.Corner[1][1], c.Corner[2][1]}
		assert.False(t, slices.Min(n) < 30 && slices.Max(n) > 30, "no cell lies across the line: %v", c.Corner)
		if slices.Max(n) <= 30 {
			below += c.Area
		}
	}
	in, _ := areas(cells)
	assert.InEpsilon(t, 1600, in[0], 1e-12)
	assert.InEpsilon(t, 800, below, 1e-12)
}

func TestPartitionRefuses(t *testing.T) {
	s := build(t, square())
	_, err := s.Partition([]orb.Polygon{box(0, 0, 1, 1), {{{0, 0}, {10, 10}, {10, 0}, {0, 10}}}}, nil)
	assert.ErrorContains(t, err, "polygon 2: ")
	assert.Equal(t, "outline_crosses", asInputError(t, err).Code)
	_, err = s.Partition([]orb.Polygon{{{{0, 0}, {math.NaN(), 10}, {10, 0}}}}, nil)
	assert.Equal(t, "bad_coordinate", asInputError(t, err).Code)
	for _, p := range []orb.Point{{math.NaN(), 0}, {0, math.Inf(1)}, {1e200, 0}} {
		_, err = s.Partition([]orb.Polygon{box(0, 0, 1, 1)}, []orb.LineString{{{0, 0}, p}})
		assert.Equal(t, "bad_coordinate", asInputError(t, err).Code)
	}
}

// starPolygon is a random simple outline: corners at random distances round a
// place.
func starPolygon(rng *rand.Rand, e, n, reach float64) orb.Polygon {
	for {
		var ring orb.Ring
		for i := range 3 + rng.IntN(9) {
			sin, cos := math.Sincos((float64(i) + 0.9*rng.Float64()) * 2 * math.Pi / 12)
			r := reach * (0.2 + 0.8*rng.Float64())
			p := orb.Point{e + r*cos, n + r*sin}
			if rng.IntN(2) == 0 { // onto places others may have too
				p = orb.Point{math.Round(p[0]/5) * 5, math.Round(p[1]/5) * 5}
			}
			ring = append(ring, p)
		}
		if p := (orb.Polygon{ring}); tin.CheckOutline(p) == nil {
			return p
		}
	}
}

// Over random outlines: areas add up, cells do not depend on where rings begin,
// and the pieces of each cell cover it.
func TestPartitionAndPiecesAddUp(t *testing.T) {
	rng := rand.New(rand.NewPCG(51, 1))
	for range 60 {
		var points []tin.Point
		for range 60 {
			points = append(points, tin.Point{E: float64(rng.IntN(21)) * 5, N: float64(rng.IntN(21)) * 5, Level: 10})
		}
		for i := range points {
			points[i].Level = planeLevel(points[i].E, points[i].N)
		}
		points = append(points, corners(planeLevel)...)
		s := build(t, points)
		var polygons, turned []orb.Polygon
		for range 1 + rng.IntN(4) {
			p := starPolygon(rng, 20+60*rng.Float64(), 20+60*rng.Float64(), 45)
			all := turnings(p)
			polygons, turned = append(polygons, p), append(turned, all[rng.IntN(len(all))])
		}
		cells := partition(t, s, polygons...)
		in, _ := areas(cells)
		for k, p := range polygons {
			closed := orb.Polygon{append(slices.Clone(p[0]), p[0][0])}
			require.InEpsilon(t, math.Abs(planar.Area(closed)), in[k], 1e-10)
		}
		require.Equal(t, cells, partition(t, s, turned...))
		checkPieces(t, s, cells, planeLevel)
	}
}

func planeLevel(e, n float64) float64 { return 10 + 0.02*e - 0.01*n }

// corners are spots at the corners of 100 x 100 m.
func corners(level func(e, n float64) float64) []tin.Point {
	var points []tin.Point
	for _, p := range square() {
		points = append(points, tin.Point{E: p.E, N: p.N, Level: level(p.E, p.N)})
	}
	return points
}

// checkPieces proves that pieces cover the cells within the hull, are convex
// and anticlockwise, lie in their triangle and carry the surface's level.
func checkPieces(t *testing.T, s *tin.Surface, cells []tin.Cell, level func(e, n float64) float64) {
	t.Helper()
	covered := make([]float64, len(cells))
	f := s.Frame()
	triangles := make(map[int][3]tin.Vertex)
	for i, tri := range s.Triangles() {
		triangles[i] = tri.Corner
	}
	lastCell := -1
	seen := make(map[int]bool)
	for i, p := range s.Pieces(cells) {
		require.GreaterOrEqual(t, i, lastCell, "cells in order")
		if i > lastCell {
			clear(seen)
		}
		require.False(t, seen[p.Triangle], "each triangle once in a cell")
		lastCell, seen[p.Triangle] = i, true
		require.GreaterOrEqual(t, len(p.Corner), 3)
		require.LessOrEqual(t, len(p.Corner), 9)
		o := p.Corner[0]
		area := 0.0
		for k := 2; k < len(p.Corner); k++ {
			a, b := p.Corner[k-1], p.Corner[k]
			part := ((a.X-o.X)*(b.Y-o.Y) - (a.Y-o.Y)*(b.X-o.X)) / 2 * f.Area()
			require.Greater(t, part, -1e-9, "a piece is convex")
			area += part
		}
		covered[i] += area
		lo, hi := math.Inf(1), math.Inf(-1)
		for _, c := range triangles[p.Triangle] {
			lo, hi = min(lo, c.Level), max(hi, c.Level)
		}
		for _, c := range p.Corner {
			at := f.Metres(c.X, c.Y)
			require.InDelta(t, level(at[0], at[1]), c.Level, 1e-9)
			require.True(t, lo-1e-12 <= c.Level && c.Level <= hi+1e-12, "levels stay within the triangle's")
		}
	}
	for i, c := range cells {
		if s.InHull(&c) {
			require.InDelta(t, c.Area, covered[i], 1e-9*c.Area+1e-12, "cell %d of %v is covered", i, c.Corner)
		} else {
			require.LessOrEqual(t, covered[i], c.Area*(1+1e-9)+1e-12, "cell %d", i)
		}
	}
}

// What lies outside the hull has no piece; what MaxEdge took away is marked.
func TestPiecesOutside(t *testing.T) {
	s := build(t, square())
	cells := partition(t, s, box(50, 50, 150, 150))
	got := 0.0
	for _, p := range s.Pieces(cells) {
		assert.True(t, p.Ground)
		got += pieceArea(s, p)
	}
	assert.InEpsilon(t, 2500, got, 1e-12)
	inHull := func(c tin.Cell) bool { return s.InHull(&c) }
	assert.False(t, slices.ContainsFunc(cells, inHull))
	assert.True(t, slices.ContainsFunc(partition(t, s, box(50, 50, 100, 100)), inHull))
	for range s.Pieces(partition(t, s, box(200, 200, 300, 300))) {
		t.Error("a piece far from the ground")
	}

	s = buildWith(t, tin.Options{MaxEdge: 1.2}, gulf())
	on, off := 0.0, 0.0
	for _, p := range s.Pieces(partition(t, s, box(0, 4, 9, 9))) {
		if p.Ground {
			on += pieceArea(s, p)
		} else {
			off += pieceArea(s, p)
		}
	}
	assert.InEpsilon(t, 4*5, on, 1e-12)
	assert.InEpsilon(t, 5*5, off, 1e-12)
}

func pieceArea(s *tin.Surface, p tin.Piece) float64 {
	sum, o := 0.0, p.Corner[0]
	for k := 2; k < len(p.Corner); k++ {
		a, b := p.Corner[k-1], p.Corner[k]
		sum += (a.X-o.X)*(b.Y-o.Y) - (a.Y-o.Y)*(b.X-o.X)
	}
	return sum / 2 * s.Frame().Area()
}

// Iterators may be left early.
func TestIteratorsStop(t *testing.T) {
	s := build(t, gulf())
	n := 0
	for range s.Pieces(partition(t, s, box(0, 0, 9, 9))) {
		if n++; n == 3 {
			break
		}
	}
	for range s.Vertices() {
		if n++; n == 6 {
			break
		}
	}
	for range s.Triangles() {
		if n++; n == 9 {
			break
		}
	}
	for range s.Edges() {
		if n++; n == 12 {
			break
		}
	}
	assert.Equal(t, 12, n)
}

// Two cells beside a cut, and two triangles beside an edge, have the same
// corner there, to the bit.
func TestPiecesShareTheirCornersToTheBit(t *testing.T) {
	rng := rand.New(rand.NewPCG(51, 2))
	for range 20 {
		var points []tin.Point
		for range 80 {
			points = append(points, tin.Point{E: 100 * rng.Float64(), N: 100 * rng.Float64(), Level: 10 + 5*rng.Float64()})
		}
		s := build(t, points)
		e, n := 30+20*rng.Float64(), 30+20*rng.Float64()
		cells := partition(t, s, box(e, n, e+30, n+25), box(e+10, n-10, e+20, n+50), star(rng.Float64()))
		near := make(map[[2]int]map[tin.PieceCorner]bool)
		for _, p := range s.Pieces(cells) {
			for _, c := range p.Corner {
				k := [2]int{int(math.Round(c.X * 1e6)), int(math.Round(c.Y * 1e6))}
				if near[k] == nil {
					near[k] = make(map[tin.PieceCorner]bool)
				}
				near[k][c] = true
			}
		}
		require.Greater(t, len(near), 50)
		for _, same := range near {
			require.Len(t, same, 1)
		}
	}
}
