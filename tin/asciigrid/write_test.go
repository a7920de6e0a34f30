package asciigrid_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"barrow/tin/asciigrid"
	"barrow/tin/raster"
)

func TestRoundTrip(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for range 50 {
		g := &raster.Grid{
			Columns: 1 + rng.IntN(8), Rows: 1 + rng.IntN(8),
			Origin: orb.Point{1e6 * rng.NormFloat64(), 1e6 * rng.NormFloat64()},
			StepE:  10 * (rng.Float64() + 0.01), StepN: 10 * (rng.Float64() + 0.01),
		}
		for range g.Columns * g.Rows {
			v := rng.NormFloat64() * math.Pow(10, float64(rng.IntN(12)-6))
			if rng.IntN(10) == 0 {
				v = math.NaN()
			}
			g.Levels = append(g.Levels, v)
		}
		g.Levels[0] = 5e-324
		if rng.IntN(2) == 0 {
			g.StepN = g.StepE
		}
		var b bytes.Buffer
		require.NoError(t, asciigrid.Write(&b, g))
		again, err := asciigrid.Read(t.Context(), &b, "a.asc", raster.Options{})
		require.NoError(t, err)
		requireSame(t, g, again)
		require.Empty(t, g.Notes)
	}
}

func TestWriteRefuses(t *testing.T) {
	for _, row := range []struct {
		name, message string
		change        func(g *raster.Grid)
	}{
		{"near a mark", "-9999.0001 stands for none", func(g *raster.Grid) { g.Levels[0] = -9999.0001 }},
		{"mark", "-9999 stands for none", func(g *raster.Grid) { g.Levels[0] = -9999 }},
		{"infinite", "beyond 1e9", func(g *raster.Grid) { g.Levels[0] = math.Inf(1) }},
		{"no levels", "none of the 2", func(g *raster.Grid) { g.Levels[0], g.Levels[1] = math.NaN(), math.NaN() }},
		{"step", "above 0", func(g *raster.Grid) { g.StepE = 0 }},
		{"place", "beyond", func(g *raster.Grid) { g.Origin[0] = math.NaN() }},
	} {
		g := &raster.Grid{Columns: 2, Rows: 1, StepE: 1, StepN: 1, Levels: []float64{1, 2}}
		row.change(g)
		var b bytes.Buffer
		require.ErrorContains(t, asciigrid.Write(&b, g), row.message, row.name)
		require.Zero(t, b.Len())
	}
}

type full struct{ room int }

var errFull = errors.New("the disk is full")

func (f *full) Write(b []byte) (int, error) {
	if f.room -= len(b); f.room < 0 {
		return 0, errFull
	}
	return len(b), nil
}

func TestWriteErrors(t *testing.T) {
	for _, size := range []int{3, 3000} { // within the buffer, and beyond it
		g := &raster.Grid{Columns: size, Rows: 2, StepE: 1, StepN: 1, Levels: make([]float64, 2*size)}
		require.ErrorIs(t, asciigrid.Write(&full{10}, g), errFull)
	}
}

func Example() {
	text := `ncols 3
nrows 2
xllcorner 312535
yllcorner 5812295
cellsize 10
NODATA_value -9999
62.7 62.5 62.3
62.5 62.4 -9999
`
	g, err := asciigrid.Read(context.Background(), strings.NewReader(text), "ground.asc", raster.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, p := range g.Points() {
		fmt.Printf("%.0f %.0f %.1f\n", p.E, p.N, p.Level)
	}
	for _, n := range g.Notes {
		fmt.Println("note:", n.Message)
	}
	// Output:
	// 312540 5812300 62.5
	// 312550 5812300 62.4
	// 312540 5812310 62.7
	// 312550 5812310 62.5
	// 312560 5812310 62.3
	// note: 1 of the 6 samples have no level and are no ground
	// note: 1 of the grid's cells have four levels that lie in no plane: each is cut from its upper left to its lower right corner; the other diagonals would move the volume below the whole grid by up to 1.66667 (plan unit squared x level unit)
}

func ExampleWrite() {
	g := &raster.Grid{
		Columns: 3, Rows: 2, Origin: orb.Point{312540, 5812300}, StepE: 10, StepN: 10,
		Levels: []float64{62.5, 62.4, math.NaN(), 62.7, 62.5, 62.3},
	}
	if err := asciigrid.Write(os.Stdout, g); err != nil {
		fmt.Println(err)
	}
	// Output:
	// ncols 3
	// nrows 2
	// xllcenter 312540
	// yllcenter 5812300
	// cellsize 10
	// NODATA_value -9999
	// 62.7 62.5 62.3
	// 62.5 62.4 -9999
}

// big makes a grid of n x n levels with two decimals.
func big(n int) *raster.Grid {
	g := &raster.Grid{Columns: n, Rows: n, Origin: orb.Point{312540, 5812300}, StepE: 0.5, StepN: 0.5, Levels: make([]float64, n*n)}
	for i := range g.Levels {
		g.Levels[i] = math.Round(100*(60+5*math.Sin(float64(i%n)/300)+4*math.Cos(float64(i/n)/200))) / 100
	}
	return g
}

func BenchmarkRead(b *testing.B) {
	var text bytes.Buffer
	if err := asciigrid.Write(&text, big(1000)); err != nil {
		b.Fatal(err)
	}
	b.SetBytes(int64(text.Len()))
	b.ReportAllocs()
	for b.Loop() {
		g, err := asciigrid.Read(b.Context(), bytes.NewReader(text.Bytes()), "a.asc", raster.Options{})
		if err != nil || len(g.Levels) != 1e6 {
			b.Fatal(err)
		}
	}
}

func BenchmarkWrite(b *testing.B) {
	g := big(1000)
	b.ReportAllocs()
	for b.Loop() {
		if err := asciigrid.Write(&bytes.Buffer{}, g); err != nil {
			b.Fatal(err)
		}
	}
}
