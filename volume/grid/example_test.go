package grid_test

import (
	"context"
	"fmt"
	"strings"

	"github.com/paulmach/orb"

	"barrow/tin"
	"barrow/volume/grid"
)

// Four squares of 10 m over a pad of 20 x 20 m, dug to 9.50 m into ground that
// rises 1:20 to the east from 10.00 m, with 0.10 m of topsoil gone: 1.0 m less
// 0.1 m deep on average, over 400 m2.
func ExampleMeasure() {
	ground, err := tin.FromPoints([]tin.Point{
		{E: 0, N: 0, Level: 10}, {E: 40, N: 0, Level: 12}, {E: 40, N: 40, Level: 12}, {E: 0, N: 40, Level: 10},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	pad := orb.Polygon{{{0, 0}, {20, 0}, {20, 20}, {0, 20}}}
	layout, err := grid.Over(pad, 10, 0)
	if err != nil {
		fmt.Println(err)
		return
	}
	depths := grid.Between(ground.LevelAt, 0.10, grid.Plane(tin.LevelPlane(9.5)))
	r, err := grid.Measure(context.Background(), layout, depths, grid.Options{Within: pad, Halve: true})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%d cells, cut %.1f m3, fill %.1f m3, mean depth %.2f m\n", r.Cells, r.Cut, r.Fill, r.MeanDepth)
	fmt.Printf("expected error of sampling %.1f m3\n", r.Sampling.Cut.Error)
	// Output:
	// 4 cells, cut 360.0 m3, fill 0.0 m3, mean depth 0.90 m
	// expected error of sampling 0.0 m3
}

// A level book: levels at pegs 5 m apart, dug and filled to 20.00 m. The square
// has 2.0 m of cut along one side and 2.0 m of fill along the other.
func ExampleReadTable() {
	book := `row,column,level
1,1,22.00
1,2,18.00
2,1,22.00
2,2,18.00
`
	formation := tin.LevelPlane(20)
	table, err := grid.ReadTable(context.Background(), strings.NewReader(book), "book.csv", grid.TableOptions{
		Grid: grid.Layout{Along: 5, Across: 5}, Formation: &formation,
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, split := range []grid.Split{grid.ZeroLine, grid.CornerSums} {
		r, err := table.Measure(context.Background(), grid.Options{Split: split})
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("cut %.1f m3, fill %.1f m3\n", r.Cut, r.Fill)
	}
	// Output:
	// cut 12.5 m3, fill 12.5 m3
	// cut 25.0 m3, fill 25.0 m3
}

// A heap of 100, 60 and 20 m2 inside contours 0.5 m apart.
func ExampleContours() {
	r, err := grid.Contours([]float64{50, 50.5, 51}, []float64{100, 60, 20})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f m3 by end areas, %.1f m3 prismoidal\n", r.Trapezoidal, r.Prismoidal)
	// Output: 60.0 m3 by end areas, 60.0 m3 prismoidal
}
