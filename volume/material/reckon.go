package material

import (
	"math"
	"slices"
)

// Reckon says what becomes of what is dug on a site.
//
// Materials become fill in the order given, each as far as its share for reuse and its
// compacted volume go, until the fill is made; what is left of them, and what is not
// fit for fill, leaves the site. What is still to be filled is short, and is imported.
//
// A factor that is not known is never guessed: what hangs on it is left out, and
// [Result.Needs] names it. Only what is put back as itself counts as in bank measure then.
// Input that cannot be is a [*tin.InputError] whose key is that of a job file.
func Reckon(s Site) (*Result, error) {
	if err := s.check(); err != nil {
		return nil, err
	}
	r := &reckoning{site: &s, Result: Result{Materials: []MaterialResult{}, Unassigned: s.Unassigned, Fill: s.Fill}}
	r.measure()
	if r.balance() {
		r.spoil()
		r.importShort()
	}
	r.trucks()
	r.machines()
	if err := r.haul(); err != nil {
		return nil, err
	}
	return &r.Result, nil
}

// reckoning is a result in the making.
type reckoning struct {
	site *Site
	Result
}

func (r *reckoning) need(material, key, why string) {
	n := Need{material, key, why}
	if !slices.Contains(r.Needs, n) {
		r.Needs = append(r.Needs, n)
	}
}

// measure gives each material in its three measures.
func (r *reckoning) measure() {
	for i := range r.site.Materials {
		m := &r.site.Materials[i]
		r.Materials = append(r.Materials, MaterialResult{
			Name: m.Name, Topsoil: m.Topsoil, LoosePerBank: m.LoosePerBank, CompactedPerBank: m.CompactedPerBank,
			FactorsFrom: m.FactorsFrom, Density: m.Density, Reuse: m.Reuse,
			Dug: m.Dug, Thickenings: m.Thickenings, Loose: m.Factors.Loose(m.Dug), Compacted: m.Factors.Compacted(m.Dug), Tonnes: float64(m.Dug) * m.Density,
		})
	}
}

// balance makes the fill of what is dug, and reports whether the factors it takes are
// all known.
func (r *reckoning) balance() bool {
	if !r.known() {
		return false
	}
	short := r.site.Fill
	var fromSite Compacted
	var surplus Bank
	for i := range r.Materials {
		m, out := &r.site.Materials[i], &r.Materials[i]
		left := r.putBack(m, out)
		fit := Bank(float64(left) * m.Reuse)
		used, made := fit, m.Factors.Compacted(fit)
		if made > short {
			used, made = m.BankOfCompacted(short), short
		}
		if short == 0 {
			used = 0
		}
		spoil := left - used
		out.ToFill, out.Fill, out.Spoil = &used, made, &spoil
		short -= made
		fromSite += made
		surplus += fit - used
	}
	r.FillFromSite, r.Short, r.Surplus = &fromSite, &short, &surplus
	return true
}

// known reports whether all that the balance takes is known. Where nothing is filled
// it takes no factor.
func (r *reckoning) known() bool {
	known := true
	for _, m := range r.site.Materials {
		if m.CompactedPerBank == 0 && m.Dug > 0 && m.Reuse > 0 && r.site.Fill > 0 {
			r.need(m.Name, "compacted_per_bank", "surplus and shortage")
			known = false
		}
	}
	return known && r.site.Unassigned == 0
}

// putBack takes what is put back as itself off a material, and returns what is left.
func (r *reckoning) putBack(m *Material, out *MaterialResult) Bank {
	wanted := m.spreadInPlace()
	out.Spread = min(wanted, m.Dug)
	if wanted > m.Dug {
		out.SpreadShort = m.Spread - m.Factors.Compacted(m.Dug)
		if m.CompactedPerBank == 0 {
			out.SpreadShort = m.Spread - Compacted(m.Dug)
		}
	}
	return m.Dug - out.Spread
}

// spoil sums what leaves the site.
func (r *reckoning) spoil() {
	var bank Bank
	var loose Loose
	var tonnes float64
	looseKnown, tonnesKnown := true, true
	for i := range r.Materials {
		m, out := &r.site.Materials[i], &r.Materials[i]
		out.SpoilLoose, out.SpoilTonnes = m.Factors.Loose(*out.Spoil), float64(*out.Spoil)*m.Density
		bank, loose, tonnes = bank+*out.Spoil, loose+out.SpoilLoose, tonnes+out.SpoilTonnes
		looseKnown = looseKnown && (m.LoosePerBank > 0 || *out.Spoil == 0)
		tonnesKnown = tonnesKnown && (m.Density > 0 || *out.Spoil == 0)
	}
	r.Spoil = &bank
	if looseKnown {
		r.SpoilLoose = &loose
	}
	if tonnesKnown {
		r.SpoilTonnes = &tonnes
	}
}

// importShort buys what is short.
func (r *reckoning) importShort() {
	m := r.site.Import
	if m == nil || *r.Short == 0 {
		return
	}
	bank := m.BankOfCompacted(*r.Short)
	out := &ImportResult{Name: m.Name, Measure: m.Measure, Compacted: *r.Short,
		Loose: m.Factors.Loose(bank), Tonnes: float64(bank) * m.Density}
	switch m.Measure {
	case ByLoose:
		out.Amount = float64(out.Loose)
	case ByCompacted:
		out.Amount = float64(out.Compacted)
	case ByTonnes:
		out.Amount = out.Tonnes
	}
	r.Import = out
}

// trucks counts the loads of each truck.
func (r *reckoning) trucks() {
	if r.Spoil == nil {
		return
	}
	for _, t := range r.site.Trucks {
		out := TruckResult{Name: t.Name, Body: t.Body, Payload: t.Payload, Materials: []Loads{}}
		for i := range r.Materials {
			m := &r.Materials[i]
			if *m.Spoil == 0 {
				continue
			}
			if m.LoosePerBank == 0 {
				r.need(m.Name, "loose_per_bank", "loads")
				out.Without = append(out.Without, m.Name)
				continue
			}
			loads := loadsOf(t, m.Name, m.SpoilLoose, over(m.Density, m.LoosePerBank))
			out.Materials = append(out.Materials, loads)
			out.Loads += loads.Loads
		}
		if im := r.Import; im != nil && im.Loose > 0 {
			loads := loadsOf(t, im.Name, im.Loose, over(im.Tonnes, float64(im.Loose)))
			out.Import = &loads
		}
		r.Trucks = append(r.Trucks, out)
	}
}

func loadsOf(t Truck, name string, volume Loose, tonnesPerLoose float64) Loads {
	load, _ := t.Load(tonnesPerLoose)
	n, governs := t.Loads(volume, tonnesPerLoose)
	return Loads{Material: name, Loose: volume, Loads: n, Load: load, Governs: governs, Unweighed: t.Payload > 0 && tonnesPerLoose == 0}
}

// machines reckons the hours of each machine.
func (r *reckoning) machines() {
	for _, m := range r.site.Machines {
		if m.Work == LoadsSpoil && r.Spoil == nil {
			continue
		}
		out := MachineResult{Name: m.Name, Work: m.Work, Rate: m.Rate(), Truck: m.Truck, Materials: []MachineHours{}}
		for i := range r.Materials {
			of := &r.Materials[i]
			volume, any := workIn(m.Work, of)
			switch {
			case !any:
			case of.LoosePerBank == 0:
				r.need(of.Name, "loose_per_bank", "machine hours")
				out.Without = append(out.Without, of.Name)
			default:
				h := r.hours(m, of, volume)
				out.Materials = append(out.Materials, h)
				out.Loose += h.Loose
				out.Hours += h.Hours
			}
		}
		out.PerDay, out.Days = m.HoursPerDay, over(out.Hours, m.HoursPerDay)
		r.Machines = append(r.Machines, out)
	}
}

// workIn returns what a machine has to do in a material, and whether that is anything.
func workIn(w Work, m *MaterialResult) (volume Loose, any bool) {
	switch w {
	case DigsTopsoil:
		return m.Loose, m.Topsoil && m.Dug > 0
	case LoadsSpoil:
		return m.SpoilLoose, *m.Spoil > 0
	}
	return m.Loose, !m.Topsoil && m.Dug > 0
}

// hours reckons a machine, with its trucks if it has any, in one material.
func (r *reckoning) hours(m Machine, of *MaterialResult, volume Loose) MachineHours {
	h := MachineHours{Material: of.Name, Loose: volume, Rate: m.Rate(), Governs: ByMachine}
	if k := slices.IndexFunc(r.site.Trucks, func(t Truck) bool { return t.Name == m.Truck }); m.Truck != "" {
		load, _ := r.site.Trucks[k].Load(over(of.Density, of.LoosePerBank))
		fleet := FleetOf(m, r.site.Trucks[k], load)
		h.Balance = fleet.Balance()
		if fleet.Trucks == 0 {
			fleet.Trucks = int(math.Ceil(h.Balance * (1 - 1e-9)))
		}
		h.Trucks = fleet.Trucks
		rate, governs := fleet.Rate()
		h.Rate, h.Governs = Loose(rate), governs
	}
	h.Hours = over(float64(volume), float64(h.Rate))
	return h
}
