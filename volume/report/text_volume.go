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
	t.put("  ", t.bases())
	t.heads(2, "", volumeColumns(), "cut "+r.Units.Volume, "fill "+r.Units.Volume)
	for i := range r.Pads {
		p := &r.Pads[i]
		t.put("  ", p.Name)
		if t.anyWorks() {
			t.put("    ", t.sideRules(p))
		}
		t.parts(partsOfPad(p))
		t.padFigures(p)
	}
	if len(r.Pads) > 1 {
		t.put("  ", "ALL PADS")
		t.parts(t.partsOfAll())
		if t.anyWorks() {
			t.put("    ", fmt.Sprintf("the works cover %s, %s of it batters", t.n.area(r.Total.WorksArea), t.n.area(r.Total.BatterArea)))
		}
	}
}

// bases says what the volumes are, and from what ground.
func (t *text) bases() string {
	words := "Cut is bank measure, in place before digging; fill is the space to be filled. No factors. " +
		"Net void: the outline with upright faces. As dug: "
	if t.anyWorks() {
		words += "net void, margin and batters together, by what is given for each pad."
	} else {
		words += "with margin and batters too. Here the two are equal: margin 0, upright (no batter given)."
	}
	if rule := t.r.StripRule; rule != nil {
		words += " Depths are from stripped ground: the topsoil (" + t.stripDepths(rule) + ") is in neither cut nor fill."
	}
	return words
}

// volumeParts is the volumes of a pad, or of all of them.
type volumeParts struct {
	outline, margin, batter, dug [2]float64 // cut and fill
	difference                   float64
	makeup, makeupArea           float64
	hasMargin, hasBatter         bool
	open                         bool // part of the outline or margin is not on the ground
	running                      bool // batters run off the ground
}

func partsOfPad(p *takeoff.PadResult) volumeParts {
	return volumeParts{
		outline: [2]float64{p.OutlineCut, p.OutlineFill}, margin: [2]float64{p.MarginCut, p.MarginFill},
		batter: [2]float64{p.BatterCut, p.BatterFill}, dug: [2]float64{p.Cut, p.Fill}, difference: p.CutLessFill,
		makeup: p.MakeupFill, makeupArea: p.MakeupArea, hasMargin: hasMargin(p), hasBatter: hasBatter(p),
		open: p.UncoveredArea > 0, running: p.OpenLength > 0,
	}
}

func (t *text) partsOfAll() volumeParts {
	u := &t.r.Total
	return volumeParts{
		outline: [2]float64{u.OutlineCut, u.OutlineFill}, margin: [2]float64{u.MarginCut, u.MarginFill},
		batter: [2]float64{u.BatterCut, u.BatterFill}, dug: [2]float64{u.Cut, u.Fill}, difference: u.CutLessFill,
		makeup: u.MakeupFill, makeupArea: u.MakeupArea, hasMargin: t.any(hasMargin), hasBatter: t.any(hasBatter),
		open: u.UncoveredArea > 0, running: u.OpenLength > 0,
	}
}

// parts writes the parts of a volume one under the other, what they come to, and
// cut less fill in words. What was measured on part of its ground only is "at
// least".
func (t *text) parts(v volumeParts) {
	both := func(parts [2]float64, open bool) []string {
		return []string{t.atLeast(parts[0], open), t.atLeast(parts[1], open)}
	}
	line := func(label string, parts [2]float64, open bool) {
		t.row(4, label, volumeColumns(), both(parts, open)...)
	}
	line("net void", v.outline, v.open)
	if v.hasMargin {
		line("margin", v.margin, v.open)
	}
	if v.hasBatter {
		line("batters", v.batter, v.open || v.running)
	}
	t.total(4, "as dug", volumeColumns(), both(v.dug, v.open || v.running)...)
	if v.makeup > 0 {
		t.row(6, "of the fill, make-up for topsoil", volumeColumns(), "", t.atLeast(v.makeup, v.open || v.running))
		t.put("        ", "over "+t.n.area(v.makeupArea)+", where the strip goes below the formation")
	}
	onGround := ""
	if v.open || v.running {
		onGround = " on the ground surveyed"
	}
	t.put("    ", t.difference(v.difference)+onGround)
}

// atLeast writes a volume, open if more of it lies where there is no ground.
func (t *paper) atLeast(volume float64, open bool) string {
	if open {
		return "at least " + fixed(volume, t.n.decimals)
	}
	return fixed(volume, t.n.decimals)
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
	if p.BatterArea > 0 {
		t.put("    ", t.n.area(p.BatterArea)+" under batters, in plan")
	}
	t.daylight(p)
	t.greatest("deepest cut", p.MaxCutDepth, p.MaxCutAt)
	if t.deeper(p.WorksCutDepth, p.MaxCutDepth) {
		t.greatest("deepest cut in the batters", p.WorksCutDepth, p.WorksCutAt)
	}
	t.greatest("highest fill", p.MaxFillDepth, p.MaxFillAt)
	if t.deeper(p.WorksFillDepth, p.MaxFillDepth) {
		t.greatest("highest fill in the batters", p.WorksFillDepth, p.WorksFillAt)
	}
	t.batterLevel("cut batters rise to", p.BatterTop, p.OpenLength > 0)
	t.batterLevel("fill batters go down to", p.BatterFoot, p.OpenLength > 0)
}

// daylight writes how long the lines are where batters meet the ground.
func (t *paper) daylight(p *takeoff.PadResult) {
	var parts []string
	if p.CrestLength > 0 {
		parts = append(parts, fmt.Sprintf("%s %s of crest", fixed(p.CrestLength, 1), t.n.units.Length))
	}
	if p.ToeLength > 0 {
		parts = append(parts, fmt.Sprintf("%s %s of toe", fixed(p.ToeLength, 1), t.n.units.Length))
	}
	if len(parts) > 0 {
		t.put("    ", "daylight: "+strings.Join(parts, ", "))
	}
}

// deeper reports whether one depth prints as more than another.
func (t *paper) deeper(a, b float64) bool { return a > b && t.n.length(a) != t.n.length(b) }

// batterLevel writes how far up or down batters go.
func (t *paper) batterLevel(what string, l *takeoff.LevelAt, open bool) {
	if l == nil {
		return
	}
	words := fmt.Sprintf("%s level %s at %s", what, t.withUnit(l.Level), place(&l.At))
	if open {
		words += ", as far as there is ground"
	}
	t.put("    ", words)
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
		t.total(2, "ALL PADS", volumeColumns(), t.n.area(t.r.Total.TrimArea))
	}
	words := "The formation in plan, where each pad rules"
	if t.any(hasMargin) {
		words += ", with its margin"
	}
	if t.any(hasBatter) {
		words += "; faces of batters are not in it"
	}
	t.put("  ", words+".")
}
