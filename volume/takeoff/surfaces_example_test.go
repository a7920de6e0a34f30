package takeoff_test

import (
	"context"
	"fmt"
	"log"

	"github.com/paulmach/orb"

	"barrow/tin"
	"barrow/volume/takeoff"
)

// A pad dug with upright sides into level ground: the surfaces end at its sides, and a note
// says so.
func ExampleSurfaces() {
	job := &takeoff.Job{
		Surveys: []takeoff.Survey{{Points: []tin.Point{
			{E: 0, N: 0, Level: 12}, {E: 40, N: 0, Level: 12}, {E: 40, N: 40, Level: 12}, {E: 0, N: 40, Level: 12},
		}}},
		Pads: []takeoff.Pad{{Name: "tank", Finished: 10, Outline: orb.Polygon{{{10, 10}, {30, 10}, {30, 20}, {10, 20}}}}},
	}
	r, err := takeoff.Surfaces(context.Background(), job, takeoff.SurfacesOptions{})
	if err != nil {
		log.Fatal(err)
	}
	for _, s := range r.Surfaces {
		fmt.Printf("%s: %d triangles, %.0f %s\n", s.Name, s.Triangles, s.Area, r.Units.Area)
	}
	fmt.Printf("between them: cut %.0f %s\n", r.Between.Cut, r.Units.Volume)
	for _, n := range r.Notes {
		fmt.Println(n.Code)
	}
	// Output:
	// existing ground: 2 triangles, 1600 m2
	// formation: 2 triangles, 200 m2
	// works: 2 triangles, 200 m2
	// between them: cut 400 m3
	// upright_faces
}
