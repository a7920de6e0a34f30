package report

import (
	"strings"

	"barrow/volume/takeoff"
)

// any reports whether something is so of any pad.
func (t *text) any(is func(*takeoff.PadResult) bool) bool {
	for i := range t.r.Pads {
		if is(&t.r.Pads[i]) {
			return true
		}
	}
	return false
}

// anyWorks reports whether there is anything outside of the outlines.
func (t *text) anyWorks() bool { return t.any(hasMargin) || t.any(hasBatter) }

// hasMargin reports whether a pad was given a margin on any side.
func hasMargin(p *takeoff.PadResult) bool {
	has := p.Margin > 0
	for _, e := range p.Edges {
		has = has || e.Margin != nil && *e.Margin > 0
	}
	return has
}

// hasBatter reports whether a pad was given a batter on any side.
func hasBatter(p *takeoff.PadResult) bool {
	has := p.CutBatter != nil || p.FillBatter != nil
	for _, e := range p.Edges {
		has = has || e.CutBatter != nil || e.FillBatter != nil
	}
	return has
}

// sideRules says what a pad was given for its sides.
func (t *text) sideRules(p *takeoff.PadResult) string {
	words := []string{t.marginOf(p.Margin), t.battersOf(p.CutBatter, p.FillBatter)}
	if p.CutBatter == nil && p.FillBatter == nil {
		words[1] = "upright (no batter given)"
	}
	for i := range p.Edges {
		words = append(words, t.edgeRule(&p.Edges[i]))
	}
	return strings.Join(words, "; ")
}

func (t *text) marginOf(m float64) string {
	if m == 0 {
		return "margin 0"
	}
	return "margin " + t.n.small(m)
}

func (t *text) battersOf(cut, fill *takeoff.BatterResult) string {
	return "cut " + t.batterOf(cut) + ", fill " + t.batterOf(fill)
}

// batterOf writes a batter with its berms.
func (t *text) batterOf(b *takeoff.BatterResult) string {
	if b == nil {
		return "upright (no batter given)"
	}
	words := takeoff.SlopeWords(b.Along)
	if b.Berm > 0 {
		words += " with berms " + t.n.small(b.Berm) + " wide after each " + t.n.small(b.Every) + " of rise"
	}
	return words
}

// edgeRule writes what is other for some sides.
func (t *text) edgeRule(e *takeoff.EdgeResult) string {
	var words []string
	if e.Margin != nil {
		words = append(words, t.marginOf(*e.Margin))
	}
	if e.Upright {
		words = append(words, "upright")
	}
	if e.CutBatter != nil {
		words = append(words, "cut "+t.batterOf(e.CutBatter))
	}
	if e.FillBatter != nil {
		words = append(words, "fill "+t.batterOf(e.FillBatter))
	}
	if len(words) == 0 {
		words = []string{"as the others"}
	}
	return "from " + e.From + " to " + e.To + ": " + strings.Join(words, ", ")
}
