package takeoff_test

import (
	"context"
	"fmt"
	"log"
	"testing/fstest"

	"github.com/paulmach/orb"

	"barrow/tin"
	"barrow/volume/takeoff"
)

// Ground that rises from 10 m in the west to 12 m in the east, and a pad of
// 10 m by 10 m in the middle, where it is 11 m: dug to 10.5 m, half a metre on
// average.
func ExampleRun() {
	job := &takeoff.Job{
		Name: "shed",
		Surveys: []takeoff.Survey{{Points: []tin.Point{
			{E: 0, N: 0, Level: 10}, {E: 0, N: 40, Level: 10},
			{E: 40, N: 0, Level: 12}, {E: 40, N: 40, Level: 12},
		}}},
		Pads: []takeoff.Pad{{
			Name:     "shed",
			Outline:  orb.Polygon{{{15, 15}, {25, 15}, {25, 25}, {15, 25}}},
			Finished: 10.8,
			Layers:   []takeoff.Layer{{Name: "slab", Thickness: 0.2}, {Name: "hardcore", Thickness: 0.1}},
		}},
	}
	r, err := takeoff.Run(context.Background(), job, takeoff.Options{})
	if err != nil {
		log.Fatal(err)
	}
	p := r.Pads[0]
	fmt.Printf("formation %.3f m\n", *p.FormationLevel)
	fmt.Printf("cut %.1f m3, fill %.1f m3 on %.0f m2\n", p.Cut, p.Fill, p.OutlineArea)
	// Output:
	// formation 10.500 m
	// cut 50.0 m3, fill 0.0 m3 on 100 m2
}

// The same job from files, here held in memory.
func ExampleLoad() {
	files := fstest.MapFS{
		"job.toml": {Data: []byte(`
name  = "shed"
units = "m"

[[survey]]
points = "ground.csv"

[[pad]]
name     = "shed"
outline  = { corner = [15, 15], bearing = 0, length = 10, width = 10 }
finished = 10.8
layers   = [ { name = "slab", thickness = "200 mm" }, { name = "hardcore", thickness = 0.1 } ]
`)},
		"ground.csv": {Data: []byte("easting,northing,level\n0,0,10\n0,40,10\n40,0,12\n40,40,12\n")},
	}
	job, err := takeoff.Load(context.Background(), files, "job.toml", takeoff.Limits{})
	if err != nil {
		log.Fatal(err)
	}
	r, err := takeoff.Run(context.Background(), job, takeoff.Options{})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("cut %.1f m3\n", r.Total.Cut)
	// Output:
	// cut 50.0 m3
}

// The same shed by sections, along the long axis of its works.
func ExampleSections() {
	job := &takeoff.Job{
		Surveys: []takeoff.Survey{{Points: []tin.Point{
			{E: 0, N: 0, Level: 10}, {E: 40, N: 0, Level: 12}, {E: 40, N: 40, Level: 12}, {E: 0, N: 40, Level: 10},
		}}},
		Pads: []takeoff.Pad{{Name: "shed", Finished: 10.5, Outline: orb.Polygon{{{15, 15}, {25, 15}, {25, 25}, {15, 25}}}}},
	}
	r, err := takeoff.Sections(context.Background(), job, takeoff.SectionsOptions{Interval: 2.5})
	if err != nil {
		log.Fatal(err)
	}
	a := r.Alignments[0]
	for _, s := range a.Sections {
		fmt.Printf("chainage %.1f: cut %.3f m2\n", s.Chainage, s.Cut)
	}
	fmt.Printf("end areas %.1f m3, prismoidal %.1f m3, prisms %.1f m3\n", a.EndArea.Cut, a.Prismoidal.Cut, r.Prisms.Cut)
	// Output:
	// chainage 0.0: cut 2.500 m2
	// chainage 2.5: cut 3.750 m2
	// chainage 5.0: cut 5.000 m2
	// chainage 7.5: cut 6.250 m2
	// chainage 10.0: cut 7.500 m2
	// end areas 50.0 m3, prismoidal 50.0 m3, prisms 50.0 m3
}

// All that a report of the shed shows, from one takeoff. There are no rates to price it by.
func ExampleReport() {
	job := &takeoff.Job{
		Surveys: []takeoff.Survey{{Points: []tin.Point{
			{E: 0, N: 0, Level: 10}, {E: 40, N: 0, Level: 12}, {E: 40, N: 40, Level: 12}, {E: 0, N: 40, Level: 10},
		}}},
		Pads: []takeoff.Pad{{Name: "shed", Finished: 10.5, Outline: orb.Polygon{{{15, 15}, {25, 15}, {25, 25}, {15, 25}}}}},
	}
	r, err := takeoff.Report(context.Background(), job, takeoff.ReportOptions{})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("cut %.1f m3 by prisms, %.1f m3 by end areas\n", r.Takeoff.Total.Cut, r.Sections.Alignments[0].EndArea.Cut)
	fmt.Printf("%d pegs\n", len(r.SetOut.Pegs))
	d := r.Depths
	fmt.Printf("%.3f m to dig at E %.1f N %.1f\n", d.Depths[0], d.Origin[0], d.Origin[1])
	for _, o := range r.Left {
		fmt.Println("left out:", o.Message)
	}
	// Output:
	// cut 50.0 m3 by prisms, 50.0 m3 by end areas
	// 4 pegs
	// 0.250 m to dig at E 15.0 N 15.0
	// left out: bill of quantities: the job has no rates to price it by
}
