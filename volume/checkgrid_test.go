package volume_test

import (
	"math"
	"math/big"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"barrow/tin"
)

// mirrored is the points with E turned round about the middle of 0 and width.
func mirrored(points []tin.Point, width float64) []tin.Point {
	out := make([]tin.Point, len(points))
	for i, p := range points {
		out[i] = p
		out[i].E = width - p.E
	}
	return out
}

// squares is GRID-1: the points, the depth of each to a tenth of a foot, the
// squares by the names of their corners anticlockwise from the south-west.
type squares struct {
	points  []tin.Point
	depth   map[string]*big.Rat
	cells   [][4]string
	outline orb.Polygon // feet
	level   float64     // formation, feet
}

func readGrid1(t *testing.T) (squares, checkValue) {
	t.Helper()
	c := checkNamed(t, "GRID-1")
	require.Equal(t, []string{"point", "x", "y", "staff_reading", "level", "cut"}, c.Columns[:6])
	s := squares{depth: make(map[string]*big.Rat), level: c.Given["formation_level"].float(t)}
	for _, r := range c.Rows {
		name := r[0].text()
		s.points = append(s.points, tin.Point{Name: name, E: r[1].float(t), N: r[2].float(t), Level: r[4].float(t)})
		s.depth[name] = new(big.Rat).Sub(r[4].rat(t), c.Given["formation_level"].rat(t))
		require.Zero(t, s.depth[name].Cmp(r[5].rat(t)), "cut of %s", name)
	}
	for _, cell := range c.Cells {
		s.cells = append(s.cells, [4]string{cell[0:2], cell[2:4], cell[4:6], cell[6:8]})
	}
	// The stepped site: round the 12 squares.
	s.outline = orb.Polygon{{{0, 0}, {80, 0}, {80, 20}, {60, 20}, {60, 60}, {40, 60}, {40, 80}, {0, 80}, {0, 0}}}
	return s, c
}

// halves is the volume of one square by the two triangles on each side of one
// diagonal (TRI-1): A from its first to its third corner, B the other.
func (s *squares) halves(cell [4]string) (a, b *big.Rat) {
	h := func(i, j, k int) *big.Rat {
		sum := add(add(s.depth[cell[i]], s.depth[cell[j]]), s.depth[cell[k]])
		return mul(sum, big.NewRat(20*20, 6))
	}
	return add(h(0, 1, 2), h(0, 2, 3)), add(h(0, 1, 3), h(1, 2, 3))
}

// GRID-1: borrow pit levels on 12 squares of 20 ft, from a surveying textbook
// (Plate B.2, p. 890). It prints 337 yd3 by weighted corners. The rule of this
// project gives every square the diagonal from north-west to south-east,
// diagonal B of the file; seen in a mirror the same squares have diagonal A.
func TestGrid1(t *testing.T) {
	s, c := readGrid1(t)
	exactA, exactB, least, most := new(big.Rat), new(big.Rat), new(big.Rat), new(big.Rat)
	for _, cell := range s.cells {
		a, b := s.halves(cell)
		exactA.Add(exactA, a)
		exactB.Add(exactB, b)
		if a.Cmp(b) > 0 {
			a, b = b, a
		}
		least.Add(least, a)
		most.Add(most, b)
	}
	// The file's own figures, from the same levels in rationals.
	require.Equal(t, c.Recomputed["triangles_min_ft3"], written(least.FloatString(4)))
	require.Equal(t, c.Recomputed["triangles_max_ft3"], written(most.FloatString(4)))

	plane := tin.LevelPlane(s.level * 0.3048)
	check := func(t *testing.T, ground *tin.Surface, outline orb.Polygon, exact *big.Rat, figure string, decimals int) {
		got := against(t, ground, plane, ft(outline))
		cut := inFeet3(got.Cut)
		digits(t, "cut, yd3", c.Recomputed[figure].float(t), decimals, cut/yard3)
		want, _ := exact.Float64()
		relative(t, "cut, ft3: "+exact.RatString()+" =", number(want), cut, 1e-12, 0)
		relative(t, "plan area, ft2", number(c.Recomputed["plan_area_ft2"].float(t)), got.CutArea/(0.3048*0.3048), 1e-12, 0)
		require.Zero(t, got.Fill)
		require.Zero(t, got.FillArea+got.LevelArea+got.UncoveredArea)
		require.GreaterOrEqual(t, cut/yard3, c.Recomputed["triangles_any_choice_min_yd3"].float(t))
		require.LessOrEqual(t, cut/yard3, c.Recomputed["triangles_any_choice_max_yd3"].float(t))
		// The printed figure is the weighted-corner rule's, which no triangles give.
		row(t, "cut by weighted corners, yd3", c.Printed["volume_yd3"], cut/yard3, cut/yard3-c.Printed["volume_yd3"].float(t))
		require.InDelta(t, c.Printed["volume_yd3"].float(t), cut/yard3, 1)
	}
	t.Run("B", func(t *testing.T) {
		check(t, inFeet(t, s.points), s.outline, exactB, "triangles_diagonal_B_yd3", 4)
	})
	t.Run("A", func(t *testing.T) { // in a mirror
		outline := orb.Polygon{nil}
		for _, p := range s.outline[0] {
			outline[0] = append(outline[0], orb.Point{80 - p[0], p[1]})
		}
		check(t, inFeet(t, mirrored(s.points, 80)), outline, exactA, "triangles_diagonal_A_yd3", 3)
	})
	t.Run("A, forced", func(t *testing.T) { // with the other diagonals as breaklines
		byName := make(map[string]tin.Point)
		for _, p := range s.points {
			byName[p.Name] = p
		}
		var lines []tin.Breakline
		for _, cell := range s.cells {
			lines = append(lines, tin.Breakline{Vertices: []tin.Point{byName[cell[0]], byName[cell[2]]}})
		}
		check(t, inFeet(t, s.points, lines...), s.outline, exactA, "triangles_diagonal_A_yd3", 3)
	})
	t.Run("boundary", func(t *testing.T) {
		// The stepped site as the survey's boundary, and an outline round all:
		// the steps are no ground.
		ground, err := tin.Build(t.Context(), []tin.Source{{Points: s.points}},
			tin.Options{Unit: tin.Foot, Boundary: orb.MultiPolygon{s.outline}})
		require.NoError(t, err)
		got := against(t, ground, plane, ft(box(0, 0, 80, 80)))
		want, _ := exactB.Float64()
		relative(t, "cut, ft3", number(want), inFeet3(got.Cut), 1e-12, 0)
		relative(t, "uncovered area, ft2", 6400-4800, got.UncoveredArea/(0.3048*0.3048), 1e-12, 0)
	})
	t.Run("hull", func(t *testing.T) {
		// Without the boundary the volume is too large, as the file warns.
		got := against(t, inFeet(t, s.points), plane, ft(box(0, 0, 80, 80)))
		relative(t, "hull area, ft2", 5400, got.CutArea/(0.3048*0.3048), 1e-12, 0)
		require.Greater(t, inFeet3(got.Cut)/yard3, c.Recomputed["triangles_any_choice_max_yd3"].float(t))
	})
}

// LEV-4: the 21 cuts that the plate of GRID-1 prints, at the spots themselves.
func TestLev4(t *testing.T) {
	s, _ := readGrid1(t)
	reading := checkNamed(t, "LEV-4")
	toFormation := reading.Recomputed["reading_to_formation"].float(t)
	require.InDelta(t, toFormation, reading.Given["height_of_instrument"].float(t)-reading.Given["formation_level"].float(t), 1e-12)
	surface := inFeet(t, s.points)
	worst := 0.0
	for _, p := range s.points {
		z, ok := surface.LevelAt(p.E*0.3048, p.N*0.3048)
		require.True(t, ok)
		cut, _ := s.depth[p.Name].Float64()
		require.InDelta(t, cut, z/0.3048-s.level, 1e-12, p.Name)
		worst = max(worst, math.Abs(z/0.3048-s.level-cut))
	}
	require.Len(t, s.points, 21)
	row(t, "cuts of 21 spots, ft", "21 printed", 21, worst)
}

// TRI-1: the prism on a triangle is its plan area times the mean of its three
// depths (University of Melbourne, Department of Geomatics, Plane Surveying
// notes, topic 8.05.02, 1998); on half a square of side s, (h1 + h2 + h3) s2 / 6.
func TestTri1(t *testing.T) {
	s, c := readGrid1(t)
	require.NotEmpty(t, checkNamed(t, "TRI-1").Source)
	ground := inFeet(t, s.points)
	plane := tin.LevelPlane(s.level * 0.3048)
	depth := make(map[orb.Point]*big.Rat)
	for _, p := range s.points {
		depth[orb.Point{p.E, p.N}] = s.depth[p.Name]
	}
	total := 0.0
	triangles := 0
	for _, tri := range ground.Triangles() {
		var outline orb.Polygon
		var mean big.Rat
		var ring orb.Ring
		for _, v := range tri.Corner {
			ring = append(ring, orb.Point{v.E, v.N})
			d := depth[orb.Point{math.Round(v.E / 0.3048), math.Round(v.N / 0.3048)}]
			require.NotNil(t, d)
			mean.Add(&mean, mul(d, big.NewRat(1, 3)))
		}
		outline = orb.Polygon{ring}
		area := math.Round(triangleArea(tri)/(0.3048*0.3048)*2) / 2
		m, _ := mean.Float64()
		got := against(t, ground, plane, outline)
		require.InEpsilon(t, area*m, inFeet3(got.Cut), 1e-12)
		middle := orb.Point{(ring[0][0] + ring[1][0] + ring[2][0]) / 3, (ring[0][1] + ring[1][1] + ring[2][1]) / 3}
		if inside(ft(s.outline)[0], middle) {
			require.Equal(t, 200.0, area, "half a square")
			total += inFeet3(got.Cut)
			triangles++
		}
	}
	require.Equal(t, 24, triangles)
	digits(t, "sum of 24 prisms, yd3", c.Recomputed["triangles_diagonal_B_yd3"].float(t), 4, total/yard3)
}

func triangleArea(t tin.Triangle) float64 {
	a, b, c := t.Corner[0], t.Corner[1], t.Corner[2]
	return ((b.E-a.E)*(c.N-a.N) - (b.N-a.N)*(c.E-a.E)) / 2
}

// inside reports whether a place lies within a ring, by counting crossings of
// the ray to the east.
func inside(r orb.Ring, p orb.Point) bool {
	in := false
	for i, a := range r {
		b := r[(i+1)%len(r)]
		if (a[1] > p[1]) != (b[1] > p[1]) && p[0] < a[0]+(p[1]-a[1])*(b[0]-a[0])/(b[1]-a[1]) {
			in = !in
		}
	}
	return in
}

// oneSquare is the corners of a square of side s from the south-west
// anticlockwise with their levels, and with a spot in the middle at their mean:
// then the triangles give the volume of the mean of four.
func oneSquare(s float64, levels [4]float64, middle bool) []tin.Point {
	points := []tin.Point{{E: 0, N: 0}, {E: s, N: 0}, {E: s, N: s}, {E: 0, N: s}}
	mean := 0.0
	for i := range points {
		points[i].Level = levels[i]
		mean += levels[i] / 4
	}
	if middle {
		points = append(points, tin.Point{E: s / 2, N: s / 2, Level: mean})
	}
	return points
}

// One square by the mean of its four corners. Two triangles give it only as the
// mean of both diagonals; with a spot in the middle four triangles do.
//
// GRID-2: Estimating in Building Construction (textbook), ch. 9, p. 76, Example
// 9-8: plan area 2500 ft2, cuts 1.4, 1.4, 1.2, 1.3 ft: 3313 ft3, 123 yd3. The
// order of the corners round the square is ours.
// GRID-3: a question page (weak source): 50 ft square, corners 87.6, 87.6, 87.6,
// 88.6 ft, filled to 90 ft: 199 yd3.
// GRID-5: as GRID-2, p. 72, Example 9-5: cuts 0.1, 0.8, 0, 0 ft: 563 ft3.
func TestOneSquare(t *testing.T) {
	for _, c := range []struct {
		name      string
		levels    [4]float64
		formation float64
		fill      bool
		exact     float64 // ft3
		printed   float64
		unit      float64 // ft3 in the printed unit
	}{
		{"GRID-2", [4]float64{1.4, 1.4, 1.2, 1.3}, 0, false, 3312.5, 3313, 1},
		{"GRID-2 in yd3", [4]float64{1.4, 1.4, 1.2, 1.3}, 0, false, 3312.5, 123, yard3},
		{"GRID-3", [4]float64{87.6, 87.6, 87.6, 88.6}, 90, true, 2.15 * 2500, 199, yard3},
		{"GRID-5", [4]float64{0.1, 0.8, 0, 0}, 0, false, 562.5, 563, 1},
	} {
		t.Run(c.name, func(t *testing.T) {
			measure := func(points []tin.Point) float64 {
				got := against(t, inFeet(t, points), tin.LevelPlane(c.formation*0.3048), ft(box(0, 0, 50, 50)))
				if c.fill {
					require.Zero(t, got.Cut)
					return inFeet3(got.Fill)
				}
				require.Zero(t, got.Fill)
				return inFeet3(got.Cut)
			}
			middle := measure(oneSquare(50, c.levels, true))
			relative(t, "with the middle, ft3", number(c.exact), middle, 1e-12, 0)
			// Printed to the unit, a half rounded up.
			require.Equal(t, c.printed, math.Floor(c.exact/c.unit+0.5))
			row(t, "printed", c.printed, middle/c.unit, middle/c.unit-c.printed)
			corners := oneSquare(50, c.levels, false)
			one, other := measure(corners), measure(mirrored(corners, 50))
			relative(t, "mean of both diagonals, ft3", number(c.exact), (one+other)/2, 1e-12, 0)
			require.NotEqual(t, one, other)
		})
	}
}
