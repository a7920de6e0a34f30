package tin_test

import (
	"context"
	"errors"
	"fmt"

	"github.com/paulmach/orb"

	"barrow/tin"
)

// Four corners of a ramp that rises 1 m over 10 m to the east.
func Example() {
	ground, err := tin.FromPoints([]tin.Point{
		{E: 0, N: 0, Level: 50}, {E: 10, N: 0, Level: 51},
		{E: 10, N: 20, Level: 51}, {E: 0, N: 20, Level: 50},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	level, ok := ground.LevelAt(2.5, 7)
	fmt.Println(level, ok)
	_, ok = ground.LevelAt(11, 7)
	fmt.Println("outside:", ok)
	fmt.Println(ground.Stats().Area, "m2")
	// Output:
	// 50.25 true
	// outside: false
	// 200 m2
}

// A bank 10 m wide and 2 m high: without the breakline along its crest, the
// ground would be the flat ramp between the rims.
func ExampleBuild() {
	survey := tin.Source{
		Name: "bank.csv",
		Points: []tin.Point{
			{E: 0, N: 0, Level: 60}, {E: 10, N: 0, Level: 60},
			{E: 10, N: 30, Level: 60}, {E: 0, N: 30, Level: 60},
		},
		Breaklines: []tin.Breakline{{Name: "crest", Vertices: []tin.Point{
			{E: 5, N: 0, Level: 62}, {E: 5, N: 30, Level: 62},
		}}},
	}
	ground, err := tin.Build(context.Background(), []tin.Source{survey}, tin.Options{
		Voids: orb.MultiPolygon{{{{1, 1}, {3, 1}, {3, 3}, {1, 3}}}}, // a tree
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	crest, _ := ground.LevelAt(5, 15)
	half, _ := ground.LevelAt(7.5, 15)
	_, tree := ground.LevelAt(2, 2)
	fmt.Println(crest, half, tree)
	fmt.Println(ground.Stats().Area, "m2")
	// Output:
	// 62 61 false
	// 296 m2
}

// Two levels at one place: the error names both lines and the remedy.
func ExampleInputError() {
	survey := tin.Source{Name: "ground.csv", Points: []tin.Point{
		{E: 0, N: 0, Level: 50, Name: "101", Line: 2}, {E: 10, N: 0, Level: 51, Name: "102", Line: 3},
		{E: 0, N: 10, Level: 50, Name: "103", Line: 4}, {E: 10, N: 0, Level: 15, Name: "104", Line: 5},
	}}
	_, err := tin.Build(context.Background(), []tin.Source{survey}, tin.Options{})
	var bad *tin.InputError
	if errors.As(err, &bad) {
		fmt.Println(bad.Code)
		fmt.Println(bad)
	}
	ground, err := tin.Build(context.Background(), []tin.Source{survey}, tin.Options{Duplicates: tin.DuplicatesFirst})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, n := range ground.Notes() {
		fmt.Println(n.Message)
	}
	// Output:
	// duplicate_spots
	// ground.csv:5: spot 104 has level 15, but spot 102 (line 3) at the same place has 51; take one out, or say which counts: duplicates = "mean", "first" or "last"
	// 1 spot at the place of another with a different level: the first was taken, the first spot 104 (ground.csv:5) with spot 102 (ground.csv:3)
}

// A line across a ramp of 1 in 10, from 5 m before the ground begins.
func ExampleSurface_Profile() {
	ground, err := tin.FromPoints([]tin.Point{
		{E: 0, N: 0, Level: 50}, {E: 10, N: 0, Level: 51}, {E: 10, N: 10, Level: 51}, {E: 0, N: 10, Level: 50},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	stations, err := ground.Profile(orb.LineString{{-5, 2}, {10, 2}})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, s := range stations {
		fmt.Printf("chainage %4.1f level %5.2f ground ahead: %v\n", s.Chainage, s.Level, s.Ground)
	}
	// Output:
	// chainage  0.0 level   NaN ground ahead: false
	// chainage  5.0 level 50.00 ground ahead: true
	// chainage 13.0 level 50.80 ground ahead: true
	// chainage 15.0 level 51.00 ground ahead: false
}

// Two pads of 10 x 10 m that overlap by 4 x 10 m, on ground that ends at E 12.
// The volume above level 50 within the first one: 10 x 10 m of ground 1 m high.
func ExampleSurface_Pieces() {
	ground, err := tin.FromPoints([]tin.Point{
		{E: 0, N: 0, Level: 51}, {E: 12, N: 0, Level: 51}, {E: 12, N: 10, Level: 51}, {E: 0, N: 10, Level: 51},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	pad := func(e float64) orb.Polygon { return orb.Polygon{{{e, 0}, {e + 10, 0}, {e + 10, 10}, {e, 10}}} }
	cells, err := ground.Partition([]orb.Polygon{pad(0), pad(6)}, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	var both, outside tin.Sum
	for i := range cells {
		if len(cells[i].In) == 2 {
			both.Add(cells[i].Area)
		}
		if !ground.InHull(&cells[i]) {
			outside.Add(cells[i].Area)
		}
	}
	fmt.Printf("in both %.0f m2, reaching outside the survey %.0f m2\n", both.Value(), outside.Value())
	var volume tin.Sum
	for i, p := range ground.Pieces(cells) {
		if cells[i].In[0] != 0 {
			continue
		}
		o := p.Corner[0]
		for k := 2; k < len(p.Corner); k++ {
			a, b := p.Corner[k-1], p.Corner[k]
			area := ((a.X-o.X)*(b.Y-o.Y) - (a.Y-o.Y)*(b.X-o.X)) / 2 * ground.Frame().Area()
			volume.Add(area * (o.Level + a.Level + b.Level - 3*50) / 3)
		}
	}
	fmt.Printf("%.0f m3\n", volume.Value())
	// Output:
	// in both 40 m2, reaching outside the survey 60 m2
	// 100 m3
}

// A square of 10 m with one corner 1 m up holds 33.3 m3 or 16.7 m3, as the
// diagonal goes.
func ExampleSurface_Ties() {
	ground, err := tin.FromPoints([]tin.Point{
		{E: 0, N: 0, Level: 1}, {E: 10, N: 0}, {E: 10, N: 10}, {E: 0, N: 10},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, t := range ground.Ties() {
		fmt.Printf("%d corners, %.1f m3\n", len(t.Corners), t.Spread)
	}
	// Output: 4 corners, 16.7 m3
}

// The contour of 2.5 m of a slope that rises 1 in 10 to the east.
func ExampleSurface_Contours() {
	ground, err := tin.FromPoints([]tin.Point{
		{E: 0, N: 0}, {E: 40, N: 0, Level: 4}, {E: 40, N: 10, Level: 4}, {E: 0, N: 10},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	contours, err := ground.Contours(context.Background(), []float64{2.5}, ground.Bound())
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, c := range contours {
		fmt.Println(c.Level, c.Line)
	}
	// Output: 2.5 [[25 10] [25 3.75] [25 0]]
}

func ExampleCheckOutline() {
	eight := orb.Polygon{{{0, 0}, {10, 10}, {10, 0}, {0, 10}}}
	fmt.Println(tin.CheckOutline(eight))
	// Output: side 1-2 of the outline crosses side 3-4, at E 5.000 N 5.000; put the corners in order round the outline
}

// 1:80 down to the east from level 62.925.
func ExampleFallingPlane() {
	p := tin.FallingPlane(orb.Point{100, 200}, 62.925, 1.0/80, 90)
	fmt.Printf("%.3f\n", p.LevelAt(108, 230))
	// Output: 62.825
}

// A valley along one diagonal of a square, as its designer built it: a survey of the
// same four corners takes the other diagonal.
func ExampleSource_faces() {
	corners := []tin.Point{
		{E: 0, N: 0, Level: 1}, {E: 10, N: 0, Level: 3}, {E: 10, N: 10, Level: 1}, {E: 0, N: 10, Level: 3},
	}
	for _, faces := range [][][3]int32{nil, {{0, 1, 2}, {0, 2, 3}}} {
		s, err := tin.Build(context.Background(), []tin.Source{{Points: corners, Faces: faces}}, tin.Options{})
		if err != nil {
			fmt.Println(err)
			return
		}
		level, _ := s.LevelAt(5, 5)
		fmt.Println(level)
	}
	// Output:
	// 3
	// 1
}
