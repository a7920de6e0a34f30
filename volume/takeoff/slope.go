package takeoff

import (
	"fmt"
	"math"
	"strconv"

	"barrow/tin/formation"
)

// Caution is something that those who dig must know, and that no quantity tells. That a
// caution is absent never means approval.
type Caution struct {
	Code    string `json:"code"`
	Pad     string `json:"pad,omitempty"` // empty: of all the works
	Message string `json:"message"`
	Source  string `json:"source,omitempty"` // of the rule that was compared
	At      *Place `json:"at,omitempty"`
}

// Codes of cautions, and of the warning that one may be.
const (
	CodeNoSoil         = "no_soil_class"     // no soil class stated: no slope has been compared with any rule
	CodeSlopeCompared  = "slope_compared"    // a face in cut was held against the published maximum
	CodeNoCutFace      = "no_cut_face"       // there is none to hold against it
	CodeSlopeBeyond    = "slope_over_20_ft"  // deeper than the table of maxima goes
	CodeUprightSupport = "upright_support"   // an upright face so deep that support must be designed
	CodeNoOutlet       = "no_outlet"         // formation below all ground round it
	CodeOutletUnknown  = "outlet_unknown"    // the ground round the works is not all surveyed
	CodeNoClearances   = "no_clearances"     // nothing that the works must keep away from was given
	CodeClearances     = "clearances_listed" // they are in the result
	WarnSlopeSteeper   = "slope_steeper"     // a face steeper than the maximum, and as deep as the rule asks for protection
)

// Soil is a class of soil by which a published rule sets its greatest slopes. To say
// which it is, is for a competent person on site.
type Soil string

// Classes of soil, in the words of the rule that they are of: see [SlopeRules].
const (
	SoilStableRock Soil = "stable rock"
	SoilTypeA      Soil = "type A"
	SoilTypeB      Soil = "type B"
	SoilTypeC      Soil = "type C"
)

// SlopeRule is the steepest slope that a published rule allows for a class of soil.
type SlopeRule struct {
	Soil     Soil
	Along    float64 // n in 1V:nH; 0: upright
	Notation string  // as it stands in the source
}

// SlopeSource is where [SlopeRules] are published.
const SlopeSource = "29 CFR 1926 Subpart P, Appendix B, Table B-1, USA"

// SlopeRules are the greatest slopes of excavations under 20 ft, the steepest first. They
// were read as quoted on a page about the regulation, with the angles in EM 385-1-1, 25.C
// and other files; the short-term slope of type A is left out, since nothing here says how
// long a dig stays open.
func SlopeRules() []SlopeRule {
	return []SlopeRule{
		{SoilStableRock, 0, "vertical"},
		{SoilTypeA, 0.75, "3/4:1, horizontal to vertical"},
		{SoilTypeB, 1, "1:1, horizontal to vertical"},
		{SoilTypeC, 1.5, "1 1/2:1, horizontal to vertical"},
	}
}

// rule returns the rule of a class of soil.
func (s Soil) rule() (rule SlopeRule, ok bool) {
	for _, r := range SlopeRules() {
		if r.Soil == s {
			return r, true
		}
	}
	return SlopeRule{}, false
}

// DepthRule is a depth from which a published rule asks for something.
type DepthRule struct {
	Feet   float64 // as published; 0: the rule counts in metres
	Metres float64
	Over   bool   // it begins above the depth, not at it
	Words  string // what is asked for
	Source string
}

// DepthRules are such depths, the least first. The figures in feet are as listed by a
// contractors' association and in Appendix F of the rules (docs/checks.md, SLOPE-1 and
// SLOPE-2); the numbers of the paragraphs, and the Australian rule, are from memory.
func DepthRules() []DepthRule {
	const foot = 0.3048
	return []DepthRule{
		{4, 4 * foot, false, "a ladder, ramp or stair to get out of a trench", "29 CFR 1926.651(c)(2), USA"},
		{0, 1.5, false, "a written statement of the way of working, and a trench secured against collapse and entry", "model WHS Regulations, Australia"},
		{5, 5 * foot, false, "a protective system: slopes, benches, support or shields", "29 CFR 1926.652(a), USA"},
		{20, 20 * foot, true, "a protective system designed by a registered professional engineer", "29 CFR 1926 Subpart P, Appendix F, USA"},
	}
}

// The rules that slopes are compared with, by their places in [DepthRules]: the least
// depth of all, that from which a protective system is asked for, and that at which the
// table of slopes ends.
const (
	leastDepth = iota
	_
	protectionDepth
	designDepth
)

// Begins reports whether the rule asks for something at a depth in metres, to a
// nanometre.
func (d *DepthRule) Begins(metres float64) bool {
	if d.Over {
		return metres > d.Metres+1e-9
	}
	return metres >= d.Metres-1e-9
}

// Depth writes where the rule begins, as it is published.
func (d *DepthRule) Depth() string {
	words := "from "
	if d.Over {
		words = "over "
	}
	if d.Feet == 0 {
		return words + fmt.Sprintf("%g m", d.Metres)
	}
	return words + fmt.Sprintf("%g ft (%.2f m)", d.Feet, d.Metres)
}

// SlopeWords writes a slope 1V:nH so that no country reads it the other way round:
// "1V:2H (1 up, 2 along, 27 deg)".
func SlopeWords(along float64) string {
	if along == 0 {
		return "upright (90 deg)"
	}
	n := strconv.FormatFloat(along, 'f', -1, 64)
	return fmt.Sprintf("%s (1 up, %s along, %.0f deg)", formation.Batter{Along: along}, n, SlopeDegrees(along))
}

// SlopeDegrees returns the angle of a slope 1V:nH from level; 90 where it is upright.
func SlopeDegrees(along float64) float64 { return 90 - math.Atan(along)*180/math.Pi }

// Dug is how deep a pad is dug from the ground as it is: the greatest depth of its works
// or, where its batters climb a slope, from their top down to its lowest formation, and
// with the topsoil. It is in the result's unit, and 0 where there is no cut.
func (r *Result) Dug(p *PadResult) float64 {
	depth := max(p.MaxCutDepth, p.WorksCutDepth)
	if p.BatterTop != nil {
		depth = max(depth, p.BatterTop.Level-p.Low.Formation)
	}
	if depth == 0 || r.StripRule == nil {
		return depth
	}
	topsoil := r.StripRule.Depth
	for _, a := range r.StripRule.Areas {
		topsoil = max(topsoil, a.Depth)
	}
	return depth + topsoil
}
