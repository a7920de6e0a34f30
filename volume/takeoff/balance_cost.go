package takeoff

import (
	"math"
	"slices"

	"barrow/volume/price"
)

// EarthRates are rates of earthworks, in minor units of money: of cents, pence. They are
// per volume of the result, m3 or yd3.
type EarthRates struct {
	Cut    int64 // to dig, bank measure
	Fill   int64 // to place and compact, compacted measure
	Spoil  int64 // of what is left over of the cut, bank measure, on top of Cut
	Import int64 // of what is missing of the fill, compacted measure, on top of Fill
}

// of returns what a level costs: cut x Cut + fill x Fill, and what is left over or
// missing.
func (e *EarthRates) of(p *levelled) float64 {
	return float64(p.cut*float64(e.Cut)) + float64(p.fill*float64(e.Fill)) +
		float64(p.surplus*float64(e.Spoil)) + float64(p.short*float64(e.Import))
}

// billed prices a result by rates, in minor units.
func billed(rates *price.Rates) func(*Result) (float64, error) {
	return func(r *Result) (float64, error) {
		priced, err := PriceResult(r, rates)
		if err != nil {
			return 0, err
		}
		return float64(priced.Bill.Total), nil
	}
}

// How the level of least cost is looked for.
const (
	costSteps     = 40   // even steps over the levels looked at
	costReach     = 1.0  // metres beyond the job's level and the balance where there is no limit
	costTolerance = 1e-4 // metres: how near a level of least cost is found
	sameCost      = 1e-9 // relative; costs nearer than that are one
)

// findLeastCost looks for the level of least cost: at even steps over the limits, at the
// balance, where the cost has a bend, and at the job's own level; then between the
// neighbours of each level that is no dearer than both. Of equal costs the one with the
// least shift counts.
func (b *balancing) findLeastCost() error {
	if !b.levels.costs() {
		return nil
	}
	b.looked = b.costRange()
	shifts := []float64{b.looked.least, b.looked.most, b.looked.nearestTo(0)}
	for _, p := range b.found.ends() {
		shifts = append(shifts, b.looked.nearestTo(p.shift))
	}
	way := b.looked.most - b.looked.least
	for i := 1; i < costSteps; i++ {
		shifts = append(shifts, wholeNanometres(b.looked.least+way*float64(i)/costSteps))
	}
	sampled, err := b.levels.atAll(shifts)
	if err != nil {
		return err
	}
	for i, p := range sampled {
		before, after := sampled[max(i-1, 0)], sampled[min(i+1, len(sampled)-1)]
		if p.cost <= min(before.cost, after.cost) && p.cost < max(before.cost, after.cost) {
			if err := b.levels.golden(before.shift, after.shift); err != nil {
				return err
			}
		}
	}
	b.cheapest = slices.MinFunc(b.levels.within(b.looked.least, b.looked.most), cheaper)
	return nil
}

// cheaper orders levels by cost, equal ones by the least shift.
func cheaper(p, q *levelled) int {
	switch d := p.cost - q.cost; {
	case math.Abs(d) > sameCost*max(math.Abs(p.cost), math.Abs(q.cost)):
		return int(math.Copysign(1, d))
	case math.Abs(p.shift) < math.Abs(q.shift):
		return -1
	case math.Abs(p.shift) > math.Abs(q.shift):
		return 1
	}
	return 0
}

// costRange returns the shifts looked at for the least cost.
func (b *balancing) costRange() shiftRange {
	s, reach, at := b.levels.limits, wholeNanometres(costReach/b.ground.unit), b.found.nearer().shift
	if math.IsInf(s.least, -1) {
		s.least = min(0, at, s.most) - reach
	}
	if math.IsInf(s.most, 1) {
		s.most = max(0, at, s.least) + reach
	}
	return s
}

// golden measures levels by golden sections between two shifts, towards the least cost:
// of two levels inside, the part beyond the dearer one is given up.
func (l *levels) golden(least, most float64) error {
	const section = 0.6180339887498949
	low, high := most-section*(most-least), least+section*(most-least)
	for most-least > costTolerance/l.ground.unit {
		p, err := l.at(wholeNanometres(low))
		if err != nil {
			return err
		}
		q, err := l.at(wholeNanometres(high))
		if err != nil {
			return err
		}
		if cheaper(p, q) <= 0 {
			most, high = high, low
			low = most - section*(most-least)
		} else {
			least, low = low, high
			high = least + section*(most-least)
		}
	}
	return nil
}
