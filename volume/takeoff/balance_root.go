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
}

// crosses reports whether the balance is in the bracket.
func (b bracket) crosses() bool { return b.low.left >= 0 && b.high.left <= 0 }

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
// too little.
func (l *levels) balance() (bracket, error) {
	b, err := l.straddle()
	if err != nil || !b.crosses() {
		return b, err
	}
	return l.narrow(b)
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
		shift := p.shift + p.left/l.falls(p) + math.Copysign(tolerance/4, p.left)
		if halve || !(shift > b.low.shift && shift < b.high.shift) {
			shift = b.low.shift + width/2
		}
		middle, err := l.at(wholeNanometres(shift))
		if err != nil {
			return b, err
		}
		if middle.left == 0 {
			return bracket{low: middle, high: middle}, nil
		}
		if middle.left > 0 {
			b.low = middle
		} else {
			b.high = middle
		}
		halve = b.high.shift-b.low.shift > width/2
	}
	b.jump = l.excess(b) > l.leastJump()
	return b, nil
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
