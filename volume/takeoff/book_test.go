package takeoff_test

import (
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/section"
	"barrow/tin"
	"barrow/volume/takeoff"
)

func measureBook(t *testing.T, text string, o takeoff.BookOptions) (*takeoff.BookResult, error) {
	t.Helper()
	if o.Unit == 0 {
		o.Unit = tin.Metre
	}
	return takeoff.MeasureBook(t.Context(), takeoff.DataFile{FS: fstest.MapFS{"book.csv": {Data: []byte(text)}}, Name: "book.csv"}, o, takeoff.Limits{})
}

const threeLevels = `chainage,offset,ground,formation
0,-8,13,13
0,-5,,10
0,0,13.5,
0,5,,10
0,9,14,14
20,-7,12,12
20,-5,,10
20,0,12.5,
20,5,,10
20,7.5,12.5,12.5
`

// Two three-level sections by their own formula, w/4 (hl + hr) + c/2 (dl + dr), end areas
// between them and the textbook's prismoidal correction, in both units.
func TestMeasureBookThreeLevel(t *testing.T) {
	a := section.ThreeLevel{Width: 10, Centre: 3.5, LeftOffset: 8, LeftHeight: 3, RightOffset: 9, RightHeight: 4}
	b := section.ThreeLevel{Width: 10, Centre: 2.5, LeftOffset: 7, LeftHeight: 2, RightOffset: 7.5, RightHeight: 2.5}
	for unit, per := range map[tin.Unit]float64{tin.Metre: 1, tin.Foot: 27} {
		r, err := measureBook(t, threeLevels, takeoff.BookOptions{Unit: unit})
		require.NoError(t, err)
		require.Len(t, r.Sections, 2)
		assert.InDelta(t, a.Area(), r.Sections[0].Cut, 1e-9)
		assert.InDelta(t, b.Area(), r.Sections[1].Cut, 1e-9)
		ends := 20 * (a.Area() + b.Area()) / 2
		assert.InDelta(t, ends/per, r.EndArea.Cut, 1e-9)
		assert.Zero(t, r.EndArea.Fill)
		assert.Equal(t, takeoff.MiddlesLike, r.Middles)
		assert.InDelta(t, (ends-section.ThreeLevelCorrection(20, a, b))/per, r.Prismoidal.Cut, 1e-9)
		assert.InDelta(t, r.EndArea.Cut, r.Spans[0].CumulativeCut, 1e-12)
		assert.Empty(t, r.Notes)
		assert.Len(t, r.Inputs, 1)
		assert.Nil(t, r.Spans[0].MiddleCut)
		assert.NotNil(t, r.PrismoidalSpans[0].MiddleCut)
	}
}

// Sections 2, 3 and 1 deep and 10 wide, half way apart: Simpson takes 20/6 (20 + 120 + 10).
func TestMeasureBookMiddles(t *testing.T) {
	const text = "chainage,offset,ground,formation\n0,-5,12,10\n0,5,12,10\n10,-5,13,10\n10,5,13,10\n20,-5,11,10\n20,5,11,10\n"
	r, err := measureBook(t, text, takeoff.BookOptions{})
	require.NoError(t, err)
	assert.Equal(t, takeoff.MiddlesAlternate, r.Middles)
	assert.InDelta(t, 450, r.EndArea.Cut, 1e-9)
	assert.InDelta(t, 500, r.Prismoidal.Cut, 1e-9)
	assert.InDelta(t, 50, r.Correction.Cut, 1e-9)
	require.Len(t, r.PrismoidalSpans, 1)
	assert.InDelta(t, 30, *r.PrismoidalSpans[0].MiddleCut, 1e-9)
	r, err = measureBook(t, text, takeoff.BookOptions{Middles: takeoff.MiddlesLike})
	require.NoError(t, err)
	assert.InDelta(t, 450, r.Prismoidal.Cut, 1e-9, "levels change in line")
	r, err = measureBook(t, text, takeoff.BookOptions{Middles: takeoff.MiddlesNone})
	require.NoError(t, err)
	assert.Nil(t, r.Prismoidal)
	assert.Nil(t, r.Correction)
	assert.Empty(t, r.Notes)
}

func TestMeasureBookErrors(t *testing.T) {
	const one = "chainage,offset,ground,formation\n0,-5,12,10\n0,5,12,10\n"
	for _, tt := range []struct {
		text, code, key string
		o               takeoff.BookOptions
	}{
		{threeLevels, "bad_value", "run_out", takeoff.BookOptions{RunOut: "cone"}},
		{threeLevels, "bad_value", "middles", takeoff.BookOptions{Middles: "both"}},
		{threeLevels, "sections_even", "middles", takeoff.BookOptions{Middles: takeoff.MiddlesAlternate}},
		{one, "too_few_sections", "", takeoff.BookOptions{}},
		{one + "10,-5,12,10\n10,0,13,\n10,5,12,10\n", "sections_unlike", "middles", takeoff.BookOptions{Middles: takeoff.MiddlesLike}},
		{one + "10,-5,12,\n10,5,12,\n", "section_narrow", "", takeoff.BookOptions{}},
	} {
		_, err := measureBook(t, tt.text, tt.o)
		var e *tin.InputError
		require.ErrorAs(t, err, &e)
		assert.Equal(t, []string{tt.code, tt.key}, []string{e.Code, e.Key})
		assert.NotEmpty(t, e.Hint)
	}
	_, err := takeoff.MeasureBook(t.Context(), takeoff.DataFile{FS: fstest.MapFS{"book.csv": {Data: []byte(threeLevels)}}, Name: "book.csv"}, takeoff.BookOptions{Unit: tin.Metre}, takeoff.Limits{Vertices: 3})
	var e *tin.InputError
	require.ErrorAs(t, err, &e)
	assert.Equal(t, "too_many_rows", e.Code)
}
