package geotiff_test

import (
	"context"
	"fmt"
	"os"

	"barrow/tin/geotiff"
	"barrow/tin/raster"
)

func Example() {
	f, err := os.Open("testdata/f4_deflate_pred3_tiles.tif")
	if err != nil {
		fmt.Println(err)
		return
	}
	defer f.Close()
	g, err := geotiff.Read(context.Background(), f, "ground.tif", raster.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(g.Columns, "columns,", g.Rows, "rows, step", g.StepE, g.Unit)
	p := g.Points()[0]
	fmt.Printf("E %.3f N %.3f level %.3f\n", p.E, p.N, p.Level)
	for _, n := range g.Notes {
		fmt.Println("note:", n.Code)
	}
	// Output:
	// 20 columns, 18 rows, step 2 m
	// E 312501.000 N 5812365.000 level 64.250
	// note: unit_not_stated
	// note: free_diagonals
}

// A compression that is not read is named, with what to do about it.
func ExampleRead_refused() {
	f, err := os.Open("testdata/lerc.tif")
	if err != nil {
		fmt.Println(err)
		return
	}
	defer f.Close()
	_, err = geotiff.Read(context.Background(), f, "ground.tif", raster.Options{})
	fmt.Println(err)
	// Output:
	// ground.tif: the samples are compressed by LERC, which is not read; write the file again uncompressed or with Deflate, LZW or PackBits
}
