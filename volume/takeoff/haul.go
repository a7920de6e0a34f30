package takeoff

import (
	"fmt"

	"barrow/section"
	"barrow/tin"
	"barrow/volume/material"
)

// Ways to count a span in which an area runs out to nothing, by average end areas.
const (
	RunOutAveraged = "averaged" // the mean of the area and 0, like any other
	RunOutPyramid  = "pyramid"  // a third of the area times the length
)

// Haul says what becomes of cut that is hauled along an alignment into fill.
type Haul struct {
	CompactedPerBank float64 // what one of bank cut makes in fill
	LoosePerBank     float64 // the bulking factor; 0: not known
	FreeHaul         float64 // distance that is not paid for, in the job's unit on the ground
	LongestHaul      float64 // beyond it cut goes to spoil and fill is imported; 0: none is too long
}

// check refuses what cannot be hauled by. Its keys are those below an alignment.
func (h *Haul) check() error {
	if err := material.CheckCompactedPerBank(h.CompactedPerBank); err != nil {
		return under("haul", err)
	}
	if h.LoosePerBank != 0 {
		if err := material.CheckLoosePerBank(h.LoosePerBank); err != nil {
			return under("haul", err)
		}
	}
	for _, l := range []struct {
		key   string
		value float64
	}{{"free_haul", h.FreeHaul}, {"longest_haul", h.LongestHaul}} {
		if !(l.value >= 0) || !finite(l.value) {
			return badJob(codeBadValue, "haul."+l.key, fmt.Sprintf("%s is %s", l.key, formatNumber(l.value)), "give a length of at least 0")
		}
	}
	return nil
}

// HaulResult is the mass haul along an alignment, by the volumes of average end areas.
// Volumes are in compacted measure but where said; moments are volume times length.
type HaulResult struct {
	CompactedPerBank float64 `json:"compacted_per_bank"`
	LoosePerBank     float64 `json:"loose_per_bank,omitempty"`
	FreeHaul         float64 `json:"free_haul"`
	LongestHaul      float64 `json:"longest_haul,omitempty"` // absent: none is too long

	Ordinates     []HaulOrdinate `json:"ordinates"`
	BalancePoints []float64      `json:"balance_points"` // chainages at which cut so far makes just the fill so far
	Moves         []HaulMove     `json:"moves"`

	Across         float64 `json:"across"` // cut that fills between the same two sections
	Hauled         float64 `json:"hauled"` // along the alignment
	HauledLoose    float64 `json:"hauled_loose,omitempty"`
	Moment         float64 `json:"moment"`
	MeanHaul       float64 `json:"mean_haul"`       // Moment over Hauled, 0 of nothing
	OverhaulVolume float64 `json:"overhaul_volume"` // hauled farther than the free haul
	Overhaul       float64 `json:"overhaul"`        // moment beyond the free haul
	Spoil          float64 `json:"spoil"`           // cut that finds no fill
	SpoilBank      float64 `json:"spoil_bank"`      // the same in bank measure
	Import         float64 `json:"import"`          // fill that finds no cut
}

// HaulOrdinate is a point of the mass-haul curve: volumes from the first section on.
type HaulOrdinate struct {
	Chainage     float64 `json:"chainage"`
	Cut          float64 `json:"cut"` // bank measure
	CutCompacted float64 `json:"cut_compacted"`
	Fill         float64 `json:"fill"`
	Ordinate     float64 `json:"ordinate"` // CutCompacted less Fill: what is at hand
}

// HaulMove is a volume cut between two chainages and filled between two others, the
// nearest to the other end first.
type HaulMove struct {
	From           [2]float64 `json:"from"`
	To             [2]float64 `json:"to"`
	Volume         float64    `json:"volume"`
	Distance       float64    `json:"distance"` // mean
	Moment         float64    `json:"moment"`
	OverhaulVolume float64    `json:"overhaul_volume"`
	Overhaul       float64    `json:"overhaul"`
}

// massHaul balances spans in any one unit.
func (h *Haul) massHaul(spans []section.Volume) (*HaulResult, error) {
	c, err := section.MassHaul(spans, section.Haulage{CompactedPerBank: h.CompactedPerBank, FreeHaul: h.FreeHaul, Longest: h.LongestHaul})
	if err != nil {
		return nil, under("haul", err)
	}
	out := &HaulResult{
		CompactedPerBank: h.CompactedPerBank, LoosePerBank: h.LoosePerBank, FreeHaul: h.FreeHaul, LongestHaul: h.LongestHaul,
		BalancePoints: append([]float64{}, c.Balance...), Moves: []HaulMove{},
		Across: c.Across, Hauled: c.Hauled, HauledLoose: c.Hauled / h.CompactedPerBank * h.LoosePerBank,
		Moment: c.Moment, OverhaulVolume: c.OverhaulVolume, Overhaul: c.Overhaul,
		Spoil: c.Waste, SpoilBank: c.Waste / h.CompactedPerBank, Import: c.Import,
	}
	if c.Hauled > 0 {
		out.MeanHaul = c.Moment / c.Hauled
	}
	for _, o := range c.Ordinates {
		out.Ordinates = append(out.Ordinates, HaulOrdinate{o.Chainage, o.Cut, o.Cut * h.CompactedPerBank, o.Fill, o.Ordinate})
	}
	for _, m := range c.Moves {
		out.Moves = append(out.Moves, HaulMove{m.From, m.To, m.Volume, m.Distance(), m.Moment, m.OverhaulVolume, m.Overhaul})
	}
	return out, nil
}

// leastVolume is what in a volume, in the job's unit, is rounding.
const leastVolume = 1e-6

// haulAlong adds the mass haul of an alignment to its result: from the volumes there,
// in the job's unit on the ground. Where sections cross beside a bend a volume may be
// below 0, which nobody can haul: there is a warning then in its place.
func (a *AlignmentResult) haulAlong(h *Haul) (warning *tin.Problem, err error) {
	var spans []section.Volume
	for i := range a.Spans {
		s := &a.Spans[i]
		if least := min(s.EndArea.Cut, s.EndArea.Fill); least < -leastVolume {
			return &tin.Problem{Code: WarnNoHaul, Message: fmt.Sprintf(
				"no mass haul: beside a bend sections cross, and the volume between chainages %s and %s is below 0; draw the bend with more vertices, or give a reach",
				formatNumber(s.From), formatNumber(s.To))}, nil
		}
		spans = append(spans, section.Volume{From: s.From, To: s.To, Cut: max(0, s.EndArea.Cut), Fill: max(0, s.EndArea.Fill)})
	}
	a.Haul, err = h.massHaul(spans)
	return nil, err
}
