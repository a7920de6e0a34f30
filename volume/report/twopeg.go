package report

import (
	"fmt"
	"io"

	"barrow/tin"
	"barrow/tin/setout"
	"barrow/volume/takeoff"
)

// TwoPeg writes a two-peg test in words, in the unit of its sights.
func TwoPeg(w io.Writer, test setout.PegTest, r *setout.PegResult, unit tin.Unit) error {
	var s sheet
	s.put("", "Two-peg test of a level's line of sight")
	s.put("", fmt.Sprintf("barrow %s. Readings and lengths in %s.", takeoff.Version, unit))
	s.title("SIGHTS")
	const places = 4
	sight := func(what string, p setout.PegSight, level float64) []string {
		return []string{what, p.Distance.String(), fixed(p.Reading.Float(), places), fixed(level, places), fixed(p.Reading.Float()-level, places)}
	}
	s.table(2, [][]string{
		{"staff", "distance", "reading", "of a level line", "error"},
		sight("first place, on A", test.A1, r.A1), sight("first place, on B", test.B1, r.B1),
		sight("second place, on A", test.A2, r.A2), sight("second place, on B", test.B2, r.B2),
	})
	s.title("LINE OF SIGHT")
	s.put("  ", fmt.Sprintf("%s: %s %s in 100 %s, %s seconds of arc", slant(r.Tilt), fixed(100*max(r.Tilt, -r.Tilt), places), unit, unit, fixed(max(r.Seconds, -r.Seconds), 1)))
	s.put("  ", fmt.Sprintf("B lies %s A as read from the first place, %s as read from the second, %s free of the error",
		aboveOrBelow(r.Apparent1.Float(), places), aboveOrBelow(r.Apparent2.Float(), places), aboveOrBelow(r.Rise, places)))
	far, reading := "A", r.A2
	if test.B2.Distance > test.A2.Distance {
		far, reading = "B", r.B2
	}
	s.put("  ", fmt.Sprintf("With the level still at the second place its line of sight is level when it reads %s on %s.", fixed(reading, places), far))
	s.put("  ", "Curvature and refraction are not corrected for. How much error is too much is for the instrument's instructions and the "+
		"work to say. With equal lengths of back and fore sight it falls out.")
	return s.deliver(w)
}

// aboveOrBelow says how far above or below something is.
func aboveOrBelow(rise float64, places int) string {
	if rise < 0 {
		return fixed(-rise, places) + " BELOW"
	}
	return fixed(rise, places) + " ABOVE"
}

// slant says which way a line of sight goes.
func slant(tilt float64) string {
	switch {
	case tilt > 0:
		return "it RISES away from the level, and readings are too great"
	case tilt < 0:
		return "it FALLS away from the level, and readings are too small"
	}
	return "it is level"
}

// TwoPegJSON writes the same as one JSON object and a line feed.
func TwoPegJSON(w io.Writer, test setout.PegTest, r *setout.PegResult, unit tin.Unit) error {
	type sight struct {
		Distance setout.Decimal `json:"distance"`
		Reading  setout.Decimal `json:"reading"`
		Level    float64        `json:"level_reading"`
	}
	type rise struct {
		First  setout.Decimal `json:"first"`
		Second setout.Decimal `json:"second"`
		Free   float64        `json:"free"`
	}
	of := func(p setout.PegSight, level float64) sight { return sight{p.Distance, p.Reading, level} }
	return writeJSON(w, struct {
		Schema  int             `json:"schema"`
		Program takeoff.Program `json:"program"`
		Units   bookUnits       `json:"units"`
		A1      sight           `json:"a1"`
		B1      sight           `json:"b1"`
		A2      sight           `json:"a2"`
		B2      sight           `json:"b2"`
		Tilt    float64         `json:"tilt"`
		Seconds float64         `json:"seconds"`
		Rise    rise            `json:"rise"`
	}{takeoff.SchemaVersion, takeoff.Program{Name: "barrow", Version: takeoff.Version}, bookUnits{unit.String()},
		of(test.A1, r.A1), of(test.B1, r.B1), of(test.A2, r.A2), of(test.B2, r.B2), r.Tilt, r.Seconds, rise{r.Apparent1, r.Apparent2, r.Rise}})
}
