package takeoff

import (
	"fmt"
	"math"
	"slices"

	"barrow/tin"
)

// namedLevel is a level to work to before it is read or held against anything.
type namedLevel struct {
	what, name string
	level      float64
}

// levelsUnder lists the levels to work to under a finished level, from the top down, and
// with the formation given, since that of a falling pad is measured and not summed.
func (s *settingOut) levelsUnder(pad *Pad, finished, level float64) (list []namedLevel) {
	for i, rung := range pad.layers().Ladder(finished) {
		l := namedLevel{LevelLayer, "top of " + rung.Name, rung.Top}
		if i == 0 {
			l.what, l.name = LevelFinished, "finished level, top of "+rung.Name
		}
		list = append(list, l)
	}
	if t := s.opts.Trim; t > 0 {
		list = append(list, namedLevel{LevelTrim, "first pass, above formation", addLevels(level, t)})
	}
	list = append(list, namedLevel{LevelFormation, "FORMATION", level})
	if d := s.opts.OverDig; d > 0 {
		list = append(list, namedLevel{LevelOverDig, "over-dig, below formation", addLevels(level, -d)})
	}
	// A trim thicker than the last layer stands among the layers.
	slices.SortStableFunc(list, func(a, b namedLevel) int { return compareLevels(b.level, a.level) })
	return list
}

func compareLevels(a, b float64) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}

// setLevels reads and holds levels against the benchmarks.
func (s *settingOut) setLevels(list []namedLevel) (out []SetLevel, err error) {
	out = []SetLevel{}
	for _, l := range list {
		set := SetLevel{What: l.what, Name: l.name, Level: l.level, AboveMarks: s.run.above(l.level)}
		if set.Sight, err = s.res.Instrument.sight(l.level); err != nil {
			return nil, err
		}
		out = append(out, set)
	}
	return out, nil
}

// levels lists the levels of every pad.
func (s *settingOut) levels() error {
	for i := range s.run.job.Pads {
		job, p := &s.run.job.Pads[i], &s.res.Takeoff.Pads[i]
		pad := SetOutPad{Name: job.Name}
		add := func(corner string, finished, level float64) error {
			levels, err := s.setLevels(s.levelsUnder(job, finished, level))
			pad.Sets = append(pad.Sets, LevelSet{corner, levels})
			return err
		}
		var err error
		if p.FinishedLevel != nil && p.Fall == nil {
			err = add("", *p.FinishedLevel, *p.FormationLevel)
		} else {
			for _, c := range p.Corners {
				if err == nil {
					err = add(c.Name, c.Finished, c.Formation)
				}
			}
		}
		if err != nil {
			return err
		}
		if pad.Dug, err = s.setLevels(thickeningLevels(p)); err != nil {
			return err
		}
		pad.Fall = sideFalls(p)
		s.res.Pads = append(s.res.Pads, pad)
	}
	s.warnUnreadable()
	return nil
}

// thickeningLevels lists what thickenings are dug to, and the tops of their own layers.
func thickeningLevels(p *PadResult) (list []namedLevel) {
	for _, t := range p.Thickenings {
		if t.Level == nil {
			continue
		}
		level := *t.Level
		var layers []namedLevel
		for _, l := range slices.Backward(t.Layers) {
			level = addLevels(level, l.Thickness)
			layers = append(layers, namedLevel{LevelLayer, t.Name + ": top of " + l.Name, level})
		}
		slices.Reverse(layers)
		list = append(append(list, layers...), namedLevel{LevelDug, t.Name + ": dig to", *t.Level})
	}
	return list
}

// sideFalls parts the fall of a pad into what is along each side of its outer ring and
// what is across.
func sideFalls(p *PadResult) (list []SideFall) {
	if p.Fall == nil || p.Fall.Slope == 0 {
		return nil
	}
	for _, side := range p.Sides {
		if side.Ring != 0 || side.Length == 0 {
			continue
		}
		sin, cos := math.Sincos((p.Fall.Bearing - side.Bearing) * math.Pi / 180)
		list = append(list, SideFall{side.From, side.To, p.Fall.Slope * cos, p.Fall.Slope * sin})
	}
	return list
}

// warnUnreadable warns of levels that the staff cannot show from where the instrument
// stands.
func (s *settingOut) warnUnreadable() {
	i := s.res.Instrument
	if i == nil {
		return
	}
	count, first := 0, ""
	look := func(pad string, list []SetLevel) {
		for _, l := range list {
			switch reading := l.Sight.Reading.Float(); {
			case reading < 0:
				count++
				first = orFirst(first, fmt.Sprintf("%s of pad %s is above the line of sight", l.Name, pad))
			case s.opts.Staff > 0 && reading > s.opts.Staff:
				count++
				first = orFirst(first, fmt.Sprintf("%s of pad %s wants a reading of %s, and the staff ends at %s", l.Name, pad, l.Sight.Reading, formatNumber(s.opts.Staff)))
			}
		}
	}
	for _, p := range s.res.Pads {
		for _, set := range p.Sets {
			look(p.Name, set.Levels)
		}
		look(p.Name, p.Dug)
	}
	if count > 0 {
		s.warnings = append(s.warnings, tin.Problem{Code: WarnUnreadable, Message: fmt.Sprintf(
			"%d of the levels cannot be read from this set-up: %s; set the instrument up elsewhere, on a benchmark again", count, first)})
	}
}

func orFirst(first, text string) string {
	if first == "" {
		return text
	}
	return first
}
