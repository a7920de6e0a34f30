package las_test

import (
	"bytes"
	"context"
	"fmt"
	"os"

	"barrow/tin"
	"barrow/tin/las"
)

// Four ground points and a roof, in cells of 10 m.
func ExampleRead() {
	var file bytes.Buffer
	points := []tin.Point{
		{E: 500001.25, N: 4200002.5, Level: 12.125},
		{E: 500003.5, N: 4200004.75, Level: 12.5},
		{E: 500012.0, N: 4200003.0, Level: 13.0},
		{E: 500014.0, N: 4200016.0, Level: 13.25},
		{E: 500005.0, N: 4200005.0, Level: 18.0, Code: "class 6"},
	}
	if err := las.Write(&file, points, las.WriteOptions{Day: 1, Year: 2026}); err != nil {
		fmt.Println(err)
		return
	}

	f, err := las.Read(context.Background(), &file, "site.las", las.Options{
		Thin: &las.Thinning{Cell: 10, Keep: las.KeepNearest},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("LAS", f.Header.Version, "in", f.Unit)
	for _, p := range f.Points {
		fmt.Println(p.E, p.N, p.Level, p.Code)
	}
	for _, n := range f.Notes {
		fmt.Println(n.Message)
	}
	// Output:
	// LAS 1.2 in m
	// 500003.5 4.20000475e+06 12.5 class 2
	// 500012 4.200003e+06 13 class 2
	// 500014 4.200016e+06 13.25 class 2
	// left out: 1 point of other classes than 2, 8: class 6 (building): 1
	// left out: 1 point for one nearer to the centre of the same cell
}

func ExampleWrite() {
	points := []tin.Point{{E: 1000.5, N: 2000.25, Level: 11.125}}
	if err := las.Write(os.Stderr, points, las.WriteOptions{Format: 3, Day: 1, Year: 2026}); err != nil {
		fmt.Println(err)
	}
	// Output:
	// las: write: point format 3 is not written: give 0, 1 or 6
}
