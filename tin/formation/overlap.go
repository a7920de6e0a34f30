package formation

import (
	"cmp"
	"fmt"
	"maps"
	"slices"

	"github.com/paulmach/orb"

	"barrow/tin"
)

// overlaps adds up the plan that some pads take from others.
type overlaps map[[2]int]*overlap // by indices of the pad that gives way and the one that rules

type overlap struct {
	area    tin.Sum
	largest float64   // area of the largest cell
	at      orb.Point // its middle
}

func (o *overlaps) add(loser, ruler int, c tin.Cell) {
	if *o == nil {
		*o = make(overlaps)
	}
	pair := [2]int{loser, ruler}
	if (*o)[pair] == nil {
		(*o)[pair] = &overlap{}
	}
	v := (*o)[pair]
	v.area.Add(c.Area)
	if c.Area > v.largest {
		v.largest, v.at = c.Area, cellCentroid(c)
	}
}

// asNotes returns a note per pair of pads, in the order of the list. The format
// takes the pad that gives way, the one that rules, and the area.
func (o overlaps) asNotes(code, format string, pads []Pad, opts Options) []tin.Problem {
	pairs := slices.SortedFunc(maps.Keys(o), func(a, b [2]int) int {
		return cmp.Or(cmp.Compare(a[0], b[0]), cmp.Compare(a[1], b[1]))
	})
	var notes []tin.Problem
	for _, pair := range pairs {
		v := o[pair]
		area := v.area.Value()
		if area <= leastOverlap {
			continue
		}
		notes = append(notes, tin.Problem{Code: code, At: &v.at, Message: fmt.Sprintf(format,
			named(pads[pair[0]], pair[0]).label(), named(pads[pair[1]], pair[1]).label(), opts.area(area))})
	}
	return notes
}

func cellCentroid(c tin.Cell) orb.Point {
	return orb.Point{
		c.Corner[0][0] + ((c.Corner[1][0]-c.Corner[0][0])+(c.Corner[2][0]-c.Corner[0][0]))/3,
		c.Corner[0][1] + ((c.Corner[1][1]-c.Corner[0][1])+(c.Corner[2][1]-c.Corner[0][1]))/3,
	}
}
