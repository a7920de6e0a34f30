package takeoff

import (
	"cmp"

	"github.com/paulmach/orb"

	"barrow/tin"
	"barrow/tin/formation"
	"barrow/tin/setout"
	"barrow/volume/material"
	"barrow/volume/price"
)

// Job is everything a takeoff needs to know. Every coordinate, level and
// length in it is in Units; [Load] makes one from a file, and a program may as
// well fill one in.
//
// Coordinates are grid coordinates. Lengths that somebody typed (a layer, a
// length of longest edge) are lengths on the ground: Scale turns one into the
// other.
type Job struct {
	Name    string
	Units   tin.Unit // of the whole job; the zero value counts as metres
	Scale   float64  // grid distance / ground distance; 0 counts as 1
	Surveys []Survey // at least one
	Ground  Ground
	Pads    []Pad // at least one; where outlines overlap the later rules

	// Respread are the areas that topsoil is spread over again, with how thick; where
	// they overlap the last counts.
	Respread []TopsoilArea

	Clearances []Clearance // no two of one name
	Alignments []Alignment // to cut sections along; no two of one name

	// Materials are the kinds of ground that are dug, in the order in which they become
	// fill; none: cut and fill are measured, and no more is said of them.
	Materials []Material
	Import    *material.Import // what makes up for a shortage; density as of a Material; nil: not said
	Trucks    []material.Truck // bodies in the unit of volume of results
	Machines  []material.Machine
	Rates     *price.Rates // what [Price] prices it by; nil: none

	Inputs []Input       // the files it was read from; empty for a job made in memory
	Notes  []tin.Problem // what was noticed while it was read; they go on into the result
	// Warnings likewise, which a person must read.
	Warnings []tin.Problem

	places map[string]filePlace // of the keys in the job file
}

// Survey is the spot heights and breaklines of one survey, as measured.
type Survey struct {
	Name       string          // its file, used in messages
	Points     []tin.Point     // in the order they were taken
	Breaklines []tin.Breakline // levels as measured: the benchmark shifts them too
	Faces      [][3]int32      // triangles of Points that are the surface as built, see [tin.Source]; nil: Points are triangulated

	// Written is the unit that Points were converted from, 0: none. Their decimals there
	// decide what is straight and what a tie, see [tin.Options].
	Written tin.Unit

	IgnoreCodes []string // codes of points that are not ground; capitals do not matter
	LineCodes   []string // consecutive points of one of these codes form a breakline
	Stripped    bool     // taken after the topsoil was stripped

	Benchmark      *Mark   // nil: levels are used as measured
	Checks         []Mark  // further marks, to see whether the benchmark was right
	CheckTolerance float64 // 0 counts as 10 mm

	// ReplacesWithin is the area in which this survey takes the place of those
	// before it; empty: it is merged with them.
	ReplacesWithin orb.MultiPolygon
	StepTolerance  float64 // between the levels of both at the edge of the new ground; 0 counts as 50 mm

	// Standard deviations of the error of each spot's level by itself, and of the one
	// that the benchmark gives to all; 0: not known.
	SpotDeviation, BenchmarkDeviation float64

	lineFiles []lineFile // where Breaklines came from
}

// lineFile is a run of a survey's breaklines that came from one file, be it the
// job file, so that errors about them name that file.
type lineFile struct {
	name     string
	from, to int // indices into Breaklines
}

// Mark is a mark of known level: its level in the plans, and as measured.
type Mark struct {
	Name           string
	Plan, Measured float64
}

// Ground says how the surface is made of the surveys.
type Ground struct {
	Boundary          orb.MultiPolygon // where the surveyed ground ends; empty: the convex hull
	Voids             orb.MultiPolygon // holes in the survey
	Topsoil           Topsoil          // stripped before the ground is measured
	MaxEdge           float64          // longest edge at the ground's rim, on the ground; 0: any
	Duplicates        tin.Duplicates   // two spots at one place with different levels
	CrossingTolerance float64          // between the levels of breaklines that cross; 0 counts as 20 mm
	Soil              Soil             // class of all pads that state none themselves; empty: not stated
}

// Pad is an area with one formation: level, falling, or with levels of its
// own.
type Pad struct {
	Name     string
	Outline  orb.Polygon // first ring outer, others holes; open or closed, either direction
	Corners  []string    // names of the outer ring's corners in its order; empty: "1", "2", ...
	Finished float64     // finished level, the top of the first layer; at Fall.At where the pad falls
	Layers   []Layer     // the build-up, from the top down
	Fall     *Fall       // nil: level
	Levels   *Levels     // nil: level or falling

	Margin float64 // working space round the outline, on the ground
	Cut    Batter  // of the sides in cut, and in fill
	Fill   Batter
	Edges  []Edge // sides with rules of their own

	LayersTo    LayersTo     // how far layers go that do not say it themselves
	Thickenings []Thickening // dug below the formation
	Backfill    *Backfill    // nil: none

	// NotBelow and NotAbove bound the finished level when Balance moves the pad: Finished,
	// or of Levels the lowest and the highest. nil: no bound.
	NotBelow, NotAbove *float64

	Soil      Soil              // its class; empty: that of the ground
	Tolerance *setout.Tolerance // of its finished level; nil: none is stated
}

// Batter is the slope of a side from the formation outline to the ground. The zero
// value is an upright face.
type Batter struct {
	Along float64 // n in 1V:nH, a ratio
	Every float64 // rise between level berms; 0: none
	Berm  float64 // width of a berm, on the ground
}

// Edge gives sides of a pad's outer ring rules of their own: the side between two
// neighbouring corners, or all sides from one corner on to another in the outline's
// order.
type Edge struct {
	From, To  string   // names of corners, or their numbers from 1
	Margin    *float64 // nil: the pad's
	Cut, Fill *Batter  // nil: the pad's
	Upright   bool     // no batter, in cut or fill
}

// Topsoil is what is stripped off the ground before it is dug or filled.
type Topsoil struct {
	Depth  float64          // 0: none but in Areas
	Beyond float64          // how far the strip goes beyond the works, on the ground
	Within orb.MultiPolygon // strip all of this area instead of the works and what is within Beyond of them; empty: the works
	Areas  []TopsoilArea    // with a depth of their own; where they overlap the last counts

	Deviation float64 // standard deviation of all its depths together; 0: not known
}

// TopsoilArea is a part of the plan with its own depth of topsoil.
type TopsoilArea struct {
	Name  string
	Area  orb.MultiPolygon
	Depth float64 // 0: none there
}

// Clearance is a shape that the works must stay inside or outside of, with a
// distance: the property line, a service, a tree.
type Clearance struct {
	Name     string
	Inside   bool // stay inside Area; else outside of all of the shape
	Area     orb.MultiPolygon
	Lines    orb.MultiLineString // for works that stay outside
	Points   orb.MultiPoint      // likewise
	Distance float64             // on the ground; above 0 for lines and points
}

// Layer is one layer of a build-up.
type Layer struct {
	Name      string
	Thickness float64
	To        LayersTo // how far it goes; empty: as far as the pad's layers do
	Deviation float64  // standard deviation of Thickness; 0: not known
}

// LayersTo is how far a layer goes in plan.
type LayersTo string

// How far a layer goes; empty counts as the outline.
const (
	LayersToOutline LayersTo = "outline"
	LayersToMargin  LayersTo = "margin" // over the margin too
)

// Thickening is a part of a pad that is dug below its formation; see
// [formation.Thickening].
type Thickening struct {
	Name      string
	Lines     []orb.LineString // centre lines; one whose last point is its first is closed
	Width     float64          // along Lines, on the ground
	Areas     orb.MultiPolygon // instead of Lines
	Depth     float64          // from From down to the underside of what stands in it
	From      formation.DepthFrom
	Slab      string   // name of the layer that formation.FromSlab means; empty: the only one with "slab" in its name
	Underside *float64 // level of the underside, instead of Depth and From
	Layers    []Layer  // of its own, under that; their To is not looked at
	Along     float64  // n of sides 1V:nH from the underside of Layers up to formation; 0: upright
}

// Backfill is what is filled up again of the space outside the structure on a pad.
type Backfill struct {
	UpTo   BackfillTo
	Level  float64          // of BackfillLevel
	Around orb.MultiPolygon // the structure, inside the outline; empty: all of the outline
}

// BackfillTo is what backfill goes up to.
type BackfillTo string

// What backfill goes up to, but never above the stripped ground, except for
// BackfillGround.
const (
	BackfillStripped BackfillTo = "stripped ground"
	BackfillGround   BackfillTo = "ground"   // before the topsoil was stripped
	BackfillFinished BackfillTo = "finished" // the finished surface, gone on with outwards
	BackfillLevel    BackfillTo = "level"
)

// Fall is the slope of a falling pad.
type Fall struct {
	Slope   float64   // fall per length along, on the ground: 0.01 for 1:100
	Bearing float64   // in which it goes down, degrees clockwise from grid north
	At      orb.Point // where Pad.Finished holds
}

// Levels are the finished levels of a pad that carries its own.
type Levels struct {
	Outline [][]float64     // per ring, per corner, without the closing one
	Spots   []tin.Point     // inside the outline
	Lines   []tin.Breakline // inside the outline; edges of the surface follow them
}

// Input is a file that was read.
type Input struct {
	Path   string `json:"path"`             // as the job gives it
	SHA256 string `json:"sha256"`           // of its bytes, in lower-case hexadecimal
	Points int    `json:"points,omitempty"` // spots or vertices in it
	Units  string `json:"units,omitempty"`  // of its numbers, where it is not the job's

	LevelUnits string `json:"level_units,omitempty"` // of its levels, where it is not that of its plan coordinates
}

// levels is the unit of a file's levels, where it is not the job's; else empty.
func (in *Input) levels(job tin.Unit) string {
	if unit := cmp.Or(in.LevelUnits, in.Units); unit != job.String() {
		return unit
	}
	return ""
}

func (j *Job) scale() float64 {
	if j.Scale == 0 {
		return 1
	}
	return j.Scale
}
