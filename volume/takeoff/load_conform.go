package takeoff

import (
	"fmt"
	"strings"

	"barrow/tin"
	"barrow/tin/setout"
	"barrow/volume/takeoff/internal/tomltree"
)

// soil reads a class of soil.
func (l *loader) soil(n *tomltree.Node) Soil {
	var words []string
	for _, r := range SlopeRules() {
		words = append(words, string(r.Soil))
	}
	return Soil(l.word(n, words...))
}

// levelTolerance reads tolerance = "+10 mm -30 mm", nil where there is none.
func (l *loader) levelTolerance(n *tomltree.Node) *setout.Tolerance {
	text := l.text(n, `tolerance = "+10 mm -30 mm"`)
	if n == nil || l.err != nil {
		return nil
	}
	t, err := ParseTolerance(text, l.job.Units)
	if err != nil {
		l.failWith(n, err)
		return nil
	}
	return &t
}

// ParseTolerance reads a tolerance of levels such as "+0.010 -0.030" or "+10 mm -1.5 in",
// up and down in either order, each a length as in [ParseLength] with its sign. Both must
// be there: a tolerance one way only is written with a 0. A unit must be on both or on
// neither, but for a 0: "+10 -30 mm" is not taken for 10 m. An error has no key; it is
// "unlikely_length" of bare numbers that were hardly meant in the job's unit.
func ParseTolerance(text string, in tin.Unit) (t setout.Tolerance, err error) {
	bad := func(format string, args ...any) error {
		return &tin.InputError{Code: codeBadValue, Message: fmt.Sprintf("%q is no tolerance: ", text) + fmt.Sprintf(format, args...),
			Hint: `write up and down apart, like "+0.010 -0.030" or "+10 mm -30 mm"`}
	}
	var up, down bool
	var bare, named float64 // the greatest without a unit, and with one
	for rest := strings.TrimSpace(text); rest != ""; {
		part := rest
		if i := strings.IndexAny(rest[1:], "+-"); i >= 0 {
			part = rest[:i+1]
		}
		rest = rest[len(part):]
		sign, size := part[0], part[1:]
		length, unit, err := ParseLength(size, in)
		if unit {
			named = max(named, length)
		} else {
			bare = max(bare, length)
		}
		switch {
		case sign != '+' && sign != '-':
			return setout.Tolerance{}, bad("%q has no sign", strings.TrimSpace(part))
		case err != nil:
			return setout.Tolerance{}, bad("%q is not a length", strings.TrimSpace(size))
		case sign == '+' && up || sign == '-' && down:
			return setout.Tolerance{}, bad("%c is there twice", sign)
		case sign == '+':
			t.Up, up = length, true
		default:
			t.Down, down = length, true
		}
	}
	switch message, hint := toleranceLimit.unlikely(bare, in); {
	case !up || !down:
		return setout.Tolerance{}, bad("both + and - must be given")
	case bare > 0 && named > 0:
		return setout.Tolerance{}, bad("one of the two has a unit, the other has none")
	case message != "":
		return setout.Tolerance{}, &tin.InputError{Code: codeUnlikelyLength, Message: message, Hint: hint}
	}
	return t, nil
}

// check refuses a class that no rule knows.
func (s Soil) check(key string) error {
	if _, ok := s.rule(); ok || s == "" {
		return nil
	}
	return badJob(codeBadValue, key, fmt.Sprintf("unknown class of soil %q", string(s)), "use one of those of SlopeRules")
}

// checkConform refuses what a pad cannot be held against.
func checkConform(p *Pad, i int, unit float64) error {
	if err := p.Soil.check(fmt.Sprintf("pad[%d].soil", i)); err != nil {
		return err
	}
	return checkTolerance(p.Tolerance, fmt.Sprintf("pad[%d].tolerance", i), unit)
}

// mostTolerance is the greatest tolerance of a level, metres: beyond it millimetres were
// meant, and all work would be within. Judgement, no source.
const mostTolerance = 0.5

// checkTolerance refuses what can be no tolerance of levels; nil is none.
func checkTolerance(t *setout.Tolerance, key string, unit float64) error {
	if t == nil || t.Up >= 0 && t.Down >= 0 && max(t.Up, t.Down)*unit <= mostTolerance {
		return nil
	}
	return badJob(codeBadValue, key, fmt.Sprintf("a tolerance of +%s -%s", formatNumber(t.Up), formatNumber(t.Down)),
		`give 0 to 0.5 m both ways, with its unit, like "+10 mm -30 mm"`)
}
