package report

import (
	"fmt"
	"strings"

	"barrow/volume/takeoff"
)

// clearances lists what the works must keep away from, or within.
func (t *text) clearances() {
	if len(t.r.Clearances) == 0 {
		return
	}
	t.title("CLEARANCES")
	for i := range t.r.Clearances {
		t.clearance(&t.r.Clearances[i])
	}
	t.put("  ", "Held against outline, margin and batter in plan. A service's place on paper is not its place in the "+
		"ground, and a distance that is kept says nothing about the stability of what stands beside the dig.")
}

func (t *text) clearance(c *takeoff.ClearanceResult) {
	u := t.n.units.Length
	t.put("  ", fmt.Sprintf("%s: stay %s, %s %s from it", c.Name, c.Stay, t.n.length(c.Distance), u))
	switch {
	case !c.Kept:
		t.put("    ", fmt.Sprintf("BROKEN by up to %s %s at %s", t.n.length(c.Overlap), u, place(c.At)))
		t.put("    ", fmt.Sprintf("%s of works past the line, of %s", t.n.area(c.Area), strings.Join(c.Pads, ", ")))
	case c.Least == nil:
		t.put("    ", "kept: no works")
	default:
		t.put("    ", fmt.Sprintf("kept: %s %s at the nearest, at %s", t.n.length(*c.Least), u, place(c.At)))
	}
}
