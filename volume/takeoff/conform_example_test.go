package takeoff_test

import (
	"context"
	"fmt"
	"log"

	"github.com/paulmach/orb"

	"barrow/tin"
	"barrow/tin/setout"
	"barrow/volume/takeoff"
)

// A pit of 12 x 10 to 9.000, at most 10 mm high or 30 mm low, with one corner over-dug.
func ExampleConform() {
	job := &takeoff.Job{
		Surveys: []takeoff.Survey{{Points: []tin.Point{{E: 0, N: 0, Level: 10}, {E: 60, N: 0, Level: 10}, {E: 60, N: 50, Level: 10}, {E: 0, N: 50, Level: 10}}}},
		Pads: []takeoff.Pad{{Name: "pit", Outline: orb.Polygon{{{10, 10}, {22, 10}, {22, 20}, {10, 20}}}, Finished: 9,
			Tolerance: &setout.Tolerance{Up: 0.010, Down: 0.030}}},
	}
	shots := &takeoff.Shots{Points: []tin.Point{
		{E: 10, N: 10, Level: 9.004}, {E: 22, N: 10, Level: 8.995}, {E: 22, N: 20, Level: 8.948}, {E: 10, N: 20, Level: 9.001}, {E: 16, N: 15, Level: 8.999},
	}}
	r, err := takeoff.Conform(context.Background(), job, takeoff.ConformOptions{Shots: shots})
	if err != nil {
		log.Fatal(err)
	}
	p := &r.Pads[0]
	worst := p.Shots[*p.Worst]
	fmt.Printf("%d of %d within, %s\n", p.Within, len(p.Shots), p.Verdict)
	fmt.Printf("worst %+.3f at %v, %.2f m3 over-dug\n", worst.Off, worst.At, p.Still.MakeUp)
	// Output:
	// 4 of 5 within, out of tolerance
	// worst -0.052 at [22 20], 1.14 m3 over-dug
}
