package report_test

import (
	"bytes"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/volume/report"
	"barrow/volume/takeoff"
)

// clearances are kept, broken, and without works.
func clearances() []takeoff.ClearanceResult {
	return []takeoff.ClearanceResult{
		{Name: "site boundary", Stay: "inside", Distance: 0.5, Kept: true, Least: ptr(1.24), At: &takeoff.Place{312564, 5812312}, Pads: []string{}},
		{Name: "gas main", Stay: "outside", Distance: 1, Least: ptr(-0.125), Area: 12.75, Overlap: 1.125, At: &takeoff.Place{312540, 5812300},
			Pads: []string{"store", "yard"}},
		{Name: "oak", Stay: "outside", Distance: 3, Kept: true, Pads: []string{}},
	}
}

func TestClearancesGolden(t *testing.T) {
	r := feet()
	r.Clearances = clearances()
	s := text(t, r)
	from := strings.Index(s, "CLEARANCES")
	to := strings.Index(s, "WARNINGS\n")
	require.Positive(t, from)
	require.Greater(t, to, from, "before the warnings")
	golden(t, "clearances.txt", []byte(s[from:to]))

	var b bytes.Buffer
	require.NoError(t, report.JSON(&b, &takeoff.Result{Clearances: clearances()}))
	golden(t, "clearances.json", b.Bytes()[bytes.Index(b.Bytes(), []byte(`"clearances"`)):])
}

func TestClearancesFit80Columns(t *testing.T) {
	r := feet()
	r.Clearances = clearances()
	long := strings.Repeat("W", 200)
	r.Clearances[1].Name, r.Clearances[1].Pads[0], r.Clearances[1].Area = long, long, 1e15
	for line := range strings.SplitSeq(text(t, r), "\n") {
		assert.LessOrEqual(t, utf8.RuneCountInString(line), 80, line)
	}
	assert.Empty(t, notWords.FindAllString(text(t, r), -1))
	assert.NotContains(t, text(t, feet()), "CLEARANCES")
}
