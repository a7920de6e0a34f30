package takeoff_test

import (
	"context"
	"fmt"

	"github.com/paulmach/orb"

	"barrow/tin"
	"barrow/volume/takeoff"
)

// A pad on a slope of 1 in 10: where does it balance, if one volume of cut makes 0.81 of
// fill, and what if its level goes up 50 mm?
func ExampleBalance() {
	job := &takeoff.Job{
		Surveys: []takeoff.Survey{{Points: []tin.Point{
			{E: 0, N: 0, Level: 10}, {E: 40, N: 0, Level: 14}, {E: 40, N: 40, Level: 14}, {E: 0, N: 40, Level: 10},
		}}},
		Pads: []takeoff.Pad{{
			Name: "store", Outline: orb.Polygon{{{10, 10}, {30, 10}, {30, 30}, {10, 30}}}, Finished: 12.3,
		}},
	}
	b, err := takeoff.Balance(context.Background(), job, takeoff.BalanceOptions{CompactedPerBank: 0.81})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("balance at %.4f: cut %.2f, fill %.2f\n", *b.Balance.Levels[0].FinishedLevel, b.Balance.Cut, b.Balance.Fill)
	for _, p := range b.WhatIf {
		fmt.Printf("%+.3f: cut %.2f, fill %.2f, short %.2f\n", p.Shift, p.Cut, p.Fill, *p.Short)
	}
	// Output:
	// balance at 11.9474: cut 110.80, fill 89.75
	// -0.050: cut 56.25, fill 156.25, short 110.69
	// +0.000: cut 49.00, fill 169.00, short 129.31
	// +0.050: cut 42.25, fill 182.25, short 148.03
}
