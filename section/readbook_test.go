package section_test

import (
	"context"
	"errors"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/stretchr/testify/require"

	"barrow/section"
	"barrow/tin"
)

func book(t testing.TB, text string) ([]section.BookSection, error) {
	t.Helper()
	return section.ReadBook(context.Background(), strings.NewReader(text), "book.csv", section.BookLimits{})
}

const bookHead = "chainage,offset,ground,formation\n"

// Ground and formation in rows of their own or together, columns in any order.
func TestReadBook(t *testing.T) {
	want := []section.BookSection{
		{Chainage: 0, Ground: []section.Level{{-8, 14}, {0, 13.5}, {7, 14}}, Formation: []section.Level{{-8, 14}, {-5, 12}, {5, 12}, {7, 14}}},
		{Chainage: 20, Ground: []section.Level{{-5, 13}, {5, 13}}, Formation: []section.Level{{-5, 12}, {5, 12}}},
	}
	for _, text := range []string{
		bookHead + "0,-8,14,14\n0,-5,,12\n0,0,13.5,\n0,5,,12\n0,7,14,14\n20,-5,13,12\n20,5,13,12\n",
		"\ufeffcode, Formation ,ground,offset,chainage\n# a remark\nx,14,14,-8,0\nx,12,,-5,0\nx,,13.5,0,0\nx,12,,5,0\nx,14,14,7,0\nx,12,13,-5,20\nx,12,13,5,20\n",
		bookHead + "0,-8,14,\n0,0,13.5,\n0,7,14,\n0,-8,,14\n0,-5,,12\n0,5,,12\n0,7,,14\n20,-5,13,12\n20,5,13,12\n",
	} {
		got, err := book(t, text)
		require.NoError(t, err, text)
		for i := range got {
			require.Positive(t, got[i].Line)
			got[i].Line = 0
		}
		require.Equal(t, want, got)
	}
}

func TestReadBookErrors(t *testing.T) {
	for _, tt := range []struct {
		text, code   string
		line, column int
	}{
		{"", "no_header", 0, 0},
		{"chainage,offset,ground\n", "bad_columns", 1, 1},
		{"chainage,offset,ground,formation,depth\n", "bad_columns", 1, 34},
		{"chainage,offset,ground,formation,ground\n", "bad_columns", 1, 34},
		{bookHead, "too_few_sections", 0, 0},
		{bookHead + "0,1,2\n", "bad_fields", 2, 1},
		{bookHead + "0,1,2,5,3\n", "bad_fields", 2, 1},
		{bookHead + "0,-5,1,0\nx,5,1,0\n", "bad_number", 3, 1},
		{bookHead + "0,,1,0\n", "bad_number", 2, 3},
		{bookHead + "0,1_0,1,0\n", "bad_number", 2, 3},
		{bookHead + "0,1,0x1p4,0\n", "bad_number", 2, 5},
		{bookHead + "0,1,NaN,0\n", "bad_number", 2, 5},
		{bookHead + "0,1,1,1e99\n", "bad_number", 2, 7},
		{bookHead + "0,1,,\n", "level_missing", 2, 5},
		{bookHead + "10,1,1,\n0,1,1,\n", "chainages_order", 3, 1},
		{bookHead + "0,1,1,\n0,0,1,\n", "offsets_order", 3, 3},
		{bookHead + "0,1,\"1,\n", "bad_csv", 2, 9},
	} {
		_, err := book(t, tt.text)
		var e *tin.InputError
		require.ErrorAs(t, err, &e, tt.text)
		require.Equal(t, tt.code, e.Code, tt.text)
		require.Equal(t, "book.csv", e.File)
		require.NotEmpty(t, e.Hint)
		if tt.line > 0 {
			require.Equal(t, []int{tt.line, tt.column}, []int{e.Line, e.Column}, "%s: %v", tt.text, e)
		}
	}
	sections, err := book(t, bookHead+"0,-5,1,\n0,5,1,\n")
	require.NoError(t, err)
	_, err = sections[0].Section()
	var e *tin.InputError
	require.ErrorAs(t, err, &e)
	require.Equal(t, "section_narrow", e.Code)
	require.Equal(t, 2, e.Line)
	for text, want := range map[string]string{strings.Repeat("0,1,1,1\n", 3): "too_many_rows", "#" + strings.Repeat("x", 9000) + "\n0,1,1,1\n": "too_many_bytes"} {
		_, err = section.ReadBook(t.Context(), strings.NewReader(bookHead+text), "x", section.BookLimits{Rows: 2})
		require.ErrorAs(t, err, &e)
		require.Equal(t, want, e.Code)
	}
	broken := errors.New("broken")
	_, err = section.ReadBook(t.Context(), iotest.ErrReader(broken), "x", section.BookLimits{})
	require.ErrorIs(t, err, broken)
}

// Between three-level sections, both in cut, the section half way between like ones makes
// the prismoidal rule take off the textbook's correction.
func TestLikeIsThreeLevelCorrection(t *testing.T) {
	typed := func(chainage float64, s section.ThreeLevel) section.BookSection {
		half := s.Width / 2
		return section.BookSection{Chainage: chainage,
			Ground:    []section.Level{{-s.LeftOffset, s.LeftHeight}, {0, s.Centre}, {s.RightOffset, s.RightHeight}},
			Formation: []section.Level{{-s.LeftOffset, s.LeftHeight}, {-half, 0}, {half, 0}, {s.RightOffset, s.RightHeight}}}
	}
	a := section.ThreeLevel{Width: 10, Centre: 3, LeftOffset: 8, LeftHeight: 2, RightOffset: 10, RightHeight: 3.4}
	b := section.ThreeLevel{Width: 10, Centre: 5, LeftOffset: 12, LeftHeight: 4.5, RightOffset: 11, RightHeight: 4}
	from, to := typed(0, a), typed(30, b)
	middle, ok := section.Like(&from, &to)
	require.True(t, ok)
	var ends [3]section.End
	for i, s := range []section.BookSection{from, middle, to} {
		measured, err := s.Section()
		require.NoError(t, err)
		ends[i] = measured.End()
	}
	spans := []section.Span{{From: ends[0], To: ends[2], Middle: &ends[1]}}
	over, err := section.OverMeasure(spans)
	require.NoError(t, err)
	require.InDelta(t, section.ThreeLevelCorrection(30, a, b), over.Cut, 1e-9)
	to.Ground = to.Ground[:2]
	_, ok = section.Like(&from, &to)
	require.False(t, ok)
}

// Whatever the text, reading and measuring end in sections or in a named error.
func FuzzReadBook(f *testing.F) {
	for _, text := range []string{
		bookHead + "0,-5,13,12\n0,5,13,12\n20,-5,13,12\n20,5,13,12\n",
		bookHead + "0,-8,14,14\n0,-5,,12\n0,0,13.5,\n0,5,,12\n0,7,14,14\n",
		"\ufeffformation,ground,offset,chainage\n#\n1,2,-1e9,-1e9\n1,2,1e9,1e9\n",
		bookHead + "0,0,1,1\n0,0,2,2\n", bookHead + "1,\"2\",3,\n", bookHead + "0,1,1e308,0\n", "chainage,offset\n",
	} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		var e *tin.InputError
		sections, err := section.ReadBook(t.Context(), strings.NewReader(text), "f.csv", section.BookLimits{Rows: 1000})
		if err != nil {
			require.ErrorAs(t, err, &e)
			require.NotEmpty(t, e.Code)
			return
		}
		var ends []section.End
		for i := range sections {
			s, err := sections[i].Section()
			if err != nil {
				require.ErrorAs(t, err, &e)
				return
			}
			ends = append(ends, s.End())
		}
		if _, err := section.Spans(ends); err != nil {
			require.ErrorAs(t, err, &e)
		}
	})
}
