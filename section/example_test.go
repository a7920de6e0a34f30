package section_test

import (
	"context"
	"fmt"
	"strings"

	"github.com/paulmach/orb"

	"barrow/section"
	"barrow/tin"
)

// Ground that rises from 1 to 4 m over 30 m, dug to level 0 over a width of 10 m: 750
// m3. The widths do not change, so that end areas are exact.
func Example() {
	ground, _ := tin.FromPoints([]tin.Point{
		{E: 0, N: -20, Level: 1}, {E: 30, N: -20, Level: 4}, {E: 30, N: 20, Level: 4}, {E: 0, N: 20, Level: 1},
	})
	dig := section.Face{Corner: []section.Corner{{E: 0, N: -5}, {E: 30, N: -5}, {E: 30, N: 5}, {E: 0, N: 5}}}
	formation, _ := section.NewFaces(context.Background(), []section.Face{dig})

	a, _ := section.Default([]orb.Point{{0, -5}, {30, -5}, {30, 5}, {0, 5}})
	marks, _ := a.Marks(section.Plan{Interval: 10})
	s, err := section.Cut(context.Background(), ground, formation, a, marks, section.Options{Middles: true})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, s := range s.Sections {
		fmt.Printf("chainage %2.0f: cut %.0f m2\n", s.Chainage, s.Cut.Area)
	}
	p, _ := section.Prismoidal(s.Spans())
	fmt.Printf("end areas %.0f m3, prismoidal %.0f m3\n", section.AverageEndArea(s.Spans(), section.Averaged).Cut, p.Cut)
	// Output:
	// chainage  0: cut 10 m2
	// chainage 10: cut 20 m2
	// chainage 20: cut 30 m2
	// chainage 30: cut 40 m2
	// end areas 750 m3, prismoidal 750 m3
}

// The works are 100 m by 40 m and lie east to west.
func ExampleDefault() {
	a, _ := section.Default([]orb.Point{{0, 0}, {100, 0}, {100, 40}, {0, 40}})
	fmt.Println(a.Line(), section.Interval(a.Length(), tin.Metre))
	// Output: [[0 20] [100 20]] 5
}

// A cutting 8 m wide at the bottom, sides 1V:1H, 2 m deep on level ground: a book of
// one section needs no surface.
func ExampleFromLevels() {
	s, _ := section.FromLevels(120,
		[]section.Level{{Offset: -10, Level: 52}, {Offset: 10, Level: 52}},
		[]section.Level{{Offset: -6, Level: 52}, {Offset: -4, Level: 50}, {Offset: 4, Level: 50}, {Offset: 6, Level: 52}})
	depth, _ := s.DepthAt(5)
	fmt.Printf("%.0f m2, %.0f m deep at 5 m right\n", s.Cut.Area, depth)
	// Output: 20 m2, 1 m deep at 5 m right
}

func ExampleCrissCross() {
	// Over the ground from left to right, and back along the formation.
	fmt.Println(section.CrissCross([]section.Level{{Offset: -4}, {Offset: -6, Level: 2}, {Offset: 6, Level: 2}, {Offset: 4}}))
	// Output: 20
}

func ExampleThreeLevel() {
	t := section.ThreeLevel{Width: 8, Centre: 2, LeftOffset: 5, LeftHeight: 1, RightOffset: 7, RightHeight: 3}
	fmt.Println(t.Area(), "m2")
	// Output: 20 m2
}

// Areas of 0, 10 and 40 m2, 20 m apart, as of a pyramid: the end areas measure a
// quarter too much.
func ExampleAverageEndArea() {
	ends := []section.End{
		{Chainage: 0}, {Chainage: 20, Cut: section.Area{Area: 10}}, {Chainage: 40, Cut: section.Area{Area: 40}},
	}
	spans, _ := section.Spans(ends)
	fmt.Println(section.AverageEndArea(spans, section.Averaged).Cut, "m3")
	whole, _ := section.Alternate(ends)
	p, _ := section.Prismoidal(whole)
	fmt.Printf("%.1f m3\n", p.Cut)
	// Output:
	// 600 m3
	// 533.3 m3
}

// A road 10 m2 in section, its centroid 2 m on the outside of a bend to the right: the
// way of the centroid is longer than the alignment.
func ExampleOnCurve() {
	area := section.Area{Area: 10, Moment: 10 * -2}
	spans, _ := section.Spans([]section.End{{Chainage: 0, Cut: area}, {Chainage: 50, Cut: area}})
	bend, _ := section.OnCurve(spans, 100)
	v := section.AverageEndArea(bend, section.Averaged)
	fmt.Println(v.Cut, "m3, of it for the curve", v.CutCurvature)
	// Output: 510 m3, of it for the curve 10
}

// End areas at an interval and at half of it tell what is left to gain.
func ExampleRichardson() {
	limit, off := section.Richardson(816, 804, 2)
	fmt.Println(limit, off)
	// Output: 800 4
}

// 100 m3 of cut fill the next 100 m; 50 m are hauled for nothing.
func ExampleMassHaul() {
	c, _ := section.MassHaul([]section.Volume{
		{From: 0, To: 100, Cut: 100}, {From: 100, To: 200, Fill: 100},
	}, section.Haulage{FreeHaul: 50})
	fmt.Printf("balance at %.0f m; %.0f m3 hauled %.0f m on average; overhaul %.0f m3 m\n",
		c.Balance[0], c.Hauled, c.Moment/c.Hauled, c.Overhaul)
	// Output: balance at 200 m; 100 m3 hauled 100 m on average; overhaul 5625 m3 m
}

// A cross-section book: two sections of 10 m formation in level ground, 2 and 3 m deep.
func ExampleReadBook() {
	const text = "chainage,offset,ground,formation\n0,-5,12,10\n0,5,12,10\n20,-5,13,10\n20,5,13,10\n"
	book, err := section.ReadBook(context.Background(), strings.NewReader(text), "book.csv", section.BookLimits{})
	if err != nil {
		fmt.Println(err)
		return
	}
	var ends []section.End
	for i := range book {
		s, err := book[i].Section()
		if err != nil {
			fmt.Println(err)
			return
		}
		ends = append(ends, s.End())
	}
	spans, err := section.Spans(ends)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.0f m3\n", section.AverageEndArea(spans, section.Averaged).Cut)
	// Output: 500 m3
}
