package takeoff

import (
	"context"
	"slices"

	"barrow/tin"
)

// CrosscheckOptions tell [Crosscheck] and [CrosscheckSurveys] how to go about it. The
// zero value is good.
type CrosscheckOptions struct {
	Options
	// Spacing is the side of the grid's cells and Interval the way between sections,
	// in the job's unit, on the ground. 0: the greatest of 1, 2 or 5 times a power of
	// ten that gives 10,000 cells, or 20 sections, over the works, the interval times
	// the golden section, 0.618; wider cells where
	// works so thin or far apart would have more than a grid may have in the box round them.
	Spacing, Interval float64
	// Alignment is the name of the job's alignment to cut sections along; empty: its
	// first, or the long axis of the works where it has none. Where sections along it
	// would miss works, or meet some twice, they lie along the long axis and a remark
	// says so ("alignment_not_taken").
	Alignment string
	// Claim is someone else's figures, to be held against the methods'; nil: none.
	Claim *Claim
	// Shots are points shot apart from the survey, to be held against the ground of a
	// job, or of one of two surveys; nil: none.
	Shots *Shots
}

// Crosscheck measures a job by prisms, as [Run] does, and again by average end areas,
// by the prismoidal rule and by the unit-area grid, which share nothing with the prisms
// and with each other but the ground and the shape of the works. Each difference is
// held against what it is expected to be; one beyond is a warning with its place
// (docs/methods.md, 5.1).
//
// Agreement tests the arithmetic. It does not test the survey.
//
// Errors are those of [Run], of an interval or a spacing that gives too many sections
// or cells, of a name that no alignment has ("no_alignment"), of a claim that cannot be
// restated, and of shots none of which is on the ground ("shots_off_ground").
func Crosscheck(ctx context.Context, job *Job, opts CrosscheckOptions) (*CrosscheckResult, error) {
	if err := opts.check(false); err != nil {
		return nil, err
	}
	r, err := takeOff(ctx, job, opts.Options)
	if err != nil {
		return nil, err
	}
	return r.crosscheck(opts)
}

// crosscheck measures works that are found by all methods.
func (r *run) crosscheck(opts CrosscheckOptions) (*CrosscheckResult, error) {
	x := &crossing{run: r, opts: &opts}
	if err := x.layOut(x.digWorks); err != nil {
		return nil, err
	}
	if err := x.measureAll(); err != nil {
		return nil, err
	}
	if err := r.do(x.holdClaim); err != nil {
		return nil, err
	}
	if err := x.holdShots(shotGround{surface: r.ground, more: 1}); err != nil {
		return nil, err
	}
	if r.besideCut() {
		x.notes = append(x.notes, tin.Problem{Code: NoteBesideSections, Message: "thickenings, below formation, and backfill are volumes beside cut and fill: they are in none of the methods here"})
	}
	x.warnings = slices.Concat(x.warnings, r.job.Warnings, r.warnings)
	res := x.result()
	res.Job, res.Inputs = r.job.Name, x.inputs(r.job.measuredFrom())
	return res, nil
}

// check refuses options that are none.
func (o *CrosscheckOptions) check(surveys bool) error {
	for _, l := range []struct {
		key    string
		length float64
	}{{"spacing", o.Spacing}, {"interval", o.Interval}} {
		if !(l.length >= 0) || !finite(l.length) {
			return badJob(codeBadValue, l.key, "a length of "+formatNumber(l.length), "give a length above 0")
		}
	}
	if o.Claim != nil {
		if err := o.Claim.check(); err != nil {
			return err
		}
	}
	if o.Shots != nil {
		return o.Shots.check(surveys)
	}
	return nil
}

// inputs lists the files that were read: those given, and of claim and shots.
func (x *crossing) inputs(read []Input) []Input {
	list := append([]Input{}, read...)
	if c := x.opts.Claim; c != nil {
		list = append(list, c.Inputs...)
	}
	if s := x.opts.Shots; s != nil {
		list = append(list, s.Inputs...)
	}
	return list
}
