package material_test

import (
	"fmt"

	"barrow/volume/material"
)

// A pit of 1000 m3 in mixed soils, of which 450 m3 are wanted back, rolled.
func ExampleReckon() {
	kind, _ := material.KindNamed("mixed soils")
	r, err := material.Reckon(material.Site{
		Materials: []material.Material{{
			Name: "soil", Factors: material.Factors{LoosePerBank: kind.LoosePerBank, CompactedPerBank: 0.9},
			FactorsFrom: kind.PublishedIn, Density: 1.8, Reuse: 1, Dug: 1000,
		}},
		Fill:   450,
		Trucks: []material.Truck{{Name: "tipper", Body: 12, Payload: 20}},
	})
	if err != nil {
		panic(err)
	}
	fmt.Printf("surplus %.0f m3 bank, %.0f m3 loose\n", *r.Surplus, *r.SpoilLoose)
	load := r.Trucks[0].Materials[0]
	fmt.Printf("%d loads of %.0f m3: the %s governs\n", load.Loads, load.Load, load.Governs)
	// Output:
	// surplus 500 m3 bank, 625 m3 loose
	// 53 loads of 12 m3: the body governs
}

// Two heaps, two hollows: the near one is filled from the near heap.
func ExampleHaul() {
	plan, err := material.Haul(
		[]material.Source{{At: [2]float64{0, 0}, Amount: 30}, {At: [2]float64{100, 0}, Amount: 10}},
		[]material.Sink{{At: [2]float64{20, 0}, Amount: 20}, {At: [2]float64{90, 0}, Amount: 20}})
	if err != nil {
		panic(err)
	}
	fmt.Printf("%.0f m3 over %.0f m on average\n", plan.Volume, plan.MeanDistance)
	// Output:
	// 40 m3 over 35 m on average
}
