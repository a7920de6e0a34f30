package takeoff

import (
	"cmp"
	"context"
	"slices"

	"barrow/volume/price"
)

// ReportOptions tell [Report] how to go about it. The zero value is good. Progress is told
// through Options alone.
type ReportOptions struct {
	Options    // Plan may be nil: there is one all the same
	SetOut     SetOutOptions
	Sections   SectionsOptions
	Crosscheck CrosscheckOptions
	Rates      *price.Rates // in place of the job's; nil: the job's
}

// Codes of a report, and of what it leaves out, beside those of the errors that say why.
const (
	WarnPartLeftOut = "part_left_out" // a part that was asked for could not be made
	LeftNoBenchmark = "no_benchmark"  // a backsight was given, and the job has no benchmark
	LeftNoWorks     = "no_works"      // there are none to show the depths of
	LeftFailed      = "failed"        // a part could not be made, and it is not the input's fault
)

// Report measures a job once, and makes from that all that [Run], [Crosscheck],
// [Sections], [SetOut] and [Price] make, with the plan and a grid of depths.
//
// Errors are those of Run, and of options that are none. A part that cannot be made is
// left out, and ReportResult.Left says why, as does a warning where it was not the job's
// wish: the rest stands. If ctx ends its error is returned.
func Report(ctx context.Context, job *Job, opts ReportOptions) (*ReportResult, error) {
	if err := opts.check(job); err != nil {
		return nil, err
	}
	r, err := takeOff(ctx, job, opts.Options)
	if err != nil {
		return nil, err
	}
	w := reporting{run: r, opts: opts, out: &ReportResult{}}
	if err := r.do(r.sureness, w.begin, w.setOut, w.sections, w.crosscheck, w.finish, w.price, w.depths); err != nil {
		return nil, err
	}
	w.out.gather()
	return w.out, nil
}

// check refuses options that are none.
func (o *ReportOptions) check(job *Job) error {
	return cmp.Or(o.SetOut.check(job), o.Sections.check(job), o.Crosscheck.check(false), job.checkAlignmentName(o.Crosscheck.Alignment))
}

// reporting is a report on its way to its result.
type reporting struct {
	*run
	opts ReportOptions
	out  *ReportResult
}

// begin writes down what was measured.
func (w *reporting) begin() error {
	w.out.Takeoff = w.run.result()
	return nil
}

// leave notes why a part could not be made; the end of the context is no such reason.
func (w *reporting) leave(part string, err error) error {
	if ended := w.ctx.Err(); err == nil || ended != nil {
		return ended
	}
	o := Omission{LeftFailed, part + ": " + err.Error()}
	if e := asInputError(err); e != nil {
		o.Code = e.Code
	}
	w.leaveAndWarn(o)
	return nil
}

func (w *reporting) leaveAndWarn(o Omission) {
	w.out.Left = append(w.out.Left, o)
	w.out.Warnings = append(w.out.Warnings, Remark{Code: WarnPartLeftOut, Message: "left out of the report: " + o.Message})
}

func (w *reporting) setOut() (err error) {
	opts := w.opts.SetOut
	if opts.Backsight != nil && opts.Benchmark == nil && !slices.ContainsFunc(w.job.Surveys, func(s Survey) bool { return s.Benchmark != nil }) {
		opts.Backsight = nil
		w.leaveAndWarn(Omission{LeftNoBenchmark, "staff readings: the job has no benchmark, and the level of the one that was read was not given"})
	}
	w.out.SetOut, err = w.run.setOut(w.out.Takeoff, opts)
	return w.leave("set-out", err)
}

func (w *reporting) sections() (err error) {
	w.out.Sections, err = w.run.sections(w.out.Takeoff, w.opts.Sections)
	return w.leave("sections", err)
}

func (w *reporting) crosscheck() (err error) {
	w.out.Crosscheck, err = w.run.crosscheck(w.opts.Crosscheck)
	return w.leave("crosscheck", err)
}

// finish adds materials, and the plan with pegs and alignments, to the takeoff.
func (w *reporting) finish() error {
	if err := w.materials(w.out.Takeoff); err != nil {
		return err
	}
	var plan PlanOptions
	if w.opts.Plan != nil {
		plan = *w.opts.Plan
	}
	if w.out.SetOut != nil {
		for i := range w.out.SetOut.Pegs {
			p := &w.out.SetOut.Pegs[i]
			plan.Pegs = append(plan.Pegs, PlanPeg{p.Number, p.Pad, p.Kind, p.At})
		}
	}
	if w.out.Sections != nil {
		plan.Alignments = w.out.Sections.Alignments
	}
	return w.plan(w.out.Takeoff, plan)
}

func (w *reporting) price() (err error) {
	rates := w.opts.Rates
	if rates == nil {
		rates = w.job.Rates
	}
	if rates == nil {
		w.out.Left = append(w.out.Left, Omission{codeNoRates, "bill of quantities: the job has no rates to price it by"})
		return nil
	}
	w.out.Price, err = PriceResult(w.out.Takeoff, rates)
	return w.leave("bill of quantities", err)
}

func (w *reporting) depths() (err error) {
	if w.out.Depths, err = w.depthGrid(); err == nil && w.out.Depths == nil {
		w.out.Left = append(w.out.Left, Omission{LeftNoWorks, "depths: there are no works"})
	}
	return err
}

// gather lists the remarks of all parts, each once.
func (r *ReportResult) gather() {
	notes, warnings, not := [][]Remark{r.Takeoff.Notes}, [][]Remark{r.Warnings, r.Takeoff.Warnings}, [][]Omission{r.Takeoff.NotMeasured}
	add := func(n, w []Remark, o []Omission) {
		notes, warnings, not = append(notes, n), append(warnings, w), append(not, o)
	}
	if p := r.Crosscheck; p != nil {
		add(p.Notes, p.Warnings, p.NotMeasured)
	}
	if p := r.Sections; p != nil {
		add(p.Notes, p.Warnings, p.NotMeasured)
	}
	if p := r.SetOut; p != nil {
		add(p.Notes, p.Warnings, nil)
	}
	if p := r.Price; p != nil {
		add(p.Notes, p.Warnings, p.NotMeasured)
	}
	r.Notes, r.Warnings = once(remarkKey, notes), once(remarkKey, warnings)
	r.NotMeasured = once(func(o Omission) Omission { return o }, not)
}

func remarkKey(r Remark) any {
	at := Place{}
	if r.At != nil {
		at = *r.At
	}
	return struct {
		code, message string
		at            Place
	}{r.Code, r.Message, at}
}

// once joins lists, and takes of what has one key the first.
func once[T any, K comparable](key func(T) K, lists [][]T) []T {
	out, seen := []T{}, map[K]bool{}
	for _, v := range slices.Concat(lists...) {
		if k := key(v); !seen[k] {
			seen[k] = true
			out = append(out, v)
		}
	}
	return out
}
