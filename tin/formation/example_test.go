package formation_test

import (
	"context"
	"fmt"
	"log"
	"math"

	"github.com/paulmach/orb"

	"barrow/tin"
	"barrow/tin/formation"
)

// A level pad of 20 m by 10 m, 250 mm of build-up, on a flat field.
func Example() {
	ground, err := tin.FromPoints([]tin.Point{
		{E: 0, N: 0, Level: 63}, {E: 50, N: 0, Level: 63}, {E: 50, N: 40, Level: 63}, {E: 0, N: 40, Level: 63},
	})
	if err != nil {
		log.Fatal(err)
	}
	outline, err := formation.Rectangle(orb.Point{10, 10}, 90, 20, 10)
	if err != nil {
		log.Fatal(err)
	}
	layout, err := formation.Lay(context.Background(), ground, []formation.Pad{{
		Name:     "store",
		Outline:  outline,
		Finished: 62.500,
		Layers:   formation.BuildUp{{Name: "concrete slab", Thickness: 0.200}, {Name: "sand", Thickness: 0.050}},
	}}, formation.Options{})
	if err != nil {
		log.Fatal(err)
	}
	pad := layout.Pads[0]
	area := 0.0
	for _, f := range pad.Facets {
		area += f.Cell.Area
	}
	fmt.Printf("formation %.3f m over %.1f m2\n", pad.FormationLevel, area)
	// Output: formation 62.250 m over 200.0 m2
}

// Half a metre of working space on all sides but one, where the pad stands
// against a wall.
func ExampleLay_margin() {
	ground, err := tin.FromPoints([]tin.Point{{E: 0, N: 0, Level: 63}, {E: 50, N: 0, Level: 63}, {E: 0, N: 50, Level: 63}})
	if err != nil {
		log.Fatal(err)
	}
	none := 0.0
	layout, err := formation.Lay(context.Background(), ground, []formation.Pad{{
		Name:     "store",
		Outline:  orb.Polygon{{{10, 10}, {30, 10}, {30, 20}, {10, 20}}},
		Finished: 62.250,
		Margin:   0.5,
		Cut:      formation.Batter{Along: 1},
		Edges:    []formation.Edge{{From: "3", To: "4", Margin: &none, Upright: true}},
	}}, formation.Options{})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.1f m2 with its margin\n", layout.Pads[0].FormationArea)
	for _, c := range layout.Outlines[0].Rings[0] {
		fmt.Printf("(%.1f, %.1f) %.3f m, cut %v\n", c.E, c.N, c.Level, c.Cut)
	}
	// Output:
	// 220.5 m2 with its margin
	// (9.5, 9.5) 62.250 m, cut 1V:1H
	// (30.5, 9.5) 62.250 m, cut 1V:1H
	// (30.5, 20.0) 62.250 m, cut 1V:1H
	// (30.0, 20.0) 62.250 m, cut 1V:0H
	// (10.0, 20.0) 62.250 m, cut 1V:1H
	// (9.5, 20.0) 62.250 m, cut 1V:1H
}

func ExampleBuildUp_Ladder() {
	b := formation.BuildUp{{Name: "concrete slab", Thickness: 0.175}, {Name: "sand blinding", Thickness: 0.05}}
	for _, r := range b.Ladder(63.15) {
		fmt.Println(r.Name, r.Top, "to", r.Underside)
	}
	// Output:
	// concrete slab 63.15 to 62.975
	// sand blinding 62.975 to 62.925
}

func ExampleFormationLevel() {
	// Common practice, no source: 200 mm of slab on 50 mm of sand is 250 mm.
	fmt.Println(formation.FormationLevel(100, formation.BuildUp{{Thickness: 0.2}, {Thickness: 0.05}}))
	// Output: 99.75
}

// To hold against the drawing.
func ExamplePad_Geometry() {
	g, err := formation.Pad{Outline: orb.Polygon{{{0, 0}, {0, 30}, {40, 30}, {40, 0}}}, Finished: 63.15}.Geometry()
	if err != nil {
		log.Fatal(err)
	}
	for _, s := range g.Sides {
		fmt.Printf("%s to %s: %.3f m, bearing %.4f\n", s.From, s.To, s.Length, s.Bearing)
	}
	for _, d := range g.Diagonals {
		fmt.Printf("diagonal %s to %s: %.3f m\n", d.From, d.To, d.Length)
	}
	fmt.Printf("%.1f m2\n", g.Area)
	// Output:
	// 1 to 2: 30.000 m, bearing 0.0000
	// 2 to 3: 40.000 m, bearing 90.0000
	// 3 to 4: 30.000 m, bearing 180.0000
	// 4 to 1: 40.000 m, bearing 270.0000
	// diagonal 1 to 3: 50.000 m
	// diagonal 2 to 4: 50.000 m
	// 1200.0 m2
}

// The levels do not lie in a plane, so the note says what the choice of
// diagonals may change.
func ExampleLay_ownLevels() {
	ground, err := tin.FromPoints([]tin.Point{{E: 0, N: 0, Level: 1}, {E: 50, N: 0, Level: 1}, {E: 0, N: 50, Level: 1}})
	if err != nil {
		log.Fatal(err)
	}
	layout, err := formation.Lay(context.Background(), ground, []formation.Pad{{
		Name:    "apron",
		Outline: orb.Polygon{{{0, 0}, {10, 0}, {10, 10}, {0, 10}}},
		Levels:  &formation.Levels{Outline: [][]float64{{1, 0, 0, 0}}},
	}}, formation.Options{})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%s: %.2f m3\n", layout.Notes[0].Code, layout.Pads[0].DiagonalSpread)
	// Output: tied_levels: 16.67 m3
}

func ExampleParseSlope() {
	for _, s := range []string{"1:80", "1.25 %", "0.0125", "1.25"} {
		slope, err := formation.ParseSlope(s)
		fmt.Println(slope, err)
	}
	// Output:
	// 0.0125 <nil>
	// 0.0125 <nil>
	// 0.0125 <nil>
	// 0 fall "1.25" is steeper than 1:1; did you mean "1.25 %" or "1:1.25"?
}

func ExampleParseBatter() {
	n, err := formation.ParseBatter("1V:1.5H")
	fmt.Println(n, err)
	_, err = formation.ParseBatter("1:1.5")
	fmt.Println(err)
	// Output:
	// 1.5 <nil>
	// batter "1:1.5" has no letters, and means different things in different countries; write "1V:1.5H" or "1V:0.666667H"
}

func ExampleCheckMarks() {
	benchmark := formation.Mark{Name: "BM1", Plan: 62.500, Measured: 10.134}
	fmt.Println("shift", benchmark.Shift())
	for _, w := range formation.CheckMarks(benchmark.Shift(), []formation.Mark{
		{Name: "BM2", Plan: 63.210, Measured: 10.846},
		{Name: "BM3", Plan: 61.900, Measured: 9.512},
	}, 0.010, tin.Metre) {
		fmt.Println(w.Message)
	}
	// Output:
	// shift 52.366
	// check mark "BM3" comes out 0.022 m LOW: at 61.878, and at 61.900 in the plans (tolerance 0.01)
}

func ExampleNewPlanToSite() {
	// The drawing's x axis runs due north on the site.
	move, err := formation.NewPlanToSite(
		[2]orb.Point{{0, 0}, {30, 0}},
		[2]orb.Point{{312540, 5812300}, {312540, 5812330}},
		tin.Metre, 1)
	if err != nil {
		log.Fatal(err)
	}
	p := move.Apply(orb.Point{10, 5})
	fmt.Printf("%.3f %.3f\n", p[0], p[1])

	_, err = formation.NewPlanToSite([2]orb.Point{{0, 0}, {30, 0}}, [2]orb.Point{{312540, 5812300}, {312540, 5812330.03}}, tin.Metre, 1)
	fmt.Println(err)
	// Output:
	// 312535.000 5812310.000
	// the two points are 30.000 m apart on the plan and 30.030 m on the site, a difference of 0.030 m (over 0.02 m); check the points, and the unit and scale of the drawing: it is turned and shifted, never scaled
}

func ExampleRectangle() {
	outline, err := formation.Rectangle(orb.Point{100, 200}, 90, 24, 12)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(outline)
	_, err = formation.Rectangle(orb.Point{100, 200}, 90, math.NaN(), 12)
	fmt.Println(err)
	// Output:
	// [[[100 200] [124 200] [124 188] [100 188] [100 200]]]
	// length: the length of a rectangle is NaN; give it above 0
}
