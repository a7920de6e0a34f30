package takeoff_test

import (
	"context"
	"fmt"
	"log"

	"github.com/paulmach/orb"

	"barrow/tin"
	"barrow/volume/takeoff"
)

// A pit of 40 x 30, 1 deep, and somebody's claim of 1,500 loose.
func ExampleCrosscheck() {
	claimed := 1500.0
	job := &takeoff.Job{
		Surveys: []takeoff.Survey{{Points: []tin.Point{{E: 0, N: 0, Level: 10}, {E: 60, N: 0, Level: 10}, {E: 60, N: 50, Level: 10}, {E: 0, N: 50, Level: 10}}}},
		Pads:    []takeoff.Pad{{Name: "pit", Outline: orb.Polygon{{{10, 10}, {50, 10}, {50, 40}, {10, 40}}}, Finished: 9}},
	}
	r, err := takeoff.Crosscheck(context.Background(), job, takeoff.CrosscheckOptions{
		Spacing: 1, Claim: &takeoff.Claim{Cut: &claimed, Measure: takeoff.MeasureLoose, Factor: 1.25},
	})
	if err != nil {
		log.Fatal(err)
	}
	b := r.Bases[0]
	fmt.Printf("prisms %.0f\n", b.Prism.Cut)
	for _, m := range b.Methods {
		fmt.Printf("%s %.0f, beyond what is expected: %v\n", m.Method, m.Cut.Volume, m.Cut.Beyond)
	}
	fmt.Printf("claimed %.0f bank, inside: %v\n", r.Claim.Cut.Restated, r.Claim.Cut.Inside)
	// Output:
	// prisms 1200
	// average_end_area 1200, beyond what is expected: false
	// prismoidal 1200, beyond what is expected: false
	// unit_area_grid 1200, beyond what is expected: false
	// claimed 1200 bank, inside: true
}
