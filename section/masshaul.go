package section

import (
	"math"

	"barrow/tin"
)

// Haulage says how material is moved along an alignment.
type Haulage struct {
	// CompactedPerBank is what a cubic metre of cut makes in fill: compacted volume
	// over bank volume. 0 counts as 1.
	CompactedPerBank float64
	FreeHaul         float64 // metres that are not paid for
	// Longest is the haul, metres, beyond which cut is wasted and fill brought in
	// (the economic haul). 0: none is too long.
	Longest float64
}

// Ordinate is a point of the mass-haul curve.
type Ordinate struct {
	Chainage float64
	Cut      float64 // cumulative, bank measure
	Fill     float64 // cumulative, compacted measure
	Ordinate float64 // cut turned into compacted measure, less fill: what is at hand
}

// Move is a volume hauled along the alignment, cut between From[0] and From[1] and
// filled between To[0] and To[1]: what is cut nearest to the fill goes the shortest
// way. Volumes are in compacted measure.
type Move struct {
	From, To [2]float64 // chainages, the nearest to the other end first
	Volume   float64
	Moment   float64 // volume times distance, m3 m
	// Overhaul is the moment beyond the free haul, and OverhaulVolume what is moved
	// farther than it.
	Overhaul, OverhaulVolume float64
}

// Distance returns the mean haul, metres.
func (m Move) Distance() float64 { return m.Moment / m.Volume }

// MassHaulCurve is what is hauled along an alignment. Volumes are in compacted
// measure.
type MassHaulCurve struct {
	Ordinates []Ordinate
	Balance   []float64 // chainages at which cut so far makes just the fill so far
	Moves     []Move

	Across                   float64 // cut that fills between the same two sections
	Hauled, Moment           float64 // along the alignment, and times its distance
	Overhaul, OverhaulVolume float64 // as in Move
	Waste, Import            float64 // cut that finds no fill, fill that finds no cut
}

// MassHaul balances the cut and fill of spans, in order of chainage. Between two
// sections the curve is straight. The balance line is that of ordinate 0: each layer
// of the curve, from where it rises to where it falls or the other way round, is one
// haul, and what finds no other end by the last section is wasted or brought in. Overhaul
// is by moments (MASS-1 in docs/checks.md).
func MassHaul(spans []Volume, h Haulage) (*MassHaulCurve, error) {
	factor := h.CompactedPerBank
	if factor == 0 {
		factor = 1
	}
	if !(factor > 0 && factor <= 10) || !isLength(h.FreeHaul, h.Longest) || h.FreeHaul < 0 || h.Longest < 0 {
		return nil, fail("bad_haulage", "give a factor between 0 and 10, and lengths of at least 0",
			"compacted per bank %v, free haul %v m, longest haul %v m", factor, h.FreeHaul, h.Longest)
	}
	b := balancer{haulage: h, curve: &MassHaulCurve{}}
	var cut, fill, across tin.Sum
	for i, s := range spans {
		if err := checkSpan(spans, i); err != nil {
			return nil, err
		}
		if i == 0 {
			b.curve.Ordinates = append(b.curve.Ordinates, Ordinate{Chainage: s.From})
		}
		cut.Add(s.Cut)
		fill.Add(s.Fill)
		made := float64(s.Cut * factor)
		across.Add(min(made, s.Fill))
		b.leg(s.From, s.To, made-s.Fill)
		b.curve.Ordinates = append(b.curve.Ordinates, Ordinate{s.To, cut.Value(), fill.Value(), float64(factor*cut.Value()) - fill.Value()})
	}
	b.curve.Across = across.Value()
	b.finish()
	return b.curve, nil
}

func checkSpan(spans []Volume, i int) error {
	s := spans[i]
	if !isLength(s.From, s.To) || !(s.Cut >= 0 && s.Cut <= greatest && s.Fill >= 0 && s.Fill <= greatest) {
		return fail("bad_volume", "give finite volumes of at least 0", "cut %v and fill %v between chainages %v and %v", s.Cut, s.Fill, s.From, s.To)
	}
	if s.To < s.From || i > 0 && s.From != spans[i-1].To {
		return fail("chainages_order", "let each span begin where the one before ends", "a span from chainage %v to %v", s.From, s.To)
	}
	return nil
}

// layer is a volume that waits for its other end: cut where positive, fill where
// negative, spread evenly between two chainages.
type layer struct{ from, to, volume float64 }

// balancer goes along the curve. waiting are layers of one sign, the nearest last.
type balancer struct {
	haulage Haulage
	curve   *MassHaulCurve
	waiting []layer

	hauled, moment, overhaul, overhaulVolume, waste, brought tin.Sum
}

// leg takes in the net volume of a span.
func (b *balancer) leg(from, to, volume float64) {
	for volume != 0 && len(b.waiting) > 0 {
		last := &b.waiting[len(b.waiting)-1]
		if (last.volume > 0) == (volume > 0) {
			break
		}
		amount := min(math.Abs(last.volume), math.Abs(volume))
		near := last.to + float64((last.from-last.to)*(amount/math.Abs(last.volume)))
		far := from + float64((to-from)*(amount/math.Abs(volume)))
		b.move(amount, [2]float64{last.to, near}, [2]float64{from, far}, last.volume > 0)
		volume = less(volume, amount)
		from = far
		last.to = near
		if last.volume = less(last.volume, amount); last.volume == 0 {
			b.waiting = b.waiting[:len(b.waiting)-1]
		}
	}
	if volume != 0 {
		b.waiting = append(b.waiting, layer{from, to, volume})
	}
}

// less takes an amount off a volume of either sign.
func less(volume, amount float64) float64 { return math.Copysign(math.Abs(volume)-amount, volume) }

// move hauls an amount between a layer that waited, behind, and one ahead of it. Its
// distance grows evenly with the amount.
func (b *balancer) move(amount float64, behind, ahead [2]float64, forward bool) {
	short, long := ahead[0]-behind[0], ahead[1]-behind[1]
	if limit := b.haulage.Longest; limit > 0 && long > limit {
		kept := 0.0
		if short < limit {
			kept = (limit - short) / (long - short)
		}
		b.waste.Add(amount - float64(kept*amount))
		b.brought.Add(amount - float64(kept*amount))
		behind[1] = behind[0] + float64(kept*(behind[1]-behind[0]))
		ahead[1] = ahead[0] + float64(kept*(ahead[1]-ahead[0]))
		amount, long = amount*kept, limit
	}
	if amount == 0 {
		return
	}
	m := Move{From: behind, To: ahead, Volume: amount, Moment: amount * (short + long) / 2}
	if !forward {
		m.From, m.To = ahead, behind
	}
	if free := b.haulage.FreeHaul; long > free {
		start := max(short, free)
		m.OverhaulVolume = amount
		if short < free {
			m.OverhaulVolume = amount * ((long - free) / (long - short))
		}
		m.Overhaul = m.OverhaulVolume * ((start - free) + (long - free)) / 2
	}
	b.hauled.Add(m.Volume)
	b.moment.Add(m.Moment)
	b.overhaul.Add(m.Overhaul)
	b.overhaulVolume.Add(m.OverhaulVolume)
	b.curve.Moves = append(b.curve.Moves, m)
}

// finish counts what is left waiting, and finds the balance points.
func (b *balancer) finish() {
	for _, l := range b.waiting {
		if l.volume > 0 {
			b.waste.Add(l.volume)
		} else {
			b.brought.Add(-l.volume)
		}
	}
	c := b.curve
	c.Hauled, c.Moment = b.hauled.Value(), b.moment.Value()
	c.Overhaul, c.OverhaulVolume = b.overhaul.Value(), b.overhaulVolume.Value()
	c.Waste, c.Import = b.waste.Value(), b.brought.Value()
	for i := 1; i < len(c.Ordinates); i++ {
		p, q := c.Ordinates[i-1], c.Ordinates[i]
		switch {
		case p.Ordinate*q.Ordinate < 0:
			c.Balance = append(c.Balance, p.Chainage+float64((q.Chainage-p.Chainage)*(p.Ordinate/(p.Ordinate-q.Ordinate))))
		case q.Ordinate == 0 && p.Ordinate != 0:
			c.Balance = append(c.Balance, q.Chainage)
		}
	}
}
