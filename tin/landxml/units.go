package landxml

import (
	"encoding/xml"
	"fmt"

	"barrow/tin"
)

// units are those that a file states.
type units struct {
	linear tin.Unit
	area   string
	level  string // elevationUnit, empty if not stated
	line   int
}

// linearUnits are the units of length of the schema.
func linearUnits() map[string]tin.Unit {
	return map[string]tin.Unit{
		"millimeter": 0.001, "centimeter": 0.01, "meter": tin.Metre, "kilometer": 1000,
		"foot": tin.Foot, "USSurveyFoot": tin.SurveyFoot, "inch": 0.0254, "mile": 1609.344,
	}
}

// unitsOf reads Metric or Imperial.
func (r *reader) unitsOf(el xml.StartElement) error {
	if el.Name.Local != "Metric" && el.Name.Local != "Imperial" {
		return r.skip()
	}
	stated := attr(el, "linearUnit")
	linear, ok := linearUnits()[stated]
	if !ok {
		return r.fail("unknown_unit", fmt.Sprintf("linearUnit %q is no unit of length", short(stated)),
			`use "meter", "foot" (0.3048 m), "USSurveyFoot" (1200/3937 m), "millimeter", "centimeter", "kilometer", "inch" or "mile"`)
	}
	if r.units != nil && r.units.linear != linear {
		return r.fail("repeated_element", fmt.Sprintf("a second unit of length; line %d states another", r.units.line), "keep one of them")
	}
	r.units = &units{linear: linear, area: attr(el, "areaUnit"), level: attr(el, "elevationUnit"), line: r.line()}
	r.file.Unit = linear
	return r.skip()
}

func (r *reader) noteUnits() {
	if r.units == nil {
		r.note("unit_not_stated", "the file states no unit of length")
		return
	}
	level := r.units.level
	// "feet" stands for both feet.
	same := map[string]bool{"meter": r.units.linear == tin.Metre, "kilometer": r.units.linear == 1000,
		"feet": r.units.linear == tin.Foot || r.units.linear == tin.SurveyFoot, "miles": r.units.linear == 1609.344}
	if level != "" && !same[level] {
		r.note("level_unit_differs", fmt.Sprintf("elevationUnit is %q, the unit of length is %s: levels were taken in the latter, as the schema has it; see whether they fit", short(level), r.units.linear))
	}
}
