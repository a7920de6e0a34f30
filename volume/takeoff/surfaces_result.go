package takeoff

import (
	"barrow/tin"
)

// What a surface is.
const (
	SurfaceGround    = "existing_ground" // before the work
	SurfaceStripped  = "stripped_ground" // where topsoil is taken off, after that
	SurfaceFormation = "formation"       // inside the formation outlines
	SurfaceWorks     = "works"           // formation, margins and batters, out to daylight
)

// What a line is.
const (
	LineOutline          = "outline"           // of a pad as drawn, with formation levels at its corners
	LineFormationOutline = "formation_outline" // of a pad with its margin
	LineCrest            = "crest"             // where cut batters meet the stripped ground
	LineToe              = "toe"               // where fill batters do
	LineZero             = "zero_line"         // where cut turns to fill inside formation outlines
	LineGroundContour    = "ground_contour"    // of the existing ground
	LineWorksContour     = "works_contour"     // of the finished works
)

// SurfacesResult is the surfaces of a job as triangles, and its lines: units and rounding
// as in [Result]. Places are grid coordinates in the job's unit.
type SurfacesResult struct {
	Schema   int             `json:"schema"`
	Program  Program         `json:"program"`
	Job      string          `json:"job"`
	Units    Units           `json:"units"`
	Inputs   []Input         `json:"inputs"`
	Scale    float64         `json:"scale"`
	Origin   Place3          `json:"origin"` // near the site: what may be taken off for programs that compute with few digits
	Surfaces []BuiltSurface  `json:"surfaces"`
	Groups   []LineGroup     `json:"lines"`
	Between  SurfacesVolumes `json:"between"`

	ContourInterval float64 `json:"contour_interval,omitempty"` // levels of contours are its multiples; 0: there are none

	Notes       []Remark   `json:"notes"`    // about the surfaces
	Warnings    []Remark   `json:"warnings"` // of the takeoff too
	NotMeasured []Omission `json:"not_measured"`
	Cautions    []Caution  `json:"cautions"`

	Lines []LineResult `json:"-"`

	// Points are the corners of outlines, and vertices of formation outlines, crests and
	// toes: as many that all of these lie within 5 mm of the lines through them. Code is
	// the kind of line.
	Points []tin.Point `json:"-"`

	Unit tin.Unit `json:"-"` // of all places and levels
}

// Place3 is easting, northing and level.
type Place3 [3]float64

// BuiltSurface is a surface of triangles that share their corners.
type BuiltSurface struct {
	Kind      string  `json:"kind"` // SurfaceGround and its like
	Name      string  `json:"name"` // unlike that of any other
	Vertices  int     `json:"vertices"`
	Triangles int     `json:"triangles"`
	Area      float64 `json:"area"` // in plan, on the ground
	LevelMin  float64 `json:"level_min"`
	LevelMax  float64 `json:"level_max"`
	Topsoil   float64 `json:"topsoil,omitempty"` // depth that was taken off the ground

	Points []tin.Point `json:"-"` // grid coordinates and levels, without names
	Faces  [][3]int32  `json:"-"` // by index in Points, anticlockwise
}

// Source returns the surface for [tin.Build], in the job's unit.
func (s *BuiltSurface) Source() tin.Source {
	return tin.Source{Name: s.Name, Points: s.Points, Faces: s.Faces}
}

// LineResult is a line with levels.
type LineResult struct {
	Kind   string      // LineOutline and its like
	Pad    string      // that it belongs to; empty for contours
	Level  *float64    // of a contour
	Index  bool        // of a contour: a multiple of five intervals
	Closed bool        // it ends where it begins
	Points []tin.Point // levels are NaN where the line has none
}

// LineGroup counts the lines of a kind.
type LineGroup struct {
	Kind     string  `json:"kind"`
	Lines    int     `json:"lines"`
	Vertices int     `json:"vertices"`
	Length   float64 `json:"length"` // in plan, on the ground
}

// SurfacesVolumes hold the surfaces against the takeoff that they come from: cut and
// fill between the ground as measured from and the works, both as triangles.
type SurfacesVolumes struct {
	Cut         float64 `json:"cut"`
	Fill        float64 `json:"fill"`
	TakeoffCut  float64 `json:"takeoff_cut"`
	TakeoffFill float64 `json:"takeoff_fill"`
}
