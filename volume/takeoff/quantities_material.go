package takeoff

import (
	"slices"

	"barrow/volume/material"
	"barrow/volume/price"
)

// materialRows are what becomes of what is dug: spoil, import, haul, loads, hours. Those
// without a name of their own are there without materials too.
func materialRows(r *Result) []quantityRow {
	m := r.Materials
	if m == nil {
		m = &material.Result{}
	}
	u := r.priceUnits()
	rows := append(spoilRows(u, m), importRows(u, m)...)
	rows = append(rows, quantityRow{"haul", "haul on site, compacted volume by distance", u.haul, haulOf(m), "", "", onWorks})
	rows = append(rows, byMaterials(r, u, m)...)
	for _, t := range m.Trucks {
		rows = append(rows, truckRows(u, m, &t)...)
	}
	for _, x := range m.Machines {
		rows = append(rows, quantityRow{"machine." + x.Name + ".hours", "hours of " + x.Name, price.Unit{Name: price.Hour}, x.Hours, "", "", onWorks})
	}
	return rows
}

// The work that takes spoil away, and the ways to count it besides loads.
const (
	spoilWork = "spoil: what leaves the site"
	byBank    = "bank"
	byLoose   = "loose"
	byTonnes  = "tonnes"
	byEach    = " by material"
)

func spoilRows(u units, m *material.Result) []quantityRow {
	spoil := "spoil"
	if slices.ContainsFunc(m.Materials, func(m material.MaterialResult) bool { return m.Topsoil && orZero(m.Spoil) > 0 }) {
		spoil += " with topsoil"
	}
	return []quantityRow{
		{"spoil", spoil + ", in place", u.bank, float64(orZero(m.Spoil)), spoilWork, byBank, onWorks},
		{"spoil_loose", spoil + ", in the truck", u.loose, float64(orZero(m.SpoilLoose)), spoilWork, byLoose, onWorks},
		{"spoil_tonnes", spoil + ", by mass", price.Unit{Name: price.Tonne}, orZero(m.SpoilTonnes), spoilWork, byTonnes, onWorks},
		{"surplus", "of the spoil, fit for fill and not needed", u.bank, float64(orZero(m.Surplus)), "", "", onWorks},
	}
}

// importRows are what makes up for a shortage. Where no import is given it is the
// shortage itself.
func importRows(u units, m *material.Result) []quantityRow {
	const work = "import: what fill is short of"
	in := m.Import
	if in == nil {
		in = &material.ImportResult{Compacted: orZero(m.Short)}
	}
	return []quantityRow{
		{"import_compacted", "import, placed and rolled", u.compacted, float64(in.Compacted), work, string(material.ByCompacted), onWorks | bought},
		{"import_loose", "import, in the truck", u.loose, float64(in.Loose), work, byLoose, onWorks | bought},
		{"import_tonnes", "import, by mass", price.Unit{Name: price.Tonne}, in.Tonnes, work, byTonnes, onWorks | bought},
	}
}

func haulOf(m *material.Result) float64 {
	if m.Haul == nil {
		return 0
	}
	return m.Haul.VolumeDistance
}

// byMaterials split cut, thickenings and spoil by material. What is of none has a row, and
// so has spoil that a split cannot count for want of a factor: no split passes for whole
// without it.
func byMaterials(r *Result, u units, materials *material.Result) (rows []quantityRow) {
	none := []quantityRow{
		{"cut_of_no_material", "cut of none of the materials", u.bank, 0, "", "", onWorks},
		{"thickenings_of_no_material", "thickenings in none of the materials", u.bank, 0, "", "", onGround},
		{"spoil_not_loose", "spoil whose loose volume is not known, in place", u.bank, notLoose(materials), spoilWork, byLoose + byEach, onWorks},
		{"spoil_not_weighed", "spoil whose mass is not known, in place", u.bank, notWeighed(materials), spoilWork, byTonnes + byEach, onWorks},
	}
	if len(materials.Materials) == 0 {
		return none
	}
	cut, thick := r.Total.Cut, r.Total.ThickeningVolume
	add := func(name, key, words string, unit price.Unit, amount float64, work, split string) {
		rows = append(rows, quantityRow{"material." + name + "." + key, name + ", " + words, unit, amount, work, split, onWorks})
	}
	for i := range materials.Materials {
		m := &materials.Materials[i]
		if !m.Topsoil {
			here, below := float64(m.Dug-m.Thickenings), float64(m.Thickenings)
			add(m.Name, "cut", "cut", u.bank, here, "cut", byMaterial)
			add(m.Name, "thickenings", "dug below formation", u.bank, below, "thickenings", byMaterial)
			cut, thick = cut-here, thick-below
		}
		add(m.Name, "spoil", "leaves the site, in place", u.bank, float64(orZero(m.Spoil)), spoilWork, byBank+byEach)
		add(m.Name, "spoil_loose", "leaves the site, in the truck", u.loose, float64(m.SpoilLoose), spoilWork, byLoose+byEach)
		add(m.Name, "spoil_tonnes", "leaves the site, by mass", price.Unit{Name: price.Tonne}, m.SpoilTonnes, spoilWork, byTonnes+byEach)
	}
	none[0].amount, none[0].work, none[0].split = aboveDust(cut, dustOfSplit*r.Total.Cut), "cut", byMaterial
	none[1].amount, none[1].work, none[1].split = aboveDust(thick, dustOfSplit*r.Total.ThickeningVolume), "thickenings", byMaterial
	return append(rows, none...)
}

// truckRows are the loads of a truck that carries all there is. Where it has no loads of
// some of the spoil, there are none of all of it.
func truckRows(u units, m *material.Result, t *material.TruckResult) []quantityRow {
	key, load, by := "truck."+t.Name+".", price.Unit{Name: price.Load}, "loads of "+t.Name
	all := float64(t.Loads)
	if len(t.Without) > 0 {
		all = 0
	}
	rows := []quantityRow{{key + "spoil_loads", "loads of spoil by " + t.Name, load, all, spoilWork, by, onWorks}}
	for _, l := range t.Materials {
		rows = append(rows, quantityRow{key + "loads." + l.Material, "loads of " + l.Material + " by " + t.Name, load, float64(l.Loads), spoilWork, by + byEach, onWorks})
	}
	if len(t.Without) > 0 {
		rows = append(rows, quantityRow{key + "not_loaded", "spoil that is in no load of " + t.Name + ", in place", u.bank, notLoose(m), spoilWork, by + byEach, onWorks})
	}
	if t.Import != nil {
		rows = append(rows, quantityRow{key + "import_loads", "loads of import by " + t.Name, load, float64(t.Import.Loads), "", "", onWorks})
	}
	return rows
}

// notLoose is the spoil whose loose volume is not known, bank measure.
func notLoose(m *material.Result) float64 {
	return spoilOf(m, func(m *material.MaterialResult) bool { return m.LoosePerBank == 0 })
}

// notWeighed is the spoil whose mass is not known, bank measure.
func notWeighed(m *material.Result) float64 {
	return spoilOf(m, func(m *material.MaterialResult) bool { return m.Density == 0 })
}

// spoilOf sums the spoil of some materials, bank measure.
func spoilOf(r *material.Result, of func(*material.MaterialResult) bool) (sum float64) {
	for i := range r.Materials {
		if m := &r.Materials[i]; of(m) {
			sum += float64(orZero(m.Spoil))
		}
	}
	return sum
}

// orZero returns what a pointer points at, 0 of none.
func orZero[T ~float64](p *T) T {
	if p == nil {
		return 0
	}
	return *p
}
