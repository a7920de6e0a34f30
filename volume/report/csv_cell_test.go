package report_test

import (
	"bytes"
	"encoding/csv"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/pointfile"
	"barrow/volume/report"
	"barrow/volume/takeoff"
)

// cells reads all cells of CSV, comments as a spreadsheet takes them apart.
func cells(t *testing.T, text []byte) (list []string) {
	t.Helper()
	for line := range strings.Lines(string(text)) {
		if strings.HasPrefix(line, "#") {
			list = append(list, strings.FieldsFunc(line, func(r rune) bool { return strings.ContainsRune(",;\t", r) })...)
			continue
		}
		r := csv.NewReader(strings.NewReader(line))
		row, err := r.Read()
		require.NoError(t, err, line)
		list = append(list, row...)
	}
	return list
}

// Whatever things are called, no cell of any CSV runs when a spreadsheet opens it, and
// numbers are numbers.
func TestCSVCellsAreHarmless(t *testing.T) {
	for _, name := range []string{"=cmd()", "+1", "-1", "@SUM(A1)", "\t=1", " =1", "\r=1", "\n+1", "＝1", "＋1", "－1", "＠x", `a,=1,"=2";=3`, "x\t=1\r\n=2"} {
		r := terraceSetOut(t, tin.Metre, func(j *takeoff.Job, o *takeoff.SetOutOptions) {
			j.Pads[0].Name = name
			o.PegTops = nil
		})
		sections := longAxis()
		sections.Alignments[0].Name = name
		haul := hauled(0, 10, -5)
		haul.Alignments[0].Name = name
		var pegs, section, mass, shots, points bytes.Buffer
		require.NoError(t, report.PointsCSV(&points, []tin.Point{{Name: name, Code: name, E: -1, N: -2.5, Level: -0.25}}))
		require.NoError(t, report.SetOutCSV(&pegs, r))
		require.NoError(t, report.SectionCSV(&section, sections, 0, 0))
		require.NoError(t, report.HaulCSV(&mass, haul, 0))
		require.NoError(t, report.ConformCSV(&shots, &takeoff.ConformResult{
			Units: takeoff.Units{Length: "m"}, Pads: []takeoff.ConformPad{{Name: name, Shots: []takeoff.ConformShot{{Name: name, Off: -0.25}}}},
			Beside: []takeoff.BesideShot{{Name: name, Why: "off"}},
		}))
		for what, text := range map[string][]byte{"pegs": pegs.Bytes(), "section": section.Bytes(), "mass haul": mass.Bytes(), "shots": shots.Bytes(), "points": points.Bytes()} {
			assert.NotContains(t, string(text), "\t", what)
			assert.NotContains(t, string(text), "\r", what)
			for _, cell := range cells(t, text) {
				if _, err := strconv.ParseFloat(cell, 64); err == nil {
					continue // a figure, below 0 too
				}
				bare := strings.TrimSpace(cell)
				assert.NotContains(t, "=+-@＝＋－＠", string([]rune(bare + "|")[0]), "%s of %q: %q", what, name, cell)
			}
		}
		assert.Contains(t, shots.String(), ",-0.25,")
		assert.Contains(t, points.String(), ",-1,-2.5,-0.25,")

		// Read back as a point file, a number keeps its apostrophe.
		read, err := pointfile.Read(t.Context(), bytes.NewReader(pegs.Bytes()), "pegs.csv", pointfile.Options{})
		require.NoError(t, err)
		require.Len(t, read.Points, len(r.Pegs))
	}
}
