package report_test

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/setout"
	"barrow/volume/report"
)

func levelBook(t *testing.T, text string, unit tin.Unit, opts setout.BookOptions) (sheet, object string) {
	t.Helper()
	b, err := setout.ReadBook(strings.NewReader(text), "book.csv", unit)
	require.NoError(t, err)
	r, err := b.Reduce(opts)
	require.NoError(t, err)
	var s, o bytes.Buffer
	require.NoError(t, report.LevelBook(&s, r))
	require.NoError(t, report.LevelBookJSON(&o, r))
	for line := range strings.SplitSeq(s.String(), "\n") {
		assert.LessOrEqual(t, utf8.RuneCountInString(line), 80, line)
	}
	require.True(t, json.Valid(o.Bytes()))
	return s.String(), o.String()
}

// A long name stands above its row; what could steer a terminal is taken out; figures
// of every size fit; failed checks and unjudged misclosures are said.
func TestLevelBookSheet(t *testing.T) {
	name := "the north-east corner of the second footing of the old weighbridge"
	s, o := levelBook(t, "point,backsight,intermediate,foresight,level,reduced,code\n"+
		"BM1,1.5001,,,4250.0000,,\n"+name+",,-9.3456,,,,\nA\u200bB,1,,2,,,\nBM2,,,1.1,4249.3999,4249.5000,\n", tin.SurveyFoot, setout.BookOptions{})
	assert.Contains(t, s, "\n  3 "+name+"\n")
	assert.Contains(t, s, "4 A B ")
	assert.Contains(t, s, "-9.3456")
	assert.Contains(t, s, "  DOES NOT HOLD  backsights less foresights = last booked level less first")
	assert.Contains(t, s, "READ THE 3 WARNINGS")
	assert.Contains(t, s, "US survey foot")
	assert.Contains(t, s, "misclosure 0.0002 ftUS")
	assert.Contains(t, o, `"booked_reduced": 4249.5`)
}

// In JSON a decimal of the book is the decimal, with nothing of binary fractions.
func TestLevelBookJSON(t *testing.T) {
	_, o := levelBook(t, "point,backsight,foresight,level\nA,0.1,,0.2\nB,,0.3,0.000\n", tin.Metre,
		setout.BookOptions{Staff: setout.Given(5e6), Allowance: setout.Allowance{Constant: 1000, Per: setout.PerSetUp}})
	for _, want := range []string{`"collimation": 0.3,`, `"by_collimation": 0,`, `"staff": 5,`, `"per": "root_set_up"`, `"within": true`, `"sound": true`, `"warnings": []`} {
		assert.Contains(t, o, want)
	}
	assert.NotContains(t, o, "0.30000000000000004")
	assert.NotContains(t, o, "foresight\": 0,", "an empty field is left out")
}

func TestTwoPegSheet(t *testing.T) {
	sight := func(reading, distance setout.Decimal) setout.PegSight {
		return setout.PegSight{Reading: reading, Distance: distance}
	}
	for want, test := range map[string]setout.PegTest{
		"it RISES away":                 {A1: sight(1503000, 30e6), B1: sight(1203000, 30e6), A2: sight(1707000, 70e6), B2: sight(1401000, 10e6)},
		"it FALLS away":                 {A1: sight(1497000, 30e6), B1: sight(1197000, 30e6), A2: sight(1693000, 70e6), B2: sight(1399000, 10e6)},
		"it is level":                   {A1: sight(1500000, 30e6), B1: sight(1200000, 30e6), A2: sight(1700000, 70e6), B2: sight(1400000, 10e6)},
		"when it\n  reads 1.7000 on B.": {B1: sight(1503000, 30e6), A1: sight(1203000, 30e6), B2: sight(1707000, 70e6), A2: sight(1401000, 10e6)},
	} {
		r, err := setout.TwoPeg(test)
		require.NoError(t, err)
		var s bytes.Buffer
		require.NoError(t, report.TwoPeg(&s, test, r, tin.Metre))
		assert.Contains(t, s.String(), want)
	}
}
