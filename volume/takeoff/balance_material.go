package takeoff

import (
	"slices"

	"barrow/volume/material"
)

// LevelMaterial is what is dug of a material at one level, and what becomes of it.
type LevelMaterial struct {
	Name   string         `json:"name"`
	Dug    material.Bank  `json:"dug"`
	ToFill *material.Bank `json:"to_fill,omitempty"` // of it, becomes fill; nil: not known, as Spoil
	Spoil  *material.Bank `json:"spoil,omitempty"`   // of it, leaves the site
}

// byMaterials has a level leave what its materials do, topsoil among them where it was
// measured. What is of none of them makes no fill.
func (p *levelled) byMaterials(site *material.Site, out *material.Result, stripped bool) {
	p.supply, p.wanted = float64(site.Supply()), float64(site.Fill)
	p.left, p.unassigned = p.supply-p.wanted, float64(site.Unassigned)
	p.surplus, p.short, p.spoil = float64(orZero(out.Surplus)), float64(orZero(out.Short)), float64(orZero(out.Spoil))
	for i := range out.Materials {
		m := &out.Materials[i]
		if m.Topsoil && !stripped {
			continue
		}
		p.sorted = append(p.sorted, LevelMaterial{m.Name, m.Dug, m.ToFill, m.Spoil})
	}
}

// useMaterials has the job's materials make the balance, where no factor was given and
// all of theirs are known.
func (b *balancing) useMaterials() error {
	l := b.levels
	if len(b.job.Materials) == 0 {
		return nil
	}
	if err := b.ground.placeMaterials(); err != nil {
		return err
	}
	if b.opts.CompactedPerBank > 0 {
		return nil
	}
	if b.needs = b.ground.missingFactors(); len(b.needs) > 0 {
		return nil
	}
	l.byMaterials, l.worth = true, 0
	for i := range b.job.Materials {
		m := &b.job.Materials[i]
		l.worth = max(l.worth, float64(m.Reuse*m.Factors.CompactedPerBank))
	}
	l.turns = b.ground.turns(l.moved)
	return nil
}

// missingFactors lists the factors that are not given of what may become fill.
func (r *run) missingFactors() (list []material.Need) {
	for i := range r.job.Materials {
		m := &r.job.Materials[i]
		if m.Factors.CompactedPerBank == 0 && m.Reuse > 0 && (!m.Topsoil || hasTopsoil(r.soil)) {
			list = append(list, material.Need{Material: m.Name, Key: "compacted_per_bank", For: "a balance after factors"})
		}
	}
	return list
}

// turns says why what is left over of a job's materials may grow as pads rise. Without
// such a reason it does not: as a level rises what is dug at a higher one was dug at the
// lower one too, of the same material, and no fill gets smaller.
func (r *run) turns(moved []int) (why []string) {
	surfaces := false
	for i := range r.job.Materials {
		m := &r.job.Materials[i]
		surfaces = surfaces || len(m.Below)+len(m.Above) > 0
		if m.TotalDepth && m.banded() && !slices.Contains(why, turnDepth) {
			why = append(why, turnDepth)
		}
		if m.Topsoil && m.Reuse > 0 && hasTopsoil(r.soil) {
			why = append(why, turnTopsoil)
		}
	}
	pads := make([]*Pad, len(moved))
	for k, i := range moved {
		pads[k] = &r.job.Pads[i]
	}
	if slices.ContainsFunc(pads, func(p *Pad) bool { return p.Backfill != nil }) {
		why = append(why, turnBackfill)
	}
	if slices.ContainsFunc(pads, func(p *Pad) bool {
		return slices.ContainsFunc(p.Thickenings, func(t Thickening) bool { return surfaces || t.Underside != nil })
	}) {
		why = append(why, turnThickenings)
	}
	return why
}

// Why what is left over may grow as pads rise.
const (
	turnDepth       = "materials lie by total depth, so that ground dug less deep is of another"
	turnTopsoil     = "topsoil may become fill, and more of it is stripped where works widen"
	turnBackfill    = "backfill gets less as its pad rises"
	turnThickenings = "what thickenings dig changes with the level in amount or material"
)

// keepKnown lets the balance by materials stand only where all that is dug there is of
// some material. Else cut is held against fill as they are.
func (b *balancing) keepKnown() error {
	if !b.levels.byMaterials || b.found.nearer().unassigned == 0 {
		return nil
	}
	b.unassigned = b.found.nearer()
	l := newLevels(b.ground, b.levels.moved, 1)
	l.limits, l.rates, l.cost, l.planHaul = b.levels.limits, b.levels.rates, b.levels.cost, b.levels.planHaul
	b.levels = l
	return b.findBalance()
}

// useSame has levels of one of the pads be measured as those of all.
func (l *levels) useSame(all *levels) {
	if l.byMaterials = all.byMaterials; l.byMaterials {
		l.worth, l.turns = all.worth, l.ground.turns(l.moved)
	}
}

// topsoilSorted reports whether the balance takes topsoil for one of the materials.
func (b *balancing) topsoilSorted() bool {
	return b.levels.byMaterials && slices.ContainsFunc(b.job.Materials, func(m Material) bool { return m.Topsoil })
}
