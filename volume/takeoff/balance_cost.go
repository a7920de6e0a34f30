package takeoff

import (
	"math"
	"slices"

	"barrow/volume/price"
)

// EarthRates are rates of earthworks, in minor units of money: of cents, pence. They are
// per volume of the result, m3 or yd3.
type EarthRates struct {
	Currency *price.Currency `json:"currency,omitempty"` // nil: not said, and minor units are hundredths
	Cut      int64           `json:"cut"`                // to dig, bank measure
	Fill     int64           `json:"fill"`               // to place and compact, compacted measure
	Spoil    int64           `json:"spoil"`              // of what is left over of the cut, bank measure, on top of Cut; by the job's materials of all that leaves the site
	Import   int64           `json:"import"`             // of what is missing of the fill, compacted measure, on top of Fill
}

// of returns what a level costs: cut x Cut + fill x Fill, and what is left over or
// missing.
func (e *EarthRates) of(p *levelled) float64 {
	return float64(p.cut*float64(e.Cut)) + float64(p.fill*float64(e.Fill)) +
		float64(p.spoil*float64(e.Spoil)) + float64(p.short*float64(e.Import))
}

// billed prices a result by rates, in minor units: its works with their contingency.
func billed(rates *price.Rates) func(*Result) (float64, error) {
	return func(r *Result) (float64, error) {
		priced, err := PriceResult(r, rates)
		if err != nil {
			return 0, err
		}
		return float64(priced.Bill.Firm), nil
	}
}

// haulPriced reports whether rates ask for the haul on site.
func haulPriced(rates *price.Rates) bool {
	return slices.ContainsFunc(rates.Items, func(r price.Rate) bool { return r.Key == "haul" })
}

// How the level of least cost is looked for.
const (
	costSteps     = 40   // even steps over the levels looked at
	costReach     = 1.0  // metres beyond the job's level and the balance where there is no limit
	costTolerance = 1e-4 // metres: how near a level of least cost is found
	sameCost      = 1e-9 // relative; costs nearer than that are one
	dips          = 3    // how many of the least sampled costs of a bill are looked into
	dipParts      = 8    // even parts of what lies about a sample, and of what of them is left
)

// findLeastCost looks for the level of least cost: at even steps over the limits, at the
// balance, where the cost has a bend, and at the job's own level; then between the
// neighbours of levels that are no dearer than both. Of equal costs the one with the
// least shift counts.
func (b *balancing) findLeastCost() error {
	if !b.levels.costs() {
		return nil
	}
	b.looked = b.levels.reachable(b.found.nearer().shift)
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
	var low [][3]*levelled // each no dearer than the one before it and the one behind it
	for i, p := range sampled {
		before, after := sampled[max(i-1, 0)], sampled[min(i+1, len(sampled)-1)]
		if cheaper(p, before) <= 0 && cheaper(p, after) <= 0 {
			low = append(low, [3]*levelled{before, p, after})
		}
	}
	if err := b.lookInto(low); err != nil {
		return err
	}
	b.takeCheapest()
	return nil
}

// lookInto looks for less cost about samples. The cost of a bill is a staircase, of
// whole loads and rounded quantities, so that many a sample is a dip by chance: the
// least of them are looked into, at even steps. Else each is, by golden sections.
func (b *balancing) lookInto(low [][3]*levelled) error {
	look := b.levels.golden
	if b.stairs() {
		slices.SortStableFunc(low, func(x, y [3]*levelled) int { return cheaper(x[1], y[1]) })
		low, look = low[:min(dips, len(low))], b.levels.sieve
	}
	for _, s := range low {
		if err := look(s[0].shift, s[2].shift); err != nil {
			return err
		}
	}
	return nil
}

// stairs reports whether the cost goes in steps.
func (b *balancing) stairs() bool { return b.opts.Bill != nil && b.opts.Cost == nil }

func (b *balancing) takeCheapest() {
	b.cheapest = slices.MinFunc(b.levels.within(b.looked.least, b.looked.most), cheaper)
}

// sieve measures levels at even steps between two shifts, and again about the cheapest.
func (l *levels) sieve(least, most float64) error {
	for most-least > costTolerance/l.ground.unit {
		shifts := make([]float64, dipParts+1)
		for i := range shifts {
			shifts[i] = wholeNanometres(least + (most-least)*float64(i)/dipParts)
		}
		list, err := l.atAll(shifts)
		if err != nil {
			return err
		}
		k := slices.Index(list, slices.MinFunc(list, cheaper))
		least, most = list[max(k-1, 0)].shift, list[min(k+1, len(list)-1)].shift
	}
	return nil
}

// settleLeastCost takes the cheapest of all levels measured, and of a bill finds from
// where to where it costs the same to the minor unit.
func (b *balancing) settleLeastCost() error {
	if b.cheapest == nil {
		return nil
	}
	b.takeCheapest()
	for b.stairs() {
		first := b.cheapest.cost
		if err := b.findPlateau(); err != nil {
			return err
		}
		if b.takeCheapest(); b.cheapest.cost == first {
			break
		}
	}
	shifts := []float64{b.cheapest.shift}
	for _, p := range b.curve {
		shifts = append(shifts, p.shift)
	}
	var err error
	b.curve, err = b.levels.atAll(shifts)
	return err
}

// findPlateau finds the ends of the levels about the cheapest that cost as much, each to
// costTolerance.
func (b *balancing) findPlateau() error {
	known := b.levels.within(b.looked.least, b.looked.most)
	low := slices.Index(known, b.cheapest)
	high := low
	same := func(p *levelled) bool { return p.cost == b.cheapest.cost && p.partial == b.cheapest.partial }
	for low > 0 && same(known[low-1]) {
		low--
	}
	for high < len(known)-1 && same(known[high+1]) {
		high++
	}
	b.plateau = [2]*levelled{known[low], known[high]}
	for i, other := range []*levelled{known[max(low-1, 0)], known[min(high+1, len(known)-1)]} {
		for math.Abs(other.shift-b.plateau[i].shift) > costTolerance/b.ground.unit {
			p, err := b.levels.at(wholeNanometres(b.plateau[i].shift + (other.shift-b.plateau[i].shift)/2))
			if err != nil {
				return err
			}
			if same(p) {
				b.plateau[i] = p
			} else {
				other = p
			}
		}
	}
	return nil
}

// cheaper orders levels by cost, equal ones by the least shift. One whose cost is not
// known in full comes after those whose is.
func cheaper(p, q *levelled) int {
	switch d := p.cost - q.cost; {
	case p.partial != q.partial:
		if p.partial {
			return 1
		}
		return -1
	case math.Abs(d) > sameCost*max(math.Abs(p.cost), math.Abs(q.cost)):
		return int(math.Copysign(1, d))
	case math.Abs(p.shift) < math.Abs(q.shift):
		return -1
	case math.Abs(p.shift) > math.Abs(q.shift):
		return 1
	}
	return 0
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
