package takeoff

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"barrow/tin/formation"
	"barrow/volume/material"
)

// Bounds of what is asked for: beyond them a figure was hardly meant.
const (
	leastStep   = 1e-4 // metres: what a level is found to
	mostStep    = 1.0  // metres
	farthestTry = 100  // metres of shift looked at where no limit is given
)

// check refuses options that are none.
func (b *balancing) check() error {
	o := b.opts
	if s := o.Step; s != 0 && !(s*b.ground.unit >= leastStep && s*b.ground.unit <= mostStep) {
		return badJob(codeBadValue, "step", "a step of "+formatNumber(s), "give a length from 0.1 mm to 1 m, or leave it out")
	}
	if f := o.CompactedPerBank; f != 0 {
		if err := material.CheckCompactedPerBank(f); err != nil {
			return err
		}
	}
	for _, l := range []struct {
		key   string
		level *float64
	}{{"not_below", o.NotBelow}, {"not_above", o.NotAbove}} {
		if l.level != nil && !finite(*l.level) {
			return badJob(formation.CodeBadLevel, l.key, "a limit that is no level", "give it as a finite number")
		}
	}
	return nil
}

// checkBounds refuses bounds of a pad that leave it no level.
func (j *Job) checkBounds() error {
	for i := range j.Pads {
		p := &j.Pads[i]
		key := fmt.Sprintf("pad[%d]", i)
		for _, l := range []*float64{p.NotBelow, p.NotAbove} {
			if l != nil && !finite(*l) {
				return badJob(formation.CodeBadLevel, key, "a bound that is no level", "give it as a finite number")
			}
		}
		if p.NotBelow != nil && p.NotAbove != nil && *p.NotBelow > *p.NotAbove {
			return badJob(codeLimits, key+".not_below", fmt.Sprintf("pad %q: not below %s and not above %s leave no level", p.Name,
				formatNumber(*p.NotBelow), formatNumber(*p.NotAbove)), "let not_below be the lower of the two")
		}
	}
	return nil
}

// findMoved finds the pads that move.
func (b *balancing) findMoved() error {
	var moved []int
	for _, name := range b.opts.Pads {
		i := b.job.padNamed(name)
		if i < 0 {
			return badJob(codeUnknownPad, "pads", fmt.Sprintf("the job has no pad %q", name), "the pads of the job: "+b.job.padNames())
		}
		moved = append(moved, i)
	}
	if len(b.opts.Pads) == 0 {
		for i := range b.job.Pads {
			moved = append(moved, i)
		}
	}
	slices.Sort(moved)
	l := newLevels(b.ground, slices.Compact(moved), b.opts.CompactedPerBank)
	if l.factor == 0 {
		l.factor, l.worth = 1, 1
	}
	l.rates, l.cost = b.opts.Rates, b.opts.Cost
	if l.cost == nil && b.opts.Bill != nil {
		l.cost = billed(b.opts.Bill)
	}
	l.planHaul = b.opts.Cost != nil || b.opts.Bill != nil && haulPriced(b.opts.Bill)
	b.levels = l
	return nil
}

// padNames lists the pads of the job.
func (j *Job) padNames() string {
	var names []string
	for _, p := range j.Pads {
		names = append(names, p.Name)
	}
	return strings.Join(names, ", ")
}

// shiftRange is the shifts that limits allow, in the job's unit; infinite where there is
// no limit.
type shiftRange struct {
	least, most     float64
	leastOf, mostOf string // what sets them, in words
}

// holds reports whether a shift is within the limits.
func (s shiftRange) holds(shift float64) bool { return shift >= s.least && shift <= s.most }

// nearestTo returns the shift within the limits that is nearest to one.
func (s shiftRange) nearestTo(shift float64) float64 { return min(max(shift, s.least), s.most) }

// limit is a bound of a pad's finished level.
type limit struct {
	level *float64 // nil: none
	above bool     // the pad stays below it; else above
	words string   // whose it is
}

// findRange finds the shifts that all limits allow.
func (b *balancing) findRange() (err error) {
	b.levels.limits, err = b.rangeOf(b.levels.moved...)
	return err
}

// rangeOf returns the shifts that the limits of pads moved together allow.
func (b *balancing) rangeOf(pads ...int) (shiftRange, error) {
	s := shiftRange{least: math.Inf(-1), most: math.Inf(1)}
	for _, i := range pads {
		p := &b.job.Pads[i]
		for _, l := range []limit{{p.NotBelow, false, "its own limit"}, {p.NotAbove, true, "its own limit"},
			{b.opts.NotBelow, false, "the limit given"}, {b.opts.NotAbove, true, "the limit given"}} {
			s.keep(p, l)
		}
	}
	if s.least > s.most {
		return s, badJob(codeLimits, "not_below", fmt.Sprintf("no level keeps the limits: %s asks for a shift of %s or more, %s for %s or less",
			s.leastOf, formatNumber(s.least), s.mostOf, formatNumber(s.most)), "give limits that leave a level to all pads moved, or move fewer pads")
	}
	return s, nil
}

// keep narrows the range to what a limit of a pad allows.
func (s *shiftRange) keep(p *Pad, l limit) {
	if l.level == nil {
		return
	}
	low, high := p.finishedRange()
	if !l.above {
		if shift := addLevels(*l.level, -low); shift > s.least {
			s.least, s.leastOf = shift, fmt.Sprintf("pad %s not below %s (%s)", p.Name, formatNumber(*l.level), l.words)
		}
	} else if shift := addLevels(*l.level, -high); shift < s.most {
		s.most, s.mostOf = shift, fmt.Sprintf("pad %s not above %s (%s)", p.Name, formatNumber(*l.level), l.words)
	}
}

// finishedRange returns the lowest and the highest finished level of a pad: of a pad
// with levels of its own those it gives, else the one it has, at Fall.At where it falls.
func (p *Pad) finishedRange() (low, high float64) {
	if p.Levels == nil {
		return p.Finished, p.Finished
	}
	low, high = math.Inf(1), math.Inf(-1)
	add := func(z float64) {
		if finite(z) { // a line's vertex may have none
			low, high = min(low, z), max(high, z)
		}
	}
	for _, ring := range p.Levels.Outline {
		for _, z := range ring {
			add(z)
		}
	}
	for _, q := range p.Levels.Spots {
		add(q.Level)
	}
	for _, line := range p.Levels.Lines {
		for _, q := range line.Vertices {
			add(q.Level)
		}
	}
	return low, high
}
