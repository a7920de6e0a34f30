package raster_test

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/raster"
)

func TestAlong(t *testing.T) {
	for _, row := range []struct{ from, steps, step, want float64 }{
		{0, 3, 0.1, 0.3}, // 3 * 0.1 is 0.30000000000000004
		{0.1, 2, 0.1, 0.3},
		{312500, 0.5, 2, 312501},
		{5812400, -17.5, 2, 5812365},
		{300000.05, 7, 0.1, 300000.75},
		{5812400.123456789, 0, 1, 5812400.123456789}, // too many digits to be counted: the plain sum
		{0.5, 1, 1e-9, 0.500000001},
		{100, 3, 1.0 / 3, 101}, // no decimal
		{1e9, 1, 1, 1e9 + 1},
		{0, -0.5, 0.3, -0.15},
	} {
		require.Equal(t, row.want, raster.Along(row.from, row.steps, row.step), "%v", row)
	}
	// Where it is no decimal, each operation is rounded by itself.
	step := 89.994067349451157
	require.Equal(t, 288776.25+float64(110*step), raster.Along(288776.25, 110, step))
}

// grid makes a grid of random whole levels, some missing.
func grid(columns, rows int, seed uint64) *raster.Grid {
	rng := rand.New(rand.NewPCG(seed, 1))
	g := &raster.Grid{Name: "a", Columns: columns, Rows: rows, Origin: orb.Point{1000.05, 2000.1}, StepE: 0.1, StepN: 0.3, Levels: make([]float64, columns*rows)}
	for i := range g.Levels {
		g.Levels[i] = float64(rng.IntN(5))
		if rng.IntN(40) == 0 {
			g.Levels[i] = math.NaN()
		}
	}
	return g
}

func TestPoints(t *testing.T) {
	g := &raster.Grid{Columns: 3, Rows: 2, Origin: orb.Point{0.1, 10}, StepE: 0.1, StepN: 2, Levels: []float64{1, math.NaN(), 3, 4, 5, 6}}
	require.Equal(t, []tin.Point{
		{E: 0.1, N: 10, Level: 1}, {E: 0.3, N: 10, Level: 3},
		{E: 0.1, N: 12, Level: 4}, {E: 0.2, N: 12, Level: 5}, {E: 0.3, N: 12, Level: 6},
	}, g.Points())
	require.Equal(t, orb.Point{0.3, 12}, g.Place(2, 1))
	require.Equal(t, 6.0, g.Level(2, 1))
	g.TurnRows()
	require.Equal(t, []float64{4, 5, 6, 1}, g.Levels[:4])
}

// Of a grid without holes, the spread is that of the surface's ties, cell by cell.
func TestSpreadIsThatOfTies(t *testing.T) {
	for seed := range uint64(20) {
		g := grid(9, 7, seed)
		for i, v := range g.Levels {
			if math.IsNaN(v) {
				g.Levels[i] = 9
			}
		}
		s, err := tin.Build(t.Context(), []tin.Source{{Points: g.Points()}}, tin.Options{})
		require.NoError(t, err)
		ties := s.Ties()
		sum := 0.0
		for _, tie := range ties {
			require.Len(t, tie.Corners, 4)
			sum += tie.Spread
		}
		cells, volume := g.Spread()
		require.Equal(t, len(ties), cells)
		require.InEpsilon(t, sum, volume, 1e-12)
	}
}

// By hand: a cell of 2 x 3 whose corners are 1, 0, 0, 0 holds 2 or 1, by diagonal:
// a sixth of its area for each triangle at the raised corner.
func TestSpreadByHand(t *testing.T) {
	g := &raster.Grid{Columns: 2, Rows: 2, StepE: 2, StepN: 3, Levels: []float64{1, 0, 0, 0}}
	cells, volume := g.Spread()
	require.Equal(t, 1, cells)
	require.InDelta(t, 1, volume, 1e-15)

	g.Levels = []float64{1, 2, 3, 4} // a plane
	cells, volume = g.Spread()
	require.Equal(t, []float64{0, 0}, []float64{float64(cells), volume})

	g.Levels[0] = math.NaN()
	cells, _ = g.Spread()
	require.Zero(t, cells)
}

// Every cell is cut from its upper left to its lower right, as the note says.
func TestDiagonals(t *testing.T) {
	g := grid(8, 6, 3)
	for i := range g.Levels {
		g.Levels[i] = float64(i * i % 7)
	}
	s, err := tin.Build(t.Context(), []tin.Source{{Points: g.Points()}}, tin.Options{})
	require.NoError(t, err)
	diagonals := 0
	for _, e := range s.Edges() {
		a, b := s.Vertex(e.Vertex[0]), s.Vertex(e.Vertex[1])
		if a.E != b.E && a.N != b.N {
			require.Negative(t, (b.E-a.E)*(b.N-a.N), "%v %v", a, b)
			diagonals++
		}
	}
	require.Equal(t, 7*5, diagonals)
}

func TestFits(t *testing.T) {
	for _, row := range []struct {
		most          int
		columns, rows int64
		fits          bool
	}{
		{12, 3, 4, true},
		{11, 3, 4, false},
		{0, 16384, 16384, strconv.IntSize == 64}, // a list of as many doubles is too long for words of 32 bits
		{0, 16384, 8191, true},
		{0, 16385, 16384, false},
		{0, math.MaxInt32, math.MaxInt32, false},
		{math.MaxInt, math.MaxInt32, math.MaxInt32, false}, // more than a list can hold
		{math.MaxInt, 10000, 10000, true},
	} {
		err := raster.Options{MaxPoints: row.most}.Fits("a.tif", row.columns, row.rows)
		if row.fits {
			require.NoError(t, err, "%+v", row)
			continue
		}
		requireCode(t, err, "too_many_points")
	}
}

func requireCode(t *testing.T, err error, code string) {
	t.Helper()
	var bad *tin.InputError
	require.ErrorAs(t, err, &bad)
	require.Equal(t, code, bad.Code, bad.Error())
	require.NotEmpty(t, bad.Hint)
	require.NotEmpty(t, bad.File)
}

func TestCheck(t *testing.T) {
	good := func() *raster.Grid {
		return &raster.Grid{Name: "a.asc", Columns: 2, Rows: 2, Origin: orb.Point{1000, 2000}, StepE: 1, StepN: 1, Levels: []float64{1, 2, 3, 4}}
	}
	require.NoError(t, good().Check(raster.Options{}))
	for _, row := range []struct {
		name   string
		change func(g *raster.Grid)
		code   string
	}{
		{"no columns", func(g *raster.Grid) { g.Columns = 0 }, "bad_grid"},
		{"a level short", func(g *raster.Grid) { g.Levels = g.Levels[1:] }, "bad_grid"},
		{"step 0", func(g *raster.Grid) { g.StepE = 0 }, "bad_grid"},
		{"step NaN", func(g *raster.Grid) { g.StepN = math.NaN() }, "bad_grid"},
		{"step infinite", func(g *raster.Grid) { g.StepN = math.Inf(1) }, "bad_grid"},
		{"place NaN", func(g *raster.Grid) { g.Origin[1] = math.NaN() }, "bad_grid"},
		{"far away", func(g *raster.Grid) { g.Origin[0] = -1e10 }, "bad_grid"},
		{"far end", func(g *raster.Grid) { g.StepE = 1e10 }, "bad_grid"},
		{"steps vanish", func(g *raster.Grid) { g.Origin[0], g.StepE = 9e8, 1e-8 }, "bad_grid"},
		{"degrees", func(g *raster.Grid) { g.Origin, g.StepE, g.StepN = orb.Point{145, -37}, 1e-4, 1e-4 }, "like_degrees"},
		{"level", func(g *raster.Grid) { g.Levels[2] = 2e9 }, "bad_level"},
		{"level infinite", func(g *raster.Grid) { g.Levels[2] = math.Inf(-1) }, "bad_level"},
		{"no levels", func(g *raster.Grid) { g.Levels = []float64{math.NaN(), math.NaN(), math.NaN(), math.NaN()} }, "no_levels"},
	} {
		t.Run(row.name, func(t *testing.T) {
			g := good()
			row.change(g)
			requireCode(t, g.Check(raster.Options{}), row.code)
		})
	}
	// Where columns and rows are counted from.
	g := good()
	g.Levels[2] = 2e9
	require.ErrorContains(t, g.Check(raster.Options{}), "at [1000 2001] (column 1, row 1 from the north-west, from 1)")

	// What looks like degrees, and is not.
	fine := good()
	fine.Origin, fine.StepE, fine.StepN = orb.Point{10, 20}, 0.01, 0.01
	requireCode(t, fine.Check(raster.Options{}), "like_degrees")
	require.NoError(t, fine.Check(raster.Options{SiteGrid: true}))
	fine.Unit = tin.Metre
	require.NoError(t, fine.Check(raster.Options{}))

	// One row, or one column, is a grid.
	line := &raster.Grid{Columns: 1, Rows: 3, Origin: orb.Point{1000, 2000}, StepE: 1, StepN: 1, Levels: []float64{1, 2, 3}}
	require.NoError(t, line.Check(raster.Options{}))
	require.Empty(t, line.Notes)
}

func TestNotes(t *testing.T) {
	g := &raster.Grid{Columns: 3, Rows: 2, Origin: orb.Point{1000, 2000}, StepE: 2, StepN: 3, Levels: []float64{-9999, 1, 0, -32768, 0, 0}}
	g.DropMarks()
	require.NoError(t, g.Check(raster.Options{}))
	var got []string
	for _, n := range g.Notes {
		got = append(got, n.Code+": "+n.Message)
	}
	require.Equal(t, []string{
		"marked_level: levels of -9999, -32767 or -32768 were taken as none at 2 samples, although the file does not say so",
		"no_data: 2 of the 6 samples have no level and are no ground",
		"free_diagonals: 1 of the grid's cells have four levels that lie in no plane: each is cut from its upper left to its lower right corner; " +
			"the other diagonals would move the volume below the whole grid by up to 1 (plan unit squared x level unit)",
	}, got)
}

func Example() {
	g := &raster.Grid{
		Columns: 3, Rows: 2, Origin: orb.Point{312540, 5812300}, StepE: 10, StepN: 10,
		Levels: []float64{62.5, 62.4, math.NaN(), 62.7, 62.5, 62.3},
	}
	for _, p := range g.Points() {
		fmt.Printf("%.0f %.0f %.1f\n", p.E, p.N, p.Level)
	}
	cells, volume := g.Spread()
	fmt.Printf("%d free diagonal, worth up to %.2f\n", cells, volume)

	// The surface says the same of each place.
	s, err := tin.Build(context.Background(), []tin.Source{{Points: g.Points()}}, tin.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, tie := range s.Ties() {
		fmt.Printf("at %.0f %.0f: %.2f m3\n", tie.Corners[0].E, tie.Corners[0].N, tie.Spread)
	}
	// Output:
	// 312540 5812300 62.5
	// 312550 5812300 62.4
	// 312540 5812310 62.7
	// 312550 5812310 62.5
	// 312560 5812310 62.3
	// 1 free diagonal, worth up to 1.67
	// at 312540 5812300: 1.67 m3
}

func BenchmarkPoints(b *testing.B) {
	g := grid(1000, 1000, 1)
	b.ReportAllocs()
	for b.Loop() {
		if len(g.Points()) == 0 {
			b.Fatal()
		}
	}
}

func BenchmarkSpread(b *testing.B) {
	g := grid(1000, 1000, 1)
	for b.Loop() {
		if cells, _ := g.Spread(); cells == 0 {
			b.Fatal()
		}
	}
}
