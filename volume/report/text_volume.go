package report

import (
	"fmt"
	"strings"

	"barrow/volume/takeoff"
)

// volumeColumns are where the cut and the fill end.
func volumeColumns() []int { return []int{56, 80} }

func (t *text) volumes() {
	r := t.r
	t.title("VOLUMES")
	t.put("  ", "Cut is bank measure, in place before digging; fill is the space to be filled. No factors. "+
		"Net void: the outline with upright faces. As dug: with margin and batters too. "+
		"Here the two are equal: margin 0, upright (no batter given).")
	t.row(2, "", volumeColumns(), "cut "+r.Units.Volume, "fill "+r.Units.Volume)
	for i := range r.Pads {
		p := &r.Pads[i]
		open := p.UncoveredArea > 0 || p.OpenLength > 0
		t.put("  ", p.Name)
		t.bases(p.OutlineCut, p.OutlineFill, p.Cut, p.Fill, p.CutLessFill, open)
		t.padFigures(p)
	}
	if len(r.Pads) > 1 {
		t.put("  ", "ALL PADS")
		u := &r.Total
		t.bases(u.OutlineCut, u.OutlineFill, u.Cut, u.Fill, u.CutLessFill, u.UncoveredArea > 0 || u.OpenLength > 0)
	}
}

// bases writes both bases of measurement, and the difference in words.
func (t *text) bases(netCut, netFill, cut, fill, difference float64, open bool) {
	atLeast, onGround := "", ""
	if open {
		atLeast, onGround = "at least ", " on the ground surveyed"
	}
	v := func(x float64) string { return atLeast + fixed(x, t.n.decimals) }
	t.row(4, "net void", volumeColumns(), v(netCut), v(netFill))
	t.row(4, "as dug", volumeColumns(), v(cut), v(fill))
	t.put("    ", t.difference(difference)+onGround)
}

func (t *paper) difference(d float64) string {
	switch {
	case strings.Trim(fixed(d, t.n.decimals), "-0.") == "":
		return "cut equals fill"
	case d > 0:
		return "cut exceeds fill by " + t.n.volume(d)
	}
	return "fill exceeds cut by " + t.n.volume(-d)
}

// padFigures writes the areas and depths behind a pad's volumes.
func (t *text) padFigures(p *takeoff.PadResult) {
	var parts []string
	add := func(area float64, what string) {
		if area > 0 {
			parts = append(parts, t.n.area(area)+" "+what)
		}
	}
	add(p.CutArea, "in cut")
	add(p.FillArea, "in fill")
	add(p.LevelArea, "at formation already")
	add(p.UncoveredArea, "without ground, NOT MEASURED")
	if len(parts) > 0 {
		t.put("    ", strings.Join(parts, ", "))
	}
	t.greatest("deepest cut", p.MaxCutDepth, p.MaxCutAt)
	t.greatest("highest fill", p.MaxFillDepth, p.MaxFillAt)
}

// greatest writes a greatest depth with its place, if there is one.
func (t *paper) greatest(what string, depth float64, at *takeoff.Place) {
	if at != nil {
		t.put("    ", fmt.Sprintf("%s %s %s at %s", what, t.n.length(depth), t.n.units.Length, place(at)))
	}
}

func (t *text) trim() {
	t.title("AREA TO TRIM AND ROLL")
	for _, p := range t.r.Pads {
		t.row(2, p.Name, volumeColumns(), t.n.area(p.TrimArea))
	}
	if len(t.r.Pads) > 1 {
		t.row(2, "ALL PADS", volumeColumns(), t.n.area(t.r.Total.TrimArea))
	}
	t.put("  ", "The formation in plan, where each pad rules.")
}
