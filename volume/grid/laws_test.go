package grid_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/tintest"
	"barrow/volume/grid"
)

// outlines are shapes that part cells in every way.
func outlines() map[string]orb.Polygon {
	l := orb.Polygon{{{0, 0}, {40, 0}, {40, 12}, {17, 12}, {17, 30}, {0, 30}}}
	star := orb.Polygon{nil}
	for i := range 10 {
		r := []float64{20, 8}[i%2]
		sin, cos := math.Sincos(float64(i) * math.Pi / 5)
		star[0] = append(star[0], orb.Point{20 + r*cos, 15 + r*sin})
	}
	return map[string]orb.Polygon{
		"box": box(0, 0, 40, 30), "L": l, "star": star,
		"holes":  {box(0, 0, 40, 30)[0], box(7.3, 4.1, 12.9, 22.2)[0], {{20, 10}, {21, 10}, {20.5, 11}}},
		"needle": {{{0, 0}, {40, 29.9}, {40, 30}}},
		"within": {{{3.1, 3.1}, {3.4, 3.2}, {3.3, 3.6}}},
	}
}

// On a plane the grid is exact, at any bearing and for any outline: area times
// the depth at the outline's centroid.
func TestPlaneIsExact(t *testing.T) {
	origin := orb.Point{312000, 5812000}
	for name, p := range outlines() {
		for _, bearing := range []float64{0, 90, 180, 270, 17.3, -123.4, 1000} {
			for _, o := range options() {
				outline := around(p, orb.Point{}, bearing)
				for _, ring := range outline {
					for i := range ring {
						ring[i][0], ring[i][1] = ring[i][0]+origin[0], ring[i][1]+origin[1]
					}
				}
				plane := tin.Plane{At: origin, Level: 1, Gradient: [2]float64{0.03, -0.02}}
				depths := grid.Between(grid.Plane(plane), 0.25, grid.Plane(tin.LevelPlane(-5)))
				r := over(t, outline, 2.5, bearing/3, depths, o)
				area := polygonArea(outline)
				require.InEpsilon(t, area, r.Area, 1e-7, name) // places are rounded to 1e-9 m at 5,812 km
				require.Zero(t, r.UncoveredArea, name)
				want := integral(outline, func(q orb.Point) float64 { return plane.LevelAt(q[0], q[1]) + 4.75 })
				require.InEpsilon(t, want, r.CutLessFill, 1e-7, name)
				require.InEpsilon(t, want, r.Cut, 1e-7, name)
				require.Zero(t, r.Fill)
				require.InEpsilon(t, r.CutLessFill/r.Area, r.MeanDepth, 1e-12)
				require.InEpsilon(t, 4*r.Area/2.5/2.5, r.WeightSum, 1e-12)
			}
		}
	}
}

// integral of a linear function over a polygon with holes, by fans.
func integral(p orb.Polygon, f func(orb.Point) float64) float64 {
	total := 0.0
	for i, ring := range p {
		sum, a := 0.0, ring[0]
		area := 0.0
		for j := 2; j < len(ring); j++ {
			b, c := ring[j-1], ring[j]
			twice := (b[0]-a[0])*(c[1]-a[1]) - (b[1]-a[1])*(c[0]-a[0])
			area += twice
			sum += twice * (f(a) + f(b) + f(c)) / 6
		}
		if (area > 0) != (i == 0) {
			sum = -sum
		}
		total += sum
	}
	return total
}

// Turning everything, grid too, changes nothing but rounding.
func TestTurned(t *testing.T) {
	bumps := func(e, n float64) (float64, bool) { return math.Sin(e/7) + math.Cos(n/5) - 0.3, true }
	for name, p := range outlines() {
		for _, o := range options() {
			still := over(t, p, 2, 0, bumps, o)
			for _, by := range []float64{90, 180, 33.3} {
				turned := over(t, around(p, orb.Point{100, 50}, by), 2, by, func(e, n float64) (float64, bool) {
					back := around(orb.Polygon{{{e, n}}}, orb.Point{100, 50}, -by)[0][0]
					return bumps(back[0], back[1])
				}, o)
				require.InDelta(t, still.Cut, turned.Cut, 1e-6*still.Area, name)
				require.InDelta(t, still.Fill, turned.Fill, 1e-6*still.Area, name)
				require.InDelta(t, still.CutLessFill, turned.CutLessFill, 1e-6*still.Area, name)
			}
		}
	}
}

// Depths with the other sign exchange cut and fill, to the bit.
func TestSwapped(t *testing.T) {
	s := roughGround(t, 2000, 1)
	outline := around(box(300005, 5800004, 300031, 5800037), orb.Point{300015, 5800015}, 12)
	for _, o := range options() {
		depths := grid.Between(s.LevelAt, 0.2, grid.Plane(tin.LevelPlane(13.1)))
		r := over(t, outline, 1.5, 77, depths, o)
		swapped := over(t, outline, 1.5, 77, func(e, n float64) (float64, bool) {
			d, ok := depths(e, n)
			return -d, ok
		}, o)
		require.Positive(t, r.Cut)
		require.Positive(t, r.Fill)
		require.Positive(t, r.MixedCells)
		require.Equal(t, r.Cut, swapped.Fill)
		require.Equal(t, r.Fill, swapped.Cut)
		require.Equal(t, r.CutLessFill, -swapped.CutLessFill)
		require.Equal(t, r.MaxCut, swapped.MaxFill)
		require.Equal(t, r.CutCells, swapped.FillCells)
		require.InDelta(t, r.CutLessFill, r.Cut-r.Fill, 1e-9)
	}
}

// Where an outline starts, which way its rings run, the order of holes, of the
// spots of the ground and of a table's corners: no bit of the result changes.
func TestSameBits(t *testing.T) {
	s := roughGround(t, 3000, 2)
	outline := orb.Polygon{
		{{300003.3, 5800002.1}, {300050.7, 5800007.9}, {300041.2, 5800052.2}, {300011.1, 5800044}},
		{{300010, 5800010}, {300020, 5800011}, {300015, 5800020}},
		{{300025, 5800020}, {300035, 5800021}, {300030, 5800031}},
	}
	measure := func(s *tin.Surface, p orb.Polygon, o grid.Options) grid.Result {
		return over(t, p, 1.7, 31, grid.Between(s.LevelAt, 0.15, grid.Plane(tin.LevelPlane(13))), o)
	}
	other := orb.Polygon{slices.Clone(outline[0]), slices.Clone(outline[2]), slices.Clone(outline[1])}
	for i, ring := range other {
		slices.Reverse(ring)
		ring = append(ring[i+1:], ring[:i+1]...)
		other[i] = append(ring, ring[0])
	}
	var points []tin.Point
	for _, v := range s.Vertices() {
		points = append(points, tin.Point{E: v.E, N: v.N, Level: v.Level})
	}
	rand.New(rand.NewPCG(3, 4)).Shuffle(len(points), func(i, j int) { points[i], points[j] = points[j], points[i] })
	shuffled, err := tin.FromPoints(points)
	require.NoError(t, err)
	for _, o := range options() {
		o.Halve = true
		for o.Parts = range grid.WholeByCentre + 1 {
			require.Equal(t, measure(s, outline, o), measure(shuffled, other, o))
		}
	}
	table := tableOf(t, s, 15, 20)
	first, err := table.Measure(t.Context(), grid.Options{Halve: true})
	require.NoError(t, err)
	rand.New(rand.NewPCG(5, 6)).Shuffle(len(table.Corners), func(i, j int) {
		table.Corners[i], table.Corners[j] = table.Corners[j], table.Corners[i]
	})
	second, err := table.Measure(t.Context(), grid.Options{Halve: true})
	require.NoError(t, err)
	require.Equal(t, first, second)
}

// tableOf is a table of depths below 13 m on the ground.
func tableOf(t *testing.T, s *tin.Surface, rows, columns int) grid.Table {
	t.Helper()
	table := grid.Table{Layout: grid.Layout{Origin: orb.Point{300010, 5800010}, Along: 1.5, Across: 1.25, Bearing: 10, Rows: rows, Columns: columns}}
	for r := range rows + 1 {
		for c := range columns + 1 {
			at := table.Layout.Corner(r, c)
			z, ok := s.LevelAt(at[0], at[1])
			require.True(t, ok)
			table.Corners = append(table.Corners, grid.Corner{Row: r, Column: c, Depth: z - 13})
		}
	}
	return table
}

// A table of the depths that a measurement would have asked for gives the same
// bits; so does a shift of everything by whole metres.
func TestTableAndShift(t *testing.T) {
	s := roughGround(t, 3000, 3)
	table := tableOf(t, s, 15, 20)
	for _, o := range options() {
		a, err := table.Measure(t.Context(), o)
		require.NoError(t, err)
		b, err := grid.Measure(t.Context(), table.Layout, grid.Between(s.LevelAt, 0, grid.Plane(tin.LevelPlane(13))), o)
		require.NoError(t, err)
		require.Equal(t, a, b)
	}
	near := box(3, 4, 33.5, 28.25)
	far := box(524288+3, 4194304+4, 524288+33.5, 4194304+28.25)
	depths := func(e, n float64) (float64, bool) { return math.Sin(e) + math.Cos(n), true }
	a := over(t, near, 0.5, 0, depths, grid.Options{})
	b := over(t, far, 0.5, 0, func(e, n float64) (float64, bool) { return depths(e-524288, n-4194304) }, grid.Options{})
	require.Equal(t, a.Cut, b.Cut)
	require.Equal(t, a.Fill, b.Fill)
}

// Halves of an outline add up: areas by both rules for parts, volumes too where
// the grid is the same.
func TestHalvesAddUp(t *testing.T) {
	g := grid.Layout{Origin: orb.Point{-1, -1}, Along: 1.3, Across: 0.9, Bearing: 20, Rows: 60, Columns: 60}
	g.Origin = g.Corner(-30, -30)
	depths := func(e, n float64) (float64, bool) { return math.Sin(e/3) * math.Cos(n/4), true }
	for _, o := range options() {
		for o.Parts = range grid.WholeByCentre + 1 {
			measure := func(p orb.Polygon) grid.Result {
				o.Within = p
				r, err := grid.Measure(t.Context(), g, depths, o)
				require.NoError(t, err)
				require.Zero(t, r.UncoveredArea)
				return r
			}
			whole := measure(box(1, 1, 12, 9))
			left, right := measure(orb.Polygon{{{1, 1}, {5, 1}, {7, 9}, {1, 9}}}), measure(orb.Polygon{{{5, 1}, {12, 1}, {12, 9}, {7, 9}}})
			require.InEpsilon(t, whole.Area, left.Area+right.Area, 1e-9)
			require.InDelta(t, whole.CutLessFill, left.CutLessFill+right.CutLessFill, 1e-9)
			if o.Split == grid.ZeroLine {
				require.InDelta(t, whole.Cut, left.Cut+right.Cut, 1e-9)
			}
		}
	}
}

// Solids whose ground is planes: the grid is exact where its lines hold every
// edge of the solid, and near where they do not.
func TestSolids(t *testing.T) {
	for _, solid := range tintest.Solids() {
		t.Run(solid.Name, func(t *testing.T) {
			s, err := solid.Surface()
			require.NoError(t, err)
			r := over(t, solid.Outline, 0.1, 0, grid.Between(s.LevelAt, 0, grid.Plane(tin.LevelPlane(solid.Level))), grid.Options{Halve: true})
			require.NotNil(t, r.Sampling)
			moved := solid.Cut + solid.Fill
			require.InDelta(t, solid.Cut, r.Cut, 1e-3*moved)
			require.InDelta(t, solid.Fill, r.Fill, 1e-3*moved)
			require.Zero(t, r.UncoveredArea)
			require.InDelta(t, solid.Cut-solid.Fill, r.CutLessFill, 1.001*r.Sampling.CutLessFill.Error+1e-9*moved)
		})
	}
}

// What has no depth, or lies beyond the grid, is told as an area; areas add up.
func TestUncovered(t *testing.T) {
	s, err := tin.FromPoints([]tin.Point{{E: 0, N: 0, Level: 5}, {E: 10, N: 0, Level: 5}, {E: 10, N: 10, Level: 5}, {E: 0, N: 10, Level: 5}})
	require.NoError(t, err)
	depths := grid.Between(s.LevelAt, 0, grid.Plane(tin.LevelPlane(4)))
	r := over(t, box(5, 0, 15, 10), 1, 0, depths, grid.Options{})
	require.Equal(t, 50.0, r.Cut)
	require.Equal(t, 50.0, r.UncoveredArea)
	require.Equal(t, 10, r.Incomplete) // with two corners on the rim
	require.Zero(t, r.BeyondArea)

	g := grid.Layout{Along: 1, Across: 1, Rows: 4, Columns: 5}
	r, err = grid.Measure(t.Context(), g, depths, grid.Options{Within: box(1, 1, 8, 8)})
	require.NoError(t, err)
	require.Equal(t, 12.0, r.Area)
	require.InDelta(t, 49-12, r.BeyondArea, 1e-12)
	require.InDelta(t, 49-12, r.UncoveredArea, 1e-12)

	// A formation with an end of its own, the same as the outline's, at a
	// bearing where rounding puts corners on either side of it.
	turned := around(box(2, 2, 8, 8), orb.Point{5, 5}, 33)
	var corners []tin.Point
	for _, c := range turned[0][:4] {
		corners = append(corners, tin.Point{E: c[0], N: c[1], Level: 4})
	}
	pad, err := tin.FromPoints(corners)
	require.NoError(t, err)
	for _, side := range []float64{1, 0.7} {
		r = over(t, turned, side, 33, grid.Between(s.LevelAt, 0, pad.LevelAt), grid.Options{})
		require.Zero(t, r.UncoveredArea)
		require.InDelta(t, 36, r.Area, 1e-6)
		require.InDelta(t, 36, r.Cut, 1e-6)
	}

	nan := func(e, n float64) (float64, bool) { return math.NaN(), true }
	r = over(t, box(0, 0, 4.5, 4), 1, 0, nan, grid.Options{Halve: true})
	require.Equal(t, 18.0, r.UncoveredArea)
	require.Zero(t, r.Cells)
	require.Nil(t, r.Sampling)
}

// Where depths end with the works, nothing of them is lost at the rim: a cell all of
// whose 256 places lie within may have a corner outside.
func TestInsideWithoutDepthBeyond(t *testing.T) {
	in := func(e, n float64) bool { return e >= 0 && e <= 60 && n >= 0 && n <= 40 }
	depths := func(e, n float64) (float64, bool) { return 0.1*e - 1, in(e, n) }
	for _, bearing := range []float64{0, 10, 31.7, 60} {
		g, err := grid.Over(box(0, 0, 60, 40), 0.5, bearing)
		require.NoError(t, err)
		r, err := grid.Measure(t.Context(), g, depths, grid.Options{Inside: in})
		require.NoError(t, err)
		require.Zero(t, r.UncoveredArea)
		require.InEpsilon(t, 2400, r.Area, 1e-5)
		require.InEpsilon(t, 5000, r.Cut, 1e-4)
		require.InEpsilon(t, 200, r.Fill, 1e-3)
	}
}

// A test in place of an outline: a circle.
func TestInside(t *testing.T) {
	g := grid.Layout{Origin: orb.Point{-11, -11}, Along: 1, Across: 1, Bearing: 0, Rows: 22, Columns: 22}
	disc := func(e, n float64) bool { return e*e+n*n <= 100 }
	one := func(e, n float64) (float64, bool) { return 1, disc(e, n) }
	r, err := grid.Measure(t.Context(), g, one, grid.Options{Inside: disc})
	require.NoError(t, err)
	require.InDelta(t, math.Pi*100, r.Area, 0.5)
	require.InDelta(t, r.Area, r.Cut, 1e-9)
	require.Less(t, r.UncoveredArea, 0.1)
	centre, err := grid.Measure(t.Context(), g, one, grid.Options{Inside: disc, Parts: grid.WholeByCentre})
	require.NoError(t, err)
	require.InDelta(t, math.Pi*100, centre.Area+centre.UncoveredArea, 8)
	require.Equal(t, math.Round(centre.Area), centre.Area)
	// With no area at all: the cells that have a depth at each corner.
	bare, err := grid.Measure(t.Context(), g, one, grid.Options{})
	require.NoError(t, err)
	require.Zero(t, bare.UncoveredArea)
	require.Positive(t, bare.Incomplete)
	require.Less(t, bare.Area, r.Area)
	require.Zero(t, bare.PartCells)
}

// Cells told one by one add up to the whole.
func TestCells(t *testing.T) {
	s := roughGround(t, 2000, 5)
	outline := around(box(300005, 5800004, 300055, 5800037), orb.Point{300015, 5800015}, 12)
	for parts := range grid.WholeByCentre + 1 {
		var cut, fill, area, uncovered float64
		n, before := 0, -1
		r := over(t, outline, 3, 0, grid.Between(s.LevelAt, 0, grid.Plane(tin.LevelPlane(13))), grid.Options{Parts: parts, Cell: func(c grid.Cell) {
			at := c.Row*1000 + c.Column
			require.Greater(t, at, before)
			before = at
			if !c.Covered {
				uncovered += c.Area
				return
			}
			n++
			cut, fill, area = cut+c.Cut, fill+c.Fill, area+c.Area
			require.InDelta(t, c.CutLessFill, c.Cut-c.Fill, 1e-9)
		}})
		require.Equal(t, r.Cells, n)
		require.Equal(t, r.Cells, r.CutCells+r.FillCells+r.MixedCells+r.LevelCells)
		require.InEpsilon(t, r.Cut, cut, 1e-12)
		require.InEpsilon(t, r.Fill, fill, 1e-12)
		require.InEpsilon(t, r.Area, area, 1e-12)
		require.Positive(t, uncovered)
		require.InEpsilon(t, r.UncoveredArea, uncovered, 1e-9)
		if parts == grid.ClipParts {
			require.InEpsilon(t, polygonArea(outline), area+uncovered, 1e-8)
			require.Positive(t, r.PartCells)
		}
	}
}

// TestConvergence prints the table of docs/methods.md and holds the orders: depth
// sin(x/9) cos(y/7) + 0.1 over an L-shaped outline, the grid at bearing 25.
func TestConvergence(t *testing.T) {
	outline := orb.Polygon{{{0, 0}, {40, 0}, {40, 12}, {17, 12}, {17, 30}, {0, 30}}}
	depths := func(e, n float64) (float64, bool) { return math.Sin(e/9)*math.Cos(n/7) + 0.1, true }
	rectangle := func(e0, n0, e1, n1 float64) float64 {
		return 9*(math.Cos(e0/9)-math.Cos(e1/9))*7*(math.Sin(n1/7)-math.Sin(n0/7)) + 0.1*(e1-e0)*(n1-n0)
	}
	net := rectangle(0, 0, 40, 12) + rectangle(0, 12, 17, 30)
	fine := over(t, outline, 1./32, 25, depths, grid.Options{})
	require.InDelta(t, net, fine.CutLessFill, 1e-3)
	cut := fine.Cut // off by 1/1024 of the error at 1 m, at most
	sides := []float64{4, 2, 1, 0.5, 0.25}
	for _, c := range []struct {
		name  string
		o     grid.Options
		value func(grid.Result) float64
		exact float64
		order float64
	}{
		{"square, cut less fill", grid.Options{}, func(r grid.Result) float64 { return r.CutLessFill }, net, 2},
		{"triangles, cut less fill", grid.Options{Rule: grid.TrianglesRising}, func(r grid.Result) float64 { return r.CutLessFill }, net, 2},
		{"square, cut, zero line", grid.Options{}, func(r grid.Result) float64 { return r.Cut }, cut, 2},
		{"square, cut, four-point rule", grid.Options{Split: grid.FourPoint}, func(r grid.Result) float64 { return r.Cut }, cut, 2},
		{"square, cut, corners apart", grid.Options{Split: grid.CornerSums}, func(r grid.Result) float64 { return r.Cut }, cut, 2},
		{"square, cut less fill, whole by centre", grid.Options{Parts: grid.WholeByCentre}, func(r grid.Result) float64 { return r.CutLessFill }, net, 0},
	} {
		line := fmt.Sprintf("| %s |", c.name)
		var off []float64
		for _, h := range sides {
			r := over(t, outline, h, 25, depths, c.o)
			off = append(off, math.Abs(c.value(r)-c.exact))
			line += fmt.Sprintf(" %.4f |", off[len(off)-1])
		}
		order := math.Log2(off[0]/off[len(off)-1]) / float64(len(off)-1)
		t.Logf("%s %.2f |", line, order)
		if c.order > 0 {
			require.InDelta(t, c.order, order, 0.25, c.name)
		} else {
			require.Less(t, order, 1.75, c.name)
		}
	}
}

// The error that Richardson finds is the error, on smooth ground.
func TestSamplingOnSmoothGround(t *testing.T) {
	bowl := func(e, n float64) (float64, bool) { return 0.01*(e*e+n*n) - 2, true }
	r := over(t, box(0, 0, 40, 40), 5, 0, bowl, grid.Options{Halve: true})
	// ERR-1: k h2 A / 3 above the bowl.
	off := 0.01 * 25 * 1600 / 3
	exact := 2*0.01*math.Pow(40, 4)/3 - 2*1600
	require.InEpsilon(t, exact+off, r.CutLessFill, 1e-12)
	require.Equal(t, 0.5, r.Sampling.Factor)
	require.Equal(t, 1.0, r.Sampling.Share)
	require.InEpsilon(t, off, r.Sampling.CutLessFill.Error, 1e-9)
	require.InEpsilon(t, exact, r.Sampling.CutLessFill.Extrapolated, 1e-12)

	table := grid.Table{Layout: grid.Layout{Along: 5, Across: 5, Rows: 8, Columns: 8}}
	for row := range 9 {
		for column := range 9 {
			d, _ := bowl(5*float64(column), 5*float64(row))
			table.Corners = append(table.Corners, grid.Corner{Row: row, Column: column, Depth: d})
		}
	}
	b, err := table.Measure(t.Context(), grid.Options{Halve: true})
	require.NoError(t, err)
	require.Equal(t, r.CutLessFill, b.CutLessFill)
	require.Equal(t, 2.0, b.Sampling.Factor)
	require.InEpsilon(t, exact, b.Sampling.CutLessFill.Extrapolated, 1e-12)
	require.InEpsilon(t, off, b.Sampling.CutLessFill.Error, 1e-9)

	// An odd row more: what both measure is less than all.
	table.Layout.Rows++
	for column := range 9 {
		d, _ := bowl(5*float64(column), 45)
		table.Corners = append(table.Corners, grid.Corner{Row: 9, Column: column, Depth: d})
	}
	b, err = table.Measure(t.Context(), grid.Options{Halve: true})
	require.NoError(t, err)
	require.InEpsilon(t, 8./9, b.Sampling.Share, 1e-12)
	require.InEpsilon(t, off*9/8, b.Sampling.CutLessFill.Error, 1e-9)
}

// On broken ground the stated error holds the true one: grids of every size,
// place and bearing on random ground, against a grid of 0.15 m.
func TestSamplingOnRoughGround(t *testing.T) {
	s := roughGround(t, 1500, 7)
	rng := rand.New(rand.NewPCG(8, 9))
	depths := grid.Between(s.LevelAt, 0, grid.Plane(tin.LevelPlane(13.2)))
	const runs = 100
	held, stated, off := [3]int{}, [3]float64{}, [3]float64{}
	for range runs {
		outline := around(box(300008, 5800008, 300020+6*rng.Float64(), 5800020+6*rng.Float64()), orb.Point{300018, 5800018}, 360*rng.Float64())
		truth := over(t, outline, 0.15, 0, depths, grid.Options{})
		r := over(t, outline, 0.5+3*rng.Float64(), 360*rng.Float64(), depths, grid.Options{Halve: true})
		for i, x := range [][3]float64{
			{r.Cut, truth.Cut, r.Sampling.Cut.Error}, {r.Fill, truth.Fill, r.Sampling.Fill.Error},
			{r.CutLessFill, truth.CutLessFill, r.Sampling.CutLessFill.Error},
		} {
			if math.Abs(x[0]-x[1]) <= x[2] {
				held[i]++
			}
			stated[i], off[i] = stated[i]+x[2]/runs, off[i]+math.Abs(x[0]-x[1])/runs
		}
	}
	for i, name := range []string{"cut", "fill", "cut less fill"} {
		t.Logf("%s: within the stated error %d of %d; stated %.2f m3 on average, true %.2f", name, held[i], runs, stated[i], off[i])
		require.GreaterOrEqual(t, held[i], runs*9/10)
		require.Less(t, stated[i], 6*off[i], "an error so wide tells nothing")
	}
}
