package setout

import (
	"math"
	"math/big"

	"barrow/tin"
)

// PegSight is a staff reading and how far the staff is from the level, in one unit.
type PegSight struct{ Reading, Distance Decimal }

// PegTest is a two-peg test: from each of two places of the level a sight to pegs A
// and B. Commonly the first place is midway between them, and the second near one.
type PegTest struct{ A1, B1, A2, B2 PegSight }

// PegResult is what a two-peg test shows.
type PegResult struct {
	// Tilt is the error of a reading per unit of distance: positive where the line of
	// sight rises, and readings are too great. In metres per metre, or feet per foot.
	Tilt    float64
	Seconds float64 // the same as an angle, in seconds of arc

	// Rise is how much B is above A, free of the tilt. Apparent1 and Apparent2 are the
	// same as read from either place.
	Rise                 float64
	Apparent1, Apparent2 Decimal

	// A1 to B2 are the readings that a level line of sight would have given; to adjust
	// the instrument without moving it, make it read A2 or B2, whichever peg is far.
	A1, B1, A2, B2 float64
}

// TwoPeg finds the tilt of a level's line of sight. With lengths to A and B of a1, b1
// from the first place and a2, b2 from the second,
//
//	tilt = ((A2 - B2) - (A1 - B1)) / ((a2 - b2) - (a1 - b1))
//
// (worked by hand: a reading at distance d is tilt x d too great). Places from which
// A is as much farther than B show no tilt, and are a [*tin.InputError]. Curvature
// and refraction are not corrected for.
func TwoPeg(t PegTest) (*PegResult, error) {
	for _, s := range []PegSight{t.A1, t.B1, t.A2, t.B2} {
		if s.Distance < 0 || s.Distance > greatest || s.Reading.abs() > maxReading {
			return nil, &tin.InputError{Code: "peg_sight", Message: "a sight of a two-peg test is out of range: " +
				s.Reading.String() + " at distance " + s.Distance.String(), Hint: "distances are from 0 on, and no staff is so long"}
		}
	}
	base := (t.A2.Distance - t.B2.Distance) - (t.A1.Distance - t.B1.Distance)
	if base == 0 {
		return nil, &tin.InputError{Code: "peg_distances", Message: "from both places of the two-peg test one peg is as much farther than the other: no tilt shows",
			Hint: "stand midway between the pegs, then near one of them"}
	}
	apparent1, apparent2 := t.A1.Reading-t.B1.Reading, t.A2.Reading-t.B2.Reading
	tilt := big.NewRat(int64(apparent2-apparent1), int64(base))
	level := func(s PegSight) *big.Rat {
		error := new(big.Rat).Mul(tilt, s.Distance.rat())
		return error.Sub(s.Reading.rat(), error)
	}
	float := func(r *big.Rat) float64 { f, _ := r.Float64(); return f }
	perUnit := float(tilt)
	return &PegResult{
		Tilt: perUnit, Seconds: math.Atan(perUnit) * 180 / math.Pi * 3600,
		Rise:      float(new(big.Rat).Sub(level(t.A1), level(t.B1))),
		Apparent1: apparent1, Apparent2: apparent2,
		A1: float(level(t.A1)), B1: float(level(t.B1)), A2: float(level(t.A2)), B2: float(level(t.B2)),
	}, nil
}
