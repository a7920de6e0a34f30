package tin

import (
	"math"

	"github.com/paulmach/orb"
)

// Plane is a level or falling plane in plan metres: its level at a point p is
// Level + Gradient . (p - At).
type Plane struct {
	At       orb.Point  // easting and northing, metres
	Level    float64    // level at At, metres
	Gradient [2]float64 // rise per metre of easting and of northing
}

// LevelPlane returns the horizontal plane at a level.
func LevelPlane(level float64) Plane { return Plane{Level: level} }

// FallingPlane returns the plane through a point at a level that goes down at
// slope (fall per metre along, 0.0125 for 1:80) towards bearing, in degrees
// from north clockwise. At whole quarter turns the gradient is exact.
func FallingPlane(at orb.Point, level, slope, bearing float64) Plane {
	sin, cos := sinCosBearing(bearing)
	return Plane{At: at, Level: level, Gradient: [2]float64{-slope * sin, -slope * cos}}
}

// LevelAt returns the level of the plane at easting e and northing n, metres.
func (p Plane) LevelAt(e, n float64) float64 {
	return p.Level + (float64(p.Gradient[0]*(e-p.At[0])) + float64(p.Gradient[1]*(n-p.At[1])))
}

// IsFinite reports whether level, place and gradient are all numbers.
func (p Plane) IsFinite() bool {
	return isFinite(p.Level) && isFinite(p.At[0]) && isFinite(p.At[1]) && isFinite(p.Gradient[0]) && isFinite(p.Gradient[1])
}

// IsLevel reports whether the plane is horizontal.
func (p Plane) IsLevel() bool { return p.Gradient == [2]float64{} }

// Fall returns the plane's slope and the bearing in which it goes down, in
// degrees from north clockwise, 0 for a level plane.
func (p Plane) Fall() (slope, bearing float64) {
	slope = math.Hypot(p.Gradient[0], p.Gradient[1])
	if slope == 0 {
		return 0, 0
	}
	return slope, math.Mod(math.Atan2(-p.Gradient[0], -p.Gradient[1])*180/math.Pi+360, 360)
}

// sinCosBearing returns sine and cosine of a bearing in degrees, exact at
// whole quarter turns.
func sinCosBearing(bearing float64) (sin, cos float64) {
	b := math.Mod(bearing, 360)
	if b < 0 {
		b += 360
	}
	switch b {
	case 0, 360:
		return 0, 1
	case 90:
		return 1, 0
	case 180:
		return 0, -1
	case 270:
		return -1, 0
	}
	return math.Sincos(b * math.Pi / 180)
}
