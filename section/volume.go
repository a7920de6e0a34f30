package section

import (
	"math"

	"barrow/tin"
)

// Volume is what lies between two sections: cubic metres of cut and fill, and how
// much of each is the correction for a bend or curve.
type Volume struct {
	From, To                    float64 // chainages
	Cut, Fill                   float64
	CutCurvature, FillCurvature float64
}

// Volumes are the volumes along an alignment.
type Volumes struct {
	Volume
	Spans []Volume
}

// RunOut says how average end areas treat a span where an area runs out to nothing.
type RunOut int

// The ways to treat it.
const (
	Averaged  RunOut = iota // the mean of the area and 0, like any other
	AsPyramid               // a third of the area times the length
)

// AverageEndArea returns, for each span, the mean of the two end areas times the
// length, less the mean of the two moments times the turn: exact where depth changes
// in line between the two sections at every offset. Average end areas give half as
// much again as a pyramid has; out says whether spans with one area of 0 are taken as
// pyramids (AEA-1 in docs/checks.md).
//
//	V = L (A1 + A2) / 2 - turn (M1 + M2) / 2
func AverageEndArea(spans []Span, out RunOut) Volumes {
	return total(spans, func(s Span, area func(End) Area) (float64, float64) {
		a, b := area(s.From), area(s.To)
		share := 0.5
		if out == AsPyramid && (a.Area == 0) != (b.Area == 0) {
			share = 1.0 / 3
		}
		return float64(share * s.Length() * (a.Area + b.Area)), -float64(share * s.Turn * (a.Moment + b.Moment))
	})
}

// Prismoidal returns, for each span, the volume by the prismoidal rule (Simpson's)
// with the middle section as measured, and the same of the moments: exact for solids
// between the two sections whose area is of at most the third degree in chainage
// (AEA-3 and PRIS-1 in docs/checks.md). A span without a middle section is an error, unless it has no length.
//
//	V = L (A1 + 4 Am + A2) / 6 - turn (M1 + 4 Mm + M2) / 6
func Prismoidal(spans []Span) (Volumes, error) {
	for _, s := range spans {
		if s.Middle == nil && s.Length() != 0 {
			return Volumes{}, noMiddle(s)
		}
	}
	return total(spans, func(s Span, area func(End) Area) (float64, float64) {
		if s.Length() == 0 {
			return 0, 0
		}
		a, m, b := area(s.From), area(*s.Middle), area(s.To)
		sum := a.Area + float64(4*m.Area) + b.Area
		moment := a.Moment + float64(4*m.Moment) + b.Moment
		return s.Length() * sum / 6, -s.Turn * moment / 6
	}), nil
}

// total adds up what a rule gives for cut and fill of each span: the volume on the
// straight, and the correction for the bend.
func total(spans []Span, rule func(s Span, area func(End) Area) (straight, curvature float64)) Volumes {
	var cut, fill, cutCurvature, fillCurvature tin.Sum
	v := Volumes{Spans: make([]Volume, len(spans))}
	for i, s := range spans {
		c, cc := rule(s, func(e End) Area { return e.Cut })
		f, fc := rule(s, func(e End) Area { return e.Fill })
		v.Spans[i] = Volume{s.From.Chainage, s.To.Chainage, c + cc, f + fc, cc, fc}
		cut.Add(c)
		cut.Add(cc)
		fill.Add(f)
		fill.Add(fc)
		cutCurvature.Add(cc)
		fillCurvature.Add(fc)
	}
	if len(spans) > 0 {
		v.Volume = Volume{spans[0].From.Chainage, spans[len(spans)-1].To.Chainage,
			cut.Value(), fill.Value(), cutCurvature.Value(), fillCurvature.Value()}
	}
	return v
}

// OverMeasure returns by how much average end areas exceed the prismoidal rule, span
// by span. That is also Richardson's estimate of their error, from the areas at half
// the interval, and shows where along the alignment it arises. It is negative where
// they measure too little.
func OverMeasure(spans []Span) (Volumes, error) {
	p, err := Prismoidal(spans)
	if err != nil {
		return Volumes{}, err
	}
	v := AverageEndArea(spans, Averaged)
	v.Volume = v.less(p.Volume)
	for i := range v.Spans {
		v.Spans[i] = v.Spans[i].less(p.Spans[i])
	}
	return v, nil
}

func (v Volume) less(w Volume) Volume {
	return Volume{v.From, v.To, v.Cut - w.Cut, v.Fill - w.Fill, v.CutCurvature - w.CutCurvature, v.FillCurvature - w.FillCurvature}
}

// Richardson takes the same quantity measured at an interval and at half of it. If
// its error falls with the given power of the interval (2 for average end areas, 4
// for the prismoidal rule), limit is free of it, and off is what the finer one still
// has too much (L. F. Richardson 1911, from memory). See [Order].
func Richardson(coarse, fine float64, order int) (limit, off float64) {
	off = (coarse - fine) / (math.Pow(2, float64(order)) - 1)
	return fine - off, off
}

// Order returns the power of the interval with which the error of a quantity falls,
// from three measures of it, each at half the interval of the one before. It is NaN
// or infinite where two of them are equal.
func Order(coarse, fine, finest float64) float64 {
	return math.Log2(math.Abs(coarse-fine) / math.Abs(fine-finest))
}
