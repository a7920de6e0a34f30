package tin

import (
	"math"

	"github.com/paulmach/orb"
)

// wholeLimit bounds the whole-number coordinates of a frame: differences below
// it keep every sign exact in 128 bits (tin/internal/robust).
const wholeLimit = 1 << 26

// maxCoordinate bounds what counts as a coordinate, in any unit. Beyond it a
// double no longer holds a micrometre.
const maxCoordinate = 1e9

// isPlace reports whether both coordinates are numbers within maxCoordinate.
func isPlace(p orb.Point) bool {
	return math.Abs(p[0]) <= maxCoordinate && math.Abs(p[1]) <= maxCoordinate
}

// Frame is the local system in which a surface holds its plan coordinates: a
// whole-number origin near the survey, and a number of local units per unit of
// the survey. Where every coordinate read is a decimal of at most 4 places (3 on
// wide sites), the local unit is 10^-4 (10^-3) and local coordinates are whole
// numbers: then a line that is straight on paper is straight here, and the
// surface does not change under a shift by a decimal. Otherwise local
// coordinates are the doubles as read, less the origin, which is exact.
//
// Areas are exact or nearly so in local units; multiply by [Frame.Area] once,
// at the end.
type Frame struct {
	e0, n0 float64 // origin, in the unit of the survey, whole numbers
	per    float64 // local units per unit of the survey
	unit   float64 // metres per unit of the survey
	whole  bool
	slack  float64 // by how much, relatively, a coordinate may be off the decimal that it stands for
}

// Slack for what rounding took off a decimal on its way through another unit: two units
// in the last place where it came in metres and is divided by the survey's unit, four
// where it was converted into the unit of the caller before, and comes back from there.
const (
	slackOfMetres  = 0x1p-51
	slackOfWritten = 0x1p-50
)

// Area returns the square metres in one square local unit.
func (f Frame) Area() float64 { return (f.unit / f.per) * (f.unit / f.per) }

// Length returns the metres in one local unit.
func (f Frame) Length() float64 { return f.unit / f.per }

// Metres returns easting and northing in metres of a local point.
func (f Frame) Metres(x, y float64) orb.Point {
	return orb.Point{f.out(x, f.e0), f.out(y, f.n0)}
}

func (f Frame) out(x, origin float64) float64 {
	return (float64(origin*f.per) + x) / f.per * f.unit
}

// Local returns the local point of an easting and northing in metres. A
// coordinate that is a decimal of the frame comes out as a whole number.
func (f Frame) Local(p orb.Point) (x, y float64) {
	return f.in(p[0]/f.unit, f.e0), f.in(p[1]/f.unit, f.n0)
}

// in takes a coordinate in the unit of the survey.
func (f Frame) in(v, origin float64) float64 {
	if !f.whole {
		return settle(v - origin)
	}
	k := math.Round(v * f.per)
	if math.Abs(k/f.per-v) <= math.Abs(v)*f.slack && math.Abs(k) < 1<<53 {
		return settle(k - float64(origin*f.per))
	}
	return settle(float64((v - origin) * f.per))
}

// leastCoordinate is the least magnitude that exact signs are proved for
// (robust.InRange); below it, a coordinate is 0.
const leastCoordinate = 1e-50

// settle turns -0, and what no sign can be proved for, into 0.
func settle(x float64) float64 {
	if math.Abs(x) < leastCoordinate {
		return 0
	}
	return x
}

// extent gathers what decides a frame: the ranges of the coordinates and how
// many decimals they have.
type extent struct {
	min, max [2]float64
	places3  bool // at most 3 decimals
	places4  bool // at most 4 decimals
	any      bool
	slack    float64 // by how much, relatively, a coordinate may be off its decimal
}

func (x *extent) add(e, n float64) {
	p := [2]float64{e, n}
	if !x.any {
		*x = extent{min: p, max: p, places3: true, places4: true, any: true, slack: x.slack}
	}
	for i, v := range p {
		x.min[i], x.max[i] = min(x.min[i], v), max(x.max[i], v)
		x.places3 = x.places3 && x.decimal(v, 1e3)
		x.places4 = x.places4 && (x.places3 || x.decimal(v, 1e4))
	}
}

// decimal reports whether a coordinate stands for a whole number of 1/per.
func (x *extent) decimal(v, per float64) bool {
	return math.Abs(math.Round(v*per)/per-v) <= math.Abs(v)*x.slack
}

// frame chooses the frame: whole units where they fit, the finer ones first, so
// that a crossing of breaklines is rounded as little as possible.
func (x *extent) frame(unit Unit) Frame {
	f := Frame{
		e0: wholeOrigin(x.min[0], x.max[0]), n0: wholeOrigin(x.min[1], x.max[1]),
		per: 1, unit: unit.Metres(), slack: x.slack,
	}
	if f.slack == 0 && f.unit != 1 {
		f.slack = slackOfMetres
	}
	width := max(x.max[0]-x.min[0], x.max[1]-x.min[1])
	// The margin of 2 covers the origin's distance from the least coordinate.
	switch {
	case x.places4 && (width+2)*1e4 < wholeLimit:
		f.per, f.whole = 1e4, true
	case x.places3 && (width+2)*1e3 < wholeLimit:
		f.per, f.whole = 1e3, true
	}
	if f.whole {
		f.e0, f.n0 = math.Floor(x.min[0]), math.Floor(x.min[1])
	}
	return f
}

// wholeOrigin returns the whole number that can be taken off every double
// between lo and hi without rounding: the one nearest to them on the side of
// zero or, where they lie on both sides of it, zero.
func wholeOrigin(lo, hi float64) float64 {
	switch {
	case lo > 0:
		return math.Floor(lo)
	case hi < 0:
		return math.Ceil(hi)
	}
	return 0
}
