package formation

import (
	"math"

	"github.com/paulmach/orb"

	"barrow/tin"
)

// bearingOf returns the bearing from one point to another in degrees from north
// clockwise, in [0, 360), exact at whole quarter turns.
func bearingOf(from, to orb.Point) float64 {
	de, dn := to[0]-from[0], to[1]-from[1]
	switch {
	case de == 0 && dn >= 0:
		return 0
	case dn == 0 && de > 0:
		return 90
	case de == 0:
		return 180
	case dn == 0:
		return 270
	}
	b := math.Atan2(de, dn) * 180 / math.Pi
	if b < 0 {
		b += 360
	}
	if b >= 360 { // a hair west of north rounds up to a whole turn
		return 0
	}
	return b
}

// direction returns the unit vector towards a bearing, exact at whole quarter
// turns: a plane that falls one in one goes down that way.
func direction(bearing float64) (de, dn float64) {
	g := tin.FallingPlane(orb.Point{}, 0, 1, bearing).Gradient
	return 0 - g[0], 0 - g[1]
}

// distance returns the plan distance of two points. It does not depend on
// their order.
func distance(a, b orb.Point) float64 { return math.Hypot(b[0]-a[0], b[1]-a[1]) }

// isFinite reports whether x is a number that can be a coordinate or a level, in
// any unit; NaN is none.
func isFinite(x float64) bool { return math.Abs(x) <= 1e9 }

func isFinitePoint(p orb.Point) bool { return isFinite(p[0]) && isFinite(p[1]) }

// checkBearing allows a turn either way; more is likely not meant in degrees.
func checkBearing(bearing float64, key string) error {
	if math.Abs(bearing) <= 360 {
		return nil
	}
	return inputError(CodeBadBearing, key, "a bearing is given in degrees from north clockwise, 0 to 360",
		"bearing %g is out of range", bearing)
}
