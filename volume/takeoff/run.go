package takeoff

import (
	"context"
	"fmt"
	"slices"

	"github.com/paulmach/orb"

	"barrow/tin"
	"barrow/tin/formation"
	"barrow/tin/pointfile"
	"barrow/volume/uncertainty"
)

// Options tell [Run] how to go about it. The zero value is good.
type Options struct {
	Plan *PlanOptions // asks for Result.Plan; nil: none

	// Progress, if set, is told the stage of the work and how far it is.
	Progress func(stage string, done, total int)
}

// Run measures a job: it builds the ground, lays the pads out over it, finds their
// works out to daylight, and measures cut and fill of each: within its outline with
// upright faces, in its margin, and in its batters.
//
// Total.MaxGap is the greatest distance in plan from any place of the works to
// the nearest vertex of the ground, see [tin.Surface.Gap].
//
// Input that cannot be used is a [*tin.InputError]. A job none of whose pads
// touches the ground is one ("outline_off_ground"); a pad that reaches beyond
// the ground is measured as far as there is ground, with a warning. If ctx ends
// its error is returned.
func Run(ctx context.Context, job *Job, opts Options) (*Result, error) {
	r, err := takeOff(ctx, job, opts)
	if err != nil {
		return nil, err
	}
	if err := r.do(r.sureness); err != nil {
		return nil, err
	}
	res := r.result()
	if err := r.do(func() error { return r.materials(res) }); err != nil {
		return nil, err
	}
	if opts.Plan != nil {
		if err := r.do(func() error { return r.plan(res, *opts.Plan) }); err != nil {
			return nil, err
		}
	}
	return res, nil
}

// takeOff measures a job: all that Run does but for writing it down.
func takeOff(ctx context.Context, job *Job, opts Options) (*run, error) {
	r := newRun(ctx, job, opts)
	if err := r.do(append(r.groundSteps(), r.padSteps()...)...); err != nil {
		return nil, err
	}
	return r, nil
}

// groundSteps make the ground; what they find out does not change with the levels of
// pads.
func (r *run) groundSteps() []func() error {
	return []func() error{r.job.check, r.build, r.findTopsoil}
}

// padSteps lay the pads out over the ground and measure them.
func (r *run) padSteps() []func() error {
	return []func() error{r.lay, r.findWorks, r.findStrip, r.measure, r.thicken, r.backfill, r.clear, r.assess}
}

// with returns a run after its groundSteps for a job that differs in the levels of its
// pads alone, on the same ground and ready for padSteps. It tells of no progress.
func (r *run) with(job *Job) *run {
	out := *r
	out.job, out.progress = job, nil
	out.notes, out.warnings = slices.Clip(r.notes), slices.Clip(r.warnings)
	return &out
}

func newRun(ctx context.Context, job *Job, opts Options) *run {
	return &run{ctx: ctx, job: job, unit: job.Units.Metres(), scale: job.scale(), progress: opts.Progress}
}

// do takes steps one by one.
func (r *run) do(steps ...func() error) error {
	for _, step := range steps {
		if err := r.ctx.Err(); err != nil {
			return err
		}
		if err := step(); err != nil {
			return r.job.placed(err)
		}
	}
	return nil
}

// run is a job on its way to its result; metres inside.
type run struct {
	ctx      context.Context
	job      *Job
	unit     float64 // metres in the job's unit
	scale    float64
	progress func(string, int, int)

	surveys  []prepared
	ground   *tin.Surface
	stats    tin.Stats // of the ground
	layout   *formation.Layout
	dig      *formation.Dig
	measured []measured // of each pad
	thick    [][]formation.Thickened
	voids    []voids // of each pad, for backfill
	soil     formation.Topsoil
	strip    *formation.Strip // nil: there is no topsoil to strip
	respread []float64        // m2 on the grid, of each area of the job
	cleared  []formation.Cleared
	lie      *lie                     // nil: not looked for
	noHaul   bool                     // no haul is planned
	sure     *uncertainty.Uncertainty // nil: there are no works
	thinArea float64                  // m2 on the grid
	maxGap   float64                  // metres on the grid
	cutFaces []cutFace
	outlets  []outlet

	notes, warnings []tin.Problem
}

func (r *run) tell(stage string, done, total int) {
	if r.progress != nil {
		r.progress(stage, done, total)
	}
}

// build makes the ground of the surveys.
func (r *run) build() error {
	for i := range r.job.Surveys {
		s := &r.job.Surveys[i]
		p := s.prepare(r.job.units().Length)
		r.surveys = append(r.surveys, p)
		r.notes = append(r.notes, p.notes...)
		r.warnings = append(r.warnings, s.checkMarks(p.result.Shift, r.job.Units)...)
	}
	if err := r.replace(); err != nil {
		return err
	}
	opts := r.groundOptions()
	opts.Progress = func(done, total int) { r.tell("building the ground", done, total) }
	ground, err := tin.Build(r.ctx, sourcesOf(r.surveys), opts)
	if err != nil {
		return r.job.atRim(err)
	}
	r.ground, r.stats = ground, ground.Stats()
	r.notes = append(r.notes, ground.Notes()...)
	return r.noteReplaced()
}

func (r *run) groundOptions() tin.Options {
	g := r.job.Ground
	return tin.Options{
		Unit: r.job.Units, Written: r.job.written(), Boundary: g.Boundary, Voids: g.Voids, MaxEdge: g.MaxEdge * r.scale,
		Duplicates: g.Duplicates, CrossingTolerance: g.CrossingTolerance * r.unit,
	}
}

// written is the unit that all surveys were written in, where it is another than the
// job's; 0: it is not, or they were written in several.
func (j *Job) written() tin.Unit {
	unit := j.Surveys[0].Written
	for i := range j.Surveys {
		if j.Surveys[i].Written != unit {
			return 0
		}
	}
	return unit
}

// lay lays the pads out over the ground.
func (r *run) lay() error {
	r.tell("laying out pads", 0, len(r.job.Pads))
	pads := make([]formation.Pad, len(r.job.Pads))
	for i := range r.job.Pads {
		pads[i] = r.job.Pads[i].metric(r.unit, r.scale)
	}
	layout, err := formation.Lay(r.ctx, r.ground, pads, r.formationOptions())
	if err != nil {
		return err
	}
	r.layout = layout
	r.notes = append(r.notes, layout.Notes...)
	r.warnings = append(r.warnings, layout.Warnings...)
	return nil
}

// outlineBound is the box round all outlines, in the job's unit.
func (j *Job) outlineBound() orb.Bound {
	var box orb.Bound
	first := true
	for _, p := range j.Pads {
		if b := p.Outline.Bound(); first {
			box, first = b, false
		} else {
			box = box.Union(b)
		}
	}
	return box
}

// swapped tells of a survey whose easting and northing look exchanged.
func (r *run) swapped() (p tin.Problem, file string, ok bool) {
	box := r.job.outlineBound()
	for _, s := range r.job.Surveys {
		if p, ok = pointfile.Swapped(s.Points, box); ok {
			if s.Name != "" {
				p.Message = fmt.Sprintf("%s: %s", s.Name, p.Message)
			}
			return p, s.Name, true
		}
	}
	return p, "", false
}
