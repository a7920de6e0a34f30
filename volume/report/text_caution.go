package report

import (
	"fmt"
	"strings"

	"barrow/tin"
	"barrow/volume/takeoff"
)

// published is a depth from which a published rule asks for something.
type published struct {
	feet         float64 // 0: the rule counts in metres
	metres       float64
	over         bool // it begins above the depth, not at it
	words, where string
}

// thresholds are such depths, the least first. The figures in feet are as listed by
// a contractors' association and in Appendix F of the rules (testdata/reference,
// SLOPE-1 and SLOPE-2); the numbers of the paragraphs, and the Australian rule, are
// from memory.
func thresholds() []published {
	const foot = 0.3048
	return []published{
		{4, 4 * foot, false, "a ladder, ramp or stair to get out of a trench", "29 CFR 1926.651(c)(2), USA"},
		{0, 1.5, false, "a written statement of the way of working, and a trench secured against collapse and entry", "model WHS Regulations, Australia"},
		{5, 5 * foot, false, "a protective system: slopes, benches, support or shields", "29 CFR 1926.652(a), USA"},
		{20, 20 * foot, true, "a protective system designed by a registered professional engineer", "29 CFR 1926 Subpart P, Appendix F, USA"},
	}
}

// cautions say what a sheet of quantities cannot know.
func (t *text) cautions() {
	t.title("CAUTIONS")
	list := []string{
		"These are quantities, not a way of working. Upright faces and batters are shapes to measure by, and no " +
			"statement that ground will stand or a fill hold: the stability of trenches, faces and batters is for a " +
			"competent person to judge on site, by the local codes.",
	}
	list = append(list, t.deep()...)
	list = append(list, "Find buried services before breaking ground. Plans and levels show none of them.",
		"Water changes what ground can do and what must be moved. None is allowed for.")
	if t.any(cuts) {
		list = append(list, "Footings, walls, trees and paving of neighbours beside or above the works may rest on the ground "+
			"that is dug away, or be held by it: look for them within the reach of the batters and behind upright faces.",
			"Spoil, stockpiles, machines and traffic at the edge press on the face below. 29 CFR 1926.651(j)(2), USA, keeps "+
				"spoil and equipment 2 ft (0.61 m) or more back from the edge of a trench.")
	}
	list = append(list, "Local codes and law, and the judgement of licensed engineers and surveyors, come before this sheet.",
		"A volume is no better than its survey: hold sides, levels and marks above against the drawing first.")
	for _, words := range list {
		t.put("  - ", words)
	}
}

// cuts reports whether a pad is dug anywhere.
func cuts(p *takeoff.PadResult) bool { return p.Cut > 0 }

// deep names the pads that are as deep as published rules speak of, and the rules.
func (t *text) deep() []string {
	deepest := 0.0
	var pads []string
	for i := range t.r.Pads {
		p := &t.r.Pads[i]
		depth := t.dug(p)
		if deepest = max(deepest, depth); len(t.reached(depth)) > 0 {
			pads = append(pads, fmt.Sprintf("%s up to %s %s, with %s", p.Name, fixed(depth, 2), t.n.units.Length, faces(p)))
		}
	}
	if pads == nil {
		return nil
	}
	below := ""
	if t.r.StripRule != nil {
		below = " (counted from the ground before the strip)"
	}
	return []string{
		"Dug as deep as published rules speak of" + below + ": " + strings.Join(pads, "; ") + ".",
		"Those rules: " + strings.Join(t.reached(deepest), "; ") + ". The local code may set other depths: it decides, and a licensed engineer.",
	}
}

// reached lists the published rules that begin at a depth or above it.
func (t *text) reached(depth float64) (rules []string) {
	m := depth * t.metres()
	for _, rule := range thresholds() {
		if m > rule.metres || m == rule.metres && !rule.over {
			rules = append(rules, fmt.Sprintf("%s, %s (%s)", rule.depth(), rule.words, rule.where))
		}
	}
	return rules
}

// faces says what stands round a pad's cut.
func faces(p *takeoff.PadResult) string {
	upright, battered := p.CutBatter == nil, p.CutBatter != nil
	for _, e := range p.Edges {
		upright, battered = upright || e.Upright, battered || e.CutBatter != nil
	}
	switch {
	case upright && battered:
		return "upright faces on some sides"
	case upright:
		return "upright faces (no batter given)"
	}
	return "batters as given"
}

// dug is how deep a pad is dug from the ground as it is: the greatest depth of its
// works or, where its batters climb a slope, from their top down to its lowest
// formation, and with the topsoil.
func (t *text) dug(p *takeoff.PadResult) float64 {
	depth := max(p.MaxCutDepth, p.WorksCutDepth)
	if p.BatterTop != nil {
		depth = max(depth, p.BatterTop.Level-p.Low.Formation)
	}
	rule := t.r.StripRule
	if depth == 0 || rule == nil {
		return depth
	}
	topsoil := rule.Depth
	for _, a := range rule.Areas {
		topsoil = max(topsoil, a.Depth)
	}
	return depth + topsoil
}

// metres is how long the unit of lengths is; a result without one counts in metres,
// as a job does.
func (t *text) metres() float64 {
	unit, _ := tin.ParseUnit(t.n.units.Length)
	return unit.Metres()
}

// depth writes where a rule begins, as it is published.
func (p published) depth() string {
	words := "from "
	if p.over {
		words = "over "
	}
	if p.feet == 0 {
		return words + fmt.Sprintf("%g m", p.metres)
	}
	return words + fmt.Sprintf("%g ft (%.2f m)", p.feet, p.metres)
}
