package report

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"strconv"

	"barrow/volume/takeoff"
)

// SectionCSV writes the profile of one section, by its place in the result: a comment
// that names it, a header with the unit, and for each point its offset and the levels of
// ground, stripped ground and formation, empty where there is none. Numbers are rounded
// to a millionth of the unit.
func SectionCSV(w io.Writer, r *takeoff.SectionsResult, alignment, section int) error {
	a := &r.Alignments[alignment]
	s, u := &a.Sections[section], r.Units.Length
	var b bytes.Buffer
	fmt.Fprintf(&b, "# %s, %s%s\n", inComment(a.Name), chainageOf(s, 3), unlessEmpty(" ", s.Side))
	fmt.Fprintf(&b, "offset_%[1]s,ground_%[1]s,stripped_ground_%[1]s,formation_%[1]s\n", u)
	for _, p := range s.Profile {
		fmt.Fprintf(&b, "%s,%s,%s,%s\n", millionths(&p.Offset), millionths(p.Ground), millionths(p.Stripped), millionths(p.Formation))
	}
	if _, err := w.Write(b.Bytes()); err != nil {
		return fmt.Errorf("report: %w", err)
	}
	return nil
}

func chainageOf(s *takeoff.SectionResult, decimals int) string {
	return "chainage " + fixed(s.Chainage, decimals)
}

// unlessEmpty writes text after a lead, and nothing where there is none.
func unlessEmpty(lead, text string) string {
	if text == "" {
		return ""
	}
	return lead + text
}

func millionths(x *float64) string {
	if x == nil {
		return ""
	}
	return strconv.FormatFloat(math.Round(*x*1e6)/1e6+0, 'f', -1, 64)
}
