package report_test

import (
	"bytes"
	"io"
	"math"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/volume/report"
	"barrow/volume/takeoff"
)

// booked is a book of two sections in feet, with ground missing. Its numbers are made up.
func booked() *takeoff.BookResult {
	f := feet()
	return &takeoff.BookResult{
		Schema: 1, Program: f.Program, Name: "book.csv", Units: f.Units, Inputs: []takeoff.Input{}, RunOut: takeoff.RunOutPyramid, Middles: takeoff.MiddlesLike,
		EndArea: takeoff.BookVolumes{Cut: 370.4, Fill: 12.25}, Prismoidal: &takeoff.BookVolumes{Cut: 365.1, Fill: 12}, Correction: &takeoff.BookVolumes{Cut: -5.3, Fill: -0.25},
		Sections: []takeoff.BookSection{
			{Cut: 100, From: -5, To: 5, Profile: profileOf(-5, 5, 90, 0, 100, 100)},
			{Chainage: 100, Cut: 100, Fill: 6.75, From: -5, To: 5, Uncovered: 1.25, Profile: profileOf(-5, 5, 90, 0, 100, 100)}},
		Spans:           []takeoff.BookSpan{{To: 100, SpanVolume: takeoff.SpanVolume{Cut: 370.4, Fill: 12.25, CumulativeCut: 370.4, CumulativeFill: 12.25}}},
		PrismoidalSpans: []takeoff.BookSpan{{To: 100, MiddleCut: ptr(98.5), MiddleFill: ptr(3.25), SpanVolume: takeoff.SpanVolume{Cut: 365.1, Fill: 12, CumulativeCut: 365.1, CumulativeFill: 12}}},
		Notes:           []takeoff.Remark{}, Warnings: []takeoff.Remark{{Code: "works_uncovered", Message: "the section at chainage 100 has formation without ground"}},
	}
}

func TestBookGolden(t *testing.T) {
	var text, object, table, picture bytes.Buffer
	require.NoError(t, report.Book(&text, booked()))
	require.NoError(t, report.BookJSON(&object, booked()))
	golden(t, "book.txt", text.Bytes())
	golden(t, "book.json", object.Bytes())
	for line := range strings.SplitSeq(text.String(), "\n") {
		assert.LessOrEqual(t, utf8.RuneCountInString(line), 80, line)
	}
	assert.Empty(t, notWords.FindAllString(text.String(), -1))
	require.NoError(t, report.BookSectionCSV(&table, booked(), 1))
	assert.Contains(t, table.String(), "# typed section, chainage 100.000\noffset_ft,ground_ft")
	require.NoError(t, report.BookSectionSVG(&picture, booked(), 1))
	assert.Contains(t, picture.String(), "typed section, chainage 100.000")
	assert.Contains(t, picture.String(), "cut 100.00 ft2, fill 6.75 ft2")
}

func TestBookTellsOfErrors(t *testing.T) {
	bad := booked()
	bad.EndArea.Cut = math.NaN()
	assert.Error(t, report.BookJSON(io.Discard, bad))
	assert.ErrorContains(t, report.Book(fullDisk{}, booked()), "disk full")
	assert.ErrorContains(t, report.BookSectionSVG(fullDisk{}, booked(), 0), "disk full")
}
