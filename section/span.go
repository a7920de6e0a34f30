package section

import "math"

// End is what volumes need of a section: its chainage, and its areas square to the
// alignment.
type End struct {
	Chainage  float64
	Cut, Fill Area
}

// Span is the way from one section to the next.
type Span struct {
	From, To End
	// Turn is by how many metres the way gets shorter for each metre of offset to
	// the right: the length over the radius on a curve to the right (negative to the
	// left); between straight legs, the tangent of half the deflection for each end
	// that is a bend. 0 on the straight.
	Turn float64
	// Middle is the section measured half way, nil where there is none.
	Middle *End
}

// Length returns the length along the alignment.
func (s Span) Length() float64 { return s.To.Chainage - s.From.Chainage }

// Spans returns the straight spans between ends by rising chainage, such as those of
// a cross-section book. Two ends of one chainage are the two sides of a step.
func Spans(ends []End) ([]Span, error) {
	spans := make([]Span, 0, len(ends))
	for i, e := range ends {
		if err := e.check(); err != nil {
			return nil, err
		}
		if i == 0 {
			continue
		}
		if e.Chainage < ends[i-1].Chainage {
			return nil, fail("chainages_order", "sort the sections", "chainage %v comes after %v", e.Chainage, ends[i-1].Chainage)
		}
		spans = append(spans, Span{From: ends[i-1], To: e})
	}
	if len(spans) == 0 {
		return nil, fail("too_few_sections", "give at least two", "fewer than two sections")
	}
	return spans, nil
}

// greatest is the greatest area or moment that is taken for one.
const greatest = largest * largest

func (e End) check() error {
	if !isLength(e.Chainage) {
		return fail("bad_section", "give finite numbers", "a section at chainage %v", e.Chainage)
	}
	for _, a := range [...]Area{e.Cut, e.Fill} {
		if !(a.Area >= 0 && a.Area <= greatest && math.Abs(a.Moment) <= greatest) {
			return fail("bad_section", "give areas of at least 0", "the section at chainage %v has an area of %v with moment %v", e.Chainage, a.Area, a.Moment)
		}
	}
	return nil
}

// OnCurve returns spans bent to a curve whose centre lies radius metres to the right
// of the alignment (to the left, where radius is negative).
func OnCurve(spans []Span, radius float64) ([]Span, error) {
	if !isLength(radius) || radius == 0 {
		return nil, fail("bad_radius", "give a length other than 0", "a radius of %v m", radius)
	}
	out := make([]Span, len(spans))
	for i, s := range spans {
		s.Turn = s.Length() / radius
		out[i] = s
	}
	return out, nil
}

// Alternate takes every second section of a book as the middle of the span between
// its neighbours. It needs an odd number of sections, each half way between those
// beside it within a millimetre.
func Alternate(ends []End) ([]Span, error) {
	spans, err := Spans(ends)
	if err != nil {
		return nil, err
	}
	if len(spans)%2 != 0 {
		return nil, fail("sections_even", "leave one out, or measure its span by average end areas", "%d sections: there must be an odd number", len(ends))
	}
	var out []Span
	for i := 0; i < len(spans); i += 2 {
		a, b := spans[i], spans[i+1]
		if math.Abs(a.Length()-b.Length()) > 0.001 {
			return nil, fail("not_half_way", "measure it half way", "the section at chainage %v is not half way between %v and %v", b.From.Chainage, a.From.Chainage, b.To.Chainage)
		}
		middle := b.From
		out = append(out, Span{From: a.From, To: b.To, Middle: &middle})
	}
	return out, nil
}

// Halve returns spans of half the length, with the middle sections among their ends.
func Halve(spans []Span) ([]Span, error) {
	out := make([]Span, 0, 2*len(spans))
	for _, s := range spans {
		if s.Middle == nil {
			return nil, noMiddle(s)
		}
		out = append(out,
			Span{From: s.From, To: *s.Middle, Turn: s.Turn / 2},
			Span{From: *s.Middle, To: s.To, Turn: s.Turn / 2})
	}
	return out, nil
}

func noMiddle(s Span) error {
	return fail("no_middle_section", "measure a section half way", "there is no section half way between chainages %v and %v", s.From.Chainage, s.To.Chainage)
}

// Interpolate returns the areas at a chainage if they change in line between two
// ends, which are at different chainages. Beyond them the line goes on, and areas may
// fall below 0.
func Interpolate(a, b End, chainage float64) End {
	f := (chainage - a.Chainage) / (b.Chainage - a.Chainage)
	mix := func(u, v Area) Area {
		return Area{u.Area + float64(f*(v.Area-u.Area)), u.Moment + float64(f*(v.Moment-u.Moment))}
	}
	return End{Chainage: chainage, Cut: mix(a.Cut, b.Cut), Fill: mix(a.Fill, b.Fill)}
}

// Spans returns the ways between the sections, with their middles where they were
// cut. There are none where there is one section or none.
func (s *Run) Spans() []Span {
	var spans []Span
	for i := range len(s.Sections) - 1 {
		a, b := &s.Sections[i], &s.Sections[i+1]
		span := Span{From: a.End(), To: b.End()}
		if b.Chainage > a.Chainage {
			span.Turn = a.out + b.in
		}
		if len(s.Middle) > i {
			middle := s.Middle[i].End()
			span.Middle = &middle
		}
		spans = append(spans, span)
	}
	return spans
}
