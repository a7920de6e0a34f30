package takeoff

import (
	"math"
	"slices"

	"barrow/section"
)

// bySections measures works by average end areas and by the prismoidal rule.
func (x *crossing) bySections(w *crossWorks) ([]crossMethod, error) {
	// What Cut notes is known: ground that is missing is told of with the works, and an
	// alignment is taken only if the sections along it meet all of the works once.
	at, err := section.Cut(x.run.ctx, x.run.ground, w.formation, x.alignment, x.marks, x.cutting(&x.along, true))
	if err != nil {
		return nil, err
	}
	between, err := section.Cut(x.run.ctx, x.run.ground, w.formation, x.alignment, x.parted, x.cutting(&x.along, true))
	if err != nil {
		return nil, err
	}
	spans := at.Spans()
	mean := section.AverageEndArea(spans, section.Averaged)
	simpson, err := section.Prismoidal(spans)
	if err != nil {
		return nil, err
	}
	finer, err := section.Prismoidal(between.Spans())
	if err != nil {
		return nil, err
	}
	over, err := section.OverMeasure(spans)
	if err != nil {
		return nil, err
	}
	rule := crossMethod{name: MethodPrismoidal, volumes: spanVolumes(simpson.Volume), parts: x.stretches(at, simpson.Spans)}
	rule.expected = expectedOf(turned(spans, parted(simpson.Spans, finer.Spans), over.Spans))
	ends := crossMethod{name: MethodEndArea, volumes: spanVolumes(mean.Volume), parts: x.stretches(at, mean.Spans)}
	ends.expected = expectedOf(over.Spans)
	for q := range quantities { // what the prismoidal rule leaves is in them too
		ends.expected[q] += rule.expected[q]
	}
	rule.distribute, ends.distribute = x.alongSpans, x.alongSpans
	return []crossMethod{ends, rule}, nil
}

func spanVolumes(v section.Volume) crossVolumes { return crossVolumes{v.Cut, v.Fill, v.Cut - v.Fill} }

// parted returns the estimated error of each span: its volume less that of its two
// parts, extrapolated, as errors fall with the square of the interval where works begin,
// end or change slope between two sections (L. F. Richardson 1911, from memory). Such a
// place is in a part of a share p of the span with the chance p, so that parts leave
// p^3 + (1-p)^3 of the error: halves a quarter.
func parted(spans, parts []section.Volume) []section.Volume {
	out := slices.Clone(spans)
	for i := range out {
		s := &out[i]
		var cut, fill, left float64
		for len(parts) > 0 && parts[0].To <= s.To && (parts[0].From < s.To || s.From == s.To) {
			cut, fill = cut+parts[0].Cut, fill+parts[0].Fill
			if s.To > s.From {
				left += math.Pow((parts[0].To-parts[0].From)/(s.To-s.From), 3)
			}
			parts = parts[1:]
		}
		s.Cut, s.Fill = (s.Cut-cut)/(1-left), (s.Fill-fill)/(1-left)
	}
	return out
}

// turned returns the estimated errors of spans, and of those at a bend no less than what
// average end areas measure more: halving a span does not part the turn, which the half
// beside the bend has all of.
func turned(spans []section.Span, errors, over []section.Volume) []section.Volume {
	greater := func(a, b float64) float64 {
		if math.Abs(b) > math.Abs(a) {
			return b
		}
		return a
	}
	for i := range errors {
		if spans[i].Turn != 0 {
			errors[i].Cut, errors[i].Fill = greater(errors[i].Cut, over[i].Cut), greater(errors[i].Fill, over[i].Fill)
		}
	}
	return errors
}

// expectedOf returns what the estimated errors of spans come to. Where they are alike,
// as on smooth ground, it is twice their sum (see crossMargin); where they are of both
// signs, as on broken ground, that may be small by chance, and it is no less than twice
// the root of the sum of their squares (docs/methods.md, 5.1).
func expectedOf(errors []section.Volume) (e crossVolumes) {
	var sum, squares crossVolumes
	for _, s := range errors {
		for q, v := range spanVolumes(s) {
			sum[q] += v
			squares[q] += float64(v * v)
		}
	}
	for q := range e {
		e[q] = max(crossMargin*math.Abs(sum[q]), 2*math.Sqrt(squares[q]))
	}
	return e
}

// stretches returns the parts of the works between sections. Between the two sections
// of one chainage there is none.
func (x *crossing) stretches(at *section.Run, spans []section.Volume) (parts []crossPart) {
	for i, s := range spans {
		if s.To == s.From {
			continue
		}
		parts = append(parts, crossPart{
			stretch: true, from: s.From, to: s.To, lines: [2]crossLine{acrossAt(&at.Sections[i]), acrossAt(&at.Sections[i+1])}, by: spanVolumes(s),
			at: x.alignment.At(s.From + (s.To-s.From)/2),
		})
	}
	return parts
}

func (p *crossPart) addPrism(v crossVolumes) {
	for q := range v {
		p.prisms[q] += v[q]
	}
}
