package setout_test

import (
	"context"
	"fmt"

	"github.com/paulmach/orb"

	"barrow/tin/setout"
)

// A shed of 6 m by 4 m: corners, one peg in the middle of each long side, and a line 2 m
// outside for a string.
func ExampleOutline_Pegs() {
	shed := setout.Outline{
		Pad:     "shed",
		Rings:   [][]setout.Corner{{{"A", orb.Point{0, 0}}, {"B", orb.Point{6, 0}}, {"C", orb.Point{6, 4}}, {"D", orb.Point{0, 4}}}},
		Spacing: setout.Spacing{Interval: 3, Back: []float64{2}},
	}
	pegs, err := shed.Pegs(context.Background())
	if err != nil {
		panic(err)
	}
	for _, p := range pegs[:9] {
		fmt.Printf("%-14s %-6s E %.1f N %.1f, %.1f from the edge\n", p.Number, p.Kind, p.At[0], p.At[1], p.ToEdge)
	}
	// Output:
	// shed A         corner E 0.0 N 0.0, 0.0 from the edge
	// shed B         corner E 6.0 N 0.0, 0.0 from the edge
	// shed C         corner E 6.0 N 4.0, 0.0 from the edge
	// shed D         corner E 0.0 N 4.0, 0.0 from the edge
	// shed A+3.0     side   E 3.0 N 0.0, 0.0 from the edge
	// shed B+3.0     side   E 6.0 N 3.0, 0.0 from the edge
	// shed C+3.0     side   E 3.0 N 4.0, 0.0 from the edge
	// shed D+3.0     side   E 0.0 N 1.0, 0.0 from the edge
	// shed A+0.0 B2.0 back   E 0.0 N -2.0, 2.0 from the edge
}

// The instrument reads 1.245 on a benchmark of 64.380; what the staff must read on a
// formation of 64.500, 120 mm above it.
func ExampleInstrument_Sight() {
	level := func(x float64) setout.Decimal {
		d, _ := setout.DecimalOf(x)
		return d
	}
	i := setout.Instrument{Name: "BM1", Benchmark: level(64.380), Backsight: level(1.245)}
	s := i.Sight(level(64.500))
	fmt.Println("collimation", i.Collimation(), "reading", s.Reading, "receiver up", s.Receiver)
	// Output: collimation 65.625 reading 1.125 receiver up -0.12
}
