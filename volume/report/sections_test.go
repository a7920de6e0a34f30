package report_test

import (
	"bytes"
	"encoding/csv"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/volume/report"
	"barrow/volume/takeoff"
)

func sectionSheet(t *testing.T, r *takeoff.SectionsResult) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, report.Sections(&b, r))
	return b.String()
}

func picture(t *testing.T, r *takeoff.SectionsResult, section int) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, report.SectionSVG(&b, r, 0, section))
	return b.String()
}

func TestSectionsGolden(t *testing.T) {
	for name, r := range map[string]*takeoff.SectionsResult{"sections": cutUp(), "sections_feet": longAxis()} {
		golden(t, name+".txt", []byte(sectionSheet(t, r)))
		var b bytes.Buffer
		require.NoError(t, report.SectionsJSON(&b, r))
		golden(t, name+".json", b.Bytes())
	}
	for _, section := range []int{2, 4} {
		name := "section_" + report.SectionNumber(section)
		var b bytes.Buffer
		require.NoError(t, report.SectionCSV(&b, cutUp(), 0, section))
		golden(t, name+".csv", b.Bytes())
		golden(t, name+".svg", []byte(picture(t, cutUp(), section)))
	}
}

func TestSectionsFit80Columns(t *testing.T) {
	wide := cutUp()
	long := strings.Repeat("W", 200)
	wide.Job, wide.Alignments[0].Name = long, long
	s := &wide.Alignments[0].Spans[1].EndArea
	s.Cut, s.CumulativeCut, s.CumulativeFill = 123456789.5, 1234567890.5, 1e15
	wide.Alignments[0].Sections[1].Chainage, wide.Alignments[0].Sections[1].SquareCut = -12345.678, 123456.78
	for _, r := range []*takeoff.SectionsResult{cutUp(), longAxis(), wide, {}} {
		for line := range strings.SplitSeq(sectionSheet(t, r), "\n") {
			assert.LessOrEqual(t, utf8.RuneCountInString(line), 80, line)
		}
		assert.Empty(t, notWords.FindAllString(sectionSheet(t, r), -1))
	}
}

func TestSectionsSay(t *testing.T) {
	s := sectionSheet(t, cutUp())
	assert.Contains(t, s, "READ THE 1 WARNING")
	assert.Regexp(t, `prisms, as the takeoff +at least 144.2 +at least 10.0\n`, s)
	assert.Contains(t, s, "1.250 m of formation without ground: areas are at least those given")
	assert.Contains(t, s, "Agreement of methods tests the arithmetic, not the survey")
	assert.Regexp(t, `003 +115.000 behind +15.50`, s)
	assert.Regexp(t, `004 +115.000 +ahead +5.50`, s)
	assert.Regexp(t, `of the volume, for bends +-0.8 +\+0.1`, s)
	assert.Contains(t, s, "with 1 bend. 5 sections: every 10 m, where")
	other := sectionSheet(t, longAxis())
	assert.NotContains(t, other, "at least 37")
	assert.NotContains(t, other, "for bends")
	assert.NotContains(t, other, "Alignment 1 of the files")
	assert.Contains(t, other, "No alignment is given: the long axis of the smallest rectangle")
	assert.Regexp(t, `per cent +0.000 % +no prisms`, other)
}

func TestSectionCSV(t *testing.T) {
	var b bytes.Buffer
	r := longAxis()
	r.Alignments[0].Name = "a,\n\"b\""
	r.Alignments[0].Sections[0].Profile[1].Ground = nil
	r.Alignments[0].Sections[0].Profile[0].Offset = -1e-9
	require.NoError(t, report.SectionCSV(&b, r, 0, 0))
	reader := csv.NewReader(&b)
	reader.Comment = '#'
	rows, err := reader.ReadAll()
	require.NoError(t, err)
	assert.Equal(t, []string{"offset_ft", "ground_ft", "stripped_ground_ft", "formation_ft"}, rows[0])
	assert.Equal(t, []string{"0", "100", "", ""}, rows[1])
	assert.Equal(t, []string{"-5", "", "", ""}, rows[2])
	assert.Equal(t, []string{"5", "100", "100", "90"}, rows[4])
	assert.Len(t, rows, 1+6)
}

// textBox is the room that a text takes up, in pixels, reckoned generously.
type textBox struct {
	left, right, top, foot float64
	words                  string
}

// boxes reads a picture and returns its texts, and the size of the picture.
func boxes(t *testing.T, svg string) (list []textBox, width, height float64) {
	t.Helper()
	d := xml.NewDecoder(strings.NewReader(svg))
	var open *textBox
	var anchor string
	var size float64
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return list, width, height
		}
		require.NoError(t, err)
		switch e := token.(type) {
		case xml.StartElement:
			at := map[string]string{}
			for _, a := range e.Attr {
				at[a.Name.Local] = a.Value
			}
			number := func(key string) float64 {
				x, err := strconv.ParseFloat(at[key], 64)
				require.NoError(t, err, "%v", e)
				return x
			}
			switch e.Name.Local {
			case "svg":
				_, err := fmt.Sscanf(at["viewBox"], "0 0 %f %f", &width, &height)
				require.NoError(t, err)
			case "text":
				size, anchor = 13, at["text-anchor"]
				if at["font-size"] != "" {
					size = number("font-size")
				}
				open = &textBox{left: number("x"), top: number("y") - size, foot: number("y") + 0.2*size}
			}
		case xml.CharData:
			if open != nil {
				open.words = string(e)
				wide := 0.62 * size * float64(utf8.RuneCountInString(open.words))
				switch anchor {
				case "end":
					open.left -= wide
				case "middle":
					open.left -= wide / 2
				}
				open.right = open.left + wide
			}
		case xml.EndElement:
			if open != nil {
				list, open = append(list, *open), nil
			}
		}
	}
}

// Flat and deep sections, 10 m and 300 m wide, level or rolling, with long names: no
// text runs into another or out of the picture.
func TestSectionSVGHasRoom(t *testing.T) {
	for _, wide := range []float64{1, 10, 300, 12345} {
		for _, deep := range []float64{0, 0.02, 0.5, 4, 40, 900} {
			for _, level := range []float64{0, 61.5, -4321, 98765.4} {
				for name, ground := range map[string][]float64{"level": {level + deep, level + deep}, "rolling": rolling(60, level, deep), "below": {level - deep, level - deep/2, level - deep}} {
					r := oneSection(profileOf(-wide/3, 2*wide/3, level, 0.1, ground...))
					r.Job = strings.Repeat("store and yard ", 12)
					r.Alignments[0].Sections[0].Skew, r.Alignments[0].Sections[0].Uncovered = 12, 3
					list, width, height := boxes(t, picture(t, r, 0))
					what := fmt.Sprintf("%s, %v wide, %v deep, level %v", name, wide, deep, level)
					require.Greater(t, len(list), 14, what)
					for i, b := range list {
						require.True(t, b.left >= 0 && b.right <= width && b.top >= 0 && b.foot <= height, "%s: %q runs out: %v", what, b.words, b)
						for _, c := range list[:i] {
							require.False(t, b.left < c.right && c.left < b.right && b.top < c.foot && c.top < b.foot, "%s: %q and %q", what, b.words, c.words)
						}
					}
				}
			}
		}
	}
}

func TestSectionSVGSays(t *testing.T) {
	s := picture(t, cutUp(), 4)
	for _, want := range []string{"centre line, chainage 120.000", "cut 10.50 m2, fill 2.50 m2", "turned 16.8 degrees at a bend; square to the alignment cut 10.05 m2, fill 2.39 m2",
		"1.250 m of formation without ground", "times as large as offsets", `url(#section-0-4-cut)`, `url(#section-0-4-fill)`, ">cut<", ">fill<", "stripped ground", "offset, m", "level, m"} {
		assert.Contains(t, s, want)
	}
	deep := picture(t, longAxis(), 0)
	assert.Contains(t, deep, "levels and offsets are drawn to one scale")
	assert.NotContains(t, deep, "stripped ground")
	none := picture(t, cutUp(), 0)
	assert.Contains(t, none, "no works at this chainage")
	assert.NotContains(t, none, "<path d=\"M2")
	assert.Contains(t, picture(t, cutUp(), 3), "chainage 115.000 (what lies ahead of it)")
}

// Names come from files of strangers.
func TestSectionSVGEscapes(t *testing.T) {
	r := cutUp()
	r.Job, r.Alignments[0].Name = "</text><script>alert(1)</script>\x1b[31m\x00", "a]]>&amp;\"'\n\u202e"
	s := picture(t, r, 2)
	list, _, _ := boxes(t, s)
	assert.Equal(t, "</text><script>alert(1)</script> [31m", list[0].words)
	assert.NotContains(t, s, "<script")
	assert.NotContains(t, s, "\x1b")
	assert.NotContains(t, s, "\u202e")
}

// A picture without numbers that can be drawn is none.
func TestSectionSVGNumbers(t *testing.T) {
	for _, p := range [][]takeoff.ProfilePoint{nil, {{Offset: 3}}, {{Offset: 3, Ground: ptr(5)}}, profileOf(0, 1e-6, 5, 0, 5, 5), profileOf(-1e7, 1e7, -1e6, 0, 1e6, 1e6)} {
		s := picture(t, oneSection(p), 0)
		assert.NotRegexp(t, `NaN|Inf`, s)
		boxes(t, s)
		assert.Less(t, len(s), 1<<16)
	}
}

func TestSectionWritersTellOfErrors(t *testing.T) {
	bad := cutUp()
	bad.Prisms.Cut = math.NaN()
	assert.Error(t, report.SectionsJSON(io.Discard, bad))
	assert.ErrorContains(t, report.Sections(fullDisk{}, cutUp()), "disk full")
	assert.ErrorContains(t, report.SectionsJSON(fullDisk{}, cutUp()), "disk full")
	assert.ErrorContains(t, report.SectionCSV(fullDisk{}, cutUp(), 0, 1), "disk full")
	assert.ErrorContains(t, report.SectionSVG(fullDisk{}, cutUp(), 0, 1), "disk full")
}
