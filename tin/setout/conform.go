package setout

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"barrow/tin"
)

// Codes of errors of [Conform].
const (
	codeBadShot      = "bad_shot"      // an error: a shot or a level asked for that is no finite number
	codeBadTolerance = "bad_tolerance" // an error: a tolerance or a standard deviation below 0 or no number
)

// Shot is a finished level measured at a place, all in one unit.
type Shot struct{ E, N, Level float64 }

// Tolerance is how far a finished level may lie above and below the level asked for;
// neither is below 0.
type Tolerance struct{ Up, Down float64 }

// Standing is how a shot stands to its tolerance.
type Standing string

// How a shot stands to its tolerance. A shot at a limit is within it.
const (
	Within    Standing = "within"
	Out       Standing = "out"
	Undecided Standing = "undecided" // nearer to a limit than two standard deviations of a shot
	Unjudged  Standing = "unjudged"  // no tolerance was given
)

// Verdict is what all shots together say of the work.
type Verdict string

// What shots can say of the work. Every one must be within for the first; there is no
// verdict on the work in the last two.
const (
	VerdictWithin      Verdict = "within tolerance"
	VerdictOut         Verdict = "out of tolerance"
	VerdictUndecided   Verdict = "undecided"
	VerdictTooFew      Verdict = "too few shots"
	VerdictNoTolerance Verdict = "no tolerance given"
)

// ConformOptions tell [Conform] what shots are held against, all in their unit.
type ConformOptions struct {
	Tolerance *Tolerance // nil: none, and nothing is judged
	// StandardDeviation is that of the level of one shot; 0: it is not known, and every
	// shot is taken as if it were without error.
	StandardDeviation float64
	Cover             Cover // what shots must cover for a verdict
}

// Deviation is how a shot lies to the level asked for.
type Deviation struct {
	Shot     int     // its index
	Asked    float64 // level
	Off      float64 // measured less asked, rounded to 1e-9 of the unit: above 0 is high
	Standing Standing
}

// Conformance is how finished work lies to the levels asked for.
type Conformance struct {
	Deviations []Deviation // of the shots that a level was asked of, in their order
	Beside     []int       // the other shots

	Within, Out, Undecided int // of Deviations; all 0 without a tolerance
	Mean                   float64
	StandardDeviation      float64 // of the deviations about Mean; NaN of fewer than two
	Worst                  int     // index in Deviations of the one farthest off; -1 without any
	Coverage               Coverage
	Verdict                Verdict
}

// Conform holds shots of finished work against the levels asked for. asked returns the
// level at a place, and false where none is.
//
// There is a verdict only where the shots cover the area (see [Cover]): within tolerance
// if every shot is, out of tolerance if any is surely out, else undecided. Nothing
// depends on the order of the shots but the order of the deviations.
func Conform(shots []Shot, asked func(e, n float64) (level float64, ok bool), opts ConformOptions) (*Conformance, error) {
	if err := opts.check(); err != nil {
		return nil, err
	}
	c := &Conformance{Worst: -1}
	for i, s := range shots {
		level, ok := asked(s.E, s.N)
		if !ok {
			c.Beside = append(c.Beside, i)
			continue
		}
		if !areFinite(s.E, s.N, s.Level, level) {
			return nil, &tin.InputError{Code: codeBadShot, Key: fmt.Sprintf("shots[%d]", i),
				Message: fmt.Sprintf("the shot %g, %g, %g, or the level %g asked for there, is no finite number", s.E, s.N, s.Level, level), Hint: "leave the shot out"}
		}
		off := nano(s.Level - level)
		c.Deviations = append(c.Deviations, Deviation{i, level, off, opts.standing(off)})
	}
	c.count(shots)
	c.spread()
	var err error
	if c.Coverage, err = opts.Cover.by(c.places(shots)); err != nil {
		return nil, err
	}
	c.Verdict = c.verdict(opts.Tolerance != nil)
	return c, nil
}

func (o *ConformOptions) check() error {
	t := Tolerance{}
	if o.Tolerance != nil {
		t = *o.Tolerance
	}
	for _, v := range []struct {
		key   string
		value float64
	}{{"tolerance", t.Up}, {"tolerance", t.Down}, {"standard_deviation", o.StandardDeviation},
		{"cover", o.Cover.PerShot}, {"cover", o.Cover.Reach}} {
		if !(v.value >= 0) || !areFinite(v.value) {
			return &tin.InputError{Code: codeBadTolerance, Key: v.key, Message: fmt.Sprintf("%g is none", v.value), Hint: "give 0 or more"}
		}
	}
	return nil
}

// nano rounds a deviation to 1e-9 of the unit: a difference of decimals is then the
// decimal that a person works out, and a shot at a limit is at it.
func nano(x float64) float64 { return math.Round(x*1e9) / 1e9 }

// standing judges a deviation.
func (o *ConformOptions) standing(off float64) Standing {
	if o.Tolerance == nil {
		return Unjudged
	}
	up, down := nano(o.Tolerance.Up), nano(o.Tolerance.Down)
	switch nearest := min(math.Abs(off-up), math.Abs(off+down)); {
	case nano(nearest) < nano(2*o.StandardDeviation):
		return Undecided
	case off > up || off < -down:
		return Out
	}
	return Within
}

// count counts the deviations by their standing and finds the worst: of several as far
// off the one that is high, then the one farthest west, then south.
func (c *Conformance) count(shots []Shot) {
	for i, d := range c.Deviations {
		switch d.Standing {
		case Within:
			c.Within++
		case Out:
			c.Out++
		case Undecided:
			c.Undecided++
		}
		if c.Worst < 0 {
			c.Worst = i
			continue
		}
		w := c.Deviations[c.Worst]
		s, than := shots[d.Shot], shots[w.Shot]
		if cmp.Or(cmp.Compare(math.Abs(d.Off), math.Abs(w.Off)), cmp.Compare(d.Off, w.Off),
			cmp.Compare(than.E, s.E), cmp.Compare(than.N, s.N)) > 0 {
			c.Worst = i
		}
	}
}

// spread finds mean and standard deviation, adding up in the order of size.
func (c *Conformance) spread() {
	offs := make([]float64, len(c.Deviations))
	for i, d := range c.Deviations {
		offs[i] = d.Off
	}
	slices.Sort(offs)
	var sum, squares tin.Sum
	for _, off := range offs {
		sum.Add(off)
	}
	if len(offs) > 0 {
		c.Mean = sum.Value() / float64(len(offs))
	}
	c.StandardDeviation = math.NaN()
	if len(offs) > 1 {
		for _, off := range offs {
			squares.Add(float64((off - c.Mean) * (off - c.Mean)))
		}
		c.StandardDeviation = math.Sqrt(squares.Value() / float64(len(offs)-1))
	}
}

// verdict says what the shots say together.
func (c *Conformance) verdict(judged bool) Verdict {
	switch {
	case !judged:
		return VerdictNoTolerance
	case !c.Coverage.Enough():
		return VerdictTooFew
	case c.Out > 0:
		return VerdictOut
	case c.Undecided > 0:
		return VerdictUndecided
	}
	return VerdictWithin
}

// areFinite reports whether all of them are numbers.
func areFinite(values ...float64) bool {
	return !slices.ContainsFunc(values, func(v float64) bool { return math.IsNaN(v) || math.IsInf(v, 0) })
}
