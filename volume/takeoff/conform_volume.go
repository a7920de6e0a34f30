package takeoff

import (
	"fmt"
	"slices"

	"github.com/paulmach/orb"

	"barrow/tin"
	"barrow/tin/setout"
	"barrow/volume"
)

// stillToMove takes what lies between the surface of a pad's shots and its target.
func (c *conforming) stillToMove(p *conformPad) error {
	above := c.above(p) * c.unit
	points := make([]tin.Point, len(p.shots))
	for i, s := range p.shots {
		points[i] = tin.Point{E: s.E, N: s.N, Level: s.Level*c.unit - above, Name: p.points[i].Name, Line: p.points[i].Line}
	}
	name := c.job.Pads[p.index].Name
	surface, err := tin.Build(c.ctx, []tin.Source{{Name: c.opts.Shots.Name, Points: points}}, tin.Options{Duplicates: tin.DuplicatesMean})
	if e := asInputError(err); e != nil {
		c.remarked = append(c.remarked, tin.Problem{Code: NoteNoShotSurface, Message: fmt.Sprintf("pad %s: its shots make no surface, so that no volume is given: %s", name, e.Message)})
		return nil
	}
	if err != nil {
		return err
	}
	facets := slices.Clone(p.target.facets)
	for i := range facets {
		facets[i].Topsoil, facets[i].Cell.Ground = 0, true
	}
	still, err := volume.AgainstFacets(c.ctx, surface, facets)
	if err != nil {
		return err
	}
	p.still = &still
	return nil
}

// remark says of a pad what a person must read.
func (c *conforming) remark(p *conformPad) {
	name, f, t := c.job.Pads[p.index].Name, p.found, c.tolerance(p)
	u := c.job.units().Length
	warn := func(code, format string, args ...any) {
		c.warned = append(c.warned, tin.Problem{Code: code, Message: "pad " + name + ": " + fmt.Sprintf(format, args...)})
	}
	if t == nil {
		c.remarked = append(c.remarked, tin.Problem{Code: NoteNoTolerance, Message: "pad " + name + ": no tolerance given: deviations are listed, and nothing is judged"})
		return
	}
	if doubt := 2 * c.opts.StandardDeviation; doubt > 0 && (nearDecimal(t.Up) < nearDecimal(doubt) || nearDecimal(t.Down) < nearDecimal(doubt)) {
		warn(WarnToleranceFine, "the tolerance +%s -%s %s is smaller than two standard deviations of a shot, %s %s: such shots cannot decide it",
			formatNumber(t.Up), formatNumber(t.Down), u, formatNumber(nearDecimal(doubt)), u)
	}
	if f.Out > 0 {
		past, at := p.farthestOut(t)
		warn(WarnOutOfTolerance, "%s out of tolerance, the worst by %s past its limit", ofShots(f.Out, len(f.Deviations)), c.heightText(past*c.unit))
		c.warned[len(c.warned)-1].At = &at
	}
	if f.Undecided > 0 {
		warn(WarnUndecided, "%s nearer to a limit than two standard deviations of a shot: they decide nothing", ofShots(f.Undecided, len(f.Deviations)))
	}
	if n := f.Coverage.Missing; n > 0 {
		least := ""
		if len(f.Coverage.Places) == setout.MostPlaces {
			least = "at least "
		}
		warn(WarnTooFewShots, "no verdict: %s%d more %s needed, at the places named", least, n, map[bool]string{true: "shot is", false: "shots are"}[n == 1])
	}
}

// ofShots says how many of all shots.
func ofShots(n, all int) string {
	if n == 1 {
		return fmt.Sprintf("1 of %d shots is", all)
	}
	return fmt.Sprintf("%d of %d shots are", n, all)
}

// farthestOut returns how far the shots of a pad are past a limit at most, and where: of
// several as far the first by easting, then northing.
func (p *conformPad) farthestOut(t *setout.Tolerance) (past float64, at orb.Point) {
	for _, d := range p.found.Deviations {
		by := nearDecimal(max(d.Off-t.Up, -d.Off-t.Down))
		here := orb.Point{p.shots[d.Shot].E, p.shots[d.Shot].N}
		if d.Standing == setout.Out && (by > past || by == past && Place(here).before(Place(at))) {
			past, at = by, here
		}
	}
	return past, at
}

// accuracyUnknown is the note of shots whose own error nobody states.
func accuracyUnknown() tin.Problem {
	return tin.Problem{Code: NoteShotAccuracy, Message: "the accuracy of the shots is unknown: each counts as if it were without error; give their standard deviation"}
}

// outside tells of shots that are held against nothing.
func (c *conforming) outside() []tin.Problem {
	if len(c.beside) == 0 {
		return nil
	}
	return []tin.Problem{{Code: NoteShotsBeside, Message: countOf(len(c.beside), "shot") + " held against nothing, each named with the reason"}}
}
