package report

import (
	"bytes"
	"fmt"
	"io"
	"strings"

	"barrow/volume/takeoff"
)

// haulColumns are where number, chainage and the volumes of a table of mass haul end.
func haulColumns() []int { return []int{6, 17, 32, 48, 64, 80} }

// haul writes the mass haul along an alignment.
func (t *sectionSheet) haul(a *takeoff.AlignmentResult) {
	h := a.Haul
	if h == nil {
		return
	}
	u := t.n.units
	t.title("MASS HAUL, " + a.Name)
	t.put("  ", fmt.Sprintf("Volumes of average end areas from the first section on. Cut is bank measure; times %s compacted per bank "+
		"it is compacted measure, and less fill it is the ordinate: what is at hand, in compacted measure, as all below.", trimmed(h.CompactedPerBank)))
	t.heads(0, "", haulColumns(), "to", "chainage", "cut "+u.Volume, "compacted "+u.Volume, "fill "+u.Volume, "ordinate "+u.Volume)
	for i := range h.Ordinates {
		o := &h.Ordinates[i]
		t.row(0, "", haulColumns(), SectionNumber(i), t.n.length(o.Chainage), fitting(o.Cut, t.n.decimals, 14),
			fitting(o.CutCompacted, t.n.decimals, 14), fitting(o.Fill, t.n.decimals, 14), signed(o.Ordinate, t.n.decimals))
	}
	t.balance(h)
}

// balance writes the sums of a mass haul.
func (t *sectionSheet) balance(h *takeoff.HaulResult) {
	t.blank()
	points := make([]string, len(h.BalancePoints))
	for i, c := range h.BalancePoints {
		points[i] = t.n.length(c)
	}
	if len(points) == 0 {
		points = []string{"none"}
	}
	t.put("  balance points at chainage ", strings.Join(points, ", "))
	t.row(2, "cut that fills between the same two sections", volumeColumns(), t.n.volume(h.Across))
	t.row(2, "hauled along the alignment", volumeColumns(), t.n.volume(h.Hauled))
	if h.LoosePerBank > 0 {
		t.row(2, "the same loose, "+trimmed(h.LoosePerBank)+" per bank", volumeColumns(), t.n.volume(h.HauledLoose))
	}
	t.row(2, "mean haul", volumeColumns(), fixed(h.MeanHaul, 1)+" "+t.n.units.Length)
	t.row(2, "volume times haul", volumeColumns(), t.n.moment(h.Moment))
	free := trimmed(h.FreeHaul) + " " + t.n.units.Length
	t.row(2, "hauled farther than the free haul of "+free, volumeColumns(), t.n.volume(h.OverhaulVolume))
	t.row(2, "overhaul", volumeColumns(), t.n.moment(h.Overhaul))
	if h.LongestHaul > 0 {
		t.put("  ", fmt.Sprintf("No haul is longer than %s %s: beyond it cut goes to spoil and fill is imported.", trimmed(h.LongestHaul), t.n.units.Length))
	}
	t.row(2, "surplus, to spoil", volumeColumns(), t.n.volume(h.Spoil))
	if h.Spoil > 0 {
		t.row(2, "the same in bank measure", volumeColumns(), t.n.volume(h.SpoilBank))
	}
	t.row(2, "short, to import", volumeColumns(), t.n.volume(h.Import))
}

// moment writes a volume times a distance.
func (n numbers) moment(m float64) string {
	return fixed(m, n.decimals) + " " + n.units.Volume + " x " + n.units.Length
}

// HaulCSV writes the ordinates of the mass haul of an alignment, by its place in the
// result: a comment that names it, a header with the units, and for each section the
// chainage, cut in bank and in compacted measure, fill and ordinate from the first
// section on. Numbers are rounded to a millionth of the unit. The alignment must have a
// mass haul.
func HaulCSV(w io.Writer, r *takeoff.SectionsResult, alignment int) error {
	a := &r.Alignments[alignment]
	var b bytes.Buffer
	fmt.Fprintf(&b, "# %s, mass haul, %s compacted per bank\n", inComment(a.Name), number(a.Haul.CompactedPerBank))
	fmt.Fprintf(&b, "chainage_%[1]s,cut_%[2]s,cut_compacted_%[2]s,fill_%[2]s,ordinate_%[2]s\n", r.Units.Length, r.Units.Volume)
	for i := range a.Haul.Ordinates {
		o := &a.Haul.Ordinates[i]
		fmt.Fprintf(&b, "%s,%s,%s,%s,%s\n", millionths(&o.Chainage), millionths(&o.Cut), millionths(&o.CutCompacted), millionths(&o.Fill), millionths(&o.Ordinate))
	}
	if _, err := w.Write(b.Bytes()); err != nil {
		return fmt.Errorf("report: %w", err)
	}
	return nil
}
