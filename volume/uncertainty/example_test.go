package uncertainty_test

import (
	"context"
	"fmt"
	"log"
	"math"

	"github.com/paulmach/orb"

	"barrow/tin"
	"barrow/volume"
	"barrow/volume/uncertainty"
)

// A pad of 30 m by 20 m on uneven ground, surveyed on a grid of 10 m with levels good
// to 20 mm.
func Example() {
	var points []tin.Point
	for e := 0.0; e <= 100; e += 10 {
		for n := 0.0; n <= 80; n += 10 {
			points = append(points, tin.Point{E: e, N: n, Level: 20 + 0.5*math.Sin(e/8) + 0.4*math.Cos(n/6)})
		}
	}
	ground, err := tin.FromPoints(points)
	if err != nil {
		log.Fatal(err)
	}
	cells, err := ground.Partition([]orb.Polygon{{{{30, 30}, {60, 30}, {60, 50}, {30, 50}}}}, nil)
	if err != nil {
		log.Fatal(err)
	}
	var facets []tin.Facet
	for _, c := range cells {
		facets = append(facets, tin.Facet{Cell: c, Plane: tin.LevelPlane(18)})
	}
	cut, err := volume.AgainstFacets(context.Background(), ground, facets)
	if err != nil {
		log.Fatal(err)
	}
	sensor := volume.NewSensor(ground)
	if err := sensor.Facets(context.Background(), facets); err != nil {
		log.Fatal(err)
	}
	u, err := uncertainty.Estimate(context.Background(), uncertainty.Input{
		Ground: ground, Sensitivity: sensor.Result(),
		Surveys: []uncertainty.Survey{{Spot: 0.02}}, SurveyOf: []int{0},
	})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("cut %.0f m3, standard deviation %.0f m3\n", cut.Cut, u.Covariance.Of([2]float64{1, 0}))
	// At 12 of some money a cubic metre:
	fmt.Printf("cost %.0f, standard deviation %.0f\n", 12*cut.Cut, u.Covariance.Of([2]float64{12, 0}))
	// Output:
	// cut 1220 m3, standard deviation 32 m3
	// cost 14637, standard deviation 378
}
