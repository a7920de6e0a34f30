package pointfile_test

import (
	"context"
	"errors"
	"fmt"
	"os"
	"strings"

	"barrow/tin"
	"barrow/tin/pointfile"
)

func Example() {
	text := `number,easting,northing,level,code
1,312540.00,5812300.00,62.50,GRD
2,312550.00,5812300.00,62.40,GRD
3,312550.00,5812310.00,,TREE
`
	f, err := pointfile.Read(context.Background(), strings.NewReader(text), "ground.csv", pointfile.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, p := range f.Points {
		fmt.Println(p.Name, p.E, p.N, p.Level, p.Code)
	}
	for _, n := range f.Notes {
		fmt.Println("note:", n.Message)
	}
	// Output:
	// 1 312540 5.8123e+06 62.5 GRD
	// 2 312550 5.8123e+06 62.4 GRD
	// 3 312550 5.81231e+06 NaN TREE
	// note: 1 point without a level, plan only (empty 1), the first in line 4
}

// A file that does not name its columns is refused until they are stated.
func ExampleRead_noHeader() {
	text := "1;5812300,0;312540,0;62,5;GRD\n2;5812300,0;312550,0;62,4;GRD\n"
	read := func(columns string) (*pointfile.File, error) {
		return pointfile.Read(context.Background(), strings.NewReader(text), "ground.txt", pointfile.Options{Columns: columns})
	}
	_, err := read("")
	var bad *tin.InputError
	if errors.As(err, &bad) {
		fmt.Println(bad.Message)
		fmt.Println(bad.Hint)
	}
	f, err := read("number, northing, easting, level, code")
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(f.Separator, f.DecimalComma, f.Points[0].E, f.Points[0].Level)
	// Output:
	// the file has no header, so the order of its columns is not known; the first lines are "1;5812300,0;312540,0;62,5;GRD", "2;5812300,0;312550,0;62,4;GRD"
	// state the order of the columns, as "number, easting, northing, level, code"; the words are number, easting, northing, level, code, description, ignored
	// semicolon true 312540 62.5
}

func ExampleWrite() {
	err := pointfile.Write(os.Stdout, []tin.Point{
		{Name: "1", E: 312540, N: 5812300, Level: 62.5, Code: "GRD"},
		{Name: "2", E: 312550.125, N: 5812300, Level: 62.4, Code: `3" PIPE, old`},
	})
	if err != nil {
		fmt.Println(err)
	}
	// Output:
	// number,easting,northing,level,code
	// 1,312540,5812300,62.5,GRD
	// 2,312550.125,5812300,62.4,"3"" PIPE, old"
}

func ExampleDescribe() {
	var b strings.Builder
	b.WriteString("number,easting,northing,level\n")
	for i := range 25 {
		level := 10.0
		if i == 12 {
			level = 100 // a slip: the decimal point is one digit off
		}
		fmt.Fprintf(&b, "%d,%d,%d,%.2f\n", i+1, 500+5*(i%5), 600+5*(i/5), level)
	}
	f, err := pointfile.Read(context.Background(), strings.NewReader(b.String()), "grid.csv", pointfile.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	d, err := pointfile.Describe(context.Background(), f)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(d.Points, "points, spacing", d.Spacing, "levels", d.Levels.Min, "to", d.Levels.Max)
	for _, s := range d.Suspects {
		fmt.Printf("line %d: %s\n", s.Point.Line, s.Message)
	}
	// Output:
	// 25 points, spacing 5 levels 10 to 100
	// line 14: the level 100 is 90.000 above what the nearest points give, 10.000
}
