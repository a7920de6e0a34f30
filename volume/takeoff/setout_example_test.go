package takeoff_test

import (
	"context"
	"fmt"
	"log"

	"github.com/paulmach/orb"

	"barrow/tin"
	"barrow/volume/takeoff"
)

// A slab of 200 mm on 50 mm of sand; the instrument reads 1.500 on a benchmark of 10.000.
func ExampleSetOut() {
	backsight := 1.5
	job := &takeoff.Job{
		Surveys: []takeoff.Survey{{
			Points: []tin.Point{
				{E: 0, N: 0, Level: 10}, {E: 0, N: 40, Level: 10},
				{E: 40, N: 0, Level: 12}, {E: 40, N: 40, Level: 12},
			},
			Benchmark: &takeoff.Mark{Name: "BM1", Plan: 10, Measured: 10},
		}},
		Pads: []takeoff.Pad{{
			Name:     "shed",
			Outline:  orb.Polygon{{{15, 15}, {25, 15}, {25, 25}, {15, 25}}},
			Finished: 10.75,
			Layers:   []takeoff.Layer{{Name: "slab", Thickness: 0.2}, {Name: "sand", Thickness: 0.05}},
			Cut:      takeoff.Batter{Along: 1},
		}},
	}
	r, err := takeoff.SetOut(context.Background(), job, takeoff.SetOutOptions{Interval: 5, Backsight: &backsight})
	if err != nil {
		log.Fatal(err)
	}
	for _, l := range r.Pads[0].Sets[0].Levels {
		fmt.Printf("%-27s %.3f, staff reads %s\n", l.Name, l.Level, l.Sight.Reading.Text(3))
	}
	for _, p := range r.Pegs {
		if p.Number == "shed 2" || p.Number == "shed 2+5.0 C" {
			fmt.Printf("%s at E %.3f N %.3f: cut %.3f, %.3f from the edge\n", p.Number, p.At[0], p.At[1], *p.Depth, p.ToEdge)
		}
	}
	// Output:
	// finished level, top of slab 10.750, staff reads 0.750
	// top of sand                 10.550, staff reads 0.950
	// FORMATION                   10.500, staff reads 1.000
	// shed 2 at E 25.000 N 15.000: cut 0.750, 0.000 from the edge
	// shed 2+5.0 C at E 25.789 N 20.000: cut 0.789, 0.789 from the edge
}
