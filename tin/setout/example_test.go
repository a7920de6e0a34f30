package setout_test

import (
	"fmt"
	"strings"

	"github.com/paulmach/orb"

	"barrow/tin"
	"barrow/tin/setout"
)

// A benchmark of 10.000 m, one change point, and back to another of 10.500 m: the book
// comes to 10.502, and 3 mm times the root of two set-ups are allowed.
func ExampleBook_Reduce() {
	book, err := setout.ReadBook(strings.NewReader(`point,backsight,intermediate,foresight,level
BM1,1.500,,,10.000
peg,,1.200,,
CP1,1.400,,1.100,
BM2,,,1.298,10.500
`), "book.csv", tin.Metre)
	if err != nil {
		panic(err)
	}
	r, err := book.Reduce(setout.BookOptions{Allowance: setout.Allowance{Constant: 3000, Per: setout.PerSetUp}})
	if err != nil {
		panic(err)
	}
	for i, row := range r.Rows {
		fmt.Println(book.Rows[i].Point, row.ByCollimation.Text(3), row.ByRiseAndFall.Text(3), row.Level.Text(3))
	}
	c := r.Closures[0]
	fmt.Printf("misclosure %s m, allowed %.4f m, within: %v\n", c.Misclosure, c.Allowed, c.Within)
	// Output:
	// BM1 10.000 10.000 10.000
	// peg 10.300 10.300 10.300
	// CP1 10.400 10.400 10.399
	// BM2 10.502 10.502 10.500
	// misclosure 0.002 m, allowed 0.0042 m, within: true
}

// From midway B is 0.300 m above A whatever the line of sight does; from 10 m beyond B
// it seems 0.306 m, and the line of sight rises 0.1 mm in each metre.
func ExampleTwoPeg() {
	sight := func(reading, distance float64) setout.PegSight {
		r, _ := setout.DecimalOf(reading)
		d, _ := setout.DecimalOf(distance)
		return setout.PegSight{Reading: r, Distance: d}
	}
	r, err := setout.TwoPeg(setout.PegTest{A1: sight(1.503, 30), B1: sight(1.203, 30), A2: sight(1.707, 70), B2: sight(1.401, 10)})
	if err != nil {
		panic(err)
	}
	fmt.Printf("%.1f mm in 10 m; B is %.3f m above A; the far staff should read %.3f\n", r.Tilt*1e4, r.Rise, r.A2)
	// Output: 1.0 mm in 10 m; B is 0.300 m above A; the far staff should read 1.700
}

// A pad of 10 x 10 to be 7.00, at most 10 mm high or 30 mm low, each shot good to 3 mm.
func ExampleConform() {
	shots := []setout.Shot{{E: 1, N: 1, Level: 7.002}, {E: 9, N: 1, Level: 6.985}, {E: 9, N: 9, Level: 7.012}, {E: 1, N: 9, Level: 6.990}, {E: 5, N: 5, Level: 7.001}}
	asked := func(e, n float64) (level float64, ok bool) { return 7, true }
	c, err := setout.Conform(shots, asked, setout.ConformOptions{
		Tolerance: &setout.Tolerance{Up: 0.010, Down: 0.030}, StandardDeviation: 0.003,
		Cover: setout.Cover{Area: [][3]orb.Point{{{0, 0}, {10, 0}, {10, 10}}, {{0, 0}, {10, 10}, {0, 10}}}, PerShot: 50, Reach: 7},
	})
	if err != nil {
		panic(err)
	}
	for _, d := range c.Deviations {
		fmt.Printf("%+.3f %s\n", d.Off, d.Standing)
	}
	fmt.Println(c.Verdict)
	// Output:
	// +0.002 within
	// -0.015 within
	// +0.012 undecided
	// -0.010 within
	// +0.001 within
	// undecided
}
