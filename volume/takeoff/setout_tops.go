package takeoff

import (
	"cmp"
	"context"
	"fmt"
	"strings"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"

	"barrow/tin"
)

// PegTops are measured tops of pegs, by the pegs' numbers, in the job's unit and on the
// datum of its plans.
type PegTops struct {
	Name     string // of their file
	Points   []tin.Point
	Inputs   []Input // the file they were read from
	Notes    []tin.Problem
	Warnings []tin.Problem
}

// LoadPegTops reads peg tops from a file of a survey, and has them in the unit given. Errors
// are as those of [Load]; their keys begin with "peg_tops".
func LoadPegTops(ctx context.Context, f DataFile, unit tin.Unit, limits Limits) (*PegTops, error) {
	l := newLoader(ctx, f.FS, f.Name, newBudget(limits))
	l.job.Units = unit
	s := l.surveyPoints(f.named(l), false)
	if l.err != nil {
		return nil, under("peg_tops", l.err)
	}
	return &PegTops{Name: f.Name, Points: s.points, Inputs: l.job.Inputs, Notes: l.job.Notes, Warnings: l.job.Warnings}, nil
}

// farFromPeg is how far from its place a peg's top may be measured before the peg, or its
// number, is doubted, metres. Common practice, no source.
const farFromPeg = 0.10

// holdTops says how far each level is below the measured tops of pegs.
func (s *settingOut) holdTops() error {
	tops := s.opts.PegTops
	if tops == nil {
		return nil
	}
	s.notes, s.warnings = append(s.notes, tops.Notes...), append(s.warnings, tops.Warnings...)
	s.res.Inputs = append(s.res.Inputs[:len(s.res.Inputs):len(s.res.Inputs)], tops.Inputs...)
	pegs := make(map[string]*PegResult, len(s.res.Pegs))
	for i := range s.res.Pegs {
		pegs[s.res.Pegs[i].Number] = &s.res.Pegs[i]
	}
	without := 0
	for i := range tops.Points {
		p := &tops.Points[i]
		peg := cmp.Or(pegs[p.Name], pegs[strings.TrimPrefix(p.Name, "'")]) // tables have it before a number like a formula
		switch {
		case peg == nil:
			s.warnings = append(s.warnings, tin.Problem{Code: WarnTopUnknown, Message: fmt.Sprintf(
				"%s: there is no peg %q in this set-out: its number must be as the sheet has it, with the same spacings", tops.where(p), p.Name)})
		case !p.HasLevel():
			without++
		default:
			s.holdTop(tops, p, peg)
		}
	}
	if without > 0 {
		s.notes = append(s.notes, tin.Problem{Code: NoteTopNoLevel, Message: fmt.Sprintf("%s: %d peg tops have no level and are left out", tops.Name, without)})
	}
	return nil
}

// where names a point of the file.
func (t *PegTops) where(p *tin.Point) string {
	if p.Line == 0 {
		return t.Name
	}
	return fmt.Sprintf("%s:%d", t.Name, p.Line)
}

func (s *settingOut) holdTop(tops *PegTops, p *tin.Point, peg *PegResult) {
	off := planar.Distance(orb.Point{p.E, p.N}, orb.Point(peg.At)) / s.run.scale
	top := PegTopResult{Number: peg.Number, Line: int(p.Line), Top: p.Level, Off: off, Down: []PegDown{}}
	for _, l := range peg.Levels {
		top.Down = append(top.Down, PegDown{l.What, l.Name, addLevels(p.Level, -l.Level)})
	}
	s.res.PegTops = append(s.res.PegTops, top)
	if off*s.run.unit > farFromPeg {
		at := orb.Point{p.E * s.run.unit, p.N * s.run.unit}
		s.warnings = append(s.warnings, tin.Problem{Code: WarnPegMoved, At: &at, Message: fmt.Sprintf(
			"%s: the top of peg %s was measured %.3f %s from its place: another peg, or one that was moved", tops.where(p), p.Name, off, s.res.Units.Length)})
	}
}
