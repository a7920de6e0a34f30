package report

import (
	"strings"

	"barrow/volume/takeoff"
)

// topsoil writes the strip, which is never part of cut.
func (t *text) topsoil() {
	u, rule := &t.r.Total, t.r.StripRule
	if rule == nil && u.StripArea == 0 && u.Topsoil == 0 && len(u.Respread) == 0 {
		return
	}
	t.title("TOPSOIL")
	columns := volumeColumns()
	open := u.UncoveredArea > 0 || u.OpenLength > 0
	if u.StripArea > 0 {
		t.row(2, "area to strip", columns, t.atLeastArea(u.StripArea, open))
	}
	if u.Topsoil > 0 {
		t.row(2, "topsoil, bank measure", columns, t.atLeast(u.Topsoil, open)+" "+t.n.units.Volume)
	}
	if len(u.Strip) > 1 {
		for _, s := range u.Strip {
			t.row(2, "  of it "+t.n.small(s.Depth)+" over "+t.n.area(s.Area), columns, fixed(s.Volume, t.n.decimals)+" "+t.n.units.Volume)
		}
	}
	for _, r := range u.Respread {
		t.row(2, "spread again"+unlessEmpty(": ", r.Name)+", "+t.n.small(r.Depth)+" over "+t.n.area(r.Area), columns, fixed(r.Volume, t.n.decimals)+" "+t.n.units.Volume)
	}
	t.topsoilLeft(u.TopsoilLeft)
	if u.MakeupFill > 0 {
		t.row(2, "fill that makes up for it", columns, t.atLeast(u.MakeupFill, open)+" "+t.n.units.Volume)
	}
	if rule != nil {
		t.put("  ", "Taken off: "+t.stripDepths(rule)+t.stripWhere(rule)+". It is apart from cut, and is no fill.")
	}
}

// topsoilLeft writes what is left over or short after the areas are spread.
func (t *text) topsoilLeft(left *float64) {
	switch {
	case left == nil:
	case *left < 0:
		t.row(2, "topsoil short, bank measure", volumeColumns(), t.n.volume(-*left))
	default:
		t.row(2, "topsoil left over, bank measure", volumeColumns(), t.n.volume(*left))
	}
}

// atLeastArea is atLeast of an area.
func (t *paper) atLeastArea(area float64, open bool) string {
	if open {
		return "at least " + t.n.area(area)
	}
	return t.n.area(area)
}

// stripDepths writes how deep the topsoil is, and where it is another.
func (t *text) stripDepths(rule *takeoff.StripRule) string {
	words := []string{t.n.small(rule.Depth)}
	if rule.Depth == 0 {
		words[0] = "none outside stated areas"
	}
	for _, a := range rule.Areas {
		words = append(words, "in area "+a.Name+" "+t.n.small(a.Depth))
	}
	return strings.Join(words, ", ")
}

// stripWhere writes how far the strip goes.
func (t *text) stripWhere(rule *takeoff.StripRule) string {
	switch {
	case rule.Within:
		return ", over the area stated for it"
	case rule.Beyond > 0:
		return ", over the works and " + t.n.small(rule.Beyond) + " beyond them"
	}
	return ", over the works and no farther: its rim is an upright face"
}
