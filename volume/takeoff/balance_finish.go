package takeoff

import (
	"math"

	"barrow/tin/formation"
)

// result writes down what was found.
func (b *balancing) result() *BalanceResult {
	r := b.ground
	out := &BalanceResult{
		Schema: SchemaVersion, Program: Program{Name: "barrow", Version: Version},
		Job: b.job.Name, Units: b.job.units(), Inputs: b.inputs(), Scale: r.scale, Surveys: b.whole[0].Surveys,
		Moved: b.movedPads(), Limits: b.levels.limits.result(), AsGiven: b.pointOf(b.levels, b.levels.known[0]),
		Table: b.points(b.table), WhatIf: b.points(b.whatIf), Curve: b.points(b.curve),
		Jumps: []LevelJump{}, TopsoilApart: hasTopsoil(r.soil) && !b.topsoilSorted(), ByMaterials: b.levels.byMaterials, NotMeasured: b.omissions(),
		Needs: b.needs,
	}
	if f := b.opts.CompactedPerBank; f > 0 {
		out.CompactedPerBank = &f
	}
	switch {
	case b.stairs():
		out.Currency, out.RatesFile = &b.opts.Bill.Currency, b.opts.Bill.Name
	case b.opts.Cost == nil && b.opts.Rates != nil:
		out.Currency, out.Rates = b.opts.Rates.Currency, b.opts.Rates
	}
	at := b.found.nearer()
	out.Balance, out.Nearest = b.foundPoint(b.levels, b.found)
	out.PerStep = &StepChange{b.step(), b.step() * at.cutFalls, b.step() * at.fillRise}
	for _, j := range b.jumps {
		out.Jumps = append(out.Jumps, LevelJump{Below: b.pointOf(b.levels, j.low), Above: b.pointOf(b.levels, j.high), Cut: j.low.cut - j.high.cut, Fill: j.high.fill - j.low.fill})
	}
	out.LeastCost = b.leastCost()
	for _, a := range b.alone {
		p := AlonePad{Name: b.job.Pads[a.levels.moved[0]].Name, Jump: a.found.jump || a.found.flips}
		if a.found.nearer().unassigned == 0 {
			p.Balance, p.Nearest = b.foundPoint(a.levels, a.found)
		}
		out.OneByOne = append(out.OneByOne, p)
	}
	b.remark(out)
	return out
}

// factored reports whether it is known what fill the cut makes.
func (b *balancing) factored() bool { return b.opts.CompactedPerBank > 0 || b.levels.byMaterials }

// inputs are the files of the job, with the rates only where they priced it.
func (b *balancing) inputs() []Input {
	list := b.job.measuredFrom()
	if b.stairs() && b.opts.Bill.SHA256 != "" {
		list = append(list, inputOf(b.opts.Bill))
	}
	return list
}

// foundPoint returns the level found as a balance, or as what is nearest to one.
func (b *balancing) foundPoint(l *levels, found bracket) (balance, nearest *LevelPoint) {
	p := b.pointOf(l, found.nearer())
	if found.crosses() {
		return &p, nil
	}
	return nil, &p
}

func (b *balancing) points(list []*levelled) []LevelPoint {
	out := []LevelPoint{}
	for _, p := range list {
		out = append(out, b.pointOf(b.levels, p))
	}
	return out
}

// pointOf writes down a level.
func (b *balancing) pointOf(l *levels, p *levelled) LevelPoint {
	area := b.ground.areaUnit()
	out := LevelPoint{Shift: p.shift, Levels: []PadLevel{}, Cut: p.cut, Fill: p.fill, CutLessFill: p.cut - p.fill,
		CutArea: p.cutArea / area, FillArea: p.fillArea / area, AtLeast: p.atLeast, Outside: !l.limits.holds(p.shift)}
	if b.factored() && p.unassigned == 0 {
		out.Surplus, out.Short, out.Supply, out.FillToMake = &p.surplus, &p.short, &p.supply, &p.wanted
	}
	out.Unassigned, out.Materials = p.unassigned, p.sorted
	if l.costs() {
		cost := int64(math.Round(p.cost))
		out.Cost, out.CostInPart = &cost, p.partial
	}
	for _, i := range l.moved {
		pad := &b.job.Pads[i]
		level := PadLevel{Name: pad.Name}
		if pad.Levels == nil {
			finished := addLevels(pad.Finished, p.shift)
			below := formation.FormationLevel(finished, pad.layers())
			level.FinishedLevel, level.FormationLevel = &finished, &below
		}
		out.Levels = append(out.Levels, level)
	}
	return out
}

func (b *balancing) movedPads() (list []MovedPad) {
	for _, i := range b.levels.moved {
		p := &b.job.Pads[i]
		m := MovedPad{Name: p.Name, NotBelow: p.NotBelow, NotAbove: p.NotAbove}
		if p.Fall != nil {
			at := Place(p.Fall.At)
			m.At = &at
		}
		low, high := p.finishedRange()
		if p.Levels == nil {
			m.FinishedLevel = &low
		} else {
			m.Lowest, m.Highest = &low, &high
		}
		list = append(list, m)
	}
	return list
}

func (s shiftRange) result() ShiftLimits {
	out := ShiftLimits{LeastOf: s.leastOf, MostOf: s.mostOf}
	if !math.IsInf(s.least, 0) {
		out.Least = &s.least
	}
	if !math.IsInf(s.most, 0) {
		out.Most = &s.most
	}
	return out
}

func (b *balancing) leastCost() *LeastCost {
	p := b.cheapest
	if p == nil {
		return nil
	}
	out := &LeastCost{LevelPoint: b.pointOf(b.levels, p), Least: b.looked.least, Most: b.looked.most}
	if given := b.levels.known[0]; !p.partial && !given.partial {
		out.Saved = int64(math.Round(given.cost)) - *out.Cost
	}
	if b.plateau[0] != nil {
		out.SameFrom, out.SameTo = &b.plateau[0].shift, &b.plateau[1].shift
	}
	near := 2 * costTolerance / b.ground.unit
	for _, end := range [][2]float64{{b.looked.least, b.levels.limits.least}, {b.looked.most, b.levels.limits.most}} {
		switch {
		case math.Abs(p.shift-end[0]) > near:
		case end[0] == end[1]:
			out.AtEnd = EndLimit
		default:
			out.AtEnd = EndSearch
		}
	}
	return out
}
