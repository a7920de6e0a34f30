package takeoff

import (
	"context"

	"barrow/volume/material"
	"barrow/volume/price"
)

// BalanceOptions tell [Balance] what may move, and what to look for. The zero value
// moves all pads together, without factor or cost.
type BalanceOptions struct {
	Options
	// Pads are the names of the pads that move, all by one shift; empty: all pads. The
	// others stay where the job has them, and count with what they cut and fill.
	Pads []string
	// NotBelow and NotAbove bound the finished levels of the pads that move, in the job's
	// unit, beside the bounds of the pads themselves. nil: no bound.
	NotBelow, NotAbove *float64
	// Step is the shift between two lines of the table, in the job's unit; 0 counts as
	// 10 mm, in a job in feet as 0.05 ft.
	Step float64
	// CompactedPerBank is the volume of fill, compacted, that one volume of cut makes, in
	// bank measure. 0: none is given; then the job's materials say what is made of all that
	// is dug, or without any cut is held against fill as they are.
	CompactedPerBank float64
	// Rates, if set, say what cut and fill cost.
	Rates *EarthRates
	// Bill, if set, prices each level in place of Rates, as [PriceResult] does: works with
	// contingency count, provisional items do not.
	Bill *price.Rates
	// Cost, if set, says in place of both what a job measured at some level costs, in minor
	// units of money; it may, but need not, be whole. With it, or a Bill, all is measured
	// at each level that a takeoff measures, which takes longer.
	Cost func(*Result) (float64, error)
}

// Balance moves pads of a job up and down by one shift and measures it anew at each
// level, on ground built once: every figure is a full measurement, none is
// interpolated. It finds the level at which the cut, once compacted, makes the fill,
// with Rates, Bill or Cost the level of least cost, and a table about the balance.
//
// What is balanced is the cut and the fill as dug, batters and make-up for topsoil
// too, of all pads of the job. Topsoil, thickenings, layers and backfill are not in it.
// By the materials of a job it is what [Run] calls surplus and short: all that is dug and
// may become fill, against fill and backfill.
//
// As the level rises the cut never grows and the fill never falls, so there is one
// balance at most. By materials that need not be so: a note says why
// ("balance_may_turn"), and the balance next to the job's own level is taken. What
// materials lack for it is a warning ("not_after_factors"). Where works join or part the volumes jump; a jump is a note, and one
// across the balance a warning ("balance_jump"). No balance within the limits is a
// warning too ("no_balance").
//
// Errors are those of [Run] at any level looked at, of a pad that is not there
// ("unknown_pad") and of limits that leave no level ("limits_impossible"). If ctx ends
// its error is returned.
func Balance(ctx context.Context, job *Job, opts BalanceOptions) (*BalanceResult, error) {
	ground := newRun(ctx, job, opts.Options)
	b := &balancing{opts: &opts, job: job, ground: ground}
	steps := append([]func() error{b.check}, ground.groundSteps()...)
	steps = append(steps, b.findMoved, b.findRange, b.useMaterials, b.measureAsGiven, b.findBalance, b.keepKnown, b.findLeastCost, b.tabulate,
		b.settleLeastCost, b.moveOneByOne, b.measureFound)
	if err := ground.do(steps...); err != nil {
		return nil, err
	}
	return b.result(), nil
}

// balancing is a balance on its way to its result; shifts and volumes in the job's unit.
type balancing struct {
	opts   *BalanceOptions
	job    *Job
	ground *run // after its groundSteps

	levels *levels
	found  bracket // the balance, or what is nearest to it

	needs      []material.Need // why the job's materials do not make the balance
	unassigned *levelled       // another reason: the level that they made it

	cheapest *levelled    // nil: there is no cost
	plateau  [2]*levelled // the ends of what costs the same, by a bill
	looked   shiftRange   // of the search for cheapest
	whatIf   []*levelled
	table    []*levelled
	curve    []*levelled
	jumps    []bracket
	alone    []aloneBracket
	whole    []wholeLevel
}

// aloneBracket is the balance of one pad moved alone.
type aloneBracket struct {
	levels *levels
	found  bracket
}

// wholeLevel is a level measured with everything that a takeoff tells.
type wholeLevel struct {
	words string // how messages call it
	shift float64
	*Result
}

// measureAsGiven measures the job as it stands, so that a job that cannot be measured
// is refused as Run does.
func (b *balancing) measureAsGiven() error {
	if err := b.addWhole("as the job has it", 0); err != nil {
		return err
	}
	given := b.whole[0]
	for _, i := range b.levels.moved {
		if p := &given.Pads[i]; p.CutArea+p.FillArea+p.LevelArea > 0 {
			return nil
		}
	}
	return badJob(codeOffGround, "pads", "none of the pads to move touches the surveyed ground", "move others")
}

// addWhole measures a level with all that a takeoff tells.
func (b *balancing) addWhole(words string, shift float64) error {
	job := b.levels.jobAt(shift)
	job.Clearances = b.job.Clearances
	r := b.ground.with(job)
	r.noHaul = !b.levels.planHaul
	if err := r.do(r.padSteps()...); err != nil {
		return b.levels.atLevel(err, shift)
	}
	res := r.result()
	if err := r.do(func() error { return r.materials(res) }); err != nil {
		return b.levels.atLevel(err, shift)
	}
	if b.stairs() {
		priced, err := PriceResult(res, b.opts.Bill)
		if err != nil {
			return b.levels.atLevel(err, shift)
		}
		res.Notes, res.Warnings = append(res.Notes, priced.Notes...), priced.Warnings
	}
	b.whole = append(b.whole, wholeLevel{words, shift, res})
	return nil
}

// findBalance finds the balance of the pads that move, together.
func (b *balancing) findBalance() (err error) {
	b.found, err = b.levels.balance()
	return err
}

// moveOneByOne finds the balance with each pad moved alone.
func (b *balancing) moveOneByOne() error {
	if len(b.levels.moved) < 2 {
		return nil
	}
	for _, i := range b.levels.moved {
		alone := newLevels(b.ground, []int{i}, b.levels.factor)
		alone.useSame(b.levels)
		var err error
		if alone.limits, err = b.rangeOf(i); err != nil {
			return err
		}
		found, err := alone.balance()
		if err != nil {
			return err
		}
		b.alone = append(b.alone, aloneBracket{alone, found})
	}
	return nil
}

// measureFound measures the levels found once more with all that a takeoff tells.
func (b *balancing) measureFound() error {
	words := "at the balance"
	if !b.found.crosses() {
		words = "at the nearest level"
	}
	if err := b.addWhole(words, b.found.nearer().shift); err != nil {
		return err
	}
	if b.cheapest == nil {
		return nil
	}
	return b.addWhole("at the level of least cost", b.cheapest.shift)
}
