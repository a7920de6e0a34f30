package landxml

import (
	"github.com/paulmach/orb"

	"barrow/tin"
)

// Options limit and guide [Read]. The zero value reads everything.
type Options struct {
	// Surface names the one surface to read; others are passed over. Empty: all.
	Surface string

	// PointsOnly leaves the faces of surfaces out: their points are all there is.
	PointsOnly bool

	// Sagitta is the greatest distance between an arc and its chords, in metres;
	// 0: 1 mm.
	Sagitta float64

	MaxPoints int   // points, vertices and chords in the whole file; more is an error; 0: no limit
	MaxBytes  int64 // of the file; more is an error; 0: no limit

	// Progress, if not nil, is told now and then how many bytes were read.
	Progress func(bytes int64)
}

// File is what is read from one file, or to be written to one.
type File struct {
	Name        string // of the file, for messages; not written
	Version     string // of the schema, as stated; Write writes 1.2 always
	Date, Time  string // when the file was written, as "2006-01-02" and "15:04:05"; Write wants both
	Project     string // may be empty
	Application string // what wrote it; may be empty

	// Unit is that of all coordinates and levels; 0: not stated.
	Unit tin.Unit

	// CoordinateSystem holds the attributes of the element of that name by their
	// names in the schema, such as epsgCode, horizontalDatum, verticalDatum, name,
	// desc. They are carried, not computed with. nil: none.
	CoordinateSystem map[string]string

	Surfaces []Surface

	// Points are the COGO points; whether they are ground is for the caller to know.
	// Those in NotGround are said by the file not to be: marked donotinclude,
	// destroyed or abandoned.
	Points, NotGround []tin.Point

	Features []Feature

	// Notes tell what was assumed, mended or left out, with counts. Not written.
	Notes []tin.Problem
}

// Surface is a terrain surface.
//
// With faces it is the surface as built. What it was built from may stand beside
// it, and is not to be used again. Without faces the points, breaklines and
// boundaries are what to build it from.
type Surface struct {
	Name, Description string
	State             string // existing, proposed, abandoned, destroyed, or empty
	Line              int    // of its element in the file; not written

	Points     []tin.Point
	Faces      [][3]int32 // by index in Points, anticlockwise; nil: none given
	Breaklines []tin.Breakline
	Boundaries []Boundary
}

// Boundary is a line that limits a surface.
type Boundary struct {
	Name string
	Kind BoundaryKind
	Trim bool // whether faces are cut at the line; if not, those that reach over it are dropped
	Ring orb.Ring
	Line int // of its first position in the file; not written
}

// BoundaryKind says what a boundary limits, in the words of the schema.
type BoundaryKind string

// The kinds of boundary.
const (
	Outer  BoundaryKind = "outer"
	Void   BoundaryKind = "void"
	Island BoundaryKind = "island" // ground within a void
)

// FeatureKind is the element that a feature came from.
type FeatureKind string

// The kinds of feature.
const (
	PlanFeature FeatureKind = "PlanFeature"
	Parcel      FeatureKind = "Parcel"
)

// Feature is a line drawn on the plan, or the outline of a parcel.
type Feature struct {
	Kind FeatureKind
	Name string
	Line int // of its CoordGeom in the file; not written

	// Vertices have the level NaN where the file gives none. A closed line repeats
	// its first vertex at the end.
	Vertices []tin.Point
	Closed   bool

	// Err says why the feature could not be read: a spiral, a gap, an unknown point.
	// It then has no vertices.
	Err error
}

// Ring gives the plan positions of a feature.
func (f *Feature) Ring() orb.Ring {
	ring := make(orb.Ring, len(f.Vertices))
	for i, v := range f.Vertices {
		ring[i] = orb.Point{v.E, v.N}
	}
	return ring
}
