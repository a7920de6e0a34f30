package report

import (
	"fmt"
	"math"
	"strings"

	"barrow/volume/takeoff"
)

// ground writes how the figures came about.
func (t *text) ground() {
	t.title("HOW THE FIGURES CAME ABOUT")
	t.rules()
	t.sources(t.r.Scale, t.r.Inputs)
}

// rules writes what the surveys are, and by which rules their figures came about.
func (t *text) rules() {
	r, g := t.r, &t.r.Ground
	for i := range r.Surveys {
		t.survey(&r.Surveys[i])
	}
	merged := ""
	if g.Merged > 0 {
		merged = fmt.Sprintf(" (%d at the place of another)", g.Merged)
	}
	t.item("Ground", fmt.Sprintf("%s%s, %s; %s; %s; levels %s to %s",
		countOf(g.Points, "spot or vertex", "spots and vertices"), merged, countOf(g.LeftOut, "left out", "left out"),
		countOf(g.Triangles, "triangle", "triangles"), t.n.area(g.Area), t.n.level(g.LevelMin), t.withUnit(g.LevelMax)))
	t.item("", fmt.Sprintf("half of its edges are shorter than %s %s; the place of the works farthest from any spot is %s %s from it",
		fixed(g.EdgeMedian, 1), r.Units.Length, fixed(r.Total.MaxGap, 1), r.Units.Length))
	if r.Total.ThinArea > 0 {
		t.item("", fmt.Sprintf("%s of the works lie on triangles with a side over 5 times that length", t.n.area(r.Total.ThinArea)))
	}
	t.formation()
	t.item("Volumes", "depth is ground less formation. The ground is a plane on each triangle between spots: each piece "+
		"of triangle over formation is a prism, split where cut turns to fill, and the prisms are added up")
}

// sources writes scale and files, and how figures are rounded.
func (t *paper) sources(scale float64, inputs []takeoff.Input) {
	t.files(scale, inputs)
	t.rounding()
}

func (t *paper) rounding() {
	t.item("Rounding", "each figure by itself: a sum may differ from its parts in the last place")
}

// scaled writes the scale of the grid, where it is not that of the ground.
func (t *paper) scaled(scale float64) {
	if scale != 1 {
		t.item("Scale", fmt.Sprintf("%s grid / ground: lengths are divided by it, areas and volumes by its square",
			strings.TrimRight(fixed(scale, 9), "0")))
	}
}

// files writes scale and files.
func (t *paper) files(scale float64, inputs []takeoff.Input) {
	t.scaled(scale)
	for _, in := range inputs {
		points := ""
		if in.Points > 0 {
			points = ", " + countOf(in.Points, "point", "points")
		}
		t.item("File", fmt.Sprintf("%s%s, sha256 %s...", in.Path, points, in.SHA256[:min(16, len(in.SHA256))]))
	}
}

func (t *paper) survey(s *takeoff.SurveyResult) {
	name := s.Name
	if name == "" {
		name = "survey in memory"
	}
	words := fmt.Sprintf("%s: %s, %d used, %d left out by code, %d without a level", name,
		countOf(s.Points, "point", "points"), s.Used, s.LeftOut, s.NoLevel)
	if s.Breaklines > 0 {
		words += ", " + countOf(s.Breaklines, "breakline", "breaklines")
	}
	if s.Replaced+s.ReplacedVertices+s.ReplacedStretches > 0 {
		words += "; a later survey replaces " + replaced(s.Replaced, s.ReplacedVertices, s.ReplacedStretches)
	}
	t.item("Survey", words)
	if s.Replaces != nil {
		t.replaces(s.Replaces)
	}
	if s.Stripped {
		t.item("", "taken after the topsoil was stripped")
	}
	if b := s.Benchmark; b != nil {
		t.item("", fmt.Sprintf("benchmark %s: plan %s less measured %s = %s, added to every level",
			b.Name, t.n.level(b.Plan), t.n.level(b.Measured), t.withUnit(s.Shift)))
	} else {
		t.item("", "no benchmark given: levels are used as measured")
	}
	for _, c := range s.Checks {
		off := "as planned"
		if !t.n.zero(c.Off) {
			side := "HIGH"
			if c.Off < 0 {
				side = "LOW"
			}
			off = t.n.small(math.Abs(c.Off)) + " " + side
		}
		t.item("", fmt.Sprintf("check %s: plan %s, measured %s, after the shift %s", c.Name, t.n.level(c.Plan), t.n.level(c.Measured), off))
	}
	if len(s.Codes) == 0 || len(s.Codes) == 1 && s.Codes[0].Code == "" {
		return
	}
	var codes []string
	for _, c := range s.Codes {
		code := c.Code
		if code == "" {
			code = "(none)"
		}
		use := c.Use
		if use == takeoff.UseLine {
			use = "breakline"
		}
		codes = append(codes, fmt.Sprintf("%s %d %s", code, c.Count, use))
	}
	t.item("", "codes: "+strings.Join(codes, ", "))
}

// replaces writes what a survey took the place of.
func (t *paper) replaces(r *takeoff.ReplaceResult) {
	t.item("", fmt.Sprintf("replaces the surveys above it inside an area of %s: %s left out",
		t.n.area(r.Area), replaced(r.Points, r.Vertices, r.Stretches)))
	s := r.Step
	if s == nil {
		t.item("", "its levels were not held against those of the earlier surveys")
		return
	}
	t.item("", fmt.Sprintf("along the edge of its ground, %s %s long, it lies %s in the mean and at most %s (at %s) from the earlier ground; tolerance %s",
		fixed(s.Length, 1), t.n.units.Length, t.step(s.Mean), t.step(s.Greatest), place(&s.At), t.n.small(s.Tolerance)))
}

// replaced writes what is left out of surveys since a later one replaces it.
func replaced(points, vertices, stretches int) string {
	return fmt.Sprintf("%s, %s and %s of breaklines", countOf(points, "point", "points"),
		countOf(vertices, "vertex", "vertices"), countOf(stretches, "stretch", "stretches"))
}

// step writes a difference of levels with its side.
func (t *paper) step(d float64) string {
	switch {
	case t.n.zero(d):
		return t.n.small(0)
	case d > 0:
		return t.n.small(d) + " HIGH"
	}
	return t.n.small(-d) + " LOW"
}

func (t *paper) remarks(title string, remarks []takeoff.Remark) {
	if len(remarks) == 0 {
		return
	}
	t.title(title)
	for i := range remarks {
		t.point(remarkWords(&remarks[i]))
	}
}

// remarkWords is a note or warning with its place.
func remarkWords(m *takeoff.Remark) string {
	if m.At != nil {
		return m.Message + " (at " + place(m.At) + ")"
	}
	return m.Message
}
