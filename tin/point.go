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

	// Faces are triangles over Points, by index, that are the surface as built,
	// such as the mesh of a design. Either way round will do. [Build] takes them as
	// they are: no other triangle takes their place, and what no face covers is no
	// ground, but for triangles that reach a spot or breakline of a source without
	// faces, or a breakline of this one. Points of no face are left out with a note.
	//
	// Faces meet side to side, corner to corner, and share no area with another
	// face of any source; no spot or breakline lies in one. Else Build returns an
	// error that names both: the points alone can be mixed with others.
	Faces [][3]int32
}
