package tin

import "math"

// Point is a spot height, or a vertex of a breakline. Coordinates and level
// are in the unit of the survey ([Options].Unit).
type Point struct {
	E, N  float64 // easting and northing
	Level float64 // NaN where the survey gives none
	Name  string  // point number or name; may be empty
	Code  string  // what the surveyor called it; may be empty
	Line  int32   // line in the file named by [Source].Name, from 1; 0 if unknown
}

// HasLevel reports whether the point carries a level.
func (p Point) HasLevel() bool { return !math.IsNaN(p.Level) }

// Breakline is a line along which the ground changes slope: triangle edges
// follow it. A vertex without a level (NaN) must lie at a spot height, whose
// level it takes. A closed line repeats its first vertex at the end.
type Breakline struct {
	Name     string
	Vertices []Point
}

// Source is what came from one file, or from memory.
type Source struct {
	Name       string // file name used in messages; may be empty
	Points     []Point
	Breaklines []Breakline
}
