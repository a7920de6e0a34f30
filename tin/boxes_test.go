package tin_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"barrow/tin"
)

// commonArea returns the area that two triangles share, each anticlockwise: one
// is cut by the sides of the other.
func commonArea(p, by [3]orb.Point) float64 {
	turn := func(a, b, c orb.Point) float64 {
		return (b[0]-a[0])*(c[1]-a[1]) - (b[1]-a[1])*(c[0]-a[0])
	}
	left := p[:]
	for k := range by {
		a, b := by[k], by[(k+1)%3]
		var kept []orb.Point
		for i, c := range left {
			last := left[(i+len(left)-1)%len(left)]
			dLast, d := turn(a, b, last), turn(a, b, c)
			if (dLast < 0) != (d < 0) {
				s := dLast / (dLast - d)
				kept = append(kept, orb.Point{last[0] + s*(c[0]-last[0]), last[1] + s*(c[1]-last[1])})
			}
			if d >= 0 {
				kept = append(kept, c)
			}
		}
		left = kept
	}
	area := 0.0
	for i := 2; i < len(left); i++ {
		area += turn(left[0], left[i-1], left[i]) / 2
	}
	return area
}

// On ground large enough for boxes within boxes, no triangle that shares an area
// with a cell is missed, in whatever shape the cells come.
func TestPiecesOfLargeGround(t *testing.T) {
	rng := rand.New(rand.NewPCG(71, 1))
	grounds := []struct {
		name string
		at   func(i int) (e, n float64)
	}{
		{"random", func(int) (e, n float64) { return 100 * rng.Float64(), 100 * rng.Float64() }},
		{"grid", func(i int) (e, n float64) { return float64(i % 50 * 2), float64(i / 50 * 2) }},
		{"clusters", func(i int) (e, n float64) { return 50 + 9*rng.NormFloat64()*float64(1+i%4), 50 + 5*rng.NormFloat64() }},
		{"lines", func(i int) (e, n float64) { return float64(i % 5 * 25), 100 * rng.Float64() }},
	}
	outlines := map[string]orb.Polygon{
		"small":           box(41, 37, 44, 39),
		"beyond the hull": box(-90, -90, 190, 190),
		"half outside":    {{{-30, 40}, {60, -50}, {70, 90}}},
		"a thin strip":    {{{1, 2}, {99, 97}, {98.999, 97.001}}},
		"along edges":     box(20, 30, 50, 60),
		"a star":          star(0.3),
	}
	for _, ground := range grounds {
		points := make([]tin.Point, 2500)
		for i := range points {
			e, n := ground.at(i)
			points[i] = tin.Point{E: math.Round(e*1e3) / 1e3, N: math.Round(n*1e3) / 1e3, Level: 10 + math.Sin(e/7)}
		}
		s := buildWith(t, tin.Options{Duplicates: tin.DuplicatesFirst}, points)
		for name, outline := range outlines {
			t.Run(ground.name+"/"+name, func(t *testing.T) {
				cells := partition(t, s, outline)
				got := make([]map[int]float64, len(cells))
				for i := range got {
					got[i] = make(map[int]float64)
				}
				last := [2]int{-1, -1}
				for i, p := range s.Pieces(cells) {
					if i == last[0] {
						require.Greater(t, p.Triangle, last[1], "triangles in order")
					}
					last = [2]int{i, p.Triangle}
					got[i][p.Triangle] = pieceArea(s, p)
				}
				for k, tri := range s.Triangles() {
					var corners [3]orb.Point
					for i, v := range tri.Corner {
						corners[i] = orb.Point{v.E, v.N}
					}
					for i, c := range cells {
						require.InDelta(t, commonArea(corners, c.Corner), got[i][k], 1e-9, "triangle %d in cell %d", k, i)
					}
				}
			})
		}
	}
}
