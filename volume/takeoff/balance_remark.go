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
	if !b.factored() {
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
	switch {
	case !b.found.crosses():
		list = append(list, tin.Problem{Code: WarnNoBalance, Message: fmt.Sprintf("no level %s balances: at the nearest, a shift of %s, %s",
			b.rangeWords(), b.shiftWords(b.found.low.shift), left(b.found.low))})
	case b.found.jump:
		list = append(list, tin.Problem{Code: WarnJump, Message: fmt.Sprintf("no level balances exactly: at a shift of %s works join or part. "+
			"Just below it %s, just above %s; the nearer of the two is given", b.shiftWords(b.found.low.shift), left(b.found.low), left(b.found.high))})
	}
	return list
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
	if t.Topsoil > 0 && !b.levels.byMaterials {
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
	return append(append(list, Omission{"haul", "haul: from where on the site to where"}), b.job.notMeasured()...)
}
