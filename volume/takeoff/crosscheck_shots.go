package takeoff

import (
	"cmp"
	"fmt"
	"math"
	"strings"

	"github.com/paulmach/orb"

	"barrow/tin"
)

// Shots are points shot apart from the survey, in the job's unit, with levels on the
// datum of its plans.
type Shots struct {
	Name      string      // of their file
	Points    []tin.Point // one without a level counts for nothing
	Benchmark *Mark       // plan less measured level is added to every shot; nil: used as measured
	Before    bool        // of two surveys, held against the one before; else against the one after
	Inputs    []Input     // the file they were read from
	Notes     []tin.Problem
	Warnings  []tin.Problem
}

// MarkBy sets the benchmark from a text as [ParseMark] reads it. Where the shots' file is
// in another unit, its measured level must carry a unit: it could be in either.
func (s *Shots) MarkBy(text string, in tin.Unit) error {
	m, err := ParseMark(text, in)
	if err != nil {
		return err
	}
	_, measured, _ := strings.Cut(text, "=")
	if _, named, _ := ParseLength(measured, in); !named && len(s.Inputs) > 0 {
		if unit := s.Inputs[0].levels(in); unit != "" {
			return needsUnit(measured, unit, in)
		}
	}
	s.Benchmark = &m
	return nil
}

// check refuses a benchmark that is none, and a choice of surveys where there is one.
func (s *Shots) check(surveys bool) error {
	switch b := s.Benchmark; {
	case b != nil && !finite(b.Plan-b.Measured):
		return badJob(codeBadValue, "check_benchmark", fmt.Sprintf("a benchmark with the levels %s and %s", formatNumber(b.Plan), formatNumber(b.Measured)), "give finite numbers")
	case s.Before && !surveys:
		return badJob(codeBadValue, "check_against", "a job has one ground", "leave the choice out, or give two surveys")
	}
	return nil
}

// shotGround is what shots are held against.
type shotGround struct {
	surface *tin.Surface
	survey  string  // "before" or "after", of two
	more    float64 // -1 where ground that is high makes cut less fill smaller, else 1
}

// holdShots holds shots against a ground.
func (x *crossing) holdShots(g shotGround) error {
	s, r := x.opts.Shots, x.run
	if s == nil {
		return nil
	}
	x.notes, x.warnings = append(x.notes, s.Notes...), append(x.warnings, s.Warnings...)
	res := &ShotsResult{Name: s.Name, Against: g.survey}
	lift := func(level float64) float64 { return level }
	if b := s.Benchmark; b != nil {
		shift := addLevels(b.Plan, -b.Measured)
		res.Shift = &shift
		lift = func(level float64) float64 { return addLevels(level, shift) }
	}
	var sum tin.Sum
	var offs []float64
	var worst worstShot
	for i := range s.Points {
		p := &s.Points[i]
		if !finite(p.Level) {
			res.NoLevel++
			continue
		}
		level, ok := g.surface.LevelAt(p.E*r.unit, p.N*r.unit)
		if !ok {
			res.OffGround++
			continue
		}
		off := level - float64(lift(p.Level)*r.unit)
		offs = append(offs, off)
		sum.Add(off)
		worst.see(off, p)
	}
	if res.Count = len(offs); res.Count == 0 {
		return &tin.InputError{Code: codeShotsOffGround, Key: "check_shots", File: s.Name,
			Message: fmt.Sprintf("none of the %d check shots has both a level and ground under it", len(s.Points)),
			Hint:    "check their coordinates, their unit and the order of columns"}
	}
	res.Worst, res.WorstName, res.WorstLine, res.WorstAt = worst.off/r.unit, worst.shot.Name, int(worst.shot.Line), Place{worst.shot.E, worst.shot.N}
	mean := sum.Value() / float64(res.Count)
	res.Mean = mean / r.unit
	if res.Count > 1 {
		sd := deviation(offs, mean)
		within := sd / r.unit
		res.StandardDeviation = &within
	}
	w := x.held[0].works
	volume := g.more * mean * w.area
	res.Volume = volume / r.volumeUnit()
	x.shots = res
	x.warnShots(w, &g, mean, volume, orb.Point{res.WorstAt[0] * r.unit, res.WorstAt[1] * r.unit})
	return nil
}

// worstShot is the shot farthest off; of several as far, the one that is high, then the
// one farthest west, then south, in whatever order they come.
type worstShot struct {
	off  float64 // metres
	shot *tin.Point
}

func (w *worstShot) see(off float64, p *tin.Point) {
	if w.shot == nil || cmp.Or(cmp.Compare(math.Abs(off), math.Abs(w.off)), cmp.Compare(off, w.off),
		cmp.Compare(w.shot.E, p.E), cmp.Compare(w.shot.N, p.N)) > 0 {
		w.off, w.shot = off, p
	}
}

// deviation returns the standard deviation of a sample from its mean.
func deviation(values []float64, mean float64) float64 {
	var squares tin.Sum
	for _, v := range values {
		squares.Add(float64((v - mean) * (v - mean)))
	}
	return math.Sqrt(squares.Value() / float64(len(values)-1))
}

// warnShots warns where the mean makes more of the volume than stable ground may.
func (x *crossing) warnShots(w *crossWorks, g *shotGround, mean, volume float64, worst orb.Point) {
	moved := w.prism[inCut] + w.prism[inFill]
	if !(math.Abs(volume) > stableShare*moved) {
		return
	}
	r := x.run
	of := ""
	if moved > 0 {
		of = fmt.Sprintf(", %s of cut plus fill", percent(math.Abs(volume)/moved))
	}
	ground := ""
	if g.survey != "" {
		ground = " " + g.survey
	}
	x.warnings = append(x.warnings, tin.Problem{Code: WarnShotsOff, At: &worst, Message: fmt.Sprintf(
		"the ground%s lies %s the check shots by %s on average: over the works that is %s%s; see whether both stand on one benchmark",
		ground, side(mean), r.levelText(mean), r.volumeText(math.Abs(volume)), of)})
}
