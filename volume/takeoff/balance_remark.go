package takeoff

import (
	"fmt"
	"slices"
	"strings"

	"barrow/tin"
)

// remark writes down notes and warnings: those of the levels measured whole, then of
// the balance itself.
func (b *balancing) remark(out *BalanceResult) {
	out.Notes = b.ofLevels(func(r *Result) []Remark { return r.Notes })
	out.Warnings = b.ofLevels(func(r *Result) []Remark { return r.Warnings })
	out.Notes = append(out.Notes, b.ground.remarks(b.notes(out))...)
	out.Warnings = append(out.Warnings, b.ground.remarks(b.warnings(out))...)
}

// ofLevels gathers what the levels measured whole have to say. What not all of them say
// has the level before it.
func (b *balancing) ofLevels(of func(*Result) []Remark) []Remark {
	type said struct {
		Remark
		where []string
	}
	var list []*said
	for _, w := range b.whole {
		for _, m := range of(w.Result) {
			k := slices.IndexFunc(list, func(s *said) bool { return s.Code == m.Code && s.Message == m.Message })
			if k < 0 {
				k, list = len(list), append(list, &said{Remark: m})
			}
			if !slices.Contains(list[k].where, w.words) {
				list[k].where = append(list[k].where, w.words)
			}
		}
	}
	remarks := []Remark{}
	for _, s := range list {
		if len(s.where) < len(b.whole) {
			s.Message = strings.Join(s.where, ", ") + ": " + s.Message
		}
		remarks = append(remarks, s.Remark)
	}
	return remarks
}

func (b *balancing) notes(out *BalanceResult) (list []tin.Problem) {
	switch {
	case b.opts.CompactedPerBank > 0 && len(b.job.Materials) > 0:
		list = append(list, tin.Problem{Code: NoteFactorCounts, Message: fmt.Sprintf("the factor given counts, %s for all of the cut, and the factors and reuse "+
			"of the job's materials do not make this balance", formatNumber(b.opts.CompactedPerBank))})
	case len(b.levels.turns) > 0:
		list = append(list, tin.Problem{Code: NoteMayTurn, Message: "what is left over need not fall all the way as the level rises, so there may be " +
			"more than one balance: " + strings.Join(b.levels.turns, "; ") + "; " + b.scanWords()})
	case !b.factored() && len(b.needs) == 0 && b.unassigned == nil:
		list = append(list, tin.Problem{Code: NoteNoFactor, Message: "no factor was given: cut and fill are held against each other " +
			"as they are, as if 1 volume of cut made 1 of fill; soil does not"})
	}
	for _, j := range out.Jumps {
		list = append(list, tin.Problem{Code: NoteWorksJoin, Message: fmt.Sprintf("works join or part at a shift of %s: there %s; "+
			"no level has what lies between", b.shiftWords(j.Below.Shift), b.jumpWords(&j))})
	}
	for _, i := range b.levels.moved {
		list = append(list, b.job.Pads[i].stays()...)
	}
	return list
}

// shiftWords writes a shift with its sign.
func (b *balancing) shiftWords(shift float64) string {
	return fmt.Sprintf("%+.4f %s", shift, b.job.units().Length)
}

func (b *balancing) jumpWords(j *LevelJump) string {
	u := b.job.units().Volume
	return fmt.Sprintf("cut jumps from %.2f to %.2f %s, fill from %.2f to %.2f %s on the way up",
		j.Below.Cut, j.Above.Cut, u, j.Below.Fill, j.Above.Fill, u)
}

// stays tells of levels given as such, which do not move with their pad.
func (p *Pad) stays() (list []tin.Problem) {
	say := func(what string, level float64) {
		list = append(list, tin.Problem{Code: NoteStays, Message: fmt.Sprintf(
			"pad %s: %s stays at %s whatever the pad's level", p.Name, what, formatNumber(level))})
	}
	for _, t := range p.Thickenings {
		if t.Underside != nil {
			say("the underside of "+t.Name, *t.Underside)
		}
	}
	if f := p.Backfill; f != nil && f.UpTo == BackfillLevel {
		say("the top of its backfill", f.Level)
	}
	return list
}

func (b *balancing) warnings(out *BalanceResult) (list []tin.Problem) {
	left := b.leftWords
	for _, n := range b.needs {
		list = append(list, tin.Problem{Code: WarnNotAfterFactors, Message: fmt.Sprintf("no balance after factors is made: %s has no %s; cut is held against fill as they are", n.Material, n.Key)})
	}
	if p := b.unassigned; p != nil {
		list = append(list, tin.Problem{Code: WarnNotAfterFactors, Message: fmt.Sprintf("no balance after factors is made: at a shift of %s, where the materials would make one, "+
			"%.2f %s of what is dug is of none of them; cut is held against fill as they are", b.shiftWords(p.shift), p.unassigned, b.job.units().Volume)})
	}
	if len(b.levels.crossings) > 1 {
		list = append(list, tin.Problem{Code: WarnSeveral, Message: "more than one level balances: shifts " + b.crossingWords() + "; the one next to the job's own level is given"})
	}
	if slices.ContainsFunc(out.Curve, func(p LevelPoint) bool { return p.CostInPart }) {
		list = append(list, tin.Problem{Code: WarnCostInPart, Message: "at levels marked so the cost leaves out what leaves the site and what is bought, " +
			"which is not known there for want of a factor or a material; the least cost is taken of the other levels, if there are any"})
	}
	switch {
	case !b.found.crosses():
		list = append(list, tin.Problem{Code: WarnNoBalance, Message: fmt.Sprintf("no level %s balances: at the nearest, a shift of %s, %s",
			b.rangeWords(), b.shiftWords(b.found.low.shift), left(b.found.low))})
	case b.found.flips:
		list = append(list, tin.Problem{Code: WarnJump, Message: fmt.Sprintf("no level balances exactly: at a shift of %s ground changes from one material to another. "+
			"Just below it %s, just above %s; the nearer of the two is given", b.shiftWords(b.found.low.shift), left(b.found.low), left(b.found.high))})
	case b.found.jump:
		list = append(list, tin.Problem{Code: WarnJump, Message: fmt.Sprintf("no level balances exactly: at a shift of %s works join or part. "+
			"Just below it %s, just above %s; the nearer of the two is given", b.shiftWords(b.found.low.shift), left(b.found.low), left(b.found.high))})
	}
	return list
}

// scanWords says how balances were looked for that may be several.
func (b *balancing) scanWords() string {
	s := b.levels.reachable(b.levels.limits.nearestTo(0))
	return fmt.Sprintf("they were looked for at %d even steps of shifts from %s to %s, and one between two of these may be missed", scanSteps, b.shiftWords(s.least), b.shiftWords(s.most))
}

// crossingWords lists between which shifts balances were seen.
func (b *balancing) crossingWords() string {
	var list []string
	for _, c := range b.levels.crossings {
		list = append(list, b.shiftWords(c.low.shift)+" to "+b.shiftWords(c.high.shift))
	}
	return strings.Join(list, ", ")
}

// rangeWords says which levels were looked at for a balance.
func (b *balancing) rangeWords() string {
	s := b.levels.limits
	ends := []string{}
	for _, end := range []string{s.leastOf, s.mostOf} {
		if end != "" {
			ends = append(ends, end)
		}
	}
	if len(ends) == 0 {
		return fmt.Sprintf("within %d m of the job's own", farthestTry)
	}
	return "within the limits (" + strings.Join(ends, "; ") + ")"
}

// leftWords says what is left over or missing at a level.
func (b *balancing) leftWords(p *levelled) string {
	u := b.job.units().Volume
	if !b.factored() {
		if p.left >= 0 {
			return fmt.Sprintf("cut exceeds fill by %.2f %s", p.left, u)
		}
		return fmt.Sprintf("fill exceeds cut by %.2f %s", -p.left, u)
	}
	if p.left >= 0 {
		return fmt.Sprintf("surplus %.2f %s (bank)", p.surplus, u)
	}
	return fmt.Sprintf("short %.2f %s (compacted)", p.short, u)
}

// omissions lists what is not balanced, with how much of it there is at the balance, and
// what no takeoff sees.
func (b *balancing) omissions() []Omission {
	t := &b.whole[1].Total
	with := func(words string, volume float64) string {
		return fmt.Sprintf("%s (%.1f %s)", words, volume, b.job.units().Volume)
	}
	var list []Omission
	if t.Topsoil > 0 && !b.topsoilSorted() {
		list = append(list, Omission{"topsoil_apart", with("topsoil: stripped first and kept apart; it makes no fill", t.Topsoil)})
	}
	if t.ThickeningVolume > 0 && !b.levels.byMaterials {
		list = append(list, Omission{"thickenings_apart", with("digging of thickenings and trenches below formation", t.ThickeningVolume)})
	}
	if t.BackfillAsDug > 0 && !b.levels.byMaterials {
		list = append(list, Omission{"backfill_apart", with("backfill round structures, as dug", t.BackfillAsDug)})
	}
	if len(t.Layers) > 0 {
		list = append(list, Omission{"layers_apart", "layers of the build-up: they are bought, not made of the cut"})
	}
	if !b.levels.byMaterials {
		list = append(list, Omission{"unfit_cut", "cut that is unfit for fill: all of it is taken to be fit"})
	}
	if !b.levels.planHaul {
		list = append(list, Omission{"haul", "haul: from where on the site to where"})
	}
	if b.stairs() {
		list = append(list, Omission{"provisional", "provisional items of the bill: in no cost"}, noTaxes(),
			Omission{"error_of_quantities", "the error of survey and quantities, carried into money: price the job at a level for that of cut and fill"})
	}
	return append(list, b.job.notMeasured()...)
}
