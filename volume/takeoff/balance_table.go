package takeoff

import "slices"

// Steps of the tables on either side of a level, and of the curve beside them.
const (
	tableSteps = 5
	curveSteps = 20
)

// step returns the shift between two lines of the table.
func (b *balancing) step() float64 {
	switch {
	case b.opts.Step > 0:
		return b.opts.Step
	case b.ground.unit == 1:
		return 0.01
	}
	return 0.05
}

// tabulate measures what the tables and the curve show, and finds where it jumps.
func (b *balancing) tabulate() (err error) {
	step := b.step()
	given := wholeNanometres(tableSteps * step)
	if b.whatIf, err = b.levels.atAll([]float64{-given, 0, given}); err != nil {
		return err
	}
	if b.table, err = b.levels.atAll(append(b.rows(step), b.found.nearer().shift)); err != nil {
		return err
	}
	shown := slices.Concat(b.whatIf, b.table, b.found.ends())
	if b.cheapest != nil {
		shown = append(shown, b.cheapest)
	}
	return b.draw(shown)
}

// rows returns whole steps of shift about the balance, within the limits.
func (b *balancing) rows(step float64) (shifts []float64) {
	first := floorSteps(b.found.nearer().shift, step)
	for k := first - tableSteps; k <= first+1+tableSteps; k++ {
		if shift := wholeNanometres(float64(k) * step); b.levels.limits.holds(shift) {
			shifts = append(shifts, shift)
		}
	}
	return shifts
}

// draw measures the curve over the levels of a list, with both sides of each jump.
func (b *balancing) draw(list []*levelled) (err error) {
	var shifts []float64
	for _, p := range list {
		shifts = append(shifts, p.shift)
	}
	least, most := slices.Min(shifts), slices.Max(shifts)
	for i := 1; i < curveSteps; i++ {
		shifts = append(shifts, wholeNanometres(least+(most-least)*float64(i)/curveSteps))
	}
	if _, err = b.levels.atAll(shifts); err != nil {
		return err
	}
	if err = b.findJumps(least, most); err != nil {
		return err
	}
	for _, j := range b.jumps {
		shifts = append(shifts, j.low.shift, j.high.shift)
	}
	b.curve, err = b.levels.atAll(shifts)
	return err
}
