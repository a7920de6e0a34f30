package report_test

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/volume/report"
	"barrow/volume/takeoff"
)

// hauled is the sections of cutUp with a curve that rises, crosses its balance line twice
// and comes back to it at its end.
func hauled(ordinates ...float64) *takeoff.SectionsResult {
	r := cutUp()
	h := &takeoff.HaulResult{CompactedPerBank: 0.9, LoosePerBank: 1.25, FreeHaul: 10, LongestHaul: 200, BalancePoints: []float64{114, 124, 130},
		Across: 12.5, Hauled: 90, HauledLoose: 125, Moment: 900, MeanHaul: 10, OverhaulVolume: 20, Overhaul: 55.5, Spoil: 4.5, SpoilBank: 5, Import: 1}
	for i, v := range ordinates {
		c := 104 + 26*float64(i)/float64(max(len(ordinates)-1, 1))
		h.Ordinates = append(h.Ordinates, takeoff.HaulOrdinate{Chainage: c, Cut: 100 * float64(i), CutCompacted: 90 * float64(i), Fill: 90*float64(i) - v, Ordinate: v})
	}
	r.Alignments[0].Haul, r.Alignments[0].RunOut = h, takeoff.RunOutPyramid
	return r
}

func haulPicture(t *testing.T, r *takeoff.SectionsResult) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, report.HaulSVG(&b, r, 0))
	return b.String()
}

func TestHaulGolden(t *testing.T) {
	r := hauled(0, 50, 20, -40, -10, 30, 0)
	s := sectionSheet(t, r)
	golden(t, "haul.txt", []byte(between(t, s, "VOLUMES, centre line", "VOLUMES, across")+between(t, s, "MASS HAUL", "SECTIONS, across")))
	golden(t, "haul.svg", []byte(haulPicture(t, r)))
	var b bytes.Buffer
	require.NoError(t, report.HaulCSV(&b, r, 0))
	golden(t, "haul.csv", b.Bytes())
	assert.Regexp(t, `or as a\s+pyramid\s+where\s+that\s+is\s+said\s+above`, s)
	assert.NotContains(t, sectionSheet(t, cutUp()), "MASS HAUL")
}

// No word runs out of the picture or over another, and there is no number that is none.
func TestHaulSVGHasRoom(t *testing.T) {
	for _, o := range [][]float64{nil, {0}, {0, 0}, {0, 1e-9}, {0, -7}, {0, 50, 20, -40, -10, 30, 0}, {0, 1e9, 2, -1e9}, {0, 0.001, -0.02, 0.5}} {
		r := hauled(o...)
		for _, points := range [][]float64{{}, {104, 104.1, 104.2, 117, 129.99, 130}, r.Alignments[0].Haul.BalancePoints} {
			if len(o) < 2 { // no chainages to have one at
				points = nil
			}
			r.Alignments[0].Haul.BalancePoints = points
			s := haulPicture(t, r)
			assert.NotRegexp(t, `NaN|Inf`, s)
			list, width, height := boxes(t, s)
			for i, b := range list {
				require.True(t, b.left >= 0 && b.right <= width && b.top >= 0 && b.foot <= height, "%q runs out: %v", b.words, b)
				for _, c := range list[:i] {
					require.False(t, b.left < c.right && c.left < b.right && b.top < c.foot && c.top < b.foot, "%q and %q, of %v", b.words, c.words, o)
				}
			}
		}
	}
}

func TestHaulWritersTellOfErrors(t *testing.T) {
	assert.ErrorContains(t, report.HaulCSV(fullDisk{}, hauled(0, 1), 0), "disk full")
	assert.ErrorContains(t, report.HaulSVG(fullDisk{}, hauled(0, 1), 0), "disk full")
}
