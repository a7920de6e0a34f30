package takeoff

import (
	"fmt"

	"github.com/paulmach/orb"
)

// cautions tells those who dig what no quantity does, and warns of faces steeper than
// the rule for their soil.
func (r *run) cautions(res *Result) {
	c := cautioning{run: r, res: res}
	res.Cautions = []Caution{}
	c.slopes()
	for i := range r.cutFaces {
		c.support(&r.cutFaces[i])
	}
	for _, o := range r.outlets {
		c.add(o.Caution, o.at)
	}
	if n := len(res.Clearances); n > 0 {
		c.add(Caution{Code: CodeClearances, Message: countOf(n, "clearance") + " given, each listed with its least distance: the works have been compared with no other boundary, service, tree or footing"}, nil)
		return
	}
	c.add(Caution{Code: CodeNoClearances, Message: "no clearance given: the works have been compared with no boundary, service, tree or footing"}, nil)
}

// cautioning is the cautions of a result in the making.
type cautioning struct {
	*run
	res *Result
}

// add adds a caution, with its place in metres.
func (c *cautioning) add(caution Caution, at *orb.Point) {
	if at != nil {
		caution.At = &Place{at[0] / c.unit, at[1] / c.unit}
	}
	c.res.Cautions = append(c.res.Cautions, caution)
}

// soilOf returns the class of soil of a pad; empty: not stated.
func (j *Job) soilOf(pad int) Soil {
	if s := j.Pads[pad].Soil; s != "" {
		return s
	}
	return j.Ground.Soil
}

// slopes holds the faces of each pad against the rule for its soil, and says so where
// there is nothing to hold against another.
func (c *cautioning) slopes() {
	const none = "no soil class stated: no slope has been compared with any rule"
	stated := false
	for i := range c.job.Pads {
		stated = stated || c.job.soilOf(i) != ""
	}
	if !stated {
		c.add(Caution{Code: CodeNoSoil, Message: none}, nil)
		return
	}
	for i := range c.job.Pads {
		pad := c.job.Pads[i].Name
		rule, ok := c.job.soilOf(i).rule()
		if !ok {
			c.add(Caution{Code: CodeNoSoil, Pad: pad, Message: none}, nil)
			continue
		}
		any := false
		for k := range c.cutFaces {
			if f := &c.cutFaces[k]; f.pad == i {
				any = true
				c.compare(f, rule)
			}
		}
		if !any {
			c.add(Caution{Code: CodeNoCutFace, Pad: pad, Source: SlopeSource, Message: fmt.Sprintf("no face in cut to compare with the greatest slope for %s", rule.Soil)}, nil)
		}
	}
}

// compare holds a face against a rule.
func (c *cautioning) compare(f *cutFace, rule SlopeRule) {
	pad, depth := c.job.Pads[f.pad].Name, c.depthOf(f)
	words := c.faceWords(f, depth)
	most := fmt.Sprintf("the greatest slope for %s, %s; in the source %s", rule.Soil, SlopeWords(rule.Along), rule.Notation)
	depths := DepthRules()
	switch {
	case depths[designDepth].Begins(depth):
		c.add(Caution{Code: CodeSlopeBeyond, Pad: pad, Source: SlopeSource, Message: words + ": deeper than the 20 ft (6.10 m) that the table of greatest slopes goes to, so that it has been compared with none: " +
			"slope or support is for a registered professional engineer to design"}, &f.at)
	case f.along >= rule.Along:
		c.add(Caution{Code: CodeSlopeCompared, Pad: pad, Source: SlopeSource, Message: fmt.Sprintf("%s: not steeper than %s. That is no approval: which class the ground is of, and whether the face stands, is for a competent person on site",
			words, most)}, &f.at)
	case !depths[protectionDepth].Begins(depth):
		c.add(Caution{Code: CodeSlopeCompared, Pad: pad, Source: SlopeSource, Message: fmt.Sprintf("%s: STEEPER than %s. The rule asks for a protective system %s, and in less depth "+
			"unless a competent person finds no sign of a cave-in", words, most, depths[protectionDepth].Depth())}, &f.at)
	default:
		message := words + ": STEEPER than " + most + ". It must be flattened, or support designed"
		c.add(Caution{Code: CodeSlopeCompared, Pad: pad, Source: SlopeSource, Message: message}, &f.at)
		c.res.Warnings = append(c.res.Warnings, Remark{Code: WarnSlopeSteeper, At: c.res.Cautions[len(c.res.Cautions)-1].At,
			Message: fmt.Sprintf("pad %s: %s (%s)", pad, message, SlopeSource)})
	}
}

// depthOf is how deep the dig is behind a face, metres: an upright face as it stands, a
// batter with all of the pad below its top.
func (c *cautioning) depthOf(f *cutFace) float64 {
	if f.thickening >= 0 || f.along == 0 {
		return f.depth
	}
	return max(f.depth, c.res.Dug(&c.res.Pads[f.pad])*c.unit)
}

// faceWords names a face with its slope and its depth, for the sheet.
func (c *cautioning) faceWords(f *cutFace, depth float64) string {
	what, from := "face in cut", "deep"
	if f.thickening >= 0 {
		what, from = c.job.Pads[f.pad].Thickenings[f.thickening].Name, "below formation"
		if f.above > leastFace {
			from = "deep with the upright face above it"
		}
	}
	return fmt.Sprintf("%s %s, up to %.2f %s %s", what, SlopeWords(f.along), depth/c.unit, c.res.Units.Length, from)
}

// support says that an upright face needs support where it is as deep as the least depth
// that published rules speak of.
func (c *cautioning) support(f *cutFace) {
	least := DepthRules()[leastDepth]
	if f.along > 0 || !least.Begins(f.depth) {
		return
	}
	c.add(Caution{Code: CodeUprightSupport, Pad: c.job.Pads[f.pad].Name, Source: least.Source, Message: fmt.Sprintf("%s: its support must be designed, and stand before anyone goes near it. Published rules speak of depths %s on",
		c.faceWords(f, f.depth), least.Depth())}, &f.at)
}
