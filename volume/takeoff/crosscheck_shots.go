package takeoff

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"barrow/tin"
)

// Shots are points shot apart from the survey, in the job's unit, with levels on the
// datum of its plans.
type Shots struct {
	Name     string      // of their file
	Points   []tin.Point // one without a level counts for nothing
	Inputs   []Input     // the file they were read from
	Notes    []tin.Problem
	Warnings []tin.Problem
}

// holdShots holds shots against the ground.
func (x *crossing) holdShots() error {
	s, r := x.opts.Shots, x.run
	if s == nil {
		return nil
	}
	x.notes, x.warnings = append(x.notes, s.Notes...), append(x.warnings, s.Warnings...)
	res := &ShotsResult{Name: s.Name}
	var sum tin.Sum
	var offs []float64
	for _, p := range s.Points {
		if !finite(p.Level) {
			res.NoLevel++
			continue
		}
		level, ok := r.ground.LevelAt(p.E*r.unit, p.N*r.unit)
		if !ok {
			res.OffGround++
			continue
		}
		off := level - p.Level*r.unit
		offs = append(offs, off)
		sum.Add(off)
		if len(offs) == 1 || math.Abs(off) > math.Abs(res.Worst*r.unit) {
			res.Worst, res.WorstName, res.WorstLine, res.WorstAt = off/r.unit, p.Name, int(p.Line), Place{p.E, p.N}
		}
	}
	if res.Count = len(offs); res.Count == 0 {
		return &tin.InputError{Code: codeShotsOffGround, Key: "check_shots", File: s.Name,
			Message: fmt.Sprintf("none of the %d check shots has both a level and ground under it", len(s.Points)),
			Hint:    "check their coordinates, their unit and the order of columns"}
	}
	mean := sum.Value() / float64(res.Count)
	res.Mean = mean / r.unit
	if res.Count > 1 {
		sd := deviation(offs, mean)
		within := sd / r.unit
		res.StandardDeviation = &within
	}
	w := x.held[0].works
	volume := mean * w.area
	res.Volume = volume / r.volumeUnit()
	x.shots = res
	x.warnShots(w, mean, volume, orb.Point{res.WorstAt[0] * r.unit, res.WorstAt[1] * r.unit})
	return nil
}

// deviation returns the standard deviation of a sample from its mean.
func deviation(values []float64, mean float64) float64 {
	var squares tin.Sum
	for _, v := range values {
		squares.Add((v - mean) * (v - mean))
	}
	return math.Sqrt(squares.Value() / float64(len(values)-1))
}

// warnShots warns where the mean makes more of the volume than stable ground may.
func (x *crossing) warnShots(w *crossWorks, mean, volume float64, worst orb.Point) {
	moved := w.prism[inCut] + w.prism[inFill]
	if !(math.Abs(volume) > stableShare*moved) {
		return
	}
	r := x.run
	of := ""
	if moved > 0 {
		of = fmt.Sprintf(", %s of cut plus fill", percent(math.Abs(volume)/moved))
	}
	x.warnings = append(x.warnings, tin.Problem{Code: WarnShotsOff, At: &worst, Message: fmt.Sprintf(
		"the ground lies %s the check shots by %s on average: over the works that is %s%s; see whether both stand on one benchmark",
		side(mean), r.levelText(mean), r.volumeText(math.Abs(volume)), of)})
}
