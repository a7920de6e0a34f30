package volume_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"barrow/tin"
)

// lineLength is the plan length of lines, by hand.
func lineLength(lines orb.MultiLineString) float64 {
	total := 0.0
	for _, l := range lines {
		for i := 1; i < len(l); i++ {
			total += math.Hypot(l[i][0]-l[i-1][0], l[i][1]-l[i-1][1])
		}
	}
	return total
}

func closed(l orb.LineString) bool { return len(l) > 3 && l[0] == l[len(l)-1] }

// offRing is the distance of a place from the sides of a ring.
func offRing(r orb.Ring, p orb.Point) float64 {
	least := math.Inf(1)
	for i, a := range r {
		b := r[(i+1)%len(r)]
		ux, uy := b[0]-a[0], b[1]-a[1]
		t := 0.0
		if d := ux*ux + uy*uy; d > 0 {
			t = min(1, max(0, ((p[0]-a[0])*ux+(p[1]-a[1])*uy)/d))
		}
		least = min(least, math.Hypot(p[0]-a[0]-t*ux, p[1]-a[1]-t*uy))
	}
	return least
}

// rim is the edges of a surface with a triangle on one side only.
func rim(s *tin.Surface) []orb.Ring {
	sides := make(map[[2]int][]orb.Ring)
	for _, t := range s.Triangles() {
		for i := range 3 {
			a, b := t.Vertex[i], t.Vertex[(i+1)%3]
			edge := [2]int{min(a, b), max(a, b)}
			from, to := t.Corner[i], t.Corner[(i+1)%3]
			sides[edge] = append(sides[edge], orb.Ring{{from.E, from.N}, {to.E, to.N}})
		}
	}
	var out []orb.Ring
	for _, s := range sides {
		if len(s) == 1 {
			out = append(out, s[0])
		}
	}
	return out
}

func offRim(rim []orb.Ring, p orb.Point) float64 {
	off := math.Inf(1)
	for _, r := range rim {
		off = min(off, offRing(r, p))
	}
	return off
}

// slope is ground over 0 to 40 m square with spots every 4 m, one plane.
func slope(t *testing.T, p tin.Plane) *tin.Surface {
	var points []tin.Point
	for e := 0.0; e <= 40; e += 4 {
		for n := 0.0; n <= 40; n += 4 {
			points = append(points, tin.Point{E: e, N: n, Level: p.LevelAt(e, n)})
		}
	}
	return ground(t, points)
}

// On one slope the zero line is the contour: straight, across the outline, of
// known length.
func TestZeroLineOnSlope(t *testing.T) {
	root := math.Sqrt2
	for _, c := range []struct {
		name    string
		ground  tin.Plane
		plane   tin.Plane
		outline orb.Polygon
		length  float64
		lines   int
	}{
		{"across", tin.FallingPlane(orb.Point{17, 0}, 10, 0.0625, 90), tin.LevelPlane(10), box(2, 3, 37, 31), 28, 1},
		{"along the edges of the triangles", tin.FallingPlane(orb.Point{16, 0}, 10, 0.0625, 90), tin.LevelPlane(10), box(2, 3, 37, 31), 28, 1},
		// Through the corners of the squares, along their diagonals or across them.
		{"down the diagonals", tin.Plane{At: orb.Point{20, 20}, Level: 10, Gradient: [2]float64{0.125, 0.125}}, tin.LevelPlane(10), box(2, 2, 38, 38), 36 * root, 1},
		{"up the diagonals", tin.Plane{At: orb.Point{20, 20}, Level: 10, Gradient: [2]float64{0.125, -0.125}}, tin.LevelPlane(10), box(2, 2, 38, 38), 36 * root, 1},
		{"corner to corner", tin.Plane{At: orb.Point{20, 20}, Level: 10, Gradient: [2]float64{0.125, 0.125}}, tin.LevelPlane(10), box(0, 0, 40, 40), 40 * root, 1},
		{"3-4-5", tin.Plane{At: orb.Point{20, 20}, Level: 10, Gradient: [2]float64{0.03, 0.04}}, tin.LevelPlane(10), box(5, 5, 35, 35), 30 * 5 / 4.0, 1},
		{"two planes", tin.Plane{Level: 10, Gradient: [2]float64{0.25, 0}}, tin.Plane{At: orb.Point{18, 0}, Level: 14.5, Gradient: [2]float64{-0.25, 0}}, box(1, 1, 39, 39), 38, 1},
		{"across a hole", tin.FallingPlane(orb.Point{17, 0}, 10, 0.0625, 90), tin.LevelPlane(10), append(box(2, 3, 37, 31), box(10, 10, 30, 15)[0]), 23, 2},
		{"off the outline", tin.FallingPlane(orb.Point{17, 0}, 10, 0.0625, 90), tin.LevelPlane(10), box(18, 3, 37, 31), 0, 0},
		// Along a side of the outline there is cut or fill on one side only.
		{"on the outline", tin.FallingPlane(orb.Point{16, 0}, 10, 0.0625, 90), tin.LevelPlane(10), box(16, 3, 37, 31), 0, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := against(t, slope(t, c.ground), c.plane, c.outline)
			require.Len(t, got.ZeroLine, c.lines)
			require.InDelta(t, c.length, lineLength(got.ZeroLine), 1e-9)
			for _, l := range got.ZeroLine {
				require.False(t, closed(l))
				for _, p := range l {
					require.InDelta(t, c.plane.LevelAt(p[0], p[1]), c.ground.LevelAt(p[0], p[1]), 1e-12)
				}
				for _, p := range []orb.Point{l[0], l[len(l)-1]} {
					off := math.Inf(1)
					for _, r := range c.outline {
						off = min(off, offRing(r, p))
					}
					require.Less(t, off, 1e-9, "ends on the outline")
				}
			}
		})
	}
}

// GRID-6: Estimating in Building Construction (textbook), ch. 9, p. 72, Example
// 9-6: along a side of 50 ft with 0.3 ft cut at one end and 0.7 ft fill at the
// other, there is neither 15 ft from the first.
func TestGrid6(t *testing.T) {
	strip := inFeet(t, spots(0, 0, 0.3, 50, 0, -0.7, 50, 20, -0.7, 0, 20, 0.3))
	got := against(t, strip, tin.LevelPlane(0), ft(box(0, 0, 50, 20)))
	require.Len(t, got.ZeroLine, 1)
	for _, p := range got.ZeroLine[0] {
		relative(t, "from the cut end, ft", 15, p[0]/0.3048, 1e-14, 0)
	}
	relative(t, "length, ft", 20, lineLength(got.ZeroLine)/0.3048, 1e-14, 0)
}

// Round a hill cut at half its height the zero line is its base at half size,
// closed, in one piece however the outline is cut.
func TestZeroLineClosed(t *testing.T) {
	hill, base := frustum(t, 6, 10, 2, 4)
	ring := polygonal(6, 6) // at level 2
	for _, outline := range []orb.Polygon{base, box(-9, -9, 9, 9), {polygonal(7, 8)}} {
		got := against(t, hill, tin.LevelPlane(2), outline)
		require.Len(t, got.ZeroLine, 1)
		require.True(t, closed(got.ZeroLine[0]))
		require.InDelta(t, 6*6, lineLength(got.ZeroLine), 1e-9)
		for _, p := range got.ZeroLine[0] {
			require.Less(t, offRing(ring, p), 1e-9)
		}
	}
	// Two hills, two rings.
	var points []tin.Point
	for e := range 13 {
		for n := range 7 {
			p := tin.Point{E: float64(e), N: float64(n)}
			if n == 3 && (e == 3 || e == 9) {
				p.Level = 2
			}
			points = append(points, p)
		}
	}
	got := against(t, ground(t, points), tin.LevelPlane(1), box(0, 0, 12, 6))
	require.Len(t, got.ZeroLine, 2)
	for _, l := range got.ZeroLine {
		require.True(t, closed(l))
	}
	// Both hills touched at their tops only: fill everywhere, no line.
	got = against(t, ground(t, points), tin.LevelPlane(2), box(0, 0, 12, 6))
	require.Empty(t, got.ZeroLine)
	require.Zero(t, got.Cut)
}

// Where an edge lies exactly at level it is zero line between cut and fill, and
// none between cut and cut.
func TestZeroLineOnEdge(t *testing.T) {
	profile := func(levels ...float64) *tin.Surface {
		var points []tin.Point
		for i, z := range levels {
			for n := 0.0; n <= 20; n += 5 {
				points = append(points, tin.Point{E: 10 * float64(i), N: n, Level: z})
			}
		}
		return ground(t, points)
	}
	for _, c := range []struct {
		name    string
		ground  *tin.Surface
		outline orb.Polygon
		length  float64
		level   float64
	}{
		{"cut to fill", profile(1, 0, -1), box(0, 0, 20, 20), 20, 0},
		{"cut to fill, a bend", profile(1, 0, -3), box(0, 0, 20, 20), 20, 0},
		{"cut to fill, a sliver of outline", profile(1, 0, -1), box(9, 3, 11, 17), 14, 0},
		{"valley at level", profile(1, 0, 1), box(0, 0, 20, 20), 0, 0},
		{"ridge at level", profile(-1, 0, -1), box(0, 0, 20, 20), 0, 0},
		{"outline's side on the edge", profile(1, 0, -1), box(10, 0, 20, 20), 0, 0},
		// A terrace exactly at level is area at level; on neither of its sides
		// does cut turn to fill.
		{"terrace", profile(1, 0, 0, -1), box(0, 0, 30, 20), 0, 200},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := against(t, c.ground, tin.LevelPlane(0), c.outline)
			require.InDelta(t, c.length, lineLength(got.ZeroLine), 1e-9)
			require.LessOrEqual(t, len(got.ZeroLine), 1, "in one piece")
			require.InDelta(t, c.level, got.LevelArea, 1e-9)
			for _, l := range got.ZeroLine {
				for _, p := range l {
					require.Equal(t, 10.0, p[0])
				}
			}
		})
	}
}

// On any ground: depth is zero along the line, and it ends only on the outline
// or where the ground ends.
func TestZeroLineOnSites(t *testing.T) {
	lines, rings := 0, 0
	onSites(t, 150, func(t *testing.T, rng *rand.Rand, s site) {
		s = s.limited(rng)
		g := s.surface(t)
		got := against(t, g, s.plane, s.outline)
		end := rim(g)
		for _, polygons := range []orb.MultiPolygon{{s.outline}, s.options.Boundary, s.options.Voids} {
			for _, p := range polygons {
				end = append(end, p...)
			}
		}
		for _, l := range got.ZeroLine {
			require.Greater(t, len(l), 1)
			for i, p := range l {
				if z, ok := g.LevelAt(p[0], p[1]); ok {
					require.InDelta(t, s.plane.LevelAt(p[0], p[1]), z, 1e-9)
				} else { // off the ground by rounding
					require.Less(t, offRim(end, p), 1e-9)
				}
				if i > 0 {
					require.NotEqual(t, l[i-1], p)
				}
			}
			if closed(l) {
				rings++
				continue
			}
			lines++
			for _, p := range []orb.Point{l[0], l[len(l)-1]} {
				require.Less(t, offRim(end, p), 1e-6)
			}
		}
	})
	require.Greater(t, lines, 100)
	require.Greater(t, rings, 5)
}
