package takeoff

import (
	"context"
	"fmt"
	"slices"

	"github.com/paulmach/orb"

	"barrow/tin"
	"barrow/tin/formation"
	"barrow/tin/setout"
	"barrow/volume"
)

// What finished work may be held against, beside the top of a layer.
const (
	OfFormation = "formation"
	OfFinished  = "finished"
)

// Shots are enough for a verdict on a pad where there is one for each areaPerShot of it,
// five at the least, and no place of it is farther than shotReach from one: a lattice of
// about 7 m. Square metres and metres on the ground; judgement, no source.
const (
	areaPerShot = 50.0
	shotReach   = 7.5
)

// ConformOptions tell [Conform] what to hold against what. Lengths are in the job's unit.
type ConformOptions struct {
	Options
	Shots *Shots // of the finished work; Before is not looked at
	// Of is OfFormation (empty counts as it), OfFinished, or the name of a layer, whose top
	// is meant. Layer is the same, and always a layer.
	Of, Layer string
	Tolerance *setout.Tolerance // of all pads; nil: their own
	// StandardDeviation is that of the level of one shot; 0: it is not known.
	StandardDeviation float64
	Pads              []string // their names; empty: all that have the layer
}

// Conform holds shots of finished work against the formation of a job, its finished level
// or the top of a layer: how each shot lies to the level asked for where it is, and pad by
// pad what they say together, where shots are missing, and what is still to trim and to
// make up (docs/methods.md, 9).
//
// A verdict is about the levels measured alone: not about the ground, its bearing or its
// stability. Warnings are those about the shots and of work that is not within tolerance;
// what [Run] would warn of the job is not repeated.
//
// Errors are those of [Run] as far as the shape of the works; of a layer or a pad that is
// not there ("unknown_layer", "unknown_pad"); and of shots none of which is on the work
// ("shots_off_works"). If ctx ends its error is returned.
func Conform(ctx context.Context, job *Job, opts ConformOptions) (*ConformResult, error) {
	if err := opts.check(job); err != nil {
		return nil, err
	}
	r := newRun(ctx, job, opts.Options)
	if err := r.do(append(r.groundSteps(), r.lay, r.findWorks, r.thicken)...); err != nil {
		return nil, err
	}
	c := &conforming{run: r, opts: &opts}
	if err := r.do(c.choose, c.sort, c.judge); err != nil {
		return nil, err
	}
	return c.result(), nil
}

// conforming is a conformance on its way to its result.
type conforming struct {
	*run
	opts   *ConformOptions
	pads   []conformPad             // those looked at
	others []*formation.FacetFinder // of the pads that are not
	beside []BesideShot

	remarked, warned []tin.Problem
}

// conformPad is a pad that is looked at.
type conformPad struct {
	index    int
	target   target
	shots    []setout.Shot // places in metres on the grid, levels in the job's unit
	points   []*tin.Point
	measured []float64 // levels after the benchmark's shift
	found    *setout.Conformance
	still    *volume.CutFill // cut is to trim, fill to make up; nil: the shots make no surface
}

func (o *ConformOptions) check(job *Job) error {
	switch {
	case o.Shots == nil:
		return badJob(codeBadValue, "check_shots", "there are no shots of the finished work", "give some")
	case o.Layer != "" && o.Of != "":
		return badJob(codeBadValue, "layer", "both a layer and what to hold the work against", "give one")
	case !(o.StandardDeviation >= 0) || !finite(o.StandardDeviation):
		return badJob(codeBadValue, "sd", "a standard deviation of "+formatNumber(o.StandardDeviation), "give 0 or more")
	}
	if err := checkTolerance(o.Tolerance, "tolerance", job.Units.Metres()); err != nil {
		return err
	}
	for _, name := range o.Pads {
		if job.padNamed(name) < 0 {
			return badJob(codeUnknownPad, "pad", fmt.Sprintf("the job has no pad %q", name), "it has "+job.padNames())
		}
	}
	return o.Shots.check(true)
}

// choose finds the pads to look at, and what of them.
func (c *conforming) choose() error {
	for i := range c.job.Pads {
		p, laid := &c.job.Pads[i], &c.layout.Pads[i]
		wanted := len(c.opts.Pads) == 0 || slices.Contains(c.opts.Pads, p.Name)
		t, ok := c.targetOf(i)
		if wanted && ok {
			c.pads = append(c.pads, conformPad{index: i, target: t})
			continue
		}
		c.others = append(c.others, formation.NewFacetFinder(slices.Concat(laid.Facets, laid.Margin)))
		if wanted {
			c.remarked = append(c.remarked, tin.Problem{Code: NoteLayerAbsent, Message: fmt.Sprintf("pad %s has no layer %q and is not looked at", p.Name, c.layer())})
		}
	}
	if len(c.pads) == 0 {
		return badJob(codeUnknownLayer, "layer", fmt.Sprintf("no pad has a layer %q", c.layer()), "it is a layer's name in the job, or formation, or finished")
	}
	return nil
}

// judge holds the shots of each pad against its levels.
func (c *conforming) judge() error {
	for i := range c.pads {
		c.tell("comparing", i, len(c.pads))
		p := &c.pads[i]
		asked := func(e, n float64) (float64, bool) { return c.asked(p, orb.Point{e, n}) }
		found, err := setout.Conform(p.shots, asked, setout.ConformOptions{
			Tolerance: c.tolerance(p), StandardDeviation: c.opts.StandardDeviation, Cover: c.cover(p),
		})
		if err != nil {
			return err
		}
		p.found = found
		if err := c.ctx.Err(); err != nil {
			return err
		}
		if err := c.stillToMove(p); err != nil {
			return err
		}
		c.remark(p)
	}
	c.tell("comparing", len(c.pads), len(c.pads))
	return c.ctx.Err()
}

// tolerance is what a pad is judged by; nil: nothing.
func (c *conforming) tolerance(p *conformPad) *setout.Tolerance {
	if c.opts.Tolerance != nil {
		return c.opts.Tolerance
	}
	return c.job.Pads[p.index].Tolerance
}
