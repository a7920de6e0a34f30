package takeoff

// Codes of notes and warnings of this package; those of tin, pointfile and
// formation come through with their own.
const (
	NoteCodeLines         = "code_lines"              // lines were formed from line_codes
	NoteUnitsConverted    = "units_converted"         // a file was in another unit than the job
	codeUnitsContradict   = "units_contradict"        // an error: a file says that it is in another unit than the job states for it
	NoteUnitAssumed       = "unit_assumed"            // a file that may state its unit does not
	NoteSurfaceTaken      = "surface_taken"           // which surface of a LandXML file is the survey, and how it is taken
	WarnNotExisting       = "surface_not_existing"    // the surface is said to be another than the existing ground
	NoteBoundaries        = "boundaries"              // what became of the boundaries of a surface
	NotePointsNotUsed     = "points_not_used"         // a LandXML file with a surface has other points too
	codeFileKind          = "file_kind"               // an error: a kind of file that does not hold what is wanted
	codeWhichSurface      = "which_surface"           // an error: several surfaces, none named
	codeFacesWanted       = "faces_wanted"            // an error: a surface without triangles is wanted as built
	codeUnitNeeded        = "unit_needed"             // an error: a bare level of a survey whose file is in another unit than the job
	NoteCodeUnmet         = "code_unmet"              // a code to ignore, or to form lines of, that no point has
	NoteNoLevel           = "no_level"                // spots without a level, left out
	NoteSiteBearing       = "site_bearing"            // a fall's bearing is from grid north, the outline was a drawing's
	NoteOutlineLevels     = "outline_levels_not_used" // the outline's file has levels, and the pad takes others
	NoteScale             = "scale"                   // grid figures were turned into ground figures
	NoteSurveyStrip       = "survey_stripped"         // the ground is as it was after the topsoil was stripped
	NoteStripUncovered    = "strip_uncovered"         // part of the strip has no ground
	NoteRespreadUncovered = "respread_uncovered"      // part of an area to spread topsoil over has no ground
	WarnUncovered         = "works_uncovered"         // a pad reaches beyond the ground: volumes are at least those given
	WarnThinGround        = "thin_ground"             // works on triangles with a side over 5 times the median
	WarnFarLevels         = "levels_far_apart"        // ground over 10 m from every formation
	codeNoSurvey          = "no_survey"               // an error: a job without a survey
	codeTopsoilDepth      = "topsoil_depth"           // an error: a depth below 0, or no number
	codeNoPad             = "no_pad"                  // an error: a job without a pad
	codePadName           = "duplicate_pad_name"      // an error: two pads with one name
	codeOffGround         = "outline_off_ground"      // an error: no pad touches the surveyed ground
	NoteReplaces          = "survey_replaces"         // a survey took the place of earlier ones in its area
	NoteReplacesNone      = "replaces_nothing"        // nothing of earlier surveys lay in the area
	NoteNotCompared       = "step_not_compared"       // the levels at the edge of the new ground could not be held against the earlier ones
	WarnSurveyStep        = "survey_step"             // there they differ by more than the tolerance
	NoteStatesMixed       = "states_mixed"            // surveys from before and after stripping are merged
	codeReplacesFirst     = "replaces_no_earlier"     // an error: the first survey replaces, and none is before it
	codeReplacesEmpty     = "replaces_without_points" // an error: an area that holds no point of its own survey
	codeTooManyBerms      = "too_many_berms"          // an error: more berms than any dig has

	WarnClearance       = "clearance_broken"         // works are past the line of a clearance
	NoteClearanceOff    = "clearance_off_works"      // a clearance lies wholly off the works
	WarnNotInSections   = "works_not_in_sections"    // works lie past the ends or the reach of an alignment
	NoteBesideSections  = "beside_sections"          // thickenings and backfill are in no section
	NoteNoSection       = "no_section"               // a listed chainage is off the works
	WarnNoHaul          = "no_haul"                  // a volume below 0 beside a bend, and no mass haul
	codeAlignmentName   = "duplicate_alignment_name" // an error: two alignments with one name
	codeTooManySections = "too_many_sections"        // an error: more than allowed
	codeNoAlignment     = "no_alignment"             // an error: no alignment has the name asked for
	codeChainageOutside = "chainage_outside"         // an error: a listed chainage off its alignment

	NoteAlignmentNotTaken = "alignment_not_taken" // sections along the job's alignment would miss works or meet some twice; a warning where it was asked for
	WarnMethodsDisagree   = "methods_disagree"    // a method differs from the prisms by more than expected
	WarnClaimOutside      = "claim_outside"       // a claim is outside of what the methods support
	WarnShotsOff          = "shots_off"           // the mean of check shots makes over 2 % of cut plus fill
	codeShotsOffGround    = "shots_off_ground"    // an error: no check shot is on the ground

	NoteDefaultFactor     = "default_factor"       // a factor is that of a published range
	NoteFactorNeeded      = "factor_needed"        // something was not reckoned for want of a factor
	NoteUnweighed         = "payload_unweighed"    // loads by a truck's body alone, for want of a density
	NoteHaulCells         = "haul_cells"           // how the haul on site was planned
	NoteHaulNone          = "haul_not_found"       // the haul on site could not be planned
	NoteThickMaterial     = "thickenings_material" // what thickenings are dug in, where materials lie by depth
	NoteSpreadAsBank      = "spread_as_bank"       // what is spread again counts as in bank measure, for want of a factor
	NoteTopsoilNoMaterial = "topsoil_no_material"  // topsoil is stripped, and no material says what it is
	WarnNoMaterial        = "cut_without_material" // cut that is of none of the job's materials
	WarnHorizonData       = "horizon_without_data" // a surface in the ground does not reach over all of the cut
	codeMaterialsOverlap  = "materials_overlap"    // an error: two materials lie at one place

	codeNoRates         = "no_rates"          // an error: a job without rates is to be priced
	NoteWorksJoin       = "works_join"        // the volumes jump between two levels, where works join or part
	NoteNoFactor        = "no_factor"         // cut was held against fill without a factor
	NoteFactorCounts    = "factor_counts"     // of a factor given and a job's materials, the factor counts
	NoteMayTurn         = "balance_may_turn"  // what is left over need not fall as the level rises
	WarnSeveral         = "several_balances"  // more than one level balances
	WarnNotAfterFactors = "not_after_factors" // cut was held against fill for want of what the materials need
	WarnCostInPart      = "cost_in_part"      // spoil and import are not known at some levels, and not in the cost
	NoteStays           = "level_stays"       // a level of its own does not move with a pad
	WarnNoBalance       = "no_balance"        // no level within the limits balances
	WarnJump            = "balance_jump"      // the volumes jump across the balance
	codeUnknownPad      = "unknown_pad"       // an error: the job has no pad of the name
	codeLimits          = "limits_impossible" // an error: limits that leave no level

	NoteLayerAbsent    = "layer_absent"          // a pad without the layer whose top is looked at
	NoteNoTolerance    = "no_tolerance"          // no tolerance: nothing is judged
	NoteNoShotSurface  = "no_shot_surface"       // the shots of a pad make no surface, and no volume
	NoteShotAccuracy   = "shot_accuracy_unknown" // no standard deviation of the shots was given
	NoteShotsBeside    = "shots_beside"          // shots held against nothing
	WarnOutOfTolerance = "out_of_tolerance"      // a shot is surely out
	WarnUndecided      = "shots_undecided"       // shots too near to a limit to decide
	WarnTooFewShots    = "too_few_shots"         // no verdict, since the shots do not cover a pad
	WarnToleranceFine  = "tolerance_below_doubt" // a tolerance smaller than two standard deviations of a shot
	codeUnknownLayer   = "unknown_layer"         // an error: no pad has the layer
	codeShotsOffWorks  = "shots_off_works"       // an error: no shot is on the work

	codeClearanceName = "duplicate_clearance_name" // an error: two clearances with one name
)
