// Package formation makes the surface to dig to: finished levels less the
// build-up, as level pads, as falling pads, or with levels of their own, laid
// out over a ground.
//
// Start with a [Pad] and [Lay], and hand the facets to package volume. A pad may
// have a margin of working space, batters, and sides that differ: [Layout].Outlines
// is where batters begin, and [Layout.Dig] follows them out to daylight. Before
// there is a ground, [Pad.Geometry] gives sides, bearings, diagonals and area to
// hold against the drawing. [BuildUp.Ladder] lists the levels of the layers.
// [ParseSlope] and [ParseBatter] read what a drawing says; [Rectangle] and
// [PlanToSite] bring its outlines to the site; [Mark] and [CheckMarks] bring a
// survey to the drawing's datum.
//
// Pads and all that is laid out are in metres; [Options] have messages in another
// unit. Build-ups, marks, rectangles and PlanToSite work in any one unit.
// Bearings are in degrees from north clockwise. Layers count from the top down, and
// their thicknesses are positive. Pads are given in the order in which they rule:
// where outlines overlap, the later one does.
//
// It makes no volumes, and does not judge whether a thickness or a level is likely: who reads the job does.
// Errors are *tin.InputError; the codes are the constants Code....
package formation
