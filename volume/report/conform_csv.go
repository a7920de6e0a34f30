package report

import (
	"encoding/csv"
	"fmt"
	"io"
	"strconv"

	"barrow/volume/takeoff"
)

// ConformCSV writes the shots as CSV with a header that names the unit, those held
// against nothing too, with the reason in place of a standing. Numbers are rounded to a
// millionth of the unit; a text that a spreadsheet would take for a formula has an
// apostrophe before it.
func ConformCSV(w io.Writer, r *takeoff.ConformResult) error {
	out, u := csv.NewWriter(w), r.Units.Length
	row := func(cells ...string) { _ = out.Write(cells) } // the error comes again from Error
	row("shot", "line", "easting", "northing", "pad", "measured_"+u, "asked_"+u, "off_"+u, "standing")
	number := func(x float64) string { return millionths(&x) }
	for i := range r.Pads {
		p := &r.Pads[i]
		for _, s := range p.Shots {
			row(harmless(s.Name), strconv.Itoa(s.Line), number(s.At[0]), number(s.At[1]), harmless(p.Name), number(s.Measured), number(s.Asked), number(s.Off), string(s.Standing))
		}
	}
	for _, b := range r.Beside {
		row(harmless(b.Name), strconv.Itoa(b.Line), number(b.At[0]), number(b.At[1]), "", "", "", "", b.Why)
	}
	out.Flush()
	if err := out.Error(); err != nil {
		return fmt.Errorf("report: %w", err)
	}
	return nil
}
