package takeoff

import (
	"cmp"
	"math"
	"slices"
)

// bracket is two levels with what is sought between them. Where limits end the search
// before the balance both are the nearest level.
type bracket struct {
	low, high *levelled
	jump      bool // the volumes jump between the two
	flips     bool // they do not, but the materials that they are of do
}

// crosses reports whether a balance is in the bracket: what is left over falls to 0 or
// below, or where it may turn rises to it or above.
func (b bracket) crosses() bool {
	return b.low.left >= 0 && b.high.left <= 0 || b.low.left <= 0 && b.high.left >= 0
}

// nearer returns the end with less left over or missing.
func (b bracket) nearer() *levelled {
	if math.Abs(b.high.left) < math.Abs(b.low.left) {
		return b.high
	}
	return b.low
}

// ends returns both levels.
func (b bracket) ends() []*levelled { return []*levelled{b.low, b.high} }

// Shifts in metres.
const (
	levelTolerance = 1e-6 // how near the two ends of a balance are in the end
	firstTry       = 0.01 // least way to look for the other side of a balance
)

// balance finds the level at which the cut, compacted, makes the fill: what is left
// over never grows with the level, so that one side of it has too much and the other
// too little. Where it may turn, the balance next to the job's own level is looked for at
// even steps first.
func (l *levels) balance() (b bracket, err error) {
	if len(l.turns) > 0 {
		if b, err = l.nextCrossing(); err != nil || b.low != nil {
			return b, err
		}
	}
	b, err = l.straddle()
	if err != nil {
		return b, err
	}
	if !b.crosses() {
		least := slices.MinFunc(l.within(l.limits.least, l.limits.most), func(p, q *levelled) int { return cmp.Compare(math.Abs(p.left), math.Abs(q.left)) })
		if math.Abs(least.left) < math.Abs(b.low.left) {
			b = bracket{low: least, high: least}
		}
		return b, nil
	}
	return l.narrow(b)
}

// scanSteps is how many even steps a balance that may turn is looked for at, to either
// side of the job's own level as far as limits or costReach allow.
const scanSteps = 20

// nextCrossing looks for balances at even steps, and closes in on the one next to the
// job's own level, the lower one of two. Its low is nil where there is none.
func (l *levels) nextCrossing() (bracket, error) {
	start, s := l.limits.nearestTo(0), l.reachable(l.limits.nearestTo(0))
	shifts := []float64{start}
	for i := range scanSteps + 1 {
		shifts = append(shifts, wholeNanometres(s.least+(s.most-s.least)*float64(i)/scanSteps))
	}
	list, err := l.atAll(shifts)
	if err != nil {
		return bracket{}, err
	}
	for i := 1; i < len(list); i++ {
		if (list[i-1].left >= 0) != (list[i].left >= 0) {
			l.crossings = append(l.crossings, bracket{low: list[i-1], high: list[i]})
		}
	}
	if len(l.crossings) == 0 {
		return bracket{}, nil
	}
	away := func(b bracket) float64 { return max(b.low.shift-start, start-b.high.shift, 0) }
	return l.narrow(slices.MinFunc(l.crossings, func(x, y bracket) int { return cmp.Compare(away(x), away(y)) }))
}

// reachable returns the shifts that limits allow, or for want of one some way beyond a
// shift and the job's own level.
func (l *levels) reachable(at float64) shiftRange {
	s, reach := l.limits, wholeNanometres(costReach/l.ground.unit)
	if math.IsInf(s.least, -1) {
		s.least = min(0, at, s.most) - reach
	}
	if math.IsInf(s.most, 1) {
		s.most = max(0, at, s.least) + reach
	}
	return s
}

// straddle looks for a level on each side of the balance, from the job's own level
// outwards as far as the derivative says, and at least twice as far each time.
func (l *levels) straddle() (b bracket, err error) {
	start, far := l.limits.nearestTo(0), wholeNanometres(farthestTry/l.ground.unit)
	least, most := max(l.limits.least, start-far), min(l.limits.most, start+far)
	p, err := l.at(start)
	if err != nil {
		return b, err
	}
	up, way := p.left > 0, firstTry/l.ground.unit
	for {
		if p.left == 0 {
			return bracket{low: p, high: p}, nil
		}
		to := least
		if up {
			to = most
		}
		if p.shift == to {
			return bracket{low: p, high: p}, nil
		}
		way = max(way, min(math.Abs(p.left)/l.falls(p), 100*way))
		next, err := l.at(min(max(wholeNanometres(p.shift+math.Copysign(way, p.left)), least), most))
		if err != nil {
			return b, err
		}
		switch {
		case up && next.left <= 0:
			return bracket{low: p, high: next}, nil
		case !up && next.left >= 0:
			return bracket{low: next, high: p}, nil
		}
		p, way = next, 2*way
	}
}

// narrow draws the ends of a bracket together, by Newton's method on what is left over
// and its exact derivative, and by halves where that does not do better. Newton's step
// goes a little too far, so that both ends move. A jump only gives way to halves.
func (l *levels) narrow(b bracket) (bracket, error) {
	tolerance := levelTolerance / l.ground.unit
	halve := false
	for b.high.shift-b.low.shift > tolerance {
		width := b.high.shift - b.low.shift
		p := b.nearer()
		shift := p.shift + p.left/l.slope(b, p) + b.inwards(p, tolerance/4)
		if halve || !(shift > b.low.shift && shift < b.high.shift) {
			shift = b.low.shift + width/2
		}
		middle, err := l.at(wholeNanometres(shift))
		if err != nil {
			return b, err
		}
		if middle.left == 0 && middle.wanted > 0 {
			return bracket{low: middle, high: middle}, nil
		}
		if (middle.left >= 0) == (b.low.left >= 0) {
			b.low = middle
		} else {
			b.high = middle
		}
		halve = b.high.shift-b.low.shift > width/2
	}
	b.jump = l.excess(b) > l.leastJump()
	way := b.high.shift - b.low.shift
	b.flips = !b.jump && l.byMaterials && math.Abs(b.low.left-b.high.left) > l.leastJump()+2*way*max(l.falls(b.low), l.falls(b.high))
	return b, nil
}

// slope is by how much less is left over per unit of shift upwards, at an end of a
// bracket; by materials, of which each falls at its own rate, from one end to the other.
func (l *levels) slope(b bracket, p *levelled) float64 {
	if l.byMaterials {
		return (b.low.left - b.high.left) / (b.high.shift - b.low.shift)
	}
	return l.falls(p)
}

// inwards is a step from an end of the bracket to the inside.
func (b bracket) inwards(p *levelled, step float64) float64 {
	if p == b.low {
		return step
	}
	return -step
}

// leastJump is a jump worth telling of: 0.01 m3.
func (l *levels) leastJump() float64 {
	return 0.01 * l.ground.scale * l.ground.scale / l.ground.volumeUnit()
}

// excess returns by how much cut or fill change from one end of a bracket to the other
// beyond what areas that grow steadily can explain: the cut area is never greater than
// at the low end, the fill area never greater than at the high end. 0 or less: there
// need be no jump.
func (l *levels) excess(b bracket) float64 {
	way := b.high.shift - b.low.shift
	cut := b.low.cut - b.high.cut - float64(way*b.low.cutFalls)
	fill := b.high.fill - b.low.fill - float64(way*b.high.fillRise)
	return max(cut, fill) - b.low.bound - b.high.bound
}

// findJumps finds where the volumes jump from one shift to another.
func (b *balancing) findJumps(least, most float64) error {
	if b.found.jump {
		b.jumps = append(b.jumps, b.found)
	}
	known := b.levels.within(least, most)
	for i := 1; i < len(known); i++ {
		between := bracket{low: known[i-1], high: known[i]}
		if b.found.jump && between.low.shift >= b.found.low.shift && between.high.shift <= b.found.high.shift {
			continue
		}
		jump, err := b.levels.jumpIn(between)
		if err != nil {
			return err
		}
		if jump.jump {
			b.jumps = append(b.jumps, jump)
		}
	}
	slices.SortFunc(b.jumps, func(x, y bracket) int { return cmp.Compare(x.low.shift, y.low.shift) })
	return nil
}

// jumpTolerance is how near the two sides of a jump are, metres.
const jumpTolerance = 1e-5

// jumpIn draws the ends of a bracket together about the greatest jump in it. What only
// looked like one, because works grow where others give way, gets smaller as they do.
func (l *levels) jumpIn(b bracket) (bracket, error) {
	excess := l.excess(b)
	least := max(l.leastJump(), excess/2)
	for excess > l.leastJump() && b.high.shift-b.low.shift > jumpTolerance/l.ground.unit {
		middle, err := l.at(wholeNanometres(b.low.shift + (b.high.shift-b.low.shift)/2))
		if err != nil {
			return b, err
		}
		lower, upper := bracket{low: b.low, high: middle}, bracket{low: middle, high: b.high}
		b = upper
		if l.excess(lower) >= l.excess(upper) {
			b = lower
		}
		excess = l.excess(b)
	}
	b.jump = excess > least
	return b, nil
}
