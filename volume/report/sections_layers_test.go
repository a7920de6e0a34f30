package report_test

import (
	"bytes"
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/volume/report"
	"barrow/volume/takeoff"
)

func sectionSVG(t testing.TB, r *takeoff.SectionsResult, alignment, section int) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, report.SectionSVG(&b, r, alignment, section))
	return b.String()
}

// noneOver requires that no text lies over another or runs off the sheet.
func noneOver(t *testing.T, picture, what string) {
	t.Helper()
	list, width, height := labelsOf(t, picture)
	for i, a := range list {
		require.True(t, a.x-a.wide >= 0 && a.x+a.wide <= width && a.y-a.high >= 0 && a.y+a.high <= height, "%s: %q runs out", what, a.words)
		for _, b := range list[:i] {
			require.False(t, a.over(b), "%s: %q and %q", what, a.words, b.words)
		}
	}
}

// Every section of the demo shows the layers it meets by name, and no text over another.
func TestSectionSVGLayersOfDemo(t *testing.T) {
	t.Parallel()
	job, err := takeoff.Load(t.Context(), os.DirFS("../../cmd/barrow/demo"), "job.toml", takeoff.Limits{})
	require.NoError(t, err)
	r, err := takeoff.Sections(t.Context(), job, takeoff.SectionsOptions{})
	require.NoError(t, err)
	met := 0
	for i := range r.Alignments[0].Sections {
		s := sectionSVG(t, r, 0, i)
		noneOver(t, s, fmt.Sprint(i))
		for _, l := range r.Alignments[0].Sections[i].Layers {
			assert.Contains(t, s, ">"+l.Name+" 0.")
			met++
		}
		assert.Equal(t, len(r.Alignments[0].Sections[i].Layers) > 0, strings.Contains(s, "layers of the build-up, thickness in m"))
	}
	assert.Greater(t, met, 90)
	golden(t, "section_layers.svg", []byte(sectionSVG(t, r, 0, 6)))
}

// Pads side by side have their layers named where there is room, or are counted.
func TestSectionSVGLayersOfManyPads(t *testing.T) {
	for _, pads := range []int{1, 3, 6, 12} {
		job := hillJob(60, 12)
		job.Pads = nil
		for i := range pads {
			e, n := 1020+float64(i)*140/float64(pads), 7070.0
			pad := takeoff.Pad{Name: fmt.Sprintf("plot %d", i+1), Finished: 50, Outline: orb.Polygon{{{e, n}, {e + 100/float64(pads), n}, {e + 100/float64(pads), n + 30}, {e, n + 30}}}}
			for k := range 3 + i%5*3 {
				pad.Layers = append(pad.Layers, takeoff.Layer{Name: fmt.Sprintf("layer %d of many words", k+1), Thickness: 0.05 * float64(k+1)})
			}
			job.Pads = append(job.Pads, pad)
		}
		job.Alignments = []takeoff.Alignment{{Name: "axis", Line: orb.LineString{{1090, 7060}, {1090, 7110}}, Interval: 10}}
		r, err := takeoff.Sections(t.Context(), job, takeoff.SectionsOptions{})
		require.NoError(t, err)
		s := sectionSVG(t, r, 0, 1)
		noneOver(t, s, fmt.Sprintf("%d pads", pads))
		named := strings.Count(s, ">plot ")
		var without int
		if strings.Contains(s, "without room") {
			_, err := fmt.Sscanf(s[strings.LastIndex(s, ">layers of "):], ">layers of %d", &without)
			require.NoError(t, err)
		}
		assert.Equal(t, pads, named+without)
		assert.GreaterOrEqual(t, named, min(pads, 3))
	}
}
