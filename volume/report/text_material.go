package report

import (
	"fmt"
	"slices"
	"strings"

	"barrow/volume/material"
)

// materials writes what becomes of what is dug: by material, as fill, as spoil, in
// loads, over what distance, and in how many hours.
func (t *text) materials() {
	m := t.r.Materials
	if m == nil {
		return
	}
	t.title("MATERIALS")
	t.put("  ", "Bank: in place before digging. Loose: dug, in the truck. Compacted: placed and rolled. "+
		"Cut as dug, thickenings too; fill with backfill.")
	for i := range m.Materials {
		t.material(&m.Materials[i])
	}
	if m.Unassigned > 0 {
		t.row(2, "of no material, bank", volumeColumns(), "", t.atLeast(float64(m.Unassigned), t.runsOff())+" "+t.n.units.Volume)
	}
	t.balance(m)
	t.imported(m.Import)
	t.trucks(m)
	t.haul(m.Haul)
	for i := range m.Machines {
		t.machine(&m.Machines[i], m.Unassigned > 0)
	}
}

// runsOff reports whether ground that was not surveyed may add to what is dug or filled.
func (t *text) runsOff() bool { return t.r.Total.UncoveredArea > 0 || t.r.Total.OpenLength > 0 }

func (t *text) material(m *material.MaterialResult) {
	t.put("  ", m.Name)
	t.amounts("dug", float64(m.Dug), float64(m.Loose), m.Tonnes, t.runsOff())
	if m.Spread > 0 {
		t.row(4, "of it, spread again", volumeColumns(), "", t.n.volume(float64(m.Spread))+" bank")
	}
	if m.SpreadShort > 0 {
		t.row(4, "short for spreading again, as spread", volumeColumns(), "", t.n.volume(float64(m.SpreadShort)))
	}
	if m.ToFill != nil && *m.ToFill > 0 {
		t.row(4, "of it, becomes fill", volumeColumns(), t.n.volume(float64(m.Fill))+" compacted", t.n.volume(float64(*m.ToFill))+" bank")
	}
	if m.Spoil != nil && *m.Spoil > 0 {
		t.amounts("of it, leaves the site", float64(*m.Spoil), float64(m.SpoilLoose), m.SpoilTonnes, false)
	}
	t.put("    ", t.factors(m))
}

// amounts writes a volume in bank and loose measure, and its mass; open if there may be
// more.
func (t *text) amounts(label string, bank, loose, tonnes float64, open bool) {
	second, unit := "", " "+t.n.units.Volume
	if loose > 0 {
		second = t.atLeast(loose, open) + unit + " loose"
	}
	t.row(4, label, volumeColumns(), second, t.atLeast(bank, open)+unit+" bank")
	if tonnes > 0 {
		t.row(4, "", volumeColumns(), "", t.tonnes(tonnes))
	}
}

func (t *paper) tonnes(x float64) string { return fixed(x, 1) + " t" }

// factors says by which factors a material was reckoned, and whether it may become
// fill.
func (t *text) factors(m *material.MaterialResult) string {
	var parts []string
	for _, f := range []struct {
		what  string
		value float64
	}{{"loose per bank", m.LoosePerBank}, {"compacted per bank", m.CompactedPerBank}} {
		if f.value > 0 {
			parts = append(parts, f.what+" "+fixed(f.value, 3))
		} else {
			parts = append(parts, f.what+" not given")
		}
	}
	if m.FactorsFrom != "" {
		parts[0] += " (published, see the notes)"
	}
	if m.Density > 0 {
		parts = append(parts, fmt.Sprintf("%s t in one bank %s", fixed(m.Density, 3), t.n.units.Volume))
	}
	switch m.Reuse {
	case 0:
		parts = append(parts, "no fill")
	case 1:
	default:
		parts = append(parts, fmt.Sprintf("%s of it fit for fill", fixed(m.Reuse, 2)))
	}
	return strings.Join(parts, ", ")
}

// balance writes what is over and what is short, after factors.
func (t *text) balance(m *material.Result) {
	t.put("  ", "ALL MATERIALS")
	t.row(4, "to be filled, compacted", volumeColumns(), "", t.atLeast(float64(m.Fill), t.runsOff())+" "+t.n.units.Volume)
	if m.FillFromSite == nil {
		t.put("    ", "No surplus and no shortage: not everything they hang on was given, see the warnings and notes.")
		return
	}
	if t.runsOff() {
		t.put("    ", "What follows is for the ground surveyed: the works go on beyond it.")
	}
	t.row(4, "of it, made of what is dug", volumeColumns(), "", t.n.volume(float64(*m.FillFromSite)))
	switch {
	case *m.Short > 0:
		t.row(4, "SHORT, compacted", volumeColumns(), "", t.n.volume(float64(*m.Short)))
	case *m.Surplus > 0:
		t.row(4, "SURPLUS of what is fit for fill, bank", volumeColumns(), "", t.n.volume(float64(*m.Surplus)))
	default:
		t.put("    ", "balanced: nothing over, nothing short")
	}
	loose, tonnes := 0.0, 0.0
	if m.SpoilLoose != nil {
		loose = float64(*m.SpoilLoose)
	}
	if m.SpoilTonnes != nil {
		tonnes = *m.SpoilTonnes
	}
	if *m.Spoil > 0 {
		t.amounts(spoilWords(m), float64(*m.Spoil), loose, tonnes, false)
	}
	if *m.FillFromSite > 0 && len(m.Materials) > 1 {
		t.put("    ", "Materials become fill in the order above, until the fill is made.")
	}
}

// spoilWords says what is in the spoil, so that nobody adds that to it.
func spoilWords(m *material.Result) string {
	var in []string
	if *m.Surplus > 0 {
		in = append(in, "surplus")
	}
	if slices.ContainsFunc(m.Materials, func(m material.MaterialResult) bool { return m.Topsoil && *m.Spoil > 0 }) {
		in = append(in, "topsoil")
	}
	if len(in) == 0 {
		return "spoil: leaves the site"
	}
	return "spoil, with " + strings.Join(in, " and ")
}

func (t *text) imported(m *material.ImportResult) {
	if m == nil {
		return
	}
	amount := t.tonnes(m.Amount)
	if m.Measure != material.ByTonnes {
		amount = t.n.volume(m.Amount) + " " + string(m.Measure)
	}
	label := "import"
	if m.Name != "" {
		label += ": " + m.Name
	}
	t.row(4, label, volumeColumns(), "", amount)
}

// trucks writes the loads of each truck.
func (t *text) trucks(m *material.Result) {
	for i := range m.Trucks {
		truck := &m.Trucks[i]
		if truck.Loads == 0 && truck.Import == nil && len(truck.Without) == 0 {
			continue
		}
		words := fmt.Sprintf("LOADS, IF ALL GO BY %s: %s loose", truck.Name, t.n.volume(float64(truck.Body)))
		if truck.Payload > 0 {
			words += ", " + t.tonnes(truck.Payload)
		}
		t.put("  ", words)
		for _, l := range truck.Materials {
			t.loads("spoil: "+l.Material, l)
		}
		if len(truck.Materials) > 1 {
			t.row(4, "spoil, "+allOrThese(truck.Without), volumeColumns(), "", countOf(truck.Loads, "load", "loads"))
		}
		t.without(truck.Without, "loads")
		if truck.Import != nil {
			t.loads("import", *truck.Import)
		}
	}
}

// allOrThese is how a sum is called.
func allOrThese(without []string) string {
	if len(without) > 0 {
		return "these"
	}
	return "all"
}

// without says of which materials loads or hours could not be reckoned.
func (t *text) without(materials []string, what string) {
	if len(materials) > 0 {
		t.put("    ", fmt.Sprintf("NOT IN THESE %s, see the notes: %s", strings.ToUpper(what), strings.Join(materials, ", ")))
	}
}

func (t *text) loads(label string, l material.Loads) {
	t.row(4, fmt.Sprintf("%s, by %s (%s)", label, t.n.volume(float64(l.Load)), l.Governs), volumeColumns(), "", countOf(l.Loads, "load", "loads"))
}

func (t *text) haul(h *material.HaulPlan) {
	if h == nil {
		return
	}
	u := t.n.units
	t.put("  ", "HAUL ON SITE, the least there is")
	t.row(4, "hauled, compacted", volumeColumns(), "", t.n.volume(float64(h.Volume)))
	t.row(4, "mean distance, straight, in plan", volumeColumns(), "", fixed(h.MeanDistance, 1)+" "+u.Length)
	t.row(4, "greatest", volumeColumns(), "", fixed(h.GreatestHaul, 1)+" "+u.Length)
	t.row(4, "volume by distance", volumeColumns(), "", fmt.Sprintf("%s %s x %s", fixed(h.VolumeDistance, 0), u.Volume, u.Length))
}

// machine writes the hours of a machine; unassigned says that there is cut of no
// material.
func (t *text) machine(m *material.MachineResult, unassigned bool) {
	without := m.Without
	if unassigned && m.Work == material.DigsCut {
		without = append(slices.Clip(without), "what is of no material")
	}
	t.put("  ", fmt.Sprintf("HOURS OF %s: %s, %s loose an hour by its bucket", m.Name, worksOn(m.Work), t.n.volume(float64(m.Rate))))
	for _, h := range m.Materials {
		label := fmt.Sprintf("%s, %s an hour", h.Material, t.n.volume(float64(h.Rate)))
		if h.Trucks > 0 {
			label += fmt.Sprintf(" (the %s", h.Governs)
			if h.Governs == material.ByTrucks {
				label += " govern)"
			} else {
				label += " governs)"
			}
		}
		t.row(4, label, volumeColumns(), "", fixed(h.Hours, 1)+" h")
		if h.Trucks > 0 {
			t.put("      ", fmt.Sprintf("with %s; %s would keep it just busy", countOf(h.Trucks, "truck", "trucks"), fixed(h.Balance, 1)))
		}
	}
	if len(m.Materials) > 1 {
		t.row(4, allOrThese(without), volumeColumns(), "", fixed(m.Hours, 1)+" h")
	}
	if m.Days > 0 {
		t.row(4, "in days of "+fixed(m.PerDay, 1)+" h", volumeColumns(), "", fixed(m.Days, 2)+" days")
	}
	t.without(without, "hours")
}

// worksOn says what a machine does.
func worksOn(w material.Work) string {
	switch w {
	case material.DigsTopsoil:
		return "strips the topsoil"
	case material.LoadsSpoil:
		return "loads what leaves the site"
	}
	return "digs the cut"
}
