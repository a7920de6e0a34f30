package report

import (
	"fmt"
	"strings"

	"barrow/tin"
	"barrow/volume/takeoff"
)

// cautions say what a sheet of quantities cannot know.
func (t *text) cautions() {
	t.title("CAUTIONS")
	for _, words := range t.cautionList() {
		t.point(words)
	}
}

func (t *text) cautionList() []string {
	list := []string{
		"These are quantities, not a way of working. Upright faces and batters are shapes to measure by, and no " +
			"statement that ground will stand or a fill hold: the stability of trenches, faces and batters is for a " +
			"competent person to judge on site, by the local codes.",
	}
	list = append(list, t.deep()...)
	list = append(list, cautionWords(t.r.Cautions)...)
	list = append(list, "Find buried services before breaking ground. Plans and levels show none of them.",
		"Water changes what ground can do and what must be moved. None is allowed for.")
	if t.any(cuts) {
		list = append(list, "Footings, walls, trees and paving of neighbours beside or above the works may rest on the ground "+
			"that is dug away, or be held by it: look for them within the reach of the batters and behind upright faces.",
			"Spoil, stockpiles, machines and traffic at the edge press on the face below. 29 CFR 1926.651(j)(2), USA, keeps "+
				"spoil and equipment 2 ft (0.61 m) or more back from the edge of a trench.")
	}
	return append(list, "Local codes and law, and the judgement of licensed engineers and surveyors, come before this sheet.",
		"A volume is no better than its survey: hold sides, levels and marks above against the drawing first.")
}

// cuts reports whether a pad is dug anywhere.
func cuts(p *takeoff.PadResult) bool { return p.Cut > 0 }

// deep names the pads that are as deep as published rules speak of, and the rules.
func (t *text) deep() []string {
	deepest := 0.0
	var pads []string
	for i := range t.r.Pads {
		p := &t.r.Pads[i]
		depth := t.r.Dug(p)
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
	for _, rule := range takeoff.DepthRules() {
		if rule.Begins(depth * t.metres()) {
			rules = append(rules, fmt.Sprintf("%s, %s (%s)", rule.Depth(), rule.Words, rule.Source))
		}
	}
	return rules
}

// cautionWords writes the cautions of a result, each with its pad before and its source
// and place behind it.
func cautionWords(list []takeoff.Caution) (words []string) {
	for _, c := range list {
		s := c.Message
		if c.Pad != "" {
			s = c.Pad + ": " + s
		}
		if c.Source != "" {
			s += " (" + c.Source + ")"
		}
		if c.At != nil {
			s += ", at " + place(c.At)
		}
		words = append(words, s+".")
	}
	return words
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

// metres is how long the unit of lengths is; a result without one counts in metres,
// as a job does.
func (t *text) metres() float64 {
	unit, _ := tin.ParseUnit(t.n.units.Length)
	return unit.Metres()
}
