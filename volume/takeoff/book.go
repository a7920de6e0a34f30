package takeoff

import (
	"cmp"
	"context"
	"fmt"
	"io"

	"barrow/section"
	"barrow/tin"
	"barrow/volume/takeoff/internal/tomltree"
)

// Middle sections of the prismoidal rule over a cross-section book.
const (
	MiddlesAlternate = "alternate" // every second section, half way between its neighbours
	MiddlesLike      = "like"      // between like sections, each point the mean of its like: the prismoidal correction
	MiddlesNone      = "none"      // no prismoidal rule
)

// Codes of a book.
const (
	NoteNoMiddles      = "no_middles"      // no middle sections, and no prismoidal rule
	codeSectionsUnlike = "sections_unlike" // an error: sections asked to be like have other points
)

// BookOptions say how a cross-section book is measured.
type BookOptions struct {
	Unit    tin.Unit // of everything in the book
	RunOut  string   // RunOutAveraged, RunOutPyramid; empty: averaged
	Middles string   // MiddlesAlternate and its like; empty: the first of alternate and like that goes
}

// BookResult is a cross-section book, measured: units and rounding as in [Result]. There
// is no surface, and nothing to hold the volumes against.
type BookResult struct {
	Schema     int          `json:"schema"`
	Program    Program      `json:"program"`
	Name       string       `json:"name"` // of the file
	Units      Units        `json:"units"`
	Inputs     []Input      `json:"inputs"`
	RunOut     string       `json:"run_out"`
	Middles    string       `json:"middles"` // "alternate", "like" or "none"
	EndArea    BookVolumes  `json:"average_end_area"`
	Prismoidal *BookVolumes `json:"prismoidal,omitempty"`            // nil: no middles
	Correction *BookVolumes `json:"prismoidal_correction,omitempty"` // Prismoidal less EndArea: what to add to those

	Sections        []BookSection `json:"sections"`
	Spans           []BookSpan    `json:"spans"`                      // by average end areas: one from each section to the next
	PrismoidalSpans []BookSpan    `json:"prismoidal_spans,omitempty"` // of alternate middles from every second section to the one after next

	Notes    []Remark `json:"notes"`
	Warnings []Remark `json:"warnings"` // a person must read these
}

// BookVolumes are the volumes over a book.
type BookVolumes struct {
	Cut  float64 `json:"cut"`
	Fill float64 `json:"fill"`
}

// BookSection is a typed section, measured.
type BookSection struct {
	Chainage  float64        `json:"chainage"`
	Cut       float64        `json:"cut_area"`
	Fill      float64        `json:"fill_area"`
	From      float64        `json:"from"` // offsets between which the formation lies
	To        float64        `json:"to"`
	Uncovered float64        `json:"uncovered,omitempty"` // length of formation without ground, which counts in no area
	Profile   []ProfilePoint `json:"profile"`
}

// BookSpan is what lies between two sections.
type BookSpan struct {
	From       float64  `json:"from"` // chainages
	To         float64  `json:"to"`
	MiddleCut  *float64 `json:"middle_cut_area,omitempty"` // by the prismoidal rule only
	MiddleFill *float64 `json:"middle_fill_area,omitempty"`
	SpanVolume
}

// MeasureBook reads a cross-section book, see [section.ReadBook], and measures it by
// average end areas and, where there are middle sections, by the prismoidal rule.
//
// Errors in the file are those of package section; of options "bad_value", with the key
// run_out or middles; and of middles that are not there "sections_even", "not_half_way" or
// "sections_unlike".
func MeasureBook(ctx context.Context, f DataFile, o BookOptions, limits Limits) (*BookResult, error) {
	switch {
	case !known(o.RunOut, RunOutAveraged, RunOutPyramid):
		return nil, badJob(codeBadValue, "run_out", fmt.Sprintf("unknown word %q", o.RunOut), `use "averaged" or "pyramid"`)
	case !known(o.Middles, MiddlesAlternate, MiddlesLike, MiddlesNone):
		return nil, badJob(codeBadValue, "middles", fmt.Sprintf("unknown word %q", o.Middles), `use "alternate", "like" or "none"`)
	}
	l := newLoader(ctx, f.FS, f.Name, newBudget(limits))
	l.job.Units = o.Unit
	b := booked{unit: run{job: &Job{Units: o.Unit}, unit: 1, scale: 1}, options: &o}
	l.read(&tomltree.Node{}, f.Name, func(r io.Reader) (in Input, err error) {
		b.typed, err = section.ReadBook(ctx, r, f.Name, section.BookLimits{Rows: l.budget.limits.Vertices})
		return in, err
	})
	if l.err != nil {
		return nil, l.err
	}
	for _, step := range []func() error{b.measure, b.prismoidal} {
		if err := step(); err != nil {
			return nil, inFile(err, f.Name)
		}
	}
	res := b.result()
	res.Name, res.Inputs = f.Name, l.job.Inputs
	return res, nil
}

// booked is a book on its way to its result, in its own unit.
type booked struct {
	unit    run // a run of no ground, whose lengths are the book's
	options *BookOptions
	typed   []section.BookSection

	sections []*section.Section
	ends     []section.End
	spans    []section.Span
	endArea  section.Volumes
	middles  string
	between  []section.Span // with their middles
	rule     section.Volumes
	why      string // there are no middles
}

// measure measures the sections, and sums end areas.
func (b *booked) measure() (err error) {
	for i := range b.typed {
		s, err := b.typed[i].Section()
		if err != nil {
			return err
		}
		b.sections, b.ends = append(b.sections, s), append(b.ends, s.End())
	}
	if b.spans, err = section.Spans(b.ends); err != nil {
		return err
	}
	out := section.Averaged
	if b.options.RunOut == RunOutPyramid {
		out = section.AsPyramid
	}
	b.endArea = section.AverageEndArea(b.spans, out)
	return nil
}

// prismoidal finds middle sections, and sums by the prismoidal rule.
func (b *booked) prismoidal() (err error) {
	b.middles = MiddlesNone
	asked := b.options.Middles
	if asked == MiddlesNone {
		return nil
	}
	alternate, alternateErr := section.Alternate(b.ends)
	like, likeErr := b.like()
	switch {
	case asked == MiddlesAlternate && alternateErr != nil:
		return withKey(alternateErr, "middles")
	case asked == MiddlesLike && likeErr != nil:
		return likeErr
	case asked == MiddlesAlternate || asked == "" && alternateErr == nil:
		b.middles, b.between = MiddlesAlternate, alternate
	case likeErr == nil:
		b.middles, b.between = MiddlesLike, like
	default:
		b.why = asInputError(alternateErr).Message + "; and " + asInputError(likeErr).Message
		return nil
	}
	b.rule, err = section.Prismoidal(b.between)
	return err
}

// like returns the spans with sections half way between like ones.
func (b *booked) like() ([]section.Span, error) {
	spans := make([]section.Span, 0, len(b.spans))
	for i, s := range b.spans {
		typed, ok := section.Like(&b.typed[i], &b.typed[i+1])
		if !ok {
			return nil, badJob(codeSectionsUnlike, "middles", fmt.Sprintf("the sections at chainages %s and %s have not as many points of ground, and of formation", formatNumber(s.From.Chainage), formatNumber(s.To.Chainage)),
				"give both the same points, or measure by average end areas")
		}
		middle, err := typed.Section()
		if err != nil {
			return nil, err
		}
		end := middle.End()
		s.Middle = &end
		spans = append(spans, s)
	}
	return spans, nil
}

// result writes it down.
func (b *booked) result() *BookResult {
	units, per := b.unit.job.units(), 1.0
	if units.Length != "m" {
		per = 27 // cubic feet in a cubic yard
	}
	res := &BookResult{
		Schema: SchemaVersion, Program: Program{Name: "barrow", Version: Version}, Units: units,
		RunOut: cmp.Or(b.options.RunOut, RunOutAveraged), Middles: b.middles,
		EndArea: BookVolumes{b.endArea.Cut / per, b.endArea.Fill / per}, Spans: bookSpans(b.spans, &b.endArea, per),
		Notes: []Remark{}, Warnings: []Remark{},
	}
	if b.middles != MiddlesNone {
		res.Prismoidal = &BookVolumes{b.rule.Cut / per, b.rule.Fill / per}
		res.Correction = &BookVolumes{res.Prismoidal.Cut - res.EndArea.Cut, res.Prismoidal.Fill - res.EndArea.Fill}
		res.PrismoidalSpans = bookSpans(b.between, &b.rule, per)
	}
	if b.why != "" {
		res.Notes = append(res.Notes, Remark{Code: NoteNoMiddles, Message: "no middle sections, and no prismoidal rule: " + b.why})
	}
	for _, s := range b.sections {
		one := BookSection{Chainage: s.Chainage, Cut: s.Cut.Area, Fill: s.Fill.Area, From: s.From, To: s.To, Profile: b.unit.profile(s)}
		if s.Uncovered > sameOffset {
			one.Uncovered = s.Uncovered
			res.Warnings = append(res.Warnings, Remark{Code: WarnUncovered, Message: fmt.Sprintf(
				"the section at chainage %s has formation without ground, %.3f %s of it: areas and volumes are at least those given", formatNumber(s.Chainage), s.Uncovered, units.Length)})
		}
		res.Sections = append(res.Sections, one)
	}
	return res
}

func bookSpans(spans []section.Span, volumes *section.Volumes, per float64) (out []BookSpan) {
	var v SpanVolume
	for i, s := range spans {
		v.add(&volumes.Spans[i], per)
		span := BookSpan{From: s.From.Chainage, To: s.To.Chainage, SpanVolume: v}
		if s.Middle != nil {
			span.MiddleCut, span.MiddleFill = &s.Middle.Cut.Area, &s.Middle.Fill.Area
		}
		out = append(out, span)
	}
	return out
}
