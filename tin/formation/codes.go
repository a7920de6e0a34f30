package formation

// Codes of the problems and errors of this package. They never change meaning.
const (
	// Notes of [Lay].
	CodePadsOverlap    = "pads_overlap"    // a pad rules over part of an earlier one
	CodeMarginsOverlap = "margins_overlap" // an outline rules over a margin, or a lower margin over a higher one
	CodePadsStep       = "pads_step"       // pads that touch or overlap are at different levels where they meet
	CodeTiedLevels     = "tied_levels"     // four or more levels of a pad on a circle and not in a plane

	// Notes and warnings of [Layout.Dig].
	CodeShallowJoint   = "shallow_joint"   // a part of the works is joined to the rest by less than 10 mm
	CodeOpenBatter     = "open_batter"     // batters reach the end of the ground with depth
	CodeWorksClash     = "works_clash"     // one pad's cut takes the place of another's fill
	CodeSteepFormation = "steep_formation" // levels of an outline differ by more than its batters can take
	CodePadOnBatter    = "pad_on_batter"   // a pad stands above another's cut batter

	// Warnings of [CheckMarks].
	CodeCheckMarkOff = "check_mark_off" // a check mark is off by more than the tolerance

	// Errors, all *tin.InputError. Those of [tin.CheckOutline] and [tin.Build]
	// keep their own codes.
	CodeBadSlope         = "bad_slope"              // a fall that cannot be read, or is not in [0, 1]
	CodeBadBatter        = "bad_batter"             // a batter that cannot be read, or without its letters
	CodeBatterNumbers    = "batter_numbers"         // a batter's number below 0 or none, or berms that cannot be
	CodeBadMargin        = "bad_margin"             // a margin below 0, over 10 km or no number
	CodeStripBeyond      = "strip_beyond"           // a strip that goes less than 0, or no number of, metres beyond the works
	CodeEdgeCorner       = "edge_corner"            // an edge from or to a corner that is not, or to where it starts
	CodeEdgeTwice        = "edge_twice"             // a side that two edges rule
	CodeEdgeUpright      = "edge_upright"           // an upright edge with a batter
	CodeBadBearing       = "bad_bearing"            // a bearing that is not within -360 and 360 degrees
	CodeBadLevel         = "bad_level"              // a finished level that is no finite number
	CodeBadThickness     = "bad_thickness"          // a layer not above 0 thick
	CodeBadPoint         = "bad_point"              // a coordinate that is no finite number
	CodeBadLength        = "bad_length"             // a length or width not above 0
	CodeBadDistance      = "bad_distance"           // a clearance's distance below 0, over 10 km or no number
	CodeClearanceShape   = "clearance_shape"        // a clearance without a shape, or with one that does not go with the rest
	CodeCornerNames      = "corner_names"           // too few, too many or repeated names of corners
	CodeLevelsIncomplete = "levels_incomplete"      // a corner, spot or line of a pad's own levels without a level
	CodeLevelsDisagree   = "levels_disagree"        // a spot on an outline's side, at another level
	CodeOutsideOutline   = "outside_outline"        // a spot or line of a pad's own levels outside the pad
	CodeFallAndLevels    = "fall_and_levels"        // a pad with both a fall and its own levels
	CodeNoGround         = "no_ground"              // no ground to lay pads on
	CodePlanToSite       = "plan_to_site_points"    // two points that are one, or no finite numbers
	CodePlanToSiteLength = "plan_to_site_distances" // distances on plan and on site that differ by over 0.02 m

	// Of thickenings and backfill; all errors but the first, a warning.
	CodeThickeningOutside = "thickening_outside" // a part lies outside the pad's formation, and is not measured
	CodeThickeningShape   = "thickening_shape"   // lines and areas, neither, or a line of no length
	CodeThickeningWidth   = "thickening_width"   // a width not above 0, or over 10 km
	CodeThickeningDepth   = "thickening_depth"   // a depth not above 0
	CodeThickeningFrom    = "thickening_from"    // a depth that does not say what it counts from, or one beside a level
	CodeThickeningSlab    = "thickening_slab"    // no layer, or more than one, that may be the slab
	CodeThickeningBatter  = "thickening_batter"  // a batter in a pad with levels of its own, or flatter than the pad falls
	CodeThickeningShallow = "thickening_shallow" // an underside that is not below formation
	CodeAroundOutside     = "around_outside"     // a structure that reaches out of its pad's outline
)

// codeOutlineFlat is a code of tin.CheckOutline; what only its exact arithmetic
// tells from a line is refused here.
const codeOutlineFlat = "outline_flat"
