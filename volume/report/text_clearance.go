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
	for i, words := range t.aboutClearance(c) {
		t.put([]string{"  ", "    "}[min(i, 1)], words)
	}
}

// aboutClearance says what was asked, then how the works lie to it.
func (t *paper) aboutClearance(c *takeoff.ClearanceResult) []string {
	u := t.n.units.Length
	asked := fmt.Sprintf("%s: stay %s, %s %s from it", c.Name, c.Stay, t.n.length(c.Distance), u)
	switch {
	case !c.Kept:
		return []string{asked, fmt.Sprintf("BROKEN by up to %s %s at %s", t.n.length(c.Overlap), u, place(c.At)),
			fmt.Sprintf("%s of works past the line, of %s", t.n.area(c.Area), strings.Join(c.Pads, ", "))}
	case c.Least == nil:
		return []string{asked, "kept: no works"}
	}
	return []string{asked, fmt.Sprintf("kept: %s %s at the nearest, at %s", t.n.length(*c.Least), u, place(c.At))}
}
