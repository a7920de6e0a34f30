package report

import (
	"strings"

	"barrow/volume/takeoff"
)

// topsoil writes the strip, which is never part of cut.
func (t *text) topsoil() {
	u, rule := &t.r.Total, t.r.StripRule
	if rule == nil && u.StripArea == 0 && u.Topsoil == 0 {
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
	if u.MakeupFill > 0 {
		t.row(2, "fill that makes up for it", columns, t.atLeast(u.MakeupFill, open)+" "+t.n.units.Volume)
	}
	if rule != nil {
		t.put("  ", "Taken off: "+t.stripDepths(rule)+t.stripWhere(rule)+". It is apart from cut, and is no fill.")
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
