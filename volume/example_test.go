package volume_test

import (
	"context"
	"fmt"

	"github.com/paulmach/orb"

	"barrow/tin"
	"barrow/volume"
)

// level is ground at 20.00 m over 100 x 100 m.
func level() *tin.Surface {
	ground, err := tin.FromPoints([]tin.Point{
		{E: 0, N: 0, Level: 20}, {E: 100, N: 0, Level: 20},
		{E: 100, N: 100, Level: 20}, {E: 0, N: 100, Level: 20},
	})
	if err != nil {
		panic(err)
	}
	return ground
}

// A pad of 10 x 10 m dug 0.5 m into level ground is 50 m3.
func ExampleAgainstPlane() {
	pad := orb.Polygon{{{10, 10}, {20, 10}, {20, 20}, {10, 20}}}
	r, err := volume.AgainstPlane(context.Background(), level(), tin.LevelPlane(19.5), pad)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("cut %.2f m3, fill %.2f m3, over %.2f m2\n", r.Cut, r.Fill, r.CutArea)
	// Output: cut 50.00 m3, fill 0.00 m3, over 100.00 m2
}

// A pad of 20 x 10 m that falls 1:20 to the east, through ground level along its
// middle: fill in its west half, cut in its east half, each a wedge 10 m long, 10
// m wide and 0.5 m deep at its end, 25 m3.
func ExampleAgainstPlane_falling() {
	pad := orb.Polygon{{{10, 10}, {30, 10}, {30, 20}, {10, 20}}}
	plane := tin.FallingPlane(orb.Point{20, 15}, 20, 0.05, 90)
	r, err := volume.AgainstPlane(context.Background(), level(), plane, pad)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("cut %.2f m3, fill %.2f m3, cut less fill %.2f m3\n", r.Cut, r.Fill, r.CutLessFill)
	fmt.Printf("deepest cut %.2f m, zero line at E %.2f\n", r.MaxCut.Depth, r.ZeroLine[0][0][0])
	// Output:
	// cut 25.00 m3, fill 25.00 m3, cut less fill 0.00 m3
	// deepest cut 0.50 m, zero line at E 20.00
}

// A pad that reaches past the survey: what has no ground is told as an area, and
// is in no volume.
func ExampleAgainstPlane_uncovered() {
	pad := orb.Polygon{{{90, 10}, {110, 10}, {110, 20}, {90, 20}}}
	r, err := volume.AgainstPlane(context.Background(), level(), tin.LevelPlane(19), pad)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("cut at least %.2f m3, %.2f m2 without ground\n", r.Cut, r.UncoveredArea)
	// Output: cut at least 100.00 m3, 100.00 m2 without ground
}

// Two pads beside each other, one dug 1 m, the other raised 0.2 m: 100 m3 of
// cut and 10 m3 of fill.
func ExampleAgainstFacets() {
	ground := level()
	pads := []orb.Polygon{
		{{{10, 10}, {20, 10}, {20, 20}, {10, 20}}},
		{{{20, 10}, {30, 10}, {30, 15}, {20, 15}}},
	}
	planes := []tin.Plane{tin.LevelPlane(19), tin.LevelPlane(20.2)}
	cells, err := ground.Partition(pads, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	var facets []tin.Facet
	for _, c := range cells {
		facets = append(facets, tin.Facet{Cell: c, Plane: planes[c.In[0]]})
	}
	r, err := volume.AgainstFacets(context.Background(), ground, facets)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("cut %.2f m3, fill %.2f m3\n", r.Cut, r.Fill)
	// Output: cut 100.00 m3, fill 10.00 m3
}

func ExampleSplitWorks() {
	ground, err := tin.FromPoints([]tin.Point{
		{E: 0, N: 0, Level: 20}, {E: 50, N: 0, Level: 20}, {E: 50, N: 50, Level: 20}, {E: 0, N: 50, Level: 20},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	cells, err := ground.Partition([]orb.Polygon{{{{10, 10}, {20, 10}, {20, 20}, {10, 20}}}}, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	works := volume.Works{Ground: ground}
	for _, c := range cells {
		works.Facets = append(works.Facets, tin.Facet{Cell: c, Plane: tin.LevelPlane(17)})
	}
	// A layer of 0.5 m, rock below the level of 18.2 m, and what is between.
	r, err := volume.SplitWorks(context.Background(), works, volume.Split{Parts: []volume.Part{
		{To: 0.5}, {Below: []volume.Horizon{{Level: 18.2}}},
	}})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("layer %.0f m3, rock %.0f m3, between %.0f m3, of %.0f m3\n", r.Parts[0].Cut, r.Parts[1].Cut, r.Rest.Cut, r.Cut)
	// Output: layer 50 m3, rock 120 m3, between 130 m3, of 300 m3
}
