package section_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"barrow/section"
	"barrow/tin"
)

// measured is a volume by both rules at one interval.
type measured struct{ interval, endArea, prismoidal float64 }

// table prints errors, and the powers of the interval they fall with as found from
// each interval and the two before it, as docs/methods.md shows them.
func table(rows []measured, want float64) string {
	var b strings.Builder
	b.WriteString("| interval, m | end areas, error m3 | power | prismoidal, error m3 | power |\n| --- | --- | --- | --- | --- |\n")
	for i, r := range rows {
		a, p := "", ""
		if i > 1 {
			u, v := rows[i-2], rows[i-1]
			a = fmt.Sprintf("%.2f", section.Order(u.endArea, v.endArea, r.endArea))
			p = fmt.Sprintf("%.2f", section.Order(u.prismoidal, v.prismoidal, r.prismoidal))
		}
		fmt.Fprintf(&b, "| %v | %+.3g | %s | %+.3g | %s |\n", r.interval, r.endArea-want, a, r.prismoidal-want, p)
	}
	return b.String()
}

// Typed sections whose levels are smooth along the alignment: end areas converge with
// the second power of the interval, the prismoidal rule with the fourth.
func TestConvergenceSmooth(t *testing.T) {
	const length = 160.0
	at := func(chainage float64) section.End {
		h := 3 + math.Sin(chainage/25) // depth at the centre; the sides fall 1V:2H
		half := 5 + 2*h
		s, err := section.FromLevels(chainage,
			[]section.Level{{Offset: -half - 1, Level: h}, {Offset: half + 1, Level: h}},
			[]section.Level{{Offset: -half, Level: h}, {Offset: -5}, {Offset: 5}, {Offset: half, Level: h}})
		require.NoError(t, err)
		return s.End()
	}
	// The integral of 10 h + 2 h^2 by hand, with the integrals of sin and sin^2.
	sin, square := 25*(1-math.Cos(length/25)), length/2-25*math.Sin(2*length/25)/4
	want := 10*(3*length+sin) + 2*(9*length+6*sin+square)
	var rows []measured
	for n := 4; n <= 64; n *= 2 {
		var run []section.Span
		step := length / float64(n)
		for i := range n {
			middle := at((float64(i) + 0.5) * step)
			run = append(run, section.Span{From: at(float64(i) * step), To: at(float64(i+1) * step), Middle: &middle})
		}
		p, err := section.Prismoidal(run)
		require.NoError(t, err)
		rows = append(rows, measured{step, section.AverageEndArea(run, section.Averaged).Cut, p.Cut})
	}
	t.Logf("%.6f m3\n%s", want, table(rows, want))
	last := rows[len(rows)-3:]
	require.InDelta(t, 2, section.Order(last[0].endArea, last[1].endArea, last[2].endArea), 0.02)
	require.InDelta(t, 4, section.Order(last[0].prismoidal, last[1].prismoidal, last[2].prismoidal), 0.05)
	// Richardson's limit of the end areas is the prismoidal figure, and its estimate of
	// what remains is good to a few per cent.
	limit, off := section.Richardson(last[0].endArea, last[1].endArea, 2)
	require.InDelta(t, last[0].prismoidal, limit, 1e-9)
	require.InEpsilon(t, last[1].endArea-want, off, 0.05)
	limit, off = section.Richardson(last[1].prismoidal, last[2].prismoidal, 4)
	require.InEpsilon(t, last[2].prismoidal-want, off, 0.02)
	require.InDelta(t, want, limit, math.Abs(off))
}

// smoothHill is triangulated ground on a smooth hill, spots half a metre apart.
func smoothHill(t testing.TB) *tin.Surface {
	var points []tin.Point
	for i := -4; i <= 324; i++ {
		for k := -28; k <= 28; k++ {
			x, y := float64(i)/2, float64(k)/2
			points = append(points, tin.Point{E: x, N: y, Level: 4 + math.Sin(x/25)*math.Cos(y/15)})
		}
	}
	return surface(t, points)
}

// The same on triangulated ground, held against the triangles' own volume. All
// sections lie on lines of the grid, where the ground is as smooth as its spots; what
// the prismoidal rule has left at the end is what the triangles miss of the hill
// between two lines.
func TestConvergenceTriangles(t *testing.T) {
	ground := smoothHill(t)
	outline := box(0, -12, 160, 12)
	var volume tin.Sum
	for _, tr := range ground.Triangles() {
		a, b, c := tr.Corner[0], tr.Corner[1], tr.Corner[2]
		e, n := (a.E+b.E+c.E)/3, (a.N+b.N+c.N)/3
		if e > 0 && e < 160 && n > -12 && n < 12 {
			area := ((b.E-a.E)*(c.N-a.N) - (b.N-a.N)*(c.E-a.E)) / 2
			volume.Add(area * (a.Level + b.Level + c.Level) / 3)
		}
	}
	want := volume.Value()
	f := pad(t, ground, outline, tin.LevelPlane(0), 0)
	a := align(t, orb.Point{0, 0}, orb.Point{160, 0})
	var rows []measured
	for _, interval := range []float64{40, 20, 10, 5} {
		s := sectionsOf(t, ground, f, a, section.Plan{Interval: interval})
		rows = append(rows, measured{interval, section.AverageEndArea(s.Spans(), section.Averaged).Cut, prismoidal(t, s).Cut})
	}
	t.Logf("%.6f m3\n%s", want, table(rows, want))
	require.InDelta(t, 2, section.Order(rows[1].endArea, rows[2].endArea, rows[3].endArea), 0.05)
	require.InDelta(t, 4, section.Order(rows[1].prismoidal, rows[2].prismoidal, rows[3].prismoidal), 0.05)
	require.InDelta(t, want, rows[3].prismoidal, 2e-8*want)
	// With a section on every line of the grid the prismoidal rule is exact: between two
	// lines the area is of the second degree.
	s := sectionsOf(t, ground, f, a, section.Plan{Interval: 0.5})
	require.InEpsilon(t, want, prismoidal(t, s).Cut, 1e-12)
}

// Sections beside the beginning and the end of the works: the rules lose their order,
// and a section at each corner gives it back.
func TestEndsMissed(t *testing.T) {
	ground := planeGround(t, orb.Point{0, 0}, 90, tin.LevelPlane(2))
	outline := box(3, -5, 47, 5)
	f := pad(t, ground, outline, tin.LevelPlane(0), 0)
	a := align(t, orb.Point{0, 0}, orb.Point{50, 0})
	missed := sectionsOf(t, ground, f, a, section.Plan{Interval: 10})
	require.InDelta(t, 800, section.AverageEndArea(missed.Spans(), section.Averaged).Cut, 1e-9) // of 880
	seen := sectionsOf(t, ground, f, a, section.Plan{Interval: 10, Works: outline[0]})
	require.InDelta(t, 880, section.AverageEndArea(seen.Spans(), section.Averaged).Cut, 1e-9)
	require.Equal(t, []float64{3, 47}, []float64{seen.Sections[0].Chainage, seen.Sections[len(seen.Sections)-1].Chainage})
}
