package takeoff

import (
	"fmt"

	"barrow/tin"
	"barrow/tin/setout"
)

// holdTrim says where the level of the first pass lies above the ground that it is to be
// dug from: there the cut is no deeper than what is to be left. A pad that has no deeper
// cut at any peg has a trim that can hardly be meant.
func (s *settingOut) holdTrim() error {
	for i := range s.run.job.Pads {
		name := s.run.job.Pads[i].Name
		cut, shallow, first := 0, 0, ""
		for k := range s.res.Pegs {
			p := &s.res.Pegs[k]
			if p.Pad != name || !onFormation(p.Kind) || p.Depth == nil {
				continue
			}
			depth := *p.Depth - p.Topsoil
			if depth <= 0 {
				continue // in fill there is no first pass
			}
			cut++
			if depth < s.opts.Trim {
				shallow++
				first = orFirst(first, fmt.Sprintf("at %s it is %s", p.Number, formatNumber(nearDecimal(depth))))
			}
		}
		message := fmt.Sprintf("pad %s: at %d of %d pegs in cut the first pass, %s above formation, is above the stripped ground: %s deep; nothing is dug there before the last pass",
			name, shallow, cut, formatNumber(s.opts.Trim), first)
		switch {
		case shallow == 0:
		case shallow == cut:
			s.warnings = append(s.warnings, tin.Problem{Code: WarnTrimAbove, Message: message})
		default:
			s.notes = append(s.notes, tin.Problem{Code: NoteTrimAbove, Message: message})
		}
	}
	return nil
}

// onFormation reports whether pegs of a kind stand on the pad's outline or inside it.
func onFormation(k setout.Kind) bool {
	return k != setout.AtCrest && k != setout.AtToe && k != setout.SetBack
}
