package formation

import "strconv"

// Batter is the side slope 1V:nH from the formation to the ground, straight or
// with level berms. The zero value is an upright face.
type Batter struct {
	Along float64 // n, metres along for each metre up, 0 or more; 0 is upright
	Every float64 // metres of rise between berms, at least 0.1; 0: no berms
	Berm  float64 // width of a berm, metres on the grid; 0: no berms
}

// LeastRise is the least rise between berms, metres: berms without number would
// never end.
const LeastRise = 0.1

// String returns the slope as [ParseBatter] reads it, without the berms.
func (b Batter) String() string {
	return "1V:" + strconv.FormatFloat(b.Along, 'f', -1, 64) + "H"
}

// mean returns the metres along for each metre up, berms counted in.
func (b Batter) mean() float64 {
	if b.Every == 0 {
		return b.Along
	}
	return b.Along + b.Berm/b.Every
}

// flatter returns the flatter of two batters, by their mean.
func (b Batter) flatter(c Batter) Batter {
	if c.mean() > b.mean() || c.mean() == b.mean() && c.Along > b.Along {
		return c
	}
	return b
}

// check returns an error with the key of the number that cannot be.
func (b Batter) check(key, of string) error {
	bad := func(part, hint, format string, args ...any) error {
		return inputError(CodeBatterNumbers, key+part, hint, "the batter of %s "+format, append([]any{of}, args...)...)
	}
	for _, n := range []struct {
		key, name string
		value     float64
	}{{".along", "length along", b.Along}, {".every", "rise between berms", b.Every}, {".berm", "width of a berm", b.Berm}} {
		if !(n.value >= 0) || !isFinite(n.value) {
			return bad(n.key, "give a number of 0 or more", "has a %s of %g", n.name, n.value)
		}
	}
	switch {
	case (b.Every > 0) != (b.Berm > 0):
		return bad(".berm", "give both the rise between berms and their width, or neither", "rises %g between berms %g wide", b.Every, b.Berm)
	case b.Berm > 0 && b.Along == 0:
		return bad(".berm", "give the batter as well, or leave the berms out", "has berms, but no slope")
	case b.Every > 0 && b.Every < LeastRise:
		return bad(".every", "give a rise of at least 0.1 m", "rises %g m between berms", b.Every)
	}
	return nil
}

// greatestMargin is the greatest margin, metres: far above working space, and small
// enough that what it widens has coordinates.
const greatestMargin = 1e4

func checkMargin(margin float64, key, of string) error {
	if margin >= 0 && margin <= greatestMargin {
		return nil
	}
	return inputError(CodeBadMargin, key, "give it in metres, from 0 to 10000", "the margin of %s is %g", of, margin)
}
