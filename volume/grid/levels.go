package grid

import "barrow/tin"

// Levels gives the level at an easting and a northing, all in metres, and false
// where there is none. The method LevelAt of a [tin.Surface] is one.
type Levels func(e, n float64) (level float64, ok bool)

// Plane gives the levels of a plane, which has no end.
func Plane(p tin.Plane) Levels {
	return func(e, n float64) (float64, bool) { return p.LevelAt(e, n), true }
}

// Depths gives ground less formation at an easting and a northing, all in
// metres: cut where positive. It returns false where either has no level.
type Depths func(e, n float64) (depth float64, ok bool)

// Between gives the depths of ground, less so much topsoil, to a formation.
func Between(ground Levels, topsoil float64, formation Levels) Depths {
	return func(e, n float64) (float64, bool) {
		f, ok := formation(e, n)
		if !ok {
			return 0, false
		}
		g, ok := ground(e, n)
		return (g - topsoil) - f, ok
	}
}
