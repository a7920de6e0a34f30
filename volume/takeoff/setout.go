package takeoff

import (
	"context"
	"fmt"

	"github.com/paulmach/orb"

	"barrow/tin"
	"barrow/tin/setout"
)

// SetOutOptions tell [SetOut] which pegs are wanted and which levels. Lengths are in the
// job's unit, on the ground.
type SetOutOptions struct {
	Options
	Interval float64   // between pegs along the sides of outlines; 0 counts as 10 m, in a job in feet as 25 ft
	Grid     float64   // between pegs inside outlines; 0: none
	Back     []float64 // of lines outside outlines; none

	// Backsight is the staff reading on the benchmark; nil: no instrument is set up.
	Backsight *float64
	// Benchmark is the level of the benchmark; nil: that of the first survey that has one.
	Benchmark *float64
	Staff     float64 // longest reading; 0: not stated

	OverDig float64 // what is dug below formation, to be made up again
	Trim    float64 // what is left above formation for the last pass

	PegTops *PegTops // nil: none are measured
}

// Codes of a set-out.
const (
	WarnPegInWorks = "peg_in_works"      // a peg that is set back stands where is dug or filled
	WarnUnreadable = "reading_off"       // a level that the staff cannot show
	WarnTopUnknown = "peg_top_unknown"   // a measured peg top of no peg
	WarnPegMoved   = "peg_moved"         // a peg top was measured away from its peg
	WarnTrimAbove  = "trim_above_ground" // the first pass is above the ground wherever a pad is in cut
	NoteTrimAbove  = "trim_above_some"   // the same at some of the pegs in cut
	NotePegNoWorks = "no_daylight_pegs"  // the job has no batters, and so no crest or toe
	NotePegOff     = "pegs_off_ground"   // pegs stand where there is no ground
	NoteTopNoLevel = "peg_top_no_level"  // peg tops without a level
)

// Greatest lengths, metres: beyond them a figure was hardly meant.
const (
	mostOverDig   = 5
	mostStaff     = 20
	mostBacksight = 1000 // from a total station to a far benchmark; no staff is so long
)

// SetOut finds the pegs of a job's pads and the levels to work to, with what the staff
// reads on them where an instrument is set up.
//
// Pegs stand at the corners of each outline, along its sides, on a grid inside, where
// batters meet the ground, and on lines so far outside; see [setout.Outline.Pegs] for
// them and their numbers. Depths at pegs are from the ground as it is, topsoil and all.
//
// Errors are those of [Run] and of Pegs, and "bad_value" of the other options, with the
// key backsight, benchmark_level, staff, over_dig or trim. A staff or a benchmark level needs
// a backsight. If ctx ends its error is returned.
func SetOut(ctx context.Context, job *Job, opts SetOutOptions) (*SetOutResult, error) {
	if err := opts.check(job); err != nil {
		return nil, err
	}
	r, err := takeOff(ctx, job, opts.Options)
	if err != nil {
		return nil, err
	}
	return r.setOut(r.result(), opts)
}

// setOut sets out works that are found, and of which the takeoff says this.
func (r *run) setOut(measured *Result, opts SetOutOptions) (*SetOutResult, error) {
	s := &settingOut{opts: opts, run: r}
	s.begin(measured)
	if err := r.do(s.setUp, s.levels, s.pegs, s.holdTrim, s.holdTops); err != nil {
		return nil, err
	}
	s.finish()
	return s.res, nil
}

// settingOut is a set-out on its way to its result.
type settingOut struct {
	opts SetOutOptions
	run  *run
	res  *SetOutResult

	formation func(at orb.Point) (level float64, ok bool) // of the pad whose pegs are set out, metres

	notes, warnings []tin.Problem
}

// check refuses options that are none.
func (o *SetOutOptions) check(job *Job) error {
	u := job.Units.Metres()
	for _, l := range []struct {
		key          string
		length, most float64
	}{{"over_dig", o.OverDig, mostOverDig}, {"trim", o.Trim, mostOverDig}, {"staff", o.Staff, mostStaff}} {
		if !(l.length >= 0 && l.length*u <= l.most) {
			return badJob(codeBadValue, l.key, "a length of "+formatNumber(l.length), fmt.Sprintf("give 0 to %d m", int(l.most)))
		}
	}
	if err := (&setout.Spacing{Interval: o.Interval, Grid: o.Grid, Back: o.Back}).Check(); err != nil {
		return err
	}
	if b := o.Backsight; b != nil && !(*b*u >= -mostBacksight && *b*u <= mostBacksight) {
		return badJob(codeBadValue, "backsight", "a backsight of "+formatNumber(*b), "give the staff reading on the benchmark, in "+job.units().Length)
	}
	if b := o.Benchmark; b != nil && !(finite(*b) && *b*u >= -1e5 && *b*u <= 1e5) {
		return badJob(codeBadValue, "benchmark_level", "a benchmark of "+formatNumber(*b), "give its level in the plans")
	}
	if o.Benchmark != nil && o.Backsight == nil {
		return badJob(codeBadValue, "benchmark_level", "a benchmark without a backsight", "give the staff reading on it too")
	}
	if o.Staff > 0 && o.Backsight == nil {
		return badJob(codeBadValue, "staff", "a staff without a backsight", "give its reading on the benchmark too: without an instrument there are no readings to hold against its length")
	}
	return nil
}

// begin begins the result with what is known already.
func (s *settingOut) begin(measured *Result) {
	r := s.run
	if s.opts.Interval == 0 {
		s.opts.Interval = 10
		if r.unit != 1 {
			s.opts.Interval = 25
		}
	}
	s.res = &SetOutResult{
		Schema: SchemaVersion, Program: measured.Program, Job: measured.Job, Units: measured.Units, Scale: measured.Scale,
		Inputs:   measured.Inputs,
		Interval: s.opts.Interval, Grid: s.opts.Grid, Back: append([]float64{}, s.opts.Back...),
		OverDig: s.opts.OverDig, Trim: s.opts.Trim, Staff: s.opts.Staff,
		Pads: []SetOutPad{}, Pegs: []PegResult{}, Takeoff: measured,
	}
}

// setUp sets the instrument up on the benchmark.
func (s *settingOut) setUp() error {
	if s.opts.Backsight == nil {
		return nil
	}
	name, level := "", s.opts.Benchmark
	for i := range s.run.job.Surveys {
		b := s.run.job.Surveys[i].Benchmark
		if b != nil && (level == nil || *level == b.Plan) {
			name, level = b.Name, &b.Plan
			break
		}
	}
	if level == nil {
		return badJob(codeBadValue, "backsight", "a backsight, and the job has no benchmark", "give the level of the one that was read")
	}
	benchmark, err := setout.DecimalOf(*level)
	if err != nil {
		return err
	}
	back, err := setout.DecimalOf(*s.opts.Backsight)
	if err != nil {
		return err
	}
	i := setout.Instrument{Name: name, Benchmark: benchmark, Backsight: back}
	s.res.Instrument = &InstrumentResult{i.Name, i.Benchmark, i.Backsight, i.Collimation()}
	return nil
}

// finish adds what there is to say.
func (s *settingOut) finish() {
	m := s.res.Takeoff
	s.res.Notes = append(append([]Remark{}, m.Notes...), s.run.remarks(s.notes)...)
	s.res.Warnings = append(append([]Remark{}, m.Warnings...), s.run.remarks(s.warnings)...)
}
